//! Edits are never lost without a question, and undo stays right across a save.

use egui::{Key, Modifiers, ViewportEvent, ViewportId};

use super::{
    FIELD, FIRST, click, edit, on_file, press, shows, type_into, type_path, until, until_shown, untitled,
    width, written,
};

const CTRL: Modifiers = Modifiers::COMMAND;

#[test]
fn an_edit_is_saved_and_read_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("tug");
    let mut harness = untitled();
    edit(&mut harness, "100 mm");
    assert!(harness.state().is_unsaved() && shows(&harness, "edited"));
    // A project that is no file yet asks where to.
    press(&mut harness, CTRL, Key::S);
    type_path(&mut harness, &path);
    until(&mut harness, "saved", |harness| !harness.state().is_unsaved());
    let file = path.with_extension("ron");
    assert_eq!(harness.state().origin().path(), Some(file.as_path()), "it gets the ending of a project");
    assert!(!shows(&harness, "edited"));
    let text = std::fs::read_to_string(&file).expect("it was written");
    assert!(text.contains("width: \"100 mm\""), "{text}");

    let mut other = untitled();
    press(&mut other, CTRL, Key::O);
    type_path(&mut other, &file);
    until(&mut other, "opened", |other| width(other) == "100 mm");
    assert!(!other.state().is_unsaved());
}

#[test]
fn undo_goes_back_across_a_save_and_redo_returns_to_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = written(&folder.path().join("tug.ron"), FIRST);
    let mut harness = on_file(&file);
    edit(&mut harness, "100 mm");
    press(&mut harness, CTRL, Key::S);
    until(&mut harness, "saved", |harness| !harness.state().is_unsaved());
    press(&mut harness, CTRL, Key::Z);
    assert_eq!((width(&harness).as_str(), harness.state().is_unsaved()), (FIRST, true));
    press(&mut harness, CTRL | Modifiers::SHIFT, Key::Z);
    assert_eq!((width(&harness).as_str(), harness.state().is_unsaved()), ("100 mm", false));
}

#[test]
fn what_is_still_being_typed_is_saved_too() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = written(&folder.path().join("tug.ron"), FIRST);
    let mut harness = on_file(&file);
    type_into(&mut harness, FIELD, "300 mm");
    press(&mut harness, CTRL, Key::S);
    until(&mut harness, "saved", |_| std::fs::read_to_string(&file).expect("there").contains("300 mm"));
}

#[test]
fn opening_asks_before_edits_are_lost() {
    let folder = tempfile::tempdir().expect("a folder");
    let (first, second) = (folder.path().join("a.ron"), folder.path().join("b.ron"));
    written(&first, FIRST);
    written(&second, "200 mm");
    let mut harness = on_file(&first);
    edit(&mut harness, "100 mm");
    press(&mut harness, CTRL | Modifiers::SHIFT, Key::O);
    type_path(&mut harness, &second);
    until_shown(&mut harness, "Unsaved edits");
    click(&mut harness, "Cancel");
    assert_eq!(width(&harness), "100 mm", "nothing happens after Cancel");
    press(&mut harness, CTRL | Modifiers::SHIFT, Key::O);
    type_path(&mut harness, &second);
    click(&mut harness, "Save");
    until(&mut harness, "saved, then opened", |harness| width(harness) == "200 mm");
    assert!(std::fs::read_to_string(&first).expect("there").contains("100 mm"), "the first file was saved");
    edit(&mut harness, "300 mm");
    press(&mut harness, CTRL | Modifiers::SHIFT, Key::O);
    type_path(&mut harness, &first);
    click(&mut harness, "Continue without saving");
    until(&mut harness, "opened", |harness| width(harness) == "100 mm");
    assert!(std::fs::read_to_string(&second).expect("there").contains("200 mm"), "the second file was not");
}

#[test]
fn closing_asks_before_edits_are_lost() {
    let mut harness = untitled();
    edit(&mut harness, "100 mm");
    // By the keys, and by the frame of the window.
    press(&mut harness, CTRL, Key::Q);
    until_shown(&mut harness, "Unsaved edits");
    press(&mut harness, Modifiers::NONE, Key::Escape);
    assert!(!shows(&harness, "Unsaved edits"));
    let window = harness.input_mut().viewports.get_mut(&ViewportId::ROOT).expect("the window");
    window.events.push(ViewportEvent::Close);
    harness.step();
    let window = harness.input_mut().viewports.get_mut(&ViewportId::ROOT).expect("the window");
    window.events.clear();
    until_shown(&mut harness, "Unsaved edits");
}

#[test]
fn another_file_is_replaced_only_after_a_question() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = written(&folder.path().join("theirs.ron"), "190 mm");
    let mut harness = untitled();
    press(&mut harness, CTRL | Modifiers::SHIFT, Key::S);
    type_path(&mut harness, &file);
    until_shown(&mut harness, "Its content would be lost");
    assert!(std::fs::read_to_string(&file).expect("there").contains("190 mm"));
    click(&mut harness, "Replace theirs.ron");
    until(&mut harness, "replaced", |_| std::fs::read_to_string(&file).expect("there").contains("240 mm"));
}

#[test]
fn a_refused_text_is_not_lost_without_a_word() {
    let mut harness = untitled();
    type_into(&mut harness, FIELD, "wide");
    press(&mut harness, Modifiers::NONE, Key::Enter);
    assert!(!harness.state().is_unsaved());
    press(&mut harness, CTRL, Key::Q);
    until_shown(&mut harness, "1 field(s) were not accepted");
    assert!(!shows(&harness, "Save them first?"), "there is nothing to save");
    click(&mut harness, "Cancel");
    assert!(!shows(&harness, "field(s) were not accepted"));
}

#[test]
fn the_path_can_be_typed_at_once_every_time() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = written(&folder.path().join("tug.ron"), "140 mm");
    let mut harness = on_file(&written(&folder.path().join("other.ron"), FIRST));
    press(&mut harness, CTRL, Key::O);
    press(&mut harness, Modifiers::NONE, Key::Escape);
    press(&mut harness, CTRL, Key::O);
    // No click, no marking: the path of the open file is replaced by what is typed.
    harness.event(egui::Event::Text(file.display().to_string()));
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    until(&mut harness, "opened", |harness| width(harness) == "140 mm");
}

#[test]
fn a_folder_as_path_gets_a_file_named_after_the_project() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut harness = untitled();
    press(&mut harness, CTRL | Modifiers::SHIFT, Key::S);
    type_path(&mut harness, &folder.path().join(""));
    let file = folder.path().join("bench-rig.ron");
    until(&mut harness, "saved", |harness| harness.state().origin().path() == Some(file.as_path()));
    assert!(file.is_file());
}

#[test]
fn another_overlay_ends_what_waits_for_the_question() {
    let folder = tempfile::tempdir().expect("a folder");
    let (first, second) = (folder.path().join("a.ron"), folder.path().join("b.ron"));
    written(&first, FIRST);
    written(&second, "200 mm");
    let mut harness = on_file(&first);
    edit(&mut harness, "100 mm");
    press(&mut harness, CTRL | Modifiers::SHIFT, Key::O);
    type_path(&mut harness, &second);
    until_shown(&mut harness, "Unsaved edits");
    press(&mut harness, Modifiers::NONE, Key::F1);
    press(&mut harness, Modifiers::NONE, Key::Escape);
    press(&mut harness, CTRL, Key::S);
    until(&mut harness, "saved", |harness| !harness.state().is_unsaved());
    assert_eq!(width(&harness), "100 mm", "a save much later opens nothing");
}
