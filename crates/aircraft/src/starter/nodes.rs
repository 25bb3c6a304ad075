//! How numbers are written into a project.

use schema::Node;

/// How the source of every number begins that is not an answer.
pub const PLACEHOLDER: &str = "placeholder: replace";

/// A number with three significant digits.
pub(super) fn quantity(value: f64) -> String {
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
    text.to_owned()
}

/// A number without unit, to four places.
pub(super) fn ratio(value: f64) -> Node {
    Node::number((value * 1e4).round() / 1e4)
}

/// A value with its source, as assumed.
pub(super) fn pedigree(value: Node, source: &str) -> Node {
    Node::record(
        "Input",
        vec![("value", value), ("source", Node::text(source)), ("evidence", Node::word("assumed"))],
    )
}
