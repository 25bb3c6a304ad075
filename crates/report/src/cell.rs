//! Cells of text in comma-separated values.

use schema::shown;

/// What a spreadsheet takes for the beginning of a formula.
const COMPUTED: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// A text as a cell that no spreadsheet computes: where it begins like a formula an apostrophe stands before it, and nothing in it can
/// steer a terminal. Numbers are no text and stay as they are.
pub fn text_cell(text: &str) -> String {
    let safe = shown(text);
    if text.starts_with(COMPUTED) { format!("'{safe}") } else { safe.into_owned() }
}

#[cfg(test)]
mod tests {
    use super::text_cell;

    #[test]
    fn a_text_that_a_spreadsheet_would_compute_is_marked_as_text() {
        for (text, cell) in [
            ("=HYPERLINK(1)", "'=HYPERLINK(1)"),
            ("+1", "'+1"),
            ("-bay air (K)", "'-bay air (K)"),
            ("@sum", "'@sum"),
            ("\tx", "'\tx"),
            ("\rx", "'\\u000dx"),
            ("bay = air", "bay = air"),
            ("x\u{202e}y", "x\\u202ey"),
        ] {
            assert_eq!(text_cell(text), cell);
        }
    }
}
