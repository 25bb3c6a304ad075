//! Measured tables as cells of text: read from a project, filled from a spreadsheet, checked cell by cell, and taken over as a whole.
//!
//! A bare number in a cell has the unit of its column; a cell with a unit of its own keeps it. Nothing reaches the project before every
//! cell is right and the project with the table holds.

mod fill;
mod put;

use crate::variant::project_shape;
use schema::{Evidence, Node, Path, RecordSchema, Shape, TableEntry, TableShape, Tree, list_tables, path};
use units::{Kind, Quantity, System, preferred_unit, units_of};

pub use fill::Misfit;
pub use put::{CellProblem, put};

/// How the cells of a table lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// One column for each quantity.
    Columns,
    /// Values over two axes: the first column and the first row are the axes, the corner is empty.
    Grid,
}

/// A quantity of a table. Of a grid the first is the axis of the first column, the second that of the first row, the third the values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its name.
    pub name: String,
    /// What it is.
    pub doc: &'static str,
    /// Its kind.
    pub kind: Kind,
    /// Unit of the bare numbers.
    pub unit: String,
}

/// A table as it is edited.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// Its address in the project.
    pub path: String,
    /// What it is.
    pub doc: &'static str,
    /// How its cells lie.
    pub form: Form,
    /// Its quantities.
    pub columns: Vec<Column>,
    /// Its cells, row after row; all rows are as long as the first.
    pub cells: Vec<Vec<String>>,
    /// Where the numbers come from; empty if that is not stated.
    pub source: String,
    /// What the numbers rest on.
    pub evidence: Evidence,
}

/// The tables of a project whose address begins with one of these, with their short name.
pub fn tables_under(entries: &[TableEntry], owners: &[&str]) -> Vec<(String, String)> {
    let inside = |path: &str, owner: &str| {
        path.strip_prefix(owner).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    let found = entries.iter().map(|entry| &entry.address);
    let found = found.filter(|path| owners.iter().any(|owner| inside(path, owner)));
    found.map(|path| (short_name(path), path.clone())).collect()
}

/// Whether an input is a cell of one of the tables, and not a number of its own.
pub fn is_cell(entries: &[TableEntry], path: &str) -> bool {
    entries.iter().any(|entry| {
        let Some(rest) = path.strip_prefix(&entry.address) else { return false };
        let Some(rest) = rest.strip_prefix('.') else { return false };
        match entry.shape {
            TableShape::Curve(..) | TableShape::Rows(_) => true,
            TableShape::Grid(record) => {
                let list = rest.split('.').next();
                record.fields.iter().take(3).any(|field| Some(field.name) == list)
            }
        }
    })
}

/// The last steps of an address that say what a table is: `curve`, `film`, `losses table 2`.
fn short_name(path: &str) -> String {
    let steps: Vec<&str> = path.split('.').collect();
    let is_number = |step: &str| step.bytes().all(|b| b.is_ascii_digit());
    match steps.as_slice() {
        [.., owner, list, number] if is_number(number) => {
            format!("{} {} {number}", owner.replace('_', " "), list.trim_end_matches('s'))
        }
        [.., owner, "points"] => owner.replace('_', " "),
        [.., last] => last.replace('_', " "),
        [] => String::new(),
    }
}

/// The table at an address, as it stands in the project; none if there is no table.
pub fn read(root: &Node, address: &str) -> Option<Table> {
    let wanted = Path::parse(address).ok()?;
    let entry = list_tables(root, project_shape()).into_iter().find(|entry| entry.path == wanted)?;
    let node = path::get(root, &wanted).ok()?.unwrapped();
    let mut table = empty(&entry);
    let nodes = nodes(node, entry.shape);
    table.choose_units(&nodes);
    table.cells = nodes
        .iter()
        .enumerate()
        .map(|(row, line)| {
            line.iter().enumerate().map(|(at, node)| table.cell_text(row, at, *node)).collect()
        })
        .collect();
    let first = nodes.iter().enumerate().flat_map(|(row, line)| {
        line.iter().enumerate().filter_map(move |(at, node)| node.map(|node| (row, at, node)))
    });
    let told = first.filter(|(row, at, _)| table.is_value(*row, *at)).map(|(.., node)| node).next();
    if let Some(node) = told {
        node.field("source").and_then(Node::as_text).unwrap_or_default().clone_into(&mut table.source);
        let word = node.field("evidence").and_then(|node| node.tag().map(str::to_owned));
        table.evidence =
            Evidence::ALL.into_iter().find(|known| Some(known.word()) == word.as_deref()).unwrap_or_default();
    }
    Some(table)
}

fn empty(entry: &TableEntry) -> Table {
    let column = |name: &str, doc: &'static str, kind: Kind| Column {
        name: name.replace('_', " "),
        doc: doc.trim(),
        kind,
        unit: preferred_unit(kind, System::Si).to_owned(),
    };
    let of_record = |record: &'static RecordSchema, count: usize| -> Vec<Column> {
        let fields = record.fields.iter().take(count);
        fields.filter_map(|field| Some(column(field.name, field.doc, kind_of((field.shape)())?))).collect()
    };
    let (form, columns) = match entry.shape {
        TableShape::Curve(x, y) => (
            Form::Columns,
            vec![column(x.name(), "Rises from row to row.", x), column(y.name(), entry.doc, y)],
        ),
        TableShape::Grid(record) => (Form::Grid, of_record(record, 3)),
        TableShape::Rows(record) => (Form::Columns, of_record(record, record.fields.len())),
    };
    Table {
        path: entry.address.clone(),
        doc: entry.doc.trim(),
        form,
        columns: distinct(columns),
        cells: Vec::new(),
        source: String::new(),
        evidence: Evidence::default(),
    }
}

