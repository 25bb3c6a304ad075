//! Large files are read in a time that grows with their size only.

use std::fmt::Write as _;
use std::time::{Duration, Instant};

use project::{parse, write};

/// Ten megabytes of short records; one line, or one record a line.
fn large(separator: &str) -> String {
    let mut text = String::with_capacity(11_000_000);
    text.push_str("Project(hoses: [");
    for n in 0.. {
        if text.len() > 10_000_000 {
            break;
        }
        write!(text, "Hose(name: \"hose {n}\", length: \"1.5 m\", speed: {n}.25, kind: Rubber),{separator}")
            .expect("strings take all text");
    }
    text.push_str("])");
    text
}

/// Far more than a busy machine needs; what grows with the square of the length would take hours.
const ALLOWED: Duration = Duration::from_mins(2);

#[test]
fn ten_megabytes_are_read_quickly() {
    for separator in ["\n", " "] {
        let text = large(separator);
        let start = Instant::now();
        let (node, problems) = parse(text.as_bytes());
        let taken = start.elapsed();
        assert!(problems.is_empty() && node.is_some());
        assert!(taken < ALLOWED, "{taken:?} with separator {separator:?}");
        println!("read in {taken:?} with separator {separator:?}");
        let written = write(&node.unwrap());
        assert!(written.len() > 9_000_000);
    }
}

#[test]
fn ten_megabytes_of_mistakes_are_read_quickly() {
    for piece in ["[", "(", "\"", "a: ", "' ", "1 2 ", "/*", ")", "((a,", "\\", "\"\n"] {
        let text = piece.repeat(10_000_000 / piece.len() / 10);
        let start = Instant::now();
        let (_, problems) = parse(text.as_bytes());
        let taken = start.elapsed();
        assert!(!problems.is_empty(), "{piece:?}");
        assert!(taken < ALLOWED, "{taken:?} for {piece:?}");
    }
}
