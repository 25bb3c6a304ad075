//! A mission over time as JSON: the keys of a steady case, with an array over the samples where it has a number.

use super::{Story, chain_json, ended};
use crate::json::{self, Origin};
use serde_json::{Map, Value, json};
use studies::chains::ChainResult;

/// Keys whose text stays what it is at every sample.
const NAMES: [&str; 3] = ["name", "kind", "fluid"];

/// Results of `simulate`.
pub fn results(origin: &Origin<'_>, stories: &[Story], chains: &[ChainResult]) -> Value {
    let value = json::with(origin.head(), "results", stories.iter().map(story).collect());
    json::with(value, "chains", chains.iter().map(chain_json).collect())
}

/// The parts of the aircraft with an array over the samples in place of each value: `components`, `loops`, `ducts`, `exchangers`,
/// `electric`.
pub fn over_time(story: &Story) -> Map<String, Value> {
    let samples: Vec<Value> = story.samples.iter().map(json::case).collect();
    ["components", "loops", "ducts", "exchangers", "electric"]
        .into_iter()
        .map(|key| {
            let all: Vec<&Value> = samples.iter().map(|sample| &sample[key]).collect();
            let value = match (all.first(), key) {
                (None, "electric") | (Some(Value::Null), _) => Value::Null,
                (None, _) => json!([]),
                _ => turned(key, &all),
            };
            (key.to_owned(), value)
        })
        .collect()
}

/// Many samples of one shape as one value whose leaves are arrays over the samples.
fn turned(key: &str, samples: &[&Value]) -> Value {
    match samples[0] {
        Value::Object(first) => first
            .keys()
            .map(|key| {
                let all: Vec<&Value> = samples.iter().map(|sample| &sample[key]).collect();
                (key.clone(), turned(key, &all))
            })
            .collect(),
        Value::Array(first) => (0..first.len())
            .map(|number| {
                let all: Vec<&Value> = samples.iter().map(|sample| &sample[number]).collect();
                turned("", &all)
            })
            .collect(),
        Value::String(_) if NAMES.contains(&key) => samples[0].clone(),
        _ => samples.iter().map(|sample| (*sample).clone()).collect(),
    }
}

fn story(story: &Story) -> Value {
    let currents: Option<Vec<f64>> = (0..story.samples.len()).map(|sample| story.current_a(sample)).collect();
    let heat = &story.heat;
    let mut fields = over_time(story);
    let more = [
        ("case", json!(story.case.to_string())),
        ("status", json!(story.status.word())),
        ("standing", json!(story.standing().standing.word())),
        ("time_s", json!(story.times_s)),
        ("state_of_charge", json!(Some(&story.state_of_charge).filter(|charges| !charges.is_empty()))),
        ("pack_current_A", json!(currents)),
        (
            "segments",
            story
                .steps
                .iter()
                .map(|step| {
                    json!({
                        "name": step.label,
                        "start_s": step.start_s,
                        "end_s": step.end_s,
                        "ended": ended(step.ended).replace(' ', "_"),
                    })
                })
                .collect(),
        ),
        (
            "events",
            story.events.iter().map(|event| json!({"time_s": event.time_s, "what": event.what})).collect(),
        ),
        (
            "peaks",
            story
                .peaks()
                .iter()
                .map(|peak| {
                    json!({
                        "component": peak.component,
                        "temperature_K": peak.temperature_k,
                        "time_s": peak.time_s,
                    })
                })
                .collect(),
        ),
        (
            "margins",
            story.margins.iter().map(|timed| json::margin(&timed.margin, Some(timed.time_s))).collect(),
        ),
        (
            "ledger",
            json!({
                "generated_J": heat.generated_j,
                "stored_J": heat.stored_j,
                "rejected_J": heat.rejected_j,
                "residual_J": heat.residual_j,
                "turnover_J": heat.turnover_j,
            }),
        ),
        ("power_lost", json::power_lost(story.power_lost)),
        ("notices", json::notices(&story.notices)),
    ];
    fields.extend(more.into_iter().map(|(key, value)| (key.to_owned(), value)));
    Value::Object(fields)
}
