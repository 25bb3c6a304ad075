//! From cells back into a project: every mistake beside its cell, and nothing before there is none.

use super::{Column, Form, Table, quantity, typed_text};
use crate::revise::Revision;
use crate::variant::{self, Check, project_shape};
use schema::{Evidence, Node, Path, Place, Severity, TableShape, Tree, list_tables, path};
use units::Kind;

/// A mistake in a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellProblem {
    /// Row and column of the cell; nothing for one of the table as a whole.
    pub cell: Option<(usize, usize)>,
    /// What is wrong.
    pub message: String,
    /// What to do; may be empty if the message says it.
    pub remedy: String,
}

impl CellProblem {
    fn of_table(message: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { cell: None, message: message.into(), remedy: remedy.into() }
    }

    /// Message and remedy in one line.
    pub fn text(&self) -> String {
        if self.remedy.is_empty() {
            self.message.clone()
        } else {
            format!("{}; {}", self.message, self.remedy)
        }
    }
}

/// Lines that no file has: they lead from the problems of the project back to the cells.
const FIRST_LINE: u32 = 2_000_000_000;

/// The change of a project that puts a table in the place of the one at its address.
///
/// # Errors
/// Every mistake, in the order of the cells: cells that are no quantities first; only once there are none, what the project has
/// against the table.
pub fn put(root: &Node, table: &Table, check: Check) -> Result<Revision, Vec<CellProblem>> {
    let wanted =
        Path::parse(&table.path).map_err(|error| vec![CellProblem::of_table(error.to_string(), "")])?;
    let gone = || vec![CellProblem::of_table("the table is not in the project any more", "leave it")];
    let entry = list_tables(root, project_shape()).into_iter().find(|entry| entry.path == wanted);
    let entry = entry.ok_or_else(gone)?;
    let cells = cell_nodes(table)?;
    let old = path::get(root, &wanted).map_err(|_error| gone())?;
    let (cells, sourced) = keep_pedigree(table, cells, &super::nodes(old.unwrapped(), entry.shape));
    let made = whole(old, entry.shape, cells).at(Place::new(FIRST_LINE, 1, 1));
    let mut changed = root.clone();
    path::set(&mut changed, &wanted, made.clone()).map_err(|_error| gone())?;
    let problems = of_project(&changed, table, check);
    if !problems.is_empty() {
        return Err(problems);
    }
    let rows = table.cells.len() - usize::from(table.form == Form::Grid);
    let from = if sourced { ", with its source" } else { "" };
    let title = format!("table {}, {rows} rows{from}", table.path);
    Ok(Revision::Replace { title, changes: vec![(table.path.clone(), unplaced(made))] })
}

/// What the project with the table in it has against it.
fn of_project(changed: &Node, table: &Table, check: Check) -> Vec<CellProblem> {
    let Err(problems) = variant::decode(changed, check) else { return Vec::new() };
    let mut found: Vec<CellProblem> = Vec::new();
    for problem in problems.iter().filter(|problem| problem.severity == Severity::Error) {
        let place = problem.place.filter(|place| place.line > FIRST_LINE);
        let cell = place.map(|place| ((place.line - FIRST_LINE - 1) as usize, (place.column - 1) as usize));
        let message = match (cell, problem.path.starts_with(&table.path) || problem.place.is_some()) {
            (None, false) => format!("{}: {}", problem.path, problem.message),
            _ => problem.message.clone(),
        };
        let problem = CellProblem { cell, message, remedy: problem.remedy.clone() };
        if !found.contains(&problem) {
            found.push(problem);
        }
    }
    found
}

/// The node of every cell, with its place.
fn cell_nodes(table: &Table) -> Result<Vec<Vec<Option<Node>>>, Vec<CellProblem>> {
    let mut problems = Vec::new();
    let least = if table.form == Form::Grid { 2 } else { 1 };
    if table.cells.len() < least {
        problems.push(CellProblem::of_table("the table is empty", "paste rows, or add one"));
    }
    let mut all = Vec::new();
    for (row, line) in table.cells.iter().enumerate() {
        let mut nodes = Vec::new();
        for (at, text) in line.iter().enumerate() {
            let Some(column) = table.column_of(row, at) else {
                nodes.push(None);
                continue;
            };
            match node_of(text, column) {
                Ok(node) => {
                    nodes.push(Some(node.at(Place::new(FIRST_LINE + 1 + row as u32, 1 + at as u32, 1))));
                }
                Err((message, remedy)) => {
                    problems.push(CellProblem { cell: Some((row, at)), message, remedy });
                }
            }
        }
        all.push(nodes);
    }
    if problems.is_empty() { Ok(all) } else { Err(problems) }
}

