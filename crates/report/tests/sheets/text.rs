//! CSV, JSON and clipboard.

use super::{AWKWARD, NAMES, columns, numeric, rows, same, sheet, standing};
use model::standing::Standing;
use proptest::prelude::*;
use report::sheet::{Cell, Column, ColumnKind, Sheet, SheetError, cell_text, clipboard, csv, json};
use serde_json::Value;

/// A cell from its characters.
fn cell(column: &Column, text: &str) -> Cell {
    match (column.kind, text) {
        (_, "") => Cell::Absent,
        (ColumnKind::Text, text) => cell_text(text).into(),
        (ColumnKind::Standing, text) => standing(text),
        (ColumnKind::Flag, text) => Cell::Flag(text.parse().expect("true or false")),
        (kind, text) => numeric(kind, text.parse().expect("a number")),
    }
}

fn from_csv(bytes: &[u8]) -> Vec<Vec<Cell>> {
    let mut reader = ::csv::Reader::from_reader(bytes);
    let heads: Vec<String> = reader.headers().expect("heads").iter().map(str::to_owned).collect();
    let keys: Vec<String> = columns().into_iter().map(|column| column.key).collect();
    assert_eq!(heads, keys);
    let row = |record: ::csv::StringRecord| {
        columns().iter().zip(&record).map(|(column, text)| cell(column, text)).collect()
    };
    reader.records().map(|record| row(record.expect("a record"))).collect()
}

fn from_json(value: &Value) -> Vec<Vec<Cell>> {
    let cell = |column: &Column, value: &Value| match (column.kind, value) {
        (_, Value::Null) => Cell::Absent,
        (ColumnKind::Text, Value::String(text)) => Cell::Text(text.clone()),
        (ColumnKind::Standing, Value::String(text)) => standing(text),
        (ColumnKind::Flag, Value::Bool(flag)) => Cell::Flag(*flag),
        (kind, Value::String(odd)) => numeric(kind, odd.parse().expect("NaN or infinite")),
        (kind, number) => numeric(kind, number.as_f64().expect("a number")),
    };
    let row = |row: &Value| columns().iter().map(|column| cell(column, &row[&column.key])).collect();
    value.as_array().expect("a list").iter().map(row).collect()
}

/// The cells as they were copied: numbers in the unit of their head.
fn from_clipboard(text: &str) -> Vec<Vec<Cell>> {
    let lines = text.strip_suffix('\n').expect("a line break at the end").split('\n');
    let row = |line: &str| {
        columns().iter().zip(line.split('\t')).map(|(column, text)| cell(column, text)).collect()
    };
    lines.skip(2).map(row).collect()
}

/// The sheet with its numbers in the units in which they are shown.
fn as_copied(sheet: &Sheet) -> Vec<Vec<Cell>> {
    let cell = |column: &Column, cell: &Cell| match column.number_of(cell) {
        Some(value) => numeric(column.kind, value),
        None => cell.clone(),
    };
    let row =
        |row: &Vec<Cell>| sheet.columns.iter().zip(row).map(|(column, one)| cell(column, one)).collect();
    sheet.rows.iter().map(row).collect()
}

fn checked(rows: Vec<Vec<Cell>>) {
    let sheet = sheet(rows);
    let bytes = csv::csv(&sheet).expect("a sound sheet");
    assert!(same(&from_csv(&bytes), &sheet.rows), "{:?}\n{}", sheet.rows, String::from_utf8_lossy(&bytes));
    let text = json::rows(&sheet).expect("a sound sheet").to_string();
    let read = from_json(&serde_json::from_str(&text).expect("JSON"));
    assert!(same(&read, &sheet.rows), "{:?}\n{text}", sheet.rows);
    let text = clipboard::clipboard(std::slice::from_ref(&sheet));
    assert!(same(&from_clipboard(&text), &as_copied(&sheet)), "{:?}\n{text:?}", sheet.rows);
    // nothing that steers a terminal stands in what is text for people
    for text in [String::from_utf8(bytes).expect("it is UTF-8"), text] {
        assert!(!text.chars().any(schema::is_steering), "{text:?}");
    }
}

#[test]
fn awkward_cells_come_back() {
    let row = |name: &str, value: f64| {
        let name = Cell::from(name);
        let number = || Cell::Number(value);
        vec![
            name.clone(),
            number(),
            number(),
            Cell::count(7),
            Cell::Time(value),
            true.into(),
            Standing::Short.into(),
            numeric(ColumnKind::Mixed, value),
            name,
        ]
    };
    let all = NAMES.iter().enumerate().map(|(n, name)| row(name, AWKWARD[n % AWKWARD.len()]));
    checked(all.chain([vec![Cell::Absent; 9]]).collect());
}

proptest! {
    #[test]
    fn any_cells_come_back(rows in rows()) {
        checked(rows);
    }
}

/// By hand: what is absent is an empty cell, an empty text an apostrophe; 338.15 K are 65 degC in the clipboard.
#[test]
fn each_format_tells_absent_from_empty_from_not_a_number() {
    let columns = [
        Column::text("name"),
        Column::number("temperature_K", units::Kind::Temperature, "degC", 1).head("temperature"),
    ];
    let rows = [
        vec![Cell::Absent, f64::NAN.into()],
        vec!["".into(), Cell::Absent],
        vec!["=1+1".into(), 338.15.into()],
    ];
    let sheet = Sheet::new("hot", columns).with_rows(rows);
    let text = String::from_utf8(csv::csv(&sheet).expect("a sound sheet")).expect("it is text");
    assert_eq!(text, "name,temperature_K\n,NaN\n',\n'=1+1,338.15\n");
    assert_eq!(
        json::rows(&sheet).expect("a sound sheet"),
        serde_json::json!([
            { "name": null, "temperature_K": "NaN" },
            { "name": "", "temperature_K": null },
            { "name": "=1+1", "temperature_K": 338.15 },
        ])
    );
    let copied = clipboard::clipboard(&[sheet]);
    assert_eq!(copied, "hot\nname\ttemperature, degC\n\tNaN\n'\t\n'=1+1\t65.0\n");
}

#[test]
fn several_sheets_in_one_file_stand_under_their_titles() {
    let sheet = |title: &str| Sheet::new(title, [Column::count("n")]).with_rows([vec![Cell::count(1)]]);
    let bytes = csv::page(&[sheet(""), sheet("-second")], csv::LineEnd::Rfc).expect("sound sheets");
    assert_eq!(String::from_utf8(bytes).expect("it is text"), "n\r\n1.0\r\n\r\n'-second\r\nn\r\n1.0\r\n");
}

#[test]
fn what_a_format_cannot_hold_is_refused() {
    let twice = Sheet::new("x", [Column::count("n"), Column::count("n")]);
    assert!(matches!(json::rows(&twice), Err(SheetError::Repeated { format: "JSON", .. })));
    let misfit = Sheet { rows: vec![vec!["text".into()]], ..Sheet::new("x", [Column::count("n")]) };
    assert!(matches!(csv::csv(&misfit), Err(SheetError::Misfit { row: 0, .. })));
    let short = Sheet { rows: vec![Vec::new()], ..Sheet::new("x", [Column::count("n")]) };
    let error = csv::csv(&short).expect_err("a cell is missing");
    assert_eq!(error.to_string(), "row 0 of the sheet \"x\" has 0 cells for 1 columns");
}
