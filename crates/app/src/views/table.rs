//! A measured table edited as a grid: typed, pasted from a spreadsheet or loaded; mistakes stand beside their cells, and nothing is taken
//! over before there is none.

use aircraft::tables::{CellProblem, Form, Table};
use egui::text::{CCursor, CCursorRange};
use egui::text_edit::TextEditState;
use egui::{
    self, Align, Button, Event, Id, Key, Label, Layout, Modifiers, RichText, Role, ScrollArea, Stroke,
    TextEdit, Ui, Vec2, WidgetInfo,
};
use egui_extras::{Column, TableBuilder};
use schema::Evidence;

use crate::command::{Command, TableCommand};
use crate::look;

/// A table while it is edited.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableEdit {
    /// The table as it is typed.
    pub table: Table,
    /// The table as it stands in the project.
    pub before: Table,
    /// What is wrong with it.
    pub problems: Vec<CellProblem>,
    /// What became of the last paste or file; empty if there is nothing to say.
    pub note: String,
    /// The cell the keys are in, or were last.
    pub cell: Option<(usize, usize)>,
}

impl TableEdit {
    /// A table that stands in the project.
    pub fn new(table: Table) -> Self {
        Self { before: table.clone(), table, problems: Vec::new(), note: String::new(), cell: None }
    }

    /// Whether there is something to take over.
    pub fn is_changed(&self) -> bool {
        self.table != self.before
    }
}

/// Draws the ways to the tables of a device or machine.
pub fn tables_ui(ui: &mut Ui, owner: &str, tables: &[(String, String)], commands: &mut Vec<Command>) {
    for (name, path) in tables {
        let command = TableCommand::Edit(path.clone());
        let response = ui.add(Button::new(RichText::new(format!("{name} table")).small()));
        let label = format!("Edit the table {name} of {owner}");
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
        if response.on_hover_text(format!("{label}\n{}", command.tooltip())).clicked() {
            commands.push(Command::Table(command));
        }
    }
}

/// Widths in points: the number of a row, a cell.
const NUMBER: f32 = 34.0;
const CELL: f32 = 128.0;
/// Problems that are listed below the grid.
const LISTED: usize = 6;

/// Draws the table that is edited.
pub fn table_ui(ui: &mut Ui, edit: &mut TableEdit, height: f32, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    paste(ui, edit, commands);
    ui.add(Label::new(RichText::new(edit.table.doc).color(colors.soft)).wrap());
    units_ui(ui, edit, commands);
    ui.add_space(look::space::NEAR);
    grid_ui(ui, edit, (height - 190.0).max(140.0), commands);
    ui.add_space(look::space::NEAR);
    rows_ui(ui, edit, commands);
    pedigree_ui(ui, &mut edit.table, commands);
    problems_ui(ui, edit);
    end_ui(ui, edit, commands);
}

/// Cells from the clipboard: more than one cell, or a head, is put into the grid; a single cell belongs to the field with the keys.
fn paste(ui: &Ui, edit: &mut TableEdit, commands: &mut Vec<Command>) {
    let pasted = ui.input_mut(|input| {
        let is_block =
            |event: &Event| matches!(event, Event::Paste(text) if text.trim().contains(['\n', '\t', ';']));
        let at = input.events.iter().position(is_block)?;
        match input.events.remove(at) {
            Event::Paste(text) => Some(text),
            _ => None,
        }
    });
    let Some(text) = pasted else { return };
    match project::delimited::cells(text.as_bytes()) {
        Ok(block) => take_block(ui, edit, &block),
        Err(error) => edit.note = format!("Not pasted: {error}"),
    }
    commands.push(Command::Table(TableCommand::Check));
}

/// A block that begins at the first cell, or that has the width of the table and a head, is the whole table; any other begins at the
/// marked cell.
fn take_block(ui: &Ui, edit: &mut TableEdit, block: &[Vec<String>]) {
    // the corner of a grid is no cell
    let first = if edit.table.form == Form::Grid { (0, 1) } else { (0, 0) };
    let at = focused(ui, edit).unwrap_or(first);
    let done = if at == first {
        edit.table
            .replace_all(block)
            .map(|()| format!("{} rows pasted in place of the whole table.", edit.table.cells.len()))
    } else {
        edit.table.put_from(at, block).map(|()| {
            format!("{} rows pasted, starting at {}.", block.len(), edit.table.place_of(at.0, at.1))
        })
    };
    edit.note = done.unwrap_or_else(|misfit| format!("Not pasted: {misfit}."));
}

fn cell_id(row: usize, at: usize) -> Id {
    Id::unique(("table cell", row, at))
}

/// The cell with the keys, if one has them.
fn focused(ui: &Ui, edit: &TableEdit) -> Option<(usize, usize)> {
    edit.cell.filter(|(row, at)| ui.memory(|memory| memory.has_focus(cell_id(*row, *at))))
}

