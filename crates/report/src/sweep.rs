//! Sweeps as a table, JSON, CSV and Parquet: one row for each point.

mod join;

use crate::json::{Origin, with};
use crate::sheet::{Cell, Column, Digits, Row, Sheet, SheetError, csv as written, json as objects, key_unit};
use serde_json::Value;
use std::fmt::Write as _;
use studies::sweep::{Axis, Sweep, Watch};
use units::Kind;

pub use join::{JoinError, join};

/// Heads by which parts of a sweep are known: the point, how many points the whole has, and which sweep it is.
const POINT: &str = "point";
const POINTS: &str = "points";
const SWEEP: &str = "sweep";

/// Head of a column of numbers: name, and after an underscore the unit.
fn key(name: &str, unit: &str) -> String {
    if unit.is_empty() { name.to_owned() } else { format!("{name}_{}", key_unit(unit)) }
}

/// An input in the unit in which it was typed.
fn axis_column(axis: &Axis) -> Column {
    let kind = axis.entry.kind;
    let column = Column::number(key(&axis.path, kind.si_unit()), kind, axis.unit.clone(), 0);
    column.head(axis.path.as_str()).digits(Digits::Short)
}

/// A result in the unit of the trade.
fn watch_column(watch: &Watch) -> Column {
    let (kind, unit) = match watch {
        // the limit that is worst may be another one at every point: no unit, and no kind, goes with the number
        Watch::Worst => (None, "unit of its limit"),
        Watch::Margin { kind, .. } => (Some(crate::limit::distance_kind(*kind)), kind.unit()),
        Watch::Temperature { .. } | Watch::Peak { .. } => (Some(Kind::Temperature), "degC"),
        Watch::Heat { .. } => (Some(Kind::Power), "W"),
        Watch::Mass | Watch::Size { .. } | Watch::Fitted { .. } => (Some(Kind::Mass), "kg"),
        Watch::Boundary { .. } => (Some(Kind::Resistance), "mOhm"),
    };
    let decimals = if kind == Some(Kind::Temperature) { 2 } else { 3 };
    let (name, key) = (watch.name(), key(&watch.name(), watch.unit()));
    let column = match kind {
        Some(kind) => Column::number(key, kind, unit, decimals).head(name),
        None => Column::plain(key, name, unit, decimals),
    };
    column.or("none")
}

/// One row for each point: inputs, results, why a result is missing, how many points the whole grid has, and which sweep it is part of,
/// as [`Origin`] and the question make it.
pub fn sheets(sweep: &Sweep, which: &str) -> Vec<Sheet> {
    let columns = std::iter::once(Column::count(POINT).data())
        .chain(sweep.axes.iter().map(axis_column))
        .chain(sweep.watched.iter().map(watch_column))
        .chain([Column::text("remark"), Column::count(POINTS).data(), Column::text(SWEEP).data()]);
    let rows = sweep.rows.iter().map(|row| -> Row {
        let inputs = row.inputs.iter().map(|si| Cell::Number(*si));
        let results = row.results.iter().map(|result| Cell::from(*result));
        let point = std::iter::once(Cell::count(row.point));
        let part = [Cell::said(row.remark.as_str()), Cell::count(sweep.points), Cell::said(which)];
        point.chain(inputs).chain(results).chain(part).collect()
    });
    vec![Sheet::new("points", columns).with_rows(rows)]
}

fn rows(sweep: &Sweep, which: &str) -> Sheet {
    sheets(sweep, which).swap_remove(0)
}

/// Rows as JSON, inputs then results, with the remark.
///
/// # Errors
/// [`SheetError::Repeated`] if an input or a result is asked for twice.
pub fn json(origin: &Origin<'_>, sweep: &Sweep, which: &str) -> Result<Value, SheetError> {
    Ok(with(origin.head(), "rows", objects::rows(&rows(sweep, which))?))
}

/// Rows as comma-separated values (RFC 4180): heads, then numbers that read back to the same bits, an empty cell where there is no
/// value, then the remark, and which part of what it is.
///
/// # Errors
/// [`SheetError::Write`], which only a lack of memory can cause.
pub fn csv(sweep: &Sweep, which: &str) -> Result<Vec<u8>, SheetError> {
    written::csv(&rows(sweep, which))
}

/// Rows as a Parquet file: columns of doubles and the remark as text, null where there is no value or remark.
///
/// # Errors
/// [`SheetError::Repeated`] if an input or a result is asked for twice; [`SheetError::Write`], which only a lack of memory can cause.
#[cfg(feature = "parquet")]
pub fn parquet(origin: &Origin<'_>, sweep: &Sweep, which: &str) -> Result<Vec<u8>, SheetError> {
    let facts = vec![
        ("schema", crate::json::SCHEMA.to_string()),
        ("program", origin.program.to_owned()),
        ("project", origin.project.to_owned()),
        ("variant", origin.variant.to_owned()),
        ("input_hash", origin.input_hash.to_owned()),
    ];
    let about = crate::sheet::parquet::About { name: "rows", program: origin.program, facts };
    crate::sheet::parquet::parquet(&about, &rows(sweep, which))
}

/// Rows as a page: inputs in the unit they were typed in, temperatures in degrees Celsius. Long names stand above, under short ones.
pub fn page(project: &str, variant: &str, sweep: &Sweep) -> String {
    let mut text = format!("{project}, variant {variant}: sweep\n\n");
    let mut sheet = rows(sweep, "");
    let (axes, results) = (sweep.axes.len(), sweep.watched.len());
    for (n, column) in sheet.columns.iter_mut().skip(1).take(axes + results).enumerate() {
        let unit = column.unit_name().to_owned();
        let (short, full) = match n.checked_sub(axes) {
            None => (letter('A', n), format!("{} {unit}", column.head)),
            Some(n) => (number(n), format!("{}, {unit}", column.head)),
        };
        let _infallible = writeln!(text, "{short}: {full}");
        *column = column.clone().head(short).silent();
    }
    text.push('\n');
    text + &sheet.text()
}

fn letter(first: char, n: usize) -> String {
    char::from_u32(first as u32 + n as u32 % 26).map_or_else(String::new, |c| format!("input {c}"))
}

fn number(n: usize) -> String {
    format!("result {}", n + 1)
}
