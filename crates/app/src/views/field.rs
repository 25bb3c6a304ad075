//! An input edited in place: committed by Enter or by leaving it; a refused text stays, with the reason.

use std::collections::BTreeMap;

use egui::{
    self, Color32, Id, Key, Painter, Pos2, Rect, RichText, Sense, Stroke, TextEdit, TextWrapMode, Ui, Vec2,
    text::{CCursor, CCursorRange},
};

use units::StepSize;

use super::edit_scope::{EditScope, mark_room, own_value_mark_ui};
use crate::command::Command;
use crate::look;

/// What stands behind an input.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Evidence {
    /// Somebody's judgement.
    #[default]
    Assumed,
    /// From a data sheet.
    Vendor,
    /// From a test.
    Measured,
    /// Fitted to test data.
    Fitted,
}

impl Evidence {
    /// The word on screen.
    pub fn word(self) -> &'static str {
        match self {
            Self::Assumed => "assumed",
            Self::Vendor => "vendor",
            Self::Measured => "measured",
            Self::Fitted => "fitted",
        }
    }

    /// Paints its mark: a ring, a half-filled ring, a disc, a diamond.
    fn paint(self, painter: &Painter, center: Pos2, ink: Color32) {
        let stroke = Stroke::new(1.2, ink);
        match self {
            Self::Assumed => {
                painter.circle_stroke(center, 3.0, stroke);
            }
            Self::Vendor => {
                painter.circle_stroke(center, 3.0, stroke);
                let below = painter.clip_rect().intersect(Rect::everything_below(center.y));
                painter.with_clip_rect(below).circle_filled(center, 3.0, ink);
            }
            Self::Measured => {
                painter.circle_filled(center, 3.4, ink);
            }
            Self::Fitted => {
                let corner = |x, y| center + Vec2::new(x, y);
                let corners = vec![corner(0.0, -4.0), corner(4.0, 0.0), corner(0.0, 4.0), corner(-4.0, 0.0)];
                painter.add(egui::Shape::convex_polygon(corners, ink, Stroke::NONE));
            }
        }
    }
}

/// An input as the project holds it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct InputField {
    /// The address of the input in the project.
    pub path: String,
    /// The short name beside the field.
    pub label: String,
    /// The value as it was typed, with its unit.
    pub text: String,
    /// What stands behind it.
    pub evidence: Evidence,
    /// Source or remark; empty when there is none.
    pub note: String,
    /// Whether only whole numbers make sense.
    pub is_whole: bool,
}

/// A text that is being typed or was refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// What is in the field.
    pub text: String,
    /// Why it was refused.
    pub problem: Option<String>,
}

/// The half-typed and refused texts by the path of their input, and what an edit changes.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Drafts {
    texts: BTreeMap<String, Draft>,
    /// What an edit changes.
    pub scope: EditScope,
}

impl std::ops::Deref for Drafts {
    type Target = BTreeMap<String, Draft>;

    fn deref(&self) -> &Self::Target {
        &self.texts
    }
}

impl std::ops::DerefMut for Drafts {
    fn deref_mut(&mut self) -> &mut Self::Target {
        &mut self.texts
    }
}

/// Widths in points: label, field, mark.
const LABEL: f32 = 76.0;
const FIELD: f32 = 76.0;
const WIDEST_FIELD: f32 = 112.0;
/// Where this many narrow fields fit side by side there is room for wide labels and fields.
const MANY: f32 = 5.0;
const WIDE_LABEL: f32 = 112.0;
const MARK: f32 = 12.0;
/// The room beside a field: its label, its mark and the gaps.
const BESIDE: f32 = LABEL + MARK + 3.0 * look::space::NEAR;

/// How many fields fit side by side, and how wide the label and the field of each become.
pub fn columns(room: f32) -> (usize, (f32, f32)) {
    let many = (room / (FIELD + BESIDE)).floor() >= MANY;
    let (label, field) = if many { (WIDE_LABEL, WIDEST_FIELD) } else { (LABEL, FIELD) };
    let beside = BESIDE - LABEL + label;
    let count = (room / (field + beside)).floor().max(1.0);
    (count as usize, (label, (room / count - beside).clamp(FIELD, WIDEST_FIELD)))
}

/// Widths in points of a table of fields whose labels are all told in full, and how many fit side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Columns {
    /// Fields side by side.
    pub across: usize,
    label: f32,
    field: f32,
}

impl Columns {
    /// For a list of inputs in so much room.
    pub fn of(inputs: &[InputField], room: f32) -> Self {
        let longest = inputs.iter().map(|input| input.label.chars().count()).max().unwrap_or(0);
        let label = label_width(longest).max(LABEL);
        let beside = BESIDE - LABEL + label;
        let across = (room / (FIELD + beside)).floor().max(1.0);
        Self { across: across as usize, label, field: (room / across - beside).clamp(FIELD, WIDEST_FIELD) }
    }
}

