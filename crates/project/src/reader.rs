//! Reads RON text into a tree, and goes on after a mistake.
//!
//! Why not the `ron` crate: it stops at the first mistake and gives no places of values. What the
//! writer of this crate writes is checked against the `ron` crate in the tests.

use schema::{Key, Node, Place, Problem, Problems, Tree};

use crate::place::Locator;
use crate::scan::{self, Blanks};

/// Brackets may be nested this deep.
pub const DEEPEST: usize = 64;

/// After so many mistakes of syntax the rest is not listed.
const MOST_PROBLEMS: usize = 100;

/// Extensions of the notation that a header may name; all are accepted, none is needed.
const EXTENSIONS: [&str; 4] =
    ["unwrap_newtypes", "implicit_some", "unwrap_variant_newtypes", "explicit_struct_names"];

/// Reads a project text. `None` if there is nothing that could be looked into; otherwise the tree,
/// in which a value that could not be read is [`Tree::Broken`].
pub fn parse(bytes: &[u8]) -> (Option<Node>, Problems) {
    let (text, bad_bytes) = decode_text(bytes);
    if let Some(problem) = bad_bytes.as_ref().filter(|_| is_utf16(bytes)) {
        return (None, vec![problem.clone()].into());
    }
    let mut reader = Reader::new(&text);
    reader.problems.extend(bad_bytes);
    let node = reader.document();
    let mut problems = reader.problems;
    problems.sort_by_place();
    (node, problems)
}

/// The text of a file as the reader sees it: without byte order mark, with a sign in the place of
/// bytes that are no text.
pub fn decode_text(bytes: &[u8]) -> (String, Option<Problem>) {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => (text.to_owned(), None),
        Err(error) => {
            let text = String::from_utf8_lossy(bytes).into_owned();
            let at = error.valid_up_to();
            let place = Locator::new(&text).place(at, at);
            let message = if is_utf16(bytes) {
                "the file is text in UTF-16"
            } else {
                "here is a byte that is no UTF-8 text"
            };
            (text, Some(Problem::error("", message, "save the file as UTF-8 text").at(place)))
        }
    }
}

fn is_utf16(bytes: &[u8]) -> bool {
    bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF")
}

struct Open {
    at: usize,
    closer: char,
}

struct Reader<'t> {
    text: &'t str,
    at: usize,
    locator: Locator<'t>,
    problems: Problems,
    open: Vec<Open>,
}

impl<'t> Reader<'t> {
    fn new(text: &'t str) -> Self {
        Self { text, at: 0, locator: Locator::new(text), problems: Problems::new(), open: Vec::new() }
    }

    fn document(&mut self) -> Option<Node> {
        self.skip_blanks();
        while self.rest().starts_with('#') {
            self.header();
            self.skip_blanks();
        }
        if self.rest().is_empty() {
            if self.problems.is_empty() {
                let remedy = "begin with Project(format: \"heatledger\", version: 1, name: \"..\", ..)";
                self.tell(self.at, self.at, "the file is empty", remedy);
            }
            return None;
        }
        let node = self.value();
        self.skip_blanks();
        if !self.rest().is_empty() {
            let end = self.at + self.rest().find('\n').unwrap_or(self.rest().len());
            self.tell(
                self.at,
                end,
                "the project ends before this",
                "remove what follows, or a bracket too many before it",
            );
        }
        Some(node)
    }

    /// `#![enable(implicit_some)]`, `#![type = "..."]`.
    fn header(&mut self) {
        let start = self.at;
        let line = self.rest().lines().next().unwrap_or("");
        let end = self.rest().find(']').map_or(line.len(), |n| n + 1);
        let header: String = self.rest()[..end].split_whitespace().collect();
        self.at += end.max(1);
        let inside = header.strip_prefix("#![").and_then(|rest| rest.strip_suffix(']'));
        let known = match inside {
            Some(inside) if inside.starts_with("type=") || inside.starts_with("schema=") => true,
            Some(inside) => {
                inside.strip_prefix("enable(").and_then(|rest| rest.strip_suffix(')')).is_some_and(|list| {
                    list.trim_end_matches(',').split(',').all(|name| EXTENSIONS.contains(&name))
                })
            }
            None => false,
        };
        if !known {
            self.tell(start, start + end, "this header is not known", "remove the line");
        }
    }

