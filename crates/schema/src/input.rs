//! Quantities as inputs: value with unit, tolerance, source and kind of evidence.

use std::fmt;
use std::marker::PhantomData;

use units::{Kind, Quantity, UnitError};

use super::decode::{Decode, Decoder};
use super::movable::Movable;
use super::nearest::{nearest, with_article};
use super::rule::Rule;
use super::shape::Shape;
use super::tree::{Key, Node, Tree};

/// A physical kind as a type, so that a length cannot be taken for a temperature.
pub trait InputKind: fmt::Debug + Clone + PartialEq + 'static {
    /// The kind.
    const KIND: Kind;
}

/// What a number rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Evidence {
    /// Nothing but judgement.
    #[default]
    Assumed,
    /// A maker's data sheet or statement.
    Vendor,
    /// A measurement.
    Measured,
    /// Fitted to test data.
    Fitted,
    /// A published standard or handbook.
    Standard,
}

impl Evidence {
    /// Every kind of evidence, weakest first.
    pub const ALL: [Self; 5] = [Self::Assumed, Self::Vendor, Self::Standard, Self::Fitted, Self::Measured];

    /// The word used in project files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Assumed => "assumed",
            Self::Vendor => "vendor",
            Self::Measured => "measured",
            Self::Fitted => "fitted",
            Self::Standard => "standard",
        }
    }
}

impl fmt::Display for Evidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

impl Decode for Evidence {
    fn shape() -> Shape {
        Shape::Text
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        let words = || Self::ALL.map(Self::word).into_iter();
        let all = words().collect::<Vec<_>>().join(", ");
        let Tree::Word(word) = &node.tree else {
            decoder.expected(node, "a kind of evidence", &format!("one of {all}, without quotes"));
            return None;
        };
        let found = Self::ALL.into_iter().find(|evidence| evidence.word() == word);
        if found.is_none() {
            let remedy = match nearest(word, words()) {
                Some(near) => format!("write {near} if that is meant, or one of {all}"),
                None => format!("write one of {all}"),
            };
            decoder.error(node.place, format!("{word} is not a kind of evidence"), remedy);
        }
        found
    }

    fn encode(&self) -> Node {
        Node::word(self.word())
    }
}

/// How far the true value may be from the stated one, to either side.
#[derive(Debug, Clone, PartialEq)]
pub enum Tolerance {
    /// A share of the value, `"5 %"`.
    Relative(Quantity),
    /// In the kind of the value; temperatures and pressures: their difference.
    Absolute(Quantity),
}

impl Tolerance {
    /// As typed.
    pub fn text(&self) -> &str {
        match self {
            Self::Relative(quantity) | Self::Absolute(quantity) => quantity.text(),
        }
    }

    /// Half-width of the band around a value, both in SI.
    pub fn half_width_si(&self, value_si: f64) -> f64 {
        match self {
            Self::Relative(share) => share.si() * value_si.abs(),
            Self::Absolute(quantity) => quantity.si(),
        }
    }

    fn parse(text: &str, kind: Kind) -> Result<Self, UnitError> {
        let relative = text.trim_end().ends_with('%') && has_true_zero(kind);
        if relative && let Ok(share) = Quantity::parse(text, Kind::Ratio) {
            return Ok(Self::Relative(share));
        }
        Quantity::parse(text, difference_of(kind)).map(Self::Absolute)
    }
}

/// Kinds of which a percentage says nothing, because their zero is a convention.
fn has_true_zero(kind: Kind) -> bool {
    !matches!(kind, Kind::Temperature | Kind::GaugePressure)
}

/// The kind that differences of a kind have.
pub fn difference_of(kind: Kind) -> Kind {
    match kind {
        Kind::Temperature => Kind::TemperatureDifference,
        Kind::AbsolutePressure | Kind::GaugePressure => Kind::PressureDifference,
        other => other,
    }
}

/// A quantity of kind `K` with its pedigree.
///
/// In a file: `"12 L/min"`, a bare number for ratios, or
/// `Input(value: "12 L/min", tolerance: "5 %", source: "data sheet A rev 2", evidence: vendor)`.
#[derive(Debug, Clone, PartialEq)]
pub struct Input<K: InputKind> {
    quantity: Quantity,
    tolerance: Option<Tolerance>,
    source: Option<String>,
    evidence: Option<Evidence>,
    stated: bool,
    kind: PhantomData<K>,
}

