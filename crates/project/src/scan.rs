//! Character classes and small scans of the RON syntax.

/// Blank characters between values.
pub(crate) fn is_blank(c: char) -> bool {
    matches!(
        c,
        ' ' | '\t'
            | '\n'
            | '\r'
            | '\x0B'
            | '\x0C'
            | '\u{85}'
            | '\u{200E}'
            | '\u{200F}'
            | '\u{2028}'
            | '\u{2029}'
    )
}

/// First character of a bare word.
pub(crate) fn starts_word(c: char) -> bool {
    c == '_' || c.is_alphabetic()
}

/// Further characters of a bare word.
pub(crate) fn continues_word(c: char) -> bool {
    c == '_' || c.is_alphanumeric()
}

/// Characters of a raw word, `r#name`.
pub(crate) fn in_raw_word(c: char) -> bool {
    matches!(c, '.' | '+' | '-') || continues_word(c)
}

/// Length in bytes of the start of `text` whose characters all fulfil `test`.
pub(crate) fn run(text: &str, test: fn(char) -> bool) -> usize {
    text.find(|c| !test(c)).unwrap_or(text.len())
}

/// Where blanks and comments end.
pub(crate) enum Blanks {
    /// At this offset.
    End(usize),
    /// A block comment that starts at this offset is not closed.
    Unclosed(usize),
}

/// Skips blanks and comments from `at`. Block comments nest.
pub(crate) fn skip_blanks(text: &str, mut at: usize) -> Blanks {
    let bytes = text.as_bytes();
    loop {
        while at < bytes.len() && matches!(bytes[at], b' ' | b'\n' | b'\t' | b'\r') {
            at += 1;
        }
        let Some(byte) = bytes.get(at) else { return Blanks::End(at) };
        if byte.is_ascii() && !matches!(byte, b'/' | 0x0B | 0x0C) {
            return Blanks::End(at);
        }
        let rest = &text[at..];
        if rest.starts_with("//") {
            at += rest.find('\n').unwrap_or(rest.len());
        } else if rest.starts_with("/*") {
            match block_comment(rest) {
                Some(length) => at += length,
                None => return Blanks::Unclosed(at),
            }
        } else {
            match rest.chars().next() {
                Some(c) if is_blank(c) => at += c.len_utf8(),
                _ => return Blanks::End(at),
            }
        }
    }
}

/// Length of a block comment at the start of `text`; `None` if there is none, or if it is not closed.
pub(crate) fn block_comment(text: &str) -> Option<usize> {
    if !text.starts_with("/*") {
        return None;
    }
    let bytes = text.as_bytes();
    let (mut depth, mut at) = (0_usize, 0);
    while at + 1 < bytes.len() {
        match &bytes[at..at + 2] {
            b"/*" => (depth, at) = (depth + 1, at + 2),
            b"*/" => (depth, at) = (depth - 1, at + 2),
            _ => at += 1,
        }
        if depth == 0 {
            return Some(at);
        }
    }
    None
}

/// A bare or raw word at the start of `text`: the word and the bytes it takes.
pub(crate) fn word(text: &str) -> Option<(&str, usize)> {
    if starts_string(text) {
        return None;
    }
    if let Some(raw) = text.strip_prefix("r#") {
        let length = run(raw, in_raw_word);
        return (length > 0).then(|| (&raw[..length], length + 2));
    }
    if !text.chars().next().is_some_and(starts_word) {
        return None;
    }
    // Nearly all words are ASCII; the rest of the work is for those that are not.
    let ascii = text.bytes().position(|b| !(b.is_ascii_alphanumeric() || b == b'_')).unwrap_or(text.len());
    let length = ascii + run(&text[ascii..], continues_word);
    Some((&text[..length], length))
}

/// True at the start of a string of any sort, also of the byte strings that project files do not use.
pub(crate) fn starts_string(text: &str) -> bool {
    match text.as_bytes().first() {
        Some(b'"') => true,
        Some(b'r') => ["r\"", "r#\"", "r##"].iter().any(|start| text.starts_with(start)),
        Some(b'b') => ["b\"", "b'", "br\"", "br#"].iter().any(|start| text.starts_with(start)),
        _ => false,
    }
}

/// Value of a bare number, `None` if it is none.
pub(crate) fn number(text: &str) -> Option<f64> {
    let (sign, digits) = match text.as_bytes().first()? {
        b'-' => (-1.0, &text[1..]),
        b'+' => (1.0, &text[1..]),
        _ => (1.0, text),
    };
    match digits {
        "inf" => return Some(sign * f64::INFINITY),
        "NaN" => return Some(f64::NAN),
        _ => {}
    }
    for (prefix, base) in [("0x", 16), ("0o", 8), ("0b", 2)] {
        if let Some(digits) = digits.strip_prefix(prefix) {
            return (!digits.starts_with('_'))
                .then(|| u64::from_str_radix(&digits.replace('_', ""), base).ok())
                .flatten()
                .map(|value| sign * value as f64);
        }
    }
    let plain =
        digits.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'e' | b'E' | b'+' | b'-' | b'_'));
    let starts = digits.bytes().next().is_some_and(|b| b.is_ascii_digit() || b == b'.');
    if !plain || !starts || digits.contains("._") {
        return None;
    }
    let value: f64 = digits.replace('_', "").parse().ok()?;
    Some(sign * value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_the_notation_says() {
        for (text, value) in [
            ("1", 1.0),
            ("-2.5e-3", -2.5e-3),
            ("+.5", 0.5),
            ("1_000", 1000.0),
            ("0x1F", 31.0),
            ("1.", 1.0),
            ("-inf", f64::NEG_INFINITY),
        ] {
            assert_eq!(number(text), Some(value), "{text}");
        }
        for text in ["", "-", "_1", "1mm", "1.2.3", "e5", "--1", "0xG", "1._5"] {
            assert_eq!(number(text), None, "{text}");
        }
    }

    #[test]
    fn comments_nest() {
        let text = " /* a /* b */ c */ // d\n x";
        assert!(matches!(skip_blanks(text, 0), Blanks::End(at) if &text[at..] == "x"));
        assert!(matches!(skip_blanks("  /* a /* */", 0), Blanks::Unclosed(2)));
    }
}
