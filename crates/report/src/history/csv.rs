//! Comma-separated values (RFC 4180) with a description beside them (W3C "Metadata Vocabulary for Tabular Data", 2015).

use super::{Column, History, HistoryError, HistoryTable};
use crate::cell::text_cell;
use serde_json::{Map, Value, json};

/// The table as UTF-8 text: one row of heads, then numbers that read back to the same bits; a number that is not finite is an
/// empty cell. Nothing but the table stands in the file, so that every reader takes it: see [`csv_metadata`].
///
/// # Errors
/// [`HistoryError::Write`], which only a lack of memory can cause.
pub fn csv(table: &HistoryTable) -> Result<Vec<u8>, HistoryError> {
    csv_rows(table.columns(), None)
}

/// Columns of one length, and a column of text after them.
pub(crate) fn csv_rows(columns: &[Column], text: Option<(&str, &[&str])>) -> Result<Vec<u8>, HistoryError> {
    let failed = |reason: String| HistoryError::Write { format: "CSV", reason };
    let mut writer = csv::Writer::from_writer(Vec::new());
    let heads =
        columns.iter().map(|column| text_cell(&column.head())).chain(text.map(|(head, _)| head.to_owned()));
    writer.write_record(heads).map_err(|e| failed(e.to_string()))?;
    for row in 0..columns.first().map_or(0, |column| column.values.len()) {
        let cells = columns.iter().map(|column| cell(column.values[row]));
        let last = text.map(|(_, texts)| text_cell(texts[row]));
        writer.write_record(cells.chain(last)).map_err(|e| failed(e.to_string()))?;
    }
    writer.into_inner().map_err(|e| failed(e.to_string()))
}

/// The shortest text that reads back to the same number.
fn cell(value: f64) -> String {
    if value.is_finite() { format!("{value:?}") } else { String::new() }
}

/// Description of a CSV file, to be kept beside it as `FILE.csv-metadata.json`: its origin, and name, unit and type of each column.
pub fn csv_metadata(history: &History<'_>, file_name: &str) -> Value {
    let facts: Map<String, Value> =
        history.facts().into_iter().map(|(key, value)| (key.to_owned(), Value::String(value))).collect();
    let columns: Value = history
        .table
        .columns()
        .iter()
        .map(|column| {
            json!({
                "titles": column.head(),
                "dc:description": column.name,
                "schema:unitText": column.unit,
                "datatype": "number",
                "null": "",
            })
        })
        .collect();
    json!({
        "@context": "http://www.w3.org/ns/csvw",
        "url": file_name,
        "dc:title": format!("{}, {}, {}", history.origin.project, history.origin.variant, history.case),
        "dc:creator": history.origin.program,
        "schema:additionalProperty": facts,
        "dialect": { "header": true, "encoding": "utf-8" },
        "tableSchema": { "columns": columns },
    })
}
