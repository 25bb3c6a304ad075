//! Drawing the page Mission.

use egui::{
    self, Align2, CornerRadius, Label, Rect, RichText, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo,
};
use egui_extras::{Column, TableBuilder, TableRow};

use super::compare::{Compare, compare_ui};
use super::data::{MissionData, Peak, SegmentBand};
use model::case_name::CaseName;

use crate::clock::clock;
use crate::command::{Command, Page};
use crate::look;
use crate::views::chart::{Frame, time_chart_ui};
use crate::views::empty::empty_ui;
use crate::views::field::{Drafts, free_input_ui};
use crate::views::figure::{figure_ui, follow_focus, number_head_ui, page_keys, standing_ui, text_head_ui};
use crate::views::time::TimeView;

const BAND: f32 = 22.0;

/// Draws the page.
pub fn mission_ui(
    ui: &mut Ui,
    mission: Option<&MissionData>,
    others: &[CaseName],
    compare: &Compare<'_>,
    view: &TimeView,
    drafts: &mut Drafts,
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    let Some(mission) = mission else {
        look::sheet(colors).show(ui, |ui| {
            missing_ui(ui, others, compare, commands);
            ui.allocate_space(ui.available_size());
        });
        return;
    };
    look::sheet(colors).show(ui, |ui| {
        title_ui(ui, mission, &compare.choice.case.to_string(), view, commands);
        compare_ui(ui, mission, compare, commands);
        let borders = mission.borders();
        let (bands, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), BAND), Sense::hover());
        // In step with the chart as it was drawn last: the keys come to the segments before the chart below them.
        let place = egui::Id::unique("frame of the power");
        let known = ui.data(|data| data.get_temp::<(f32, f32)>(place));
        bands_ui(ui, mission, bands, known.unwrap_or((bands.left(), bands.right())), view, commands);
        let frame = Frame { height: 84.0, lines: &borders };
        let outcome = time_chart_ui(ui, &mission.power, frame, view, commands);
        if known != Some(outcome.frame_x) {
            ui.data_mut(|data| data.insert_temp(place, outcome.frame_x));
            ui.ctx().request_repaint();
        }
    });
    ui.add_space(look::space::STEP);
    look::sheet(colors).show(ui, |ui| {
        ScrollArea::vertical().id_salt("mission").auto_shrink([false, false]).show(ui, |ui| {
            let borders = mission.borders();
            let frame = |height| Frame { height, lines: &borders };
            for chart in &mission.temperatures {
                time_chart_ui(ui, chart, frame(136.0), view, commands);
            }
            if !mission.heat.series.is_empty() {
                time_chart_ui(ui, &mission.heat, frame(136.0), view, commands);
                ui.add(Label::new(RichText::new(&mission.heat_book).color(colors.soft).small()).wrap());
                ui.add_space(look::space::STEP);
            }
            for chart in &mission.pack {
                time_chart_ui(ui, chart, frame(90.0), view, commands);
            }
            peaks_ui(ui, mission, commands);
            events_ui(ui, mission, view, commands);
            segments_ui(ui, mission, drafts, commands);
            page_keys(ui);
            follow_focus(ui);
        });
    });
}

/// What there is to say without a mission: where there is one.
fn missing_ui(ui: &mut Ui, others: &[CaseName], compare: &Compare<'_>, commands: &mut Vec<Command>) {
    let Some(elsewhere) = compare.cases.first() else {
        empty_ui(ui, Page::Mission, true, &[], commands);
        return;
    };
    ui.heading(Page::Mission.label());
    ui.label(if others.is_empty() {
        "This case is a steady point, and no mission is flown at this condition."
    } else {
        "This case is a steady point."
    });
    ui.label("Choose a mission to see power, temperatures, heat and charge over time.");
    ui.add_space(look::space::STEP);
    ui.horizontal_wrapped(|ui| {
        for mission in others {
            if ui.button(format!("Show {}", mission.point)).clicked() {
                commands.push(Command::ChooseCase(mission.clone()));
            }
        }
        if others.is_empty() {
            let command = Command::JumpTo { case: elsewhere.clone(), time_s: None };
            if ui.button(command.label()).on_hover_text(command.tooltip()).clicked() {
                commands.push(command);
            }
        }
    });
}

