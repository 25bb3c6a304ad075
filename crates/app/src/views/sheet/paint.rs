//! Drawing a sheet.

use egui::{Align, Grid, Label, Layout, RichText, ScrollArea, Ui};

use super::SheetData;
use crate::look;

/// Draws a sheet below its title; its number tells sheets of one page apart.
pub fn sheet_ui(ui: &mut Ui, number: usize, data: &SheetData) {
    let colors = look::palette(ui);
    ui.label(RichText::new(&data.title).color(colors.ink).size(look::size::TITLE));
    ScrollArea::horizontal().id_salt(("sheet", number)).show(ui, |ui| {
        let grid = Grid::new(("cells of sheet", number, &data.title)).striped(true).spacing([16.0, 4.0]);
        grid.show(ui, |ui| {
            for column in &data.shown.columns {
                let head = RichText::new(&column.head).color(colors.soft).small();
                cell_ui(ui, head, column.is_right);
            }
            ui.end_row();
            for row in &data.shown.rows {
                for (column, cell) in data.shown.columns.iter().zip(row) {
                    // said in words as well: the cell itself says that it is short
                    let color = if cell.is_short { colors.bad } else { colors.ink };
                    cell_ui(ui, RichText::new(&cell.text).color(color), column.is_right);
                }
                ui.end_row();
            }
        });
    });
}

fn cell_ui(ui: &mut Ui, text: RichText, is_number: bool) {
    if is_number {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| ui.add(Label::new(text).extend()));
    } else {
        ui.add(Label::new(text).extend());
    }
}
