//! A mission over time, the turnaround after it and failures during it.

use app::{Page, Window};
use eframe::egui::accesskit::Toggled;
use eframe::egui::{Key, Modifiers, Role, Theme};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::invented::Invented;
use crate::{Session, open, open_sized, settle};

const MISSION: &str = "circuit mission";

/// The window with the mission as its case.
fn fly(page: Page) -> Session {
    fly_sized(page, [1440.0, 900.0])
}

fn fly_sized(page: Page, size: [f32; 2]) -> Session {
    let mut harness = open_sized(page, Theme::Light, size);
    harness.get_by_role_and_label(Role::ComboBox, "Case").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, MISSION).click();
    settle(&mut harness);
    harness
}

fn cursor(harness: &Session) -> f64 {
    let window: &Window<Invented> = harness.state();
    window.time_view().cursor_s
}

#[test]
fn a_steady_point_has_no_timeline_and_says_how_to_see_one() {
    let harness = open(Page::Mission);
    harness.get_by_label_contains("Choose a mission to see");
    harness.get_by_role_and_label(Role::Button, "Show circuit mission");
    assert!(harness.query_by_role_and_label(Role::Slider, "Time cursor, seconds").is_none());
}

#[test]
fn curves_have_their_values_at_the_time_cursor_beside_them() {
    let mut harness = fly(Page::Mission);
    harness.get_by_label("shaft power at 0:00: 6.0 kW");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Home);
    harness.run_steps(2);
    // Ten steps of a fiftieth of 47:45: 9:33, in the climb.
    for _ in 0..10 {
        harness.key_press_modifiers(Modifiers::COMMAND, Key::ArrowRight);
        harness.run_steps(2);
    }
    settle(&mut harness);
    assert!((cursor(&harness) - 573.0).abs() < 0.5, "{}", cursor(&harness));
    // 88 kW falling to 80 kW over the 420 s from 285 s: 82.5 kW at 573 s.
    harness.get_by_label("shaft power at 9:33: 82.5 kW");
    harness.get_by_label_contains("Motor 2 winding at 9:33:");
    harness.get_by_label_contains("limit of Motor windings, continuous: 165.0");
}

#[test]
fn events_are_steps_of_the_time_cursor() {
    let mut harness = fly(Page::Loops);
    harness.get_by_role_and_label(Role::Slider, "Time cursor, seconds");
    let previous = harness.get_by_role_and_label(Role::Button, "Previous event");
    assert!(previous.accesskit_node().is_disabled(), "nothing lies before the start");
    harness.get_by_role_and_label(Role::Button, "Next event").click();
    settle(&mut harness);
    assert_eq!(cursor(&harness), 262.0);
    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::ArrowRight);
    settle(&mut harness);
    assert_eq!(cursor(&harness), 418.0);
    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::ArrowLeft);
    settle(&mut harness);
    assert_eq!(cursor(&harness), 262.0);
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
    assert!((cursor(&harness) - 1432.5).abs() < 3.0, "the middle of 2865 s, but {}", cursor(&harness));
}

#[test]
fn a_segment_is_shown_alone_and_the_whole_mission_again() {
    let mut harness = fly(Page::Mission);
    harness.get_by_role_and_label(Role::Button, "tow climb, 4:45 to 11:45, 88 to 80 kW").click();
    harness.run_steps(3);
    assert_eq!(harness.state().time_view().range(), (285.0, 705.0));
    harness.get_by_role_and_label(Role::Button, "Nearer").click();
    harness.run_steps(3);
    let (from, to) = harness.state().time_view().range();
    assert!((to - from - 210.0).abs() < 1e-6, "half of it, but {from} to {to}");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Home);
    harness.run_steps(3);
    assert_eq!(harness.state().time_view().range(), (0.0, 2865.0));
}

/// Seven segments of 240 + 45 + 420 + 300 + 120 + 60 + 180 = 1365 s come before the soak of 1500 s.
#[test]
fn the_flight_is_shown_first_and_its_soak_is_one_click_away() {
    let mut harness = fly(Page::Mission);
    assert_eq!(harness.state().time_view().range(), (0.0, 1365.0));
    harness.get_by_label_contains("the flight, 22:45; a soak of 25:00 follows");
    harness.get_by_role_and_label(Role::Button, "Whole mission").click();
    harness.run_steps(3);
    assert_eq!(harness.state().time_view().range(), (0.0, 2865.0));
    harness.get_by_label_contains("all of it, 47:45");
    harness.get_by_role_and_label(Role::Button, "Flight alone").click();
    harness.run_steps(3);
    assert_eq!(harness.state().time_view().range(), (0.0, 1365.0));
    // a moment of the soak is never outside of what is shown without being asked for
    let strip = harness.get_by_role_and_label(Role::Slider, "Time cursor, seconds").rect();
    let at = eframe::egui::pos2(strip.left() + 0.9 * strip.width(), strip.center().y);
    harness.hover_at(at);
    harness.drag_at(at);
    harness.run_steps(2);
    harness.drop_at(at);
    settle(&mut harness);
    assert!(cursor(&harness) > 1365.0);
    assert_eq!(harness.state().time_view().range(), (0.0, 2865.0));
}