/// One menu for each quantity: in what unit its bare numbers are.
fn units_ui(ui: &mut Ui, edit: &mut TableEdit, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.horizontal_wrapped(|ui| {
        for index in 0..edit.table.columns.len() {
            let column = edit.table.columns[index].clone();
            let units = edit.table.units_of(index);
            ui.label(RichText::new(&column.name).color(colors.soft).small()).on_hover_text(column.doc);
            let shown = if column.unit.is_empty() { "no unit" } else { &column.unit };
            let menu = ui.menu_button(shown, |ui| {
                for (head, convert) in [("The numbers are in", false), ("Convert the numbers to", true)] {
                    ui.label(RichText::new(head).small());
                    for unit in units.iter().filter(|unit| !convert || **unit != column.unit) {
                        let told = if unit.is_empty() { "no unit" } else { unit };
                        let text = if convert { format!("to {told}") } else { told.to_owned() };
                        if ui.selectable_label(!convert && *unit == column.unit, text).clicked() {
                            if convert {
                                edit.table.convert_to(index, unit);
                            } else {
                                edit.table.read_in(index, unit);
                            }
                            commands.push(Command::Table(TableCommand::Check));
                            ui.close();
                        }
                    }
                }
            });
            let name = format!("Unit of {}", column.name);
            menu.response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
            menu.response.on_hover_text(
                "Unit of numbers typed without one. A cell may carry its own unit, and keeps it.",
            );
            ui.add_space(look::space::STEP);
        }
    });
}

fn grid_ui(ui: &mut Ui, edit: &mut TableEdit, height: f32, commands: &mut Vec<Command>) {
    let width = edit.table.width();
    ScrollArea::horizontal().id_salt("table across").auto_shrink([false, true]).show(ui, |ui| {
        let mut builder = TableBuilder::new(ui)
            .id_salt("table")
            .striped(true)
            .cell_layout(Layout::left_to_right(Align::Center))
            .max_scroll_height(height)
            .column(Column::exact(NUMBER));
        for _ in 0..width {
            builder = builder.column(Column::exact(CELL));
        }
        builder.header(20.0, |mut header| heads_ui(&mut header, &edit.table)).body(|body| {
            let rows = edit.table.cells.len();
            body.rows(look::space::ROW, rows, |mut cells| {
                let row = cells.index();
                cells.col(|ui| {
                    let number = match edit.table.form {
                        Form::Columns => (row + 1).to_string(),
                        Form::Grid if row == 0 => String::new(),
                        Form::Grid => row.to_string(),
                    };
                    ui.label(RichText::new(number).color(look::palette(ui).soft).small());
                });
                for at in 0..width {
                    cells.col(|ui| cell_ui(ui, edit, (row, at), commands));
                }
            });
        });
    });
}

fn heads_ui(header: &mut egui_extras::TableRow<'_, '_>, table: &Table) {
    header.col(|_ui| ());
    for at in 0..table.width() {
        header.col(|ui| {
            let text = match table.form {
                Form::Columns => table.columns.get(at).map_or(String::new(), named),
                Form::Grid if at == 0 => table.columns.first().map_or(String::new(), named),
                Form::Grid if at == 1 => table.columns.get(1).map_or(String::new(), named),
                Form::Grid => String::new(),
            };
            let label = Label::new(RichText::new(text).color(look::palette(ui).soft).small());
            ui.add(label.truncate());
        });
    }
}

fn named(column: &aircraft::tables::Column) -> String {
    if column.unit.is_empty() { column.name.clone() } else { format!("{}, {}", column.name, column.unit) }
}

fn cell_ui(ui: &mut Ui, edit: &mut TableEdit, (row, at): (usize, usize), commands: &mut Vec<Command>) {
    if edit.table.column_of(row, at).is_none() {
        return;
    }
    let colors = look::palette(ui);
    let problem = edit.problems.iter().find(|problem| problem.cell == Some((row, at))).map(CellProblem::text);
    let place = edit.table.place_of(row, at);
    let Some(text) = edit.table.cells.get_mut(row).and_then(|line| line.get_mut(at)) else { return };
    let id = cell_id(row, at);
    let count = text.chars().count();
    let mut output = TextEdit::singleline(text)
        .id(id)
        .desired_width(CELL - 14.0)
        .margin(egui::Margin::symmetric(4, 2))
        .align(egui::Align2::RIGHT_CENTER)
        .text_color(if problem.is_some() { colors.bad } else { colors.ink })
        .show(ui);
    let response = output.response.response;
    let opens = edit.cell.is_none();
    if response.gained_focus() || opens {
        // the whole number is marked, so that typing replaces it
        let all = CCursorRange::two(CCursor::new(0), CCursor::new(count));
        output.state.cursor.set_char_range(Some(all));
        output.state.store(ui.ctx(), id);
    }
    if problem.is_some() {
        let around = response.rect.expand(1.0);
        ui.painter().rect_stroke(around, 3.0, Stroke::new(1.5, colors.bad), egui::StrokeKind::Outside);
    }
    if response.has_focus() {
        edit.cell = Some((row, at));
    } else if edit.cell.is_none() {
        // the first cell has the keys when the table opens
        edit.cell = Some((row, at));
        response.request_focus();
    }
    if response.has_focus() || response.lost_focus() {
        move_on(ui, edit, (row, at));
    }
    if response.lost_focus() || response.changed() {
        commands.push(Command::Table(TableCommand::Check));
    }
    let name = match problem {
        Some(problem) => format!("{place}: {problem}"),
        None => place,
    };
    response.on_hover_text(name);
}

