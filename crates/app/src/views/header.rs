//! The header: project, choices, and always the worst margin.

use std::path::PathBuf;
use std::time::Duration;

use egui::{self, Align, Button, ComboBox, Label, Layout, RichText, Sense, TextWrapMode, Ui, Vec2};

use crate::command::{Command, Overlay};
use crate::files::Origin;
use crate::look;
use crate::views::figure::Sign;
use crate::views::files::project_menu_ui;
use model::case_name::CaseName;
use model::standing::Standing;
use session::{Choice, Choices};

/// The margin with the least reserve over all cases, by the ranking of all margins.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WorstMargin {
    /// The reserve, margin less required margin, with its sign and unit: `+6.3 K`; how a case without a state ended.
    pub reserve: String,
    /// Both numbers behind it: `margin 21.3 of 15.0 K required`; empty for a case without a state.
    pub behind: String,
    /// Component and limit.
    pub where_: String,
    /// Full name of the case.
    pub case: CaseName,
    /// When in a mission, in seconds.
    pub time_s: Option<f64>,
    /// How it stands.
    pub standing: Standing,
}

/// What the header shows of the results.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HeaderData {
    /// Name of the project.
    pub project: String,
    /// The worst margin; nothing while there is no result.
    pub worst: Option<WorstMargin>,
    /// Why the shown case has no solution: the named outcome with its numbers.
    pub outcome: Option<String>,
    /// What is to be known about the shown case although it is solved: a line each, place first.
    pub notices: Vec<String>,
}

/// How far the shown results are behind the edits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// The results belong to what is shown.
    Current(Duration),
    /// A newer state is being solved.
    Solving,
    /// It was stopped before everything was there.
    Incomplete,
}

/// What the header needs besides the results.
#[derive(Debug)]
pub struct HeaderState<'a> {
    /// What can be chosen.
    pub choices: &'a Choices,
    /// What is chosen.
    pub choice: &'a Choice,
    /// What undo would take back.
    pub undo: Option<String>,
    /// What redo would do again.
    pub redo: Option<String>,
    /// Whether there are edits since the last save.
    pub is_unsaved: bool,
    /// Where the project is saved to.
    pub origin: &'a Origin,
    /// The files that were open before.
    pub recent: &'a [PathBuf],
    /// How far the results are.
    pub progress: Progress,
}

/// Draws the header.
pub fn header_ui(ui: &mut Ui, data: &HeaderData, state: &HeaderState<'_>, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        let right = 330.0_f32.min(ui.available_width() * 0.4);
        let left = ui.available_width() - right - look::space::GROUP;
        ui.allocate_ui_with_layout(Vec2::new(left, 54.0), Layout::top_down(Align::Min), |ui| {
            ui.set_width(left);
            ui.horizontal(|ui| title_row_ui(ui, data, state, commands));
            ui.horizontal(|ui| choosers_ui(ui, &data.notices, state, commands));
        });
        ui.separator();
        ui.allocate_ui_with_layout(Vec2::new(right, 54.0), Layout::top_down(Align::Min), |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            worst_ui(ui, data.worst.as_ref(), commands);
        });
    });
}

fn title_row_ui(ui: &mut Ui, data: &HeaderData, state: &HeaderState<'_>, commands: &mut Vec<Command>) {
    project_menu_ui(ui, state.origin, state.recent, commands);
    step_button_ui(ui, Command::Undo, state.undo.as_deref(), "Nothing to undo", commands);
    step_button_ui(ui, Command::Redo, state.redo.as_deref(), "Nothing to redo", commands);
    let colors = look::palette(ui);
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        helps_ui(ui, commands);
        let (text, hover) = match state.progress {
            Progress::Solving => ("solving…".to_owned(), "A newer version is being solved"),
            Progress::Incomplete => ("incomplete".to_owned(), "Not everything has been calculated"),
            Progress::Current(time) => {
                (format!("solved in {}", duration(time)), "Time taken by the last solution")
            }
        };
        // One width for all times, so that the name beside it does not move.
        ui.allocate_ui_with_layout(Vec2::new(100.0, 20.0), Layout::right_to_left(Align::Center), |ui| {
            ui.set_min_width(100.0);
            ui.label(RichText::new(text).color(colors.soft).small()).on_hover_text(hover);
        });
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| name_ui(ui, data, state));
    });
}

