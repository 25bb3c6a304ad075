//! Drawing the page Failures.

use egui::{
    self, Align2, CornerRadius, Grid, Label, Painter, Pos2, Rect, RichText, Role, ScrollArea, Sense, Shape,
    Stroke, Ui, Vec2, WidgetInfo, pos2,
};

use super::data::{FailureRow, FailuresData};
use crate::clock::clock;
use crate::command::Command;
use crate::look::{self, Palette};
use crate::views::chart::{WantedFigure, save_figure_ui, want};
use crate::views::figure::{Sign, figure_ui, follow_focus, page_keys, standing_ui};
use crate::views::sheet::sheet_ui;
use crate::views::time::clock_ticks;

const ROW: f32 = 46.0;
const NAME: f32 = 210.0;
const WORD: f32 = 170.0;

type Mark = fn(&Painter, Pos2, &Palette);

/// Draws the page: every failure on one scale of time, and the chosen one in full below.
pub fn failures_ui(ui: &mut Ui, data: &FailuresData, selected: Option<&str>, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    look::sheet(colors).show(ui, |ui| {
        let (top, mut is_wanted) = (ui.cursor().min, false);
        ui.horizontal(|ui| {
            ui.heading("Failures");
            let text = format!(
                "during {}, each from its worst moment · time to the first required margin and to the first limit with the power held, and time to land for the action",
                data.during
            );
            is_wanted = save_figure_ui(ui, "bars of failures");
            ui.add(Label::new(RichText::new(text).color(colors.soft)).truncate());
        });
        legend_ui(ui);
        ScrollArea::vertical().id_salt("failures").auto_shrink([false, false]).show(ui, |ui| {
            let chosen =
                data.rows.iter().find(|row| Some(row.name.as_str()) == selected).or(data.rows.first());
            scale_ui(ui, data);
            for row in &data.rows {
                let is_chosen = chosen.is_some_and(|chosen| chosen.name == row.name);
                row_ui(ui, row, data.longest_s(), is_chosen, commands);
            }
            if is_wanted {
                let end = pos2(ui.max_rect().right(), ui.cursor().top().min(ui.clip_rect().bottom()));
                let place = Rect::from_min_max(top, end);
                want(ui.ctx(), WantedFigure::Painted { title: "failures".to_owned(), place });
            }
            if let Some(chosen) = chosen {
                detail_ui(ui, chosen, &data.temperature_unit, commands);
            }
            power_ui(ui, data);
            page_keys(ui);
            follow_focus(ui);
        });
    });
}

fn legend_ui(ui: &mut Ui) {
    let colors = look::palette(ui);
    ui.horizontal(|ui| {
        let marks: [(&str, f32, Mark); 3] = [
            ("first required margin lost", 6.0, required_mark),
            ("first limit", 6.0, limit_mark),
            ("time to land for the action", -5.0, land_mark),
        ];
        for (name, below, mark) in marks {
            let (rect, _) = ui.allocate_exact_size(Vec2::new(14.0, 14.0), Sense::empty());
            mark(ui.painter(), rect.center() + Vec2::new(0.0, below), colors);
            ui.label(RichText::new(name).color(colors.soft).small());
            ui.add_space(look::space::STEP);
        }
    });
}

/// A limit: a flag that stands on the line.
fn limit_mark(painter: &Painter, foot: Pos2, colors: &Palette) {
    let top = foot - Vec2::new(0.0, 13.0);
    painter.line_segment([foot, top], Stroke::new(2.0, colors.bad));
    let flag = vec![top, top + Vec2::new(7.0, 3.5), top + Vec2::new(0.0, 7.0)];
    painter.add(Shape::convex_polygon(flag, colors.bad, Stroke::NONE));
}

/// A required margin is lost: a bar that stands on the line.
fn required_mark(painter: &Painter, foot: Pos2, colors: &Palette) {
    painter.line_segment([foot, foot - Vec2::new(0.0, 13.0)], Stroke::new(2.0, colors.warn));
}

/// Touchdown: a triangle that hangs below the line and points to it, clear of the flag.
fn land_mark(painter: &Painter, tip: Pos2, colors: &Palette) {
    let corners = vec![tip, tip + Vec2::new(6.0, 9.0), tip + Vec2::new(-6.0, 9.0)];
    painter.add(Shape::convex_polygon(corners, colors.ink, Stroke::NONE));
}

/// Left end and width of the time scale in a row.
fn scale(rect: Rect) -> (f32, f32) {
    let left = rect.left() + NAME;
    (left, (rect.right() - WORD - left - 24.0).max(80.0))
}

