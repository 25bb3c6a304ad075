//! From the generic tree to typed values, telling every problem on the way.

use std::borrow::Cow;

use super::movable::Movable;
use super::nearest::{listed, nearest, with_article};
use super::path::flow_names;
use super::path::is_flow_list;
use super::problem::{Problem, Problems};
use super::rule::Rule;
use super::shape::{ChoiceSchema, FieldSchema, RecordSchema, Shape};
use super::trail::Trail;
use super::tree::{Key, Node, Place, Tree};

/// A type that can be read from a tree and written to one.
///
/// Implemented by the macros [`crate::record!`] and [`crate::choice!`] and by the types that fields may have.
pub trait Decode: Sized {
    /// What it looks like in a file.
    fn shape() -> Shape;

    /// Reads a node. `None` means that an error has been told.
    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self>;

    /// Writes a node that reads back to the same value.
    fn encode(&self) -> Node;

    /// Tells if the value breaks a rule of its field.
    fn check(&self, _rules: &[Rule], _node: &Node, _decoder: &mut Decoder) {}

    /// The value of a field without default that was left out, if it may be left out.
    fn when_missing() -> Option<Self> {
        None
    }

    /// True if the field is best left out when writing.
    fn is_absent(&self) -> bool {
        false
    }

    /// Whether the author stated the value; `None` for types that do not keep this.
    fn stated(&self) -> Option<bool> {
        None
    }

    /// Notes that the value is a default.
    fn mark_default(&mut self) {}

    /// Shows every number inside to `visit`, in the order of [`super::list_inputs`]: the way by which studies move numbers without
    /// decoding again. What moves them answers for the rules of their fields.
    fn visit_numbers(&mut self, _visit: &mut dyn FnMut(&mut dyn Movable)) {}

    /// Reads the content of a variant, `Tag(content)`; a record has its fields directly inside.
    fn decode_variant(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        match &node.tree {
            Tree::Tuple { items, .. } if items.len() == 1 => Self::decode(&items[0], decoder),
            _ => {
                let tag = node.tag().unwrap_or_default();
                decoder.error(
                    node.place,
                    format!("{tag} needs one value in its brackets"),
                    format!("write {tag}({})", super::example::example(Self::shape())),
                );
                None
            }
        }
    }

    /// Writes the content of a variant.
    fn encode_variant(&self, tag: &str) -> Node {
        Node::tuple(tag, vec![self.encode()])
    }
}

/// A record type made by [`crate::record!`].
pub trait Record: Decode {
    /// Its description.
    fn schema() -> &'static RecordSchema;
}

/// A choice type made by [`crate::choice!`].
pub trait Choice: Decode {
    /// Its description.
    fn schema() -> &'static ChoiceSchema;

    /// Name of the variant that this value is.
    fn variant(&self) -> &'static str;
}

/// What decoding gave.
#[derive(Debug, Clone)]
pub struct Decoded<T> {
    /// The value; only if there was no error.
    pub value: Option<T>,
    /// Everything there is to tell.
    pub problems: Problems,
}

/// Decodes a whole tree: types, rules, and names that stand twice in one list.
pub fn decode<T: Decode>(root: &Node) -> Decoded<T> {
    let mut decoder = Decoder::new();
    let value = T::decode(root, &mut decoder);
    check_names(root, "", false, &mut decoder);
    let problems = decoder.problems;
    let value = value.filter(|_| !problems.has_errors());
    Decoded { value, problems }
}

/// Collects problems, and knows where in the tree decoding stands.
#[derive(Debug, Default)]
pub struct Decoder {
    problems: Problems,
    trail: Trail,
}

impl Decoder {
    /// At the root, without problems.
    pub fn new() -> Self {
        Self::default()
    }

    /// Problems so far.
    pub fn problems(&self) -> &Problems {
        &self.problems
    }

    /// Path of what is being decoded.
    pub fn path(&self) -> String {
        self.trail.path()
    }

