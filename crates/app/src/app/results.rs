//! Results that come: which go on screen, which are taken back, what of the old ones stays meanwhile.

use session::{Edit, Extent};

use super::Window;
use super::state::Kept;
use crate::screen::Screen;
use crate::views::field::Draft;
use crate::views::figure::Sign;

impl Window {
    /// Takes over a result.
    pub(super) fn collect(&mut self) {
        let Some(result) = self.session.collect() else { return };
        match result {
            Ok(Screen { extent: Extent::Refused(reason), .. }) => self.take_back(reason),
            Ok(Screen { extent: extent @ Extent::Nothing(_), .. }) if self.session.has_drawn() => {
                // what is on screen stays, with what is missing
                self.screen.extent = extent;
                self.failure = None;
            }
            Ok(screen) => {
                self.session.mark_drawn();
                self.show(screen);
                self.failure = None;
            }
            Err(message) => self.failure = Some(message),
        }
    }

    /// Takes back the edit that led to a state that cannot stand; what was typed stays in its field, with the reason.
    pub(super) fn take_back(&mut self, reason: String) {
        let Some(edit) = self.session.withdraw() else {
            self.failure = Some(reason);
            return;
        };
        self.filing.tell(Sign::Warn, format!("Undone: {edit}. {reason}"));
        if let Edit::Set { path, text, .. } = edit {
            self.state.drafts.insert(path, Draft { text, problem: Some(reason) });
        }
    }

    /// Puts results on screen; a study that is still being worked on keeps its old ones.
    pub(super) fn show(&mut self, screen: Screen) {
        let old = std::mem::replace(&mut self.screen, screen);
        let has_one_case = matches!(self.screen.extent, Extent::FirstCase(_));
        if has_one_case && self.screen.header.project == old.header.project {
            self.screen.header.worst = old.header.worst;
            self.screen.margins = old.margins;
            self.screen.levers = old.levers;
        }
        let is_open = self.screen.extent.work().is_some();
        self.kept = Kept {
            turnaround: is_open && self.screen.turnaround.is_none() && old.turnaround.is_some(),
            failures: is_open && self.screen.failures.is_none() && old.failures.is_some(),
        };
        if self.kept.turnaround {
            self.screen.turnaround = old.turnaround;
        }
        if self.kept.failures {
            self.screen.failures = old.failures;
        }
    }
}
