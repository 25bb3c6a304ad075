//! What can be done to the marked device: rename, copy, move, branch, join, add, remove.

use aircraft::revise::{NewDevice, Revision};
use egui::{Button, Id, Key, RichText, ScrollArea, TextEdit, Ui};

use super::data::{DeviceRow, DeviceTable};
use crate::command::{Command, DeviceCommand};
use crate::look;

/// What the user is in the middle of with the marked device.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Revising {
    /// The new name as far as it is typed; nothing while none is being typed.
    pub name: Option<String>,
    /// Why the last change was refused.
    pub refused: Option<String>,
}

/// Draws the row above the table for the marked device; without one, how to mark one. `parts` are the names of the components and of the
/// ducts.
pub fn revise_ui(
    ui: &mut Ui,
    table: &DeviceTable,
    selected: Option<&str>,
    revising: &mut Revising,
    parts: (&[&str], &[&str]),
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    let marked = table.rows.iter().find(|row| Some(row.name.as_str()) == selected && !row.path.is_empty());
    ui.horizontal_wrapped(|ui| {
        if let Some(row) = marked {
            marked_ui(ui, row, revising, parts, commands);
            return;
        }
        let keys =
            Command::Device(DeviceCommand::Next).shortcut().map(|keys| ui.ctx().format_shortcut(&keys));
        let text =
            format!("Click the name of a device, or press {}, to change it.", keys.unwrap_or_default());
        ui.label(RichText::new(text).color(colors.soft).small());
    });
    refused_ui(ui, revising);
    ui.add_space(look::space::NEAR);
}

/// Why the last change was refused.
pub(super) fn refused_ui(ui: &mut Ui, revising: &Revising) {
    if let Some(reason) = &revising.refused {
        let colors = look::palette(ui);
        ui.label(RichText::new(format!("Not done: {reason}")).color(colors.bad).small());
    }
}

fn marked_ui(
    ui: &mut Ui,
    row: &DeviceRow,
    revising: &mut Revising,
    parts: (&[&str], &[&str]),
    commands: &mut Vec<Command>,
) {
    if revising.name.is_some() {
        name_ui(ui, row, revising, commands);
        return;
    }
    ui.label(RichText::new(&row.name).color(look::palette(ui).accent));
    for device in DeviceCommand::ALL.into_iter().skip(2) {
        let command = Command::Device(device);
        let label = if device == DeviceCommand::Rename { "Rename".to_owned() } else { command.label() };
        let keys = command.shortcut().map(|keys| ui.ctx().format_shortcut(&keys)).unwrap_or_default();
        if ui.add(Button::new(label)).on_hover_text(format!("{}\n{keys}", command.tooltip())).clicked() {
            commands.push(command);
        }
    }
    ui.menu_button("Add after", |ui| add_ui(ui, row, parts, commands)).response.on_hover_text(
        "Insert a new device after the selected one, with placeholder values marked as assumed",
    );
}

/// What can be put behind the marked device.
fn add_ui(
    ui: &mut Ui,
    row: &DeviceRow,
    (components, ducts): (&[&str], &[&str]),
    commands: &mut Vec<Command>,
) {
    let after = || row.path.clone();
    let mut revise = |ui: &mut Ui, revision: Revision| {
        commands.push(Command::Revise(revision));
        ui.close();
    };
    let in_duct = row.path.starts_with("ducts.");
    let devices: &[NewDevice] = if in_duct { &NewDevice::IN_DUCTS } else { &NewDevice::IN_LOOPS };
    for device in devices {
        if ui.button(device.word()).clicked() {
            revise(ui, Revision::Add { after: after(), device: *device });
        }
    }
    ui.menu_button(if in_duct { "surface of" } else { "cold plate under" }, |ui| {
        ScrollArea::vertical().max_height(360.0).show(ui, |ui| {
            for component in components {
                if ui.button(*component).clicked() {
                    revise(ui, Revision::AddPlate { after: after(), component: (*component).to_owned() });
                }
            }
        });
    });
    if in_duct {
        return;
    }
    ui.menu_button("core in", |ui| {
        if ui.button("a new duct").clicked() {
            revise(ui, Revision::AddCore { after: after(), duct: None });
        }
        for duct in ducts {
            if ui.button(*duct).clicked() {
                revise(ui, Revision::AddCore { after: after(), duct: Some((*duct).to_owned()) });
            }
        }
    });
    if ui.button("thermostat with a bypass around it").clicked() {
        revise(ui, Revision::Bypass(after()));
    }
}

/// The field for the new name: Enter gives it, Escape leaves the old one.
fn name_ui(ui: &mut Ui, row: &DeviceRow, revising: &mut Revising, commands: &mut Vec<Command>) {
    let label = ui.label(format!("New name of {}", row.name));
    let Some(name) = &mut revising.name else { return };
    let id = Id::unique("new name");
    let edit = TextEdit::singleline(name).id(id).desired_width(220.0);
    let response = ui.add(edit).labelled_by(label.id);
    let (enter, escape) = ui.input(|input| (input.key_pressed(Key::Enter), input.key_pressed(Key::Escape)));
    let (to, path) = (name.clone(), row.path.clone());
    let asked = ui.button("Apply name").clicked() || (response.lost_focus() && enter);
    if asked {
        commands.push(Command::Revise(Revision::Rename { path, to }));
    } else if escape || ui.button("Keep the old name").clicked() {
        *revising = Revising::default();
    } else if !response.has_focus() && !response.lost_focus() {
        response.request_focus();
    }
}
