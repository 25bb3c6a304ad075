//! A sheet as a table of plain text that stays inside 100 columns; what is too wide folds.

use super::{Sheet, Style};
use comfy_table::{CellAlignment, ContentArrangement};

/// Width that every table keeps to.
const WIDTH: u16 = 100;

impl Sheet {
    /// As text, without the title, an empty line behind it.
    pub fn text(&self) -> String {
        let shown = self.shown(&Style::PAGE);
        let mut table = comfy_table::Table::new();
        table.load_style(comfy_table::presets::ASCII_BORDERS_ONLY_CONDENSED);
        table.set_content_arrangement(ContentArrangement::Dynamic);
        table.set_width(WIDTH);
        table.set_header(shown.columns.iter().map(|column| column.head.as_str()));
        for row in &shown.rows {
            table.add_row(row.iter().map(|cell| cell.text.as_str()));
        }
        for (number, column) in shown.columns.iter().enumerate() {
            if let Some(shown) = table.column_mut(number).filter(|_| column.is_right) {
                shown.set_cell_alignment(CellAlignment::Right);
            }
        }
        let mut text: String = table.lines().map(|line| line.trim_end().to_owned() + "\n").collect();
        text.push('\n');
        text
    }
}

/// Several sheets, one after the other.
pub(crate) fn texts(sheets: &[Sheet]) -> String {
    sheets.iter().map(Sheet::text).collect()
}
