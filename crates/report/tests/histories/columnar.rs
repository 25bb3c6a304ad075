//! Parquet.

use super::{HEADS, history, same, table};
use parquet::file::reader::{FileReader as _, SerializedFileReader};
use parquet::record::RowAccessor as _;
use report::history::{HistoryColumn, HistoryTable, parquet};
use studies::sweep::{Row, Sweep, Watch};

fn read(bytes: Vec<u8>) -> SerializedFileReader<bytes::Bytes> {
    SerializedFileReader::new(bytes::Bytes::from(bytes)).expect("a Parquet file")
}

#[test]
fn every_bit_comes_back() {
    let table = table();
    let reader = read(parquet(&history(&table)).unwrap());
    let schema = reader.metadata().file_metadata().schema_descr();
    let heads: Vec<&str> = schema.columns().iter().map(|column| column.name()).collect();
    assert_eq!(heads, HEADS);
    let mut rows = 0;
    for row in reader.get_row_iter(None).unwrap() {
        let row = row.unwrap();
        for (index, column) in table.columns().iter().enumerate() {
            // what is no number is null
            let (found, written) = (row.get_double(index).unwrap_or(f64::NAN), column.values[rows]);
            assert!(same(found, written), "{}: {written} became {found}", column.name);
        }
        rows += 1;
    }
    assert_eq!(rows, table.rows());
}

#[test]
fn the_metadata_name_origin_and_units() {
    let table = table();
    let reader = read(parquet(&history(&table)).unwrap());
    let file = reader.metadata().file_metadata();
    assert_eq!(file.created_by(), Some("heatledger 0.1.0"));
    let pairs = file.key_value_metadata().unwrap();
    let value =
        |key: &str| pairs.iter().find(|pair| pair.key == key).and_then(|pair| pair.value.clone()).unwrap();
    for (key, expected) in [
        ("program", "heatledger 0.1.0"),
        ("project", "Glider tug"),
        ("variant", "base"),
        ("case", "hot day/tow/fan stops"),
        ("input_hash", "00ff"),
        ("schema", "2"),
    ] {
        assert_eq!(value(key), expected);
    }
    let units: serde_json::Value = serde_json::from_str(&value("units")).unwrap();
    assert_eq!(units["winding left/temperature_K"], "K");
}

#[test]
fn a_long_history_has_several_groups_and_the_same_bytes_each_time() {
    let rows = (1 << 20) + 17;
    let time: Vec<f64> = (0..rows).map(f64::from).collect();
    let table = HistoryTable::new(vec![HistoryColumn::new("time", "s", time)]).unwrap();
    let bytes = parquet(&history(&table)).unwrap();
    assert_eq!(bytes, parquet(&history(&table)).unwrap());
    let reader = read(bytes);
    assert_eq!(reader.num_row_groups(), 2);
    assert_eq!(reader.metadata().file_metadata().num_rows(), i64::from(rows));
}

#[test]
fn a_history_without_rows_is_a_file() {
    let table = HistoryTable::new(vec![HistoryColumn::new("time", "s", Vec::new())]).unwrap();
    let reader = read(parquet(&history(&table)).unwrap());
    assert_eq!(reader.metadata().file_metadata().num_rows(), 0);
}

/// The rows of a sweep as the reader of the library gives them back: numbers to the bit, the remark as text, null where there is none.
#[test]
fn rows_of_a_sweep_come_back_with_their_remarks() {
    let row = |point, value: Option<f64>, remark: &str| Row {
        point,
        inputs: Vec::new(),
        results: vec![value],
        remark: remark.to_owned(),
    };
    let rows = vec![row(7, Some(0.1), ""), row(8, None, "warm/full: no_equilibrium")];
    let sweep = Sweep { axes: Vec::new(), watched: vec![Watch::Mass], points: 2, rows };
    let table = table();
    let bytes = report::sweep::parquet(&history(&table).origin, &sweep, "s").unwrap();
    let reader = read(bytes);
    let schema = reader.metadata().file_metadata().schema_descr();
    let heads: Vec<&str> = schema.columns().iter().map(|column| column.name()).collect();
    assert_eq!(heads, ["point", "mass_kg", "remark", "points", "sweep"]);
    let found: Vec<_> = reader.get_row_iter(None).unwrap().map(Result::unwrap).collect();
    assert_eq!((found[0].get_double(0).unwrap(), found[0].get_double(1).unwrap()), (7.0, 0.1));
    let is_null = |row: usize, column: usize| {
        let field = found[row].get_column_iter().nth(column).map(|(_, field)| field.clone());
        field == Some(parquet::record::Field::Null)
    };
    assert!(is_null(1, 1) && is_null(0, 2) && !is_null(0, 1));
    assert_eq!(found[1].get_string(2).unwrap(), "warm/full: no_equilibrium");
}
