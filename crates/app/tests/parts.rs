//! Single parts are added and taken away, devices go over the clipboard, and everything with a name is renamed in one place.

use app::files::Origin;
use egui::{Event, Key, Modifiers, OutputCommand, Role};
use egui_kittest::kittest::Queryable as _;

use crate::files::{start, until};
use crate::{Desk, rig};

fn open() -> Desk {
    start(rig(), Origin::Untitled("demo".into()), None)
}

fn text(harness: &Desk) -> String {
    String::from_utf8(harness.state().snapshot().to_bytes().expect("it can be written")).expect("it is text")
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

fn click(harness: &mut Desk, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.run_steps(3);
}

fn devices(harness: &Desk, circuit: &str) -> Vec<String> {
    let page = harness.state().screen().strips.iter().find(|page| page.strip.name == circuit);
    page.map(|page| page.table.rows.iter().map(|row| row.name.clone()).collect()).unwrap_or_default()
}

fn undo(harness: &mut Desk) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run_steps(3);
}

#[test]
fn a_device_goes_over_the_clipboard_as_text_and_other_text_is_refused() {
    let mut harness = open();
    let before = text(&harness);
    find(&mut harness, "feed hose");
    harness.input_mut().events.push(Event::Copy);
    harness.step();
    let copied = harness.output().platform_output.commands.iter().find_map(|command| match command {
        OutputCommand::CopyText(text) => Some(text.clone()),
        _ => None,
    });
    let copied = copied.expect("the device is on the clipboard");
    assert!(copied.starts_with("Hose(") && copied.contains("name: \"feed hose\""), "{copied}");
    find(&mut harness, "return hose");
    harness.event(Event::Paste(copied));
    harness.run_steps(3);
    until(&mut harness, "the pasted hose", |harness| {
        devices(harness, "glycol").contains(&"feed hose 2".to_owned())
    });
    let names = devices(&harness, "glycol");
    let at = names.iter().position(|name| name == "return hose").expect("a device of the demo");
    assert_eq!(names[at + 1], "feed hose 2");
    undo(&mut harness);
    assert_eq!(text(&harness), before);
    harness.event(Event::Paste("1.5 m of hose".to_owned()));
    harness.run_steps(3);
    harness.get_by_label_contains("the clipboard holds no device");
    assert_eq!(text(&harness), before);
}

#[test]
fn a_core_is_not_copied_and_the_reason_is_told() {
    let mut harness = open();
    find(&mut harness, "radiator");
    click(&mut harness, "Copy");
    harness.get_by_label_contains("radiator is described once but is in two circuits");
}

#[test]
fn a_bypass_and_a_second_core_are_added_by_the_menu() {
    let mut harness = open();
    let before = text(&harness);
    find(&mut harness, "radiator");
    click(&mut harness, "Add after");
    click(&mut harness, "thermostat with a bypass around it");
    until(&mut harness, "the bypass", |harness| {
        devices(harness, "glycol").contains(&"radiator bypass port".to_owned())
    });
    undo(&mut harness);
    assert_eq!(text(&harness), before);
    find(&mut harness, "radiator");
    click(&mut harness, "Add after");
    harness.get_by_label_contains("core in").click();
    harness.run_steps(3);
    click(&mut harness, "a new duct");
    until(&mut harness, "the core", |harness| devices(harness, "core air duct").contains(&"core".to_owned()));
    assert!(devices(&harness, "glycol").contains(&"core".to_owned()));
}

#[test]
fn a_duct_goes_with_its_core_unless_something_names_it() {
    let mut harness = open();
    let before = text(&harness);
    click(&mut harness, "radiator duct");
    click(&mut harness, "Remove this duct");
    // two failures name the fan and the core, and a variant the width of the core
    harness.get_by_label_contains("Not done: ");
    assert_eq!(text(&harness), before);
    click(&mut harness, "Add a loop");
    click(&mut harness, "a duct instead");
    until(&mut harness, "the duct", |harness| !devices(harness, "duct").is_empty());
    click(&mut harness, "Remove this duct");
    until(&mut harness, "the duct to go", |harness| devices(harness, "duct").is_empty());
    assert_eq!(text(&harness), before);
}

#[test]
fn everything_with_a_name_is_renamed_by_keys_and_what_names_it_follows() {
    let mut harness = open();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::E);
    harness.run_steps(3);
    harness.get_by_role_and_label(Role::TextInput, "Name or kind of item").type_text("heat up and cool");
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    let field = "Name of missions.heat up and cool down";
    harness.get_by_label_contains("Referred to by cases.1.missions.1");
    // the whole name is marked, so that typing replaces it
    harness.get_by_role_and_label(Role::TextInput, field).type_text("heat soak");
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    let refused: Vec<String> =
        harness.query_all_by_label_contains("Not done: ").map(|node| format!("{node:?}")).collect();
    assert!(refused.is_empty(), "{refused:?}");
    let after = text(&harness);
    assert!(after.contains("missions: [\"heat soak\"]"), "the cases follow: {after}");
    assert!(!after.contains("heat up and cool down"));
    harness.get_by_role_and_label(Role::TextInput, "Name of missions.heat soak");
}

#[test]
fn what_would_go_along_is_said_before() {
    let mut harness = open();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::E);
    harness.run_steps(3);
    harness.get_by_role_and_label(Role::TextInput, "Name or kind of item").type_text("cabinet air");
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    harness.get_by_label("Removing it also removes: links.insulation, links.cabinet wall.");
    harness.get_by_label_contains("Referred to by loops.glycol.path.return hose.surroundings.to");
    let before = text(&harness);
    click(&mut harness, "Remove");
    assert!(harness.query_all_by_label_contains("Not done: ").next().is_some(), "the reason is told");
    assert_eq!(text(&harness), before, "the hose still gives heat to it");
}
