//! A value is stepped by arrow keys in its field and by a drag of its label; what belongs to one gesture is undone in one step.

use egui::{Event, Key, Modifiers, PointerButton, Pos2, Role, Vec2};
use egui_kittest::kittest::Queryable as _;

use crate::edits::{FIELD, FIRST, WIDTH, open};
use crate::{Desk, input, settle};

fn width(harness: &Desk) -> String {
    input(harness, WIDTH)
}

fn undo(harness: &mut Desk) {
    harness.get_by_role_and_label(Role::Button, "Undo").click();
    settle(harness);
}

#[test]
fn arrow_keys_step_the_second_digit_finer_and_coarser_and_are_one_edit() {
    let mut harness = open();
    harness.get_by_role_and_label(Role::TextInput, FIELD).click();
    harness.run_steps(2);
    harness.key_press(Key::ArrowUp);
    harness.run_steps(2);
    // 240 mm by one of the second digit
    assert_eq!(width(&harness), "250 mm", "each step is taken over at once");
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowUp);
    harness.run_steps(2);
    assert_eq!(width(&harness), "251 mm");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::ArrowDown);
    harness.run_steps(2);
    assert_eq!(width(&harness), "151 mm");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_eq!(harness.get_by_role_and_label(Role::TextInput, FIELD).value().as_deref(), Some("151 mm"));
    undo(&mut harness);
    assert_eq!(width(&harness), FIRST, "one step of undo");
}

#[test]
fn a_drag_of_the_label_is_one_edit() {
    let mut harness = open();
    let field = harness.get_by_role_and_label(Role::TextInput, FIELD).rect();
    // the label stands at the left of its field
    let from = Pos2::new(field.left() - 14.0, field.center().y);
    let point = |harness: &mut Desk, to: Pos2| {
        harness.event(Event::PointerMoved(to));
        harness.run_steps(1);
    };
    let button = |harness: &mut Desk, pos: Pos2, pressed: bool| {
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
    let moving = width(&harness);
    assert_ne!(moving, FIRST, "the value follows the pointer");
    button(&mut harness, to, false);
    settle(&mut harness);
    assert_eq!(width(&harness), moving);
    // 32 points at 6 points a step: five whole steps of 10 mm
    assert_eq!(moving, "290 mm");
    undo(&mut harness);
    assert_eq!(width(&harness), FIRST, "the whole drag is one step of undo");
}
