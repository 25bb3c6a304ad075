//! Drawing the levers: a bar to either side, the number, the input.

use egui::{
    Align, CornerRadius, CursorIcon, Label, Layout, Rect, RichText, Role, ScrollArea, Sense, TextWrapMode,
    Ui, Vec2, WidgetInfo, pos2,
};

use super::data::{LeverData, LeverRow};
use crate::command::{Command, Page};
use crate::look;
use crate::views::field::{Drafts, input_ui};
use crate::views::figure::{follow_focus, number, signed};
use session::MarginPlace;

/// Height that the panel takes below the grid, in points.
pub const HEIGHT: f32 = 206.0;

/// Widths in points: bar, change, step, tolerance, field with its label.
const BAR: f32 = 120.0;
const CHANGE: f32 = 84.0;
const STEP: f32 = 52.0;
const TOLERANCE: f32 = 96.0;
const FIELD: (f32, f32) = (112.0, 100.0);
const FIELD_WITH_LABEL: f32 = 252.0;

/// Draws the levers of the wanted cell; what is not there yet is said to be worked out.
pub fn levers_ui(
    ui: &mut Ui,
    data: Option<&LeverData>,
    (wanted, is_flying): (Option<&MarginPlace>, bool),
    drafts: &mut Drafts,
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    let Some(wanted) = wanted else { return };
    let found = data.filter(|data| data.of == *wanted);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Levers: sensitivity").strong());
        let name = format!("{}, {}, {}", wanted.where_, wanted.limit, wanted.case);
        ui.add(Label::new(RichText::new(name).color(colors.ink)).wrap_mode(TextWrapMode::Truncate));
        if let Some(data) = found.filter(|data| data.note.is_none()) {
            let summary = format!(
                "{} of {} inputs, strongest first: change of the margin when the input grows by the step",
                data.rows.len(),
                data.count
            );
            let text = RichText::new(summary).color(colors.soft).small();
            ui.add(Label::new(text).wrap_mode(TextWrapMode::Truncate)).on_hover_text(
                "Bar length follows the square root. ~: a kink or a jump. *: published scatter of relations.",
            );
        }
    });
    let Some(data) = found else {
        let text = "Calculating the levers of this margin; an edit or another cell stops it.";
        ui.label(RichText::new(text).color(colors.soft));
        return;
    };
    if data.can_be_flown && is_flying {
        let text = "The mission is flown again for every input; an edit or another cell stops it.";
        ui.label(RichText::new(text).color(colors.soft));
        return;
    }
    if let Some(note) = &data.note {
        ui.horizontal(|ui| {
            ui.label(RichText::new(note).color(colors.soft));
            let command = Command::FlyLevers(wanted.clone());
            if data.can_be_flown && ui.button(command.label()).on_hover_text(command.tooltip()).clicked() {
                commands.push(command);
            }
        });
        return;
    }
    ScrollArea::vertical().id_salt("levers").auto_shrink([false, false]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for row in &data.rows {
            row_ui(ui, data, row, drafts, commands);
        }
        follow_focus(ui);
    });
}

fn row_ui(ui: &mut Ui, data: &LeverData, row: &LeverRow, drafts: &mut Drafts, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    let unit = &data.of.unit;
    let change = signed(row.change, data.decimals());
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = look::space::STEP;
        bar_ui(ui, data, row, &change);
        let mark = if row.has_corner { "~ " } else { "" };
        cell_ui(ui, CHANGE, RichText::new(format!("{mark}{change} {unit}")));
        cell_ui(ui, STEP, RichText::new(&row.step).color(colors.soft));
        let tolerance = row.tolerance.map_or_else(String::new, |width| {
            let star = if row.is_published { "*" } else { "" };
            format!("±{} {unit}{star}", number(width.abs(), data.decimals()))
        });
        let hover = if row.is_published {
            "over the published scatter of these relations, two standard deviations"
        } else {
            "over the tolerance of the input"
        };
        let response = cell_ui(ui, TOLERANCE, RichText::new(tolerance).color(colors.soft));
        if row.tolerance.is_some() {
            response.on_hover_text(hover);
        }
        // on a wide screen the field stays near what it belongs to
        let room = (ui.available_width() - FIELD_WITH_LABEL - look::space::GROUP).clamp(60.0, 460.0);
        let size = Vec2::new(room, look::space::ROW - 4.0);
        ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), |ui| {
            ui.set_width(room);
            owner_ui(ui, row, commands);
        });
        input_ui(ui, &row.owner, &row.input, FIELD, drafts, commands);
    });
}

/// The way to the input: a link where a page shows it.
fn owner_ui(ui: &mut Ui, row: &LeverRow, commands: &mut Vec<Command>) {
    let label = |ui: &mut Ui, text: RichText| ui.add(Label::new(text).wrap_mode(TextWrapMode::Truncate));
    let Some((strip, device)) = &row.device else {
        label(ui, RichText::new(&row.owner)).on_hover_text(&row.input.path);
        return;
    };
    let colors = look::palette(ui);
    let text = RichText::new(&row.owner).color(colors.accent);
    let response = ui.add(Label::new(text).wrap_mode(TextWrapMode::Truncate).sense(Sense::click()));
    let spoken = format!("Show {device} for {}", row.input.label);
    response.widget_info(|| WidgetInfo::labeled(Role::Link, true, &spoken));
    let response = response.on_hover_cursor(CursorIcon::PointingHand).on_hover_text(&row.input.path);
    if response.clicked() {
        commands.extend([
            Command::Show(Page::Loops),
            Command::ShowStrip(strip.clone()),
            Command::SelectDevice(device.clone()),
        ]);
    }
}

fn cell_ui(ui: &mut Ui, width: f32, text: RichText) -> egui::Response {
    let size = Vec2::new(width, look::space::ROW - 4.0);
    let layout = Layout::right_to_left(Align::Center);
    ui.allocate_ui_with_layout(size, layout, |ui| ui.add(Label::new(text).wrap_mode(TextWrapMode::Extend)))
        .inner
}

/// To the right what makes the margin larger, to the left what makes it smaller.
fn bar_ui(ui: &mut Ui, data: &LeverData, row: &LeverRow, change: &str) {
    let colors = look::palette(ui);
    let (rect, response) = ui.allocate_exact_size(Vec2::new(BAR, look::space::ROW - 4.0), Sense::hover());
    let middle = rect.center().x;
    let end = middle + row.change.signum() as f32 * data.bar(row.change) * 0.5 * BAR;
    let bar = Rect::from_two_pos(pos2(middle, rect.top() + 5.0), pos2(end, rect.bottom() - 5.0));
    let ink = if row.change < 0.0 { colors.warn } else { colors.good };
    ui.painter().rect_filled(bar, CornerRadius::same(1), ink);
    ui.painter().vline(middle, rect.y_range(), look::hairline(colors.outline));
    let spoken = format!("{}, {}: {change} {} for {}", row.owner, row.input.label, data.of.unit, row.step);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    response.on_hover_text(spoken);
}
