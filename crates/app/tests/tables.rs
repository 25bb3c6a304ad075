//! A measured table is pasted, corrected beside its cells, and taken over in one step.

use app::files::Origin;
use app::{Command, Page, TableCommand};
use egui::{Event, Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;

use crate::files::{start, until};
use crate::{Desk, rig, type_into};

const CURVE: &str = "loops.glycol.path.pump.curve";

fn open() -> Desk {
    let mut harness = start(rig(), Origin::Untitled("demo".into()), None);
    harness.get_by_role_and_label(Role::Button, "Edit the table curve of pump").click();
    harness.run_steps(3);
    harness
}

fn text(harness: &Desk) -> String {
    String::from_utf8(harness.state().snapshot().to_bytes().expect("it can be written")).expect("it is text")
}

fn paste(harness: &mut Desk, text: &str) {
    harness.event(Event::Paste(text.to_owned()));
    harness.run_steps(3);
}

fn click(harness: &mut Desk, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.run_steps(3);
}

#[test]
fn a_pasted_curve_is_corrected_where_it_is_wrong_and_undone_in_one_step() {
    let mut harness = open();
    let before = text(&harness);
    harness.get_by_role_and_label(Role::TextInput, "row 1, volume flow");
    paste(&mut harness, "flow [L/min]\trise [kPa]\n0\t90\n12,5\t70\n24\t5\n");
    assert_eq!(text(&harness), before, "nothing is taken over yet");
    let marked = "row 2, volume flow: \"12,5\" has a comma; write 12.5";
    harness.get_by_role_and_label(Role::TextInput, &format!("{marked} with a point"));
    type_into(&mut harness, &format!("{marked} with a point"), "12.5");
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    click(&mut harness, "Apply");
    until(&mut harness, "the new curve", |harness| harness.state().is_settled());
    let after = text(&harness);
    assert!(after.contains("(\"12.5 L/min\", \"70 kPa\")"), "{after}");
    assert!(after.contains("(\"24 L/min\", \"5 kPa\")"));
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run_steps(3);
    assert_eq!(text(&harness), before, "one step takes it back");
}

#[test]
fn a_table_with_a_mistake_is_not_taken_over_and_is_kept_when_it_is_left() {
    let mut harness = open();
    let before = text(&harness);
    paste(&mut harness, "0\t40\n10\t60\n");
    harness.get_by_role_and_label(Role::Button, "Apply").click();
    harness.run_steps(3);
    assert_eq!(text(&harness), before, "a curve that rises is no pump curve");
    harness.key_press(Key::Escape);
    harness.run_steps(3);
    click(&mut harness, "Edit the table curve of pump");
    let cell = harness.get_by_role_and_label(Role::TextInput, "row 2, pressure difference").value();
    assert_eq!(cell.as_deref(), Some("60"), "what was typed is still there");
    click(&mut harness, "Discard changes");
    let cell = harness.get_by_role_and_label(Role::TextInput, "row 1, pressure difference").value();
    assert_eq!(cell.as_deref(), Some("95"));
}

#[test]
fn cells_come_from_a_file_by_its_path() {
    let mut harness = open();
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("pump.csv");
    std::fs::write(&path, "flow [gpm];rise [psi]\n0;14\n4;10\n7;1\n").expect("written");
    click(&mut harness, "Load file…");
    type_into(&mut harness, "Path of the table", &path.display().to_string());
    harness.key_press(Key::Enter);
    until(&mut harness, "the cells", |harness| {
        harness.query_by_label("3 rows loaded from pump.csv.").is_some()
    });
    click(&mut harness, "Apply");
    until(&mut harness, "the new curve", |harness| text(harness).contains("\"7 gpm\""));
    assert_eq!(harness.state().page(), Page::Loops);
    assert!(harness.state().is_unsaved());
}

#[test]
fn a_table_that_is_not_there_is_not_opened() {
    assert!(rig().table("loops.glycol.path.feed hose").is_none());
    assert_eq!(rig().table(CURVE).expect("the pump has one").cells.len(), 4);
    assert!(Command::Table(TableCommand::Edit(CURVE.into())).label().contains("curve"));
}

#[test]
fn keys_go_from_cell_to_cell_and_typing_replaces_the_number() {
    let mut harness = open();
    // the first cell has the keys when the table opens
    harness.key_press(Key::ArrowDown);
    harness.run_steps(3);
    harness.event(Event::Text("11".to_owned()));
    harness.run_steps(3);
    let value = |harness: &Desk, label: &str| harness.get_by_role_and_label(Role::TextInput, label).value();
    assert_eq!(value(&harness, "row 2, volume flow").as_deref(), Some("11"));
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    harness.event(Event::Text("21".to_owned()));
    harness.run_steps(3);
    assert_eq!(value(&harness, "row 3, volume flow").as_deref(), Some("21"));
    harness.key_press(Key::ArrowUp);
    harness.run_steps(3);
    harness.event(Event::Text("12".to_owned()));
    harness.run_steps(3);
    assert_eq!(value(&harness, "row 2, volume flow").as_deref(), Some("12"));
}
