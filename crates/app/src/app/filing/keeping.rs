//! Work kept against a crash, and the title that tells of edits.

use std::time::Instant;

use egui::{Context, ViewportCommand};

use crate::app::Window;
use crate::files::{Job, Origin, file_name};

impl Window {
    /// Keeps a copy against a crash some time after an edit; takes it away when everything is saved.
    pub(super) fn keep_work(&mut self, ctx: &Context) {
        let filing = &mut self.filing;
        if filing.may_close {
            // What is not saved by now is not wanted.
            return;
        }
        let revision = self.session.history().revision();
        if !self.session.history().is_unsaved() {
            if filing.kept.take().is_some() {
                filing.desk.ask(Job::Forget);
            }
            filing.edited_at = None;
            return;
        }
        if filing.kept == Some(revision) || filing.settings.state_folder.is_none() {
            return;
        }
        let since = match filing.edited_at {
            Some((seen, since)) if seen == revision => since,
            _ => {
                let now = Instant::now();
                filing.edited_at = Some((revision, now));
                now
            }
        };
        match filing.settings.keep_after.checked_sub(since.elapsed()) {
            Some(left) if !left.is_zero() => ctx.request_repaint_after(left),
            _ => {
                filing.kept = Some(revision);
                let snapshot = self.session.snapshot().clone();
                filing.desk.ask(Job::Keep { snapshot, origin: filing.origin.clone() });
            }
        }
    }

    /// The title is the name of the product; with edits that are not saved it says so.
    pub(super) fn write_title(&mut self, ctx: &Context) {
        let title = match (self.session.history().is_unsaved(), &self.filing.origin) {
            (false, _) => "Heatledger".to_owned(),
            (true, Origin::File(path)) => format!("Heatledger: edits in {} not saved", file_name(path)),
            (true, Origin::Untitled(_)) => "Heatledger: edits not saved".to_owned(),
        };
        if title != self.filing.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.filing.title = title;
        }
    }
}