    fn value(&mut self) -> Node {
        let start = self.at;
        let rest = self.rest();
        let Some(first) = rest.chars().next() else {
            self.tell(start, start, "a value is missing at the end of the file", "complete the file");
            return broken(self.place(start, start));
        };
        match first {
            '(' => self.group(None, start),
            '[' => self.bracketed(']', start, |reader| reader.list(start)),
            '{' => self.bracketed('}', start, |reader| reader.map(start)),
            '"' => self.string(),
            'r' if scan::starts_string(rest) => self.raw_string(),
            '0'..='9' | '+' | '-' | '.' => self.number(),
            '\'' => self.apostrophes(),
            'b' if scan::starts_string(rest) => {
                self.bad_value("project files hold no bytes", "write text in double quotes")
            }
            _ => {
                if let Some((word, length)) = scan::word(rest) {
                    return self.word(word, length, start);
                }
                let message = format!("{first:?} begins no value");
                self.bad_value(&message, "write text in double quotes, a number, a word, or a bracket")
            }
        }
    }

    fn word(&mut self, word: &str, length: usize, start: usize) -> Node {
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
    fn continues_as_words(&self) -> bool {
        let next = self.rest().trim_start_matches(' ');
        let Some(first) = next.chars().next() else { return false };
        if !(scan::in_raw_word(first)) {
            return false;
        }
        // `name: value` on the same line is a field after a missing comma, not more text.
        scan::word(next).is_none_or(|(_, length)| !next[length..].trim_start().starts_with([':', '=', '(']))
    }

    fn end_of_loose_text(&self) -> usize {
        self.at + self.rest().find([',', ')', ']', '}', '\n', '\r', '"', ':']).unwrap_or(self.rest().len())
    }

    fn number(&mut self) -> Node {
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
    fn number_with_unit(&mut self, start: usize) -> Node {
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
                format!("{loose:?} is no number"),
                "write digits with a decimal dot, such as 1.5 or 2e-3".to_owned(),
            )
        };
        self.tell(start, self.at, &message, &remedy);
        broken(self.place(start, self.at))
    }

    /// `'text'`.
    fn apostrophes(&mut self) -> Node {
        let start = self.at;
        let line = self.rest().lines().next().unwrap_or("");
        let length = line[1..].find('\'').map_or(1, |n| n + 2);
        let inside = line[..length].trim_matches('\'').to_owned();
        self.at += length;
        self.tell(
            start,
            self.at,
            "text stands in apostrophes",
            &format!("write {inside:?} with double quotes"),
        );
        broken(self.place(start, self.at))
    }

    fn bad_value(&mut self, message: &str, remedy: &str) -> Node {
        let start = self.at;
        let length = self.rest().chars().next().map_or(0, char::len_utf8);
        self.tell(start, start + length, message, remedy);
        if !self.ends_here() && !self.rest().starts_with(',') {
            self.at += length;
            self.skip_to_end_of_item();
        }
        broken(self.place(start, start + length))
    }

    fn list(&mut self, start: usize) -> Node {
        let place = self.place(start, start + 1);
        let mut items = Vec::new();
        self.items(|reader| items.push(reader.value()));
        Tree::List(items).into_node(place)
    }

    fn map(&mut self, start: usize) -> Node {
        let place = self.place(start, start + 1);
        let mut entries = Vec::new();
        self.items(|reader| {
            let key = reader.value();
            reader.skip_blanks();
            if reader.take(':') {
                reader.skip_blanks();
                entries.push((key, reader.value()));
            } else {
                reader.tell(
                    reader.at,
                    reader.at,
                    "a colon and a value are missing in the map",
                    "write key: value",
                );
            }
        });
        Tree::Map(entries).into_node(place)
    }

    fn group(&mut self, tag: Option<String>, start: usize) -> Node {
        let place = self.place(start, start + tag.as_deref().map_or(1, str::len));
        self.bracketed(')', start, |reader| {
            let (mut fields, mut items) = (Vec::new(), Vec::new());
            reader.items(|reader| reader.field_or_item(&mut fields, &mut items));
            if fields.is_empty() && !items.is_empty() {
                return Tree::Tuple { tag, items }.into_node(place);
            }
            fields.extend(items.into_iter().map(|node| (unnamed(node.place), broken(node.place))));
            Tree::Record { tag, fields }.into_node(place)
        })
    }

    fn field_or_item(&mut self, fields: &mut Vec<(Key, Node)>, items: &mut Vec<Node>) {
        let start = self.at;
        let Some(key) = self.field_name() else {
            if !fields.is_empty() {
                let remedy = "write name: value; a decimal point is a dot, and quantities stand in quotes";
                let end = start + self.rest().chars().next().map_or(0, char::len_utf8);
                self.tell(start, end, "a value without a field name stands among fields", remedy);
                let node = self.value_silently();
                fields.push((unnamed(node.place), broken(node.place)));
                return;
            }
            items.push(self.value());
            return;
        };
        if !items.is_empty() {
            let message = format!("the field {:?} stands after values without a name", key.name);
            self.tell(start, self.at, &message, "name all of them, or none");
            items.clear();
            fields.push((unnamed(key.place), broken(key.place)));
        }
        self.skip_blanks();
        let node = if self.rest().starts_with([',', ')', ']', '}']) {
            let message = format!("the field {:?} has no value", key.name);
            self.tell(start, start + key.name.len(), &message, "write a value after the colon");
            broken(key.place)
        } else {
            self.value()
        };
        fields.push((key, node));
    }

