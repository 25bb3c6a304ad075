//! Where a number comes from.

use egui::{RichText, Ui};

use crate::command::Command;
use crate::look;

/// The relation behind a number, with everything needed to follow it by hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Explanation {
    /// What the number is: `Motor jacket: heat to coolant`.
    pub title: String,
    /// The number with its unit.
    pub value: String,
    /// The relation or balance used.
    pub relation: String,
    /// Where the relation is published.
    pub source: String,
    /// Names and values of what went into it, in the order of the relation.
    pub inputs: Vec<(String, String)>,
    /// The range in which the relation is valid.
    pub range: String,
    /// Whether the inputs are inside that range; nothing where the relation has no range.
    pub inside: Option<bool>,
    /// The published scatter.
    pub scatter: String,
}

/// Draws the explanation as a short record.
pub fn explanation_ui(ui: &mut Ui, explanation: &Explanation, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.label(RichText::new(&explanation.value).size(look::size::LARGE));
    ui.add_space(look::space::NEAR);
    entry_ui(ui, "Relation", &explanation.relation);
    entry_ui(ui, "Source", &explanation.source);
    for (name, value) in &explanation.inputs {
        entry_ui(ui, name, value);
    }
    entry_ui(ui, "Valid range", &explanation.range);
    let (word, color) = match explanation.inside {
        Some(true) => ("inside", colors.good),
        Some(false) => ("outside: held at the edge of the range", colors.warn),
        None => ("no range stated", colors.soft),
    };
    row_ui(ui, "Inputs are", RichText::new(word).color(color));
    entry_ui(ui, "Scatter", &explanation.scatter);
    ui.add_space(look::space::STEP);
    let command = Command::CopyTable;
    if ui.button("Copy explanation").on_hover_text(command.tooltip()).clicked() {
        commands.push(command);
    }
}

fn entry_ui(ui: &mut Ui, name: &str, value: &str) {
    if !value.is_empty() {
        row_ui(ui, name, RichText::new(value));
    }
}

fn row_ui(ui: &mut Ui, name: &str, value: RichText) {
    let colors = look::palette(ui);
    ui.horizontal_top(|ui| {
        ui.allocate_ui(egui::Vec2::new(130.0, look::space::ROW - 6.0), |ui| {
            ui.set_min_width(130.0);
            ui.label(RichText::new(name).color(colors.soft));
        });
        ui.add(egui::Label::new(value).wrap());
    });
}
