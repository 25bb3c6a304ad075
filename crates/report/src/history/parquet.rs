//! Parquet: columns of doubles, compressed, with the origin as key-value metadata.

use super::{History, HistoryError, HistoryTable};
use parquet::basic::{Compression, Encoding, Repetition, Type as Physical};
use parquet::data_type::DoubleType;
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::{Type, TypePtr};
use serde_json::{Map, Value};
use std::sync::Arc;

/// Rows that are kept together in the file: 8 MB a column.
const GROUP_ROWS: usize = 1 << 20;

/// The history as a Parquet file: one required column of doubles for each column of the table, under the same heads as in the
/// CSV; NaN stays NaN. The key-value metadata hold `schema`, `program`, `project`, `variant`, `case`, `input_hash`, and `units`, a
/// JSON object of the unit by head. The same history gives the same bytes.
///
/// # Errors
/// [`HistoryError::Write`], which only a lack of memory can cause.
pub fn parquet(history: &History<'_>) -> Result<Vec<u8>, HistoryError> {
    write(history).map_err(|error| HistoryError::Write { format: "Parquet", reason: error.to_string() })
}

fn write(history: &History<'_>) -> Result<Vec<u8>, ParquetError> {
    let table = history.table;
    let properties = WriterProperties::builder()
        // bytes of equal weight side by side: smooth curves compress, where a dictionary of doubles only adds to them
        .set_dictionary_enabled(false)
        .set_encoding(Encoding::BYTE_STREAM_SPLIT)
        .set_compression(Compression::SNAPPY)
        .set_created_by(history.origin.program.to_owned())
        .set_key_value_metadata(Some(metadata(history)))
        .build();
    let mut writer = SerializedFileWriter::new(Vec::new(), schema(table)?, Arc::new(properties))?;
    for start in (0..table.rows()).step_by(GROUP_ROWS) {
        let rows = start..table.rows().min(start + GROUP_ROWS);
        let mut group = writer.next_row_group()?;
        for column in table.columns() {
            let Some(mut chunk) = group.next_column()? else { break };
            chunk.typed::<DoubleType>().write_batch(&column.values[rows.clone()], None, None)?;
            chunk.close()?;
        }
        group.close()?;
    }
    writer.into_inner()
}

fn schema(table: &HistoryTable) -> Result<TypePtr, ParquetError> {
    let fields = table
        .columns()
        .iter()
        .map(|column| {
            let head = column.head();
            let field =
                Type::primitive_type_builder(&head, Physical::DOUBLE).with_repetition(Repetition::REQUIRED);
            field.build().map(Arc::new)
        })
        .collect::<Result<Vec<_>, _>>()?;
    Ok(Arc::new(Type::group_type_builder("history").with_fields(fields).build()?))
}

fn metadata(history: &History<'_>) -> Vec<KeyValue> {
    let units: Map<String, Value> = history
        .table
        .columns()
        .iter()
        .map(|column| (column.head(), Value::String(column.unit.clone())))
        .collect();
    let mut pairs: Vec<KeyValue> =
        history.facts().into_iter().map(|(key, value)| KeyValue::new(key.to_owned(), value)).collect();
    pairs.push(KeyValue::new("units".to_owned(), Value::Object(units).to_string()));
    pairs
}
