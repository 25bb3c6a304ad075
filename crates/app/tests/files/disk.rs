//! Files that cannot be read or written, that others change, and files that are dropped onto the window.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Key, Modifiers};

use super::{
    FIRST, RIG, click, edit, on_file, press, shows, type_path, until, until_shown, untitled, width, written,
};

const CTRL: Modifiers = Modifiers::COMMAND;

#[test]
fn a_mistake_is_shown_with_its_place_and_the_project_stays() {
    let folder = tempfile::tempdir().expect("a folder");
    let bad = folder.path().join("bad.ron");
    let slip = RIG.replace("240 mm", "240 kPa");
    std::fs::write(&bad, &slip).expect("written");
    let line = slip.lines().position(|line| line.contains("240 kPa")).expect("it is there") + 1;
    let mut harness = untitled();
    edit(&mut harness, "100 mm");
    press(&mut harness, CTRL, Key::O);
    type_path(&mut harness, &bad);
    click(&mut harness, "Continue without saving");
    until_shown(&mut harness, "bad.ron was not opened");
    let place = format!("line {line}, column ");
    for part in [place.as_str(), "240 kPa", "Remedy: ", "transfer: Louvered("] {
        assert!(shows(&harness, part), "{part}");
    }
    press(&mut harness, Modifiers::NONE, Key::Escape);
    assert_eq!((width(&harness).as_str(), harness.state().is_unsaved()), ("100 mm", true));
    press(&mut harness, CTRL, Key::Z);
    assert_eq!(width(&harness), FIRST, "even undo is as it was");
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
    // glycol of half a volume freezes at such a day
    std::fs::write(&file, RIG.replace("22 degC", "-45 degC")).expect("written");
    let mut harness = untitled();
    press(&mut harness, CTRL, Key::O);
    type_path(&mut harness, &file);
    until_shown(&mut harness, "warned.ron was opened with 1 warning(s)");
    click(&mut harness, "Show details");
    assert!(shows(&harness, "freezes or stops to pour"));
}

#[cfg(unix)]
#[test]
fn a_read_only_file_is_not_touched() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().expect("a folder");
    let file = written(&folder.path().join("tug.ron"), FIRST);
    std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o444)).expect("the mode is set");
    let mut harness = on_file(&file);
    edit(&mut harness, "100 mm");
    press(&mut harness, CTRL, Key::S);
    until_shown(&mut harness, "tug.ron was not saved: tug.ron is marked read-only");
    assert!(harness.state().is_unsaved());
    assert!(std::fs::read_to_string(&file).expect("there").contains("240 mm"));
    click(&mut harness, "Dismiss the notice");
    assert!(!shows(&harness, "was not saved"));
}

#[test]
fn a_file_that_others_change_is_noticed_and_never_overwritten_unasked() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = written(&folder.path().join("tug.ron"), FIRST);
    let mut harness = on_file(&file);
    // Only once the file is watched can a change be seen.
    press(&mut harness, CTRL | Modifiers::SHIFT, Key::R);
    until(&mut harness, "read again", |harness| harness.state().is_settled());
    written(&file, "0.24 m");
    until_shown(&mut harness, "tug.ron was changed by another program");
    click(&mut harness, "Keep my version");
    edit(&mut harness, "100 mm");
    press(&mut harness, CTRL, Key::S);
    until_shown(&mut harness, "Nothing was written. Saving over it would lose those changes.");
    assert!(std::fs::read_to_string(&file).expect("there").contains("0.24 m"));
    click(&mut harness, "Reload the file");
    click(&mut harness, "Continue without saving");
    until(&mut harness, "the file as it is", |harness| width(harness) == "0.24 m");
    std::fs::remove_file(&file).expect("removed");
    until_shown(&mut harness, "tug.ron no longer exists");
    click(&mut harness, "Save");
    until(&mut harness, "written again", |_| file.is_file());
    until(&mut harness, "nothing more to say", |harness| !shows(harness, "no longer exists"));
}

#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
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
    let file = written(&folder.path().join("tug.ron"), "170 mm");
    let mut harness = untitled();
    harness.input_mut().dropped_files.push(Arc::new(Dropped(file.clone())));
    until(&mut harness, "opened", |harness| width(harness) == "170 mm");
    assert_eq!(harness.state().origin().path(), Some(file.as_path()));
}
