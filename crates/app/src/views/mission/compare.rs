//! Choosing the case that lies beneath the shown one, and telling the two apart.

use eframe::egui::{Button, ComboBox, Label, RichText, Sense, TextWrapMode, Ui, Vec2};

use super::data::MissionData;
use crate::command::Command;
use crate::look;
use crate::subject::{Choice, Compared};
use crate::views::chart::line_sample;
use crate::views::time::clock;

/// What can lie beneath the shown case.
#[derive(Debug, Clone, Copy)]
pub struct Compare<'a> {
    /// What is shown.
    pub choice: &'a Choice,
    /// All variants.
    pub variants: &'a [String],
    /// The full names of all mission cases.
    pub cases: &'a [String],
}

const NOTHING: &str = "nothing";

/// One row: the two boxes, and the sample of both lines with their names.
pub(super) fn compare_ui(
    ui: &mut Ui,
    mission: &MissionData,
    compare: &Compare<'_>,
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    let chosen = compare.choice.compared.as_ref();
    let width = ((ui.available_width() - 260.0) / 4.0).clamp(120.0, 250.0);
    ui.horizontal(|ui| {
        let label = ui.label(RichText::new("Beneath").color(colors.soft).small());
        let shown = chosen.map_or(NOTHING, |compared| compared.case.as_str());
        let mut names: Vec<&str> = vec![NOTHING];
        names.extend(compare.cases.iter().map(String::as_str));
        let picked = box_ui(ui, "case beneath", (shown, &names), width, label.id);
        if let Some(case) = picked {
            let variant = chosen.map_or(&compare.choice.variant, |compared| &compared.variant).clone();
            let compared = Compared { variant, case: case.to_owned() };
            commands.push(Command::Compare((case != NOTHING).then_some(compared)));
        }
        let label = ui.label(RichText::new("of variant").color(colors.soft).small());
        let shown = chosen.map_or(&compare.choice.variant, |compared| &compared.variant);
        let names: Vec<&str> = compare.variants.iter().map(String::as_str).collect();
        if let Some(variant) = box_ui(ui, "variant beneath", (shown, &names), 0.6 * width, label.id) {
            let case = chosen.map_or_else(|| compare.choice.case_name(), |compared| compared.case.clone());
            commands.push(Command::Compare(Some(Compared { variant: variant.to_owned(), case })));
        }
        legend_ui(ui, mission);
    });
}

fn box_ui<'a>(
    ui: &mut Ui,
    id: &str,
    (chosen, names): (&str, &[&'a str]),
    width: f32,
    label: eframe::egui::Id,
) -> Option<&'a str> {
    let mut picked = None;
    let combo = ComboBox::from_id_salt(id).selected_text(chosen).width(width).truncate();
    let response = combo.show_ui(ui, |ui| {
        ui.set_min_width(width);
        for name in names {
            let entry = Button::selectable(*name == chosen, *name).wrap_mode(TextWrapMode::Extend);
            if ui.add(entry).clicked() && *name != chosen {
                picked = Some(*name);
            }
        }
    });
    let hover = "Another mission case, drawn thin beneath this one: with a failure, at another condition, of another variant";
    response.response.labelled_by(label).on_hover_text(hover);
    picked
}

/// A sample of the fine line and the name of the case it stands for.
fn legend_ui(ui: &mut Ui, mission: &MissionData) {
    let Some(beneath) = &mission.beneath else { return };
    let colors = look::palette(ui);
    if let Some(problem) = &beneath.problem {
        let text = format!("{} has no curves: {problem}", beneath.name);
        ui.add(Label::new(RichText::new(&text).color(colors.bad).small()).truncate()).on_hover_text(text);
        return;
    }
    let (rect, _) = ui.allocate_exact_size(Vec2::new(28.0, 16.0), Sense::empty());
    line_sample(ui, rect);
    let cut = if beneath.end_s > mission.end_s + 0.5 {
        format!(", {} longer than this one", clock(beneath.end_s - mission.end_s))
    } else {
        String::new()
    };
    let text = format!("{}, {} in all{cut}", beneath.name, clock(beneath.end_s));
    ui.add(Label::new(RichText::new(&text).color(colors.soft).small()).truncate()).on_hover_text(&text);
}
