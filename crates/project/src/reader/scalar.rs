//! Words and numbers, and what an author may have meant by them.

use super::{IntoNode as _, Reader, broken, field_follows, number_length};
use crate::scan;
use schema::{Node, Tree};

impl Reader<'_> {
    pub(super) fn word(&mut self, word: &str, length: usize, start: usize) -> Node {
        self.at += length;
        let place = self.place(start, self.at);
        match word {
            "true" => return Node::flag(true).at(place),
            "false" => return Node::flag(false).at(place),
            "inf" | "NaN" => {
                let value = scan::number(word).unwrap_or(f64::NAN);
                return Node::from(Tree::Number { text: word.to_owned(), value }).at(place);
            }
            _ => {}
        }
        let after_word = self.at;
        self.skip_blanks();
        if self.rest().starts_with('(') {
            return self.group(Some(word.to_owned()), start);
        }
        self.at = after_word;
        if self.rest().starts_with(['.', '+', '-', ' ']) && self.continues_as_words() {
            let end = self.end_of_loose_text();
            let loose = self.text[start..end].trim_end().to_owned();
            self.at = start + loose.len();
            self.tell(start, self.at, &format!("{loose} needs quotes"), &format!("write {loose:?}"));
            return broken(place);
        }
        Node::word(word).at(place)
    }

    /// True if more words or digits follow on the line without a comma: text without quotes.
    pub(super) fn continues_as_words(&self) -> bool {
        let next = self.rest().trim_start_matches(' ');
        let Some(first) = next.chars().next() else { return false };
        if !(scan::in_raw_word(first)) {
            return false;
        }
        // `name: value` on the same line is a field after a missing comma, not more text.
        scan::word(next).is_none_or(|(_, length)| !next[length..].trim_start().starts_with([':', '=', '(']))
    }

    pub(super) fn end_of_loose_text(&self) -> usize {
        self.at + self.rest().find([',', ')', ']', '}', '\n', '\r', '"', ':']).unwrap_or(self.rest().len())
    }

    pub(super) fn number(&mut self) -> Node {
        let start = self.at;
        let length = number_length(self.rest());
        let text = &self.rest()[..length];
        self.at += length.max(1);
        let value = scan::number(text);
        let next = self.rest().trim_start_matches([' ', '\t']);
        let loose = next.chars().next().is_some_and(|c| c.is_alphabetic() || matches!(c, '%' | '°' | '/'));
        let comment = next.starts_with("//") || next.starts_with("/*");
        if value.is_none() || (loose && !comment && !field_follows(next)) {
            return self.number_with_unit(start);
        }
        let (value, place) = (value.unwrap_or(f64::NAN), self.place(start, self.at));
        if value.is_infinite() && !text.ends_with("inf") {
            self.tell(start, self.at, "this number is too large", "write a smaller number");
            return broken(place);
        }
        Tree::Number { text: text.to_owned(), value }.into_node(place)
    }

    /// `12 mm` or `12mm` without quotes, or something that only begins like a number.
    pub(super) fn number_with_unit(&mut self, start: usize) -> Node {
        let end = self.end_of_loose_text();
        let loose = self.text[start..end].split("//").next().unwrap_or("").trim_end().to_owned();
        self.at = start + loose.len().max(1);
        let digits = loose.find(|c: char| c.is_alphabetic() || matches!(c, '%' | '°')).unwrap_or(loose.len());
        let (number, unit) = loose.split_at(digits);
        let (message, remedy) = if scan::number(number.trim()).is_some() && !unit.is_empty() {
            (
                format!("a quantity with its unit needs quotes: {loose}"),
                format!("write \"{} {unit}\"", number.trim()),
            )
        } else {
            (
                format!("{loose:?} is not a number"),
                "write digits with a decimal dot, such as 1.5 or 2e-3".to_owned(),
            )
        };
        self.tell(start, self.at, &message, &remedy);
        broken(self.place(start, self.at))
    }

    /// `'text'`.
    pub(super) fn apostrophes(&mut self) -> Node {
        let start = self.at;
        let line = self.rest().lines().next().unwrap_or("");
        let length = line[1..].find('\'').map_or(1, |n| n + 2);
        let inside = line[..length].trim_matches('\'').to_owned();
        self.at += length;
        self.tell(start, self.at, "text is in apostrophes", &format!("write {inside:?} with double quotes"));
        broken(self.place(start, self.at))
    }

    pub(super) fn bad_value(&mut self, message: &str, remedy: &str) -> Node {
        let start = self.at;
        let length = self.rest().chars().next().map_or(0, char::len_utf8);
        self.tell(start, start + length, message, remedy);
        if !self.ends_here() && !self.rest().starts_with(',') {
            self.at += length;
            self.skip_to_end_of_item();
        }
        broken(self.place(start, start + length))
    }
}
