//! Inputs are edited in place: set by Enter or by leaving them, dropped by Escape, kept with a reason when refused.

use app::Page;
use eframe::egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;

use crate::invented::FACE_AREA;
use crate::{Session, open, settle};

const FIELD: &str = "Nose core, face area";

fn type_into(harness: &mut Session, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, FIELD).click();
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, FIELD).type_text(text);
    harness.run_steps(2);
}

fn field(harness: &Session, label: &str) -> String {
    harness.get_by_role_and_label(Role::TextInput, label).value().unwrap_or_default()
}

fn worst(harness: &Session) -> String {
    harness.state().screen().header.worst.clone().map(|worst| worst.margin).unwrap_or_default()
}

#[test]
fn enter_sets_the_input_and_undo_takes_it_back_in_one_step() {
    let mut harness = open(Page::Loops);
    let before = (harness.state().screen().clone(), field(&harness, FIELD));
    type_into(&mut harness, "0.1 m2");
    assert_eq!(worst(&harness), "−0.8 K", "half-typed text changes nothing");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_eq!(harness.state().subject().input(FACE_AREA, ""), "0.1 m2");
    assert_ne!(worst(&harness), "−0.8 K", "the new result is shown");
    harness.get_by_role_and_label(Role::Button, "Undo").click();
    settle(&mut harness);
    assert_eq!((harness.state().screen().clone(), field(&harness, FIELD)), before);
    harness.get_by_role_and_label(Role::Button, "Redo").click();
    settle(&mut harness);
    assert_eq!(field(&harness, FIELD), "0.1 m2");
}

#[test]
fn leaving_the_field_sets_the_input() {
    let mut harness = open(Page::Loops);
    type_into(&mut harness, "0.09 m2");
    harness.key_press(Key::Tab);
    settle(&mut harness);
    assert_eq!(harness.state().subject().input(FACE_AREA, ""), "0.09 m2");
}

#[test]
fn a_refused_text_stays_with_its_reason_and_changes_nothing() {
    let mut harness = open(Page::Loops);
    type_into(&mut harness, "wide");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_eq!(harness.state().subject().input(FACE_AREA, ""), "0.082 m2");
    assert_eq!(worst(&harness), "−0.8 K");
    let refused = format!("{FIELD}: give a number and its unit, such as 0.082 m2");
    assert_eq!(field(&harness, &refused), "wide");
    // The reason also stands below the field, not only in a tooltip.
    harness.get_by_label("face area: give a number and its unit, such as 0.082 m2");
}

#[test]
fn escape_drops_what_was_typed() {
    let mut harness = open(Page::Loops);
    type_into(&mut harness, "0.2 m2");
    harness.key_press(Key::Escape);
    settle(&mut harness);
    assert_eq!(field(&harness, FIELD), "0.082 m2");
    assert_eq!(harness.state().subject().input(FACE_AREA, ""), "0.082 m2");
}

#[test]
fn undo_and_redo_say_why_they_are_disabled() {
    let mut harness = open(Page::Loops);
    harness.get_by_role_and_label(Role::Button, "Undo").hover();
    harness.run_steps(2);
    harness.step();
    // Key presses do nothing either.
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut harness);
    assert_eq!(worst(&harness), "−0.8 K");
}