    /// A field name with the colon after it; slips such as `=`, quotes or a missing colon are told and
    /// taken as meant. `None` leaves everything where it was.
    fn field_name(&mut self) -> Option<Key> {
        let start = self.at;
        let rest = self.rest();
        let (name, length, slip) = if let Some(quoted) = rest.strip_prefix('"') {
            let name = &quoted[..quoted.find('"')?];
            if name.is_empty() || !name.chars().all(scan::in_raw_word) {
                return None;
            }
            (
                name,
                name.len() + 2,
                Some(("a field name stands in quotes", format!("write {name}: without quotes"))),
            )
        } else {
            let (name, length) = scan::word(rest)?;
            let raw_follows = rest[length..].starts_with(['.', '+', '-']) && !rest.starts_with("r#");
            let longer = if raw_follows { scan::run(rest, scan::in_raw_word) } else { length };
            let name_in_full = if longer > length { &rest[..longer] } else { name };
            let slip = (longer > length).then(|| {
                let fixed = name_in_full.replace(['-', '.', '+'], "_");
                ("a field name holds letters, digits and _ only", format!("write {fixed}:"))
            });
            (name_in_full, longer.max(length), slip)
        };
        let after = start + length;
        let Blanks::End(next) = scan::skip_blanks(self.text, after) else { return None };
        let following = self.text[next..].chars().next()?;
        let sign_slip = match following {
            ':' => None,
            '=' => Some(("an equals sign stands where a colon is expected", format!("write {name}:"))),
            '"' | '0'..='9' | '[' | '{' if slip.is_none() && next > after && self.open_record() => {
                Some(("the colon after a field name is missing", format!("write {name}: before the value")))
            }
            _ => return None,
        };
        let place = self.place(start, after);
        self.at = if following == ':' || following == '=' { next + 1 } else { next };
        for (message, remedy) in slip.into_iter().chain(sign_slip) {
            self.tell(start, after, message, &remedy);
        }
        Some(Key { name: name.to_owned(), place })
    }

    /// True inside round brackets.
    fn open_record(&self) -> bool {
        self.open.last().is_some_and(|open| open.closer == ')')
    }

    /// Reads a value whose mistakes need no telling, because it is told as a whole already.
    fn value_silently(&mut self) -> Node {
        let kept = std::mem::take(&mut self.problems);
        let node = self.value();
        self.problems = kept;
        node
    }

    /// Works inside a bracket that opens here; too deep, it is skipped.
    fn bracketed(&mut self, closer: char, start: usize, work: impl FnOnce(&mut Self) -> Node) -> Node {
        let at = self.at;
        if self.open.len() >= DEEPEST {
            let message = format!("brackets are nested deeper than {DEEPEST}");
            self.tell(at, at + 1, &message, "make the project flatter");
            self.skip_bracket();
            return broken(self.place(start, start + 1));
        }
        self.at += 1;
        self.open.push(Open { at, closer });
        let node = work(self);
        self.open.pop();
        node
    }

    /// Reads items up to the closing bracket of the innermost open bracket, and past it.
    fn items(&mut self, mut item: impl FnMut(&mut Self)) {
        loop {
            self.skip_blanks();
            if self.closed() {
                return;
            }
            if self.rest().starts_with(',') {
                self.tell(self.at, self.at + 1, "a value is missing before this comma", "remove the comma");
                self.at += 1;
                continue;
            }
            let before = self.at;
            item(self);
            let after = self.at;
            self.skip_blanks();
            if self.take(',') || self.ends_here() {
                continue;
            }
            if self.rest().starts_with(';') {
                self.tell(
                    self.at,
                    self.at + 1,
                    "a semicolon stands where a comma is expected",
                    "write a comma",
                );
                self.at += 1;
                continue;
            }
            let next = self.rest().chars().next();
            if next
                .is_some_and(|c| c.is_alphanumeric() || matches!(c, '"' | '(' | '[' | '{' | '-' | '+' | '_'))
                && after > before
            {
                let last = self.text[..after].chars().next_back().map_or(0, char::len_utf8);
                self.tell(after - last, after, "a comma is missing after this", "write a comma");
            } else {
                let length = next.map_or(0, char::len_utf8);
                let message = format!("{:?} is not expected here", next.unwrap_or(' '));
                self.tell(self.at, self.at + length, &message, "remove it, or put text in double quotes");
                self.at += length;
                self.skip_to_end_of_item();
                self.take(',');
            }
        }
    }

