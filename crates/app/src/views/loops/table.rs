//! The device table, edited in place.

use egui::{self, Align, Layout, RichText, Role, Sense, TextWrapMode, Ui, WidgetInfo};
use egui_extras::{Column, TableBuilder, TableRow};

use super::data::{DeviceRow, DeviceTable};
use crate::command::{Command, Overlay};
use crate::look;
use crate::views::field::{self, Drafts, InputField, free_input_ui, input_ui};
use crate::views::figure::{Figure, figure_ui, follow_focus, number_head_ui, text_head_ui};
use crate::views::table::tables_ui;

const NUMBERS: [&str; 6] = ["Flow", "In", "Out", "Pressure out", "Drop", "Heat"];
/// Height of a row with a name and a kind.
const MIN_HEIGHT: f32 = 38.0;
/// Widths of the number columns.
const WIDTHS: [f32; 6] = [54.0, 50.0, 50.0, 76.0, 54.0, 58.0];

/// Draws the table; a click on a name selects the device.
pub fn device_table_ui(
    ui: &mut Ui,
    table: &DeviceTable,
    selected: Option<&str>,
    drafts: &mut Drafts,
    commands: &mut Vec<Command>,
) {
    if !table.inputs.is_empty() {
        ui.horizontal_wrapped(|ui| {
            for input in &table.inputs {
                free_input_ui(ui, "Whole loop", input, drafts, commands);
            }
        });
        ui.separator();
    }
    let gaps = ui.spacing().item_spacing.x * (NUMBERS.len() + 1) as f32;
    let name_width = if ui.available_width() > 1100.0 { 190.0 } else { 132.0 };
    let rest = ui.available_width() - name_width - WIDTHS.iter().sum::<f32>() - gaps - 12.0;
    let columns = field::columns(rest - look::space::STEP);
    let per_line = columns.0;
    let mut builder = TableBuilder::new(ui)
        .striped(true)
        .sense(Sense::hover())
        .cell_layout(Layout::left_to_right(Align::Center))
        .auto_shrink([false, false])
        .min_scrolled_height(80.0)
        .column(Column::exact(name_width).clip(true));
    for width in WIDTHS {
        builder = builder.column(Column::exact(width));
    }
    builder
        .column(Column::remainder().clip(true))
        .header(34.0, |mut header| header_ui(&mut header, table))
        .body(|mut body| {
            for row in &table.rows {
                let lines = row.inputs.len().div_ceil(per_line) + usize::from(!row.tables.is_empty());
                let problems =
                    row.inputs.chunks(per_line).filter(|line| problem(line, drafts).is_some()).count();
                let height = (look::space::ROW * lines as f32 + 4.0).max(MIN_HEIGHT) + 16.0 * problems as f32;
                body.row(height, |mut cells| {
                    cells.set_selected(selected == Some(row.name.as_str()));
                    row_ui(&mut cells, row, columns, drafts, commands);
                });
            }
        });
}

fn header_ui(header: &mut TableRow<'_, '_>, table: &DeviceTable) {
    let units = [
        &table.flow_unit,
        &table.temperature_unit,
        &table.temperature_unit,
        &table.pressure_unit,
        &table.pressure_unit,
        &table.heat_unit,
    ];
    header.col(|ui| text_head_ui(ui, "Device"));
    for (name, unit) in NUMBERS.iter().zip(units) {
        header.col(|ui| number_head_ui(ui, name, unit));
    }
    header.col(|ui| {
        ui.add_space(look::space::GROUP);
        text_head_ui(ui, "Inputs, with the unit as typed");
    });
}

fn row_ui(
    cells: &mut TableRow<'_, '_>,
    row: &DeviceRow,
    (per_line, widths): (usize, (f32, f32)),
    drafts: &mut Drafts,
    commands: &mut Vec<Command>,
) {
    cells.col(|ui| {
        name_ui(ui, row, commands);
        follow_focus(ui);
    });
    let numbers: [&Figure; 6] = [&row.flow, &row.inlet, &row.outlet, &row.pressure, &row.drop, &row.heat];
    for (name, figure) in NUMBERS.iter().zip(numbers) {
        cells.col(|ui| {
            figure_ui(ui, figure, &format!("{}, {name}", row.name), commands);
            follow_focus(ui);
        });
    }
    cells.col(|ui| {
        ui.with_layout(Layout::top_down(Align::Min), |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            ui.add_space(2.0);
            for line in row.inputs.chunks(per_line) {
                ui.horizontal(|ui| {
                    ui.spacing_mut().item_spacing.x = look::space::NEAR;
                    ui.add_space(look::space::STEP);
                    for input in line {
                        input_ui(ui, &row.name, input, widths, drafts, commands);
                    }
                });
                if let Some(reason) = problem(line, drafts) {
                    let colors = look::palette(ui);
                    let text = RichText::new(reason).color(colors.bad).size(look::size::SMALL);
                    ui.add(egui::Label::new(text).wrap_mode(TextWrapMode::Truncate));
                }
            }
            if !row.tables.is_empty() {
                ui.horizontal(|ui| {
                    ui.set_min_height(look::space::ROW);
                    ui.add_space(look::space::STEP + look::space::NEAR);
                    tables_ui(ui, &row.name, &row.tables, commands);
                });
            }
        });
        follow_focus(ui);
    });
}

/// The reasons for which texts on this line were refused.
fn problem(line: &[InputField], drafts: &Drafts) -> Option<String> {
    let reasons: Vec<String> = line
        .iter()
        .filter_map(|input| {
            let reason = drafts.get(&input.path)?.problem.as_ref()?;
            Some(format!("{}: {reason}", input.label))
        })
        .collect();
    (!reasons.is_empty()).then(|| reasons.join("; "))
}

fn name_ui(ui: &mut Ui, row: &DeviceRow, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.with_layout(Layout::top_down(Align::Min), |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.add_space(4.0);
        let place = match &row.branch {
            Some(branch) => format!("{} · {branch}", row.kind),
            None => row.kind.clone(),
        };
        let command = Command::SelectDevice(row.name.clone());
        let label = egui::Label::new(&row.name).wrap_mode(TextWrapMode::Truncate).sense(Sense::click());
        let response = ui.add(label).on_hover_text(format!("{}\n{place}", row.name));
        if response.clicked() {
            commands.push(command);
        }
        ui.horizontal(|ui| {
            if row.duty.is_some() {
                duty_link_ui(ui, &row.name, commands);
            }
            let small = RichText::new(place).color(colors.soft).size(look::size::SMALL);
            ui.add(egui::Label::new(small).wrap_mode(TextWrapMode::Truncate));
        });
    });
}

/// The way to the curve of a pump or fan.
fn duty_link_ui(ui: &mut Ui, machine: &str, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    let command = Command::Open(Overlay::Duty(machine.to_owned()));
    let text = RichText::new(command.label()).color(colors.accent).size(look::size::SMALL);
    let response = ui.add(egui::Label::new(text).sense(Sense::click()));
    response
        .widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{machine}: {}", command.label())));
    let response = response.on_hover_cursor(egui::CursorIcon::PointingHand);
    if response.on_hover_text(command.tooltip()).clicked() {
        commands.push(command);
    }
}
