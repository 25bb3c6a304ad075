//! Drawing an answer: curves, sentences, tables.

use egui::{Label, RichText, Ui};

use super::data::TradesData;
use crate::look;
use crate::views::chart::{Frame, chart_ui};
use crate::views::sheet::sheet_ui;

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