impl<K: InputKind> Input<K> {
    /// A stated value without further pedigree.
    ///
    /// # Errors
    /// [`UnitError`] if the text is not a quantity of the kind.
    pub fn parse(text: &str) -> Result<Self, UnitError> {
        Quantity::parse(text, K::KIND).map(Self::plain)
    }

    /// A stated value in SI, shown in `unit`.
    ///
    /// # Errors
    /// [`UnitError`] if the unit is not one of the kind, or the value not finite.
    pub fn from_si(si: f64, unit: &str) -> Result<Self, UnitError> {
        Quantity::from_si(si, K::KIND, unit).map(Self::plain)
    }

    fn plain(quantity: Quantity) -> Self {
        Self { quantity, tolerance: None, source: None, evidence: None, stated: true, kind: PhantomData }
    }

    /// The value in the SI unit of the kind.
    pub fn si(&self) -> f64 {
        self.quantity.si()
    }

    /// The value with the unit typed.
    pub fn quantity(&self) -> &Quantity {
        &self.quantity
    }

    /// The text typed.
    pub fn text(&self) -> &str {
        self.quantity.text()
    }

    /// What the value rests on; assumed unless stated.
    pub fn evidence(&self) -> Evidence {
        self.evidence.unwrap_or_default()
    }

    /// Where the value comes from.
    pub fn source(&self) -> Option<&str> {
        self.source.as_deref()
    }

    /// How far the true value may be from this one.
    pub fn tolerance(&self) -> Option<&Tolerance> {
        self.tolerance.as_ref()
    }

    /// Half-width of the tolerance band in the SI unit of the kind (differences in K, Pa).
    pub fn tolerance_si(&self) -> Option<f64> {
        self.tolerance.as_ref().map(|tolerance| tolerance.half_width_si(self.si()))
    }

    /// False if this is a default that the file does not state.
    pub fn stated(&self) -> bool {
        self.stated
    }
}

impl<K: InputKind> Movable for Input<K> {
    fn si(&self) -> f64 {
        self.quantity.si()
    }

    fn move_to(&mut self, si: f64) -> bool {
        match Quantity::try_from_si_like(si, &self.quantity) {
            Ok(quantity) => {
                self.quantity = quantity;
                true
            }
            Err(_refused) => false,
        }
    }
}

impl<K: InputKind> fmt::Display for Input<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.text())
    }
}

/// The node that holds the value itself: the field `value` of `Input(..)`, or the node.
pub(crate) fn value_node(node: &Node) -> &Node {
    node.field("value").unwrap_or(node)
}

const FIELDS: [&str; 4] = ["value", "tolerance", "source", "evidence"];

impl<K: InputKind> Decode for Input<K> {
    fn shape() -> Shape {
        Shape::Quantity(K::KIND)
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        match &node.tree {
            Tree::Record { tag, fields } if tag.as_deref().is_none_or(|tag| tag == "Input") => {
                decode_full(node, fields, decoder)
            }
            _ => decode_quantity(node, K::KIND, decoder).map(Self::plain),
        }
    }

    fn encode(&self) -> Node {
        let value = encode_quantity(&self.quantity);
        if self.tolerance.is_none() && self.source.is_none() && self.evidence.is_none() {
            return value;
        }
        let mut fields = vec![("value", value)];
        if let Some(tolerance) = &self.tolerance {
            fields.push(("tolerance", Node::text(tolerance.text())));
        }
        if let Some(source) = &self.source {
            fields.push(("source", Node::text(source.clone())));
        }
        if let Some(evidence) = &self.evidence {
            fields.push(("evidence", evidence.encode()));
        }
        Node::record("Input", fields)
    }

    fn check(&self, rules: &[Rule], node: &Node, decoder: &mut Decoder) {
        for (message, remedy) in rules.iter().filter_map(|rule| rule.check_quantity(&self.quantity)) {
            decoder.error(value_node(node).place, message, remedy);
        }
    }

    fn visit_numbers(&mut self, visit: &mut dyn FnMut(&mut dyn Movable)) {
        visit(self);
    }

