//! What the file thread has to tell, and the project that takes the place of the one on screen.

use egui::Context;
use session::{Finding, Snapshot};

use crate::app::Window;
use crate::command::Overlay;
use crate::files::{Done, Job, NotSaved, OpenFrom, Origin, Refusal, file_name};
use crate::views::figure::Sign;
use crate::views::files::Notice;

impl Window {
    pub(super) fn take_over(&mut self, ctx: &Context, done: Done) {
        match done {
            Done::Opened { source, snapshot, warnings } => self.adopt(source, snapshot, warnings),
            Done::Refused(refusal) => {
                self.filing.findings = refusal;
                self.state.overlay = Some(Overlay::Findings);
            }
            Done::Saved { path, revision } => {
                self.session.mark_saved(revision);
                self.filing.origin = Origin::File(path);
                self.filing.changed = None;
                if !self.session.history().is_unsaved()
                    && let Some(leave) = self.filing.leave.take()
                {
                    self.go(ctx, leave);
                }
            }
            Done::NotSaved { path, reason } => match reason {
                NotSaved::Exists => self.state.overlay = Some(Overlay::Exists(path)),
                NotSaved::ChangedByOthers => self.state.overlay = Some(Overlay::ChangedByOthers(path)),
                NotSaved::Failed(why) => {
                    self.filing.leave = None;
                    let text = format!("{} was not saved: {why}.", file_name(&path));
                    self.filing.tell(Sign::Bad, text);
                }
            },
            Done::Read { path, result } => self.take_cells(&path, result),
            Done::Written { path, result } => self.figure_written(&path, result),
            Done::Changed { path, is_gone } => {
                if self.filing.origin.path() == Some(path.as_path()) {
                    self.filing.changed = Some(is_gone);
                }
            }
            Done::NotKept(why) => {
                let text = format!("Crash recovery is not working: {why}. Save often.");
                self.filing.tell(Sign::Warn, text);
            }
            Done::Recent(recent) => self.filing.recent = recent,
            Done::Tips(dismissed) => self.state.tips = Some(dismissed),
            Done::Leftovers(leftovers) => self.filing.leftovers = leftovers,
        }
    }

    /// Another project takes the place of the one on screen.
    pub(super) fn adopt(&mut self, source: OpenFrom, snapshot: Snapshot, warnings: Vec<Finding>) {
        if self.session.history().revision() != self.filing.asked_at {
            self.filing
                .tell(Sign::Warn, "Not opened: the project was edited in the meantime. Open it again.");
            return;
        }
        let (origin, is_saved) = match source {
            OpenFrom::File(path) => (Origin::File(path), true),
            OpenFrom::Demo(demo) => (Origin::Untitled(demo.name.to_owned()), true),
            OpenFrom::Made(name, _) => (Origin::Untitled(name), false),
            OpenFrom::Leftover(leftover) => {
                let origin = leftover.origin.clone();
                if let Origin::File(path) = &origin {
                    self.filing.desk.ask(Job::Watch { path: path.clone(), bytes: None });
                }
                // The own copy is written before the one of the crash is taken away.
                self.filing.desk.ask(Job::Keep { snapshot: snapshot.clone(), origin: origin.clone() });
                self.filing.leftovers.retain(|known| *known != leftover);
                self.filing.desk.ask(Job::RemoveLeftover(leftover));
                self.filing.kept = Some(0);
                (origin, false)
            }
        };
        let is_same = self.filing.origin == origin;
        self.filing.origin = origin;
        self.filing.changed = None;
        self.filing.notice = None;
        if !warnings.is_empty() {
            let what = format!("{} was opened with {} warning(s)", self.filing.origin.name(), warnings.len());
            let text = format!("{what}.");
            self.filing.findings = Refusal { what, why: String::new(), findings: warnings };
            self.filing.notice = Some(Notice { sign: Sign::Warn, text, has_findings: true });
        }
        self.state.drafts.clear();
        if !is_same {
            self.state.strip = None;
            self.state.device = None;
        }
        self.session.open(snapshot, is_saved);
    }
}
