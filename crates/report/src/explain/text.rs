//! Explanations as text within 100 columns.

use super::explanation::Explanation;
use correlations::Evaluated;
use std::fmt::Write as _;

/// Width that every line keeps to, as far as its words allow.
const WIDTH: usize = 100;

/// Explanations as text.
pub fn text(explanations: &[Explanation]) -> String {
    let mut text = String::from("Explanation: which law gave each number\n");
    let mut heading = String::new();
    for one in explanations {
        let wanted = if one.circuit.is_empty() {
            one.place.clone()
        } else {
            format!("{} / {}", one.circuit, one.place)
        };
        if wanted != heading {
            let _infallible = writeln!(text, "\n{wanted}");
            heading = wanted;
        }
        line(&mut text, 2, &format!("{}, level {}: {}", one.what, one.level.word(), one.law));
        line(&mut text, 4, &format!("source: {}", one.source.as_deref().unwrap_or("none stated")));
        for relation in &one.relations {
            relation_text(&mut text, relation, one.source.as_deref());
        }
        for result in &one.results {
            line(&mut text, 4, result);
        }
    }
    text
}

fn relation_text(text: &mut String, relation: &Evaluated, known: Option<&str>) {
    let inputs: Vec<String> =
        relation.inputs.iter().map(|(name, value)| format!("{name} {}", significant(*value))).collect();
    let verdict = if relation.in_range { "inside" } else { "OUTSIDE" };
    line(
        text,
        4,
        &format!(
            "{} = {} by {}, {verdict} its range",
            relation.quantity,
            with_unit(relation.value, relation.unit),
            relation.name
        ),
    );
    line(text, 6, &format!("from {}", inputs.join(", ")));
    for step in &relation.chain {
        line(text, 6, &format!("{} = {} by {}", step.quantity, with_unit(step.value, step.unit), step.by));
    }
    for out in &relation.out_of_range {
        let [value, low, high] = [out.value, out.low, out.high].map(significant);
        line(text, 6, &format!("outside: {} {value} is not within {low} to {high}", out.name));
    }
    line(text, 6, &format!("range: {}", relation.range));
    line(text, 6, &format!("scatter: {}", relation.scatter));
    if known != Some(relation.source) {
        line(text, 6, &format!("source: {}", relation.source));
    }
}

fn with_unit(value: f64, unit: &str) -> String {
    let number = significant(value);
    if unit == "-" { number } else { format!("{number} {unit}") }
}

/// Five significant digits, without an exponent where that stays short.
fn significant(value: f64) -> String {
    let size = value.abs();
    if size == 0.0 {
        "0".to_owned()
    } else if (1e-3..1e6).contains(&size) {
        let decimals = (4 - size.log10().floor() as i32).clamp(0, 7) as usize;
        format!("{value:.decimals$}")
    } else {
        format!("{value:.4e}")
    }
}

/// A line, broken at blanks; what follows a break stands two columns further in.
fn line(text: &mut String, indent: usize, words: &str) {
    let mut row = " ".repeat(indent);
    let mut is_empty = true;
    for word in words.split(' ') {
        if !is_empty && row.chars().count() + 1 + word.chars().count() > WIDTH {
            let _infallible = writeln!(text, "{row}");
            row = " ".repeat(indent + 2);
            is_empty = true;
        }
        if !is_empty {
            row.push(' ');
        }
        row.push_str(word);
        is_empty = false;
    }
    let _infallible = writeln!(text, "{row}");
}

#[cfg(test)]
mod tests {
    use super::{WIDTH, line, significant};

    #[test]
    fn five_digits_at_every_size() {
        for (value, shown) in [
            (0.0, "0"),
            (0.026151429, "0.026151"),
            (156.3317, "156.33"),
            (20000.0, "20000"),
            (1.5e-6, "1.5000e-6"),
            (f64::NAN, "NaN"),
        ] {
            assert_eq!(significant(value), shown);
        }
    }

    #[test]
    fn a_long_line_breaks_at_blanks_and_loses_no_word() {
        let words = "one two three four five six seven eight nine ten ".repeat(6);
        let mut text = String::new();
        line(&mut text, 4, words.trim_end());
        let rows: Vec<&str> = text.lines().collect();
        // 293 characters and three blanks less in rows of 96 and 94: four rows
        assert!(rows.len() == 4 && rows.iter().all(|row| row.len() <= WIDTH), "{text}");
        assert!(rows[0].starts_with("    one") && rows[1].starts_with("      "));
        assert_eq!(text.split_whitespace().count(), 60);
    }
}
