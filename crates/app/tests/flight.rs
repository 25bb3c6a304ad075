//! A mission over time, the turnaround after it and failures during it.

use app::Page;
use app::clock::clock;
use app::views::chart::Chart;
use app::views::figure::number;
use app::views::time::value_at;
use egui::accesskit::Toggled;
use egui::{Key, Modifiers, Role, Theme};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::{Desk, input, open, open_on, open_sized, rig, settle, show_mission, tug, type_into};

const MISSION: &str = "tow flight";

/// The window on the tug with its mission as the case.
fn fly(page: Page) -> Desk {
    let mut harness = open_on(tug(), page, Theme::Light, [1440.0, 900.0]);
    show_mission(&mut harness);
    harness
}

fn cursor(harness: &Desk) -> f64 {
    harness.state().time_view().cursor_s
}

fn mission(harness: &Desk) -> app::views::mission::MissionData {
    (**harness.state().screen().mission.as_ref().expect("the case is a mission")).clone()
}

/// What stands beside the first curve of a chart at a moment.
fn told(chart: &Chart, time_s: f64) -> String {
    let series = &chart.series[0];
    let value = value_at(&series.points, time_s).expect("in the mission");
    format!("{} at {}: {} {}", series.name, clock(time_s), number(value, chart.decimals), chart.unit)
}

#[test]
fn a_steady_point_has_no_timeline_and_says_how_to_see_one() {
    let harness = open(Page::Mission);
    harness.get_by_label_contains("Choose a mission to see");
    harness.get_by_role_and_label(Role::Button, &format!("Show {MISSION}"));
    assert!(harness.query_by_role_and_label(Role::Slider, "Time cursor, seconds").is_none());
}

#[test]
fn curves_have_their_values_at_the_time_cursor_beside_them() {
    let mut harness = fly(Page::Mission);
    let shown = mission(&harness);
    harness.get_by_label(&told(&shown.power, 0.0));
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Home);
    harness.run_steps(2);
    // Ten steps of a fiftieth of all of it.
    for _ in 0..10 {
        harness.key_press_modifiers(Modifiers::COMMAND, Key::ArrowRight);
        harness.run_steps(2);
    }
    settle(&mut harness);
    let at = cursor(&harness);
    assert!((at - 0.2 * shown.end_s).abs() < 0.5, "{at} of {}", shown.end_s);
    harness.get_by_label(&told(&shown.power, at));
    let limit = &shown.temperatures[0].limits[0];
    harness.get_by_label_contains(&format!("limit of {}: {:.1}", limit.name, limit.value));
}

#[test]
fn events_are_steps_of_the_time_cursor() {
    let mut harness = fly(Page::Loops);
    let shown = mission(&harness);
    let mut times: Vec<f64> =
        shown.events.iter().map(|event| event.time_s).filter(|time| *time > 0.0).collect();
    times.dedup();
    harness.get_by_role_and_label(Role::Slider, "Time cursor, seconds");
    let previous = harness.get_by_role_and_label(Role::Button, "Previous event");
    assert!(previous.accesskit_node().is_disabled(), "nothing lies before the start");
    harness.get_by_role_and_label(Role::Button, "Next event").click();
    settle(&mut harness);
    assert_eq!(cursor(&harness), times[0]);
    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::ArrowRight);
    settle(&mut harness);
    assert_eq!(cursor(&harness), times[1]);
    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::ArrowLeft);
    settle(&mut harness);
    assert_eq!(cursor(&harness), times[0]);
}

#[test]
fn the_timeline_is_pulled_by_the_pointer() {
    let mut harness = fly(Page::Ledger);
    let strip = harness.get_by_role_and_label(Role::Slider, "Time cursor, seconds").rect();
    harness.hover_at(strip.center());
    harness.drag_at(strip.center());
    harness.run_steps(2);
    harness.drop_at(strip.center());
    settle(&mut harness);
    let end_s = mission(&harness).end_s;
    assert!(
        (cursor(&harness) / end_s - 0.5).abs() < 0.002,
        "the middle of {end_s} s, but {}",
        cursor(&harness)
    );
}