/// Columns of the same name are told apart.
fn distinct(mut columns: Vec<Column>) -> Vec<Column> {
    if let [first, second] = columns.as_mut_slice()
        && first.name == second.name
    {
        second.name = format!("{} of it", second.name);
    }
    columns
}

fn kind_of(shape: Shape) -> Option<Kind> {
    match shape {
        Shape::Quantity(kind) => Some(kind),
        Shape::List(inner) => kind_of(inner()),
        _ => None,
    }
}

fn listed(node: Option<&Node>) -> &[Node] {
    match node.map(|node| &node.unwrapped().tree) {
        Some(Tree::List(items)) => items,
        _ => &[],
    }
}

/// The node of every cell; none where there is none.
fn nodes(node: &Node, shape: TableShape) -> Vec<Vec<Option<&Node>>> {
    match shape {
        TableShape::Curve(..) => listed(Some(node))
            .iter()
            .map(|point| match &point.tree {
                Tree::Tuple { items, .. } => vec![items.first(), items.get(1)],
                _ => vec![None, None],
            })
            .collect(),
        TableShape::Rows(record) => listed(Some(node))
            .iter()
            .map(|row| record.fields.iter().map(|field| row.unwrapped().field(field.name)).collect())
            .collect(),
        TableShape::Grid(record) => {
            let field = |at: usize| listed(record.fields.get(at).and_then(|field| node.field(field.name)));
            let (down, across, values) = (field(0), field(1), field(2));
            let head = std::iter::once(None).chain(across.iter().map(Some)).collect();
            let rows = down.iter().enumerate().map(|(row, first)| {
                let start = row * across.len();
                let of_row = (0..across.len()).map(|column| values.get(start + column));
                std::iter::once(Some(first)).chain(of_row).collect()
            });
            std::iter::once(head).chain(rows).collect()
        }
    }
}

impl Table {
    /// The quantity that a cell is of; none for the corner of a grid.
    pub fn column_of(&self, row: usize, at: usize) -> Option<&Column> {
        match self.form {
            Form::Columns => self.columns.get(at),
            Form::Grid => match (row, at) {
                (0, 0) => None,
                (0, _) => self.columns.get(1),
                (_, 0) => self.columns.first(),
                _ => self.columns.get(2),
            },
        }
    }

    /// Whether a cell holds what was measured, not an axis.
    fn is_value(&self, row: usize, at: usize) -> bool {
        match self.form {
            Form::Columns => at > 0,
            Form::Grid => row > 0 && at > 0,
        }
    }

    /// How many cells a row has.
    pub fn width(&self) -> usize {
        self.cells.first().map_or(self.columns.len(), Vec::len)
    }

    /// What a cell is called: `row 3, pressure difference`.
    pub fn place_of(&self, row: usize, at: usize) -> String {
        let name = self.column_of(row, at).map_or("corner", |column| &column.name);
        match self.form {
            Form::Columns => format!("row {}, {name}", row + 1),
            Form::Grid if row == 0 => format!("first row, {name} {at}"),
            Form::Grid if at == 0 => format!("row {row}, {name}"),
            Form::Grid => format!("row {row}, column {at}, {name}"),
        }
    }

