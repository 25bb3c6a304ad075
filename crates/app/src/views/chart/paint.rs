//! Drawing charts.

use std::ops::RangeInclusive;

use eframe::egui::{
    Align2, Color32, CursorIcon, Layout, PointerButton, Pos2, Rect, RichText, Role, Sense, Stroke, Ui, Vec2,
    WidgetInfo, pos2,
};
use egui_plot::{
    AxisHints, FilledArea, GridMark, HLine, Line, LineStyle, MarkerShape, Plot, PlotPoints, PlotTransform,
    PlotUi, Points, VLine,
};

use super::data::{Chart, SUM, Shape};
use super::export::{WantedChart, WantedFigure, is_due, save_figure_ui, want};
use super::labels::{Wish, places};
use crate::command::Command;
use crate::look::{self, Palette};
use crate::views::figure::{number, signed};
use crate::views::loops::ticks;
use crate::views::time::{TimeView, clock, clock_ticks};

/// Width of the list of curves, without and with another case beneath, of a column of numbers in it, and of the axis.
const READ_OUT: f32 = 236.0;
const READ_OUT_OF_TWO: f32 = 350.0;
const COLUMN: f32 = 66.0;
const AXIS: f32 = 44.0;
const ROW: f32 = 17.0;

/// What surrounds the curves.
#[derive(Debug, Clone, Copy)]
pub struct Frame<'a> {
    /// Height of the chart.
    pub height: f32,
    /// Abscissas at which a thin line stands, such as the ends of segments.
    pub lines: &'a [f64],
}

/// What the user did to a chart.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Outcome {
    /// The abscissa under the pointer.
    pub hovered: Option<f64>,
    /// The abscissa that was clicked.
    pub clicked: Option<f64>,
    /// How far the curves were pulled, in the unit of the abscissa.
    pub pulled: f64,
    /// The factor of zooming, 1 when nothing was zoomed.
    pub zoomed: f64,
    /// Whether everything was asked for.
    pub is_reset: bool,
    /// Left and right edge of the curves on screen, to draw in step with them.
    pub frame_x: (f32, f32),
}

/// The line of the n-th curve: colour, style and width. The first six differ in each of them, so that they can be told
/// apart without seeing colours; no two of the first thirty-six are the same.
pub(crate) fn ink(colors: &Palette, index: usize) -> (Color32, LineStyle, f32) {
    let inks = [colors.accent, colors.hot, colors.pressure, colors.wall, colors.cool, colors.soft];
    let (style, width) = match index % 6 {
        0 => (LineStyle::Solid, 1.6),
        1 => (LineStyle::Dashed { length: 12.0 }, 1.8),
        2 => (LineStyle::Dotted { spacing: 6.0 }, 1.4),
        3 => (LineStyle::Solid, 3.0),
        4 => (LineStyle::Dashed { length: 5.0 }, 1.8),
        _ => (LineStyle::Dotted { spacing: 10.0 }, 2.0),
    };
    (inks[(index + index / inks.len()) % inks.len()], style, width)
}

/// The same for a drawing: colour, width, and lengths of dashes and gaps.
pub(super) fn stroke(colors: &Palette, index: usize) -> (Color32, f32, &'static str) {
    let (color, _, width) = ink(colors, index);
    let dashes = match index % 6 {
        0 | 3 => "",
        1 => "12 7",
        2 => "1.5 4.5",
        4 => "5 4",
        _ => "2 8",
    };
    (color, width, dashes)
}

/// The line of another case: finer and thinner than any of [`ink`], in the colour of the curve it belongs to.
const BENEATH: LineStyle = LineStyle::Dashed { length: 2.5 };

/// Draws a chart over any axis. Without a pointer over it the read-out names the curves only.
pub fn chart_ui(ui: &mut Ui, chart: &Chart, frame: Frame<'_>) -> Outcome {
    let (from, to) = chart.x_span().unwrap_or((0.0, 1.0));
    let room = 0.02 * (to - from).max(1e-9);
    let range = (from - room, to + room);
    let axis = Axis { range, cursor: None, is_time: false };
    draw(ui, chart, frame, axis)
}