#[test]
fn a_segment_is_shown_alone_and_the_whole_mission_again() {
    let mut harness = fly(Page::Mission);
    let shown = mission(&harness);
    let climb = shown.segments.iter().find(|segment| segment.name == "tow climb").expect("it climbs");
    let label = format!("tow climb, {} to {}, {}", clock(climb.from_s), clock(climb.to_s), climb.power);
    harness.get_by_role_and_label(Role::Button, &label).click();
    harness.run_steps(3);
    assert_eq!(harness.state().time_view().range(), (climb.from_s, climb.to_s));
    harness.get_by_role_and_label(Role::Button, "Zoom in").click();
    harness.run_steps(3);
    let (from, to) = harness.state().time_view().range();
    let half = 0.5 * (climb.to_s - climb.from_s);
    assert!((to - from - half).abs() < 1e-6, "half of it, but {from} to {to}");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Home);
    harness.run_steps(3);
    assert_eq!(harness.state().time_view().range(), (0.0, shown.end_s));
}

/// Taxi 120 s, run 18 s, 2000 ft at 800 ft/min 150 s, release 15 s, 2000 ft at 1200 ft/min 100 s, landing 30 s, taxi 120 s: 553 s come
/// before the soak.
#[test]
fn the_flight_is_shown_first_and_its_soak_is_one_click_away() {
    let mut harness = fly(Page::Mission);
    let end_s = mission(&harness).end_s;
    let (from, flight_s) = harness.state().time_view().range();
    assert!(from == 0.0 && (flight_s - 553.0).abs() < 1e-6, "{flight_s}");
    harness
        .get_by_label_contains(&format!("the flight, 9:13; a soak of {} follows", clock(end_s - flight_s)));
    harness.get_by_role_and_label(Role::Button, "Whole mission").click();
    harness.run_steps(3);
    assert_eq!(harness.state().time_view().range(), (0.0, end_s));
    harness.get_by_label_contains(&format!("whole mission, {}", clock(end_s)));
    harness.get_by_role_and_label(Role::Button, "Flight only").click();
    harness.run_steps(3);
    assert_eq!(harness.state().time_view().range(), (0.0, flight_s));
    // a moment of the soak is never outside of what is shown without being asked for
    let strip = harness.get_by_role_and_label(Role::Slider, "Time cursor, seconds").rect();
    let at = egui::pos2(strip.left() + 0.9 * strip.width(), strip.center().y);
    harness.hover_at(at);
    harness.drag_at(at);
    harness.run_steps(2);
    harness.drop_at(at);
    settle(&mut harness);
    assert!(cursor(&harness) > flight_s);
    assert_eq!(harness.state().time_view().range(), (0.0, end_s));
}

#[test]
fn a_click_on_a_curve_sets_the_time_cursor_and_a_pull_moves_the_view() {
    let mut harness = fly(Page::Mission);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Home);
    harness.run_steps(2);
    let shown = mission(&harness);
    let row = harness.get_by_label(&told(&shown.power, 0.0)).rect();
    // Left of the list of curves lies the chart, as high as the list.
    let at = egui::pos2(row.left() - 300.0, row.center().y + 10.0);
    harness.hover_at(at);
    harness.run_steps(1);
    harness.drag_at(at);
    harness.run_steps(1);
    harness.drop_at(at);
    settle(&mut harness);
    let share = cursor(&harness) / shown.end_s;
    assert!((0.59..0.81).contains(&share), "{share}");
    harness.get_by_role_and_label(Role::Button, "Zoom in").click();
    harness.run_steps(3);
    let before = harness.state().time_view().range();
    harness.hover_at(at);
    harness.drag_at(at);
    harness.run_steps(1);
    harness.hover_at(at + egui::vec2(60.0, 0.0));
    harness.run_steps(2);
    harness.drop_at(at + egui::vec2(60.0, 0.0));
    harness.run_steps(2);
    let after = harness.state().time_view().range();
    assert!(after.0 < before.0, "the curves follow the hand: {before:?} to {after:?}");
}

