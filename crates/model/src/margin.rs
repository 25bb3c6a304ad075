//! Margins: how far each value of a case stays from its limit.

use crate::aircraft::component::{Bound, Credibility};
use crate::aircraft::device::Side;
use crate::aircraft::project::Policy;
use crate::assembly::{CircuitPart, Outside, Situation};
use crate::result::{CaseResult, Margin, MarginKind};
use solver::Fluid;

/// Margin that the policy asks of the kind of evidence behind the predictions, K.
pub fn required_k(policy: &Policy) -> f64 {
    match policy.credibility {
        Credibility::Uncorrelated => policy.uncorrelated.si(),
        Credibility::Correlated => policy.correlated.si(),
        Credibility::Tested => policy.tested.si(),
    }
}

/// All margins of a solved case, worst reserve first.
pub fn margins(
    situation: &Situation<'_>,
    result: &CaseResult,
    outside: &Outside,
    loops: &[CircuitPart],
) -> Vec<Margin> {
    let mut margins = Vec::new();
    component_margins(situation, result, &mut margins);
    station_margins(situation, result, &mut margins);
    liquid_margins(situation, result, outside, loops, &mut margins);
    rating_margins(situation, result, &mut margins);
    margins.sort_by(|a, b| a.reserve().total_cmp(&b.reserve()));
    margins
}

fn signed(bound: &Bound, value: f64, limit: f64) -> (MarginKind, f64) {
    match bound {
        Bound::Maximum => (MarginKind::Maximum, limit - value),
        Bound::Minimum => (MarginKind::Minimum, value - limit),
    }
}

fn component_margins(situation: &Situation<'_>, result: &CaseResult, margins: &mut Vec<Margin>) {
    let policy = &situation.project.policy;
    for (component, state) in situation.project.components.iter().zip(&result.components) {
        for limit in &component.limits {
            let value = match (&limit.bound, limit.on_hot_spot) {
                (Bound::Maximum, true) => state.hot_spot_k,
                (Bound::Maximum, false) => state.temperature_k(),
                (Bound::Minimum, _) => state.coldest_k(),
            };
            let limit_value = limit.value.si();
            let (kind, margin) = signed(&limit.bound, value, limit_value);
            margins.push(Margin {
                place: state.name.clone(),
                limit: limit.name.as_str().to_owned(),
                kind,
                value,
                limit_value,
                margin,
                required: limit.required.as_ref().map_or_else(|| required_k(policy), |r| r.si()),
                source: limit.source.clone(),
                owner: limit.owner.clone(),
            });
        }
    }
}

fn station_margins(situation: &Situation<'_>, result: &CaseResult, margins: &mut Vec<Margin>) {
    let policy = &situation.project.policy;
    for (spec, state) in situation.project.loops.iter().zip(&result.loops) {
        for limit in &spec.limits {
            let Some(station) = state.stations.iter().find(|s| s.name == limit.device) else { continue };
            let value = match limit.side {
                Side::Inlet => station.temperature_in_k,
                Side::Outlet => station.temperature_out_k,
            };
            let limit_value = limit.value.si();
            let (kind, margin) = signed(&limit.bound, value, limit_value);
            margins.push(Margin {
                place: limit.device.clone(),
                limit: limit.name.as_str().to_owned(),
                kind,
                value,
                limit_value,
                margin,
                required: limit.required.as_ref().map_or_else(|| required_k(policy), |r| r.si()),
                source: limit.source.clone(),
                owner: limit.owner.clone(),
            });
        }
    }
}

/// Boiling at the local pressure, in the bulk and at the walls, and freezing in the surroundings.
fn liquid_margins(
    situation: &Situation<'_>,
    result: &CaseResult,
    outside: &Outside,
    loops: &[CircuitPart],
    margins: &mut Vec<Margin>,
) {
    for ((spec, state), part) in situation.project.loops.iter().zip(&result.loops).zip(loops) {
        let Fluid::Liquid(liquid) = &part.fluid else { continue };
        let mut worst: Option<(f64, f64)> = None;
        for station in &state.stations {
            let pressure = station.pressure_in_pa.min(station.pressure_out_pa);
            let Some(boiling) = liquid.boiling_point_k(pressure) else { continue };
            let hottest = station
                .walls_k
                .iter()
                .copied()
                .fold(station.temperature_in_k.max(station.temperature_out_k), f64::max);
            if worst.is_none_or(|(value, limit)| boiling - hottest < limit - value) {
                worst = Some((hottest, boiling));
            }
        }
        if let Some((value, limit_value)) = worst {
            margins.push(Margin {
                place: spec.name.as_str().to_owned(),
                limit: "boiling".to_owned(),
                kind: MarginKind::Boiling,
                value,
                limit_value,
                margin: limit_value - value,
                required: spec.boiling_margin.si(),
                source: Some("vapour pressure of the coolant at the local absolute pressure".to_owned()),
                owner: None,
            });
        }
        if let Some(limit_value) = liquid.freezing_point_k() {
            margins.push(Margin {
                place: spec.name.as_str().to_owned(),
                limit: "freezing".to_owned(),
                kind: MarginKind::Freezing,
                value: outside.air_k,
                limit_value,
                margin: outside.air_k - limit_value,
                required: spec.freezing_margin.si(),
                source: Some(liquid.source().to_owned()),
                owner: None,
            });
        }
    }
}

/// Shaft power of each motor against the largest of its ratings.
fn rating_margins(situation: &Situation<'_>, result: &CaseResult, margins: &mut Vec<Margin>) {
    let (Some(powertrain), Some(electric)) = (&situation.project.powertrain, &result.electric) else {
        return;
    };
    for (motor, state) in powertrain.motors.iter().zip(&electric.motors) {
        let largest = motor.ratings.iter().max_by(|a, b| a.power.si().total_cmp(&b.power.si()));
        if let Some(rating) = largest {
            let limit_value = rating.power.si();
            margins.push(Margin {
                place: state.name.clone(),
                limit: format!("{} power", rating.name.as_str()),
                kind: MarginKind::Rating,
                value: state.shaft_power_w,
                limit_value,
                margin: limit_value - state.shaft_power_w,
                required: 0.0,
                source: rating.power.source().map(str::to_owned),
                owner: None,
            });
        }
    }
}
