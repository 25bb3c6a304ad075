//! Drawing the pages Machines and Pack.

use egui::text::{LayoutJob, TextFormat};
use egui::{Align, Button, Label, Layout, RichText, ScrollArea, Ui, Vec2};

use super::data::MachineData;
use crate::command::Command;
use crate::look;
use crate::views::chart::{Frame, chart_ui};
use crate::views::field::{Columns, Drafts, column_input_ui};
use crate::views::figure::{follow_focus, page_keys};
use crate::views::levels::law_ui;
use crate::views::table::tables_ui;

/// Width of the list of machines.
const LIST: f32 = 210.0;
/// Height of a chart: a part of the page, between these.
const CHART: (f32, f32) = (150.0, 300.0);
const CHART_PART: f32 = 0.2;

/// Draws one of the two pages. `shown` is the key of the chosen machine; the first one is shown without.
pub fn machines_ui(
    ui: &mut Ui,
    title: &str,
    machines: &[&MachineData],
    shown: Option<&str>,
    (drafts, refused): (&mut Drafts, Option<&String>),
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    look::sheet(colors).show(ui, |ui| {
        let Some(machine) =
            machines.iter().find(|machine| Some(machine.key().as_str()) == shown).or(machines.first())
        else {
            ui.heading(title);
            return;
        };
        let height = ui.available_height();
        ui.horizontal_top(|ui| {
            ui.allocate_ui_with_layout(Vec2::new(LIST, height), Layout::top_down(Align::Min), |ui| {
                ui.heading(title);
                ScrollArea::vertical().id_salt("machines").auto_shrink([false, false]).show(ui, |ui| {
                    ui.vertical(|ui| list_ui(ui, machines, machine, commands));
                    follow_focus(ui);
                });
            });
            ui.add_space(look::space::STEP);
            let size = Vec2::new(ui.available_width(), height);
            ui.allocate_ui(size, |ui| {
                ScrollArea::vertical().id_salt("machine").auto_shrink([false, false]).show(ui, |ui| {
                    ui.vertical(|ui| machine_ui(ui, machine, (drafts, refused), commands));
                    page_keys(ui);
                    follow_focus(ui);
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

fn machine_ui(
    ui: &mut Ui,
    machine: &MachineData,
    (drafts, refused): (&mut Drafts, Option<&String>),
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    ui.heading(machine.key());
    if !machine.note.is_empty() {
        ui.add(Label::new(RichText::new(&machine.note).color(colors.soft)).wrap());
    }
    ui.add_space(look::space::NEAR);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = look::space::GROUP;
        for row in &machine.values.shown.rows {
            let [name, value, ..] = row.as_slice() else { continue };
            // one text, so that a line never ends between a name and its value
            let mut text = LayoutJob::default();
            let format =
                |font, color| TextFormat { valign: Align::Center, ..TextFormat::simple(font, color) };
            text.append(&name.text, 0.0, format(look::small(), colors.soft));
            text.append(&value.text, look::space::NEAR, format(look::body(), colors.ink));
            ui.add(Label::new(text).extend());
        }
    });
    ui.add_space(look::space::STEP);
    let height = (CHART_PART * ui.clip_rect().height()).clamp(CHART.0, CHART.1);
    for (chart, held) in &machine.charts {
        chart_ui(ui, chart, Frame { height, lines: &[] });
        if !held.is_empty() {
            ui.add(Label::new(RichText::new(held).color(colors.soft).small()).wrap());
        }
        ui.add_space(look::space::STEP);
    }
    if let Some(law) = &machine.law {
        ui.label(RichText::new("Levels at this case").color(colors.ink));
        law_ui(ui, law, &machine.key(), commands);
        if let Some(reason) = refused {
            ui.add(Label::new(RichText::new(format!("Not done: {reason}")).color(colors.bad)).wrap());
        }
    }
    if !machine.tables.is_empty() {
        ui.label(RichText::new("Tables").color(colors.ink));
        ui.horizontal_wrapped(|ui| tables_ui(ui, &machine.key(), &machine.tables, commands));
        ui.add_space(look::space::STEP);
    }
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
