//! The table that is edited: opened, checked, filled from a file, taken over.

use std::path::Path;

use egui::Context;

use super::Window;
use aircraft::revise::Revision;
use schema::Node;

use crate::command::{Overlay, TableCommand};
use crate::files::{Wanted, file_name};
use crate::views::table::TableEdit;

impl Window {
    pub(super) fn apply_to_table(&mut self, ctx: &Context, command: TableCommand) {
        match command {
            TableCommand::Edit(path) => self.edit_table(&path),
            TableCommand::Check => self.check_table(),
            TableCommand::Load => self.ask_path(ctx, Wanted::Table),
            TableCommand::Copy => {
                if let Some(edit) = &self.state.table {
                    ctx.copy_text(edit.table.to_text());
                }
            }
            TableCommand::TakeOver => self.take_table(),
            TableCommand::Restore => {
                let path = self.state.table.take().map(|edit| edit.table.path);
                if let Some(path) = path {
                    self.edit_table(&path);
                }
            }
        }
    }

    /// Shows a table. What was typed into it and not taken over is still there.
    fn edit_table(&mut self, path: &str) {
        let Some(table) = self.session.snapshot().table(path) else { return };
        let revision =
            Revision::Replace { title: String::new(), changes: vec![(path.to_owned(), Node::word("None"))] };
        if let Some(reason) = self.session.is_hidden(&revision) {
            self.state.revising.refused = Some(reason);
            return;
        }
        let kept = self.state.table.take().filter(|edit| edit.table.path == path && edit.before == table);
        self.state.table = Some(kept.unwrap_or_else(|| TableEdit::new(table)));
        self.close_overlay();
        self.show_table();
        self.check_table();
    }

    /// Puts the table that is edited over the page again.
    pub(super) fn show_table(&mut self) {
        if self.state.table.is_some() {
            self.state.overlay = Some(Overlay::Table);
        }
    }

    fn check_table(&mut self) {
        if let Some(edit) = &mut self.state.table {
            let found = self.session.snapshot().put_table(&edit.table);
            edit.problems = found.err().unwrap_or_default();
        }
    }

    /// The cells of a file have been read, or not.
    pub(super) fn take_cells(&mut self, path: &Path, result: Result<Vec<u8>, String>) {
        self.show_table();
        let Some(edit) = &mut self.state.table else { return };
        let name = file_name(path);
        let cells =
            result.and_then(|bytes| project::delimited::cells(&bytes).map_err(|error| error.to_string()));
        let done =
            cells.and_then(|cells| edit.table.replace_all(&cells).map_err(|misfit| misfit.to_string()));
        edit.note = match done {
            Ok(()) => format!("{} rows loaded from {name}.", edit.table.cells.len()),
            Err(why) => format!("{name} was not loaded: {why}."),
        };
        self.check_table();
    }

    /// Puts the table into the project.
    fn take_table(&mut self) {
        let Some(edit) = &mut self.state.table else { return };
        match self.session.snapshot().put_table(&edit.table) {
            Ok(revision) => {
                self.revise(&revision);
                if let Some(reason) = self.state.revising.refused.take() {
                    // a variant may need what the base design does not
                    if let Some(edit) = &mut self.state.table {
                        edit.note = format!("Not applied: {reason}");
                    }
                } else {
                    self.state.table = None;
                    self.close_overlay();
                }
            }
            Err(problems) => edit.problems = problems,
        }
    }
}
