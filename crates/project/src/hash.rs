//! A hash of what a project says, for records that must be reproduced later.

use std::fmt;

use schema::{Node, Tree};

/// Hash of the content of a project: FNV-1a with 128 bits.
///
/// Comments, layout, the order of the fields of a record, and the way a number is written (`1` or `1.0`)
/// do not count; the text of quantities does. It tells accidental differences apart; it is no
/// protection against somebody who wants two projects to have one hash.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct InputHash(u128);

/// Offset basis and prime of the 128-bit FNV, from the authors' description (draft-eastlake-fnv).
const OFFSET_BASIS: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;

impl InputHash {
    /// The hash of a tree.
    pub fn of(node: &Node) -> Self {
        let mut hash = Self(OFFSET_BASIS);
        hash.feed_node(node);
        hash
    }

    /// The hash of texts in order; where one ends and the next begins counts.
    pub fn of_texts<'a>(texts: impl IntoIterator<Item = &'a str>) -> Self {
        let mut hash = Self(OFFSET_BASIS);
        for text in texts {
            hash.feed_text(b't', text);
        }
        hash
    }

    fn feed(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u128::from(*byte)).wrapping_mul(PRIME);
        }
    }

    fn feed_text(&mut self, sort: u8, text: &str) {
        self.feed(&[sort]);
        self.feed_count(text.len());
        self.feed(text.as_bytes());
    }

    fn feed_count(&mut self, count: usize) {
        self.feed(&(count as u64).to_le_bytes());
    }

    fn feed_node(&mut self, node: &Node) {
        match &node.tree {
            Tree::Text(text) => self.feed_text(b't', text),
            Tree::Number { value, .. } => self.feed_text(b'n', &format!("{value:?}")),
            Tree::Flag(flag) => self.feed(&[b'f', u8::from(*flag)]),
            Tree::Word(word) => self.feed_text(b'w', word),
            Tree::List(items) => self.feed_items(b'l', "", items),
            Tree::Tuple { tag, items } if items.is_empty() => self.feed_fields(tag.as_deref(), &mut []),
            // `Some(x)` says the same as `x`.
            Tree::Tuple { tag: Some(tag), items } if tag == "Some" && items.len() == 1 => {
                self.feed_node(&items[0]);
            }
            Tree::Tuple { tag, items } => self.feed_items(b'g', tag.as_deref().unwrap_or(""), items),
            Tree::Record { tag, fields } => {
                let mut fields: Vec<(&str, &Node)> =
                    fields.iter().map(|(key, node)| (key.name.as_str(), node)).collect();
                fields.sort_by_key(|(name, _)| *name);
                self.feed_fields(tag.as_deref(), &mut fields);
            }
            Tree::Map(entries) => {
                self.feed(b"m");
                self.feed_count(entries.len());
                for (key, value) in entries {
                    self.feed_node(key);
                    self.feed_node(value);
                }
            }
            Tree::Broken => self.feed(b"b"),
        }
    }

    fn feed_items(&mut self, sort: u8, tag: &str, items: &[Node]) {
        self.feed_text(sort, tag);
        self.feed_count(items.len());
        for item in items {
            self.feed_node(item);
        }
    }

    fn feed_fields(&mut self, tag: Option<&str>, fields: &mut [(&str, &Node)]) {
        self.feed_text(b'r', tag.unwrap_or(""));
        self.feed_count(fields.len());
        for (name, node) in fields {
            self.feed_text(b'k', name);
            self.feed_node(node);
        }
    }
}

impl fmt::Display for InputHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse;

    /// Values from memory of the test vectors in draft-eastlake-fnv; the first is the offset basis by definition.
    #[test]
    fn fnv_gives_the_published_values() {
        for (text, expected) in [
            ("", "6c62272e07bb014262b821756295c58d"),
            ("a", "d228cb696f1a8caf78912b704e4a8964"),
            ("foobar", "343e1662793c64bf6f0d3597ba446f18"),
        ] {
            let mut hash = InputHash(OFFSET_BASIS);
            hash.feed(text.as_bytes());
            assert_eq!(hash.to_string(), expected, "{text:?}");
        }
    }

    fn hash(text: &str) -> InputHash {
        let (node, problems) = parse(text.as_bytes());
        assert!(problems.is_empty(), "{problems}");
        InputHash::of(&node.unwrap())
    }

    #[test]
    fn layout_does_not_count_and_content_does() {
        let one = hash("Pump(name: \"p\", speed: 1.0, /* why */ note: None) // end");
        assert_eq!(one, hash("Pump(\n  speed: 1, name: r#\"p\"#,\n  note: None,\n)"));
        for other in [
            "Pump(name: \"p\", speed: 1.1, note: None)",
            "Pump(name: \"q\", speed: 1.0, note: None)",
            "Pump(name: \"p\", speed: 1.0)",
            "(name: \"p\", speed: 1.0, note: None)",
            "Pump(name: \"p\", speed: \"1.0\", note: None)",
        ] {
            assert_ne!(one, hash(other), "{other}");
        }
        assert_ne!(hash("[[1], 2]"), hash("[[1, 2]]"));
    }
}
