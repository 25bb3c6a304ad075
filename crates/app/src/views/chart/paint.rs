//! Drawing charts.

use std::ops::RangeInclusive;

use egui::{
    Align2, CursorIcon, Layout, PointerButton, Pos2, Rect, RichText, Role, Sense, Stroke, Ui, Vec2,
    WidgetInfo,
};
use egui_plot::{AxisHints, GridMark, LineStyle, Plot, PlotTransform, PlotUi, VLine};

use super::curves::curves;
use super::data::{Chart, ChartStyle};
use super::export::{WantedChart, WantedFigure, is_due, save_figure_ui, want};
use super::labels::{Wish, decimals, places};
use super::read_out::{ROW, read_out_ui};
use crate::clock::clock;
use crate::command::Command;
use crate::look::{self, Palette};
use crate::views::figure::number;
use crate::views::loops::ticks;
use crate::views::time::{TimeView, clock_ticks};

/// Width of the list of curves, without and with another case beneath, and of the axis.
const READ_OUT: f32 = 236.0;
const READ_OUT_OF_TWO: f32 = 350.0;
const AXIS: f32 = 44.0;

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
    let sums = usize::from(chart.shape == ChartStyle::Stacked);
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
                let mut left = ui.new_child(egui::UiBuilder::new().max_rect(area));
                let outcome = plot_ui(&mut left, chart, frame, axis, height);
                let at = outcome.hovered.or(axis.cursor);
                let list = Rect::from_min_size(
                    top_left + Vec2::new(width + look::space::STEP, 0.0),
                    Vec2::new(list_width, height),
                );
                let mut right = ui.new_child(egui::UiBuilder::new().max_rect(list));
                read_out_ui(&mut right, chart, axis.is_time, at);
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

fn outcome(ui: &Ui, response: &egui::Response, transform: &PlotTransform, axis: Axis) -> Outcome {
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
