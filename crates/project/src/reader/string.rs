//! Quoted text.

use schema::Node;

use super::{Reader, broken, field_follows};
use crate::scan::{self, Blanks};

impl Reader<'_> {
    /// `"text"` with escapes; may go over several lines.
    pub(super) fn string(&mut self) -> Node {
        let start = self.at;
        let Some(end) = self.end_of_string(start + 1) else { return self.unclosed(start) };
        let over_lines = self.text[start..end].contains('\n');
        let word_follows = self.text[end + 1..].starts_with(scan::continues_word);
        if word_follows || (over_lines && !self.ends_item(end + 1)) {
            return self.unclosed(start);
        }
        let text = self.unescaped(start + 1, end);
        self.at = end + 1;
        Node::text(text).at(self.place(start, end + 1))
    }

    /// `r"text"`, `r#"text"#`: no escapes.
    pub(super) fn raw_string(&mut self) -> Node {
        let start = self.at;
        let hashes = scan::run(&self.text[start + 1..], |c| c == '#');
        let opening = start + 1 + hashes;
        let ending = format!("\"{}", "#".repeat(hashes));
        let inside = self.text[opening..].strip_prefix('"');
        let Some(length) = inside.and_then(|inside| inside.find(&ending)) else {
            return self.unclosed(start);
        };
        let text = &self.text[opening + 1..opening + 1 + length];
        self.at = opening + 1 + length + ending.len();
        Node::text(text).at(self.place(start, self.at))
    }

    /// Offset of the closing quote.
    fn end_of_string(&self, from: usize) -> Option<usize> {
        let mut at = from;
        loop {
            let quote = at + self.text[at..].find('"')?;
            let Some(escape) = self.text[at..quote].find('\\') else { return Some(quote) };
            let escaped = self.text[at + escape + 1..].chars().next()?;
            at += escape + 1 + escaped.len_utf8();
        }
    }

    /// True if what follows can follow a value.
    fn ends_item(&self, at: usize) -> bool {
        match scan::skip_blanks(self.text, at) {
            Blanks::End(next) => {
                let rest = &self.text[next..];
                rest.is_empty() || rest.starts_with([',', ')', ']', '}', ':'])
            }
            Blanks::Unclosed(_) => true,
        }
    }

    /// Takes text whose closing quote is missing to end before the next field on its line, or before the
    /// comma or bracket that ends its line.
    fn unclosed(&mut self, start: usize) -> Node {
        let line = &self.text[start..];
        let line = line.find(['\n', '\r']).map_or(line, |end| &line[..end]);
        let next_field =
            line.match_indices(',').map(|(at, _)| at).find(|at| field_follows(line[at + 1..].trim_start()));
        let whole = line.trim_end().trim_end_matches([',', ')', ']', '}', ';']).len();
        let length = next_field.unwrap_or(whole).max(1);
        self.at = start + length;
        self.tell(start, self.at, "this text is not closed", "write \" where it ends");
        broken(self.place(start, self.at))
    }

    fn unescaped(&mut self, from: usize, to: usize) -> String {
        let source = &self.text[from..to];
        if !source.contains('\\') {
            return source.to_owned();
        }
        let mut text = String::with_capacity(source.len());
        let mut at = from;
        while at < to {
            let Some(plain) = self.text[at..to].find('\\') else {
                text.push_str(&self.text[at..to]);
                break;
            };
            text.push_str(&self.text[at..at + plain]);
            at += plain;
            at += self.escape(at, to, &mut text);
        }
        text
    }

    /// Reads one escape at `at`; gives the bytes it takes.
    fn escape(&mut self, at: usize, to: usize, text: &mut String) -> usize {
        let source = &self.text[at + 1..to];
        let simple = match source.chars().next() {
            Some('n') => Some('\n'),
            Some('r') => Some('\r'),
            Some('t') => Some('\t'),
            Some('0') => Some('\0'),
            Some(c @ ('"' | '\\' | '\'')) => Some(c),
            _ => None,
        };
        if let Some(c) = simple {
            text.push(c);
            return 2;
        }
        if source.starts_with('\n') || source.starts_with("\r\n") {
            return 1 + scan::run(source, |c| matches!(c, ' ' | '\t' | '\n' | '\r'));
        }
        if let Some((c, length)) = coded(source) {
            text.push(c);
            return 1 + length;
        }
        let shown = source.chars().next().map_or(0, char::len_utf8);
        let message = format!("\\{} means nothing in text", &source[..shown]);
        self.tell(at, at + 1 + shown, &message, "write \\\\ for a backslash");
        1 + shown
    }
}

/// `x41` or `u{b5}`: the character and the bytes it takes.
fn coded(source: &str) -> Option<(char, usize)> {
    if let Some(rest) = source.strip_prefix("u{") {
        let digits = &rest[..rest.find('}').filter(|length| (1..=6).contains(length))?];
        let code = u32::from_str_radix(digits, 16).ok().filter(|_| !digits.starts_with('+'))?;
        return Some((char::from_u32(code)?, digits.len() + 3));
    }
    let digits = source.strip_prefix('x')?.get(..2)?;
    let code =
        u8::from_str_radix(digits, 16).ok().filter(|code| code.is_ascii() && !digits.starts_with('+'))?;
    Some((char::from(code), 3))
}
