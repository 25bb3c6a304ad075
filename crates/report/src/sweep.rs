//! Sweeps as a table, JSON, CSV and Parquet: one row for each point.

use crate::history::{Column, HistoryError};
use crate::json::{Origin, with};
use crate::{Table, celsius, history};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;
use studies::sweep::{Sweep, Watch};
use units::{Kind, to_unit};

/// A unit as keys write it: `W/(m K)` as `W_m_K`, `Ohm` as `ohm`.
fn key_unit(unit: &str) -> String {
    let words = unit.replace("Ohm", "ohm").replace("Pag", "Pa");
    let parts: Vec<&str> =
        words.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty()).collect();
    parts.join("_")
}

/// Numbers of all rows by column: the point, inputs, results; NaN where there is no value.
fn columns(sweep: &Sweep) -> Vec<Column> {
    let rows = &sweep.rows;
    let mut all = vec![Column::new("point", "", rows.iter().map(|row| row.point as f64).collect())];
    for (n, axis) in sweep.axes.iter().enumerate() {
        let values = rows.iter().map(|row| row.inputs[n]).collect();
        all.push(Column::new(axis.path.as_str(), key_unit(axis.entry.kind.si_unit()), values));
    }
    for (n, watch) in sweep.watched.iter().enumerate() {
        let values = rows.iter().map(|row| row.results[n].unwrap_or(f64::NAN)).collect();
        all.push(Column::new(watch.name(), key_unit(watch.unit()), values));
    }
    all
}

/// Rows as JSON, inputs then results, with the remark.
pub fn json(origin: &Origin<'_>, sweep: &Sweep) -> Value {
    let columns = columns(sweep);
    let rows = sweep.rows.iter().enumerate().map(|(number, row)| {
        // the first column is the number of the point, a whole number
        let numbers = columns[1..].iter().map(|column| (column.head(), json!(column.values[number])));
        let mut cells = Map::from_iter([("point".to_owned(), json!(row.point))]);
        cells.extend(numbers);
        cells
            .insert("remark".to_owned(), if row.remark.is_empty() { Value::Null } else { json!(row.remark) });
        Value::Object(cells)
    });
    with(origin.head(), "rows", rows.collect())
}

/// Rows as comma-separated values (RFC 4180): heads, then numbers that read back to the same bits, an empty cell where there is no
/// value, the remark last.
///
/// # Errors
/// [`HistoryError::Write`], which only a lack of memory can cause.
pub fn csv(sweep: &Sweep) -> Result<Vec<u8>, HistoryError> {
    history::csv_rows(&columns(sweep), Some(("remark", &remarks(sweep))))
}

/// Rows as a Parquet file: columns of doubles (NaN where there is no value), and the remark as text.
///
/// # Errors
/// [`HistoryError::Write`], which only a lack of memory can cause.
#[cfg(feature = "parquet")]
pub fn parquet(origin: &Origin<'_>, sweep: &Sweep) -> Result<Vec<u8>, HistoryError> {
    history::parquet_rows(origin, &columns(sweep), ("remark", &remarks(sweep)))
}

fn remarks(sweep: &Sweep) -> Vec<&str> {
    sweep.rows.iter().map(|row| row.remark.as_str()).collect()
}

/// Rows as a table: inputs in the unit they were typed in, temperatures in degrees Celsius.
pub fn sheet(project: &str, variant: &str, sweep: &Sweep) -> String {
    let mut text = format!("{project}, variant {variant}: sweep\n\n");
    let mut short_head = Vec::new();
    let full = rows(sweep);
    for (n, head) in full.head[..full.head.len() - 1].iter().enumerate() {
        let short = match n.checked_sub(sweep.axes.len()) {
            None => letter('A', n),
            Some(n) => number(n),
        };
        let _infallible = writeln!(text, "{short}: {head}");
        short_head.push(short);
    }
    text.push('\n');
    short_head.push("remark".to_owned());
    text + &Table { head: short_head, ..full }.text()
}

/// The rows with full heads: path or name of the result, and unit.
pub fn rows(sweep: &Sweep) -> Table {
    let mut head: Vec<String> =
        sweep.axes.iter().map(|axis| format!("{} {}", axis.path, axis.unit)).collect();
    head.extend(sweep.watched.iter().map(|watch| {
        let unit = match watch {
            Watch::Worst => "unit of its limit",
            Watch::Temperature { .. } | Watch::Peak { .. } => "degC",
            Watch::Boundary { .. } => "mOhm",
            other => other.unit(),
        };
        format!("{}, {unit}", watch.name())
    }));
    let numbers = (0..head.len()).collect();
    head.push("remark".to_owned());
    let rows = sweep.rows.iter().map(|row| {
        let inputs = sweep
            .axes
            .iter()
            .zip(&row.inputs)
            .map(|(axis, si)| short(to_unit(*si, axis.entry.kind, &axis.unit).unwrap_or(*si)));
        let results = sweep.watched.iter().zip(&row.results).map(|(watch, value)| match value {
            Some(kelvin) if matches!(watch, Watch::Temperature { .. } | Watch::Peak { .. }) => {
                format!("{:.2}", celsius(*kelvin))
            }
            Some(ohm) if matches!(watch, Watch::Boundary { .. }) => format!("{:.3}", 1e3 * ohm),
            Some(value) => format!("{value:.3}"),
            None => "none".to_owned(),
        });
        inputs.chain(results).chain([row.remark.clone()]).collect()
    });
    Table { title: "points".to_owned(), head, numbers, rows: rows.collect() }
}

/// Six digits at most, without trailing zeros.
fn short(value: f64) -> String {
    units::format_si(value, Kind::Ratio, "", 6).trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn letter(first: char, n: usize) -> String {
    char::from_u32(first as u32 + n as u32 % 26).map_or_else(String::new, |c| format!("input {c}"))
}

fn number(n: usize) -> String {
    format!("result {}", n + 1)
}
