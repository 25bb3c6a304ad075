//! Time histories as files that general-purpose programs read: CSV, and Parquet where it is built in.
//!
//! All numbers are SI; the head of every column ends in its unit (`winding left/temperature_K`), as the keys of the JSON do.

mod csv;

pub use self::csv::{csv, csv_metadata};

use crate::json::Origin;
use crate::sheet::{self, Cell, Sheet, SheetError};
use std::collections::HashSet;
use thiserror::Error;

/// A quantity over the rows of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct HistoryColumn {
    /// Place and quantity, such as `winding left/temperature`.
    pub name: String,
    /// SI unit as keys write it, such as `K`, `W`, `kg_s`; empty for a number without one.
    pub unit: String,
    /// One value for each row; NaN where there is none.
    pub values: Vec<f64>,
}

impl HistoryColumn {
    /// A column.
    pub fn new(name: impl Into<String>, unit: impl Into<String>, values: Vec<f64>) -> Self {
        Self { name: name.into(), unit: unit.into(), values }
    }

    /// Head of the column: name, and after an underscore the unit.
    pub fn head(&self) -> String {
        if self.unit.is_empty() { self.name.clone() } else { format!("{}_{}", self.name, self.unit) }
    }
}

/// Columns over one time axis.
#[derive(Clone, Debug, PartialEq)]
pub struct HistoryTable {
    columns: Vec<HistoryColumn>,
}

impl HistoryTable {
    /// A table whose first column is the time.
    ///
    /// Two rows may have the same time: before and after a step.
    ///
    /// # Errors
    /// [`HistoryError`] if the first column is not `time` in `s`, if time falls or is not finite, if the columns differ in
    /// length, or if two have the same head.
    pub fn new(columns: Vec<HistoryColumn>) -> Result<Self, HistoryError> {
        let time =
            columns.first().filter(|c| c.name == "time" && c.unit == "s").ok_or(HistoryError::NoTime)?;
        let rows = time.values.len();
        if let Some(row) = (0..rows).find(|&row| {
            let before = if row == 0 { f64::NEG_INFINITY } else { time.values[row - 1] };
            !time.values[row].is_finite() || time.values[row] < before
        }) {
            return Err(HistoryError::TimeFalls { row, time_s: time.values[row] });
        }
        let mut heads = HashSet::new();
        for column in &columns {
            let head = column.head();
            if column.values.len() != rows {
                return Err(HistoryError::Length { head, rows: column.values.len(), expected: rows });
            }
            if !heads.insert(head.clone()) {
                return Err(HistoryError::Repeated { head });
            }
        }
        Ok(Self { columns })
    }

    /// Columns, the time first.
    pub fn columns(&self) -> &[HistoryColumn] {
        &self.columns
    }

    /// Number of rows.
    pub fn rows(&self) -> usize {
        self.columns[0].values.len()
    }

    /// As a sheet: a row for each moment; absent where there is no number.
    pub fn sheet(&self) -> Sheet {
        let column = |column: &HistoryColumn| {
            sheet::Column::plain(column.head(), column.name.as_str(), column.unit.clone(), 3)
        };
        let rows = (0..self.rows())
            .map(|row| self.columns.iter().map(|column| Cell::finite(column.values[row])).collect());
        Sheet::new("history", self.columns.iter().map(column)).with_rows(rows)
    }
}

/// A table with what it is a history of.
#[derive(Clone, Copy, Debug)]
pub struct History<'a> {
    /// Program, project, variant, hash of the input.
    pub origin: Origin<'a>,
    /// Case.
    pub case: &'a str,
    /// Columns.
    pub table: &'a HistoryTable,
}

impl History<'_> {
    /// What every file says about its origin, as keys and values.
    fn facts(&self) -> [(&'static str, String); 6] {
        [
            ("schema", crate::json::SCHEMA.to_string()),
            ("program", self.origin.program.to_owned()),
            ("project", self.origin.project.to_owned()),
            ("variant", self.origin.variant.to_owned()),
            ("case", self.case.to_owned()),
            ("input_hash", self.origin.input_hash.to_owned()),
        ]
    }
}

/// The history as a Parquet file: the columns of the CSV under the same heads as optional doubles, null where there is no number. The
/// key-value metadata hold `schema`, `program`, `project`, `variant`, `case`, `input_hash`, and `units`, a JSON object of the unit by head.
/// The same history gives the same bytes.
///
/// # Errors
/// [`HistoryError::Sheet`], which only a lack of memory can cause.
#[cfg(feature = "parquet")]
pub fn parquet(history: &History<'_>) -> Result<Vec<u8>, HistoryError> {
    let facts = history.facts().into_iter().collect();
    let about = sheet::parquet::About { name: "history", program: history.origin.program, facts };
    Ok(sheet::parquet::parquet(&about, &history.table.sheet())?)
}

/// Why a table cannot be made or written.
#[derive(Debug, Error)]
pub enum HistoryError {
    /// The first column is not the time.
    #[error("the first column of a history must be `time` in `s`")]
    NoTime,
    /// Time falls, or is not a number.
    #[error("the time of row {row} is {time_s} s; it must be finite and not below that of the row before")]
    TimeFalls {
        /// Row, counted from 0.
        row: usize,
        /// Its time, s.
        time_s: f64,
    },
    /// A column has more or fewer rows than the time.
    #[error("column {head:?} has {rows} rows, the time has {expected}")]
    Length {
        /// Head of the column.
        head: String,
        /// Its rows.
        rows: usize,
        /// Rows of the time.
        expected: usize,
    },
    /// Two columns have the same head.
    #[error("two columns are called {head:?}")]
    Repeated {
        /// Head of both.
        head: String,
    },
    /// The sheet cannot be written.
    #[error(transparent)]
    Sheet(#[from] SheetError),
}