    fn ends_here(&self) -> bool {
        self.rest().is_empty() || self.rest().starts_with([')', ']', '}'])
    }

    /// True if the innermost bracket closes here, rightly or by a mistake that is told.
    fn closed(&mut self) -> bool {
        let Some(open) = self.open.last() else { return true };
        let (opened, closer) = (open.at, open.closer);
        let opener = &self.text[opened..=opened];
        if self.rest().is_empty() {
            let message = format!("this {opener} is never closed");
            self.tell(opened, opened + 1, &message, &format!("write {closer} where it ends"));
            return true;
        }
        let Some(found) = self.rest().chars().next().filter(|c| matches!(c, ')' | ']' | '}')) else {
            return false;
        };
        if found == closer {
            self.at += 1;
            return true;
        }
        let line = self.place(opened, opened + 1).line;
        let message =
            format!("{found} stands where {closer} is expected to close the {opener} of line {line}");
        self.tell(self.at, self.at + 1, &message, &format!("write {closer}"));
        let belongs_to_outer = self.open.iter().rev().skip(1).any(|outer| outer.closer == found);
        if !belongs_to_outer {
            self.at += 1;
        }
        true
    }

    /// Goes past a bracket and everything in it, without looking closer.
    fn skip_bracket(&mut self) {
        let mut depth = 0_usize;
        loop {
            self.skip_blanks();
            let rest = self.rest();
            let Some(next) = rest.chars().next() else { return };
            match next {
                '(' | '[' | '{' => depth += 1,
                ')' | ']' | '}' => depth -= 1,
                '"' => {
                    self.value_silently();
                    continue;
                }
                _ => {}
            }
            self.at += next.len_utf8();
            if depth == 0 {
                return;
            }
        }
    }

    /// Goes to the comma or closing bracket that ends an item with a mistake in it.
    fn skip_to_end_of_item(&mut self) {
        while let Some(next) = self.rest().chars().next() {
            match next {
                ',' | ')' | ']' | '}' | '\n' => return,
                '(' | '[' | '{' => self.skip_bracket(),
                '"' => {
                    self.value_silently();
                }
                _ => self.at += next.len_utf8(),
            }
        }
    }

    fn skip_blanks(&mut self) {
        match scan::skip_blanks(self.text, self.at) {
            Blanks::End(at) => self.at = at,
            Blanks::Unclosed(at) => {
                self.tell(at, at + 2, "this comment is never closed", "write */ where it ends");
                self.at = self.text.len();
            }
        }
    }

    fn rest(&self) -> &'t str {
        &self.text[self.at..]
    }

    fn take(&mut self, c: char) -> bool {
        let found = self.rest().starts_with(c);
        if found {
            self.at += c.len_utf8();
        }
        found
    }

    fn place(&mut self, from: usize, to: usize) -> Place {
        self.locator.place(from, to.min(self.text.len()))
    }

    fn tell(&mut self, from: usize, to: usize, message: &str, remedy: &str) {
        if self.problems.len() < MOST_PROBLEMS {
            let place = self.place(from, to);
            self.problems.push(Problem::error("", message, remedy).at(place));
        }
    }
}

mod string;

trait IntoNode {
    fn into_node(self, place: Place) -> Node;
}

impl IntoNode for Tree {
    fn into_node(self, place: Place) -> Node {
        Node::from(self).at(place)
    }
}

fn broken(place: Place) -> Node {
    Tree::Broken.into_node(place)
}

/// True if `text` goes on with `name:`.
fn field_follows(text: &str) -> bool {
    scan::word(text).is_some_and(|(_, length)| text[length..].trim_start().starts_with([':', '=']))
}

/// The key of a value whose field name could not be read.
fn unnamed(place: Place) -> Key {
    Key { name: String::new(), place }
}

/// Length of what looks like a number: signs only at the start and after an exponent.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let hexadecimal = text.trim_start_matches(['+', '-']).starts_with("0x");
    let mut at = 0;
    while at < bytes.len() {
        let sign_allowed = at == 0 || (!hexadecimal && matches!(bytes[at - 1], b'e' | b'E'));
        let fits = match bytes[at] {
            b'+' | b'-' => sign_allowed,
            b'.' | b'_' => true,
            byte => byte.is_ascii_alphanumeric(),
        };
        if !fits {
            break;
        }
        at += 1;
    }
    at
}
