//! Drawing the page Turnaround.

use egui::{
    Align2, Color32, CornerRadius, Label, Rect, RichText, Role, ScrollArea, Sense, Shape, Stroke, StrokeKind,
    Ui, Vec2, WidgetInfo, pos2,
};

use super::data::{Phase, TurnaroundData, TurnaroundOption, WaitCell, WaitTable};
use super::layout::{Bar, bars, longest_s};
use crate::clock::clock;
use crate::command::Command;
use crate::look::{self, Palette};
use crate::views::chart::{Frame, WantedFigure, chart_ui, is_due, save_figure_ui, want};
use crate::views::figure::{figure_ui, follow_focus, hatch, page_keys};
use crate::views::time::clock_ticks;

const NAME: f32 = 190.0;
const END: f32 = 250.0;
const LANE: f32 = 18.0;

/// Draws the page.
pub fn turnaround_ui(ui: &mut Ui, data: &TurnaroundData, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    look::sheet(colors).show(ui, |ui| {
        ScrollArea::vertical().id_salt("turnaround").auto_shrink([false, false]).show(ui, |ui| {
            let (top, mut is_wanted) = (ui.cursor().min, false);
            ui.horizontal(|ui| {
                ui.heading("Turnaround");
                let text = format!(
                    "{} · from landing after {} · outside air {}",
                    data.name, data.after, data.outside
                );
                is_wanted = save_figure_ui(ui, "ways of the turnaround");
                ui.add(Label::new(RichText::new(text).color(colors.soft)).truncate());
            });
            legend_ui(ui, data);
            options_ui(ui, data);
            let place = Rect::from_min_max(top, pos2(ui.max_rect().right(), ui.cursor().top()));
            if is_due(ui, "turnaround", is_wanted, place) {
                want(ui.ctx(), WantedFigure::Painted { title: "turnaround".to_owned(), place });
            }
            ui.add_space(look::space::STEP);
            chart_ui(ui, &data.curves, Frame { height: 170.0, lines: &[] });
            if !data.is_whole {
                ui.label(RichText::new("Calculating the tables for the ground team.").color(colors.soft));
            }
            departure_ui(ui, data, commands);
            tables_ui(ui, &data.tables);
            for remark in &data.remarks {
                ui.add(Label::new(RichText::new(remark).color(colors.soft)).wrap());
            }
            page_keys(ui);
            follow_focus(ui);
        });
    });
}

fn ink(phase: Phase, colors: &Palette) -> Color32 {
    match phase {
        Phase::Taxi => colors.soft,
        Phase::Soak => colors.wall,
        Phase::Cool => colors.cool,
        Phase::Charge => colors.good,
        Phase::Swap => colors.pressure,
    }
}

fn legend_ui(ui: &mut Ui, data: &TurnaroundData) {
    let colors = look::palette(ui);
    let is_used =
        |phase: &Phase| data.options.iter().any(|o| o.phases.iter().any(|span| span.phase == *phase));
    ui.horizontal(|ui| {
        for phase in Phase::ALL.into_iter().filter(is_used) {
            let (rect, _) = ui.allocate_exact_size(Vec2::new(22.0, 12.0), Sense::empty());
            block(ui, rect, phase, colors);
            ui.label(RichText::new(phase.word()).color(colors.soft).small());
            ui.add_space(look::space::NEAR);
        }
    });
}

/// A phase as a block: each has its own texture besides its colour.
fn block(ui: &Ui, rect: Rect, phase: Phase, colors: &Palette) {
    let color = ink(phase, colors);
    let painter = ui.painter();
    match phase {
        Phase::Taxi => {}
        Phase::Swap => {
            let (middle, ink) = (rect.center().y, Stroke::new(1.0, color.gamma_multiply(0.6)));
            painter.hline(rect.x_range(), middle - 3.0, ink);
            painter.hline(rect.x_range(), middle + 3.0, ink);
        }
        Phase::Soak => hatch(painter, rect, color),
        Phase::Cool => {
            painter.rect_filled(rect, CornerRadius::ZERO, color.gamma_multiply(0.3));
        }
        Phase::Charge => {
            painter.rect_filled(rect, CornerRadius::ZERO, color.gamma_multiply(0.3));
            let mut x = rect.left() + 5.0;
            while x < rect.right() {
                painter.vline(x, rect.y_range(), Stroke::new(1.0, color.gamma_multiply(0.55)));
                x += 5.0;
            }
        }
    }
    painter.rect_stroke(rect, CornerRadius::ZERO, Stroke::new(1.0, color), StrokeKind::Inside);
}

