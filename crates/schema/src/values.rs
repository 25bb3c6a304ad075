//! Decoding of the plain types that a field may have.

use std::borrow::Borrow;
use std::fmt;
use std::ops::Deref;

use super::decode::{Decode, Decoder, decode_items};
use super::movable::Movable;
use super::path::{Path, RESERVED};
use super::rule::Rule;
use super::shape::Shape;
use super::shown::{is_steering, shown};
use super::tree::{Node, Tree};

/// A whole number, zero or more.
pub type Count = usize;
/// `true` or `false`.
pub type Flag = bool;
/// A list; left out means empty.
pub type List<T> = Vec<T>;

/// The name that its owner gave a thing. Not empty, and free of the characters that paths use.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Name(String);

impl Name {
    /// A name, if the text can be one.
    ///
    /// # Errors
    /// Says what is wrong with the text.
    pub fn new(text: impl Into<String>) -> Result<Self, String> {
        let text = text.into();
        if text.trim().is_empty() {
            return Err("a name cannot be empty".to_owned());
        }
        if text.trim() != text {
            return Err(format!("the name {text:?} begins or ends with a space"));
        }
        match text.chars().find(|c| RESERVED.contains(c) || c.is_control() || is_steering(*c)) {
            Some(found) => Err(format!("the name {text:?} holds {found:?}, which cannot be part of a name")),
            None => Ok(Self(text)),
        }
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Deref for Name {
    type Target = str;
    fn deref(&self) -> &str {
        &self.0
    }
}

impl AsRef<str> for Name {
    fn as_ref(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for Name {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl PartialEq<str> for Name {
    fn eq(&self, other: &str) -> bool {
        self.0 == other
    }
}

impl PartialEq<&str> for Name {
    fn eq(&self, other: &&str) -> bool {
        self.0 == *other
    }
}

impl PartialEq<String> for Name {
    fn eq(&self, other: &String) -> bool {
        self.0 == *other
    }
}

impl PartialEq<Name> for String {
    fn eq(&self, other: &Name) -> bool {
        *self == other.0
    }
}

impl From<Name> for String {
    fn from(name: Name) -> Self {
        name.0
    }
}

impl Decode for Name {
    fn shape() -> Shape {
        Shape::Name
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        let Some(text) = node.as_text() else {
            decoder.expected(node, "a name", "a name in quotes, such as \"stator\"");
            return None;
        };
        match Self::new(text) {
            Ok(name) => Some(name),
            Err(message) => {
                decoder.error(
                    node.place,
                    message,
                    "use letters, digits, spaces, and signs other than . / = \" [ ]",
                );
                None
            }
        }
    }

    fn encode(&self) -> Node {
        Node::text(self.0.clone())
    }
}

impl Decode for String {
    fn shape() -> Shape {
        Shape::Text
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        let Some(text) = node.as_text() else {
            decoder.expected(node, "text", "text in quotes");
            return None;
        };
        // the tree keeps what was typed; what is read from it is for showing
        Some(shown(text).into_owned())
    }

    fn encode(&self) -> Node {
        Node::text(self.clone())
    }

    fn check(&self, rules: &[Rule], node: &Node, decoder: &mut Decoder) {
        let filled = rules.iter().any(|rule| matches!(rule, Rule::NotEmpty | Rule::Refers(_)));
        if filled && self.trim().is_empty() {
            decoder.error(node.place, "the text is empty", "write something between the quotes");
        }
    }
}

impl Decode for bool {
    fn shape() -> Shape {
        Shape::Flag
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        let Tree::Flag(flag) = node.tree else {
            decoder.expected(node, "true or false", "true or false without quotes");
            return None;
        };
        Some(flag)
    }

    fn encode(&self) -> Node {
        Node::flag(*self)
    }
}

/// Largest whole number that a file may hold: enough for every count, exact in `f64`.
const LARGEST_COUNT: f64 = 4_294_967_295.0;

impl Decode for usize {
    fn shape() -> Shape {
        Shape::Count
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        let Tree::Number { value, .. } = node.tree else {
            decoder.expected(node, "a whole number", "a whole number without quotes, such as 4");
            return None;
        };
        if value.fract() != 0.0 || !(0.0..=LARGEST_COUNT).contains(&value) {
            decoder.expected(node, "a whole number", "a whole number from zero up, such as 4");
            return None;
        }
        Some(value as Self)
    }

    fn encode(&self) -> Node {
        Node::count(*self)
    }

    fn check(&self, rules: &[Rule], node: &Node, decoder: &mut Decoder) {
        check_number(*self as f64, rules, node, decoder);
    }

    fn visit_numbers(&mut self, visit: &mut dyn FnMut(&mut dyn Movable)) {
        visit(self);
    }
}

impl Decode for f64 {
    fn shape() -> Shape {
        Shape::Number
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        let Tree::Number { value, .. } = node.tree else {
            decoder.expected(node, "a number", "a number without quotes, such as 0.5");
            return None;
        };
        if !value.is_finite() {
            decoder.expected(node, "a finite number", "a finite number, such as 0.5");
            return None;
        }
        Some(value)
    }

    fn encode(&self) -> Node {
        Node::number(*self)
    }

    fn check(&self, rules: &[Rule], node: &Node, decoder: &mut Decoder) {
        check_number(*self, rules, node, decoder);
    }

    fn visit_numbers(&mut self, visit: &mut dyn FnMut(&mut dyn Movable)) {
        visit(self);
    }
}

fn check_number(value: f64, rules: &[Rule], node: &Node, decoder: &mut Decoder) {
    for (message, remedy) in rules.iter().filter_map(|rule| rule.check_number(value)) {
        decoder.error(node.place, message, remedy);
    }
}

impl Decode for Node {
    fn shape() -> Shape {
        Shape::Any
    }

    fn decode(node: &Node, _decoder: &mut Decoder) -> Option<Self> {
        (!matches!(node.tree, Tree::Broken)).then(|| node.clone())
    }

    fn encode(&self) -> Node {
        self.clone()
    }
}

impl Decode for Path {
    fn shape() -> Shape {
        Shape::Path
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        let Some(text) = node.as_text() else {
            decoder.expected(
                node,
                "a path",
                "a path in quotes, such as \"loops.stator.path.long hose.length\"",
            );
            return None;
        };
        match Self::parse(text) {
            Ok(mut path) => {
                path.place = node.place;
                Some(path)
            }
            Err(error) => {
                decoder.error(node.place, error.to_string(), error.remedy());
                None
            }
        }
    }

    fn encode(&self) -> Node {
        Node::text(self.to_string())
    }
}

impl<T: Decode> Decode for Option<T> {
    fn shape() -> Shape {
        Shape::Optional(T::shape)
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        match &node.tree {
            Tree::Word(word) if word == "None" => Some(None),
            Tree::Tuple { tag: Some(tag), items } if tag == "Some" && items.len() == 1 => {
                T::decode(&items[0], decoder).map(Some)
            }
            _ => T::decode(node, decoder).map(Some),
        }
    }

    fn encode(&self) -> Node {
        self.as_ref().map_or_else(|| Node::word("None"), T::encode)
    }

    fn check(&self, rules: &[Rule], node: &Node, decoder: &mut Decoder) {
        if let Some(value) = self {
            let inside = if node.tag() == Some("Some") { node.unwrapped() } else { node };
            value.check(rules, inside, decoder);
        }
    }

    fn when_missing() -> Option<Self> {
        Some(None)
    }

    fn is_absent(&self) -> bool {
        self.is_none()
    }

    fn stated(&self) -> Option<bool> {
        self.as_ref().and_then(T::stated)
    }

    fn mark_default(&mut self) {
        if let Some(value) = self {
            value.mark_default();
        }
    }

    fn visit_numbers(&mut self, visit: &mut dyn FnMut(&mut dyn Movable)) {
        if let Some(value) = self {
            value.visit_numbers(visit);
        }
    }
}

impl<T: Decode> Decode for Box<T> {
    fn shape() -> Shape {
        T::shape()
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        T::decode(node, decoder).map(Self::new)
    }

    fn encode(&self) -> Node {
        T::encode(self)
    }

    fn check(&self, rules: &[Rule], node: &Node, decoder: &mut Decoder) {
        T::check(self, rules, node, decoder);
    }

    fn decode_variant(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        T::decode_variant(node, decoder).map(Self::new)
    }

    fn encode_variant(&self, tag: &str) -> Node {
        T::encode_variant(self, tag)
    }

    fn visit_numbers(&mut self, visit: &mut dyn FnMut(&mut dyn Movable)) {
        T::visit_numbers(self, visit);
    }
}

impl<T: Decode> Decode for Vec<T> {
    fn shape() -> Shape {
        Shape::List(T::shape)
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        let Tree::List(items) = &node.tree else {
            decoder.expected(node, "a list", &super::example::example(Self::shape()));
            return None;
        };
        decode_items(items, decoder)
    }

    fn encode(&self) -> Node {
        Node::list(self.iter().map(T::encode).collect())
    }

    fn check(&self, rules: &[Rule], node: &Node, decoder: &mut Decoder) {
        if rules.contains(&Rule::NotEmpty) && self.is_empty() {
            decoder.error(
                node.place,
                "the list is empty",
                format!("add {}", super::example::example(T::shape())),
            );
        }
        let Tree::List(items) = &node.tree else { return };
        for (n, (value, item)) in self.iter().zip(items).enumerate() {
            decoder.in_item(item, n, |decoder| value.check(rules, item, decoder));
        }
    }

    fn when_missing() -> Option<Self> {
        Some(Self::new())
    }

    fn is_absent(&self) -> bool {
        self.is_empty()
    }

    fn visit_numbers(&mut self, visit: &mut dyn FnMut(&mut dyn Movable)) {
        for value in self {
            value.visit_numbers(visit);
        }
    }
}

macro_rules! group {
    ($count:literal, $($type:ident $value:ident $n:tt),+) => {
        impl<$($type: Decode),+> Decode for ($($type,)+) {
            fn shape() -> Shape {
                Shape::Group(&[$($type::shape),+])
            }

            fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
                let items: &[Node] = match &node.tree {
                    Tree::Tuple { tag: None, items } if items.len() == $count => items,
                    _ => {
                        let what = format!("a group of {} in round brackets", $count);
                        decoder.expected(node, &what, &super::example::example(Self::shape()));
                        return None;
                    }
                };
                $(let $value = decoder.in_item(&items[$n], $n, |decoder| $type::decode(&items[$n], decoder));)+
                Some(($($value?,)+))
            }

            fn encode(&self) -> Node {
                Node::tuple("", vec![$(self.$n.encode()),+])
            }

            fn visit_numbers(&mut self, visit: &mut dyn FnMut(&mut dyn Movable)) {
                $(self.$n.visit_numbers(visit);)+
            }
        }
    };
}
group!(2, A a 0, B b 1);
group!(3, A a 0, B b 1, C c 2);
group!(4, A a 0, B b 1, C c 2, D d 3);
