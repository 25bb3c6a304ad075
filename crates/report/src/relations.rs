//! The list of relations, and one evaluated with its steps.

use correlations::{Evaluated, Relation};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// The relation of that name or alias.
pub fn named(name: &str) -> Option<&'static Relation> {
    let is = |known: &str| known.eq_ignore_ascii_case(name);
    correlations::relations().iter().find(|r| is(r.name) || r.aliases.iter().any(|alias| is(alias)))
}

/// All relations with inputs, range, scatter and source.
pub fn list_text(relations: &[Relation]) -> String {
    let mut text =
        format!("{} relations; evaluate one with: heatledger relation NAME key=value ...\n", relations.len());
    for relation in relations {
        let inputs: Vec<&str> = relation.inputs.iter().map(|i| i.name).collect();
        let _infallible = write!(
            text,
            "\n{}\n  {}\n  inputs: {}\n  range: {}\n  scatter: {}\n  source: {}\n",
            relation.name,
            relation.summary,
            inputs.join(", "),
            relation.range,
            relation.scatter,
            relation.source
        );
    }
    text
}

/// The list as JSON.
pub fn list_json(relations: &[Relation]) -> Value {
    relations
        .iter()
        .map(|r| {
            json!({
                "name": r.name,
                "aliases": r.aliases,
                "summary": r.summary,
                "inputs": r.inputs.iter().map(|i| i.name).collect::<Vec<_>>(),
                "range": r.range,
                "scatter": r.scatter,
                "source": r.source,
            })
        })
        .collect()
}

/// One evaluated relation.
pub fn text(evaluated: &Evaluated) -> String {
    let mut text =
        format!("{}: {} = {} {}\n", evaluated.name, evaluated.quantity, evaluated.value, evaluated.unit);
    for (name, value) in &evaluated.inputs {
        let _infallible = writeln!(text, "  {name} = {value}");
    }
    for step in &evaluated.chain {
        let _infallible = writeln!(text, "  {step}");
    }
    let verdict = if evaluated.in_range { "inside" } else { "OUTSIDE" };
    let _infallible = write!(
        text,
        "range: {} ({verdict})\nscatter: {}\nsource: {}\n",
        evaluated.range, evaluated.scatter, evaluated.source
    );
    text
}
