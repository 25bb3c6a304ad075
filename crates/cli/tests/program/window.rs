//! Without a display the margins come as text.

use crate::run::{PLATE, file, run};

#[test]
fn no_display_prints_the_margins() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&[&path]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!(ended.err.contains("no display: ") && ended.err.contains("margins"), "{}", ended.err);
    assert!(ended.out.contains("Worst margin: +20.0 K at plate"), "{}", ended.out);
}

#[test]
fn no_file_is_the_demo() {
    let ended = run(&[]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert_eq!(ended.out, run(&["margins", "demo"]).out);
}

#[test]
fn a_bad_file_is_told_before_any_window() {
    let (_file, path) = file(b"Project(");
    let ended = run(&[&path]);
    assert_eq!((ended.code, ended.out.as_str()), (1, ""));
    assert!(!ended.err.contains("no display"), "{}", ended.err);
}
