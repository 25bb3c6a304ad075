//! A sheet as Parquet: a column for each column under its key, compressed, with what is known about its origin as key-value metadata.
//!
//! Numbers and times are optional doubles in SI, texts optional strings, flags optional booleans: absent is null, not a number stays NaN,
//! an empty text is empty. The same sheet gives the same bytes.

use super::{Cell, Column, ColumnKind, Sheet, SheetError, key_unit};
use parquet::basic::{Compression, Encoding, LogicalType, Repetition, Type as Physical};
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::schema::types::{ColumnPath, Type, TypePtr};
use serde_json::{Map, Value};
use std::sync::Arc;

/// Rows that are kept together in the file: 8 MB a column.
const GROUP_ROWS: usize = 1 << 20;

/// What a file says about itself.
#[derive(Clone, Debug)]
pub struct About<'a> {
    /// What its rows are: a word.
    pub name: &'a str,
    /// Program and version.
    pub program: &'a str,
    /// Origin, as keys and values; `units`, a JSON object of the unit by column, is added.
    pub facts: Vec<(&'static str, String)>,
}

/// The file.
///
/// # Errors
/// [`SheetError::Length`], [`SheetError::Misfit`], [`SheetError::Repeated`], and [`SheetError::Write`], which only a lack of memory can
/// cause.
pub fn parquet(about: &About<'_>, sheet: &Sheet) -> Result<Vec<u8>, SheetError> {
    sheet.check()?;
    sheet.check_keys("Parquet")?;
    write(about, sheet).map_err(|error| SheetError::Write { format: "Parquet", reason: error.to_string() })
}

fn write(about: &About<'_>, sheet: &Sheet) -> Result<Vec<u8>, ParquetError> {
    let mut properties = WriterProperties::builder()
        // bytes of equal weight side by side: smooth curves compress, where a dictionary of doubles only adds to them
        .set_dictionary_enabled(false)
        .set_encoding(Encoding::BYTE_STREAM_SPLIT)
        .set_compression(Compression::SNAPPY)
        .set_created_by(about.program.to_owned())
        .set_key_value_metadata(Some(metadata(about, sheet)));
    // texts and flags have no bytes of equal weight
    for column in sheet
        .columns
        .iter()
        .filter(|column| matches!(column.kind, ColumnKind::Text | ColumnKind::Flag | ColumnKind::Standing))
    {
        properties =
            properties.set_column_encoding(ColumnPath::new(vec![column.key.clone()]), Encoding::PLAIN);
    }
    let schema = schema(about.name, &sheet.columns)?;
    let mut writer = SerializedFileWriter::new(Vec::new(), schema, Arc::new(properties.build()))?;
    for rows in sheet.rows.chunks(GROUP_ROWS) {
        let mut group = writer.next_row_group()?;
        for number in 0..sheet.columns.len() {
            let Some(mut chunk) = group.next_column()? else { break };
            column(&mut chunk, rows.iter().map(|row| &row[number]))?;
            chunk.close()?;
        }
        group.close()?;
    }
    writer.into_inner()
}

/// The cells of one column of a group: whether each is there, and those that are.
fn column<'a>(
    chunk: &mut SerializedColumnWriter<'_>,
    cells: impl Iterator<Item = &'a Cell> + Clone,
) -> Result<(), ParquetError> {
    let there: Vec<i16> = cells.clone().map(|cell| i16::from(*cell != Cell::Absent)).collect();
    match chunk.untyped() {
        ColumnWriter::DoubleColumnWriter(writer) => {
            let values: Vec<f64> = cells.filter_map(number).collect();
            writer.write_batch(&values, Some(&there), None)?;
        }
        ColumnWriter::ByteArrayColumnWriter(writer) => {
            let text = |cell: &'a Cell| match cell {
                Cell::Text(text) => Some(ByteArray::from(text.as_str())),
                Cell::Standing(standing) => Some(ByteArray::from(standing.word())),
                _ => None,
            };
            let values: Vec<ByteArray> = cells.filter_map(text).collect();
            writer.write_batch(&values, Some(&there), None)?;
        }
        ColumnWriter::BoolColumnWriter(writer) => {
            let flag = |cell: &'a Cell| if let Cell::Flag(flag) = cell { Some(*flag) } else { None };
            let values: Vec<bool> = cells.filter_map(flag).collect();
            writer.write_batch(&values, Some(&there), None)?;
        }
        _ => return Err(ParquetError::General("a column of a type that no sheet has".to_owned())),
    }
    Ok(())
}

fn number(cell: &Cell) -> Option<f64> {
    match cell {
        Cell::Number(value) | Cell::Own(_, value) | Cell::Time(value) => Some(*value),
        _ => None,
    }
}

fn schema(name: &str, columns: &[Column]) -> Result<TypePtr, ParquetError> {
    let field = |column: &Column| {
        let (physical, logical) = match column.kind {
            ColumnKind::Text | ColumnKind::Standing => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
            ColumnKind::Flag => (Physical::BOOLEAN, None),
            _ => (Physical::DOUBLE, None),
        };
        let field = Type::primitive_type_builder(&column.key, physical)
            .with_repetition(Repetition::OPTIONAL)
            .with_logical_type(logical);
        field.build().map(Arc::new)
    };
    let fields = columns.iter().map(field).collect::<Result<Vec<_>, _>>()?;
    Ok(Arc::new(Type::group_type_builder(name).with_fields(fields).build()?))
}

fn metadata(about: &About<'_>, sheet: &Sheet) -> Vec<KeyValue> {
    let units: Map<String, Value> = sheet
        .columns
        .iter()
        .filter_map(|column| Some((column.key.clone(), Value::String(unit(column)?))))
        .collect();
    let facts = about.facts.iter().map(|(key, value)| KeyValue::new((*key).to_owned(), value.clone()));
    facts.chain([KeyValue::new("units".to_owned(), Value::Object(units).to_string())]).collect()
}

/// The unit of the numbers of a column as keys write it; none for what is no number.
fn unit(column: &Column) -> Option<String> {
    match column.kind {
        ColumnKind::Number(kind) => Some(key_unit(kind.si_unit())),
        ColumnKind::Time => Some("s".to_owned()),
        ColumnKind::Plain => Some(column.unit_name().to_owned()),
        ColumnKind::Count | ColumnKind::Mixed => Some(String::new()),
        ColumnKind::Text | ColumnKind::Flag | ColumnKind::Standing => None,
    }
}
