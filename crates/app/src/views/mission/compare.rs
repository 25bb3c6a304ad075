//! Choosing the case that lies beneath the shown one, and telling the two apart.

use egui::{Button, ComboBox, Label, RichText, Sense, TextWrapMode, Ui, Vec2};

use super::data::MissionData;
use crate::clock::clock;
use crate::command::Command;
use crate::look;
use crate::views::chart::line_sample;
use model::case_name::CaseName;
use session::{Choice, Compared};

/// What can lie beneath the shown case.
#[derive(Debug, Clone, Copy)]
pub struct Compare<'a> {
    /// What is shown.
    pub choice: &'a Choice,
    /// All variants.
    pub variants: &'a [String],
    /// All mission cases.
    pub cases: &'a [CaseName],
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
        let label = ui.label(RichText::new("Overlay").color(colors.soft).small());
        let shown = chosen.map_or_else(|| NOTHING.to_owned(), |compared| compared.case.to_string());
        let names: Vec<String> = compare.cases.iter().map(ToString::to_string).collect();
        let names: Vec<&str> = std::iter::once(NOTHING).chain(names.iter().map(String::as_str)).collect();
        if let Some(index) = box_ui(ui, "overlaid case", (&shown, &names), width, label.id) {
            let variant = chosen.map_or(&compare.choice.variant, |compared| &compared.variant).clone();
            // the first entry is nothing at all
            let case = index.checked_sub(1).and_then(|index| compare.cases.get(index)).cloned();
            commands.push(Command::Compare(case.map(|case| Compared { variant, case })));
        }
        let label = ui.label(RichText::new("of variant").color(colors.soft).small());
        let shown = chosen.map_or(&compare.choice.variant, |compared| &compared.variant);
        let names: Vec<&str> = compare.variants.iter().map(String::as_str).collect();
        if let Some(index) = box_ui(ui, "overlaid variant", (shown, &names), 0.6 * width, label.id) {
            let case = chosen.map_or(&compare.choice.case, |compared| &compared.case).clone();
            let variant = compare.variants[index].clone();
            commands.push(Command::Compare(Some(Compared { variant, case })));
        }
        legend_ui(ui, mission);
    });
}

/// The number of the entry that was picked.
fn box_ui(
    ui: &mut Ui,
    id: &str,
    (chosen, names): (&str, &[&str]),
    width: f32,
    label: egui::Id,
) -> Option<usize> {
    let mut picked = None;
    let combo = ComboBox::from_id_salt(id).selected_text(chosen).width(width).truncate();
    let response = combo.show_ui(ui, |ui| {
        ui.set_min_width(width);
        for (index, name) in names.iter().enumerate() {
            let entry = Button::selectable(*name == chosen, *name).wrap_mode(TextWrapMode::Extend);
            if ui.add(entry).clicked() && *name != chosen {
                picked = Some(index);
            }
        }
    });
    let hover =
        "Another mission case as thin curves: with a failure, at another condition or of another variant";
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