fn options_ui(ui: &mut Ui, data: &TurnaroundData) {
    let colors = look::palette(ui);
    let longest = longest_s(&data.options);
    let width = (ui.available_width() - NAME - END).max(160.0);
    let (axis, _) = ui.allocate_exact_size(Vec2::new(NAME + width, 18.0), Sense::hover());
    let x = |time: f64| axis.left() + NAME + width * (time / longest) as f32;
    let marks = clock_ticks(0.0, longest, (width / 80.0) as usize);
    for mark in &marks {
        let at = pos2(x(*mark), axis.bottom());
        ui.painter().text(at, Align2::CENTER_BOTTOM, clock(*mark), look::small(), colors.soft);
    }
    let at = axis.left_bottom();
    ui.painter().text(at, Align2::LEFT_BOTTOM, "time since landing, min:s", look::small(), colors.soft);
    for option in &data.options {
        option_ui(ui, option, data, width, longest, &marks.iter().map(|m| x(*m)).collect::<Vec<f32>>());
    }
}

fn option_ui(
    ui: &mut Ui,
    option: &TurnaroundOption,
    data: &TurnaroundData,
    width: f32,
    longest_s: f64,
    lines: &[f32],
) {
    let colors = look::palette(ui);
    let bars = bars(option, longest_s);
    let lanes = 1 + bars.iter().map(|bar| bar.lane).max().unwrap_or(0);
    let height = (LANE * lanes as f32 + 10.0).max(42.0);
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), height), Sense::hover());
    let ready =
        option.ready_s.map_or_else(|| "never ready".to_owned(), |time| format!("ready at {}", clock(time)));
    let energy = format!("{} charged, {} {}", option.charged, option.energy.text, data.energy_unit);
    let pack = format!("pack {} {}", option.pack_temperature.text, data.temperature_unit);
    let phases: Vec<String> = option
        .phases
        .iter()
        .map(|span| format!("{} {} to {}", span.phase.word(), clock(span.from_s), clock(span.to_s)))
        .collect();
    let spoken = format!("{}: {ready}, {energy}, {pack}; {}", option.name, phases.join(", "));
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    let painter = ui.painter_at(rect);
    painter.hline(rect.x_range(), rect.bottom() - 0.5, look::hairline(colors.rule));
    let left = rect.left() + NAME;
    for line in lines {
        painter.vline(*line, rect.y_range(), look::hairline(colors.rule));
    }
    clipped(&painter, pos2(rect.left(), rect.center().y - 8.0), NAME - 10.0, &option.name, colors.ink);
    let first = rect.center().y - 0.5 * (LANE * lanes as f32 - 3.0);
    for bar in &bars {
        let top = first + LANE * bar.lane as f32;
        piece(ui, *bar, (left, width), top);
    }
    let at = rect.right() - END + 14.0;
    let middle = rect.center().y;
    option.sign.paint(&painter, pos2(at + 6.0, middle - 8.0), colors);
    painter.text(pos2(at + 18.0, middle - 1.0), Align2::LEFT_BOTTOM, &ready, look::body(), colors.ink);
    let below =
        if option.outcome.is_empty() { format!("{energy} · {pack}") } else { option.outcome.clone() };
    clipped(&painter, pos2(at + 18.0, middle + 1.0), END - 36.0, &below, colors.soft);
    response.on_hover_text(if option.outcome.is_empty() {
        spoken
    } else {
        format!("{spoken}\n{}", option.outcome)
    });
}

