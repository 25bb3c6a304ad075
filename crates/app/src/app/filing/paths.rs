//! Paths: asked for by a dialog or by typing, dropped onto the window, and where they lead.

use std::path::PathBuf;

use egui::Context;

use super::{suggested_name, with_ending};
use crate::app::Window;
use crate::command::Overlay;
use crate::files::{Answer, Dialog, Dialogs, Job, OpenFrom, Overwrite, Wanted, file_name, typed_path};
use crate::views::figure::Sign;
use crate::views::files::TypedPath;

impl Window {
    pub(super) fn begin(&self, wanted: Wanted) -> Option<PathBuf> {
        match wanted {
            Wanted::Open | Wanted::Save | Wanted::Table => {
                self.filing.begin(wanted, self.session.snapshot().name())
            }
            Wanted::Figure => self.filing.begin(wanted, &self.figures.name()),
        }
    }

    pub(in crate::app) fn ask_path(&mut self, ctx: &Context, wanted: Wanted) {
        if self.filing.dialog.is_some() {
            return;
        }
        self.state.overlay = None;
        if self.filing.settings.dialogs == Dialogs::Native {
            let begin = self.begin(wanted);
            let waker = ctx.clone();
            self.filing.dialog = Dialog::open(wanted, begin, move || waker.request_repaint()).ok();
        }
        if self.filing.dialog.is_none() {
            self.type_path(wanted);
        }
    }

    pub(super) fn type_path(&mut self, wanted: Wanted) {
        let begin = self.begin(wanted);
        let text = begin.map(|path| path.display().to_string()).unwrap_or_default();
        self.filing.typed = TypedPath { text, has_begun: false };
        self.state.overlay = Some(Overlay::TypedPath(wanted));
    }

    pub(super) fn take_answer(&mut self, ctx: &Context) {
        let Some((wanted, answer)) =
            self.filing.dialog.as_ref().and_then(|dialog| Some((dialog.wanted, dialog.answer()?)))
        else {
            return;
        };
        self.filing.dialog = None;
        match (answer, wanted) {
            (Answer::Chosen(path), Wanted::Open) => self.open(ctx, OpenFrom::File(path)),
            (Answer::Chosen(path), Wanted::Save) if path.extension().is_none() => {
                // The dialog has asked about another name than the one that is written.
                self.save_to(with_ending(path), Overwrite::OwnOnly);
            }
            (Answer::Chosen(path), Wanted::Save) => self.save_to(path, Overwrite::Agreed),
            (Answer::Chosen(path), Wanted::Figure) => {
                // the dialog has asked about the name that is written, unless it has no ending
                let asked = if path.extension().is_some() { Overwrite::Agreed } else { Overwrite::OwnOnly };
                self.write_figure(ctx, path, asked);
            }
            (Answer::Chosen(path), Wanted::Table) => self.filing.ask(Job::Read { path }),
            (Answer::Cancelled, Wanted::Table) => self.show_table(),
            (Answer::Cancelled, _) => self.filing.leave = None,
            (Answer::NoService, wanted) => self.type_path(wanted),
        }
    }

    pub(super) fn take_typed(&mut self, ctx: &Context, wanted: Wanted, text: &str) {
        let Some(path) = typed_path(text) else { return };
        self.state.overlay = None;
        match wanted {
            Wanted::Open => self.open(ctx, OpenFrom::File(path)),
            // A path that ends like a folder is one.
            Wanted::Save if text.trim_end().ends_with(['/', '\\']) => {
                let name = suggested_name(self.session.snapshot().name());
                self.save_to(path.join(name), Overwrite::OwnOnly);
            }
            Wanted::Save => self.save_to(with_ending(path), Overwrite::OwnOnly),
            Wanted::Figure if text.trim_end().ends_with(['/', '\\']) => {
                let name = self.figures.name();
                self.write_figure(ctx, path.join(name), Overwrite::OwnOnly);
            }
            Wanted::Figure => self.write_figure(ctx, path, Overwrite::OwnOnly),
            Wanted::Table => self.filing.ask(Job::Read { path }),
        }
    }

    pub(super) fn take_dropped(&mut self, ctx: &Context) {
        let dropped = ctx.input(|input| {
            let files = &input.raw.dropped_files;
            files.first().map(|file| (file.path().to_owned(), files.len()))
        });
        let Some((path, count)) = dropped else { return };
        if count > 1 {
            let text =
                format!("One project is open at a time: of {count} files, {} was taken.", file_name(&path));
            self.filing.tell(Sign::Warn, text);
        }
        self.open(ctx, OpenFrom::File(path));
    }
}
