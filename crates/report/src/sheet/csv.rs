//! A sheet as comma-separated values (RFC 4180).
//!
//! Every column stands apart, under its key. Numbers read back to the same bits; one that is not finite is `NaN`, `inf` or `-inf`; what is
//! absent is an empty cell; texts are those of [`text_cell`], so that an empty text is an apostrophe.

use super::{Cell, Sheet, SheetError, text_cell};

/// How lines end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineEnd {
    /// A line feed, as tools of the command line write it.
    Unix,
    /// Carriage return and line feed, as RFC 4180 asks for.
    Rfc,
}

/// One sheet, without its title: heads, then rows.
///
/// # Errors
/// [`SheetError::Length`], [`SheetError::Misfit`], and [`SheetError::Write`], which only a lack of memory can cause.
pub fn csv(sheet: &Sheet) -> Result<Vec<u8>, SheetError> {
    let mut bytes = Vec::new();
    write(sheet, LineEnd::Unix, &mut bytes)?;
    Ok(bytes)
}

/// Several sheets with their titles, an empty line between them: a file for people and spreadsheets, not one table.
///
/// # Errors
/// As [`csv()`].
pub fn page(sheets: &[Sheet], end: LineEnd) -> Result<Vec<u8>, SheetError> {
    let mut bytes = Vec::new();
    for (number, sheet) in sheets.iter().enumerate() {
        if number > 0 {
            bytes.extend_from_slice(if end == LineEnd::Rfc { b"\r\n" } else { b"\n" });
        }
        if !sheet.title.is_empty() {
            records(end, &mut bytes, std::iter::once(vec![text_cell(&sheet.title)]))?;
        }
        write(sheet, end, &mut bytes)?;
    }
    Ok(bytes)
}

fn write(sheet: &Sheet, end: LineEnd, bytes: &mut Vec<u8>) -> Result<(), SheetError> {
    sheet.check()?;
    let heads = sheet.columns.iter().map(|column| text_cell(&column.key)).collect();
    let rows = sheet.rows.iter().map(|row| row.iter().map(cell).collect());
    records(end, bytes, std::iter::once(heads).chain(rows))
}

fn records(
    end: LineEnd,
    bytes: &mut Vec<u8>,
    records: impl Iterator<Item = Vec<String>>,
) -> Result<(), SheetError> {
    let failed = |reason: String| SheetError::Write { format: "CSV", reason };
    let end = if end == LineEnd::Rfc { csv::Terminator::CRLF } else { csv::Terminator::Any(b'\n') };
    let mut writer = csv::WriterBuilder::new().terminator(end).from_writer(bytes);
    for record in records {
        writer.write_record(record).map_err(|error| failed(error.to_string()))?;
    }
    writer.flush().map_err(|error| failed(error.to_string()))
}

/// A cell: the shortest text that reads back to the same.
fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Absent => String::new(),
        Cell::Number(value) | Cell::Own(_, value) | Cell::Time(value) => format!("{value:?}"),
        Cell::Text(text) => text_cell(text),
        Cell::Flag(flag) => flag.to_string(),
        Cell::Standing(standing) => standing.word().to_owned(),
    }
}