/// What helps with the window, in the order of reading although it stands at the right end: its width is known from the frame
/// before.
fn helps_ui(ui: &mut Ui, commands: &mut Vec<Command>) {
    let id = ui.scope_id().with("width of the helps");
    let known = ui.data(|data| data.get_temp::<f32>(id));
    let size = Vec2::new(known.unwrap_or(180.0), 22.0);
    let drawn = ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), |ui| {
        for overlay in [Overlay::Find, Overlay::Guide, Overlay::Keys, Overlay::About] {
            let command = Command::Open(overlay);
            if ui.add(Button::new(command.label()).frame(false)).on_hover_text(command.tooltip()).clicked() {
                commands.push(command);
            }
        }
        ui.min_rect().width()
    });
    if known != Some(drawn.inner) {
        ui.data_mut(|data| data.insert_temp(id, drawn.inner));
        ui.ctx().request_repaint();
    }
}

/// The project and its file; a filled mark and a word where there are edits that are not saved.
fn name_ui(ui: &mut Ui, data: &HeaderData, state: &HeaderState<'_>) {
    let colors = look::palette(ui);
    let path = state.origin.path().map_or_else(|| state.origin.name(), |path| path.display().to_string());
    if state.is_unsaved {
        let (rect, _) = ui.allocate_exact_size(Vec2::new(8.0, 16.0), Sense::empty());
        ui.painter().circle_filled(rect.center(), 3.5, colors.accent);
        ui.label(RichText::new("edited").color(colors.accent).small())
            .on_hover_text("Edited since the last save");
    }
    let mut job = egui::text::LayoutJob::default();
    let format = |size, color| egui::TextFormat {
        font_id: egui::FontId::proportional(size),
        color,
        valign: Align::Center,
        ..Default::default()
    };
    job.append(&data.project, 0.0, format(look::size::TITLE, colors.ink));
    job.append(&state.origin.name(), 10.0, format(look::size::SMALL, colors.soft));
    ui.add(Label::new(job).truncate()).on_hover_text(format!("{}\n{path}", data.project));
}

fn step_button_ui(
    ui: &mut Ui,
    command: Command,
    what: Option<&str>,
    why_not: &str,
    commands: &mut Vec<Command>,
) {
    let keys = command.shortcut().map(|keys| ui.ctx().format_shortcut(&keys)).unwrap_or_default();
    let response = ui.add_enabled(what.is_some(), Button::new(command.label()));
    let response =
        response.on_hover_text(format!("{}: {}  {keys}", command.label(), what.unwrap_or_default()));
    if response.on_disabled_hover_text(why_not).clicked() {
        commands.push(command);
    }
}

fn choosers_ui(ui: &mut Ui, notices: &[String], state: &HeaderState<'_>, commands: &mut Vec<Command>) {
    let conditions: Vec<String> = state.choices.conditions().into_iter().map(str::to_owned).collect();
    let cases: Vec<&CaseName> = state.choices.cases_at(&state.choice.case.condition).collect();
    let names: Vec<String> = cases.iter().map(|case| case.at_condition()).collect();
    // What is left for the three boxes beside their labels.
    let beside = if notices.is_empty() { 190.0 } else { 270.0 };
    let width = ((ui.available_width() - beside) / 3.0).clamp(70.0, 240.0);
    let chosen = state.choice;
    chooser_ui(ui, "Variant", (&chosen.variant, &state.choices.variants), width, |index| {
        commands.push(Command::ChooseVariant(state.choices.variants[index].clone()));
    });
    chooser_ui(ui, "Condition", (&chosen.case.condition, &conditions), width, |index| {
        commands.push(Command::ChooseCondition(conditions[index].clone()));
    });
    chooser_ui(ui, "Case", (&chosen.case.at_condition(), &names), width, |index| {
        commands.push(Command::ChooseCase(cases[index].clone()));
    });
    notices_ui(ui, notices);
}

