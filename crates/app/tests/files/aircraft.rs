//! The same with a whole project: what is saved is what was typed, and mistakes have their place.

use app::files::{Demo, Origin};
use app::{Opening, Window};
use egui::{Key, Modifiers, Role, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use session::Snapshot;

use super::{click, press, settings, shows, start, type_into, type_path, until, until_shown};
use crate::{Desk, RIG, rig};

/// The first input field of the page, by its label and what stands in it.
fn first_field(harness: &Desk) -> (String, String) {
    let field = harness.query_all_by_role(Role::TextInput).find(|node| {
        node.value().is_some_and(|value| value.ends_with(" mm")) && node.accesskit_node().label().is_some()
    });
    let field = field.expect("a length on the page");
    (field.accesskit_node().label().expect("a name"), field.value().expect("a text"))
}

#[test]
fn an_edit_keeps_its_unit_through_the_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("rig.ron");
    std::fs::write(&file, RIG).expect("written");
    let mut harness = start(rig(), Origin::File(file.clone()), None);
    let (label, before) = first_field(&harness);
    type_into(&mut harness, &label, "0.75 in");
    harness.key_press(Key::Enter);
    until(&mut harness, "the results of the edit", |harness| harness.state().is_settled());
    assert_ne!(before, "0.75 in");
    press(&mut harness, Modifiers::COMMAND, Key::S);
    until(&mut harness, "saved", |harness| !harness.state().is_unsaved());
    let text = std::fs::read_to_string(&file).expect("there");
    assert!(text.contains("\"0.75 in\""), "the unit is the one that was typed");

    let mut other = start(rig(), Origin::Untitled("demo".into()), None);
    press(&mut other, Modifiers::COMMAND, Key::O);
    type_path(&mut other, &file);
    until(&mut other, "opened", |other| other.state().origin().path() == Some(file.as_path()));
    until(&mut other, "the results", |other| other.state().is_settled());
    assert_eq!(other.get_by_role_and_label(Role::TextInput, &label).value().as_deref(), Some("0.75 in"));
    assert_eq!(
        other.state().snapshot().node(),
        harness.state().snapshot().node(),
        "nothing else has changed"
    );
}

/// The bench rig with comments above and behind its lines.
fn commented() -> String {
    let comment = |line: &str| {
        let margin = &line[..line.len() - line.trim_start().len()];
        format!("{margin}// above\n{line} // behind\n")
    };
    RIG.lines().map(comment).collect()
}

/// The lines that differ, of two texts of as many lines.
fn changed_lines(before: &str, after: &str) -> usize {
    assert_eq!(before.lines().count(), after.lines().count());
    before.lines().zip(after.lines()).filter(|(before, after)| before != after).count()
}

#[test]
fn an_edit_changes_one_line_of_the_file_and_keeps_every_comment() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("rig.ron");
    let text = commented();
    std::fs::write(&file, &text).expect("written");
    // what is not edited, or comes back from a copy against a crash, is as it was
    let read = Snapshot::from_bytes(text.as_bytes()).expect("it is a project").0;
    assert_eq!(read.to_bytes().as_deref(), Ok(text.as_bytes()));
    let mut harness = start(rig(), Origin::Untitled("demo".into()), None);
    press(&mut harness, Modifiers::COMMAND, Key::O);
    type_path(&mut harness, &file);
    until(&mut harness, "opened", |harness| harness.state().origin().path() == Some(file.as_path()));
    until(&mut harness, "the results", |harness| harness.state().is_settled());
    let (label, before) = first_field(&harness);
    let mut last = text.clone();
    for value in ["0.75 in", "17.50 mm"] {
        type_into(&mut harness, &label, value);
        harness.key_press(Key::Enter);
        until(&mut harness, "the results of the edit", |harness| harness.state().is_settled());
        press(&mut harness, Modifiers::COMMAND, Key::S);
        until(&mut harness, "saved", |harness| !harness.state().is_unsaved());
        let saved = std::fs::read_to_string(&file).expect("there");
        assert_eq!(changed_lines(&last, &saved), 1, "{before} to {value}");
        assert_eq!(changed_lines(&text, &saved), 1, "{before} to {value}");
        last = saved;
    }
    // undone, the file is what was read, byte for byte
    for _ in 0..2 {
        press(&mut harness, Modifiers::COMMAND, Key::Z);
    }
    until(&mut harness, "unsaved", |harness| harness.state().is_unsaved());
    press(&mut harness, Modifiers::COMMAND, Key::S);
    until(&mut harness, "saved", |harness| !harness.state().is_unsaved());
    assert_eq!(std::fs::read_to_string(&file).expect("there"), text);
}

#[test]
fn mistakes_of_a_project_are_shown_with_line_column_and_remedy() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("slip.ron");
    let (at, _) = RIG.match_indices("degC").next().expect("a temperature in the demo");
    let slip = format!("{}kPa{}", &RIG[..at], &RIG[at + 4..]);
    std::fs::write(&file, &slip).expect("written");
    let line = slip[..at].lines().count();
    let mut harness = start(rig(), Origin::Untitled("demo".into()), None);
    press(&mut harness, Modifiers::COMMAND, Key::O);
    type_path(&mut harness, &file);
    until_shown(&mut harness, "slip.ron was not opened");
    assert!(shows(&harness, &format!("line {line}, column")), "line {line}");
    assert!(shows(&harness, "Remedy: "));
    assert_eq!(harness.state().snapshot().name(), "Bench rig");
}

#[test]
fn a_demo_is_begun_as_a_copy_without_a_file() {
    let mut files = settings(None);
    files.demos = vec![Demo { name: "Bench rig", summary: "A heater block", bytes: RIG.as_bytes() }];
    let mut harness: Desk = Harness::builder().with_size(Vec2::new(1100.0, 700.0)).build_eframe(|context| {
        let start = Opening { files, origin: Origin::File("/nowhere/a.ron".into()), ..Opening::new(rig()) };
        Window::new(&context.egui_ctx, start).expect("threads can be started")
    });
    until(&mut harness, "the first results", |harness| harness.state().is_settled());
    press(&mut harness, Modifiers::COMMAND, Key::N);
    click(&mut harness, "Bench rig");
    until(&mut harness, "begun", |harness| harness.state().origin().path().is_none());
    assert!(shows(&harness, "Bench rig, not saved yet"));
}
