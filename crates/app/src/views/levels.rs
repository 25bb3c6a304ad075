//! The levels at which a law can be given, side by side with what each gives at the case, and the way from one to another.

use aircraft::revise::Revision;
use egui::{Button, Label, RichText, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo};

use crate::command::Command;
use crate::look;
use crate::views::figure::follow_focus;

/// A level of a law.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LevelRow {
    /// Its word in a project file.
    pub name: String,
    /// What it gives at the case: `812 W`; or why it gives nothing.
    pub result: String,
    /// Whether the project uses it.
    pub is_used: bool,
    /// What it is.
    pub doc: String,
    /// What changes with it; empty if nothing.
    pub note: String,
    /// The change of the project that uses it; nothing for the level in use and where too little is known.
    pub switch: Option<Revision>,
}

/// A law with its levels.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LawData {
    /// What it gives: `film`.
    pub what: String,
    /// Its address in the project.
    pub path: String,
    /// Its levels.
    pub levels: Vec<LevelRow>,
}

/// The laws of a device.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DeviceLevels {
    /// The device.
    pub device: String,
    /// The case at which the levels are compared.
    pub case: String,
    /// Its laws; none if it has none that could be given otherwise.
    pub laws: Vec<LawData>,
    /// Why they cannot be told; empty if they can.
    pub problem: String,
}

/// Widths in points: name and result.
const NAME: f32 = 130.0;
const RESULT: f32 = 130.0;
/// Room for the button of a level.
const BUTTON: f32 = 52.0;

/// Draws what is over the page for a device.
pub fn device_levels_ui(
    ui: &mut Ui,
    levels: Option<&DeviceLevels>,
    refused: Option<&String>,
    height: f32,
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    let Some(levels) = levels else {
        ui.label("Calculating.");
        return;
    };
    if !levels.problem.is_empty() {
        ui.add(Label::new(&levels.problem).wrap());
        return;
    }
    if levels.laws.is_empty() {
        let text = "It has nothing that could be given at another fidelity: its numbers are in the table of devices.";
        ui.add(Label::new(text).wrap());
        return;
    }
    let head = format!("What each fidelity gives at {}. The one in use is marked.", levels.case);
    ui.add(Label::new(RichText::new(head).color(colors.soft)).wrap());
    ui.add_space(look::space::NEAR);
    ScrollArea::vertical().max_height(height.max(120.0)).auto_shrink([false, true]).show(ui, |ui| {
        for law in &levels.laws {
            law_ui(ui, law, &levels.device, commands);
        }
        follow_focus(ui);
    });
    if let Some(reason) = refused {
        ui.add(Label::new(RichText::new(format!("Not done: {reason}")).color(colors.bad)).wrap());
    }
    let foot = "A fidelity that was not in use is filled in from the one that is, so that both give the same result here; its \
                numbers say so or are marked as placeholders. Undo restores the old one.";
    ui.add(Label::new(RichText::new(foot).color(colors.soft).small()).wrap());
}

/// Draws one law. `owner` is the name of the device or machine, so that the names of the buttons are unique on the page.
pub fn law_ui(ui: &mut Ui, law: &LawData, owner: &str, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.label(RichText::new(sentence(&law.what)).color(colors.ink)).on_hover_text(&law.path);
    for level in &law.levels {
        level_ui(ui, law, level, owner, commands);
    }
    ui.add_space(look::space::STEP);
}

fn level_ui(ui: &mut Ui, law: &LawData, level: &LevelRow, owner: &str, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
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
        column(ui, NAME, RichText::new(name));
        column(ui, RESULT, RichText::new(&level.result));
        ui.allocate_ui(Vec2::new(BUTTON, 20.0), |ui| {
            ui.set_min_width(BUTTON);
            if !level.is_used {
                use_ui(ui, law, level, owner, commands);
            }
        });
        let doc =
            if level.note.is_empty() { level.doc.clone() } else { format!("{} {}", level.doc, level.note) };
        ui.add(Label::new(RichText::new(&doc).color(colors.soft).small()).truncate()).on_hover_text(doc);
    });
}

fn use_ui(ui: &mut Ui, law: &LawData, level: &LevelRow, owner: &str, commands: &mut Vec<Command>) {
    let response = ui.add_enabled(level.switch.is_some(), Button::new("Use"));
    let name = format!("Use {} for {}, {}", level.name, owner, law.what);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, level.switch.is_some(), &name));
    let hint = "Switch to this fidelity, filled in to give the same result in this case; its numbers are marked as assumed";
    let hint = if level.note.is_empty() { hint.to_owned() } else { format!("{hint}\n{}", level.note) };
    let response = response.on_hover_text(hint).on_disabled_hover_text(
        "Not enough is known in this case: choose one with flow or rotation, or enter it in the file",
    );
    if let (true, Some(switch)) = (response.clicked(), &level.switch) {
        commands.push(Command::Revise(switch.clone()));
    }
}

/// With a capital at the beginning.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_head_begins_with_a_capital() {
        assert_eq!((sentence("film"), sentence("")), ("Film".to_owned(), String::new()));
    }
}
