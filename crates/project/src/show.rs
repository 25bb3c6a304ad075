//! Problems as text for a terminal: place, message, the source line with a mark, remedy.

use std::fmt::Write as _;

use schema::{Place, Problem};

/// Longest part of a source line that is shown, in characters.
const SHOWN: usize = 120;

/// One problem with its source line. `text` is what [`crate::decode_text`] gives for the file.
///
/// ```text
/// rig.ron:4:13: error: loops.stator.path.hose.length: "2 degC" is a temperature, ...
///    4 |     length: "2 degC",
///      |             ^^^^^^^^
///      remedy: write a length, such as "12 mm"
/// ```
pub fn render_problem(problem: &Problem, text: &str, file_name: &str) -> String {
    let mut shown = file_name.to_owned();
    if let Some(place) = problem.place {
        add(&mut shown, format_args!(":{place}"));
    }
    add(&mut shown, format_args!(": {}: ", problem.severity));
    if !problem.path.is_empty() {
        add(&mut shown, format_args!("{}: ", problem.path));
    }
    add(&mut shown, format_args!("{}\n", problem.message));
    let margin = problem.place.map_or(2, |place| place.line.to_string().len() + 2);
    if let Some(place) = problem.place {
        source_line(&mut shown, text, place, margin);
    }
    if !problem.remedy.is_empty() {
        add(&mut shown, format_args!("{:margin$} remedy: {}\n", "", problem.remedy));
    }
    shown
}

fn source_line(shown: &mut String, text: &str, place: Place, margin: usize) {
    let Some(line) = text.lines().nth(place.line as usize - 1) else { return };
    let column = place.column as usize - 1;
    // Long lines are cut so that the marked part is in sight.
    let skipped = if column >= SHOWN { column - SHOWN / 2 } else { 0 };
    let visible: String =
        line.chars().skip(skipped).take(SHOWN).map(|c| if c.is_control() { ' ' } else { c }).collect();
    let indent = column - skipped;
    let length = (place.length as usize).min(SHOWN.saturating_sub(indent)).max(1);
    add(shown, format_args!("{:>margin$} | {}\n", place.line, visible.trim_end()));
    add(shown, format_args!("{:margin$} | {:indent$}{}\n", "", "", "^".repeat(length)));
}

fn add(text: &mut String, part: std::fmt::Arguments<'_>) {
    text.write_fmt(part).expect("writing to a string cannot fail");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mark_stands_under_the_value() {
        let text = "Project(\n\tlength: \"2 degC\",\n)";
        let problem = Problem::error("hose.length", "no length", "write \"2 m\"").at(Place::new(2, 10, 8));
        assert_eq!(
            render_problem(&problem, text, "rig.ron"),
            "rig.ron:2:10: error: hose.length: no length\n  2 |  length: \"2 degC\",\n    |          ^^^^^^^^\n    remedy: write \"2 m\"\n"
        );
    }

    #[test]
    fn long_lines_are_cut_around_the_mark() {
        let text = "x".repeat(5000);
        let shown = render_problem(&Problem::error("", "bad", "").at(Place::new(1, 3000, 4)), &text, "f");
        assert!(shown.lines().all(|line| line.chars().count() < SHOWN + 10), "{shown}");
        assert!(shown.contains("^^^^"));
    }

    #[test]
    fn no_place_no_source() {
        let shown = render_problem(&Problem::warning("pack", "cells are cold", "warm them"), "", "f.ron");
        assert_eq!(shown, "f.ron: warning: pack: cells are cold\n   remedy: warm them\n");
    }
}