    /// Tells an error at a place.
    pub fn error(&mut self, place: Place, message: impl Into<String>, remedy: impl Into<String>) {
        self.problems.push(Problem::error(self.trail.path(), message, remedy).at(place));
    }

    /// Tells a warning at a place.
    pub fn warning(&mut self, place: Place, message: impl Into<String>, remedy: impl Into<String>) {
        self.problems.push(Problem::warning(self.trail.path(), message, remedy).at(place));
    }

    /// Tells that something else was expected, unless the node is known to be unreadable.
    pub fn expected(&mut self, node: &Node, what: &str, example: &str) {
        if !matches!(node.tree, Tree::Broken) {
            let message = format!("{} found where {what} is expected", node.describe());
            self.error(node.place, message, format!("write {example}"));
        }
    }

    /// Works on a field.
    pub fn in_field<R>(&mut self, name: &'static str, work: impl FnOnce(&mut Self) -> R) -> R {
        let mark = self.trail.enter_field(Cow::Borrowed(name));
        let result = work(self);
        self.trail.leave(mark);
        result
    }

    /// Works on item `n`, counted from 0, of a list.
    pub fn in_item<R>(&mut self, item: &Node, n: usize, work: impl FnOnce(&mut Self) -> R) -> R {
        let mark = self.trail.enter_item(item.own_name(), n);
        let result = work(self);
        self.trail.leave(mark);
        result
    }
}

/// The fields of one record while they are being decoded, in the order of the schema.
#[derive(Debug)]
pub struct Fields<'n> {
    schema: &'static RecordSchema,
    next: usize,
    stated: &'n [(Key, Node)],
    place: Place,
    incomplete: bool,
}

impl<'n> Fields<'n> {
    /// Looks at a record node; tells unknown and repeated fields, and a tag that is not `tag`.
    pub fn open(
        node: &'n Node,
        schema: &'static RecordSchema,
        any_tag: bool,
        decoder: &mut Decoder,
    ) -> Option<Self> {
        let (tag, fields): (_, &[(Key, Node)]) = match &node.tree {
            Tree::Record { tag, fields } => (tag, fields),
            Tree::Tuple { tag, items } if items.is_empty() => (tag, &[]),
            _ => {
                decoder.expected(node, &with_article(schema.name), &super::example::record_example(schema));
                return None;
            }
        };
        if let Some(tag) = tag.as_deref().filter(|tag| !any_tag && *tag != schema.name) {
            let message = format!("{tag}(..) found where {} is expected", with_article(schema.name));
            decoder.error(node.place, message, format!("write {}(..), or leave the word out", schema.name));
            return None;
        }
        let incomplete = fields.iter().any(|(key, _)| key.name.is_empty());
        check_keys(fields, schema, decoder);
        Some(Self { schema, next: 0, stated: fields, place: node.place, incomplete })
    }

    /// Decodes the next field of the schema.
    pub fn take<T: Decode>(&mut self, decoder: &mut Decoder) -> Option<T> {
        let spec = &self.schema.fields[self.next];
        self.next += 1;
        match self.stated.iter().find(|(key, _)| key.name == spec.name) {
            Some((_, node)) => decoder.in_field(spec.name, |decoder| {
                let value = T::decode(node, decoder)?;
                value.check(spec.rules, node, decoder);
                Some(value)
            }),
            None => self.absent(spec, decoder),
        }
    }

    fn absent<T: Decode>(&self, spec: &'static FieldSchema, decoder: &mut Decoder) -> Option<T> {
        if let Some(node) = spec.default_node() {
            return decoder.in_field(spec.name, |decoder| {
                let mut value = T::decode(&node, decoder)?;
                value.mark_default();
                Some(value)
            });
        }
        if !spec.is_required() {
            return T::when_missing();
        }
        if !self.incomplete {
            let example = super::example::example((spec.shape)());
            let message = format!("{} has no {:?}", owner(decoder.trail.last(), self.schema), spec.name);
            decoder.error(self.place, message, format!("add {}: {example}", spec.name));
        }
        None
    }
}

