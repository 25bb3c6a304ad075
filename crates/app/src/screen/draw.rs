//! A screen that grows with what is known: only what has changed is made anew.

use std::sync::{Arc, Mutex, PoisonError};

use aircraft::variant::{self, Varied};
use model::cases;
use model::duty::{self, Duty};
use model::mission::MissionCase;
use model::result::{CaseResult, Notice, Status, reason};
use session::solve::situation;
use session::{Beneath, Choice, Extent, Flown, Found, Snapshot, Studied};

use super::{Screen, Screens, explain, failing, flight, ground, judged, ledger, levels, levers, machines};
use super::{strips, temperatures, trades};
use crate::views::header::HeaderData;
use crate::views::mission::BeneathCase;

/// The screens of one request.
pub(super) struct Drawing<'a> {
    screens: &'a Screens,
    snapshot: &'a Snapshot,
    varied: &'a Varied,
    choice: &'a Choice,
    /// What was drawn last, and of what.
    last: Mutex<Option<(Found, Screen)>>,
}

impl<'a> Drawing<'a> {
    pub(super) fn new(screens: &'a Screens, snapshot: &'a Snapshot, choice: &'a Choice) -> Self {
        let varied = snapshot.varied(choice);
        Self { screens, snapshot, varied, choice, last: Mutex::default() }
    }

    /// The screen of what is known now.
    pub(super) fn screen(&self, found: Found) -> Screen {
        if matches!(found.extent, Extent::Nothing(_) | Extent::Refused(_)) {
            return Screen { extent: found.extent, ..Screen::default() };
        }
        let mut last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        let known = last.take().filter(|(of, _)| Arc::ptr_eq(&of.steady, &found.steady));
        let (of, mut screen) = match known {
            Some((of, screen)) => (Some(of), screen),
            None => (None, self.state(&found)),
        };
        let of = of.as_ref();
        screen.extent = found.extent.clone();
        // Over all cases nothing is known yet where there is one case alone.
        let is_over_cases = !matches!(found.extent, Extent::FirstCase(_));
        if is_over_cases && of.is_none_or(|of| !has_same_missions(of, &found)) {
            let judged = judged::judged(&found.steady, &found.flown);
            (screen.header.worst, screen.margins) = (judged::worst(&judged), judged::margins(&judged));
        }
        if let Some(beneath) = &found.beneath
            && of.is_none_or(|of| of.beneath.is_none())
        {
            self.lay_beneath(&mut screen, beneath);
        }
        if of.is_none_or(|of| !is_same_study(&of.studied, &found.studied)) {
            self.study(&mut screen, &found.studied);
        }
        if found.problem.is_some() {
            screen.header.outcome.clone_from(&found.problem);
        }
        *last = Some((found, screen.clone()));
        screen
    }

    /// The pages that show the case on screen.
    fn state(&self, found: &Found) -> Screen {
        let Self { varied, choice, .. } = self;
        let project = &varied.project;
        let header = HeaderData { project: project.name.as_str().to_owned(), ..HeaderData::default() };
        let mut screen = Screen { header, own: Arc::new(variant::own_inputs(varied)), ..Screen::default() };
        let described = choice.described.as_deref();
        match found.mission(&choice.case) {
            Some(Ok(flown)) => {
                self.show_flight(&mut screen, flown);
                screen.levels = described.map(|device| Arc::new(levels::without_steady_case(device)));
            }
            Some(Err(message)) => screen.header.outcome = Some(message.clone()),
            None => match found.steady(&choice.case) {
                Some(result) => {
                    // The case was solved, so that it can be put together; without its curves the page is still right.
                    let situation = situation(project, &choice.case);
                    let duties = situation.and_then(|situation| duty::duties(situation, result).ok());
                    show_state(&mut screen, varied, result, &duties.unwrap_or_default());
                    screen.levels =
                        described.map(|device| Arc::new(levels::device_levels(situation, result, device)));
                }
                None => screen.header.outcome = found.steady.refused.get(&choice.case).cloned(),
            },
        }
        screen
    }

