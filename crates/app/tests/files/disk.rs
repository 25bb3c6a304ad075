//! Files that cannot be read or written, that others change, and files that are dropped onto the window.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use eframe::egui::{Key, Modifiers};

use super::{
    click, edit, face_area, on_file, press, shows, type_path, until, until_shown, untitled, written,
};

const CTRL: Modifiers = Modifiers::COMMAND;

#[test]
fn a_mistake_is_shown_with_its_place_and_the_project_stays() {
    let folder = tempfile::tempdir().expect("a folder");
    let bad = folder.path().join("bad.ron");
    std::fs::write(&bad, "invented\nno value here\n").expect("written");
    let mut harness = untitled();
    edit(&mut harness, "0.1 m2");
    press(&mut harness, CTRL, Key::O);
    type_path(&mut harness, &bad);
    click(&mut harness, "Go on without saving");
    until_shown(&mut harness, "bad.ron was not opened");
    for part in ["line 2, column 1", "no value is given", "Remedy: write: path = value", "no value here"] {
        assert!(shows(&harness, part), "{part}");
    }
    press(&mut harness, Modifiers::NONE, Key::Escape);
    assert_eq!((face_area(&harness).as_str(), harness.state().is_unsaved()), ("0.1 m2", true));
    press(&mut harness, CTRL, Key::Z);
    assert_eq!(face_area(&harness), "0.082 m2", "even undo is as it was");
}

#[test]
fn a_path_that_leads_nowhere_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut harness = untitled();
    press(&mut harness, CTRL, Key::O);
    type_path(&mut harness, &folder.path().join("none.ron"));
    until_shown(&mut harness, "there is no such file");
}

#[test]
fn warnings_are_told_but_do_not_stop_anybody() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("warned.ron");
    std::fs::write(&file, "invented\nwarning the fan is small\n").expect("written");
    let mut harness = untitled();
    press(&mut harness, CTRL, Key::O);
    type_path(&mut harness, &file);
    until_shown(&mut harness, "warned.ron was opened with 1 warning(s)");
    click(&mut harness, "Show them");
    assert!(shows(&harness, "the fan is small"));
}

#[cfg(unix)]
#[test]
fn a_read_only_file_is_not_touched() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().expect("a folder");
    let file = written(&folder.path().join("tug.ron"), "0.082 m2");
    std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o444)).expect("the mode is set");
    let mut harness = on_file(&file);
    edit(&mut harness, "0.1 m2");
    press(&mut harness, CTRL, Key::S);
    until_shown(&mut harness, "tug.ron was not saved: tug.ron is marked read-only");
    assert!(harness.state().is_unsaved());
    assert!(std::fs::read_to_string(&file).expect("there").contains("0.082 m2"));
    click(&mut harness, "Dismiss the notice");
    assert!(!shows(&harness, "was not saved"));
}

#[test]
fn a_file_that_others_change_is_noticed_and_never_overwritten_unasked() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = written(&folder.path().join("tug.ron"), "0.082 m2");
    let mut harness = on_file(&file);
    // Only once the file is watched can a change be seen.
    press(&mut harness, CTRL | Modifiers::SHIFT, Key::R);
    until(&mut harness, "read again", |harness| harness.state().is_settled());
    written(&file, "0.5 m2 ");
    until_shown(&mut harness, "tug.ron was changed by another program");
    click(&mut harness, "Keep what is here");
    edit(&mut harness, "0.1 m2");
    press(&mut harness, CTRL, Key::S);
    until_shown(&mut harness, "Nothing was written. Saving over it would lose those changes.");
    assert!(std::fs::read_to_string(&file).expect("there").contains("0.5 m2"));
    click(&mut harness, "Read the file again");
    click(&mut harness, "Go on without saving");
    until(&mut harness, "the file as it is", |harness| face_area(harness) == "0.5 m2 ");
    std::fs::remove_file(&file).expect("removed");
    until_shown(&mut harness, "tug.ron is not there any more");
    click(&mut harness, "Save");
    until(&mut harness, "written again", |_| file.is_file());
    until(&mut harness, "nothing more to say", |harness| !shows(harness, "not there any more"));
}

#[derive(Debug)]
struct Dropped(PathBuf);

impl eframe::egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

#[test]
fn a_dropped_file_is_opened() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = written(&folder.path().join("tug.ron"), "0.7 m2");
    let mut harness = untitled();
    harness.input_mut().dropped_files.push(Arc::new(Dropped(file.clone())));
    until(&mut harness, "opened", |harness| face_area(harness) == "0.7 m2");
    assert_eq!(harness.state().origin().path(), Some(file.as_path()));
}
