//! Drawing an answer: curves, sentences, tables.

use egui::{Align, Grid, Label, Layout, RichText, ScrollArea, Ui};

use super::data::TradesData;
use crate::look;
use crate::views::chart::{Frame, chart_ui};
use crate::views::sheet::SheetData;

const CHART: f32 = 300.0;

pub(super) fn answer_ui(ui: &mut Ui, data: &TradesData) {
    let colors = look::palette(ui);
    if let Some(reason) = &data.refused {
        ui.add(Label::new(RichText::new(reason).color(colors.bad)).wrap());
        return;
    }
    if let Some(chart) = &data.chart {
        chart_ui(ui, chart, Frame { height: CHART, lines: &[] });
        ui.add_space(look::space::STEP);
    }
    for note in &data.notes {
        ui.add(Label::new(RichText::new(note).color(colors.soft)).wrap());
    }
    ui.add_space(look::space::NEAR);
    for (number, sheet) in data.sheets.iter().enumerate() {
        sheet_ui(ui, number, sheet);
        ui.add_space(look::space::GROUP);
    }
}

fn sheet_ui(ui: &mut Ui, number: usize, data: &SheetData) {
    let colors = look::palette(ui);
    ui.label(RichText::new(&data.title).color(colors.ink).size(look::size::TITLE));
    ScrollArea::horizontal().id_salt(("sheet", number)).show(ui, |ui| {
        let grid = Grid::new(("trades", number, &data.title)).striped(true).spacing([16.0, 4.0]);
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