fn scale_ui(ui: &mut Ui, data: &FailuresData) {
    let colors = look::palette(ui);
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 18.0), Sense::hover());
    let (left, width) = scale(rect);
    let longest = data.longest_s();
    let at = pos2(rect.left() + 6.0, rect.bottom());
    let title = "time since the failure, min:s";
    ui.painter().text(at, Align2::LEFT_BOTTOM, title, look::small(), colors.soft);
    for mark in clock_ticks(0.0, longest, (width / 70.0) as usize) {
        let at = pos2(left + width * (mark / longest) as f32, rect.bottom());
        ui.painter().text(at, Align2::CENTER_BOTTOM, clock(mark), look::small(), colors.soft);
    }
}

fn row_ui(ui: &mut Ui, row: &FailureRow, longest_s: f64, is_chosen: bool, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::click());
    let spoken = spoken(row);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_chosen, &spoken));
    let painter = ui.painter_at(rect);
    if is_chosen || response.hovered() || response.has_focus() {
        let ground = if is_chosen { colors.chosen } else { colors.stripe };
        painter.rect_filled(rect, CornerRadius::same(2), ground);
    }
    painter.hline(rect.x_range(), rect.bottom() - 0.5, look::hairline(colors.rule));
    line(
        &painter,
        pos2(rect.left() + 6.0, rect.top() + 5.0),
        NAME - 14.0,
        &row.name,
        look::body(),
        colors.ink,
    );
    let action = row.action_words();
    let below = if row.outcome.is_empty() { &action } else { &row.outcome };
    line(
        &painter,
        pos2(rect.left() + 6.0, rect.top() + 25.0),
        NAME - 14.0,
        below,
        look::small(),
        colors.soft,
    );
    times(&painter, row, rect, longest_s, colors);
    let sign = Sign::from(row.standing);
    let at = pos2(rect.right() - WORD, rect.center().y);
    sign.paint(&painter, at, colors);
    let (at, ink) = (at + Vec2::new(12.0, 0.0), sign.ink(colors));
    painter.text(at, Align2::LEFT_CENTER, row.standing.words(), look::small(), ink);
    if response.on_hover_text(spoken).clicked() {
        commands.push(Command::SelectFailure(row.name.clone()));
    }
}

fn times(painter: &Painter, row: &FailureRow, rect: Rect, longest_s: f64, colors: &Palette) {
    let (left, width) = scale(rect);
    let x = |time: f64| left + width * (time / longest_s).clamp(0.0, 1.0) as f32;
    let y = rect.center().y;
    painter.hline(left..=left + width, y, look::hairline(colors.rule));
    // beside its mark, on the side where there is room
    let label = |time: f64, offset: f32, ink| {
        let at_end = x(time) > left + width - 44.0;
        let (shift, anchor) =
            if at_end { (-10.0, Align2::RIGHT_CENTER) } else { (10.0, Align2::LEFT_CENTER) };
        painter.text(pos2(x(time) + shift, y + offset), anchor, clock(time), look::small(), ink);
    };
    if let Some(land) = row.time_to_land_s {
        painter.hline(left..=x(land), y, Stroke::new(3.0, colors.outline));
        land_mark(painter, pos2(x(land), y + 2.0), colors);
        label(land, 9.0, colors.ink);
    }
    if let Some(limit) = row.time_to_limit_s {
        limit_mark(painter, pos2(x(limit), y), colors);
        label(limit, -9.0, colors.bad);
    }
    if let Some(short) = row.time_to_required_s {
        required_mark(painter, pos2(x(short), y), colors);
        // where both are close the limit has the word
        let is_clear = row.time_to_limit_s.is_none_or(|limit| (x(limit) - x(short)).abs() > 44.0);
        if is_clear {
            label(short, -9.0, colors.warn);
        }
    }
}

fn spoken(row: &FailureRow) -> String {
    let time = |time: Option<f64>| time.map_or_else(|| "none".to_owned(), clock);
    format!(
        "{}, at {}: time to required margin {} ({}), time to limit {} ({}), time to land {}; {}; {}",
        row.name,
        row.start,
        time(row.time_to_required_s),
        if row.first_required.is_empty() { "none lost" } else { &row.first_required },
        time(row.time_to_limit_s),
        if row.first_limit.is_empty() { "no limit reached" } else { &row.first_limit },
        time(row.time_to_land_s),
        row.action_words(),
        row.standing.words()
    )
}