/// Case and what of it is shown, with the ways to see more or less of it.
fn title_ui(ui: &mut Ui, mission: &MissionData, case: &str, view: &TimeView, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.horizontal(|ui| {
        ui.heading("Mission");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let whole = Command::ViewTime(None);
            span_button_ui(ui, whole, view.part_s.is_none(), commands);
            if mission.flight_end_s().is_some() {
                span_button_ui(ui, Command::ViewFlight, is_flight(mission, view), commands);
            }
            let around = view.cursor_s;
            let steps = [
                (
                    "Zoom out",
                    "Zoom out around the time cursor; Ctrl and the wheel do the same",
                    view.zoomed(0.5, around),
                ),
                (
                    "Zoom in",
                    "Zoom in around the time cursor; Ctrl and the wheel do the same",
                    view.zoomed(2.0, around),
                ),
            ];
            for (label, hover, part) in steps {
                if ui.button(label).on_hover_text(hover).clicked() {
                    commands.push(Command::ViewTime(part));
                }
            }
            let seen = format!("{case} · {}", seen(mission, view));
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                ui.add(Label::new(RichText::new(&seen).color(colors.soft)).truncate()).on_hover_text(&seen);
            });
        });
    });
}

fn span_button_ui(ui: &mut Ui, command: Command, is_shown: bool, commands: &mut Vec<Command>) {
    let button = egui::Button::new(command.label()).selected(is_shown);
    if ui.add(button).on_hover_text(command.tooltip()).clicked() {
        commands.push(command);
    }
}

fn is_flight(mission: &MissionData, view: &TimeView) -> bool {
    let flight = mission.flight_end_s().and_then(|end| view.fitted((0.0, end)));
    flight.is_some() && view.part_s == flight
}

/// In words, what of the mission is shown.
fn seen(mission: &MissionData, view: &TimeView) -> String {
    let (from, to) = view.range();
    if is_flight(mission, view) {
        let soak = clock(mission.end_s - to);
        format!("the flight, {}; a soak of {soak} follows", clock(to))
    } else if view.part_s.is_some() {
        format!("{} to {} of {}", clock(from), clock(to), clock(mission.end_s))
    } else {
        format!("whole mission, {}", clock(mission.end_s))
    }
}

/// The segments above the power, in step with the axis below; a click shows one alone.
fn bands_ui(
    ui: &mut Ui,
    mission: &MissionData,
    area: Rect,
    (left, right): (f32, f32),
    view: &TimeView,
    commands: &mut Vec<Command>,
) {
    let (from, to) = view.range();
    let x = |time: f64| (left + (right - left) * ((time - from) / (to - from)) as f32).clamp(left, right);
    for (index, segment) in mission.segments.iter().enumerate() {
        let rect = Rect::from_x_y_ranges(x(segment.from_s)..=x(segment.to_s), area.y_range());
        if rect.width() >= 1.0 {
            band_ui(ui, segment, index, rect, view, commands);
        }
    }
}

fn band_ui(
    ui: &mut Ui,
    segment: &SegmentBand,
    index: usize,
    rect: Rect,
    view: &TimeView,
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    let response = ui.interact(rect, ui.scope_id().with(("band", index)), Sense::click());
    let spoken =
        format!("{}, {} to {}, {}", segment.name, clock(segment.from_s), clock(segment.to_s), segment.power);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
    let is_now = segment.from_s <= view.cursor_s && view.cursor_s < segment.to_s;
    let ground = match (is_now, response.hovered() || response.has_focus(), index % 2) {
        (true, ..) => colors.chosen,
        (false, true, _) | (false, false, 1) => colors.stripe,
        _ => colors.page,
    };
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect.shrink2(Vec2::new(0.5, 1.0)), CornerRadius::ZERO, ground);
    band_name(&painter, rect, &segment.name, colors);
    let hover = format!("{spoken}\n{}\nClick to show this segment only", segment.setting);
    if response.on_hover_text(hover).clicked() {
        commands.push(Command::ViewTime(view.fitted((segment.from_s, segment.to_s))));
    }
}

/// A name in the middle of a band: cut when it is too long, left out when there is room for two letters only.
pub(super) fn band_name(painter: &egui::Painter, rect: Rect, name: &str, colors: &look::Palette) {
    let room = rect.width() - 6.0;
    if room < 16.0 {
        return;
    }
    let mut job = egui::text::LayoutJob::simple_singleline(name.to_owned(), look::small(), colors.ink);
    job.wrap = egui::epaint::text::TextWrapping::truncate_at_width(room);
    let galley = painter.layout_job(job);
    let at = Align2::CENTER_CENTER.anchor_size(rect.center(), galley.size());
    painter.galley(at.min, galley, colors.ink);
}

