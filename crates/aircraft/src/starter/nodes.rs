//! Short ways to write the tree of a project.

use schema::Node;

/// How the source of every number begins that is not an answer.
pub const PLACEHOLDER: &str = "placeholder: replace";

/// A quoted text.
pub(super) fn text(text: impl Into<String>) -> Node {
    Node::text(text)
}

/// A list.
pub(super) fn list(items: Vec<Node>) -> Node {
    Node::list(items)
}

/// A record with the word before the bracket.
pub(super) fn record(tag: &str, fields: Vec<(&str, Node)>) -> Node {
    Node::record(tag, fields)
}

/// `Tag(value)`.
pub(super) fn tagged(tag: &str, value: Node) -> Node {
    Node::tuple(tag, vec![value])
}

/// A value with its unit and three significant digits.
pub(super) fn quantity(value: f64, unit: &str) -> String {
    let digits = if value == 0.0 { 0 } else { 2 - value.abs().log10().floor() as i32 };
    let scale = 10_f64.powi(digits.max(0));
    let rounded = if digits >= 0 {
        (value * scale).round() / scale
    } else {
        let step = 10_f64.powi(-digits);
        (value / step).round() * step
    };
    let text = format!("{rounded:.*}", digits.max(0) as usize);
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if unit.is_empty() { text.to_owned() } else { format!("{text} {unit}") }
}

/// A placeholder by a rule that the source names.
pub(super) fn assumed(value: f64, unit: &str, rule: &str) -> Node {
    pedigree(
        if unit.is_empty() { ratio(value) } else { text(quantity(value, unit)) },
        &format!("{PLACEHOLDER}; {rule}"),
    )
}

/// A value that follows from an answer.
pub(super) fn answered(value: f64, unit: &str, how: &str) -> Node {
    pedigree(text(quantity(value, unit)), &format!("from the answers at the beginning; {how}"))
}

fn pedigree(value: Node, source: &str) -> Node {
    record("Input", vec![("value", value), ("source", text(source)), ("evidence", Node::word("assumed"))])
}

fn ratio(value: f64) -> Node {
    let rounded = (value * 1e4).round() / 1e4;
    Node::number(rounded)
}

/// A curve.
pub(super) fn curve(points: &[(f64, f64)], (x, y): (&str, &str)) -> Node {
    let point = |(a, b): &(f64, f64)| Node::tuple("", vec![text(quantity(*a, x)), text(quantity(*b, y))]);
    list(points.iter().map(point).collect())
}