/// Draws a chart over the time of a mission: a click sets the time cursor, pulling moves the view, the wheel zooms, a
/// double click shows everything.
pub fn time_chart_ui(
    ui: &mut Ui,
    chart: &Chart,
    frame: Frame<'_>,
    view: &TimeView,
    commands: &mut Vec<Command>,
) -> Outcome {
    let axis = Axis { range: view.range(), cursor: Some(view.cursor_s), is_time: true };
    let outcome = draw(ui, chart, frame, axis);
    if outcome.is_reset {
        commands.push(Command::ViewTime(None));
    } else if let Some(time) = outcome.clicked {
        commands.push(Command::SetTime(view.held(time)));
    }
    if outcome.pulled != 0.0 {
        commands.push(Command::ViewTime(view.moved(-outcome.pulled)));
    }
    if let Some(around) = outcome.hovered.filter(|_| outcome.zoomed != 1.0) {
        commands.push(Command::ViewTime(view.zoomed(outcome.zoomed, around)));
    }
    outcome
}

#[derive(Clone, Copy)]
struct Axis {
    range: (f64, f64),
    cursor: Option<f64>,
    is_time: bool,
}

fn draw(ui: &mut Ui, chart: &Chart, frame: Frame<'_>, axis: Axis) -> Outcome {
    let begin = ui.cursor().min;
    let is_wanted = title_ui(ui, chart);
    let sums = usize::from(chart.shape == Shape::Stacked);
    let rows = (chart.series.len() + chart.limits.len() + sums + 1) as f32;
    let height = frame.height.max(ROW * rows);
    let top_left = ui.cursor().min;
    let list_width = if chart.beneath.is_some() { READ_OUT_OF_TWO } else { READ_OUT };
    let width = (ui.available_width() - list_width - look::space::STEP).max(200.0);
    let outcome = ui
        .allocate_ui_with_layout(
            Vec2::new(width + look::space::STEP + list_width, height),
            Layout::default(),
            |ui| {
                let area = Rect::from_min_size(top_left, Vec2::new(width, height));
                let mut left = ui.new_child(eframe::egui::UiBuilder::new().max_rect(area));
                let outcome = plot_ui(&mut left, chart, frame, axis, height);
                let at = outcome.hovered.or(axis.cursor);
                let list = Rect::from_min_size(
                    top_left + Vec2::new(width + look::space::STEP, 0.0),
                    Vec2::new(list_width, height),
                );
                let mut right = ui.new_child(eframe::egui::UiBuilder::new().max_rect(list));
                read_out_ui(&mut right, chart, axis, at);
                ui.allocate_rect(area.union(list), Sense::hover());
                outcome
            },
        )
        .inner;
    let end = top_left + Vec2::new(width + look::space::STEP + list_width, height);
    let place = Rect::from_min_max(begin, end);
    if is_due(ui, &chart.title, is_wanted, place) {
        let wanted = WantedChart { chart: chart.clone(), is_time: axis.is_time, range: axis.range, place };
        want(ui.ctx(), WantedFigure::Chart(Box::new(wanted)));
    }
    ui.add_space(look::space::STEP);
    outcome
}

/// Title and unit; whether the chart is wanted as a file.
fn title_ui(ui: &mut Ui, chart: &Chart) -> bool {
    let colors = look::palette(ui);
    ui.horizontal(|ui| {
        ui.label(RichText::new(&chart.title).color(colors.ink));
        ui.label(RichText::new(&chart.unit).color(colors.soft).small());
        save_figure_ui(ui, &chart.title)
    })
    .inner
}

