//! The generic tree that a project file is read into, and that it is written from.
//!
//! A tree keeps what its author typed: the text of numbers, quantities with their unit, the order
//! of the fields. It knows nothing of aircraft; [`super::Decode`] turns it into typed records.

use std::fmt;

/// Where something stands in a text. Lines and columns count from 1, columns in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Place {
    /// Line, from 1; 0 if there is no place.
    pub line: u32,
    /// Column in characters, from 1; 0 if there is no place.
    pub column: u32,
    /// Length in characters, on that line.
    pub length: u32,
}

impl Place {
    /// The place of a node that was made, not read.
    pub const fn none() -> Self {
        Self { line: 0, column: 0, length: 0 }
    }

    /// A place that was read.
    pub const fn new(line: u32, column: u32, length: u32) -> Self {
        Self { line, column, length }
    }

    /// True if this was read from a text.
    pub const fn is_known(&self) -> bool {
        self.line > 0
    }

    /// The place, or nothing for a made node.
    pub fn known(self) -> Option<Self> {
        self.is_known().then_some(self)
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.line, self.column)
    }
}

/// The name of a field, with its place. Equality ignores the place.
#[derive(Debug, Clone, Eq)]
pub struct Key {
    /// The name as written.
    pub name: String,
    /// Where it stands.
    pub place: Place,
}

impl Key {
    /// A field name that was made, not read.
    pub fn new(name: impl Into<String>) -> Self {
        Self { name: name.into(), place: Place::none() }
    }
}

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

/// A value without its place.
#[derive(Debug, Clone)]
pub enum Tree {
    /// Quoted text, also a quantity such as `"12 L/min"`.
    Text(String),
    /// A bare number.
    Number {
        /// As typed.
        text: String,
        /// What it means.
        value: f64,
    },
    /// `true` or `false`.
    Flag(bool),
    /// A bare word: a choice without content, or `None`.
    Word(String),
    /// `[a, b]`.
    List(Vec<Node>),
    /// `Tag(name: value)` or `(name: value)`. A field may stand twice: decoding tells.
    Record {
        /// The word before the bracket.
        tag: Option<String>,
        /// Fields in the order written.
        fields: Vec<(Key, Node)>,
    },
    /// `Tag(a, b)` or `(a, b)`.
    Tuple {
        /// The word before the bracket.
        tag: Option<String>,
        /// Values in order.
        items: Vec<Node>,
    },
    /// `{ a: b }`.
    Map(Vec<(Node, Node)>),
    /// A value that could not be read; the reader has told why, so nobody tells again.
    Broken,
}

/// A value with its place. Equality ignores places, and compares numbers as typed.
#[derive(Debug, Clone)]
pub struct Node {
    /// The value.
    pub tree: Tree,
    /// Where it stands. For bracketed values: the tag, or the opening bracket.
    pub place: Place,
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.tree == other.tree
    }
}

impl PartialEq for Tree {
    fn eq(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Text(a), Self::Text(b))
            | (Self::Word(a), Self::Word(b))
            | (Self::Number { text: a, .. }, Self::Number { text: b, .. }) => a == b,
            (Self::Flag(a), Self::Flag(b)) => a == b,
            (Self::List(a), Self::List(b)) => a == b,
            (Self::Record { tag: a, fields: x }, Self::Record { tag: b, fields: y }) => a == b && x == y,
            (Self::Tuple { tag: a, items: x }, Self::Tuple { tag: b, items: y }) => a == b && x == y,
            // `()` is written the same way for both.
            (Self::Record { tag: a, fields: x }, Self::Tuple { tag: b, items: y })
            | (Self::Tuple { tag: b, items: y }, Self::Record { tag: a, fields: x }) => {
                a == b && x.is_empty() && y.is_empty()
            }
            (Self::Map(a), Self::Map(b)) => a == b,
            (Self::Broken, Self::Broken) => true,
            _ => false,
        }
    }
}

impl From<Tree> for Node {
    fn from(tree: Tree) -> Self {
        Self { tree, place: Place::none() }
    }
}

impl Node {
    /// A quoted text.
    pub fn text(text: impl Into<String>) -> Self {
        Tree::Text(text.into()).into()
    }

    /// A bare number, written with the fewest digits that read back to the same value.
    pub fn number(value: f64) -> Self {
        Tree::Number { text: format!("{value:?}"), value }.into()
    }

    /// A whole number.
    pub fn count(value: usize) -> Self {
        Tree::Number { text: value.to_string(), value: value as f64 }.into()
    }

    /// A bare word.
    pub fn word(word: impl Into<String>) -> Self {
        Tree::Word(word.into()).into()
    }

    /// `true` or `false`.
    pub fn flag(flag: bool) -> Self {
        Tree::Flag(flag).into()
    }

    /// A list.
    pub fn list(items: Vec<Self>) -> Self {
        Tree::List(items).into()
    }

