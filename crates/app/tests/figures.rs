//! A chart becomes a file.

use app::Page;
use app::files::Origin;
use eframe::egui::{Key, Modifiers, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::files::{Desk, start, until_shown};
use crate::invented::Invented;

fn on_mission() -> Desk {
    let mut harness = start(Invented::new(), Origin::Untitled("demo".into()), None);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num5);
    harness.run_steps(3);
    if harness.query_by_role_and_label(Role::Button, "Save figure: Shaft power").is_none() {
        // the case on screen is a steady point: on to its mission
        let show = harness
            .query_all_by_role(Role::Button)
            .find(|node| node.accesskit_node().label().is_some_and(|label| label.starts_with("Show ")));
        show.expect("the page leads to a mission").click();
        harness.run_steps(3);
    }
    crate::files::until(&mut harness, "the curves", |harness| {
        harness.query_by_role_and_label(Role::Button, "Save figure: Shaft power").is_some()
    });
    assert_eq!(harness.state().page(), Page::Mission);
    harness
}

/// Asks for a figure and types where it goes.
fn save_as(harness: &mut Desk, path: &std::path::Path) {
    harness.get_by_role_and_label(Role::Button, "Save figure: Shaft power").click();
    harness.run_steps(4);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness
        .get_by_role_and_label(Role::TextInput, "Path of the figure")
        .type_text(&path.display().to_string());
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
}

#[test]
fn a_chart_is_written_as_drawing_and_as_numbers_and_never_over_a_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut harness = on_mission();
    let drawing = folder.path().join("power.svg");
    save_as(&mut harness, &drawing);
    until_shown(&mut harness, "power.svg was written");
    let text = std::fs::read_to_string(&drawing).expect("it is there");
    assert!(text.starts_with("<svg ") && text.contains("Shaft power, kW"), "{text}");

    let numbers = folder.path().join("power.csv");
    save_as(&mut harness, &numbers);
    until_shown(&mut harness, "power.csv was written");
    let text = std::fs::read_to_string(&numbers).expect("it is there");
    assert!(text.starts_with("time (s),") && text.lines().count() > 3, "{text}");
    assert!(text.lines().next().is_some_and(|head| head.contains("(kW)")), "{text}");

    save_as(&mut harness, &numbers);
    until_shown(&mut harness, "power.csv was not written: there is a file of this name already");
    save_as(&mut harness, &folder.path().join("power.pdf"));
    until_shown(&mut harness, "power.pdf was not written: a figure ends in .svg");
    save_as(&mut harness, &folder.path().join("no such folder").join("power.svg"));
    until_shown(&mut harness, "there is no folder");
}
