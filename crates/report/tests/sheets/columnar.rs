//! Parquet.

use super::{columns, rows, same, sheet};
use parquet::file::reader::{FileReader as _, SerializedFileReader};
use parquet::record::Field;
use proptest::prelude::*;
use report::sheet::parquet::{About, parquet};
use report::sheet::{Cell, Column, ColumnKind, Sheet, SheetError};

fn about() -> About<'static> {
    About { name: "rows", program: "heatledger 0.1.0", facts: vec![("project", "tug".to_owned())] }
}

fn read(bytes: Vec<u8>, columns: &[Column]) -> Vec<Vec<Cell>> {
    let reader = SerializedFileReader::new(bytes::Bytes::from(bytes)).expect("a Parquet file");
    let cell = |column: &Column, field: &Field| match (column.kind, field) {
        (_, Field::Null) => Cell::Absent,
        (ColumnKind::Standing, Field::Str(text)) => super::standing(text),
        (_, Field::Str(text)) => Cell::Text(text.clone()),
        (_, Field::Bool(flag)) => Cell::Flag(*flag),
        (kind, Field::Double(value)) => super::numeric(kind, *value),
        other => panic!("{other:?}"),
    };
    let rows = reader.get_row_iter(None).expect("rows").map(|row| {
        let row = row.expect("a row");
        row.get_column_iter().zip(columns).map(|((_, field), column)| cell(column, field)).collect()
    });
    rows.collect()
}

proptest! {
    #[test]
    fn any_cells_come_back(rows in rows()) {
        let sheet = sheet(rows);
        let bytes = parquet(&about(), &sheet).expect("a sound sheet");
        prop_assert_eq!(&bytes, &parquet(&about(), &sheet).expect("a sound sheet"), "the same bytes");
        let read = read(bytes, &columns());
        prop_assert!(same(&read, &sheet.rows), "{:?}\n{:?}", sheet.rows, read);
    }
}

#[test]
fn absent_not_a_number_and_empty_are_three_things() {
    let columns = [Column::text("name"), Column::plain("x", "x", "K", 1), Column::flag("short", ["", ""])];
    let rows =
        [vec![Cell::Absent, f64::NAN.into(), true.into()], vec!["".into(), Cell::Absent, Cell::Absent]];
    let sheet = Sheet::new("x", columns.clone()).with_rows(rows);
    let read = read(parquet(&about(), &sheet).expect("a sound sheet"), &columns);
    assert_eq!((&read[0][0], &read[1][0], &read[1][1]), (&Cell::Absent, &Cell::from(""), &Cell::Absent));
    assert!(matches!(read[0][1], Cell::Number(value) if value.is_nan()));
    assert!(
        columns
            .iter()
            .zip(&read[1])
            .all(|(column, cell)| column.kind != ColumnKind::Flag || *cell == Cell::Absent)
    );
}

#[test]
fn two_columns_of_one_name_are_refused() {
    let twice = Sheet::new("x", [Column::count("n"), Column::count("n")]);
    assert!(matches!(parquet(&about(), &twice), Err(SheetError::Repeated { format: "Parquet", .. })));
}
