//! What stands behind the numbers of a case: the level of each device, the law with its source, the state it was used at,
//! and whether that lies inside the range.

mod device;
mod gearbox;
mod inverter;
mod link;
mod machine;
mod motor;
mod pack;
mod power_path;
mod state;
mod text;
mod written;

pub use text::text;

use crate::json::evaluated as evaluated_json;
use aircraft::records::project::Project;
use correlations::Evaluated;
use model::result::CaseResult;
use serde_json::{Value, json};

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
    /// What is explained: "conductance", "pressure loss", "heat", "limit", "factor on relations".
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

    fn stated(mut self, source: Option<String>) -> Self {
        self.source = source;
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
    let mut all = factors(project);
    all.extend(device::all(project, result));
    all.extend(machine::all(project, result));
    all.extend(link::all(project, result));
    all.extend(result.margins.iter().map(|margin| {
        let mut line = Explanation::new(&margin.place, "limit", Level::Fixed, margin.limit.as_str());
        line.source.clone_from(&margin.source);
        line.giving(format!("answered for by {}", margin.owner.as_deref().unwrap_or("nobody named")))
    }));
    all
}

/// Factors on families of relations that are not 1: they multiply what the relations below give.
fn factors(project: &Project) -> Vec<Explanation> {
    let relations = &project.policy.relations;
    let all = [
        ("core_air", &relations.core_air),
        ("core_liquid", &relations.core_liquid),
        ("wetted_walls", &relations.wetted_walls),
        ("fin_friction", &relations.fin_friction),
        ("channel_friction", &relations.channel_friction),
        ("still_air", &relations.still_air),
        ("moving_air", &relations.moving_air),
        ("rotor_air", &relations.rotor_air),
    ];
    let corrected = all.into_iter().filter(|(_, factor)| factor.si() != 1.0);
    let moved = Some(&relations.tube_law).filter(|place| place.si() != 0.0).map(|place| {
        let law = format!(
            "films of tubes and channels stand at {} between what is published: 0 is Gnielinski 2013, 1 the worst end, -1 the best",
            place.text()
        );
        Explanation::new("policy", "place between published laws", Level::Measured, law).sourced(place.source())
    });
    let told = corrected.map(|(family, factor)| {
        let law =
            format!("what the relations of the family {family} give is multiplied by {}", factor.text());
        Explanation::new("policy", "factor on relations", Level::Measured, law).sourced(factor.source())
    });
    told.chain(moved).collect()
}

/// The sources that stand with some of the inputs of a law.
fn sources(inputs: &[(&str, Option<&str>)]) -> Option<String> {
    let stated: Vec<String> =
        inputs.iter().filter_map(|(input, source)| Some(format!("{input}: {}", (*source)?))).collect();
    if stated.is_empty() { None } else { Some(stated.join("; ")) }
}

/// A heat or power in words.
fn kw(watts: f64) -> String {
    if watts.abs() < 1000.0 { format!("{watts:.2} W") } else { format!("{:.3} kW", 1e-3 * watts) }
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
