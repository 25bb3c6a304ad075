//! Where every value, field name, bracket and comma of a text stands: the side of a file that its tree does not keep.
//!
//! Only for text that [`crate::parse`] has read without a mistake; anything unexpected gives `None`.

use std::ops::Range;

use crate::scan::{self, Blanks};

/// Where a value stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Layout {
    /// From the tag, the opening bracket or the first character up to behind the last one.
    pub(super) span: Range<usize>,
    /// Of bracketed values.
    pub(super) group: Option<Group>,
}

/// The inside of a bracketed value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Group {
    /// Between the brackets.
    pub(super) inside: Range<usize>,
    /// Items, fields or entries.
    pub(super) parts: Vec<Part>,
}

/// An item, a field or an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Part {
    /// Where its field name or key starts, or the value if it has none.
    pub(super) start: usize,
    /// Its value.
    pub(super) value: Layout,
    /// The comma behind it.
    pub(super) comma: Option<usize>,
}

/// The layout of the value that a project text holds.
pub(super) fn layout(text: &str) -> Option<Layout> {
    let at = if text.starts_with('\u{FEFF}') { '\u{FEFF}'.len_utf8() } else { 0 };
    let mut scanner = Scanner { text, at };
    scanner.blanks()?;
    while scanner.rest().starts_with('#') {
        scanner.at += scanner.rest().find(']')? + 1;
        scanner.blanks()?;
    }
    let layout = scanner.value()?;
    scanner.blanks()?;
    scanner.rest().is_empty().then_some(layout)
}

struct Scanner<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Scanner<'t> {
    fn rest(&self) -> &'t str {
        &self.text[self.at..]
    }

    /// Goes past blanks and comments.
    fn blanks(&mut self) -> Option<()> {
        match scan::skip_blanks(self.text, self.at) {
            Blanks::End(at) => self.at = at,
            Blanks::Unclosed(_) => return None,
        }
        Some(())
    }

    fn take(&mut self, c: char) -> Option<usize> {
        let at = self.at;
        self.rest().starts_with(c).then(|| {
            self.at += c.len_utf8();
            at
        })
    }

    fn value(&mut self) -> Option<Layout> {
        let (start, rest) = (self.at, self.rest());
        match rest.chars().next()? {
            '(' | '[' | '{' => return self.group(start),
            '"' => self.at += string_length(rest)?,
            'r' if scan::starts_string(rest) => self.at += raw_string_length(rest)?,
            _ => {
                if let Some((_, length)) = scan::word(rest) {
                    self.at += length;
                    let after_word = self.at;
                    self.blanks()?;
                    if self.rest().starts_with('(') {
                        return self.group(start);
                    }
                    self.at = after_word;
                } else {
                    let length = scan::run(rest, scan::in_raw_word);
                    self.at += Some(length).filter(|length| *length > 0)?;
                }
            }
        }
        Some(Layout { span: start..self.at, group: None })
    }

    /// A bracketed value that starts, perhaps with a tag, at `start`; here is its opening bracket.
    fn group(&mut self, start: usize) -> Option<Layout> {
        let opener = self.rest().chars().next()?;
        let closer = match opener {
            '(' => ')',
            '[' => ']',
            _ => '}',
        };
        self.at += 1;
        let (opened, mut parts) = (self.at, Vec::new());
        loop {
            self.blanks()?;
            if let Some(closed) = self.take(closer) {
                let group = Some(Group { inside: opened..closed, parts });
                return Some(Layout { span: start..self.at, group });
            }
            let start = self.at;
            self.label(opener)?;
            let value = self.value()?;
            let end = self.at;
            self.blanks()?;
            let comma = self.take(',');
            if comma.is_none() {
                self.at = end;
            }
            parts.push(Part { start, value, comma });
        }
    }

    /// Goes past the field name of a field, or the key of an entry, and its colon.
    fn label(&mut self, opener: char) -> Option<()> {
        let start = self.at;
        match opener {
            '(' => {
                let Some((_, length)) = scan::word(self.rest()) else { return Some(()) };
                self.at += length;
                self.blanks()?;
                if self.take(':').is_none() {
                    self.at = start;
                }
            }
            '{' => {
                self.value()?;
                self.blanks()?;
                self.take(':')?;
            }
            _ => {}
        }
        self.blanks()
    }
}

/// Length of `"text"` with its quotes.
fn string_length(text: &str) -> Option<usize> {
    let mut characters = text.char_indices().skip(1);
    while let Some((at, c)) = characters.next() {
        match c {
            '"' => return Some(at + 1),
            '\\' => {
                characters.next()?;
            }
            _ => {}
        }
    }
    None
}

/// Length of `r#"text"#` with all of its signs.
fn raw_string_length(text: &str) -> Option<usize> {
    let hashes = scan::run(&text[1..], |c| c == '#');
    let inside = text.get(hashes + 2..)?;
    let ending = format!("\"{}", "#".repeat(hashes));
    Some(hashes + 2 + inside.find(&ending)? + ending.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The parts of a value as text, with all their depths.
    fn parts(text: &str) -> Vec<&str> {
        fn collect<'t>(text: &'t str, layout: &Layout, found: &mut Vec<&'t str>) {
            for part in layout.group.iter().flat_map(|group| &group.parts) {
                found.push(&text[part.start..part.value.span.end]);
                collect(text, &part.value, found);
            }
        }
        let mut found = Vec::new();
        collect(text, &layout(text).unwrap(), &mut found);
        found
    }

    #[test]
    fn every_part_is_found() {
        let text = "\u{FEFF}// x\n#![enable(implicit_some)]\nA /* ( */ (a: 1e-3, b /* : */ : r#\"\"]\"#,\n c: [\"\\\"\", -.5], d: {\"k\" : V(inf)},) // )";
        let found = parts(text);
        let expected = [
            "a: 1e-3",
            "b /* : */ : r#\"\"]\"#",
            "c: [\"\\\"\", -.5]",
            "\"\\\"\"",
            "-.5",
            "d: {\"k\" : V(inf)}",
            "\"k\" : V(inf)",
            "inf",
        ];
        assert_eq!(found, expected);
    }

    #[test]
    fn what_is_no_project_has_no_layout() {
        for text in ["", "(", "(a: )", "[1", "\"a", "a b", "{1}", "/* a"] {
            assert_eq!(layout(text), None, "{text}");
        }
    }
}
