//! A new aircraft is begun from answers, by keys alone.

use app::files::Origin;
use app::{Opening, Page, Window};
use egui::{Key, Modifiers, Role, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use crate::{Desk, rig};

fn open() -> Desk {
    let mut harness: Desk = Harness::builder().with_size(Vec2::new(1440.0, 900.0)).build_eframe(|context| {
        let start =
            Opening { page: Page::Loops, origin: Origin::Untitled("demo".into()), ..Opening::new(rig()) };
        Window::new(&context.egui_ctx, start).expect("threads can be started")
    });
    wait(&mut harness, |window| window.is_settled());
    harness
}

fn wait(harness: &mut Desk, until: impl Fn(&Window) -> bool) {
    let start = std::time::Instant::now();
    loop {
        harness.run_steps(2);
        if until(harness.state()) {
            harness.run_steps(2);
            return;
        }
        assert!(start.elapsed().as_secs() < 120, "it never came");
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
}

fn key(harness: &mut Desk, key: Key) {
    harness.key_press(key);
    harness.run_steps(2);
}

/// Marks all of the text that has the keys, and types over it.
fn retype(harness: &mut Desk, label: &str, text: &str) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, label).type_text(text);
    harness.run_steps(2);
}

/// Presses Tab until the keys are on this.
fn tab_to(harness: &mut Desk, role: Role, label: &str) {
    for _ in 0..80 {
        if harness.get_by_role_and_label(role, label).is_focused() {
            return;
        }
        key(harness, Key::Tab);
    }
    panic!("Tab never came to {label}");
}

#[test]
fn a_new_aircraft_is_made_from_answers_by_keys_alone() {
    let mut harness = open();
    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::N);
    harness.run_steps(3);
    assert!(harness.get_by_role_and_label(Role::TextInput, "Name").is_focused(), "typing begins at once");
    retype(&mut harness, "Name", "Two loops");
    tab_to(&mut harness, Role::Button, "2");
    key(&mut harness, Key::Space);
    tab_to(&mut harness, Role::TextInput, "Power of one motor");
    retype(&mut harness, "Power of one motor", "60 km");
    tab_to(&mut harness, Role::RadioButton, "stator: own loop");
    key(&mut harness, Key::Space);
    tab_to(&mut harness, Role::RadioButton, "inverter: own loop");
    key(&mut harness, Key::Space);
    tab_to(&mut harness, Role::Button, "Create project");
    key(&mut harness, Key::Space);
    harness.get_by_label_contains("Not done: power of one motor: \"60 km\" is not understood");
    tab_to(&mut harness, Role::TextInput, "Power of one motor");
    retype(&mut harness, "Power of one motor", "50 kW");
    tab_to(&mut harness, Role::Button, "Create project");
    key(&mut harness, Key::Space);
    wait(&mut harness, |window| window.snapshot().name() == "Two loops" && window.is_settled());
    let window = harness.state();
    assert!(window.is_unsaved(), "it is no file yet");
    let strips: Vec<&str> = window.screen().strips.iter().map(|page| page.strip.name.as_str()).collect();
    assert_eq!(strips[..3], ["inverter", "stator", "oil"]);
    assert!(window.screen().header.outcome.is_none(), "every case of it is solved");
    assert!(window.screen().header.worst.is_some());
    let text = String::from_utf8(window.snapshot().to_bytes().expect("it can be written")).expect("text");
    assert!(text.contains("motor 2") && !text.contains("motor 3"));
}
