//! Texts in formats whose cells are bare characters, and the marks of what is no plain text.

use schema::shown;

/// What a spreadsheet takes for the beginning of a formula.
const COMPUTED: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];
/// Stands before a text that would be taken for something else.
const MARK: char = '\'';

/// A text as a cell that no spreadsheet computes and that reads back. An apostrophe stands before it where it begins like a formula, where
/// it would read as absent, and where one stands already. What could steer a terminal is written as `\u001b`, and a `\u` of the text itself
/// with its backslash as `\u005c`. Numbers are no text and stay as they are.
pub fn text_cell(text: &str) -> String {
    let own = text.replace("\\u", "\\u005cu");
    let safe = shown(&own);
    let is_marked = text.is_empty() || text.starts_with(COMPUTED) || text.starts_with(MARK);
    if is_marked { format!("{MARK}{safe}") } else { safe.into_owned() }
}

/// The text of a cell that [`text_cell`] wrote; none for an empty cell.
pub fn cell_text(cell: &str) -> Option<String> {
    if cell.is_empty() {
        return None;
    }
    let mut parts = cell.strip_prefix(MARK).unwrap_or(cell).split("\\u");
    let mut text = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let escape = part.get(..4).and_then(|digits| u32::from_str_radix(digits, 16).ok());
        if let Some(character) = escape.and_then(char::from_u32) {
            text.push(character);
            text.push_str(&part[4..]);
        } else {
            text.push_str("\\u");
            text.push_str(part);
        }
    }
    Some(text)
}

#[cfg(test)]
mod tests {
    use super::{cell_text, text_cell};

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
            assert_eq!(cell_text(cell).as_deref(), Some(text));
        }
    }

    #[test]
    fn an_empty_cell_is_absent() {
        assert_eq!(cell_text(""), None);
        assert_eq!(cell_text("a\\uzz").as_deref(), Some("a\\uzz"));
    }

    #[test]
    fn what_would_read_as_something_else_is_marked() {
        for (text, cell) in
            [("", "'"), ("'quoted'", "''quoted'"), ("a\\u202eb", "a\\u005cu202eb"), ("a\\b", "a\\b")]
        {
            assert_eq!(text_cell(text), cell);
            assert_eq!(cell_text(cell).as_deref(), Some(text));
        }
    }
}
