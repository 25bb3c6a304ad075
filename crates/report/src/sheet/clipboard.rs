//! Sheets as text for the clipboard, which spreadsheets take: a tab between cells, a line for each row, units in the heads.
//!
//! Every column stands apart. Numbers are in the unit of the head, with all their digits; those of columns whose rows differ in kind are in
//! SI, as their column of units says. Absent, not finite and texts are told as in [`csv`](super::csv); tabs and line breaks inside of a text
//! are escapes too.

use super::{Cell, Column, Sheet, text_cell};

/// Sheets under their titles, an empty line between them.
pub fn clipboard(sheets: &[Sheet]) -> String {
    let mut text = String::new();
    for (number, sheet) in sheets.iter().enumerate() {
        if number > 0 {
            text.push('\n');
        }
        if !sheet.title.is_empty() {
            line(&mut text, [inside(&sheet.title)]);
        }
        line(&mut text, sheet.columns.iter().map(|column| inside(&head(column))));
        for row in &sheet.rows {
            line(&mut text, sheet.columns.iter().zip(row).map(|(column, cell)| written(column, cell)));
        }
    }
    text
}

fn line(text: &mut String, cells: impl IntoIterator<Item = String>) {
    for (number, cell) in cells.into_iter().enumerate() {
        if number > 0 {
            text.push('\t');
        }
        text.push_str(&cell);
    }
    text.push('\n');
}

/// Words and unit.
fn head(column: &Column) -> String {
    match column.unit_name() {
        "" => column.head.clone(),
        unit if column.head.is_empty() => unit.to_owned(),
        unit => format!("{}, {unit}", column.head),
    }
}

fn written(column: &Column, cell: &Cell) -> String {
    match cell {
        Cell::Absent => String::new(),
        Cell::Text(text) => inside(text),
        Cell::Flag(flag) => flag.to_string(),
        Cell::Standing(standing) => standing.words().to_owned(),
        Cell::Number(_) | Cell::Own(..) | Cell::Time(_) => {
            column.number_of(cell).map_or_else(String::new, |value| format!("{value:?}"))
        }
    }
}

/// A text that stays inside of its cell.
fn inside(text: &str) -> String {
    text_cell(text).replace('\t', "\\u0009").replace('\n', "\\u000a")
}
