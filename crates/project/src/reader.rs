//! Reads RON text into a tree, and goes on after a mistake.
//!
//! Why not the `ron` crate: it stops at the first mistake and gives no places of values. What the
//! writer of this crate writes is checked against the `ron` crate in the tests.

mod bracket;
mod scalar;
mod skip;

use crate::place::Locator;
use crate::scan;
use schema::{Key, Node, Place, Problem, Problems, Tree};

/// Brackets may be nested this deep.
pub const DEEPEST: usize = 64;

/// After so many mistakes of syntax the rest is not listed.
const MAX_PROBLEMS: usize = 100;

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
            let message =
                if is_utf16(bytes) { "the file is text in UTF-16" } else { "this byte is not UTF-8 text" };
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
                "remove what follows, or a surplus bracket before it",
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

    /// Reads a value whose mistakes need no telling, because it is told as a whole already.
    fn value_silently(&mut self) -> Node {
        let kept = std::mem::take(&mut self.problems);
        let node = self.value();
        self.problems = kept;
        node
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
        if self.problems.len() < MAX_PROBLEMS {
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