fn plot_ui(ui: &mut Ui, chart: &Chart, frame: Frame<'_>, axis: Axis, height: f32) -> Outcome {
    let colors = look::palette(ui);
    let (low, high) = chart.y_span(axis.range);
    let about = (height / 26.0) as usize;
    let marks = ticks(low, high, about);
    let decimals = decimals(&marks);
    let is_time = axis.is_time;
    let x_about = (ui.available_width() / 76.0) as usize;
    let x_marks = if is_time {
        clock_ticks(axis.range.0, axis.range.1, x_about)
    } else {
        ticks(axis.range.0, axis.range.1, x_about)
    };
    let x_decimals = self::decimals(&x_marks);
    let x_hints = AxisHints::new_x()
        .label(RichText::new(&chart.x_unit).color(colors.soft).small())
        .formatter(
            move |mark: GridMark, _: &RangeInclusive<f64>| {
                if is_time { clock(mark.value) } else { number(mark.value, x_decimals) }
            },
        )
        .label_spacing(1.0..=2.0)
        .tick_label_color(colors.soft)
        .tick_label_font(look::small());
    let y_hints = AxisHints::new_y()
        .formatter(move |mark: GridMark, _: &RangeInclusive<f64>| number(mark.value, decimals))
        .min_thickness(AXIS)
        .label_spacing(1.0..=2.0)
        .tick_label_color(colors.soft)
        .tick_label_font(look::small());
    let plot = Plot::new(("chart", &chart.title))
        .height(height)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .allow_double_click_reset(false)
        .show_background(false)
        .show_crosshair(false)
        .show_x(false)
        .show_y(false)
        .set_margin_fraction(Vec2::ZERO)
        .grid_color(colors.rule)
        .grid_fade(0.0)
        .grid_spacing(1.0..=2.0)
        .x_grid_spacer(move |_| grid(&x_marks))
        .y_grid_spacer(move |_| grid(&marks))
        .custom_x_axes(vec![x_hints])
        .custom_y_axes(vec![y_hints])
        .label_formatter(|_| None);
    let width = f64::from(ui.available_width().max(1.0));
    let response = plot.show(ui, |plot| {
        plot.set_plot_bounds_x(axis.range.0..=axis.range.1);
        plot.set_plot_bounds_y(low..=high);
        lines(plot, frame.lines, axis, colors);
        let pixel = ((axis.range.1 - axis.range.0) / width, (high - low) / f64::from(height));
        curves(plot, chart, pixel, colors);
    });
    response
        .response
        .widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("Curves of {}", chart.title)));
    let outcome = outcome(ui, &response.response, &response.transform, axis);
    over(ui, chart, &response.transform, outcome.hovered, colors);
    outcome
}

fn grid(values: &[f64]) -> Vec<GridMark> {
    let step_size = if let [first, second, ..] = values { second - first } else { 1.0 };
    values.iter().map(|value| GridMark { value: *value, step_size }).collect()
}

/// As many decimals as the distance of the marks needs.
pub(super) fn decimals(marks: &[f64]) -> usize {
    match marks {
        [first, second, ..] => (-(second - first).abs().log10().floor()).clamp(0.0, 4.0) as usize,
        _ => 0,
    }
}

fn lines(plot: &mut PlotUi<'_>, at: &[f64], axis: Axis, colors: &Palette) {
    for x in at {
        plot.vline(
            VLine::new("", *x).color(colors.outline).width(1.0).style(LineStyle::Dotted { spacing: 4.0 }),
        );
    }
    if let Some(cursor) = axis.cursor {
        plot.vline(VLine::new("", cursor).color(colors.ink).width(1.5));
    }
}

/// The points of a curve that can be told apart on a screen: samples that crowd around a switch would give joints without a
/// direction. A jump keeps both of its ends.
fn apart(points: &[[f64; 2]], (width, height): (f64, f64)) -> Vec<[f64; 2]> {
    /// Pixels between points that are kept.
    const NEAR: f64 = 0.6;
    let mut kept: Vec<[f64; 2]> = Vec::with_capacity(points.len());
    for point in points {
        let is_far = kept.last().is_none_or(|last| {
            let (across, up) = ((point[0] - last[0]) / width, (point[1] - last[1]) / height);
            across.hypot(up) >= NEAR
        });
        if is_far {
            kept.push(*point);
        }
    }
    kept
}

/// A curve drawn through all its points. Bands, which the plot takes for crowded points, would fill the way up to a jump.
fn curve<'a>(name: impl Into<String>, points: Vec<[f64; 2]>) -> Line<'a> {
    Line::new(name, PlotPoints::from(points)).allow_band(false)
}

fn curves(plot: &mut PlotUi<'_>, chart: &Chart, pixel: (f64, f64), colors: &Palette) {
    if chart.shape == Shape::Stacked {
        for (index, (lower, upper)) in chart.stacked().into_iter().enumerate() {
            let xs: Vec<f64> = upper.points.iter().map(|point| point[0]).collect();
            let edge = |points: &[[f64; 2]]| points.iter().map(|point| point[1]).collect::<Vec<f64>>();
            let (color, ..) = ink(colors, index);
            let area = FilledArea::new(&upper.name, &xs, &edge(&lower.points), &edge(&upper.points));
            plot.add(area.fill_color(color.gamma_multiply(0.55)));
            plot.line(curve(upper.name, apart(&upper.points, pixel)).color(color).width(1.0));
        }
    } else {
        for (index, series) in chart.series.iter().enumerate() {
            let (color, style, width) = ink(colors, index);
            let points = apart(&series.points, pixel);
            plot.line(curve(&series.name, points).color(color).style(style).width(width));
        }
    }
    for series in chart.beneath.iter().flat_map(|beneath| &beneath.series) {
        // The sum of another case has the colour of the topmost area.
        let partner = chart.series.iter().position(|own| own.name == series.name);
        let color = ink(colors, partner.unwrap_or(chart.series.len().saturating_sub(1))).0;
        let points = apart(&series.points, pixel);
        plot.line(curve(&series.name, points).color(color).style(BENEATH).width(1.0));
    }
    for limit in &chart.limits {
        let line = HLine::new(&limit.name, limit.value).color(colors.bad).width(1.2);
        plot.hline(line.style(LineStyle::Dashed { length: 5.0 }));
    }
    for mark in &chart.marks {
        // What was measured is a small ring, so that the state of the case is found among it.
        let points = Points::new(&mark.name, vec![mark.at]).color(colors.ink);
        plot.points(if mark.name.is_empty() {
            points.shape(MarkerShape::Circle).radius(3.5).filled(false)
        } else {
            points.shape(MarkerShape::Diamond).radius(6.0)
        });
    }
}

