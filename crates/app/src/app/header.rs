//! The header, and what is said above a page.

use std::time::Duration;

use egui::{self, Ui};

use super::Window;
use crate::command::Page;
use crate::look;
use crate::views::header::{HeaderState, Progress, header_ui};
use crate::views::work::{WorkState, work_ui};

/// Results that come within this time take the place of the old ones without a word.
const NOTICED: Duration = Duration::from_millis(200);

impl Window {
    pub(super) fn header_ui(&mut self, ui: &mut Ui) {
        let progress = match (self.is_settled(), self.screen.extent.work()) {
            (true, None) => Progress::Current(self.session.took()),
            (true, Some(_)) => Progress::Incomplete,
            (false, _) => Progress::Solving,
        };
        let state = HeaderState {
            choices: self.session.snapshot().choices(),
            choice: self.session.choice(),
            undo: self.session.history().to_undo().map(ToString::to_string),
            redo: self.session.history().to_redo().map(ToString::to_string),
            is_unsaved: self.session.history().is_unsaved(),
            origin: &self.filing.origin,
            recent: &self.filing.recent,
            progress,
        };
        header_ui(ui, &self.screen.header, &state, &mut self.commands);
        let colors = look::palette(ui);
        for problem in [self.screen.header.outcome.as_ref(), self.failure.as_ref()].into_iter().flatten() {
            ui.label(egui::RichText::new(problem).color(colors.bad));
        }
    }

    /// What is to be said above a page about how whole and how new its results are.
    pub(super) fn state_ui(&mut self, ui: &mut Ui) {
        if self.state.page == Page::Trades {
            // told beside the answer, so that the question stays where it is
            return;
        }
        let long = [Page::Margins, Page::Mission, Page::Turnaround, Page::Failures];
        let is_settled = self.is_settled();
        let since = self.session.waited();
        if !is_settled && since < NOTICED {
            ui.ctx().request_repaint_after(NOTICED.saturating_sub(since));
        }
        let is_stale = self.is_stale() && (is_settled || since >= NOTICED);
        let work = self.screen.extent.work().filter(|_| long.contains(&self.state.page));
        let state = WorkState { work, is_running: !is_settled, is_stale };
        work_ui(ui, &state, &mut self.commands);
        if is_stale {
            ui.multiply_opacity(0.6);
        }
    }
}