fn owner(last: &str, schema: &RecordSchema) -> String {
    if last.is_empty() { format!("the {}", schema.name) } else { format!("{} {last:?}", schema.name) }
}

fn check_keys(fields: &[(Key, Node)], schema: &RecordSchema, decoder: &mut Decoder) {
    for (n, (key, _)) in fields.iter().enumerate() {
        if key.name.is_empty() {
            continue;
        }
        if !schema.fields.iter().any(|field| field.name == key.name) {
            let names = || schema.fields.iter().map(|field| field.name);
            let remedy = match nearest(&key.name, names()) {
                Some(name) => format!("write {name:?} if that is meant"),
                None => format!("{} has {}", with_article(schema.name), listed(names())),
            };
            decoder.error(key.place, format!("unknown field {:?}", key.name), remedy);
        } else if fields[..n].iter().any(|(earlier, _)| earlier.name == key.name) {
            let message = format!("the field {:?} appears twice", key.name);
            decoder.error(key.place, message, "remove one of the two");
        }
    }
}

/// Encodes the fields of one record, in the order of the schema.
#[derive(Debug)]
pub struct FieldWriter {
    schema: &'static RecordSchema,
    next: usize,
    fields: Vec<(Key, Node)>,
}

impl FieldWriter {
    /// Nothing written yet.
    pub fn new(schema: &'static RecordSchema) -> Self {
        Self { schema, next: 0, fields: Vec::new() }
    }

    /// Writes the next field, unless it says nothing that a reader would not assume.
    pub fn put<T: Decode>(&mut self, value: &T) {
        let spec = &self.schema.fields[self.next];
        self.next += 1;
        if spec.default.is_none() && value.is_absent() && !spec.is_required() {
            return;
        }
        let node = value.encode();
        let is_default = |default: Node| default == node || (is_empty(&default) && is_empty(&node));
        if value.stated() != Some(true) && spec.default_node().is_some_and(is_default) {
            return;
        }
        self.fields.push((Key::new(spec.name), node));
    }

    /// The record node; an empty tag means none.
    pub fn finish(self, tag: &str) -> Node {
        Tree::Record { tag: (!tag.is_empty()).then(|| tag.to_owned()), fields: self.fields }.into()
    }
}

/// True for `()` and for a record of which nothing needs writing.
fn is_empty(node: &Node) -> bool {
    matches!(&node.tree, Tree::Record { fields, .. } if fields.is_empty())
}

/// The variant that a node names; `None` means that an error has been told.
pub fn variant_of(node: &Node, schema: &'static ChoiceSchema, decoder: &mut Decoder) -> Option<&'static str> {
    let Some(tag) = node.tag().filter(|tag| schema.plain.is_none() || *tag != "Input") else {
        if schema.plain.is_some() {
            return schema.plain;
        }
        decoder.expected(node, &with_article(schema.name), &format!("one of {}", variants(schema)));
        return None;
    };
    let Some(variant) = schema.variants.iter().find(|variant| variant.name == tag) else {
        let remedy = match nearest(tag, schema.variants.iter().map(|variant| variant.name)) {
            Some(name) => format!("write {name} if that is meant, or one of {}", variants(schema)),
            None => format!("write one of {}", variants(schema)),
        };
        decoder.error(node.place, format!("{tag} is no {}", schema.name), remedy);
        return None;
    };
    match (&node.tree, variant.content) {
        (Tree::Word(_), Some(content)) => {
            let message = format!("{tag} needs its content in brackets");
            decoder.error(
                node.place,
                message,
                format!("write {}", super::example::variant_example(tag, content())),
            );
            None
        }
        (Tree::Record { fields, .. }, None) if !fields.is_empty() => no_content(node, tag, decoder),
        (Tree::Tuple { items, .. }, None) if !items.is_empty() => no_content(node, tag, decoder),
        _ => Some(variant.name),
    }
}

fn no_content(node: &Node, tag: &str, decoder: &mut Decoder) -> Option<&'static str> {
    decoder.error(node.place, format!("{tag} has no content"), format!("write {tag} alone"));
    None
}

