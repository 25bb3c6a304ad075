//! One evaluated relation as JSON.

use correlations::Evaluated;
use serde_json::{Map, Value, json};

/// One evaluated relation.
pub fn evaluated(evaluated: &Evaluated) -> Value {
    let inputs: Map<String, Value> =
        evaluated.inputs.iter().map(|(name, value)| (name.clone(), json!(value))).collect();
    json!({
        "name": evaluated.name,
        "quantity": evaluated.quantity,
        "value": evaluated.value,
        "unit": evaluated.unit,
        "in_range": evaluated.in_range,
        "out_of_range": evaluated.out_of_range.iter().map(|o| json!({
            "name": o.name, "value": o.value, "low": o.low, "high": o.high
        })).collect::<Value>(),
        "inputs": inputs,
        "chain": evaluated.chain.iter().map(|s| json!({
            "quantity": s.quantity, "value": s.value, "unit": s.unit, "by": s.by
        })).collect::<Value>(),
        "range": evaluated.range,
        "scatter": evaluated.scatter,
        "source": evaluated.source,
    })
}
