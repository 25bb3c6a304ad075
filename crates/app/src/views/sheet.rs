//! Sheets of the report as the window shows them.

mod paint;

use report::sheet::{Sheet, Shown, Style};

use crate::clock::clock;

pub use paint::sheet_ui;

/// How the window writes: true minus signs, its own clock, verdicts in small letters, units set off in the heads.
const STYLE: Style = Style { minus: '\u{2212}', clock, is_zero_plain: true, is_quiet: true, head };

/// A sheet and what is shown of it, worked out once.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SheetData {
    /// The sheet, with its numbers.
    pub sheet: Sheet,
    /// What it shows, with a capital.
    pub title: String,
    /// Heads and cells.
    pub shown: Shown,
}

impl From<Sheet> for SheetData {
    fn from(sheet: Sheet) -> Self {
        Self { title: sentence(&sheet.title), shown: sheet.shown(&STYLE), sheet }
    }
}

/// The head of a column with its unit set off: `Dry, kg`.
fn head(words: &str, unit: &str) -> String {
    match (words, unit) {
        ("", unit) => unit.to_owned(),
        (words, "") => sentence(words),
        (words, unit) => format!("{}, {unit}", sentence(words)),
    }
}

/// With a capital at its beginning, except where that is the path or symbol of something.
fn sentence(text: &str) -> String {
    let first = text.split(' ').next().unwrap_or_default();
    let is_word = first.trim_end_matches(',').chars().all(|c| c.is_lowercase() || c == '-');
    let mut letters = text.chars();
    match letters.next() {
        Some(letter) if is_word => letter.to_uppercase().chain(letters).collect(),
        _ => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use report::sheet::{Cell, Column};
    use units::Kind;

    /// 5 min 59.3 s, and an hour and a second; the first is 5:59 and the second 60:01.
    #[test]
    fn sheets_are_told_in_the_numbers_of_the_window() {
        let columns = [
            Column::text("variant"),
            Column::mixed("margin").signed(),
            Column::time("at_s").head("at"),
            Column::number("dry_kg", Kind::Mass, "kg", 2).head("dry"),
            Column::text("path").head("heats.heater.law"),
        ];
        let row = |name: &str, margin_k, at_s| {
            let margin = Cell::Own(Kind::TemperatureDifference, margin_k);
            vec![name.into(), margin, Cell::Time(at_s), 1.5.into(), "x".into()]
        };
        let rows = [row("low-resistance cells", -35.0, 359.3), row("at - 2", 35.0, 3601.0)];
        let data = SheetData::from(Sheet::new("closest limits", columns).with_rows(rows));
        let heads: Vec<&str> = data.shown.columns.iter().map(|column| column.head.as_str()).collect();
        assert_eq!(heads, ["Variant", "Margin", "At", "Dry, kg", "heats.heater.law"]);
        let cell = |row: usize, column: usize| data.shown.rows[row][column].text.as_str();
        assert_eq!((cell(0, 1), cell(1, 1)), ("\u{2212}35.0 K", "+35.0 K"));
        assert_eq!((cell(0, 2), cell(1, 2)), ("5:59", "60:01"));
        assert_eq!((cell(0, 0), cell(1, 0)), ("low-resistance cells", "at - 2"));
        assert_eq!(data.title, "Closest limits");
    }
}
