//! Plain tables that stay inside 100 columns.

use comfy_table::{CellAlignment, ContentArrangement};

/// Width that every table keeps to.
const WIDTH: u16 = 100;

/// Cells of a result as they are shown, for those who draw them otherwise than as text.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// What it shows.
    pub title: String,
    /// Head of each column.
    pub head: Vec<String>,
    /// Columns of numbers, which are set to the right.
    pub numbers: Vec<usize>,
    /// Rows of as many cells as the head has.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    pub(crate) fn new(title: &str, head: &[&str], numbers: &[usize], rows: Vec<Vec<String>>) -> Self {
        let head = head.iter().map(|&cell| cell.to_owned()).collect();
        Self { title: title.to_owned(), head, numbers: numbers.to_vec(), rows }
    }

    /// As text, without the title.
    pub(crate) fn text(self) -> String {
        let head: Vec<&str> = self.head.iter().map(String::as_str).collect();
        table(&head, &self.numbers, self.rows)
    }
}

/// A table from its head and rows; the columns named in `numbers` are set to the right.
pub(crate) fn table(head: &[&str], numbers: &[usize], rows: Vec<Vec<String>>) -> String {
    let mut table = comfy_table::Table::new();
    table.load_style(comfy_table::presets::ASCII_BORDERS_ONLY_CONDENSED);
    table.set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(WIDTH);
    table.set_header(head.to_vec());
    for row in rows {
        table.add_row(row);
    }
    for &column in numbers {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let mut text: String = table.lines().map(|line| line.trim_end().to_owned() + "\n").collect();
    text.push('\n');
    text
}
