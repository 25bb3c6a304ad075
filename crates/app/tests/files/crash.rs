//! A program that is killed loses nothing that was edited a moment before.

use std::io::{BufRead as _, BufReader, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use app::files::Origin;

use super::{FIRST, click, edit, shows, start, until, until_shown, width, written};
use crate::rig;

/// Where the killed program keeps its state and its file; set only in that program.
const STATE: &str = "HEATLEDGER_TEST_STATE";
const READY: &str = "the work is kept";

fn kept_copies(state: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(state.join("kept")).into_iter().flatten().flatten();
    entries.map(|entry| entry.path().join("project.ron")).filter(|path| path.is_file()).collect()
}

/// The program that is killed: edits, and then waits for its end. It does nothing as a test of its own.
#[test]
fn program_that_is_killed() {
    let Some(state) = std::env::var_os(STATE).map(PathBuf::from) else { return };
    let mut harness = start(rig(), Origin::File(state.join("tug.ron")), Some(&state));
    edit(&mut harness, "123 mm");
    until(&mut harness, "a copy", |_| !kept_copies(&state).is_empty());
    std::io::stderr().write_all(format!("{READY}\n").as_bytes()).expect("stderr can be written to");
    // Nobody lets it go on: the end comes from outside, or after a time in which the test has failed anyway.
    std::thread::park_timeout(Duration::from_mins(5));
}

fn killed_while_editing(state: &Path) {
    let program = std::env::current_exe().expect("this program");
    let mut child = Command::new(program)
        .args(["--exact", "files::crash::program_that_is_killed", "--nocapture"])
        .env(STATE, state)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    let stderr = child.stderr.take().expect("it is piped");
    let is_ready = BufReader::new(stderr).lines().map_while(Result::ok).any(|line| line == READY);
    child.kill().expect("it can be killed");
    child.wait().expect("it ends");
    assert!(is_ready, "the program ended before it was killed");
}

#[test]
fn edits_of_a_killed_program_are_offered_and_recovered() {
    let state = tempfile::tempdir().expect("a folder");
    let file = written(&state.path().join("tug.ron"), FIRST);
    killed_while_editing(state.path());
    let mut harness = start(rig(), Origin::Untitled("demo".into()), Some(state.path()));
    until_shown(&mut harness, "The program ended with unsaved edits in tug.ron");
    click(&mut harness, "Recover");
    until(&mut harness, "recovered", |harness| width(harness) == "123 mm");
    assert!(harness.state().is_unsaved(), "the file still holds what was saved last");
    assert_eq!(harness.state().origin().path(), Some(file.as_path()));
    assert!(std::fs::read_to_string(&file).expect("there").contains("240 mm"));
    until(&mut harness, "one copy, its own", |_| kept_copies(state.path()).len() == 1);
    assert!(!shows(&harness, "The program ended"));
}

#[test]
fn a_copy_that_is_not_wanted_is_gone_for_good() {
    let state = tempfile::tempdir().expect("a folder");
    killed_while_editing(state.path());
    let mut harness = start(rig(), Origin::Untitled("demo".into()), Some(state.path()));
    until_shown(&mut harness, "The program ended");
    click(&mut harness, "Discard");
    until(&mut harness, "gone", |_| kept_copies(state.path()).is_empty());
    assert!(!shows(&harness, "The program ended"));
}

#[test]
fn undoing_every_edit_takes_the_copy_away() {
    let state = tempfile::tempdir().expect("a folder");
    let mut harness = start(rig(), Origin::Untitled("demo".into()), Some(state.path()));
    edit(&mut harness, "100 mm");
    until(&mut harness, "a copy", |_| kept_copies(state.path()).len() == 1);
    click(&mut harness, "Undo");
    until(&mut harness, "no copy", |_| kept_copies(state.path()).is_empty());
}

#[test]
fn edits_that_were_dropped_on_purpose_are_not_offered() {
    let state = tempfile::tempdir().expect("a folder");
    let mut harness = start(rig(), Origin::Untitled("demo".into()), Some(state.path()));
    edit(&mut harness, "100 mm");
    until(&mut harness, "a copy", |_| kept_copies(state.path()).len() == 1);
    harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::Q);
    until_shown(&mut harness, "Unsaved edits");
    click(&mut harness, "Continue without saving");
    harness.run_steps(10);
    drop(harness);
    assert!(kept_copies(state.path()).is_empty());
}
