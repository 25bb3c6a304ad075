//! Writes a tree as RON text that a person can read and a diff shows well.
//!
//! Why not the serializer of the `ron` crate: it cannot write tagged records from a generic tree, nor
//! numbers as typed. The tests read what is written here with the `ron` crate.

use std::fmt::Write as _;

use schema::{Node, Tree};

use crate::scan;

/// A line may be this long, in characters, before its record is broken up.
pub const LINE_WIDTH: usize = 100;

/// Characters of one depth.
pub(crate) const INDENT: usize = 4;

/// The text of a tree: fields in the order of the tree, typed text kept exactly, short records on
/// one line, otherwise one field a line.
///
/// A field name or word that the notation cannot express has its offending characters written as `_`.
/// [`Tree::Broken`] is written as `None`; [`crate::save`] refuses such trees.
pub fn write(node: &Node) -> String {
    let mut text = String::new();
    if parts(node) == 0 {
        inline(node, usize::MAX, &mut text);
    } else {
        broken_up(node, 0, &mut text, &|_| false);
    }
    text.push('\n');
    text
}

/// Values that are broken up even if they fit on a line.
pub(crate) type Breaks<'b> = &'b dyn Fn(&Node) -> bool;

/// How a value is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// On one line if it fits, else one part a line.
    Fitted,
    /// On one line, however long.
    OneLine,
    /// One part a line.
    BrokenUp,
}

/// The text of a part that stands behind `used` characters of a line of its own indent, without comma. Further lines have that indent
/// and [`INDENT`] characters more for each depth.
pub(crate) fn part_text(
    label: &Label<'_>,
    node: &Node,
    (indent, used): (usize, usize),
    form: Form,
    breaks: Breaks<'_>,
) -> String {
    let mut text = String::new();
    label.write(&mut text);
    match form {
        Form::OneLine if !breaks(node) => {
            inline(node, usize::MAX, &mut text);
        }
        Form::BrokenUp => broken_up(node, indent, &mut text, breaks),
        _ => fitted(node, indent, used + text.chars().count(), &mut text, breaks),
    }
    text
}

/// Writes on one line if it fits into what is left of the line, else one part a line.
fn fitted(node: &Node, indent: usize, used: usize, text: &mut String, breaks: Breaks<'_>) {
    let start = text.len();
    let room = LINE_WIDTH.saturating_sub(used + 1); // the comma
    if breaks(node) || !inline(node, room, text) || (parts(node) > 0 && too_long(&text[start..], room)) {
        text.truncate(start);
        broken_up(node, indent, text, breaks);
    }
}

fn too_long(line: &str, room: usize) -> bool {
    line.len() > room && line.chars().count() > room
}

fn broken_up(node: &Node, indent: usize, text: &mut String, breaks: Breaks<'_>) {
    let (opener, closer) = brackets(&node.tree);
    if parts(node) == 0 {
        inline(node, usize::MAX, text);
        return;
    }
    tag(&node.tree, text);
    text.push(opener);
    let inner = indent + INDENT;
    each_part(node, |label, part| {
        text.push('\n');
        spaces(inner, text);
        let start = text.len();
        label.write(text);
        let used = inner + text[start..].chars().count();
        fitted(part, inner, used, text, breaks);
        text.push(',');
    });
    text.push('\n');
    spaces(indent, text);
    text.push(closer);
}

/// Writes without line breaks; gives up, and says so, once the text is surely longer than `room`
/// characters.
fn inline(node: &Node, room: usize, text: &mut String) -> bool {
    let start = text.len();
    match &node.tree {
        Tree::Text(inner) => quoted(inner, text),
        Tree::Number { text: typed, .. } => text.push_str(typed),
        Tree::Flag(flag) => text.push_str(if *flag { "true" } else { "false" }),
        Tree::Word(inner) => word(inner, text),
        Tree::Broken => text.push_str("None"),
        Tree::List(_) | Tree::Record { .. } | Tree::Tuple { .. } | Tree::Map(_) => {
            let (opener, closer) = brackets(&node.tree);
            tag(&node.tree, text);
            text.push(opener);
            let (mut first, mut fits) = (true, true);
            each_part(node, |label, part| {
                // A character takes at most four bytes, so this never gives up too early.
                fits = fits && (text.len() - start) / 4 <= room;
                if !fits {
                    return;
                }
                if !first {
                    text.push_str(", ");
                }
                first = false;
                label.write(text);
                fits = inline(part, room, text);
            });
            text.push(closer);
            return fits;
        }
    }
    true
}