    /// A record; an empty tag means none.
    pub fn record(tag: &str, fields: Vec<(&str, Self)>) -> Self {
        let fields = fields.into_iter().map(|(name, node)| (Key::new(name), node)).collect();
        Tree::Record { tag: (!tag.is_empty()).then(|| tag.to_owned()), fields }.into()
    }

    /// A tuple; an empty tag means none.
    pub fn tuple(tag: &str, items: Vec<Self>) -> Self {
        Tree::Tuple { tag: (!tag.is_empty()).then(|| tag.to_owned()), items }.into()
    }

    /// The same node at another place.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = place;
        self
    }

    /// The word before the bracket, or the bare word.
    pub fn tag(&self) -> Option<&str> {
        match &self.tree {
            Tree::Record { tag, .. } | Tree::Tuple { tag, .. } => tag.as_deref(),
            Tree::Word(word) => Some(word),
            _ => None,
        }
    }

    /// The first field of that name, if this is a record.
    pub fn field(&self, name: &str) -> Option<&Self> {
        match &self.tree {
            Tree::Record { fields, .. } => {
                fields.iter().find(|(key, _)| key.name == name).map(|(_, node)| node)
            }
            _ => None,
        }
    }

    /// The first field of that name, to be changed.
    pub fn field_mut(&mut self, name: &str) -> Option<&mut Self> {
        match &mut self.tree {
            Tree::Record { fields, .. } => {
                fields.iter_mut().find(|(key, _)| key.name == name).map(|(_, node)| node)
            }
            _ => None,
        }
    }

    /// The text, if this is one.
    pub fn as_text(&self) -> Option<&str> {
        match &self.tree {
            Tree::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The text of the field `name`: what a list item is found by.
    pub fn own_name(&self) -> Option<&str> {
        self.unwrapped().field("name").and_then(Self::as_text)
    }

    /// The single value inside a tag, as in `Fixed("12 W/K")` or `Some(3)`; otherwise the node
    /// itself. Paths and names look through such a tag.
    pub fn unwrapped(&self) -> &Self {
        match &self.tree {
            Tree::Tuple { tag: Some(_), items } if items.len() == 1 => items[0].unwrapped(),
            _ => self,
        }
    }

    /// As [`Node::unwrapped`], to be changed.
    pub fn unwrapped_mut(&mut self) -> &mut Self {
        if !matches!(&self.tree, Tree::Tuple { tag: Some(_), items } if items.len() == 1) {
            return self;
        }
        match &mut self.tree {
            Tree::Tuple { items, .. } => items[0].unwrapped_mut(),
            _ => unreachable!("the shape was tested just above"),
        }
    }

    /// What this is, for a message: `the text "12 K"`, `a list`.
    pub fn describe(&self) -> String {
        match &self.tree {
            Tree::Text(text) => format!("the text {:?}", shorten(text)),
            Tree::Number { text, .. } => format!("the number {text}"),
            Tree::Flag(flag) => format!("{flag}"),
            Tree::Word(word) => format!("the word {word}"),
            Tree::List(items) => format!("a list of {}", items.len()),
            Tree::Record { tag: Some(tag), .. } | Tree::Tuple { tag: Some(tag), .. } => format!("{tag}(..)"),
            Tree::Record { .. } => "a record".to_owned(),
            Tree::Tuple { items, .. } => format!("a group of {}", items.len()),
            Tree::Map(_) => "a map".to_owned(),
            Tree::Broken => "an unreadable value".to_owned(),
        }
    }
}

/// At most forty characters of a text, for a message.
fn shorten(text: &str) -> String {
    if text.chars().count() <= 40 {
        return text.to_owned();
    }
    let mut short: String = text.chars().take(39).collect();
    short.push('…');
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equality_ignores_places_and_compares_numbers_as_typed() {
        let read = Node::text("12 L/min").at(Place::new(3, 4, 10));
        assert_eq!(read, Node::text("12 L/min"));
        let typed: Node = Tree::Number { text: "1.50".into(), value: 1.5 }.into();
        assert_ne!(typed, Node::number(1.5));
    }

    #[test]
    fn an_empty_bracket_is_a_record_and_a_tuple_alike() {
        assert_eq!(Node::record("Off", vec![]), Node::tuple("Off", vec![]));
        assert_ne!(Node::record("Off", vec![]), Node::tuple("On", vec![]));
    }

    #[test]
    fn a_tag_around_one_value_is_looked_through() {
        let mut node =
            Node::tuple("Some", vec![Node::record("Hose", vec![("name", Node::text("long hose"))])]);
        assert_eq!(node.own_name(), Some("long hose"));
        *node.unwrapped_mut().field_mut("name").unwrap() = Node::text("short hose");
        assert_eq!(node.own_name(), Some("short hose"));
    }
}