/// Room for a label of so many characters.
fn label_width(characters: usize) -> f32 {
    (6.8 * characters as f32 + 8.0).clamp(24.0, 200.0)
}

/// Draws the field in a table whose labels are told in full.
pub fn column_input_ui(
    ui: &mut Ui,
    owner: &str,
    input: &InputField,
    columns: Columns,
    drafts: &mut Drafts,
    commands: &mut Vec<Command>,
) {
    labelled_input_ui(ui, owner, input, (columns.label, columns.field), drafts, commands);
}

/// Draws the field wide enough for its text, for a line of fields that are not in columns.
pub fn free_input_ui(
    ui: &mut Ui,
    owner: &str,
    input: &InputField,
    drafts: &mut Drafts,
    commands: &mut Vec<Command>,
) {
    let width = 7.0 * input.text.chars().count() as f32 + 20.0;
    let label = label_width(input.label.chars().count());
    labelled_input_ui(ui, owner, input, (label, width.clamp(FIELD, 260.0)), drafts, commands);
}

/// Draws the field with these widths of its label and of itself. `owner` is the name of the device, so that the accessible name
/// is unique on the page.
pub fn input_ui(
    ui: &mut Ui,
    owner: &str,
    input: &InputField,
    widths: (f32, f32),
    drafts: &mut Drafts,
    commands: &mut Vec<Command>,
) {
    labelled_input_ui(ui, owner, input, widths, drafts, commands);
}

fn labelled_input_ui(
    ui: &mut Ui,
    owner: &str,
    input: &InputField,
    (label_width, width): (f32, f32),
    drafts: &mut Drafts,
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    let problem = drafts.get(&input.path).and_then(|draft| draft.problem.clone());
    let beside = BESIDE - LABEL + label_width - look::space::NEAR;
    ui.allocate_ui(Vec2::new(width + beside, look::space::ROW), |ui| {
        ui.horizontal_centered(|ui| {
            ui.spacing_mut().item_spacing.x = look::space::NEAR;
            let label = ui
                .allocate_ui_with_layout(
                    Vec2::new(label_width, look::space::ROW - 4.0),
                    egui::Layout::right_to_left(egui::Align::Center),
                    |ui| {
                        let text = RichText::new(&input.label).color(colors.soft).size(look::size::SMALL);
                        let label = egui::Label::new(text).wrap_mode(TextWrapMode::Truncate);
                        ui.add(label.selectable(false).sense(Sense::drag()))
                    },
                )
                .inner;
            drag_ui(ui, &label, input, drafts, commands);
            let hover = format!("{}{}", hover(input), drafts.scope.hover_note(&input.path));
            label.on_hover_cursor(egui::CursorIcon::ResizeHorizontal).on_hover_text(&hover);
            let field = edit_ui(ui, owner, input, (width, problem.as_deref()), drafts, commands);
            own_value_mark_ui(ui, owner, (input, field), &drafts.scope, commands);
            let (rect, mark) = ui.allocate_exact_size(Vec2::new(MARK, MARK), Sense::hover());
            input.evidence.paint(ui.painter(), rect.center(), colors.soft);
            mark.on_hover_text(&hover);
        });
    });
}

fn edit_ui(
    ui: &mut Ui,
    owner: &str,
    input: &InputField,
    (width, problem): (f32, Option<&str>),
    drafts: &mut Drafts,
    commands: &mut Vec<Command>,
) -> Rect {
    let colors = look::palette(ui);
    let id = Id::unique(("input", &input.path));
    let mut text = drafts.get(&input.path).map_or_else(|| input.text.clone(), |draft| draft.text.clone());
    let left = mark_room(&drafts.scope);
    let edit = TextEdit::singleline(&mut text)
        .id(id)
        .desired_width(width - 4.0 - f32::from(left))
        .margin(egui::Margin { left, right: 4, top: 2, bottom: 2 })
        .text_color(if problem.is_some() { colors.bad } else { colors.ink });
    let mut output = edit.show(ui);
    let response = output.response.response;
    let field = response.rect;
    if problem.is_some() {
        let around = response.rect.expand(1.0);
        ui.painter().rect_stroke(around, 3.0, Stroke::new(1.5, colors.bad), egui::StrokeKind::Outside);
    }
    if response.gained_focus() {
        // The whole text is marked, so that typing replaces it.
        let all = CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()));
        output.state.cursor.set_char_range(Some(all));
        output.state.store(ui.ctx(), id);
    }
    let is_new = gained_or_kept(ui, id, &response);
    if response.has_focus()
        && let Some((count, size)) = arrows(ui)
        && let Some(next) = units::stepped(&text, count, size, input.is_whole)
    {
        ui.data_mut(|data| data.insert_temp(id, true));
        text = next;
        drafts.insert(input.path.clone(), Draft { text: text.clone(), problem: None });
        commands.push(Command::Step { path: input.path.clone(), text: text.clone(), is_new });
    }
    let escaped = response.has_focus() || response.lost_focus();
    let escaped = escaped && ui.input(|i| i.key_pressed(Key::Escape));
    // the first of the texts is its name
    let name = format!("{owner}, {}", input.label);
    let mut response = match problem {
        Some(reason) => response.on_hover_text(format!("{name}: {reason}")),
        None => response.on_hover_text(name),
    };
    let note = drafts.scope.hover_note(&input.path);
    if !note.is_empty() {
        response = response.on_hover_text(note.trim());
    }
    if escaped {
        drafts.remove(&input.path);
        response.surrender_focus();
    } else if response.lost_focus() {
        leave(input, text, drafts, commands);
    } else if response.changed() {
        drafts.insert(input.path.clone(), Draft { text, problem: None });
    }
    field
}

