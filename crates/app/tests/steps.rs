//! A value is stepped by arrow keys in its field and by a drag of its label; what belongs to one gesture is undone in one step.

use app::Page;
use eframe::egui::{Event, Key, Modifiers, PointerButton, Pos2, Role, Vec2};
use egui_kittest::kittest::Queryable as _;

use crate::invented::FACE_AREA;
use crate::{Session, open, settle};

const FIELD: &str = "Nose core, face area";

fn area(harness: &Session) -> String {
    harness.state().subject().input(FACE_AREA, "")
}

fn undo(harness: &mut Session) {
    harness.get_by_role_and_label(Role::Button, "Undo").click();
    settle(harness);
}

#[test]
fn arrow_keys_step_the_second_digit_finer_and_coarser_and_are_one_edit() {
    let mut harness = open(Page::Loops);
    harness.get_by_role_and_label(Role::TextInput, FIELD).click();
    harness.run_steps(2);
    harness.key_press(Key::ArrowUp);
    harness.run_steps(2);
    // 0.082 m2 by one of the second digit
    assert_eq!(area(&harness), "0.083 m2", "each step is taken over at once");
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowUp);
    harness.run_steps(2);
    assert_eq!(area(&harness), "0.0831 m2");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::ArrowDown);
    harness.run_steps(2);
    assert_eq!(area(&harness), "0.0731 m2");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_eq!(harness.get_by_role_and_label(Role::TextInput, FIELD).value().as_deref(), Some("0.0731 m2"));
    undo(&mut harness);
    assert_eq!(area(&harness), "0.082 m2", "one step of undo");
}

#[test]
fn a_drag_of_the_label_is_one_edit() {
    let mut harness = open(Page::Loops);
    let field = harness.get_by_role_and_label(Role::TextInput, FIELD).rect();
    // the label stands at the left of its field
    let from = Pos2::new(field.left() - 14.0, field.center().y);
    let point = |harness: &mut Session, to: Pos2| {
        harness.event(Event::PointerMoved(to));
        harness.run_steps(1);
    };
    let button = |harness: &mut Session, pos: Pos2, pressed: bool| {
        harness.event(Event::PointerButton {
            pos,
            button: PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        });
        harness.run_steps(1);
    };
    point(&mut harness, from);
    button(&mut harness, from, true);
    for step in 1..=8_i8 {
        point(&mut harness, from + Vec2::new(4.0 * f32::from(step), 0.0));
    }
    let to = from + Vec2::new(32.0, 0.0);
    let moving = area(&harness);
    assert_ne!(moving, "0.082 m2", "the value follows the pointer");
    button(&mut harness, to, false);
    settle(&mut harness);
    assert_eq!(area(&harness), moving);
    // 32 points at 6 points a step: five whole steps of 0.001 m2
    assert_eq!(moving, "0.087 m2");
    undo(&mut harness);
    assert_eq!(area(&harness), "0.082 m2", "the whole drag is one step of undo");
}