/// The names of limits and marks, and the thin line under the pointer.
fn over(ui: &Ui, chart: &Chart, transform: &PlotTransform, hovered: Option<f64>, colors: &Palette) {
    let frame = *transform.frame();
    let painter = ui.painter_at(frame);
    let galleys: Vec<_> = chart
        .limits
        .iter()
        .map(|limit| painter.layout_no_wrap(limit.name.clone(), look::small(), colors.bad))
        .collect();
    let wishes: Vec<Wish> = chart
        .limits
        .iter()
        .zip(&galleys)
        .map(|(limit, galley)| Wish {
            y: transform.position_from_point_y(limit.value),
            is_minimum: limit.is_minimum,
            size: galley.size(),
        })
        .collect();
    let curves = if wishes.is_empty() { Vec::new() } else { on_screen(chart, transform) };
    // A limit whose name has no room is told in the list beside the curves, as all are.
    for (place, galley) in places(frame, &wishes, &curves).into_iter().zip(galleys) {
        if let Some(place) = place {
            painter.galley(place.min, galley, colors.bad);
        }
    }
    for mark in &chart.marks {
        let at = transform.position_from_point(&egui_plot::PlotPoint::new(mark.at[0], mark.at[1]));
        if mark.name.is_empty() {
            continue;
        }
        let galley = painter.layout_no_wrap(mark.name.clone(), look::small(), colors.ink);
        let mut place = Align2::LEFT_BOTTOM.anchor_size(at + Vec2::new(9.0, -7.0), galley.size());
        // inside the frame, and legible on the curves that pass beneath
        let past = (place.right() - frame.right() + 3.0).max(0.0);
        place = place.translate(Vec2::new(-past, (frame.top() - place.top() + 2.0).max(0.0)));
        painter.rect_filled(place.expand2(Vec2::new(2.0, -1.0)), 2.0, colors.sheet.gamma_multiply(0.85));
        painter.galley(place.min, galley, colors.ink);
    }
    if let Some(x) = hovered {
        let x = transform.position_from_point_x(x);
        painter.vline(x, frame.y_range(), Stroke::new(1.0, colors.soft));
    }
}

/// Every curve in points of the screen.
fn on_screen(chart: &Chart, transform: &PlotTransform) -> Vec<Vec<Pos2>> {
    let beneath = chart.beneath.iter().flat_map(|beneath| &beneath.series);
    let place = |at: &[f64; 2]| transform.position_from_point(&egui_plot::PlotPoint::new(at[0], at[1]));
    chart.series.iter().chain(beneath).map(|series| series.points.iter().map(place).collect()).collect()
}

fn outcome(ui: &Ui, response: &eframe::egui::Response, transform: &PlotTransform, axis: Axis) -> Outcome {
    let value = |at: Pos2| transform.value_from_position(at).x;
    let hovered = response.hover_pos().map(value).map(|x| x.clamp(axis.range.0, axis.range.1));
    let frame_x = (transform.frame().left(), transform.frame().right());
    let mut outcome = Outcome { hovered, zoomed: 1.0, frame_x, ..Outcome::default() };
    if axis.is_time {
        outcome.is_reset = response.double_clicked();
        outcome.clicked = hovered.filter(|_| response.clicked());
        if response.dragged_by(PointerButton::Primary) {
            outcome.pulled = f64::from(response.drag_delta().x) * transform.dvalue_dpos()[0];
        }
        if response.hovered() {
            ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
            // The wheel alone scrolls the page; with Ctrl, or by two fingers, it zooms.
            outcome.zoomed = f64::from(ui.input(|input| input.zoom_delta()));
        }
    }
    outcome
}

