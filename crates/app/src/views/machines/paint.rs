//! Drawing the pages Machines and Pack.

use eframe::egui::text::{LayoutJob, TextFormat};
use eframe::egui::{Align, Button, Label, RichText, ScrollArea, Sense, Ui, Vec2};

use super::data::{LevelRow, MachineData};
use crate::command::Command;
use crate::look;
use crate::views::chart::{Frame, chart_ui};
use crate::views::field::{Columns, Drafts, column_input_ui};

/// Width of the list of machines.
const LIST: f32 = 210.0;
const CHART: f32 = 150.0;

/// Draws one of the two pages. `shown` is the key of the chosen machine; the first one is shown without.
pub fn machines_ui(
    ui: &mut Ui,
    title: &str,
    machines: &[&MachineData],
    shown: Option<&str>,
    drafts: &mut Drafts,
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    look::sheet(colors).show(ui, |ui| {
        ui.heading(title);
        let Some(machine) =
            machines.iter().find(|machine| Some(machine.key().as_str()) == shown).or(machines.first())
        else {
            ui.label(
                "Nothing to show: the project has no powertrain, or this case has no state. Choose another case, or begin \
                 a new aircraft from a few answers (Project).",
            );
            ui.allocate_space(ui.available_size());
            return;
        };
        let height = ui.available_height();
        ui.horizontal_top(|ui| {
            ui.allocate_ui(Vec2::new(LIST, height), |ui| {
                ScrollArea::vertical().id_salt("machines").auto_shrink([false, false]).show(ui, |ui| {
                    ui.vertical(|ui| list_ui(ui, machines, machine, commands));
                });
            });
            ui.add_space(look::space::STEP);
            let size = Vec2::new(ui.available_width() - ui.spacing().item_spacing.x, height);
            ui.allocate_ui(size, |ui| {
                ScrollArea::vertical().id_salt("machine").auto_shrink([false, false]).show(ui, |ui| {
                    ui.vertical(|ui| machine_ui(ui, machine, drafts, commands));
                });
            });
        });
    });
}

fn list_ui(ui: &mut Ui, machines: &[&MachineData], shown: &MachineData, commands: &mut Vec<Command>) {
    for machine in machines {
        let key = machine.key();
        let button =
            Button::selectable(key == shown.key(), &key).truncate().min_size(Vec2::new(LIST - 16.0, 24.0));
        let hover = if machine.note.is_empty() { key.clone() } else { format!("{key}\n{}", machine.note) };
        if ui.add(button).on_hover_text(hover).clicked() {
            commands.push(Command::SelectMachine(key));
        }
    }
}

fn machine_ui(ui: &mut Ui, machine: &MachineData, drafts: &mut Drafts, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.heading(machine.key());
    if !machine.note.is_empty() {
        ui.add(Label::new(RichText::new(&machine.note).color(colors.soft)).wrap());
    }
    ui.add_space(look::space::NEAR);
    ui.horizontal_wrapped(|ui| {
        for (name, value) in &machine.values {
            // one text, so that a line never ends between a name and its value
            let mut text = LayoutJob::default();
            let format =
                |font, color| TextFormat { valign: Align::Center, ..TextFormat::simple(font, color) };
            text.append(name, 0.0, format(look::small(), colors.soft));
            text.append(value, look::space::NEAR, format(look::body(), colors.ink));
            ui.add(Label::new(text).extend());
            ui.add_space(look::space::STEP);
        }
    });
    ui.add_space(look::space::STEP);
    for (chart, held) in &machine.charts {
        chart_ui(ui, chart, Frame { height: CHART, lines: &[] });
        if !held.is_empty() {
            ui.add(Label::new(RichText::new(held).color(colors.soft).small()).wrap());
        }
        ui.add_space(look::space::STEP);
    }
    levels_ui(ui, &machine.levels);
    if machine.fields.is_empty() {
        return;
    }
    ui.label(RichText::new("Inputs").color(colors.ink));
    let columns = Columns::of(&machine.fields, ui.available_width());
    let owner = machine.key();
    for row in machine.fields.chunks(columns.across) {
        ui.horizontal(|ui| {
            for input in row {
                column_input_ui(ui, &owner, input, columns, drafts, commands);
            }
        });
    }
}

/// What each level gives at the case.
fn levels_ui(ui: &mut Ui, levels: &[LevelRow]) {
    if levels.is_empty() {
        return;
    }
    let colors = look::palette(ui);
    ui.label(RichText::new("Levels of its loss at this case").color(colors.ink));
    for level in levels {
        ui.horizontal(|ui| {
            let (mark, _) = ui.allocate_exact_size(Vec2::new(10.0, 14.0), Sense::hover());
            if level.is_used {
                ui.painter().circle_filled(mark.center(), 3.5, colors.accent);
            }
            let name = if level.is_used { format!("{} (used)", level.name) } else { level.name.clone() };
            let column = |ui: &mut Ui, width: f32, text: RichText| {
                ui.allocate_ui(Vec2::new(width, 18.0), |ui| {
                    ui.set_min_width(width);
                    ui.label(text);
                });
            };
            column(ui, 150.0, RichText::new(name));
            column(ui, 130.0, RichText::new(&level.loss));
            ui.add(Label::new(RichText::new(&level.doc).color(colors.soft).small()).truncate());
        });
    }
    ui.add_space(look::space::STEP);
}