fn node_of(text: &str, column: &Column) -> Result<Node, (String, String)> {
    if text.trim().is_empty() {
        return Err(("the cell is empty".to_owned(), "type a number, or remove the row".to_owned()));
    }
    match quantity(text, column) {
        Ok(quantity) => match quantity.text().trim().parse::<f64>() {
            Ok(value) if column.kind == Kind::Ratio => {
                Ok(Tree::Number { text: quantity.text().trim().to_owned(), value }.into())
            }
            _ => Ok(Node::text(quantity.text())),
        },
        Err(error) => {
            let told = error.to_string();
            let split = told.rsplit_once(": write ");
            Err(match split {
                Some((message, remedy)) => (message.to_owned(), format!("write {remedy}")),
                None => (told, String::new()),
            })
        }
    }
}

/// Cells that say what they said keep their tolerance, source and evidence; the first value carries those of the table. True if it
/// has a source now.
fn keep_pedigree(
    table: &Table,
    mut cells: Vec<Vec<Option<Node>>>,
    old: &[Vec<Option<&Node>>],
) -> (Vec<Vec<Option<Node>>>, bool) {
    let mut is_first = true;
    let sourced = !table.source.trim().is_empty() || table.evidence != Evidence::default();
    for (row, line) in cells.iter_mut().enumerate() {
        for (at, cell) in line.iter_mut().enumerate() {
            let Some(new) = cell else { continue };
            let place = new.place;
            let before = old.get(row).and_then(|line| line.get(at)).copied().flatten();
            let kept = before.filter(|before| typed_text(before) == typed_text(new)).cloned();
            let node = kept.unwrap_or_else(|| new.clone()).at(place);
            *new = if table.is_value(row, at) && std::mem::take(&mut is_first) {
                with_pedigree(node, table.source.trim(), table.evidence).at(place)
            } else {
                node
            };
        }
    }
    (cells, sourced)
}

/// A value with the source and evidence of its table.
fn with_pedigree(node: Node, source: &str, evidence: Evidence) -> Node {
    let tolerance = node.field("tolerance").cloned();
    let value = node.field("value").cloned().unwrap_or(node);
    if source.is_empty() && evidence == Evidence::default() && tolerance.is_none() {
        return value;
    }
    let mut fields = vec![("value", value)];
    fields.extend(tolerance.map(|tolerance| ("tolerance", tolerance)));
    if !source.is_empty() {
        fields.push(("source", Node::text(source)));
    }
    if evidence != Evidence::default() {
        fields.push(("evidence", Node::word(evidence.word())));
    }
    Node::record("Input", fields)
}

/// The node of the table from those of its cells, in the place of the old one.
fn whole(old: &Node, shape: TableShape, cells: Vec<Vec<Option<Node>>>) -> Node {
    let start = |row: usize| Place::new(FIRST_LINE + 1 + row as u32, 1, 1);
    match shape {
        TableShape::Curve(..) => {
            let points = cells.into_iter().enumerate();
            let points = points
                .map(|(row, line)| Node::tuple("", line.into_iter().flatten().collect()).at(start(row)));
            wrapped(old, Node::list(points.collect()))
        }
        TableShape::Rows(record) => {
            let rows = cells.into_iter().enumerate().map(|(row, line)| {
                let fields = record.fields.iter().map(|field| field.name).zip(line.into_iter().flatten());
                Node::record("", fields.collect()).at(start(row))
            });
            wrapped(old, Node::list(rows.collect()))
        }
        TableShape::Grid(record) => {
            let mut rows = cells.into_iter();
            let across: Vec<Node> = rows.next().into_iter().flatten().flatten().collect();
            let (mut down, mut values) = (Vec::new(), Vec::new());
            for row in rows {
                let mut row = row.into_iter().flatten();
                down.extend(row.next());
                values.extend(row);
            }
            let mut made = old.clone();
            for (field, list) in record.fields.iter().zip([down, across, values]) {
                let list = Node::list(list).at(Place::new(FIRST_LINE, 1, 1));
                match made.unwrapped_mut().field_mut(field.name) {
                    Some(old) => *old = list,
                    None => {
                        if let Tree::Record { fields, .. } = &mut made.unwrapped_mut().tree {
                            fields.push((schema::Key::new(field.name), list));
                        }
                    }
                }
            }
            made
        }
    }
}

/// A list inside the tag that the old one stands in, such as `Table([..])`.
fn wrapped(old: &Node, list: Node) -> Node {
    let place = Place::new(FIRST_LINE, 1, 1);
    let mut made = old.clone();
    *made.unwrapped_mut() = list.at(place);
    made
}

/// The same tree without places.
fn unplaced(node: Node) -> Node {
    let tree = match node.tree {
        Tree::List(items) => Tree::List(items.into_iter().map(unplaced).collect()),
        Tree::Tuple { tag, items } => Tree::Tuple { tag, items: items.into_iter().map(unplaced).collect() },
        Tree::Record { tag, fields } => Tree::Record {
            tag,
            fields: fields.into_iter().map(|(key, node)| (key, unplaced(node))).collect(),
        },
        other => other,
    };
    tree.into()
}