/// What stands before a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Label<'n> {
    /// Nothing, in lists and tuples.
    None,
    /// The name of a field.
    Field(&'n str),
    /// The key of an entry of a map.
    Key(&'n Node),
}

impl Label<'_> {
    fn write(&self, text: &mut String) {
        match self {
            Label::None => return,
            Label::Field(name) => word(name, text),
            Label::Key(key) => {
                inline(key, usize::MAX, text);
            }
        }
        text.push_str(": ");
    }
}

/// Shows every item, field or entry in order.
pub(crate) fn each_part<'n>(node: &'n Node, mut visit: impl FnMut(Label<'n>, &'n Node)) {
    match &node.tree {
        Tree::List(items) | Tree::Tuple { items, .. } => {
            for item in items {
                visit(Label::None, item);
            }
        }
        Tree::Record { fields, .. } => {
            for (key, value) in fields {
                visit(Label::Field(&key.name), value);
            }
        }
        Tree::Map(entries) => entries.iter().for_each(|(key, value)| visit(Label::Key(key), value)),
        Tree::Text(_) | Tree::Number { .. } | Tree::Flag(_) | Tree::Word(_) | Tree::Broken => {}
    }
}

fn parts(node: &Node) -> usize {
    match &node.tree {
        Tree::List(items) | Tree::Tuple { items, .. } => items.len(),
        Tree::Record { fields, .. } => fields.len(),
        Tree::Map(entries) => entries.len(),
        Tree::Text(_) | Tree::Number { .. } | Tree::Flag(_) | Tree::Word(_) | Tree::Broken => 0,
    }
}

/// The brackets around the parts of a value.
pub(crate) fn brackets(tree: &Tree) -> (char, char) {
    match tree {
        Tree::List(_) => ('[', ']'),
        Tree::Map(_) => ('{', '}'),
        _ => ('(', ')'),
    }
}

fn tag(tree: &Tree, text: &mut String) {
    if let Tree::Record { tag: Some(tag), .. } | Tree::Tuple { tag: Some(tag), .. } = tree {
        word(tag, text);
    }
}

/// A bare word, or a raw one where a bare one would not read back.
fn word(word: &str, text: &mut String) {
    let mut characters = word.chars();
    let bare = characters.next().is_some_and(|c| c == '_' || c.is_ascii_alphabetic())
        && characters.all(|c| c == '_' || c.is_ascii_alphanumeric());
    let taken = matches!(word, "true" | "false" | "inf" | "NaN");
    if bare && !taken {
        text.push_str(word);
        return;
    }
    text.push_str("r#");
    if word.is_empty() {
        text.push('_');
    }
    text.extend(word.chars().map(|c| if scan::in_raw_word(c) { c } else { '_' }));
}

fn quoted(inner: &str, text: &mut String) {
    text.push('"');
    for c in inner.chars() {
        match c {
            '"' => text.push_str("\\\""),
            '\\' => text.push_str("\\\\"),
            '\n' => text.push_str("\\n"),
            '\r' => text.push_str("\\r"),
            '\t' => text.push_str("\\t"),
            c if c.is_control() => {
                write!(text, "\\u{{{:x}}}", u32::from(c)).expect("writing to a string cannot fail");
            }
            c => text.push(c),
        }
    }
    text.push('"');
}

fn spaces(count: usize, text: &mut String) {
    text.extend(std::iter::repeat_n(' ', count));
}
