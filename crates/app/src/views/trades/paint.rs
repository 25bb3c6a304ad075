//! Drawing the page Trades: the question to the left, its answer to the right.

use egui::{Button, ComboBox, Label, RichText, ScrollArea, TextEdit, Ui, Vec2};

use session::{Menu, Proposal};

use super::answer::answer_ui;
use super::data::TradesData;
use super::form::{AxisForm, TradesForm};
use super::pick::pick_ui;
use crate::command::Command;
use crate::look;
use crate::question::QuestionKind;
use crate::views::figure::{follow_focus, page_keys};
use crate::views::work::{WorkState, work_ui};

/// Width of the question, where the page is narrow and elsewhere.
const FORM: (f32, f32) = (240.0, 290.0);
/// A page narrower than this is narrow.
const NARROW: f32 = 1100.0;
const SHORT_FIELD: f32 = 84.0;

/// What the page is drawn with besides the form.
#[derive(Debug, Clone, Copy)]
pub struct TradesState<'a> {
    /// The answer, or as much of it as there is.
    pub data: Option<&'a TradesData>,
    /// Name of the variant that is asked about.
    pub variant: &'a str,
    /// What is not done, and whether the answer belongs to an earlier state of the project.
    pub work: WorkState<'a>,
}

/// Draws the page.
pub fn trades_ui(ui: &mut Ui, state: TradesState<'_>, form: &mut TradesForm, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    if let Some(data) = state.data {
        form.fill(&data.menu);
    }
    look::sheet(colors).show(ui, |ui| {
        let height = ui.available_height();
        let form_width = if ui.available_width() < NARROW { FORM.0 } else { FORM.1 };
        ui.horizontal_top(|ui| {
            ui.allocate_ui(Vec2::new(form_width, height), |ui| {
                ScrollArea::vertical().id_salt("question").auto_shrink([false, false]).show(ui, |ui| {
                    ui.vertical(|ui| question_ui(ui, state, form, commands));
                    follow_focus(ui);
                });
            });
            ui.add_space(look::space::STEP);
            let size = Vec2::new(ui.available_width(), height);
            ui.allocate_ui(size, |ui| {
                ScrollArea::vertical().id_salt("answer").auto_shrink([false, false]).show(ui, |ui| {
                    ui.vertical(|ui| result_ui(ui, state, form, commands));
                    page_keys(ui);
                    follow_focus(ui);
                });
            });
        });
    });
}

fn question_ui(ui: &mut Ui, state: TradesState<'_>, form: &mut TradesForm, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.heading("Trades");
    for sort in QuestionKind::ALL {
        let size = Vec2::new(ui.available_width() - 16.0, 22.0);
        let button = Button::selectable(form.sort == sort, sort.label()).truncate().min_size(size);
        if ui.add(button).on_hover_text(sort.summary()).clicked() {
            form.sort = sort;
        }
    }
    ui.add_space(look::space::STEP);
    ui.add(Label::new(RichText::new(form.sort.summary()).color(colors.soft).small()).wrap());
    ui.add_space(look::space::NEAR);
    let nothing = Menu::default();
    let menu = state.data.map_or(&nothing, |data| &*data.menu);
    match form.sort {
        QuestionKind::Inputs => inputs_ui(ui, menu, form),
        QuestionKind::Size => {
            let label = ui.label(RichText::new("Loop").color(colors.soft).small());
            let list = ComboBox::from_id_salt("loop to size")
                .selected_text(&form.circuit)
                .width(ui.available_width() - 24.0);
            let response = list.show_ui(ui, |ui| {
                for name in &menu.loops {
                    ui.selectable_value(&mut form.circuit, name.clone(), name);
                }
            });
            response.response.labelled_by(label.id);
        }
        QuestionKind::Spread => {
            ui.horizontal(|ui| {
                let label = ui.label(RichText::new("Samples").color(colors.soft).small());
                ui.add(TextEdit::singleline(&mut form.samples).desired_width(SHORT_FIELD))
                    .labelled_by(label.id);
            });
        }
        QuestionKind::Front => {
            let label = ui.label(RichText::new("Reserve, K").color(colors.soft).small());
            ui.add(TextEdit::singleline(&mut form.left_over).desired_width(ui.available_width() - 24.0))
                .labelled_by(label.id);
        }
        QuestionKind::Variants
        | QuestionKind::Uncooled
        | QuestionKind::OutsideAir
        | QuestionKind::SizeAll
        | QuestionKind::Architectures => {}
    }
    ui.add_space(look::space::STEP);
    match form.question() {
        Ok(question) => {
            let command = Command::Ask(question);
            if ui.button(command.label()).on_hover_text(command.tooltip()).clicked() {
                commands.push(command);
            }
        }
        Err(missing) => {
            ui.add_enabled(false, Button::new("Calculate"));
            ui.add(Label::new(RichText::new(missing).color(colors.warn).small()).wrap());
        }
    }
}

