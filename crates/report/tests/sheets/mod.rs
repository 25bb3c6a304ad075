//! Sheets written in each format and read back: absent, not a number and empty text stay three things, and names stay what they are.

#[cfg(feature = "parquet")]
mod columnar;
mod page;
mod text;

use model::standing::Standing;
use proptest::prelude::*;
use report::sheet::{Cell, Column, ColumnKind, Sheet};
use units::Kind as Physical;

/// Numbers that are easily spoilt: not representable in decimal, tiny, huge, both zeros, and what is not finite.
const AWKWARD: [f64; 9] = [
    0.1,
    1.0 / 3.0,
    5e-324,
    1.797_693_134_862_315_7e308,
    -0.0,
    0.0,
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
];

/// Texts that are easily spoilt: none at all, quotes and separators, formulas, the mark of a text and of an absent or odd cell, signs, control
/// characters and those that turn the direction of writing, and what looks like an escape.
const NAMES: [&str; 26] = [
    "",
    " ",
    "left, \"rear\" motor",
    "a\tb",
    "a\nb\r\nc",
    "\ttab first",
    "\rreturn first",
    "\u{2212}10 K",
    "-10 K",
    "+1",
    "=HYPERLINK(\"x\")",
    "@sum",
    "'quoted'",
    "''",
    "NaN",
    "inf",
    "true",
    "null",
    "0",
    "\u{202e}desrever",
    "iso\u{2066}late\u{2069}",
    "\u{1b}[31mred\u{7}",
    "\u{0}",
    "a\\u202eb\\\\u",
    "\\u",
    "pâle \u{1f525}",
];

/// A column of every kind.
fn columns() -> Vec<Column> {
    vec![
        Column::text("name"),
        Column::number("temperature_K", Physical::Temperature, "degC", 1),
        Column::plain("share", "share", "%", 1),
        Column::count("cases"),
        Column::time("time_s"),
        Column::flag("short", ["SHORT", ""]),
        Column::standing(),
        Column::mixed("margin"),
        Column::text("remark"),
    ]
}

fn sheet(rows: Vec<Vec<Cell>>) -> Sheet {
    Sheet::new("limits", columns()).with_rows(rows)
}

fn name() -> impl Strategy<Value = String> {
    let drawn = proptest::collection::vec(any::<char>(), 0..12).prop_map(|all| all.into_iter().collect());
    let pieces = proptest::collection::vec(proptest::sample::select(NAMES.to_vec()), 1..4)
        .prop_map(|pieces| pieces.concat());
    prop_oneof![drawn, pieces, proptest::sample::select(NAMES.to_vec()).prop_map(str::to_owned)]
}

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![any::<f64>(), proptest::sample::select(AWKWARD.to_vec())]
}

/// A cell for a column, absent one time in four.
fn cell(kind: ColumnKind) -> BoxedStrategy<Cell> {
    let there = match kind {
        ColumnKind::Text => name().prop_map(Cell::Text).boxed(),
        ColumnKind::Flag => any::<bool>().prop_map(Cell::Flag).boxed(),
        ColumnKind::Standing => {
            proptest::sample::select(Standing::ALL.to_vec()).prop_map(Cell::Standing).boxed()
        }
        ColumnKind::Time => number().prop_map(Cell::Time).boxed(),
        ColumnKind::Count => (0_u32..u32::MAX).prop_map(|count| Cell::Number(f64::from(count))).boxed(),
        ColumnKind::Mixed => number().prop_map(|value| Cell::Own(Physical::Power, value)).boxed(),
        ColumnKind::Number(_) | ColumnKind::Plain => number().prop_map(Cell::Number).boxed(),
    };
    prop_oneof![1 => Just(Cell::Absent), 3 => there].boxed()
}

fn rows() -> impl Strategy<Value = Vec<Vec<Cell>>> {
    let row: Vec<BoxedStrategy<Cell>> = columns().iter().map(|column| cell(column.kind)).collect();
    proptest::collection::vec(row, 0..6)
}

/// A standing by its word in files or on a page.
fn standing(text: &str) -> Cell {
    let found = Standing::ALL.into_iter().find(|one| [one.word(), one.words()].contains(&text));
    found.unwrap_or_else(|| panic!("{text:?} is no standing")).into()
}

/// A number as it was written, into a cell of the kind of its column.
fn numeric(kind: ColumnKind, value: f64) -> Cell {
    match kind {
        ColumnKind::Time => Cell::Time(value),
        ColumnKind::Mixed => Cell::Own(Physical::Power, value),
        _ => Cell::Number(value),
    }
}

/// The same cells: numbers by their bits, any NaN for any other.
fn same(read: &[Vec<Cell>], written: &[Vec<Cell>]) -> bool {
    let bits = |value: f64| if value.is_nan() { f64::NAN.to_bits() } else { value.to_bits() };
    let cell = |(read, written): (&Cell, &Cell)| match (read, written) {
        (Cell::Number(a), Cell::Number(b)) | (Cell::Time(a), Cell::Time(b)) => bits(*a) == bits(*b),
        (Cell::Own(kind, a), Cell::Own(other, b)) => kind == other && bits(*a) == bits(*b),
        (read, written) => read == written,
    };
    let row = |(read, written): (&Vec<Cell>, &Vec<Cell>)| {
        read.len() == written.len() && read.iter().zip(written).all(cell)
    };
    read.len() == written.len() && read.iter().zip(written).all(row)
}