fn peaks_ui(ui: &mut Ui, mission: &MissionData, commands: &mut Vec<Command>) {
    if mission.peaks.is_empty() {
        return;
    }
    ui.add_space(look::space::STEP);
    ui.heading("Closest to the limits");
    let unit = &mission.temperature_unit;
    ui.scope(|ui| {
        TableBuilder::new(ui)
            .id_salt("peaks")
            .striped(true)
            .vscroll(false)
            .cell_layout(egui::Layout::left_to_right(egui::Align::Center))
            .column(Column::exact(230.0).clip(true))
            .columns(Column::exact(82.0), 3)
            .column(Column::exact(110.0))
            .column(Column::exact(90.0))
            .header(34.0, |mut header| {
                header.col(|ui| text_head_ui(ui, "Where"));
                for (name, unit) in
                    [("Temperature", unit.as_str()), ("Limit", unit.as_str()), ("Margin", "K")]
                {
                    header.col(|ui| number_head_ui(ui, name, unit));
                }
                header.col(|ui| {
                    ui.add_space(look::space::STEP);
                    text_head_ui(ui, "Standing");
                });
                header.col(|ui| text_head_ui(ui, "When"));
            })
            .body(|body| {
                body.rows(look::space::ROW, mission.peaks.len(), |mut cells| {
                    let peak = &mission.peaks[cells.index()];
                    peak_ui(&mut cells, peak, commands);
                });
            });
    });
}

fn peak_ui(cells: &mut TableRow<'_, '_>, peak: &Peak, commands: &mut Vec<Command>) {
    cells.col(|ui| {
        ui.add(Label::new(&peak.where_).truncate()).on_hover_text(&peak.where_);
    });
    let figures = [("temperature", &peak.temperature), ("limit", &peak.limit), ("margin", &peak.margin)];
    for (name, figure) in figures {
        cells.col(|ui| figure_ui(ui, figure, &format!("{}, {name}", peak.where_), commands));
    }
    cells.col(|ui| {
        ui.add_space(look::space::STEP);
        standing_ui(ui, Some(peak.standing));
    });
    cells.col(|ui| time_link_ui(ui, peak.time_s, &peak.where_, commands));
}

/// A time that leads to its moment.
pub(super) fn time_link_ui(ui: &mut Ui, time_s: f64, what: &str, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    let label = Label::new(RichText::new(clock(time_s)).color(colors.accent)).sense(Sense::click());
    let response = ui.add(label).on_hover_cursor(egui::CursorIcon::PointingHand);
    response
        .widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{what}: go to {}", clock(time_s))));
    if response.on_hover_text("Set the time cursor to this moment").clicked() {
        commands.push(Command::SetTime(time_s));
    }
}

fn events_ui(ui: &mut Ui, mission: &MissionData, view: &TimeView, commands: &mut Vec<Command>) {
    ui.add_space(look::space::GROUP);
    ui.heading("Events");
    if mission.events.is_empty() {
        ui.label("Nothing switched and no limit was passed.");
    }
    let colors = look::palette(ui);
    egui::Grid::new("events").num_columns(2).spacing([16.0, 3.0]).show(ui, |ui| {
        for event in &mission.events {
            time_link_ui(ui, event.time_s, &event.what, commands);
            let is_past = event.time_s <= view.cursor_s;
            let ink = if is_past { colors.ink } else { colors.soft };
            ui.add(Label::new(RichText::new(&event.what).color(ink)).wrap());
            ui.end_row();
        }
    });
}

fn segments_ui(ui: &mut Ui, mission: &MissionData, drafts: &mut Drafts, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.add_space(look::space::GROUP);
    ui.heading("Segments");
    for (index, segment) in mission.segments.iter().enumerate() {
        let (line, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 1.0), Sense::hover());
        if index > 0 {
            ui.painter().hline(line.x_range(), line.top(), look::hairline(colors.rule));
        }
        ui.horizontal(|ui| {
            time_link_ui(ui, segment.from_s, &segment.name, commands);
            ui.label(&segment.name);
            let length = format!("{} long", clock(segment.to_s - segment.from_s));
            let words = [length, segment.power.clone(), segment.setting.clone()];
            let words: Vec<String> = words.into_iter().filter(|word| !word.is_empty()).collect();
            ui.add(Label::new(RichText::new(words.join(" · ")).color(colors.soft)).truncate());
        });
        if !segment.inputs.is_empty() {
            ui.horizontal_wrapped(|ui| {
                for input in &segment.inputs {
                    free_input_ui(ui, &segment.name, input, drafts, commands);
                }
            });
        }
    }
    ui.add_space(look::space::STEP);
}