    /// Units that bare numbers of a column may have.
    pub fn units_of(&self, column: usize) -> Vec<&'static str> {
        let Some(kind) = self.columns.get(column).map(|column| column.kind) else { return Vec::new() };
        units_of(kind).iter().map(|unit| unit.name).collect()
    }

    /// Reads the bare numbers of a column in another unit; the numbers stay as they are.
    pub fn read_in(&mut self, column: usize, unit: &str) {
        if let Some(column) = self.columns.get_mut(column) {
            unit.clone_into(&mut column.unit);
        }
    }

    /// Converts the numbers of a column to another unit. A cell that is no quantity stays as it is.
    pub fn convert_to(&mut self, column: usize, unit: &str) {
        let Some(wanted) = self.columns.get(column).cloned() else { return };
        for row in 0..self.cells.len() {
            for at in 0..self.cells[row].len() {
                if self.column_of(row, at) != Some(&wanted) {
                    continue;
                }
                let quantity = quantity(&self.cells[row][at], &wanted).ok();
                let converted = quantity.and_then(|q| Quantity::from_si(q.si(), wanted.kind, unit).ok());
                if let Some(converted) = converted {
                    self.cells[row][at] = bare(&converted, unit);
                }
            }
        }
        self.read_in(column, unit);
    }

    /// Adds an empty row behind another one.
    pub fn add_row(&mut self, after: usize) {
        let at = (after + 1).min(self.cells.len());
        self.cells.insert(at, vec![String::new(); self.width()]);
    }

    /// Takes a row away; the first row of a grid is its axis and stays.
    pub fn remove_row(&mut self, row: usize) {
        let is_axis = self.form == Form::Grid && row == 0;
        if row < self.cells.len() && !is_axis {
            self.cells.remove(row);
        }
    }

    /// Adds an empty column behind the last one of a grid.
    pub fn add_column(&mut self) {
        if self.form == Form::Grid {
            self.cells.iter_mut().for_each(|row| row.push(String::new()));
        }
    }

    /// Takes the last column of a grid away.
    pub fn remove_column(&mut self) {
        if self.form == Form::Grid && self.width() > 2 {
            self.cells.iter_mut().for_each(|row| drop(row.pop()));
        }
    }

    /// The table for a spreadsheet: a head with units, then the cells, separated by tabs.
    pub fn to_text(&self) -> String {
        let named = |column: &Column| {
            if column.unit.is_empty() {
                column.name.clone()
            } else {
                format!("{} [{}]", column.name, column.unit)
            }
        };
        let mut text = String::new();
        if self.form == Form::Columns {
            let head: Vec<String> = self.columns.iter().map(named).collect();
            text.push_str(&head.join("\t"));
            text.push('\n');
        }
        for row in &self.cells {
            text.push_str(&row.join("\t"));
            text.push('\n');
        }
        text
    }

    /// Gives every column the unit that most of its cells are written in; the first of them decides between equals.
    fn choose_units(&mut self, nodes: &[Vec<Option<&Node>>]) {
        for index in 0..self.columns.len() {
            let mut counts: Vec<(String, usize)> = Vec::new();
            for (row, line) in nodes.iter().enumerate() {
                for (at, node) in line.iter().enumerate() {
                    let is_here = self.column_of(row, at).map(std::ptr::from_ref)
                        == self.columns.get(index).map(std::ptr::from_ref);
                    let Some(quantity) = node.filter(|_| is_here).and_then(|node| self.typed(index, node))
                    else {
                        continue;
                    };
                    match counts.iter_mut().find(|(unit, _)| unit == quantity.unit()) {
                        Some((_, count)) => *count += 1,
                        None => counts.push((quantity.unit().to_owned(), 1)),
                    }
                }
            }
            let most = counts.iter().map(|(_, count)| *count).max();
            if let Some((unit, _)) = counts.iter().find(|(_, count)| Some(*count) == most) {
                self.columns[index].unit.clone_from(unit);
            }
        }
    }

    fn typed(&self, column: usize, node: &Node) -> Option<Quantity> {
        Quantity::parse(typed_text(node)?, self.columns.get(column)?.kind).ok()
    }

    /// The text of a cell: the bare number where it has the unit of its column, else as typed.
    fn cell_text(&self, row: usize, at: usize, node: Option<&Node>) -> String {
        let (Some(column), Some(text)) = (self.column_of(row, at), node.and_then(typed_text)) else {
            return String::new();
        };
        match Quantity::parse(text, column.kind) {
            Ok(quantity) => bare(&quantity, &column.unit),
            Err(_) => text.to_owned(),
        }
    }
}

/// The text of a quantity without its unit where that is this one.
fn bare(quantity: &Quantity, unit: &str) -> String {
    let text = quantity.text().trim();
    match text.strip_suffix(quantity.unit()) {
        Some(number) if quantity.unit() == unit => number.trim_end().to_owned(),
        _ => text.to_owned(),
    }
}

/// What was typed in the node of a quantity.
fn typed_text(node: &Node) -> Option<&str> {
    let value =
        if matches!(node.tag(), None | Some("Input")) { node.field("value").unwrap_or(node) } else { node };
    match &value.tree {
        Tree::Text(text) | Tree::Number { text, .. } => Some(text),
        _ => None,
    }
}

/// A cell as a quantity: a bare number has the unit of its column.
fn quantity(text: &str, column: &Column) -> Result<Quantity, units::UnitError> {
    let text = text.trim();
    match Quantity::parse(text, column.kind) {
        Ok(quantity) if quantity.unit().is_empty() && !column.unit.is_empty() => {
            Quantity::parse(&format!("{text} {}", column.unit), column.kind)
        }
        Err(units::UnitError::MissingUnit { .. }) => {
            Quantity::parse(&format!("{text} {}", column.unit), column.kind)
        }
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::short_name;

    #[test]
    fn tables_have_short_names() {
        assert_eq!(short_name("powertrain.motors.left.losses.tables.2"), "losses table 2");
        assert_eq!(short_name("loops.a.path.valve.flow.points"), "flow");
        assert_eq!(short_name("loops.extra.path.extra pump.curve"), "curve");
    }
}