/// Enter and the arrow keys go to the cell below or above. The key is used up, so that the next cell does not go on with it.
fn move_on(ui: &Ui, edit: &TableEdit, (row, at): (usize, usize)) {
    let pressed = |key: Key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    let down = pressed(Key::ArrowDown) || pressed(Key::Enter);
    let up = !down && pressed(Key::ArrowUp);
    if !(down || up) {
        return;
    }
    let next = if down { row + 1 } else { row.wrapping_sub(1) };
    if next >= edit.table.cells.len() || edit.table.column_of(next, at).is_none() {
        return;
    }
    let id = cell_id(next, at);
    ui.memory_mut(|memory| memory.request_focus(id));
    if let Some(mut state) = TextEditState::load(ui.ctx(), id) {
        let count = edit.table.cells[next].get(at).map_or(0, |text| text.chars().count());
        state.cursor.set_char_range(Some(CCursorRange::two(CCursor::new(0), CCursor::new(count))));
        state.store(ui.ctx(), id);
    }
}

/// What changes the number of rows and columns, and the ways in and out.
fn rows_ui(ui: &mut Ui, edit: &mut TableEdit, commands: &mut Vec<Command>) {
    let last = edit.table.cells.len().saturating_sub(1);
    let row = edit.cell.map_or(last, |(row, _)| row.min(last));
    ui.horizontal_wrapped(|ui| {
        let mut changed = false;
        let mut button = |ui: &mut Ui, label: &str, hint: &str| {
            let clicked = ui.button(label).on_hover_text(hint).clicked();
            changed |= clicked;
            clicked
        };
        if button(ui, "Add row", "Insert an empty row after the selected one") {
            edit.table.add_row(row);
        }
        if button(ui, "Remove row", "Remove the row of the selected cell") {
            edit.table.remove_row(row);
        }
        if edit.table.form == Form::Grid {
            if button(ui, "Add column", "Add an empty column at the end") {
                edit.table.add_column();
            }
            if button(ui, "Remove column", "Remove the last column") {
                edit.table.remove_column();
            }
        }
        if changed {
            commands.push(Command::Table(TableCommand::Check));
        }
        for command in [TableCommand::Load, TableCommand::Copy] {
            if ui.button(command.label()).on_hover_text(command.tooltip()).clicked() {
                commands.push(Command::Table(command));
            }
        }
        let text = "Ctrl+V pastes copied cells from the selected cell on; at the first cell it replaces the whole table.";
        ui.label(RichText::new(text).color(look::palette(ui).soft).small());
    });
    if !edit.note.is_empty() {
        ui.add(Label::new(RichText::new(&edit.note).small()).wrap());
    }
}

/// Where the numbers come from.
fn pedigree_ui(ui: &mut Ui, table: &mut Table, commands: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| {
        let label = ui.label(RichText::new("Source of the numbers").small());
        let field =
            TextEdit::singleline(&mut table.source).id(Id::unique("table source")).desired_width(250.0);
        if ui.add(field).labelled_by(label.id).changed() {
            commands.push(Command::Table(TableCommand::Check));
        }
        for evidence in Evidence::ALL {
            if ui.selectable_label(table.evidence == evidence, evidence.word()).clicked() {
                table.evidence = evidence;
                commands.push(Command::Table(TableCommand::Check));
            }
        }
    });
}

fn problems_ui(ui: &mut Ui, edit: &TableEdit) {
    let colors = look::palette(ui);
    for problem in edit.problems.iter().take(LISTED) {
        let place = problem.cell.map(|(row, at)| format!("{}: ", edit.table.place_of(row, at)));
        let text = format!("{}{}", place.unwrap_or_default(), problem.text());
        ui.add(Label::new(RichText::new(text).color(colors.bad).small()).wrap());
    }
    if edit.problems.len() > LISTED {
        ui.label(
            RichText::new(format!("and {} more", edit.problems.len() - LISTED)).color(colors.bad).small(),
        );
    }
}

fn end_ui(ui: &mut Ui, edit: &TableEdit, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        let why =
            if edit.is_changed() { "Correct the marked cells first" } else { "Nothing has changed yet" };
        let can = edit.is_changed() && edit.problems.is_empty();
        let take = TableCommand::TakeOver;
        let response = ui.add_enabled(can, Button::new(take.label()).min_size(Vec2::new(96.0, 24.0)));
        if response.on_hover_text(take.tooltip()).on_disabled_hover_text(why).clicked() {
            commands.push(Command::Table(take));
        }
        if edit.is_changed() {
            let back = TableCommand::Restore;
            if ui.button(back.label()).on_hover_text(back.tooltip()).clicked() {
                commands.push(Command::Table(back));
            }
        }
    });
}
