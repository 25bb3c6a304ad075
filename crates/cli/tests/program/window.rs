//! Without a display the margins come as text.

use crate::run::{PLATE, file, run};

#[test]
fn no_display_prints_the_margins() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&[&path]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!(ended.err.contains("no display: ") && ended.err.contains("margins"), "{}", ended.err);
    assert!(
        ended.out.contains("Least reserve +10.0 K, holds: margin 20.0 K, 10.0 K required"),
        "{}",
        ended.out
    );
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

#[test]
fn a_picture_needs_a_display_and_says_so() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("page.png");
    let ended = run(&["picture", "demo", "--page", "Margins", "-o", out.to_str().expect("a plain path")]);
    assert_eq!(ended.code, 3, "{}", ended.err);
    assert!(ended.err.contains("no display") && ended.out.is_empty(), "{}", ended.err);
    assert!(!out.exists());
}

#[test]
fn what_is_asked_wrongly_of_a_picture_is_told() {
    let ask = |more: &[&str]| {
        let ended = run(&[&["picture", "demo", "-o", "never.png"], more].concat());
        assert_eq!(ended.code, 1, "{}", ended.err);
        ended.err
    };
    assert!(ask(&["--page", "gauges"]).contains("name one of loops, temperatures"));
    assert!(ask(&["--page", "loops", "--size", "big"]).contains("write it like 1440x900"));
    assert!(ask(&["--page", "loops", "--size", "10x10"]).contains("900x540 points"));
    assert!(ask(&["--page", "loops", "--size", "1440x900", "--scale", "2"]).contains("900x540 points"));
    assert!(ask(&["--page", "loops", "--scale", "9"]).contains("a factor from 0.5 to 4"));
    assert!(ask(&["--page", "mission", "--beneath", "moon/flight"]).contains("no mission case is called"));
    assert!(ask(&["--page", "loops", "--case", "moon/hover"]).contains("no case is called"));
    assert!(ask(&["--page", "loops", "--variant", "none"]).contains("no variant is called"));
}
