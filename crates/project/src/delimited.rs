//! Cells of a spreadsheet as text: separated by tabs, semicolons or commas (RFC 4180 quoting).

use thiserror::Error;

/// More than this is no measured table.
pub const MAX_BYTES: usize = 4_000_000;

/// Why a text holds no cells.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DelimitedError {
    /// It is larger than any measured table.
    #[error("the text has {0} bytes, more than a measured table; copy the columns of the table only")]
    TooLong(usize),
    /// It is no text.
    #[error("it is not UTF-8 text; save it from the spreadsheet as comma-separated values in UTF-8")]
    NoText,
    /// A quotation mark has no partner, or another mistake of notation.
    #[error("line {line} cannot be split into cells: {reason}; correct the line")]
    Line {
        /// Number of the line, from 1.
        line: u64,
        /// What is wrong.
        reason: String,
    },
}

/// The cells of a text, row after row; empty lines are left out. Tabs separate if there is one, else semicolons, else commas.
/// Nothing is said about the cells: whether `1,5` is a number is for the reader of the cell to say.
///
/// # Errors
/// [`DelimitedError`] names the line.
pub fn cells(bytes: &[u8]) -> Result<Vec<Vec<String>>, DelimitedError> {
    if bytes.len() > MAX_BYTES {
        return Err(DelimitedError::TooLong(bytes.len()));
    }
    let text = std::str::from_utf8(bytes).map_err(|_error| DelimitedError::NoText)?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.contains('\0') {
        return Err(DelimitedError::NoText);
    }
    let separator = if text.contains('\t') {
        b'\t'
    } else if text.contains(';') {
        b';'
    } else {
        b','
    };
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| DelimitedError::Line {
            line: error.position().map_or(1, csv::Position::line),
            reason: error.to_string(),
        })?;
        let row: Vec<String> = record.iter().map(|cell| cell.trim().to_owned()).collect();
        if row.iter().any(|cell| !cell.is_empty()) {
            rows.push(row);
        }
    }
    Ok(rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(cells: &[&str]) -> Vec<String> {
        cells.iter().map(|cell| (*cell).to_owned()).collect()
    }

    #[test]
    fn tabs_come_before_semicolons_and_semicolons_before_commas() {
        assert_eq!(cells(b"0\t60\r\n10\t55\r\n").unwrap(), [row(&["0", "60"]), row(&["10", "55"])]);
        assert_eq!(cells(b"0,5;60\n").unwrap(), [row(&["0,5", "60"])]);
        assert_eq!(cells(b"flow [L/min],rise\n\n 0 , 60 \n").unwrap()[1], row(&["0", "60"]));
    }

    /// RFC 4180: a field in quotation marks may hold the separator; two marks stand for one.
    #[test]
    fn quotation_marks_keep_a_cell_together() {
        assert_eq!(cells(b"\"a, b\",\"say \"\"so\"\"\"\n").unwrap(), [row(&["a, b", "say \"so\""])]);
    }

    #[test]
    fn what_is_no_text_is_refused_with_a_remedy() {
        assert_eq!(cells(&[0xff, 0xfe, 0x41]), Err(DelimitedError::NoText));
        assert_eq!(cells(b"a\0b"), Err(DelimitedError::NoText));
        assert!(matches!(cells(&vec![b'1'; MAX_BYTES + 1]), Err(DelimitedError::TooLong(_))));
        assert_eq!(cells("\u{feff}1,2".as_bytes()).unwrap(), [row(&["1", "2"])]);
    }
}