#[test]
fn segments_of_a_mission_are_edited_in_place() {
    let mut harness = open_on(rig(), Page::Mission, Theme::Light, [1440.0, 3000.0]);
    show_mission(&mut harness);
    type_into(&mut harness, "full heat, duration", "500 s");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_eq!(input(&harness, "missions.heat up and cool down.segments.full heat.duration"), "500 s");
}

#[test]
fn the_nearest_moment_to_a_limit_is_one_click_away() {
    let mut harness = open_on(tug(), Page::Mission, Theme::Light, [1440.0, 3000.0]);
    show_mission(&mut harness);
    let peak = mission(&harness).peaks[0].clone();
    let label = format!("{}: go to {}", peak.where_, clock(peak.time_s));
    harness.get_by_role_and_label(Role::Button, &label).click();
    settle(&mut harness);
    assert!((cursor(&harness) - peak.time_s).abs() < 1e-9);
}

#[test]
fn ways_of_turning_around_are_told_with_their_phases() {
    let mut harness = open_on(tug(), Page::Turnaround, Theme::Light, [1440.0, 3000.0]);
    settle(&mut harness);
    let data = harness.state().screen().turnaround.clone().expect("the tug is turned around");
    for option in &data.options {
        let ready =
            option.ready_s.map_or("never ready".to_owned(), |time| format!("ready at {}", clock(time)));
        let first = &option.phases[0];
        harness.get_by_label_contains(&format!(
            "{}: {ready}, {} charged, {} kWh, pack {} degC; {} {} to {}",
            option.name,
            option.charged,
            option.energy.text,
            option.pack_temperature.text,
            first.phase.word(),
            clock(first.from_s),
            clock(first.to_s)
        ));
    }
    let table = &data.tables[0];
    let (air, cells) = &table.rows[0];
    let place = format!("{}, outside {air}, pack {}: ", table.option, table.pack_temperatures[0]);
    let expected = match cells[0].wait_s {
        Some(wait) => format!("{place}wait {}, then {}", clock(wait), cells[0].rate),
        None => format!("{place}no charge; {}", cells[0].why),
    };
    harness.get_by_label(&expected);
}

#[test]
fn failures_tell_the_limit_against_the_landing_and_the_action() {
    let mut harness = open(Page::Failures);
    let data = harness.state().screen().failures.clone().expect("the rig has failures");
    let row = |at: usize| {
        let row = &data.rows[at];
        format!("{}, at {}: ", row.name, row.start)
    };
    let chosen = harness.get_by_label_contains(&row(0)).accesskit_node().toggled();
    assert_eq!(chosen, Some(Toggled::True));
    let peak = &data.rows[0].peaks[0];
    harness.get_by_label(&format!("{}, margin until touchdown: {}", peak.where_, peak.margin.text));
    harness.get_by_label_contains(&row(1)).click();
    harness.run_steps(3);
    let chosen = harness.get_by_label_contains(&row(1)).accesskit_node().toggled();
    assert_eq!(chosen, Some(Toggled::True));
    harness.get_by_label(&data.rows[1].action_words());
}

#[test]
fn a_margin_of_a_mission_leads_to_its_worst_moment() {
    // Wide enough for every case of the grid.
    let mut harness = open_sized(Page::Margins, Theme::Light, [4000.0, 900.0]);
    let grid = harness.state().screen().margins.clone();
    let column =
        grid.cases.iter().position(|case| case.point == MISSION).expect("a mission stands in the grid");
    let row = grid.rows.iter().position(|row| row.cells[column].is_some()).expect("it has a margin");
    let place = grid.place((row, column)).expect("it is a cell");
    let time_s = grid.rows[row].cells[column].as_ref().and_then(|cell| cell.time_s).expect("it has a moment");
    let label = format!("{}, {}, {}: ", place.where_, place.limit, place.case);
    harness.get_by_label_contains(&label).click();
    settle(&mut harness);
    assert_eq!(harness.state().choice().case, place.case);
    assert_eq!(cursor(&harness), time_s);
}