/// The field has been left: an unchanged text is no edit, a changed one is asked for. The draft stays until the
/// window has taken it over or refused it.
fn leave(input: &InputField, text: String, drafts: &mut Drafts, commands: &mut Vec<Command>) {
    if text.trim() == input.text.trim() {
        drafts.remove(&input.path);
        return;
    }
    let asked_before =
        drafts.get(&input.path).is_some_and(|draft| draft.problem.is_some() && draft.text == text);
    if !asked_before {
        drafts.insert(input.path.clone(), Draft { text: text.clone(), problem: None });
        commands.push(Command::Edit { path: input.path.clone(), text });
    }
}

/// Whether a step now is the first since the field has the keys.
fn gained_or_kept(ui: &Ui, id: Id, response: &egui::Response) -> bool {
    if response.gained_focus() {
        ui.data_mut(|data| data.insert_temp(id, false));
    }
    !ui.data(|data| data.get_temp(id)).unwrap_or(false)
}

/// Up and down of the arrow keys, and how large a step they mean.
fn arrows(ui: &Ui) -> Option<(i64, StepSize)> {
    ui.input(|input| {
        let count = i64::from(input.key_pressed(Key::ArrowUp)) - i64::from(input.key_pressed(Key::ArrowDown));
        (count != 0 && !input.modifiers.alt).then(|| (count, step_size(input.modifiers)))
    })
}

/// Shift makes steps finer, Ctrl coarser.
fn step_size(modifiers: egui::Modifiers) -> StepSize {
    match (modifiers.shift, modifiers.command) {
        (true, _) => StepSize::Fine,
        (_, true) => StepSize::Coarse,
        _ => StepSize::Usual,
    }
}

/// Points that the pointer moves for one step.
const DRAG: f32 = 6.0;

/// A drag of a label from left to right makes its value larger; what is dragged is one step of undo.
#[derive(Debug, Clone)]
struct Drag {
    base: String,
    moved: f32,
    count: i64,
    size: StepSize,
}

fn drag_ui(
    ui: &Ui,
    label: &egui::Response,
    input: &InputField,
    drafts: &mut Drafts,
    commands: &mut Vec<Command>,
) {
    let id = Id::unique(("drag", &input.path));
    let shown = || drafts.get(&input.path).map_or_else(|| input.text.clone(), |draft| draft.text.clone());
    if label.drag_started() {
        let size = ui.input(|i| step_size(i.modifiers));
        let drag = Drag { base: shown(), moved: 0.0, count: 0, size };
        ui.data_mut(|data| data.insert_temp(id, drag));
    }
    let Some(mut drag) = ui.data(|data| data.get_temp::<Drag>(id)) else { return };
    if label.dragged() {
        drag.moved += label.drag_delta().x;
        let count = (drag.moved / DRAG).trunc() as i64;
        if count != drag.count
            && let Some(text) = units::stepped(&drag.base, count, drag.size, input.is_whole)
        {
            let is_new = drag.count == 0;
            drag.count = count;
            drafts.insert(input.path.clone(), Draft { text: text.clone(), problem: None });
            commands.push(Command::Step { path: input.path.clone(), text, is_new });
        }
        ui.data_mut(|data| data.insert_temp(id, drag));
    } else if label.drag_stopped() {
        ui.data_mut(|data| data.remove::<Drag>(id));
        if drag.count != 0 {
            commands.push(Command::Edit { path: input.path.clone(), text: shown() });
        }
    }
}

fn hover(input: &InputField) -> String {
    let note = if input.note.is_empty() { "no source given" } else { &input.note };
    format!(
        "{}\n{}: {note}\nUp and down arrows in the field, or dragging this label, step it: Shift finer, Ctrl coarser",
        input.label,
        input.evidence.word()
    )
}
