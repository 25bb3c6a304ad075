//! The law of a device is given at another level by a button, and taken back in one step.

use app::files::Origin;
use app::views::levels::DeviceLevels;
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;

use crate::files::{start, until};
use crate::{Desk, rig};

fn open() -> Desk {
    start(rig(), Origin::Untitled("demo".into()), None)
}

/// Marks a device by its name, by keys alone.
fn find(harness: &mut Desk, wanted: &str) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::F);
    harness.run_steps(3);
    let field = "Name of a device, input, component or case";
    harness.get_by_role_and_label(Role::TextInput, field).type_text(wanted);
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
}

fn levels(harness: &Desk) -> Option<&DeviceLevels> {
    harness.state().screen().levels.as_deref()
}

fn text(harness: &Desk) -> String {
    String::from_utf8(harness.state().snapshot().to_bytes().expect("it can be written")).expect("it is text")
}

#[test]
fn a_film_is_given_by_a_value_instead_of_its_channels_and_back() {
    let mut harness = open();
    let before = text(&harness);
    find(&mut harness, "plate");
    harness.key_press_modifiers(Modifiers::ALT, Key::L);
    until(&mut harness, "the levels", |harness| levels(harness).is_some_and(|found| !found.laws.is_empty()));
    let law = levels(&harness).expect("there").laws[0].clone();
    assert_eq!(law.what, "film");
    let used = law.levels.iter().find(|level| level.is_used).expect("one is in use").result.clone();
    let fixed = law.levels.iter().find(|level| level.name == "Fixed").expect("a level").result.clone();
    assert_eq!(used, fixed, "the value is that of the law in use");
    // the page lies still once it is as high as its laws
    harness.run_steps(8);
    harness.get_by_role_and_label(Role::Button, "Use Fixed for plate, film").click();
    harness.run_steps(3);
    until(&mut harness, "the new level", |harness| {
        levels(harness).is_some_and(|found| {
            found.laws[0].levels.iter().any(|level| level.is_used && level.name == "Fixed")
        })
    });
    assert!(text(&harness).contains("computed from the law before"));
    harness.key_press(Key::Escape);
    harness.run_steps(3);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run_steps(3);
    assert_eq!(text(&harness), before, "one step takes it back");
}
