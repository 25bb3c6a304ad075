//! Drawing the page Temperatures.

use egui::{
    Align, Align2, Label, Layout, RichText, Role, Sense, Shape, Stroke, TextWrapMode, Ui, WidgetInfo,
    epaint::text::{LayoutJob, TextWrapping},
    pos2,
};
use egui_extras::{Column, TableBuilder, TableRow};

use super::data::{TemperatureRow, TemperatureTable};
use crate::command::Command;
use crate::look;
use crate::views::figure::{Sign, figure_ui, number, number_head_ui, standing_ui, text_head_ui};
use crate::views::loops::ticks;

/// Widths: temperature, limit, margin, required, heat.
const WIDTHS: [f32; 5] = [82.0, 58.0, 58.0, 58.0, 58.0];

/// Draws the table with a dot for each temperature and a mark for its limit on a common scale.
pub fn temperatures_ui(ui: &mut Ui, table: &TemperatureTable, case: &str, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.horizontal(|ui| {
        ui.heading("Temperatures");
        ui.label(RichText::new(case).color(colors.soft));
    });
    if table.rows.is_empty() {
        return;
    }
    let is_wide = ui.available_width() > 1050.0;
    let (name, limit_name) = if is_wide { (190.0, 160.0) } else { (150.0, 124.0) };
    let mut builder = TableBuilder::new(ui)
        .striped(true)
        .sense(Sense::hover())
        .auto_shrink([false, false])
        .cell_layout(Layout::left_to_right(Align::Center))
        .column(Column::exact(name).clip(true))
        .column(Column::exact(limit_name).clip(true));
    for width in WIDTHS {
        builder = builder.column(Column::exact(width));
    }
    builder
        .column(Column::exact(102.0))
        .column(Column::remainder().clip(true))
        .header(34.0, |mut header| header_ui(&mut header, table))
        .body(|body| {
            body.rows(look::space::ROW, table.rows.len(), |mut cells| {
                let row = &table.rows[cells.index()];
                row_ui(&mut cells, row, table, commands);
            });
        });
}

fn header_ui(header: &mut TableRow<'_, '_>, table: &TemperatureTable) {
    let (t, d) = (&table.temperature_unit, &table.difference_unit);
    header.col(|ui| text_head_ui(ui, "Component"));
    header.col(|ui| text_head_ui(ui, "Limit"));
    let heads =
        [("Temperature", t), ("Limit", t), ("Margin", d), ("Required", d), ("Heat", &table.heat_unit)];
    for (name, unit) in heads {
        header.col(|ui| number_head_ui(ui, name, unit));
    }
    header.col(|ui| {
        ui.add_space(look::space::STEP);
        text_head_ui(ui, "Standing");
    });
    header.col(|ui| scale_ui(ui, table));
}

fn row_ui(
    cells: &mut TableRow<'_, '_>,
    row: &TemperatureRow,
    table: &TemperatureTable,
    commands: &mut Vec<Command>,
) {
    cells.col(|ui| {
        let label = Label::new(&row.component).wrap_mode(TextWrapMode::Truncate).sense(Sense::HOVER);
        ui.add(label).on_hover_text(&row.component);
    });
    cells.col(|ui| {
        let colors = look::palette(ui);
        let text = if row.limit_name.is_empty() { "no limit given" } else { &row.limit_name };
        ui.add(Label::new(RichText::new(text).color(colors.soft)).wrap_mode(TextWrapMode::Truncate));
    });
    let figures = [
        ("temperature", &row.temperature),
        ("limit", &row.limit),
        ("margin", &row.margin),
        ("required margin", &row.required),
        ("heat", &row.heat),
    ];
    for (name, figure) in figures {
        let name = format!("{}, {}, {name}", row.component, row.limit_name);
        cells.col(|ui| figure_ui(ui, figure, &name, commands));
    }
    cells.col(|ui| {
        ui.add_space(look::space::STEP);
        if !row.limit_name.is_empty() {
            standing_ui(ui, row.standing);
        }
    });
    cells.col(|ui| dot_ui(ui, row, table));
}

/// A position on the common scale inside a cell.
fn position(value: f64, (low, high): (f64, f64), left: f32, width: f32) -> f32 {
    left + width * ((value - low) / (high - low)).clamp(0.0, 1.0) as f32
}

fn scale_ui(ui: &mut Ui, table: &TemperatureTable) {
    let Some(span) = table.span() else { return };
    let colors = look::palette(ui);
    let (rect, _) = ui.allocate_exact_size(ui.available_size(), Sense::hover());
    let title = format!("To the limit, {}", table.temperature_unit);
    let mut job = LayoutJob::simple_singleline(title, look::small(), colors.soft);
    job.wrap = TextWrapping::truncate_at_width(rect.width() - 8.0);
    ui.painter().galley(pos2(rect.left() + 8.0, rect.top() + 1.0), ui.painter().layout_job(job), colors.soft);
    for tick in ticks(span.0, span.1, (rect.width() / 60.0) as usize) {
        let x = position(tick, span, rect.left() + 8.0, rect.width() - 16.0);
        let text = number(tick, 0);
        ui.painter().text(
            pos2(x, rect.bottom() - 2.0),
            Align2::CENTER_BOTTOM,
            text,
            look::small(),
            colors.soft,
        );
    }
}

/// The temperature as a dot, the limit as a bar with a small flag to the forbidden side, and the way between them.
fn dot_ui(ui: &mut Ui, row: &TemperatureRow, table: &TemperatureTable) {
    let Some(span) = table.span() else { return };
    let colors = look::palette(ui);
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::hover());
    let what = format!("{}: {} of {}", row.component, row.temperature.text, row.limit.text);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &what));
    let painter = ui.painter();
    let (left, width) = (rect.left() + 8.0, rect.width() - 16.0);
    for tick in ticks(span.0, span.1, (rect.width() / 60.0) as usize) {
        painter.vline(position(tick, span, left, width), rect.y_range(), look::hairline(colors.rule));
    }
    let y = rect.center().y;
    let ink = row.standing.map_or(Sign::Nothing, Sign::from).ink(colors);
    if let Some(limit) = row.limit_value.filter(|limit| limit.is_finite()) {
        let x = position(limit, span, left, width);
        if row.value.is_finite() {
            let dot = position(row.value, span, left, width);
            painter.line_segment([pos2(dot, y), pos2(x, y)], Stroke::new(1.5, ink));
        }
        painter.line_segment([pos2(x, y - 8.0), pos2(x, y + 8.0)], Stroke::new(2.0, colors.ink));
        let side = if row.is_minimum { -5.0 } else { 5.0 };
        let flag = vec![pos2(x, y - 8.0), pos2(x + side, y - 5.0), pos2(x, y - 2.0)];
        painter.add(Shape::convex_polygon(flag, colors.ink, Stroke::NONE));
    }
    if row.value.is_finite() {
        let ink = if row.limit_value.is_some() { ink } else { colors.soft };
        painter.circle_filled(pos2(position(row.value, span, left, width), y), 4.0, ink);
    }
    response.on_hover_text(what);
}
