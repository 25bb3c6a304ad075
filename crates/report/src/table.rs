//! Plain tables that stay inside 100 columns.

use comfy_table::{CellAlignment, ContentArrangement, Table};

/// Width that every table keeps to.
const WIDTH: u16 = 100;

/// A table from its head and rows; the columns named in `numbers` are set to the right.
pub(crate) fn table(head: &[&str], numbers: &[usize], rows: Vec<Vec<String>>) -> String {
    let mut table = Table::new();
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
