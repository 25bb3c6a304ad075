//! Inputs are edited in place: set by Enter or by leaving them, dropped by Escape, kept with a reason when refused.

use app::Page;
use egui::{Key, Modifiers, Role, Theme};
use egui_kittest::kittest::Queryable as _;

use crate::{Desk, input, open_on, rig, settle, type_into};

/// The field on the page Loops, its address and what stands there.
pub(crate) const FIELD: &str = "radiator, width";
pub(crate) const WIDTH: &str = "cores.radiator.transfer.width";
pub(crate) const FIRST: &str = "240 mm";

/// The bench rig on the page Loops.
pub(crate) fn open() -> Desk {
    open_on(rig(), Page::Loops, Theme::Light, [1440.0, 900.0])
}

fn field(harness: &Desk, label: &str) -> String {
    harness.get_by_role_and_label(Role::TextInput, label).value().unwrap_or_default()
}

fn worst(harness: &Desk) -> String {
    harness.state().screen().header.worst.clone().map(|worst| worst.reserve).expect("the rig has limits")
}

#[test]
fn enter_sets_the_input_and_undo_takes_it_back_in_one_step() {
    let mut harness = open();
    let before = (harness.state().screen().clone(), field(&harness, FIELD));
    let margin = worst(&harness);
    type_into(&mut harness, FIELD, "200 mm");
    assert_eq!(worst(&harness), margin, "half-typed text changes nothing");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_eq!(input(&harness, WIDTH), "200 mm");
    assert_ne!(worst(&harness), margin, "the new result is shown");
    harness.get_by_role_and_label(Role::Button, "Undo").click();
    settle(&mut harness);
    assert_eq!((harness.state().screen().clone(), field(&harness, FIELD)), before);
    harness.get_by_role_and_label(Role::Button, "Redo").click();
    settle(&mut harness);
    assert_eq!(field(&harness, FIELD), "200 mm");
}

#[test]
fn leaving_the_field_sets_the_input() {
    let mut harness = open();
    type_into(&mut harness, FIELD, "210 mm");
    harness.key_press(Key::Tab);
    settle(&mut harness);
    assert_eq!(input(&harness, WIDTH), "210 mm");
}

#[test]
fn a_refused_text_stays_with_its_reason_and_changes_nothing() {
    let mut harness = open();
    let margin = worst(&harness);
    let choice = harness.state().choice().clone();
    let reason = rig().edited(&choice, WIDTH, "wide").expect_err("it is no length");
    assert!(reason.contains("wide"), "{reason}");
    type_into(&mut harness, FIELD, "wide");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_eq!(input(&harness, WIDTH), FIRST);
    assert_eq!(worst(&harness), margin);
    assert_eq!(field(&harness, &format!("{FIELD}: {reason}")), "wide");
    // The reason also stands below the field, not only in a tooltip.
    harness.get_by_label(&format!("width: {reason}"));
}

#[test]
fn escape_drops_what_was_typed() {
    let mut harness = open();
    type_into(&mut harness, FIELD, "300 mm");
    harness.key_press(Key::Escape);
    settle(&mut harness);
    assert_eq!(field(&harness, FIELD), FIRST);
    assert_eq!(input(&harness, WIDTH), FIRST);
}

#[test]
fn undo_and_redo_say_why_they_are_disabled() {
    let mut harness = open();
    let before = harness.state().screen().clone();
    harness.get_by_role_and_label(Role::Button, "Undo").hover();
    harness.run_steps(2);
    harness.step();
    // Key presses do nothing either.
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut harness);
    assert_eq!(*harness.state().screen(), before);
}