fn inputs_ui(ui: &mut Ui, menu: &Menu, form: &mut TradesForm) {
    let labels = ["Input on the axis", "Second input, one curve per value (optional)"];
    let counts = [9, 4];
    for ((axis, label), count) in form.axes.iter_mut().zip(labels).zip(counts) {
        axis_ui(ui, label, menu, axis, count);
        ui.add_space(look::space::NEAR);
    }
    let results = menu.results.iter().map(|name| (name.as_str(), ""));
    pick_ui(ui, "Result to watch", &mut form.watch, &results);
}

fn axis_ui(ui: &mut Ui, label: &str, menu: &Menu, axis: &mut AxisForm, count: usize) {
    let colors = look::palette(ui);
    let inputs = menu.inputs.iter().map(|(path, text)| (path.as_str(), text.as_str()));
    let mut path = axis.path.clone();
    let picked = pick_ui(ui, label, &mut path, &inputs);
    let known = |wanted: &str| menu.inputs.iter().find(|(path, _)| path == wanted);
    match picked.and_then(known) {
        Some((path, text)) => axis.take(path, text, count),
        None => axis.path = path,
    }
    let Some((_, present)) = known(&axis.path) else { return };
    ui.label(RichText::new(format!("now {present}")).color(colors.soft).small());
    ui.horizontal(|ui| {
        let fields = [("from", &mut axis.from), ("to", &mut axis.to), ("values", &mut axis.count)];
        for (name, text) in fields {
            ui.vertical(|ui| {
                let title = ui.label(RichText::new(name).color(colors.soft).small());
                ui.add(TextEdit::singleline(text).desired_width(SHORT_FIELD - 8.0)).labelled_by(title.id);
            });
        }
    });
}

fn result_ui(ui: &mut Ui, state: TradesState<'_>, form: &mut TradesForm, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.heading(QuestionKind::from(&form.asked).label());
    let answer = state.data.filter(|data| data.asked == form.asked);
    let about = match QuestionKind::from(&form.asked) {
        QuestionKind::Variants | QuestionKind::Architectures => {
            "The base design and every variant.".to_owned()
        }
        _ => format!("Variant {}.", state.variant),
    };
    ui.label(RichText::new(about).color(colors.soft).small());
    let is_stale = state.work.is_stale && answer.is_some();
    work_ui(ui, &WorkState { is_stale, ..state.work }, commands);
    match answer {
        Some(data) if data.is_answered => {
            if is_stale {
                ui.multiply_opacity(0.6);
            }
            if !data.proposals.is_empty() {
                keep_ui(ui, &data.proposals, form, commands);
            }
            answer_ui(ui, data);
        }
        _ if state.work.is_running => {
            ui.label(RichText::new("Calculating; an edit or another study stops it.").color(colors.soft));
        }
        _ => {
            ui.label("This study has not been run.");
            let text = "It was stopped, or not started yet. Its settings are on the left.";
            ui.label(RichText::new(text).color(colors.soft));
            ui.add_space(look::space::STEP);
            let command = Command::Ask(form.asked.clone());
            if ui.button("Calculate now").on_hover_text(command.tooltip()).clicked() {
                commands.push(command);
            }
        }
    }
}

/// Keeps the design that was found as a variant.
fn keep_ui(
    ui: &mut Ui,
    proposals: &[(String, Proposal)],
    form: &mut TradesForm,
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    form.picked = form.picked.min(proposals.len().saturating_sub(1));
    ui.horizontal_wrapped(|ui| {
        if let [_, _, ..] = proposals {
            let label = ui.label("Design");
            let list = ComboBox::from_id_salt("design to keep").selected_text(&proposals[form.picked].0);
            let response = list.show_ui(ui, |ui| {
                for (number, (name, _)) in proposals.iter().enumerate() {
                    ui.selectable_value(&mut form.picked, number, name);
                }
            });
            response.response.labelled_by(label.id);
        }
        let label = ui.label("Name of the variant");
        ui.add(TextEdit::singleline(&mut form.name).desired_width(200.0)).labelled_by(label.id);
        let command = Command::KeepVariant(form.name.trim().to_owned());
        let button = Button::new(command.label());
        let response = ui.add_enabled(!form.name.trim().is_empty(), button).on_hover_text(command.tooltip());
        if response.clicked() {
            commands.push(command);
        }
    });
    if let Some(reason) = &form.name_refused {
        ui.add(Label::new(RichText::new(reason).color(colors.bad)).wrap());
    }
}