fn variants(schema: &ChoiceSchema) -> String {
    schema.variants.iter().map(|variant| variant.name).collect::<Vec<_>>().join(", ")
}

/// Tells names that stand twice in one list, or twice in the flow lists of one loop or duct.
fn check_names(node: &Node, holder: &str, in_flow: bool, decoder: &mut Decoder) {
    match &node.tree {
        Tree::List(items) => {
            if !in_flow {
                let mut names = Vec::new();
                if is_flow_list(holder) {
                    flow_names(items, &mut names);
                } else {
                    names.extend(items.iter().filter_map(named));
                }
                tell_repeated(&names, decoder);
            }
            for (n, item) in items.iter().enumerate() {
                let nested = in_flow || is_flow_list(holder);
                decoder.in_item(item, n, |decoder| check_names(item, holder, nested, decoder));
            }
        }
        Tree::Record { fields, .. } => {
            for (key, node) in fields {
                let mark = decoder.trail.enter_field(Cow::Owned(key.name.clone()));
                check_names(node, &key.name, in_flow && is_flow_list(&key.name), decoder);
                decoder.trail.leave(mark);
            }
        }
        Tree::Tuple { tag: Some(_), items } if items.len() == 1 => {
            check_names(&items[0], holder, in_flow, decoder);
        }
        Tree::Tuple { items, .. } => {
            for (n, item) in items.iter().enumerate() {
                decoder.in_item(item, n, |decoder| check_names(item, "", false, decoder));
            }
        }
        _ => {}
    }
}

fn named(item: &Node) -> Option<(&str, Place)> {
    let node = item.unwrapped().field("name")?;
    Some((node.as_text()?, node.place))
}

fn tell_repeated(names: &[(&str, Place)], decoder: &mut Decoder) {
    let mut seen = std::collections::BTreeMap::new();
    for (name, place) in names {
        if let Some(first) = seen.get(name) {
            let message = format!("the name {name:?} is taken already{}", first_at(*first));
            decoder.error(*place, message, "give one of the two another name");
        } else {
            seen.insert(*name, *place);
        }
    }
}

fn first_at(place: Place) -> String {
    place.known().map_or(String::new(), |place| format!(" on line {}", place.line))
}

/// Decodes the items of a list; tells all problems of all items.
pub(crate) fn decode_items<T: Decode>(items: &[Node], decoder: &mut Decoder) -> Option<Vec<T>> {
    let mut values = Vec::with_capacity(items.len());
    for (n, item) in items.iter().enumerate() {
        values.extend(decoder.in_item(item, n, |decoder| T::decode(item, decoder)));
    }
    (values.len() == items.len()).then_some(values)
}

/// Reads the content of the variant that a node names, or that stands without a tag.
#[doc(hidden)]
pub fn decode_content<T: Decode>(node: &Node, variant: &str, decoder: &mut Decoder) -> Option<T> {
    if node.tag() == Some(variant) { T::decode_variant(node, decoder) } else { T::decode(node, decoder) }
}

/// Tells if the content of a variant breaks a rule of that variant.
#[doc(hidden)]
pub fn check_content<T: Decode>(content: &T, rules: &[Rule], node: &Node, decoder: &mut Decoder) {
    if !rules.is_empty() {
        content.check(rules, node.unwrapped(), decoder);
    }
}

/// Writes the content of a variant; without its tag if that is the plain one.
#[doc(hidden)]
pub fn encode_content<T: Decode>(content: &T, variant: &str, schema: &ChoiceSchema) -> Node {
    if schema.plain == Some(variant) { content.encode() } else { content.encode_variant(variant) }
}