    fn stated(&self) -> Option<bool> {
        Some(self.stated)
    }

    fn mark_default(&mut self) {
        self.stated = false;
    }
}

fn decode_full<K: InputKind>(node: &Node, fields: &[(Key, Node)], decoder: &mut Decoder) -> Option<Input<K>> {
    for (n, (key, _)) in fields.iter().enumerate() {
        if !key.name.is_empty() && !FIELDS.contains(&key.name.as_str()) {
            let remedy = match nearest(&key.name, FIELDS) {
                Some(name) => format!("write {name:?} if that is meant"),
                None => format!("an Input has {}", FIELDS.join(", ")),
            };
            decoder.error(key.place, format!("unknown field {:?}", key.name), remedy);
        } else if fields[..n].iter().any(|(earlier, _)| earlier.name == key.name) {
            decoder.error(
                key.place,
                format!("the field {:?} appears twice", key.name),
                "remove one of the two",
            );
        }
    }
    let mut complete = true;
    let mut part = |name: &str, decode: &mut dyn FnMut(&Node) -> bool| {
        complete &= node.field(name).is_none_or(decode);
    };
    let (mut tolerance, mut source, mut evidence) = (None, None, None);
    part("tolerance", &mut |node| keep(&mut tolerance, decode_tolerance(node, K::KIND, decoder)));
    part("source", &mut |node| keep(&mut source, String::decode(node, decoder)));
    part("evidence", &mut |node| keep(&mut evidence, Evidence::decode(node, decoder)));
    let Some(value) = node.field("value") else {
        let example = super::example::example(Shape::Quantity(K::KIND));
        decoder.error(node.place, "the Input has no \"value\"", format!("add value: {example}"));
        return None;
    };
    let quantity = decode_quantity(value, K::KIND, decoder)?;
    complete.then(|| Input { tolerance, source, evidence, ..Input::plain(quantity) })
}

/// Keeps a decoded part; false if it did not decode.
fn keep<T>(slot: &mut Option<T>, part: Option<T>) -> bool {
    *slot = part;
    slot.is_some()
}

pub(crate) fn decode_tolerance(node: &Node, kind: Kind, decoder: &mut Decoder) -> Option<Tolerance> {
    let (Tree::Text(text) | Tree::Number { text, .. }) = &node.tree else {
        decoder.expected(node, "a tolerance", "a tolerance in quotes, such as \"5 %\"");
        return None;
    };
    match Tolerance::parse(text, kind) {
        Ok(tolerance) if tolerance.half_width_si(1.0) >= 0.0 => Some(tolerance),
        Ok(_) => {
            decoder.error(node.place, format!("the tolerance {text:?} is negative"), "give it without sign");
            None
        }
        Err(error) => {
            let (message, remedy) = unit_problem(&error);
            decoder.error(node.place, format!("tolerance: {message}"), remedy);
            None
        }
    }
}

/// A quantity from quoted text, or from a bare number where the kind allows it.
pub(crate) fn decode_quantity(node: &Node, kind: Kind, decoder: &mut Decoder) -> Option<Quantity> {
    let (Tree::Text(text) | Tree::Number { text, .. }) = &node.tree else {
        decoder.expected(node, &with_article(kind.name()), &super::example::example(Shape::Quantity(kind)));
        return None;
    };
    match Quantity::parse(text, kind) {
        Ok(quantity) => Some(quantity),
        Err(error) => {
            let (message, remedy) = unit_problem(&error);
            decoder.error(node.place, message, remedy);
            None
        }
    }
}

/// Ratios without unit are written as bare numbers, all else as text.
pub(crate) fn encode_quantity(quantity: &Quantity) -> Node {
    match quantity.text().trim().parse::<f64>() {
        Ok(value) if quantity.kind() == Kind::Ratio => {
            Tree::Number { text: quantity.text().trim().to_owned(), value }.into()
        }
        _ => Node::text(quantity.text()),
    }
}

/// Message and remedy of a unit error.
fn unit_problem(error: &UnitError) -> (String, String) {
    let text = error.to_string();
    match text.rsplit_once(": write ") {
        Some((message, remedy)) => (message.to_owned(), format!("write {remedy}")),
        None => (text, String::new()),
    }
}
