//! Duty of pumps and fans: what each can deliver at its speed, and what its circuit asks for.
//!
//! The demand is told for flows that change in the same proportion everywhere in the circuit, with temperatures, speeds and valve
//! openings held as they are in the case: it goes through the state that was solved, and is what the circuit would ask for at once
//! after the flow has changed.

use crate::assembly::{Assembled, CircuitPart, DevicePart, Situation, Step, assemble};
use crate::result::{CaseResult, CircuitResult, StationResult};
use schema::Problem;

/// Points of each curve.
const POINTS: usize = 41;
/// How far the curves go beyond the flow of the case.
const BEYOND: f64 = 1.6;

/// Duty of one pump or fan in a case.
#[derive(Clone, Debug, PartialEq)]
pub struct Duty {
    /// Name of the pump or fan.
    pub machine: String,
    /// Volume flow, m3/s, and pressure rise, Pa, in the case.
    pub at: (f64, f64),
    /// What the machine can do at its speed and the density of the case: flow and rise.
    pub capability: Vec<(f64, f64)>,
    /// What the rest of its way around the circuit asks for: flow and drop.
    pub demand: Vec<(f64, f64)>,
}

/// Duty of every running pump and fan of a solved case, in the order of the project.
///
/// # Errors
/// As [`assemble`].
pub fn duties(situation: Situation<'_>, result: &CaseResult) -> Result<Vec<Duty>, Problem> {
    let assembled = assemble(situation)?;
    let circuits = assembled.parts.loops.iter().zip(&result.loops);
    let circuits = circuits.chain(assembled.parts.ducts.iter().zip(&result.ducts));
    Ok(circuits.flat_map(|(part, state)| duties_of(&assembled, part, state)).collect())
}

fn duties_of(assembled: &Assembled, part: &CircuitPart, state: &CircuitResult) -> Vec<Duty> {
    let is_machine = |device: &&DevicePart| matches!(device.kind, "pump" | "fan");
    part.devices()
        .into_iter()
        .filter(is_machine)
        .filter_map(|machine| {
            let station = state.stations.iter().find(|station| station.name == machine.name)?;
            let runs = station.setting > 0.0 && station.volume_flow_m3_s > 0.0;
            let way = way_through(&part.course, &machine.name)?;
            runs.then(|| duty(assembled, part, state, station, &way))
        })
        .collect()
}

/// The devices on a way around the circuit that leads through a device: of each parallel group the branch with the device, else the
/// first one. At the solved state every way has the same sum.
fn way_through<'a>(course: &'a [Step], name: &str) -> Option<Vec<&'a DevicePart>> {
    let mut way = Vec::new();
    let mut is_found = false;
    for step in course {
        match step {
            Step::Device(device) => {
                is_found |= device.name == name;
                way.push(device);
            }
            Step::Parallel(_, branches) => {
                let through = branches.iter().find_map(|(_, branch)| way_through(branch, name));
                is_found |= through.is_some();
                let first = || branches.first().map(|(_, branch)| first_way(branch)).unwrap_or_default();
                way.extend(through.unwrap_or_else(first));
            }
        }
    }
    is_found.then_some(way)
}

fn first_way(course: &[Step]) -> Vec<&DevicePart> {
    let mut way = Vec::new();
    for step in course {
        match step {
            Step::Device(device) => way.push(device),
            Step::Parallel(_, branches) => {
                way.extend(branches.first().map(|(_, branch)| first_way(branch)).unwrap_or_default());
            }
        }
    }
    way
}

fn duty(
    assembled: &Assembled,
    part: &CircuitPart,
    state: &CircuitResult,
    station: &StationResult,
    way: &[&DevicePart],
) -> Duty {
    let drop = |device: &DevicePart, station: &StationResult, factor: f64| {
        // a machine has the density of what it holds, as where the case was solved
        let mean_k = match device.kind {
            "pump" | "fan" => station.temperature_out_k,
            _ => 0.5 * (station.temperature_in_k + station.temperature_out_k),
        };
        let law = &assembled.network.element(device.element).law;
        law.drop(&part.fluid, factor * station.mass_flow_kg_s, mean_k, station.setting)
    };
    let own = way.iter().find(|device| device.name == station.name);
    let others: Vec<(&DevicePart, &StationResult)> = way
        .iter()
        .filter(|device| device.name != station.name)
        .filter_map(|device| Some((*device, state.stations.iter().find(|s| s.name == device.name)?)))
        .collect();
    let own_drop = |factor: f64| own.map_or(0.0, |device| drop(device, station, factor));
    let rise_pa = -own_drop(1.0);
    let other_drop = |factor: f64| others.iter().map(|(device, s)| drop(device, s, factor)).sum::<f64>();
    let other_now_pa = other_drop(1.0);
    let flow_m3_s = station.volume_flow_m3_s;
    let factors = (0..POINTS).map(|index| BEYOND * index as f64 / (POINTS - 1) as f64);
    let curve = |pressure: &dyn Fn(f64) -> f64| -> Vec<(f64, f64)> {
        factors.clone().map(|factor| (factor * flow_m3_s, pressure(factor))).collect()
    };
    Duty {
        machine: station.name.clone(),
        at: (flow_m3_s, rise_pa),
        capability: delivering(curve(&|factor| -own_drop(factor)), flow_m3_s),
        demand: curve(&|factor| rise_pa + other_drop(factor) - other_now_pa),
    }
}

/// The part of a curve up to the flow of the case, and beyond it as far as there is a rise: a machine that is driven by the flow is no
/// pump any more.
fn delivering(mut curve: Vec<(f64, f64)>, flow_m3_s: f64) -> Vec<(f64, f64)> {
    let end = curve.iter().position(|(flow, rise)| *rise < 0.0 && *flow > flow_m3_s * (1.0 + 1e-9));
    curve.truncate(end.unwrap_or(curve.len()));
    curve
}