#[test]
fn a_click_on_a_curve_sets_the_time_cursor_and_a_pull_moves_the_view() {
    let mut harness = fly(Page::Mission);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Home);
    harness.run_steps(2);
    let row = harness.get_by_label("shaft power at 0:00: 6.0 kW").rect();
    // Left of the list of curves lies the chart, as high as the list.
    let at = eframe::egui::pos2(row.left() - 300.0, row.center().y + 10.0);
    harness.hover_at(at);
    harness.run_steps(1);
    harness.drag_at(at);
    harness.run_steps(1);
    harness.drop_at(at);
    settle(&mut harness);
    let time = cursor(&harness);
    assert!((1700.0..2300.0).contains(&time), "{time}");
    harness.get_by_role_and_label(Role::Button, "Nearer").click();
    harness.run_steps(3);
    let before = harness.state().time_view().range();
    harness.hover_at(at);
    harness.drag_at(at);
    harness.run_steps(1);
    harness.hover_at(at + eframe::egui::vec2(60.0, 0.0));
    harness.run_steps(2);
    harness.drop_at(at + eframe::egui::vec2(60.0, 0.0));
    harness.run_steps(2);
    let after = harness.state().time_view().range();
    assert!(after.0 < before.0, "the curves follow the hand: {before:?} to {after:?}");
}

#[test]
fn segments_of_a_mission_are_edited_in_place() {
    let mut harness = fly_sized(Page::Mission, [1440.0, 3000.0]);
    harness.get_by_role_and_label(Role::TextInput, "tow climb, duration").click();
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, "tow climb, duration").type_text("500 s");
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    settle(&mut harness);
    let subject = harness.state().subject();
    assert_eq!(subject.input("Circuit mission/tow climb/duration", ""), "500 s");
}

#[test]
fn the_nearest_moment_to_a_limit_is_one_click_away() {
    let mut harness = fly_sized(Page::Mission, [1440.0, 3000.0]);
    harness.get_by_role_and_label(Role::Button, "Motor 2 winding, continuous: go to 11:40").click();
    settle(&mut harness);
    assert!((cursor(&harness) - 700.0).abs() < 1e-9);
}

#[test]
fn ways_of_turning_around_are_told_with_their_phases() {
    let harness = open(Page::Turnaround);
    harness.get_by_label_contains(
        "cool, then charge: ready at 58:00, 90 % charged, 18.4 kWh, pack 43.8 °C; taxi in 0:00 to 3:00",
    );
    harness.get_by_label_contains("charge at once: never ready");
    harness.get_by_label("cool, then charge, outside 30 °C, pack 45 °C: wait 5:00, then 85 A");
    harness
        .get_by_label("cool, then charge, outside 45 °C, pack 55 °C: no charge; the pack stays above 45 °C");
}

#[test]
fn failures_tell_the_limit_against_the_landing_and_the_action() {
    let mut harness = open(Page::Failures);
    let first = "motor loop pump 1 and 2 out, at 4:45, tow climb: time to limit 1:52 (Motor 2 winding, short time), time \
                 to land 5:00; limit before touchdown";
    let chosen = harness.get_by_role_and_label(Role::Button, first).accesskit_node().toggled();
    assert_eq!(chosen, Some(Toggled::True));
    harness.get_by_label("Motor 2 winding, short time, margin until touchdown: −6.0");
    harness.get_by_label_contains("nose fan out, at 4:45").click();
    harness.run_steps(3);
    harness.get_by_label("Motor 2 winding sensor, red: 158");
    harness.get_by_label("release the glider, fly 70 kt, land at the field");
}

#[test]
fn a_margin_of_a_mission_leads_to_its_worst_moment() {
    // Wide enough for every case of the grid.
    let mut harness = open_sized(Page::Margins, Theme::Light, [4000.0, 900.0]);
    let label = harness.query_all_by_role(Role::Button).find_map(|node| {
        let label = node.accesskit_node().label()?;
        label.contains("hot day, 5000 ft/circuit mission:").then_some(label)
    });
    let label = label.expect("a mission stands in the grid");
    harness.get_by_role_and_label(Role::Button, &label).click();
    settle(&mut harness);
    assert_eq!(harness.state().choice().case.point, MISSION);
    assert_eq!(cursor(&harness), 700.0);
}
