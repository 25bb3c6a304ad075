//! The n-th call of the disk fails, for n = 1, 2, 3 and so on until a run meets no failure.

use project::{Existing, Output, OutputError, OutputKind, Watch, write_output, write_watched};
use std::cell::Cell;
use std::io;
use std::path::Path;

/// Refuses one call, and all after it: a disk that is full stays full.
struct Countdown {
    left: Cell<u32>,
}

impl Watch for Countdown {
    fn ask(&self) -> io::Result<()> {
        match self.left.get().checked_sub(1) {
            Some(left) => {
                self.left.set(left);
                Ok(())
            }
            None => Err(io::Error::from(io::ErrorKind::StorageFull)),
        }
    }
}

fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("a folder");
    let mut names: Vec<String> =
        entries.map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// Runs with ever later failures; returns how many runs failed.
fn until_none_fails(
    mut run: impl FnMut(&Countdown) -> Result<(), OutputError>,
    mut after: impl FnMut(bool),
) -> u32 {
    for calls in 0..200 {
        let watch = Countdown { left: Cell::new(calls) };
        let done = run(&watch);
        after(done.is_ok());
        match done {
            Ok(()) => return calls,
            Err(error) => {
                assert!(error.is_refusal(), "{error}");
                assert!(error.to_string().contains("free some space, or name another place"), "{error}");
            }
        }
    }
    panic!("it never ends");
}

#[test]
fn one_file_is_the_old_one_or_the_new_one() {
    for old in [None, Some("old")] {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("rows.csv");
        if let Some(old) = old {
            std::fs::write(&path, old).expect("written");
        }
        let failures = until_none_fails(
            |watch| {
                let output = Output { path: path.clone(), bytes: b"new".to_vec() };
                write_watched(None, &[output], OutputKind::Other, Existing::Replace, watch)
            },
            |is_done| {
                let there = std::fs::read_to_string(&path).ok();
                let is_new = there.as_deref() == Some("new");
                assert!(is_new || (!is_done && there.as_deref() == old), "{there:?}");
                // a name that failed to last is the new file only where it replaced one
                assert!(is_done || old.is_some() || there.is_none());
                let expected = if there.is_some() { vec!["rows.csv"] } else { Vec::new() };
                assert_eq!(names(folder.path()), expected);
                if !is_done && let Some(old) = old {
                    std::fs::write(&path, old).expect("as before");
                }
            },
        );
        // temporary file, two halves, mode, contents to the disk, name, name to the disk
        assert_eq!(failures, 7);
    }
}

#[test]
fn several_files_are_all_there_or_none() {
    let above = tempfile::tempdir().expect("a temporary folder");
    let folder = above.path().join("made").join("here");
    let failures = until_none_fails(
        |watch| {
            let outputs =
                ["a.csv", "b.csv"].map(|name| Output { path: folder.join(name), bytes: vec![b'x'; 9] });
            write_watched(Some(&folder), &outputs, OutputKind::Other, Existing::Keep, watch)
        },
        |is_done| {
            if is_done {
                assert_eq!(names(&folder), ["a.csv", "b.csv"]);
            } else {
                assert!(names(above.path()).is_empty(), "{:?}", names(above.path()));
            }
        },
    );
    // two folders, and seven calls for each file
    assert_eq!(failures, 2 + 2 * 7);
}

#[test]
fn what_is_there_stays_unless_told_and_a_project_stays_anyway() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (table, project) = (folder.path().join("rows.csv"), folder.path().join("rig"));
    std::fs::write(&table, "old").expect("written");
    std::fs::write(&project, "Project(format: \"heatledger\", version: 1)").expect("written");
    let write = |path, sort, existing| write_output(path, b"new", sort, existing);
    let kept = write(&table, OutputKind::Other, Existing::Keep);
    assert!(matches!(&kept, Err(error @ OutputError::Exists(_)) if !error.is_refusal()), "{kept:?}");
    for existing in [Existing::Keep, Existing::Replace] {
        assert!(matches!(write(&project, OutputKind::Other, existing), Err(OutputError::IsProject(_))));
    }
    assert!(matches!(write(&project, OutputKind::Project, Existing::Keep), Err(OutputError::Exists(_))));
    write(&table, OutputKind::Other, Existing::Replace).expect("told to");
    write(&project, OutputKind::Project, Existing::Replace).expect("told to");
    assert_eq!(std::fs::read_to_string(&table).expect("there"), "new");
}
