//! What stands over a page until it is closed.

use egui::{self, Context, Ui};

use super::Window;
use crate::command::{Command, Overlay};
use crate::files::Wanted;
use crate::places::places;
use crate::views::about::{about_ui, keys_ui};
use crate::views::begin::begin_ui;
use crate::views::explanation::explanation_ui;
use crate::views::files::{changed_ui, demos_ui, exists_ui, findings_ui, typed_path_ui, unsaved_ui};
use crate::views::find::find_ui;
use crate::views::guide::guide_ui;
use crate::views::levels::device_levels_ui;
use crate::views::loops::duty_ui;
use crate::views::names::names_ui;
use crate::views::table::table_ui;

impl Window {
    pub(super) fn overlay_ui(&mut self, ctx: &Context) {
        let Some(overlay) = self.state.overlay.clone() else { return };
        let (title, width) = self.overlay_title(&overlay);
        let mut is_open = true;
        egui::Window::new(title)
            // one that is wide leaves no narrow one behind it wide
            .id(egui::Id::unique(("overlay", width as i32)))
            .open(&mut is_open)
            .collapsible(false)
            .resizable(false)
            .default_width(width)
            .max_height(ctx.content_rect().height() - 120.0)
            .anchor(egui::Align2::CENTER_CENTER, [0.0, 0.0])
            .show(ctx, |ui| {
                ui.set_width(width);
                if overlay.is_question() {
                    // Tab stays among the answers
                    ctx.memory_mut(|memory| memory.set_modal_layer(ui.layer_id()));
                }
                self.overlay_content_ui(ui, &overlay, ctx.content_rect().height() - 300.0);
            });
        if !is_open {
            self.commands.push(Command::CloseOverlay);
        }
    }

    /// What stands above an overlay, and how wide it is.
    fn overlay_title(&self, overlay: &Overlay) -> (String, f32) {
        let (title, width) = match overlay {
            Overlay::Levels(name) => return (format!("Fidelity of {name}"), 860.0),
            Overlay::Table => {
                let table = self.state.table.as_ref();
                return (table.map_or_else(String::new, |edit| format!("Table {}", edit.table.path)), 760.0);
            }
            Overlay::Duty(name) => (name.as_str(), 760.0),
            Overlay::Begin => ("New aircraft", 640.0),
            Overlay::Demos => ("New project from a demo", 560.0),
            Overlay::Names => ("Names", 720.0),
            Overlay::TypedPath(Wanted::Table) => ("Load a table", 560.0),
            Overlay::TypedPath(Wanted::Open) => ("Open a project", 560.0),
            Overlay::TypedPath(Wanted::Save) => ("Save the project", 560.0),
            Overlay::TypedPath(Wanted::Figure) => ("Save the figure", 560.0),
            Overlay::Unsaved => ("Edits are not saved", 420.0),
            Overlay::Exists(_) => ("Replace the file?", 480.0),
            Overlay::ChangedByOthers(_) => ("The file has changed", 480.0),
            Overlay::Findings => (self.filing.findings.what.as_str(), 640.0),
            Overlay::About => ("About", 640.0),
            Overlay::Keys => ("Commands and keys", 640.0),
            Overlay::Guide => ("Guide", 640.0),
            Overlay::Find => ("Find", 560.0),
            Overlay::Explanation(key) => {
                let found = self.screen.explanations.get(key);
                (found.map_or("No explanation for this case", |e| e.title.as_str()), 520.0)
            }
        };
        (title.to_owned(), width)
    }

    fn overlay_content_ui(&mut self, ui: &mut Ui, overlay: &Overlay, height: f32) {
        let losses = self.losses();
        match overlay {
            Overlay::Duty(name) => duty_ui(ui, &self.screen.strips, name),
            Overlay::Levels(name) => {
                let levels = self.screen.levels.as_deref().filter(|levels| levels.device == *name);
                let refused = self.state.revising.refused.as_ref();
                device_levels_ui(ui, levels, refused, height, &mut self.commands);
            }
            Overlay::Names => {
                let names = &mut self.state.names;
                let revision = Some(self.session.history().revision());
                if names.revision != revision {
                    names.revision = revision;
                    names.things = self.session.snapshot().things();
                }
                let refused = self.state.revising.refused.as_ref();
                names_ui(ui, names, refused, height, &mut self.commands);
            }
            Overlay::Table => match &mut self.state.table {
                Some(edit) => table_ui(ui, edit, height + 180.0, &mut self.commands),
                None => self.commands.push(Command::CloseOverlay),
            },
            Overlay::Begin => begin_ui(ui, &mut self.state.begin, &mut self.commands),
            Overlay::Demos => demos_ui(ui, &self.filing.settings.demos, &mut self.commands),
            Overlay::TypedPath(wanted) => {
                typed_path_ui(ui, *wanted, &mut self.filing.typed, &mut self.commands);
            }
            Overlay::Unsaved => unsaved_ui(ui, &self.filing.origin, losses, &mut self.commands),
            Overlay::Exists(path) => exists_ui(ui, path, &mut self.commands),
            Overlay::ChangedByOthers(path) => changed_ui(ui, path, &mut self.commands),
            Overlay::Findings => findings_ui(ui, &self.filing.findings, height),
            Overlay::About => about_ui(ui),
            Overlay::Keys => keys_ui(ui),
            Overlay::Guide => guide_ui(ui, &mut self.commands),
            Overlay::Find => {
                find_ui(ui, &places(&self.screen), &mut self.state.wanted, &mut self.commands);
            }
            Overlay::Explanation(key) => match self.screen.explanations.get(key) {
                Some(found) => explanation_ui(ui, found, &mut self.commands),
                None => {
                    ui.label("This number is not part of the case on screen.");
                }
            },
        }
    }
}
