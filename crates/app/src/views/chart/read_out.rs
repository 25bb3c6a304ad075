//! The list of the curves of a chart, with their values at an abscissa.

use egui::{Align2, Rect, RichText, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, pos2};
use egui_plot::LineStyle;

use super::curves::ink;
use super::data::{Chart, ChartStyle, SUM};
use crate::clock::clock;
use crate::look;
use crate::views::figure::{number, signed};

/// Width of a column of numbers.
const COLUMN: f32 = 66.0;
/// Height of a row.
pub(super) const ROW: f32 = 17.0;

/// The list of curves with their values at an abscissa.
pub(super) fn read_out_ui(ui: &mut Ui, chart: &Chart, is_time: bool, at: Option<f64>) {
    let colors = look::palette(ui);
    ui.spacing_mut().item_spacing.y = 0.0;
    let place = match (at, is_time) {
        (Some(time), true) => format!("at {}", clock(time)),
        (Some(x), false) => format!("at {} {}", number(x, 2), chart.x_unit),
        (None, _) => String::new(),
    };
    let place_row = ui.label(RichText::new(&place).color(colors.soft).small()).rect;
    if let Some(beneath) = &chart.beneath {
        let right = ui.max_rect().right();
        for (column, head) in ["shown", "overlay", "difference"].into_iter().rev().enumerate() {
            let at = pos2(right - COLUMN * column as f32, place_row.center().y);
            ui.painter().text(at, Align2::RIGHT_CENTER, head, look::small(), colors.soft);
        }
        let rect = Rect::from_x_y_ranges(right - 2.0 * COLUMN..=right - COLUMN, place_row.y_range());
        ui.interact(rect, ui.scope_id().with("beneath"), Sense::hover()).on_hover_text(&beneath.name);
    }
    let values = at.map_or_else(|| vec![None; chart.series.len()], |x| chart.values_at(x));
    let mut rows: Vec<(usize, Option<f64>)> = values.into_iter().enumerate().collect();
    if chart.shape == ChartStyle::Stacked {
        // As they lie upon each other.
        rows.reverse();
    }
    for (index, value) in rows {
        let name = &chart.series[index].name;
        let values = Values::of(chart, name, at, value);
        row_ui(ui, name, &values.texts, &values.spoken(chart, name, &place), |ui, rect| {
            sample(ui, rect, chart.shape, index);
        });
    }
    if let Some(x) = at.filter(|_| chart.shape == ChartStyle::Stacked) {
        let total: f64 = chart.values_at(x).into_iter().flatten().map(|value| value.max(0.0)).sum();
        let values = Values::of(chart, SUM, at, Some(total));
        row_ui(ui, SUM, &values.texts, &values.spoken(chart, SUM, &place), |_, _| {});
    }
    for limit in &chart.limits {
        let text = number(limit.value, chart.decimals);
        let spoken = format!("limit of {}: {text} {}", limit.name, chart.unit);
        // In the column of the values, whatever stands right of it.
        let others = if chart.beneath.is_some() { 2 } else { 0 };
        let texts: Vec<String> =
            std::iter::once(text).chain(std::iter::repeat_n(String::new(), others)).collect();
        row_ui(ui, &limit.name, &texts, &spoken, |ui, rect| {
            let ends = [rect.left_center(), rect.right_center()];
            ui.painter().extend(egui::Shape::dashed_line(&ends, Stroke::new(1.2, colors.bad), 4.0, 3.0));
        });
    }
}

/// The numbers of a row of the list: the value, and with another case beneath its value and how much the shown one is more.
struct Values {
    texts: Vec<String>,
}

impl Values {
    fn of(chart: &Chart, name: &str, at: Option<f64>, value: Option<f64>) -> Self {
        let text = |value: Option<f64>| value.map_or_else(String::new, |value| number(value, chart.decimals));
        let mut texts = vec![text(value)];
        if chart.beneath.is_some() {
            let other = at.and_then(|x| chart.beneath_at(name, x));
            let more = value.zip(other).map(|(value, other)| signed(value - other, chart.decimals));
            texts.extend([text(other), more.unwrap_or_default()]);
        }
        Self { texts }
    }

    fn spoken(&self, chart: &Chart, name: &str, place: &str) -> String {
        let unit = &chart.unit;
        match (self.texts.as_slice(), &chart.beneath) {
            ([shown, other, more], Some(beneath)) if !other.is_empty() => {
                format!(
                    "{name} {place}: {shown} {unit}; {}: {other} {unit}, difference {more} {}",
                    beneath.name,
                    chart.difference_unit()
                )
            }
            ([shown, ..], _) => format!("{name} {place}: {shown} {unit}"),
            ([], _) => format!("{name} {place}"),
        }
    }
}

fn row_ui(ui: &mut Ui, name: &str, texts: &[String], spoken: &str, sample: impl FnOnce(&Ui, Rect)) {
    let colors = look::palette(ui);
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, spoken));
    response.on_hover_text(spoken);
    let mark = Rect::from_center_size(pos2(rect.left() + 11.0, rect.center().y), Vec2::new(20.0, 8.0));
    sample(ui, mark);
    let painter = ui.painter();
    let mut left = rect.right();
    for (column, text) in texts.iter().rev().enumerate() {
        let at = pos2(rect.right() - COLUMN * column as f32, rect.center().y);
        left = painter.text(at, Align2::RIGHT_CENTER, text, look::small(), colors.ink).left().min(at.x);
    }
    let room = left - rect.left() - 30.0;
    let mut job = egui::text::LayoutJob::simple_singleline(name.to_owned(), look::small(), colors.ink);
    job.wrap = eframe::epaint::text::TextWrapping::truncate_at_width(room);
    let galley = painter.layout_job(job);
    painter.galley(pos2(rect.left() + 27.0, rect.center().y - 0.5 * galley.size().y), galley, colors.ink);
}

/// A piece of the line of a case that lies beneath.
pub fn line_sample(ui: &Ui, rect: Rect) {
    let ends = [rect.left_center(), rect.right_center()];
    let stroke = Stroke::new(1.0, look::palette(ui).ink);
    ui.painter().extend(egui::Shape::dashed_line(&ends, stroke, 2.5, 2.5));
}

/// A piece of the line or area of a series.
fn sample(ui: &Ui, rect: Rect, shape: ChartStyle, index: usize) {
    let (color, style, width) = ink(look::palette(ui), index);
    let painter = ui.painter();
    if shape == ChartStyle::Stacked {
        painter.rect_filled(rect, 1.0, color.gamma_multiply(0.55));
        painter.hline(rect.x_range(), rect.top(), Stroke::new(1.0, color));
        return;
    }
    let ends = [rect.left_center(), rect.right_center()];
    let stroke = Stroke::new(width, color);
    match style {
        LineStyle::Solid => {
            painter.line_segment(ends, stroke);
        }
        LineStyle::Dashed { length } => {
            painter.extend(egui::Shape::dashed_line(&ends, stroke, length, 4.0));
        }
        LineStyle::Dotted { spacing } => {
            // the plot takes the width of a dotted line for the radius of its dots
            painter.extend(egui::Shape::dotted_line(&ends, color, spacing, width));
        }
    }
}
