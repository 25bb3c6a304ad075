//! Steps to a neighbour: edits, cases, loops and ducts, and moments of a mission.

use model::case_name::CaseName;
use session::{Choice, Session};

use super::Window;
use super::state::neighbour;
use crate::screen::Screen;
use crate::views::time::{ShownTime, TimeView};

impl Window {
    pub(super) fn step_history(&mut self, step: impl Fn(&mut Session<Screen>) -> bool) {
        if step(&mut self.session) {
            self.state.drafts.clear();
        }
    }

    pub(super) fn step_case(&mut self, step: i32) {
        let choices = self.session.snapshot().choices();
        let cases: Vec<&CaseName> = choices.cases_at(&self.session.choice().case.condition).collect();
        let shown = |case: &&&CaseName| ***case == self.session.choice().case;
        if let Some(case) = neighbour(cases.iter(), shown, step) {
            self.session.choose(&Choice { case: (*case).clone(), ..self.session.choice().clone() });
        }
    }

    pub(super) fn step_strip(&mut self, step: i32) {
        let names: Vec<&String> = self.screen.strips.iter().map(|page| &page.strip.name).collect();
        let shown = self.state.strip.as_ref().or(names.first().copied());
        let next = neighbour(names.iter(), |name| Some(**name) == shown, step).map(|name| (*name).clone());
        self.state.strip = next.or(self.state.strip.take());
    }

    /// The time of the mission on screen.
    pub fn time_view(&self) -> TimeView {
        let mission = self.screen.mission.as_deref();
        let end_s = mission.map_or(0.0, |mission| mission.end_s);
        let whole = TimeView { end_s, part_s: None, cursor_s: 0.0 };
        let cursor_s = whole.held(self.session.choice().time_s);
        let part_s = match self.state.shown_time {
            // The moment that every page shows must not lie outside what is shown without being asked for.
            ShownTime::Flight => {
                mission.and_then(|m| m.flight_end_s()).filter(|end| cursor_s <= *end).map(|end| (0.0, end))
            }
            ShownTime::Whole => None,
            ShownTime::Part(from, to) => Some((from, to)),
        };
        TimeView { end_s, part_s: part_s.and_then(|part| whole.fitted(part)), cursor_s }
    }

    pub(super) fn set_time(&mut self, time_s: f64) {
        let time_s = self.time_view().held(time_s);
        self.session.choose(&Choice { time_s, ..self.session.choice().clone() });
    }

    pub(super) fn step_time(&mut self, steps: i32) {
        let view = self.time_view();
        let (from, to) = view.range();
        self.set_time(view.cursor_s + f64::from(steps) * 0.02 * (to - from));
    }

    pub(super) fn step_event(&mut self, step: i32) {
        let from = self.time_view().cursor_s;
        let found = self.screen.mission.as_ref().and_then(|mission| mission.event_beside(from, step));
        if let Some(time) = found.map(|event| event.time_s) {
            self.set_time(time);
        }
    }
}
