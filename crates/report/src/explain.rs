//! What stands behind the numbers of a case: the level of each device, the law with its source, the state it was used at,
//! and whether that lies inside the range.

mod device;
mod explanation;
mod fins;
mod gearbox;
mod inverter;
mod link;
mod machine;
mod motor;
mod pack;
mod power_path;
mod state;
mod station;
mod text;
mod written;

use crate::evaluated::evaluated as evaluated_json;
use aircraft::records::project::Project;
use model::result::CaseResult;
use serde_json::{Value, json};

pub use explanation::{Explanation, Fidelity};
pub use text::text;

/// Every explanation of a case, in the order of the sheet.
pub fn explanations(project: &Project, result: &CaseResult) -> Vec<Explanation> {
    let mut all = factors(project);
    all.extend(device::all(project, result));
    all.extend(machine::all(project, result));
    all.extend(link::all(project, result));
    all.extend(result.margins.iter().map(|margin| {
        let mut line = Explanation::new(&margin.place, "limit", Fidelity::Fixed, margin.limit.as_str());
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
        Explanation::new("policy", "place between published laws", Fidelity::Measured, law).sourced(place.source())
    });
    let told = corrected.map(|(family, factor)| {
        let law =
            format!("what the relations of the family {family} give is multiplied by {}", factor.text());
        Explanation::new("policy", "factor on relations", Fidelity::Measured, law).sourced(factor.source())
    });
    told.chain(moved).collect()
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