/// How much is to be known about the shown case; all of it where the pointer rests.
fn notices_ui(ui: &mut Ui, notices: &[String]) {
    if notices.is_empty() {
        return;
    }
    let colors = look::palette(ui);
    let count = if notices.len() == 1 { "1 notice".to_owned() } else { format!("{} notices", notices.len()) };
    let label = Label::new(RichText::new(count).color(colors.accent).small());
    ui.add(label).on_hover_text(notices.join("\n\n"));
}

fn chooser_ui(
    ui: &mut Ui,
    label: &str,
    (chosen, names): (&str, &[String]),
    width: f32,
    mut choose: impl FnMut(usize),
) {
    let colors = look::palette(ui);
    let label_response = ui.label(RichText::new(label).color(colors.soft).small());
    let combo = ComboBox::from_id_salt(label).selected_text(chosen).width(width).truncate();
    let response = combo.show_ui(ui, |ui| {
        ui.set_min_width(width);
        for (index, name) in names.iter().enumerate() {
            let entry = Button::selectable(name == chosen, name).wrap_mode(TextWrapMode::Extend);
            if ui.add(entry).clicked() && name != chosen {
                choose(index);
            }
        }
    });
    response.response.labelled_by(label_response.id).on_hover_text(format!("{label}: {chosen}"));
}

fn worst_ui(ui: &mut Ui, worst: Option<&WorstMargin>, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    let Some(worst) = worst else {
        ui.label(RichText::new("Least reserve").color(colors.soft).small());
        ui.label(RichText::new("no result yet").color(colors.soft));
        return;
    };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = look::space::NEAR + 2.0;
        ui.label(RichText::new("Least reserve").color(colors.soft).small());
        let (rect, _) = ui.allocate_exact_size(Vec2::new(12.0, 24.0), Sense::empty());
        let sign = Sign::from(worst.standing);
        sign.paint(ui.painter(), rect.center(), colors);
        let ink = sign.ink(colors);
        ui.label(RichText::new(&worst.reserve).size(look::size::LARGE).color(ink));
        ui.label(RichText::new(worst.standing.words()).color(ink));
        // A case without a state has no numbers to tell.
        if !worst.behind.is_empty() {
            let behind = Label::new(RichText::new(&worst.behind).color(colors.soft).small());
            ui.add(behind.wrap_mode(TextWrapMode::Truncate)).on_hover_text(&worst.behind);
        }
    });
    let command = Command::JumpTo { case: worst.case.clone(), time_s: worst.time_s };
    let text = format!("{} · {}", worst.where_, worst.case);
    let link = Label::new(RichText::new(&text).color(colors.accent).size(look::size::SMALL))
        .wrap_mode(TextWrapMode::Truncate)
        .sense(Sense::click());
    let response = ui.add(link).on_hover_cursor(egui::CursorIcon::PointingHand);
    if response.on_hover_text(format!("{text}\n{}", command.tooltip())).clicked() {
        commands.push(command);
    }
}

/// A duration with three digits at most: `0.18 ms`, `24 ms`, `1.3 s`.
pub fn duration(time: Duration) -> String {
    let ms = time.as_secs_f64() * 1e3;
    match ms {
        ..1.0 => format!("{ms:.2} ms"),
        ..10.0 => format!("{ms:.1} ms"),
        ..1000.0 => format!("{ms:.0} ms"),
        _ => format!("{:.1} s", ms / 1e3),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations_are_short() {
        for (micros, text) in [(180, "0.18 ms"), (4_200, "4.2 ms"), (24_000, "24 ms"), (1_300_000, "1.3 s")] {
            assert_eq!(duration(Duration::from_micros(micros)), text);
        }
    }
}
