//! The description of a CSV file (W3C "Metadata Vocabulary for Tabular Data", 2015).

use super::{History, HistoryError, HistoryTable};
use crate::sheet::csv::csv as written;
use serde_json::{Map, Value, json};

/// The table as UTF-8 text: one row of heads, then numbers that read back to the same bits; where there is no number the cell is
/// empty. Nothing but the table stands in the file, so that every reader takes it: see [`csv_metadata`].
///
/// # Errors
/// [`HistoryError::Sheet`], which only a lack of memory can cause.
pub fn csv(table: &HistoryTable) -> Result<Vec<u8>, HistoryError> {
    Ok(written(&table.sheet())?)
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
