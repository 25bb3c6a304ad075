//! An explanation, and words that many have in common.

use correlations::Evaluated;

/// Which of the three levels a device is described at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fidelity {
    /// A fixed value.
    Fixed,
    /// A measured point, power law, table or map.
    Measured,
    /// Dimensions and a handbook relation.
    Geometry,
}

impl Fidelity {
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
    /// What is explained: "conductance", "pressure loss", "heat", "limit", "factor on relations".
    pub what: &'static str,
    /// Level.
    pub level: Fidelity,
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
    pub(super) fn new(place: &str, what: &'static str, level: Fidelity, law: impl Into<String>) -> Self {
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

    pub(super) fn sourced(mut self, source: Option<&str>) -> Self {
        self.source = source.map(str::to_owned);
        self
    }

    pub(super) fn stated(mut self, source: Option<String>) -> Self {
        self.source = source;
        self
    }

    pub(super) fn giving(mut self, result: String) -> Self {
        self.results.push(result);
        self
    }

    pub(super) fn by(mut self, relation: Option<Evaluated>) -> Self {
        self.relations.extend(relation);
        self
    }
}

/// The sources that stand with some of the inputs of a law.
pub(super) fn sources(inputs: &[(&str, Option<&str>)]) -> Option<String> {
    let stated: Vec<String> =
        inputs.iter().filter_map(|(input, source)| Some(format!("{input}: {}", (*source)?))).collect();
    if stated.is_empty() { None } else { Some(stated.join("; ")) }
}

/// A heat or power in words.
pub(super) fn kw(watts: f64) -> String {
    if watts.abs() < 1000.0 { format!("{watts:.2} W") } else { format!("{:.3} kW", 1e-3 * watts) }
}

/// First and last point of a table.
pub(super) fn edges(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
}
