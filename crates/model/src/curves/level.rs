//! The levels at which a law can be given, and what each gives at the case.

use schema::{ChoiceSchema, Decode, Node, Shape};
use units::{Kind, Quantity};

/// One level at which a law can be given.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// Its word in a project file.
    pub name: &'static str,
    /// What it is.
    pub doc: &'static str,
    /// Whether the project uses it.
    pub is_used: bool,
    /// The law at this level: that of the project, or one that is filled so that it gives the same at the case as far as it can.
    /// Nothing where too little is known.
    pub law: Option<Node>,
    /// What it gives at the case, in SI: the loss of a machine, W; a conductance, a pressure loss or a power of a device.
    pub value: Option<f64>,
    /// What changes together with the law, so that the project stays whole: path and new value.
    pub also: Vec<(String, Node)>,
    /// What is to be known before it is used; empty if nothing.
    pub note: String,
}

/// All levels of a choice type. `filled` gives the law at a level that is not used; `judged` what a law gives at the case.
pub(crate) fn all<T: Decode>(
    used: &T,
    filled: impl Fn(&str) -> Option<Node>,
    judged: impl Fn(&Node) -> Option<f64>,
) -> Vec<Level> {
    let Shape::Choice(choice) = T::shape() else { return Vec::new() };
    let now = used.encode();
    let used_name = name_of(choice, &now);
    let level = |variant: &schema::VariantSchema| {
        let is_used = Some(variant.name) == used_name;
        let law = if is_used { Some(now.clone()) } else { filled(variant.name) };
        // what cannot be decoded cannot be chosen
        let value = law.as_ref().and_then(&judged).filter(|value| value.is_finite());
        let (also, note) = (Vec::new(), String::new());
        Level { name: variant.name, doc: variant.doc, is_used, law, value, also, note }
    };
    choice.variants.iter().map(level).collect()
}

/// The variant that a node stands for.
fn name_of(choice: &ChoiceSchema, node: &Node) -> Option<&'static str> {
    let tag = node.tag().filter(|tag| *tag != "Input");
    let found = choice.variants.iter().find(|variant| Some(variant.name) == tag).map(|variant| variant.name);
    found.or(choice.plain)
}

/// A number with five digits, marked as derived from the law that was used before.
pub(crate) fn told(si: f64, kind: Kind, unit: &str, case: &str) -> Option<Node> {
    let value = quantity(si, kind, unit)?;
    let source = format!("computed from the law before, at {case}");
    Some(Node::record("Input", vec![("value", value), ("source", Node::text(source))]))
}

/// A value that has to be replaced by one of the device, marked as such.
pub(crate) fn placeholder(text: &str) -> Node {
    let source = "placeholder: replace it by that of the drawing";
    Node::record("Input", vec![("value", Node::text(text)), ("source", Node::text(source))])
}

fn quantity(si: f64, kind: Kind, unit: &str) -> Option<Node> {
    let number = rounded(units::to_unit(si, kind, unit)?);
    if unit.is_empty() {
        return Some(Node::number(number));
    }
    // a text that its own kind refuses is none
    let text = format!("{number} {unit}");
    Quantity::parse(&text, kind).ok().map(|_| Node::text(text))
}

/// Five digits: more than any of these numbers is known to.
fn rounded(number: f64) -> f64 {
    format!("{number:.4e}").parse().unwrap_or(number)
}

/// Shares that add up to 1, with four digits.
pub(crate) fn split(parts: &[f64; 4]) -> Node {
    let total: f64 = parts.iter().sum();
    let share = |part: f64| if total > 0.0 { (1e4 * part / total).round() / 1e4 } else { 0.25 };
    let [_, iron, magnet, windage] = parts.map(share);
    let copper = (1e4 * (1.0 - iron - magnet - windage)).round() / 1e4;
    let fields = [("copper", copper), ("iron", iron), ("magnet", magnet), ("windage", windage)];
    Node::record("", fields.into_iter().map(|(name, share)| (name, Node::number(share))).collect())
}

/// Rising abscissas from zero to an end, the one of the case among them.
pub(crate) fn spread(end: f64, at: f64, count: usize) -> Vec<f64> {
    let step = end / (count - 1) as f64;
    let mut all: Vec<f64> = (0..count).map(|index| step * index as f64).collect();
    if at > 0.0 {
        let nearest = (1..count).min_by(|a, b| (all[*a] - at).abs().total_cmp(&(all[*b] - at).abs()));
        if let Some(nearest) = nearest {
            all[nearest] = at;
        }
    }
    all
}

/// A list of quantities.
pub(crate) fn texts(values: &[f64], kind: Kind, unit: &str) -> Option<Node> {
    values.iter().map(|&si| quantity(si, kind, unit)).collect::<Option<Vec<_>>>().map(Node::list)
}

/// A list of losses whose first one says where all come from.
pub(crate) fn table(values: &[f64], kind: Kind, unit: &str, case: &str) -> Option<Node> {
    let mut all: Vec<Node> = values.iter().map(|&si| quantity(si, kind, unit)).collect::<Option<_>>()?;
    if let (Some(first), Some(&si)) = (all.first_mut(), values.first()) {
        *first = told(si, kind, unit, case)?;
    }
    Some(Node::list(all))
}