fn piece(ui: &Ui, bar: Bar, (left, width): (f32, f32), top: f32) {
    let colors = look::palette(ui);
    let rect = Rect::from_min_max(
        pos2(left + width * bar.left, top),
        pos2((left + width * bar.right).max(left + width * bar.left + 1.0), top + LANE - 3.0),
    );
    block(ui, rect, bar.phase, colors);
    if bar.goes_on {
        let tip = rect.right_center() + Vec2::new(8.0, 0.0);
        let corners = vec![tip, tip + Vec2::new(-7.0, -5.0), tip + Vec2::new(-7.0, 5.0)];
        ui.painter().add(Shape::convex_polygon(corners, colors.ink, Stroke::NONE));
    }
    let galley = ui.painter().layout_no_wrap(clock(bar.lasts_s), look::small(), colors.ink);
    if galley.size().x + 6.0 < rect.width() {
        let place = Align2::CENTER_CENTER.anchor_size(rect.center(), galley.size());
        ui.painter().rect_filled(place.expand2(Vec2::new(3.0, -1.0)), CornerRadius::same(2), colors.sheet);
        ui.painter().galley(place.min, galley, colors.ink);
    }
}

fn clipped(painter: &egui::Painter, at: egui::Pos2, width: f32, text: &str, ink: Color32) {
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), look::small(), ink);
    job.wrap = egui::epaint::text::TextWrapping::truncate_at_width(width);
    let galley = painter.layout_job(job);
    painter.galley(at, galley, ink);
}

fn departure_ui(ui: &mut Ui, data: &TurnaroundData, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    if data.departure.is_empty() {
        return;
    }
    ui.add_space(look::space::STEP);
    ui.heading("Hottest pack at departure");
    let text = "The highest pack temperature at departure with which the next flight still lands with every required margin.";
    ui.label(RichText::new(text).color(colors.soft).small());
    egui::Grid::new("departure").striped(true).spacing([18.0, 4.0]).show(ui, |ui| {
        let pack = format!("Pack, {}", data.temperature_unit);
        for head in ["Outside air", "Flight", &pack, "Limited by"] {
            ui.label(RichText::new(head).color(colors.soft).small());
        }
        ui.end_row();
        for row in &data.departure {
            ui.label(&row.outside);
            ui.label(&row.mission);
            figure_ui(ui, &row.pack, &format!("outside {}, hottest pack", row.outside), commands);
            ui.label(if row.limited_by.is_empty() {
                "the highest limit of the cells"
            } else {
                &row.limited_by
            });
            ui.end_row();
        }
    });
}

fn tables_ui(ui: &mut Ui, tables: &[WaitTable]) {
    let colors = look::palette(ui);
    if tables.is_empty() {
        return;
    }
    ui.add_space(look::space::STEP);
    ui.heading("Wait and charge");
    let text = "Minutes and seconds of waiting or cooling before charging may start, and the charge rate then allowed, by \
                outside air (rows) and indicated pack temperature (columns).";
    ui.add(Label::new(RichText::new(text).color(colors.soft).small()).wrap());
    for table in tables {
        ui.add_space(look::space::STEP);
        ui.label(&table.option);
        let grid = egui::Grid::new(("wait and charge", &table.option));
        grid.striped(true).spacing([18.0, 4.0]).show(ui, |ui| {
            ui.label(RichText::new("Outside air").color(colors.soft).small());
            for head in &table.pack_temperatures {
                ui.label(RichText::new(format!("pack {head}")).color(colors.soft).small());
            }
            ui.end_row();
            for (air, cells) in &table.rows {
                ui.label(air);
                for (cell, head) in cells.iter().zip(&table.pack_temperatures) {
                    cell_ui(ui, cell, &format!("{}, outside {air}, pack {head}", table.option));
                }
                ui.end_row();
            }
        });
    }
    ui.add_space(look::space::STEP);
}

fn cell_ui(ui: &mut Ui, cell: &WaitCell, place: &str) {
    let colors = look::palette(ui);
    let (text, spoken, ink) = match cell.wait_s {
        Some(wait) => (
            format!("{}, then {}", clock(wait), cell.rate),
            format!("{place}: wait {}, then {}", clock(wait), cell.rate),
            colors.ink,
        ),
        None => ("no charge".to_owned(), format!("{place}: no charge; {}", cell.why), colors.warn),
    };
    let response = ui.label(RichText::new(text).color(ink));
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    response.on_hover_text(spoken);
}