fn line(painter: &Painter, at: Pos2, width: f32, text: &str, font: egui::FontId, ink: egui::Color32) {
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, ink);
    job.wrap = egui::epaint::text::TextWrapping::truncate_at_width(width);
    let galley = painter.layout_job(job);
    painter.galley(at, galley, ink);
}

fn detail_ui(ui: &mut Ui, row: &FailureRow, unit: &str, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.add_space(look::space::GROUP);
    ui.heading(&row.name);
    ui.label(RichText::new(format!("at {}", row.start)).color(colors.soft));
    if !row.outcome.is_empty() {
        ui.label(RichText::new(&row.outcome).color(colors.bad));
    }
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Until touchdown").color(colors.soft));
        standing_ui(ui, Some(row.standing));
        ui.label(RichText::new("Pilot action").color(colors.soft));
        ui.label(row.action_words());
    });
    for note in &row.action_notes {
        ui.add(Label::new(RichText::new(note).color(colors.soft).small()).wrap());
    }
    ui.add_space(look::space::STEP);
    if !row.peaks.is_empty() {
        ui.label(RichText::new("Peak until touchdown").size(look::size::TITLE));
        table_ui(ui, "peaks", &["Where", "Peak", "Limit", "Margin", ""], unit, |ui| {
            for peak in &row.peaks {
                name_ui(ui, &peak.where_);
                let figures = [("peak", &peak.temperature), ("limit", &peak.limit), ("margin", &peak.margin)];
                for (name, figure) in figures {
                    cell_ui(ui, |ui| {
                        figure_ui(ui, figure, &format!("{}, {name} until touchdown", peak.where_), commands);
                    });
                }
                standing_ui(ui, Some(peak.standing));
                ui.end_row();
            }
        });
        ui.add_space(look::space::STEP);
    }
    if !row.alerts.is_empty() {
        ui.label(RichText::new("Alert temperatures that leave time for the action").size(look::size::TITLE));
        table_ui(ui, "alerts", &["Sensor", "Amber: plan", "Red: act", ""], unit, |ui| {
            for alert in &row.alerts {
                name_ui(ui, &alert.where_);
                for (name, figure) in [("amber", &alert.amber), ("red", &alert.red)] {
                    cell_ui(ui, |ui| figure_ui(ui, figure, &format!("{}, {name}", alert.where_), commands));
                }
                ui.end_row();
            }
        });
        let mut told: Vec<&str> = row.alerts.iter().map(|alert| alert.basis.as_str()).collect();
        told.dedup();
        for basis in told {
            ui.add(Label::new(RichText::new(basis).color(colors.soft).small()).wrap());
        }
    }
    ui.add_space(look::space::STEP);
}

/// One motor out: what is asked for and not met, then the tables.
fn power_ui(ui: &mut Ui, data: &FailuresData) {
    let colors = look::palette(ui);
    ui.add_space(look::space::GROUP);
    ui.heading("One motor out");
    for note in &data.power_notes {
        let ink = if note.starts_with("SHORT") { colors.bad } else { colors.soft };
        ui.add(Label::new(RichText::new(note).color(ink)).wrap());
    }
    ui.add_space(look::space::NEAR);
    for (number, sheet) in data.power.iter().enumerate() {
        sheet_ui(ui, number, sheet);
        ui.add_space(look::space::GROUP);
    }
}

fn table_ui(ui: &mut Ui, id: &str, heads: &[&str], unit: &str, rows: impl FnOnce(&mut Ui)) {
    let colors = look::palette(ui);
    Grid::new(id).striped(true).spacing([14.0, 4.0]).show(ui, |ui| {
        for head in heads {
            let is_number = !["Where", "Sensor", ""].contains(head);
            let text = match (is_number, *head) {
                (true, "Margin") => "Margin, K".to_owned(),
                (true, head) => format!("{head}, {unit}"),
                (false, head) => head.to_owned(),
            };
            let text = RichText::new(text).color(colors.soft).small();
            if is_number {
                cell_ui(ui, |ui| {
                    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| ui.label(text));
                });
            } else {
                ui.label(text);
            }
        }
        ui.end_row();
        rows(ui);
    });
}

fn name_ui(ui: &mut Ui, name: &str) {
    ui.allocate_ui(Vec2::new(220.0, look::space::ROW), |ui| {
        ui.set_min_width(220.0);
        ui.add(Label::new(name).truncate()).on_hover_text(name);
    });
}

fn cell_ui(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    ui.allocate_ui(Vec2::new(96.0, look::space::ROW), |ui| {
        ui.set_width(96.0);
        add(ui);
    });
}
