//! CSV.

use super::{AWKWARD, HEADS, history, same, table};
use report::history::{csv, csv_metadata};

#[test]
fn every_bit_comes_back() {
    let bytes = csv(&table()).unwrap();
    let mut reader = csv::Reader::from_reader(bytes.as_slice());
    assert_eq!(reader.headers().unwrap(), HEADS.as_slice());
    let rows: Vec<csv::StringRecord> = reader.records().collect::<Result<_, _>>().unwrap();
    assert_eq!(rows.len(), table().rows());
    for (index, column) in table().columns().iter().enumerate() {
        for (row, written) in rows.iter().zip(&column.values) {
            let read = if row[index].is_empty() { f64::NAN } else { row[index].parse().unwrap() };
            assert!(same(read, *written), "{}: {written} became {}", column.name, &row[index]);
        }
    }
    assert_eq!(AWKWARD.len(), rows.len());
}

#[test]
fn it_is_what_rfc_4180_says() {
    // section 2: heads in the first line, fields with commas or quotes in quotes, quotes doubled
    let text = String::from_utf8(csv(&table()).unwrap()).unwrap();
    let mut lines = text.lines();
    assert_eq!(
        lines.next().unwrap(),
        "time_s,winding left/temperature_K,\"loop \"\"stator\"\", A/flow_kg_s\",state of charge"
    );
    assert_eq!(lines.next().unwrap(), "0.0,300.0,0.1,1.0");
    // not finite: an empty cell
    assert_eq!(lines.next_back().unwrap(), "10000000.0,350.0,,0.0");
}

#[test]
fn its_description_names_origin_columns_and_units() {
    let table = table();
    let about = csv_metadata(&history(&table), "tow.csv");
    assert_eq!(about["@context"], "http://www.w3.org/ns/csvw");
    assert_eq!(about["url"], "tow.csv");
    let facts = &about["schema:additionalProperty"];
    assert_eq!((&facts["case"], &facts["input_hash"]), (&"hot day/tow/fan stops".into(), &"00ff".into()));
    let columns = about["tableSchema"]["columns"].as_array().unwrap();
    let heads: Vec<&str> = columns.iter().map(|c| c["titles"].as_str().unwrap()).collect();
    assert_eq!(heads, HEADS);
    assert_eq!(columns[1]["schema:unitText"], "K");
}