    /// A mission, and its state at the time cursor on the other pages.
    fn show_flight(&self, screen: &mut Screen, flown: &Arc<Flown>) {
        let Self { varied, choice, .. } = self;
        if let Some(state) = flown.state_at(&varied.project, choice.time_s) {
            show_state(screen, varied, &state, &[]);
        }
        let flight = &flown.flight;
        // Of the whole flight, not of its moment at the cursor.
        screen.header.notices = notice_lines(&flown.told);
        let all = cases::missions(&varied.project);
        let case = all.iter().find(|case| case.name() == choice.case);
        screen.mission = case.map(|case| self.mission(varied, case, flown));
        if flight.status != Status::Solved {
            screen.header.outcome = outcome(flight.status, &flight.notices);
        }
        screen.ledger = flight::ledger_at(screen.ledger.clone(), flown);
    }

    fn mission(
        &self,
        varied: &Varied,
        case: &MissionCase<'_>,
        flown: &Arc<Flown>,
    ) -> Arc<crate::views::mission::MissionData> {
        self.screens.mission(flown, || flight::page(case, flown, &varied.listing().inputs))
    }

    /// The curves of the compared mission beneath those of the shown one.
    fn lay_beneath(&self, screen: &mut Screen, beneath: &Beneath) {
        let Some(shown) = &screen.mission else { return };
        let (case_name, flown) = &beneath.mission;
        let name = format!("{}, {case_name}", beneath.variant);
        let mut mission = (**shown).clone();
        let choice = Choice { variant: beneath.variant.clone(), ..Choice::default() };
        let varied = self.snapshot.varied(&choice);
        let all = cases::missions(&varied.project);
        match (flown, all.iter().find(|case| case.name() == *case_name)) {
            (Ok(other), Some(case)) => mission.lay_beneath(&self.mission(varied, case, other), &name),
            (Err(problem), _) => {
                let problem = Some(problem.clone());
                mission.beneath = Some(BeneathCase { name, problem, ..BeneathCase::default() });
            }
            (Ok(_), None) => return,
        }
        screen.mission = Some(Arc::new(mission));
    }

    fn study(&self, screen: &mut Screen, studied: &Studied) {
        let project = &self.varied.project;
        (screen.turnaround, screen.failures, screen.levers, screen.trades) = (None, None, None, None);
        match studied {
            Studied::Nothing => {}
            Studied::Turnaround(turned) => {
                let data = ground::turnaround_data(project, &turned.result, turned.has_tables);
                screen.turnaround = Some(Arc::new(data));
            }
            Studied::Failures(failing) => {
                screen.failures = Some(Arc::new(failing::failures_data(failing)));
            }
            Studied::Levers(found) => {
                screen.levers = Some(Arc::new(levers::lever_data(self.varied, found)));
            }
            Studied::Trades(asked) => {
                screen.trades = Some(Arc::new(trades::trades_data(self.varied, asked)));
            }
        }
    }
}

fn has_same_missions(a: &Found, b: &Found) -> bool {
    let names = |found: &'_ Found| found.flown.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>();
    names(a) == names(b)
}

fn is_same_study(a: &Studied, b: &Studied) -> bool {
    match (a, b) {
        (Studied::Nothing, Studied::Nothing) => true,
        (Studied::Turnaround(a), Studied::Turnaround(b)) => Arc::ptr_eq(a, b),
        (Studied::Failures(a), Studied::Failures(b)) => Arc::ptr_eq(a, b),
        (Studied::Levers(a), Studied::Levers(b)) => Arc::ptr_eq(a, b),
        (Studied::Trades(a), Studied::Trades(b)) => Arc::ptr_eq(a, b),
        _ => false,
    }
}

/// One state on every page that shows a state.
fn show_state(screen: &mut Screen, varied: &Varied, result: &CaseResult, duties: &[Duty]) {
    if result.status != Status::Solved {
        screen.header.outcome = outcome(result.status, &result.notices);
    }
    screen.header.notices = notice_lines(&result.notices);
    screen.strips = strips::strips(varied, result, duties);
    match machines::machines(varied, result) {
        Ok(found) => screen.machines = found,
        Err(message) => screen.header.outcome = Some(message),
    }
    screen.temperatures = temperatures::temperatures(&varied.project, result);
    screen.ledger = ledger::ledger(result);
    screen.explanations = explain::explanations(&varied.project, result);
}

fn outcome(status: Status, notices: &[Notice]) -> Option<String> {
    reason(status, notices).map(|notice| format!("{}: {}", notice.place, notice.message))
}

/// What is to be known about a case, a line each.
fn notice_lines(notices: &[Notice]) -> Vec<String> {
    notices.iter().map(|notice| format!("{}: {}", notice.place, notice.message)).collect()
}