/// The list of curves with their values at an abscissa.
fn read_out_ui(ui: &mut Ui, chart: &Chart, axis: Axis, at: Option<f64>) {
    let colors = look::palette(ui);
    ui.spacing_mut().item_spacing.y = 0.0;
    let place = match (at, axis.is_time) {
        (Some(time), true) => format!("at {}", clock(time)),
        (Some(x), false) => format!("at {} {}", number(x, 2), chart.x_unit),
        (None, _) => String::new(),
    };
    let place_row = ui.label(RichText::new(&place).color(colors.soft).small()).rect;
    if let Some(beneath) = &chart.beneath {
        let right = ui.max_rect().right();
        for (column, head) in ["shown", "beneath", "difference"].into_iter().rev().enumerate() {
            let at = pos2(right - COLUMN * column as f32, place_row.center().y);
            ui.painter().text(at, Align2::RIGHT_CENTER, head, look::small(), colors.soft);
        }
        let rect = Rect::from_x_y_ranges(right - 2.0 * COLUMN..=right - COLUMN, place_row.y_range());
        ui.interact(rect, ui.scope_id().with("beneath"), Sense::hover()).on_hover_text(&beneath.name);
    }
    let values = at.map_or_else(|| vec![None; chart.series.len()], |x| chart.values_at(x));
    let mut rows: Vec<(usize, Option<f64>)> = values.into_iter().enumerate().collect();
    if chart.shape == Shape::Stacked {
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
    if let Some(x) = at.filter(|_| chart.shape == Shape::Stacked) {
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
            ui.painter().extend(eframe::egui::Shape::dashed_line(
                &ends,
                Stroke::new(1.2, colors.bad),
                4.0,
                3.0,
            ));
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
    let mut job =
        eframe::egui::text::LayoutJob::simple_singleline(name.to_owned(), look::small(), colors.ink);
    job.wrap = eframe::epaint::text::TextWrapping::truncate_at_width(room);
    let galley = painter.layout_job(job);
    painter.galley(pos2(rect.left() + 27.0, rect.center().y - 0.5 * galley.size().y), galley, colors.ink);
}

/// A piece of the line of a case that lies beneath.
pub fn line_sample(ui: &Ui, rect: Rect) {
    let ends = [rect.left_center(), rect.right_center()];
    let stroke = Stroke::new(1.0, look::palette(ui).ink);
    ui.painter().extend(eframe::egui::Shape::dashed_line(&ends, stroke, 2.5, 2.5));
}

/// A piece of the line or area of a series.
fn sample(ui: &Ui, rect: Rect, shape: Shape, index: usize) {
    let (color, style, width) = ink(look::palette(ui), index);
    let painter = ui.painter();
    if shape == Shape::Stacked {
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
            painter.extend(eframe::egui::Shape::dashed_line(&ends, stroke, length, 4.0));
        }
        LineStyle::Dotted { spacing } => {
            // the plot takes the width of a dotted line for the radius of its dots
            painter.extend(eframe::egui::Shape::dotted_line(&ends, color, spacing, width));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ten seconds on 100 pixels: 0.1 s a pixel; 1 kW a pixel upwards.
    #[test]
    fn crowded_samples_are_drawn_once_and_a_jump_keeps_its_ends() {
        let points = [
            [0.0, 3.0],
            [1.0, 3.0],
            [1.0, 118.0],
            [1.0001, 118.1],
            [1.01, 118.2],
            [10.0, 118.2],
            [10.0, 118.2],
        ];
        let drawn = apart(&points, (0.1, 1.0));
        assert_eq!(drawn, [[0.0, 3.0], [1.0, 3.0], [1.0, 118.0], [10.0, 118.2]]);
    }

    #[test]
    fn no_two_curves_of_a_chart_look_alike() {
        let all: Vec<String> = (0..36).map(|index| format!("{:?}", ink(&look::LIGHT, index))).collect();
        assert_eq!(all.iter().collect::<std::collections::BTreeSet<_>>().len(), all.len());
        let lines: Vec<String> = (0..6)
            .map(|index| format!("{:?}{}", ink(&look::LIGHT, index).1, ink(&look::LIGHT, index).2))
            .collect();
        assert_eq!(lines.iter().collect::<std::collections::BTreeSet<_>>().len(), 6, "also without colours");
    }
}
