//! Rows of a sheet as JSON: an object for each row, its keys those of the columns.

use super::{Cell, Column, ColumnKind, Sheet, SheetError};
use serde_json::{Map, Value, json};

/// The rows. Numbers and times are in SI and read back to the same bits; what is absent is null; a number that is not finite, which JSON
/// cannot hold, is the text `"NaN"`, `"inf"` or `"-inf"`.
///
/// # Errors
/// [`SheetError::Length`], [`SheetError::Misfit`], [`SheetError::Repeated`].
pub fn rows(sheet: &Sheet) -> Result<Value, SheetError> {
    sheet.check()?;
    sheet.check_keys("JSON")?;
    let row = |row: &Vec<Cell>| {
        let cells = sheet.columns.iter().zip(row);
        Value::Object(
            cells.map(|(column, cell)| (column.key.clone(), value(column, cell))).collect::<Map<_, _>>(),
        )
    };
    Ok(sheet.rows.iter().map(row).collect())
}

/// The largest number up to which every whole number is a double.
const WHOLE: f64 = 9_007_199_254_740_992.0;

fn value(column: &Column, cell: &Cell) -> Value {
    match cell {
        Cell::Absent => Value::Null,
        Cell::Number(count)
            if column.kind == ColumnKind::Count && count.fract() == 0.0 && (0.0..WHOLE).contains(count) =>
        {
            json!(*count as u64)
        }
        Cell::Number(number) | Cell::Own(_, number) | Cell::Time(number) if number.is_finite() => {
            json!(number)
        }
        Cell::Number(number) | Cell::Own(_, number) | Cell::Time(number) => json!(format!("{number:?}")),
        Cell::Text(text) => json!(text),
        Cell::Flag(flag) => json!(flag),
        Cell::Standing(standing) => json!(standing.word()),
    }
}
