//! Parquet: columns of doubles, compressed, with the origin as key-value metadata.

use super::{Column, History, HistoryError};
use crate::json::Origin;
use parquet::basic::{Compression, Encoding, LogicalType, Repetition, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType};
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::{ColumnPath, Type, TypePtr};
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
    let facts = history.facts().into_iter().map(|(key, value)| KeyValue::new(key.to_owned(), value));
    let pairs = metadata(facts.collect(), history.table.columns());
    write("history", history.origin.program, history.table.columns(), None, pairs)
        .map_err(|error| failed(&error))
}

/// Columns of one length and a column of text after them, with the origin as key-value metadata.
pub(crate) fn parquet_rows(
    origin: &Origin<'_>,
    columns: &[Column],
    text: (&str, &[&str]),
) -> Result<Vec<u8>, HistoryError> {
    let facts = [
        ("schema", crate::json::SCHEMA.to_string()),
        ("program", origin.program.to_owned()),
        ("project", origin.project.to_owned()),
        ("variant", origin.variant.to_owned()),
        ("input_hash", origin.input_hash.to_owned()),
    ];
    let facts = facts.into_iter().map(|(key, value)| KeyValue::new(key.to_owned(), value)).collect();
    write("rows", origin.program, columns, Some(text), metadata(facts, columns))
        .map_err(|error| failed(&error))
}

fn failed(error: &ParquetError) -> HistoryError {
    HistoryError::Write { format: "Parquet", reason: error.to_string() }
}

fn write(
    name: &str,
    program: &str,
    columns: &[Column],
    text: Option<(&str, &[&str])>,
    pairs: Vec<KeyValue>,
) -> Result<Vec<u8>, ParquetError> {
    let properties = WriterProperties::builder()
        // bytes of equal weight side by side: smooth curves compress, where a dictionary of doubles only adds to them
        .set_dictionary_enabled(false)
        .set_encoding(Encoding::BYTE_STREAM_SPLIT)
        .set_compression(Compression::SNAPPY)
        .set_created_by(program.to_owned())
        .set_key_value_metadata(Some(pairs));
    // texts have no bytes of equal weight
    let properties = match text {
        Some((head, _)) => {
            properties.set_column_encoding(ColumnPath::new(vec![head.to_owned()]), Encoding::PLAIN)
        }
        None => properties,
    };
    let schema = schema(name, columns, text.map(|(head, _)| head))?;
    let mut writer = SerializedFileWriter::new(Vec::new(), schema, Arc::new(properties.build()))?;
    let all = columns.first().map_or(0, |column| column.values.len());
    for start in (0..all).step_by(GROUP_ROWS) {
        let rows = start..all.min(start + GROUP_ROWS);
        let mut group = writer.next_row_group()?;
        for column in columns {
            let Some(mut chunk) = group.next_column()? else { break };
            chunk.typed::<DoubleType>().write_batch(&column.values[rows.clone()], None, None)?;
            chunk.close()?;
        }
        if let (Some((_, texts)), Some(mut chunk)) = (text, group.next_column()?) {
            let texts: Vec<ByteArray> = texts[rows].iter().map(|text| ByteArray::from(*text)).collect();
            chunk.typed::<ByteArrayType>().write_batch(&texts, None, None)?;
            chunk.close()?;
        }
        group.close()?;
    }
    writer.into_inner()
}

fn schema(name: &str, columns: &[Column], text: Option<&str>) -> Result<TypePtr, ParquetError> {
    let mut fields = columns
        .iter()
        .map(|column| {
            let head = column.head();
            let field =
                Type::primitive_type_builder(&head, Physical::DOUBLE).with_repetition(Repetition::REQUIRED);
            field.build().map(Arc::new)
        })
        .collect::<Result<Vec<_>, _>>()?;
    if let Some(head) = text {
        let field = Type::primitive_type_builder(head, Physical::BYTE_ARRAY)
            .with_repetition(Repetition::REQUIRED)
            .with_logical_type(Some(LogicalType::String));
        fields.push(Arc::new(field.build()?));
    }
    Ok(Arc::new(Type::group_type_builder(name).with_fields(fields).build()?))
}

fn metadata(mut facts: Vec<KeyValue>, columns: &[Column]) -> Vec<KeyValue> {
    let units: Map<String, Value> =
        columns.iter().map(|column| (column.head(), Value::String(column.unit.clone()))).collect();
    facts.push(KeyValue::new("units".to_owned(), Value::Object(units).to_string()));
    facts
}
