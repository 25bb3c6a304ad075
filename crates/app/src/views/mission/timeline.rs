//! The timeline below every page: where in the mission the pages are, and the way to another moment.

use egui::{
    Align, Button, CornerRadius, CursorIcon, Layout, Pos2, Rect, RichText, Sense, Shape, Stroke, StrokeKind,
    Ui, Vec2, WidgetInfo, pos2,
};

use super::data::MissionData;
use super::paint::band_name;
use crate::clock::clock;
use crate::command::Command;
use crate::look::{self, Palette};
use crate::views::time::TimeView;

/// Height of the strip: the names of segments, and the power below them.
const NAMES: f32 = 16.0;
const POWER: f32 = 22.0;

/// Draws the timeline; a click or a pull sets the time cursor.
pub fn timeline_ui(ui: &mut Ui, mission: &MissionData, view: &TimeView, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(Vec2::new(150.0, NAMES + POWER), Layout::top_down(Align::Min), |ui| {
            ui.set_width(150.0);
            ui.spacing_mut().item_spacing.y = 0.0;
            ui.horizontal(|ui| {
                ui.label(RichText::new(clock(view.cursor_s)).size(look::size::LARGE));
                ui.label(RichText::new(format!("of {}", clock(mission.end_s))).color(colors.soft).small());
            });
            let segment = mission.segment_at(view.cursor_s).map_or("", |segment| segment.name.as_str());
            ui.add(egui::Label::new(RichText::new(segment).color(colors.soft).small()).truncate());
        });
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            for step in [1, -1] {
                event_step_ui(ui, mission, view, step, commands);
            }
            strip_ui(ui, mission, view, commands);
        });
    });
}

fn event_step_ui(
    ui: &mut Ui,
    mission: &MissionData,
    view: &TimeView,
    step: i32,
    commands: &mut Vec<Command>,
) {
    let command = Command::StepEvent(step);
    let event = mission.event_beside(view.cursor_s, step);
    let keys = command.shortcut().map(|keys| ui.ctx().format_shortcut(&keys)).unwrap_or_default();
    let response = ui.add_enabled(event.is_some(), Button::new(command.label()));
    let what =
        event.map(|event| format!("{}: {}  {keys}", clock(event.time_s), event.what)).unwrap_or_default();
    if response.on_hover_text(what).on_disabled_hover_text("There is none").clicked() {
        commands.push(command);
    }
}

fn strip_ui(ui: &mut Ui, mission: &MissionData, view: &TimeView, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    let size = Vec2::new(ui.available_width(), NAMES + POWER);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::slider(true, view.cursor_s, "Time cursor, seconds"));
    let strip = rect.shrink2(Vec2::new(6.0, 0.0));
    let x = |time: f64| strip.left() + strip.width() * (time / mission.end_s.max(1e-9)) as f32;
    paint(ui, mission, view, strip, x, colors);
    if response.has_focus() {
        let stroke = look::hairline(colors.accent);
        ui.painter().rect_stroke(rect, CornerRadius::same(2), stroke, StrokeKind::Inside);
    }
    let time = |at: Pos2| view.held(mission.end_s * f64::from((at.x - strip.left()) / strip.width()));
    if let Some(at) = response.interact_pointer_pos()
        && (response.clicked() || response.dragged())
    {
        commands.push(Command::SetTime(time(at)));
    }
    let response = response.on_hover_cursor(CursorIcon::ResizeHorizontal);
    if let Some(at) = response.hover_pos() {
        let time = time(at);
        let segment = mission.segment_at(time).map_or("", |segment| segment.name.as_str());
        response.on_hover_text_at_pointer(format!("{}  {segment}", clock(time)));
    }
}

fn paint(
    ui: &Ui,
    mission: &MissionData,
    view: &TimeView,
    strip: Rect,
    x: impl Fn(f64) -> f32,
    colors: &Palette,
) {
    let painter = ui.painter_at(strip.expand2(Vec2::new(6.0, 0.0)));
    for (index, segment) in mission.segments.iter().enumerate() {
        let band = Rect::from_x_y_ranges(x(segment.from_s)..=x(segment.to_s), strip.y_range());
        let ground = if index % 2 == 0 { colors.sheet } else { colors.stripe };
        painter.rect_filled(band, CornerRadius::ZERO, ground);
        let names = Rect::from_min_max(band.min, pos2(band.right(), band.top() + NAMES));
        band_name(&painter.with_clip_rect(names), names, &segment.name, colors);
    }
    let power = Rect::from_min_max(pos2(strip.left(), strip.top() + NAMES), strip.max - Vec2::new(0.0, 2.0));
    if let Some(series) = mission.power.series.first() {
        let highest = series.points.iter().map(|point| point[1]).fold(f64::MIN_POSITIVE, f64::max);
        let point = |p: &[f64; 2]| {
            pos2(x(p[0]), power.bottom() - power.height() * (p[1] / highest).clamp(0.0, 1.0) as f32)
        };
        painter.add(Shape::line(series.points.iter().map(point).collect(), Stroke::new(1.2, colors.accent)));
    }
    for event in &mission.events {
        let at = pos2(x(event.time_s), strip.bottom());
        let corners = vec![at, at + Vec2::new(-3.0, -6.0), at + Vec2::new(3.0, -6.0)];
        painter.add(Shape::convex_polygon(corners, colors.soft, Stroke::NONE));
    }
    if let Some((from, to)) = view.part_s {
        let seen = Rect::from_x_y_ranges(x(from)..=x(to), strip.y_range());
        painter.rect_stroke(seen, CornerRadius::ZERO, Stroke::new(1.5, colors.outline), StrokeKind::Inside);
    }
    let cursor = x(view.cursor_s);
    painter.vline(cursor, strip.y_range(), Stroke::new(2.0, colors.ink));
    let top = pos2(cursor, strip.top());
    let head = vec![top + Vec2::new(-5.0, 0.0), top + Vec2::new(5.0, 0.0), top + Vec2::new(0.0, 7.0)];
    painter.add(Shape::convex_polygon(head, colors.ink, Stroke::NONE));
}
