//! Typed sheets: what a study has to tell, as columns with kind, unit and head, and cells that keep full precision.
//!
//! A study makes its sheets once; every output renders them: [`text`](Sheet::text) for a page, the window through
//! [`shown`](Sheet::shown), and the formats that other programs read: [`csv`], [`json`], [`clipboard`], Parquet. Rounding happens in one
//! place, by kind and unit of the column, and only where something is shown. Absent, not a number and empty text are three things in
//! every format that is read back.

mod cell;
pub mod clipboard;
mod column;
pub mod csv;
mod escape;
pub mod json;
#[cfg(feature = "parquet")]
pub mod parquet;
mod shown;
mod text;

pub use cell::Cell;
pub use column::{Column, ColumnKind, ColumnPlace, Digits, Unit, UnitPlace, key_unit};
pub use escape::{cell_text, text_cell};
pub use shown::{Shown, ShownCell, ShownColumn, Style};
pub(crate) use shown::{minutes, text_of};
pub(crate) use text::texts;

use std::collections::HashSet;
use thiserror::Error;

/// A row: as many cells as the sheet has columns, each of the kind of its column.
pub type Row = Vec<Cell>;

/// A table of a result.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// What it shows, in small letters; empty where it needs no title.
    pub title: String,
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows.
    pub rows: Vec<Row>,
}

/// Why a sheet cannot be written.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SheetError {
    /// A row has more or fewer cells than the sheet has columns.
    #[error("row {row} of the sheet {sheet:?} has {cells} cells for {columns} columns")]
    Length {
        /// Title.
        sheet: String,
        /// Row, counted from 0.
        row: usize,
        /// Its cells.
        cells: usize,
        /// Columns of the sheet.
        columns: usize,
    },
    /// A cell is not of the kind of its column.
    #[error("the cell of {column:?} in row {row} of the sheet {sheet:?} is not of the kind of its column")]
    Misfit {
        /// Title.
        sheet: String,
        /// Key of the column.
        column: String,
        /// Row, counted from 0.
        row: usize,
    },
    /// Two columns have one key, which the format cannot hold.
    #[error("a {format} file cannot hold two columns of one name, {key:?}")]
    Repeated {
        /// Format.
        format: &'static str,
        /// Key of both.
        key: String,
    },
    /// The bytes could not be put together.
    #[error("the {format} file cannot be written: {reason}")]
    Write {
        /// Format.
        format: &'static str,
        /// What the library says.
        reason: String,
    },
}

impl Sheet {
    /// A sheet without rows.
    pub fn new(title: impl Into<String>, columns: impl IntoIterator<Item = Column>) -> Self {
        Self { title: title.into(), columns: columns.into_iter().collect(), rows: Vec::new() }
    }

    /// Adds a row.
    pub fn push(&mut self, row: impl IntoIterator<Item = Cell>) {
        let row: Row = row.into_iter().collect();
        debug_assert_eq!(row.len(), self.columns.len(), "a cell for each column of {:?}", self.title);
        debug_assert!(
            row.iter().zip(&self.columns).all(|(cell, column)| column.takes(cell)),
            "{row:?} does not fit {:?}",
            self.title
        );
        self.rows.push(row);
    }

    /// The same with further rows.
    #[must_use]
    pub fn with_rows(mut self, rows: impl IntoIterator<Item = Row>) -> Self {
        rows.into_iter().for_each(|row| self.push(row));
        self
    }

    /// Number of the column with a key.
    pub fn position(&self, key: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.key == key)
    }

    /// The number of a cell in the unit in which its column is shown; none where there is no number.
    pub fn number(&self, row: usize, column: usize) -> Option<f64> {
        self.columns.get(column)?.number_of(self.rows.get(row)?.get(column)?)
    }

    /// That every row has a cell of the right kind for each column.
    ///
    /// # Errors
    /// [`SheetError::Length`], [`SheetError::Misfit`].
    pub fn check(&self) -> Result<(), SheetError> {
        for (number, row) in self.rows.iter().enumerate() {
            if row.len() != self.columns.len() {
                let (cells, columns) = (row.len(), self.columns.len());
                return Err(SheetError::Length { sheet: self.title.clone(), row: number, cells, columns });
            }
            if let Some((column, _)) = self.columns.iter().zip(row).find(|(column, cell)| !column.takes(cell))
            {
                let column = column.key.clone();
                return Err(SheetError::Misfit { sheet: self.title.clone(), column, row: number });
            }
        }
        Ok(())
    }

    /// That no two columns have one key.
    fn check_keys(&self, format: &'static str) -> Result<(), SheetError> {
        let mut seen = HashSet::new();
        match self.columns.iter().find(|column| !seen.insert(column.key.as_str())) {
            Some(twice) => Err(SheetError::Repeated { format, key: twice.key.clone() }),
            None => Ok(()),
        }
    }
}
