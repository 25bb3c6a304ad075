//! Devices are renamed, copied, moved and taken away by buttons and keys, and found by name; margins are filtered.

use app::files::Origin;
use app::{Opening, Page, Window};
use egui::{Key, Modifiers, Role, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use crate::{Desk, tug};

fn open(page: Page) -> Desk {
    let mut harness: Desk = Harness::builder().with_size(Vec2::new(1440.0, 900.0)).build_eframe(|context| {
        let origin = Origin::Untitled("demo".into());
        let start = Opening { page, origin, ..Opening::new(tug()) };
        Window::new(&context.egui_ctx, start).expect("threads can be started")
    });
    wait(&mut harness);
    harness
}

/// Until the steady results of the newest edit are on screen; missions may follow.
fn wait(harness: &mut Desk) {
    let name = |harness: &Desk| harness.state().screen().strips.len();
    let start = std::time::Instant::now();
    loop {
        harness.run_steps(2);
        if name(harness) > 0 && harness.state().is_settled() {
            harness.run_steps(2);
            return;
        }
        assert!(start.elapsed().as_secs() < 120, "the results never came");
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
}

fn names(harness: &Desk) -> Vec<String> {
    harness.state().screen().strips[0].table.rows.iter().map(|row| row.name.clone()).collect()
}

fn text(harness: &Desk) -> String {
    let bytes = harness.state().snapshot().to_bytes().expect("it can be written");
    String::from_utf8(bytes).expect("it is text")
}

fn click(harness: &mut Desk, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.run_steps(2);
}

/// Finds a device of the first loop by its name and marks it, by keys alone.
fn find(harness: &mut Desk, wanted: &str) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::F);
    harness.run_steps(3);
    let field = "Name of a device, input, component or case";
    harness.get_by_role_and_label(Role::TextInput, field).type_text(wanted);
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
}

#[test]
fn a_renamed_device_takes_its_limits_along_and_undo_gives_the_old_name_back() {
    let mut harness = open(Page::Margins);
    let before = text(&harness);
    find(&mut harness, "stator feed");
    assert_eq!(harness.state().page(), Page::Loops, "the search leads to the device");
    harness.key_press(Key::F2);
    harness.run_steps(3);
    let field = harness.get_by_role_and_label(Role::TextInput, "New name of stator feed");
    field.type_text(" of the nose");
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(2);
    wait(&mut harness);
    let after = text(&harness);
    let renamed = names(&harness).into_iter().find(|name| name.contains("of the nose")).expect("renamed");
    assert!(after.contains(&format!("device: \"{renamed}\"")), "the limit on it follows");
    assert!(!after.contains("\"stator feed\""));
    click(&mut harness, "Undo");
    wait(&mut harness);
    assert_eq!(text(&harness), before);
}

#[test]
fn devices_are_copied_moved_and_taken_away() {
    let mut harness = open(Page::Loops);
    find(&mut harness, "stator feed");
    let first = names(&harness);
    let at = first.iter().position(|name| name == "stator feed").expect("a device of the demo");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::D);
    harness.run_steps(2);
    wait(&mut harness);
    assert_eq!(names(&harness)[at + 1], "stator feed 2");
    find(&mut harness, "stator feed 2");
    click(&mut harness, "Remove");
    wait(&mut harness);
    assert_eq!(names(&harness), first);
    find(&mut harness, "stator feed");
    click(&mut harness, "Remove");
    harness.run_steps(2);
    assert_eq!(names(&harness), first, "a limit needs it");
    harness.get_by_label_contains("Not done: ");
}

#[test]
fn the_grid_shows_what_the_filter_asks_for() {
    let mut harness = open(Page::Margins);
    harness.get_by_role_and_label(Role::TextInput, "Filter").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::TextInput, "Filter").type_text("no such thing");
    harness.run_steps(3);
    harness.get_by_label("No margin matches the filter.");
    click(&mut harness, "Show all");
    assert!(harness.query_by_label("No margin matches the filter.").is_none());
}
