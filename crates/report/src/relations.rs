//! The list of relations, and one evaluated with its steps.

use crate::sheet::{Cell, Column, Sheet, texts};
use correlations::{Evaluated, Input, Relation};
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

/// One relation with everything that it takes: each key with meaning, unit, range, what cannot be, and default.
pub fn described(relation: &Relation) -> String {
    let mut text = format!("{}\n  {}\n", relation.name, relation.summary);
    let _infallible = writeln!(text, "  gives: {}, {}", relation.quantity.replace('_', " "), relation.unit);
    if !relation.aliases.is_empty() {
        let _infallible = writeln!(text, "  also called: {}", relation.aliases.join(", "));
    }
    let names: Vec<&str> = relation.inputs.iter().map(|i| i.name).collect();
    let _infallible =
        writeln!(text, "  inputs: {}", if names.is_empty() { "none".to_owned() } else { names.join(", ") });
    if !relation.inputs.is_empty() {
        text.push_str(&texts(&sheets(relation)));
    }
    let _infallible = write!(
        text,
        "  range: {}\n  scatter: {}\n  source: {}\n",
        relation.range, relation.scatter, relation.source
    );
    text
}

/// What a relation takes.
pub fn sheets(relation: &Relation) -> Vec<Sheet> {
    let columns = [
        // under the name of the relation
        Column::text("key").head("  key"),
        Column::text("unit"),
        Column::text("range"),
        Column::text("if_not_given"),
        Column::text("meaning"),
        Column::plain("low", "low", "", 6).data(),
        Column::plain("high", "high", "", 6).data(),
        Column::plain("default", "default", "", 6).data(),
        Column::flag("required", ["required", ""]).data(),
    ];
    let row = |input: &Input| {
        vec![
            format!("  {}", input.name).into(),
            Cell::said(input.unit),
            span(input.low, input.high).into(),
            taken(input).into(),
            input.meaning.into(),
            finite(input.low).into(),
            finite(input.high).into(),
            input.default.into(),
            input.required.into(),
        ]
    };
    vec![Sheet::new(relation.name, columns).with_rows(relation.inputs.iter().map(row))]
}

/// A range of validity in words.
fn span(low: f64, high: f64) -> String {
    match (low.is_finite() && low > 0.0, high.is_finite()) {
        (true, true) => format!("{low} to {high}"),
        (true, false) => format!("from {low}"),
        (false, true) => format!("to {high}"),
        (false, false) => "any".to_owned(),
    }
}

/// What happens when an input is left out.
fn taken(input: &Input) -> String {
    match (input.required, input.default) {
        (true, _) => "must be given".to_owned(),
        (false, Some(default)) => format!("{default}"),
        (false, None) => "optional".to_owned(),
    }
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
                "keys": r.inputs.iter().map(key).collect::<Vec<_>>(),
                "quantity": r.quantity,
                "unit": r.unit,
                "range": r.range,
                "scatter": r.scatter,
                "source": r.source,
            })
        })
        .collect()
}

fn key(input: &Input) -> Value {
    json!({
        "name": input.name,
        "meaning": input.meaning,
        "unit": input.unit,
        "low": finite(input.low),
        "high": finite(input.high),
        "default": input.default,
        "required": input.required,
    })
}

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
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
