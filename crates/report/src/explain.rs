//! What stands behind the numbers of a case: the level of each device, the law with its source, the state it was used at,
//! and whether that lies inside the range.

mod device;
mod machine;
mod state;

use crate::json::evaluated as evaluated_json;
use correlations::Evaluated;
use model::aircraft::project::Project;
use model::result::CaseResult;
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Which of the three levels a device is described at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// A fixed value.
    Fixed,
    /// A measured point, power law, table or map.
    Measured,
    /// Dimensions and a handbook relation.
    Geometry,
}

impl Level {
    /// Word used in files and tables.
    pub fn word(self) -> &'static str {
        match self {
            Self::Fixed => "fixed",
            Self::Measured => "measured",
            Self::Geometry => "geometry",
        }
    }
}

/// One number's pedigree.
#[derive(Clone, Debug)]
pub struct Explanation {
    /// Loop, duct or "" for what stands in neither.
    pub circuit: String,
    /// Device, component or limit.
    pub place: String,
    /// What is explained: "conductance", "pressure loss", "heat", "limit".
    pub what: &'static str,
    /// Level.
    pub level: Level,
    /// Law in words, with the inputs as typed.
    pub law: String,
    /// Source as stated in the project, or the publication of the law.
    pub source: Option<String>,
    /// Results in words, with units.
    pub results: Vec<String>,
    /// Relations with inputs, steps, range and source.
    pub relations: Vec<Evaluated>,
}

impl Explanation {
    fn new(place: &str, what: &'static str, level: Level, law: impl Into<String>) -> Self {
        Self {
            circuit: String::new(),
            place: place.to_owned(),
            what,
            level,
            law: law.into(),
            source: None,
            results: Vec::new(),
            relations: Vec::new(),
        }
    }

    fn sourced(mut self, source: Option<&str>) -> Self {
        self.source = source.map(str::to_owned);
        self
    }

    fn giving(mut self, result: String) -> Self {
        self.results.push(result);
        self
    }

    fn by(mut self, relation: Option<Evaluated>) -> Self {
        self.relations.extend(relation);
        self
    }
}

/// Every explanation of a case, in the order of the sheet.
pub fn explanations(project: &Project, result: &CaseResult) -> Vec<Explanation> {
    let mut all = device::all(project, result);
    all.extend(machine::all(project));
    all.extend(result.margins.iter().map(|margin| {
        let mut line = Explanation::new(&margin.place, "limit", Level::Fixed, margin.limit.as_str());
        line.source.clone_from(&margin.source);
        line.giving(format!("answered for by {}", margin.owner.as_deref().unwrap_or("nobody named")))
    }));
    all
}

/// Explanations as text.
pub fn text(explanations: &[Explanation]) -> String {
    let mut text = String::from("Explanation: which law gave each number\n");
    let mut heading = String::new();
    for one in explanations {
        let wanted = if one.circuit.is_empty() {
            one.place.clone()
        } else {
            format!("{} / {}", one.circuit, one.place)
        };
        if wanted != heading {
            let _infallible = writeln!(text, "\n{wanted}");
            heading = wanted;
        }
        let _infallible = writeln!(text, "  {}, level {}: {}", one.what, one.level.word(), one.law);
        let source = one.source.as_deref().unwrap_or("none stated");
        let _infallible = writeln!(text, "    source: {source}");
        for relation in &one.relations {
            relation_text(&mut text, relation);
        }
        for result in &one.results {
            let _infallible = writeln!(text, "    {result}");
        }
    }
    text
}

fn relation_text(text: &mut String, relation: &Evaluated) {
    let inputs: Vec<String> =
        relation.inputs.iter().map(|(name, value)| format!("{name} {}", significant(*value))).collect();
    let verdict = if relation.in_range { "inside" } else { "OUTSIDE" };
    let _infallible = writeln!(
        text,
        "    {} = {} by {}, {verdict} its range\n      from {}",
        relation.quantity,
        with_unit(relation.value, relation.unit),
        relation.name,
        inputs.join(", ")
    );
    for step in &relation.chain {
        let _infallible =
            writeln!(text, "      {} = {} by {}", step.quantity, with_unit(step.value, step.unit), step.by);
    }
    let _infallible = writeln!(text, "      range: {}\n      scatter: {}", relation.range, relation.scatter);
}

fn with_unit(value: f64, unit: &str) -> String {
    let number = significant(value);
    if unit == "-" { number } else { format!("{number} {unit}") }
}

/// Five significant digits, without an exponent where that stays short.
fn significant(value: f64) -> String {
    let size = value.abs();
    if size == 0.0 || (1e-3..1e6).contains(&size) {
        let decimals = (4 - size.max(1e-3).log10().floor() as i32).clamp(0, 7) as usize;
        format!("{value:.decimals$}")
    } else {
        format!("{value:.4e}")
    }
}

/// Explanations as JSON.
pub fn json(explanations: &[Explanation]) -> Value {
    explanations
        .iter()
        .map(|one| {
            json!({
                "circuit": if one.circuit.is_empty() { Value::Null } else { json!(one.circuit) },
                "where": one.place,
                "what": one.what,
                "level": one.level.word(),
                "law": one.law,
                "source": one.source,
                "results": one.results,
                "relations": one.relations.iter().map(evaluated_json).collect::<Value>(),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::significant;

    #[test]
    fn five_digits_at_every_size() {
        for (value, shown) in [
            (0.0, "0.0000000"),
            (0.026151429, "0.026151"),
            (156.3317, "156.33"),
            (20000.0, "20000"),
            (1.5e-6, "1.5000e-6"),
            (f64::NAN, "NaN"),
        ] {
            assert_eq!(significant(value), shown);
        }
    }
}
