//! Cells of another program put into a table.

use super::{Column, Form, Table};
use units::Quantity;

/// Why a block of cells does not fit.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Misfit {
    /// There is nothing in it.
    #[error("there is nothing to take over")]
    Empty,
    /// A row has more or fewer cells than the table.
    #[error("row {row} has {found} cells, the table has {wanted} columns; {remedy}")]
    Width {
        /// Number of the row, from 1.
        row: usize,
        /// Its cells.
        found: usize,
        /// Those of the table.
        wanted: usize,
        /// What to do.
        remedy: &'static str,
    },
    /// A head names a unit that its column cannot have.
    #[error(
        "the head {head:?} names a unit that is none of {kind}; correct the head, or leave it out and choose the unit"
    )]
    Unit {
        /// The cell.
        head: String,
        /// Kind of the column.
        kind: &'static str,
    },
    /// It would reach beyond the table.
    #[error("the cells reach beyond the last column; begin further to the left")]
    TooWide,
}

impl Table {
    /// Replaces all cells by a block: rows of cells, with or without a head. The head of a column may name its unit in brackets.
    ///
    /// # Errors
    /// [`Misfit`]; the table stays as it was.
    pub fn replace_all(&mut self, block: &[Vec<String>]) -> Result<(), Misfit> {
        let mut rows: Vec<Vec<String>> = block.iter().map(|row| trimmed(row)).collect();
        rows.retain(|row| row.iter().any(|cell| !cell.is_empty()));
        let Some(first) = rows.first() else { return Err(Misfit::Empty) };
        let mut columns = self.columns.clone();
        let wanted = match self.form {
            Form::Columns => columns.len(),
            Form::Grid => first.len(),
        };
        if let Some(at) = rows.iter().position(|row| row.len() != wanted) {
            return Err(width(at, rows[at].len(), wanted));
        }
        match self.form {
            Form::Columns if is_head(first) => {
                for (column, head) in columns.iter_mut().zip(first) {
                    take_unit(column, head)?;
                }
                rows.remove(0);
            }
            Form::Grid if rows.len() < 2 || wanted < 2 => return Err(width(0, wanted, wanted.max(2))),
            Form::Grid => rows[0][0].clear(),
            Form::Columns => {}
        }
        if rows.is_empty() {
            return Err(Misfit::Empty);
        }
        (self.columns, self.cells) = (columns, rows);
        Ok(())
    }

    /// Puts a block into the table from a cell on; rows are added where it reaches beyond the last one.
    ///
    /// # Errors
    /// [`Misfit::TooWide`], [`Misfit::Empty`]; the table stays as it was.
    pub fn put_from(&mut self, (row, at): (usize, usize), block: &[Vec<String>]) -> Result<(), Misfit> {
        let width = self.width();
        if block.iter().all(Vec::is_empty) {
            return Err(Misfit::Empty);
        }
        if block.iter().any(|line| at + line.len() > width) {
            return Err(Misfit::TooWide);
        }
        for (down, line) in block.iter().enumerate() {
            while self.cells.len() <= row + down {
                self.cells.push(vec![String::new(); width]);
            }
            for (across, cell) in line.iter().enumerate() {
                cell.trim().clone_into(&mut self.cells[row + down][at + across]);
            }
        }
        Ok(())
    }
}

fn trimmed(row: &[String]) -> Vec<String> {
    row.iter().map(|cell| cell.trim().to_owned()).collect()
}

fn width(at: usize, found: usize, wanted: usize) -> Misfit {
    let remedy = if found == 2 * wanted {
        "write decimals with a point, or separate the cells by tabs or semicolons"
    } else {
        "copy the columns of the table only, or begin at a cell of it"
    };
    Misfit::Width { row: at + 1, found, wanted, remedy }
}

/// Whether a row consists of words.
fn is_head(row: &[String]) -> bool {
    let is_number = |cell: &String| {
        cell.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | '\u{2212}'))
    };
    row.iter().all(|cell| !is_number(cell)) && row.iter().any(|cell| !cell.is_empty())
}

/// The unit that the head of a column names: `flow [L/min]`, `flow (L/min)`, `flow, L/min`, `flow / kPa` or the unit alone.
fn take_unit(column: &mut Column, head: &str) -> Result<(), Misfit> {
    let fits = |unit: &str| Quantity::parse(&format!("1 {unit}"), column.kind).is_ok();
    let inside =
        |open: char, close: char| head.rsplit_once(open).and_then(|(_, rest)| rest.split_once(close));
    let bracketed = inside('[', ']').or_else(|| inside('(', ')')).map(|(unit, _)| unit.trim());
    let found = match bracketed {
        Some(unit) if fits(unit) => Some(unit),
        Some(unit) if unit.is_empty() || unit == "-" => None,
        Some(_) if head.contains('[') => {
            return Err(Misfit::Unit { head: head.to_owned(), kind: column.kind.name() });
        }
        _ => {
            let parts = [head.rsplit_once(", "), head.split_once(" / "), Some(("", head))];
            parts.into_iter().flatten().map(|(_, unit)| unit.trim()).find(|unit| fits(unit))
        }
    };
    if let Some(unit) = found {
        unit.clone_into(&mut column.unit);
    }
    Ok(())
}
