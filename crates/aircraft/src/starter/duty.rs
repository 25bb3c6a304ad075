//! Surroundings, steady points, the mission, failures and cases.

use super::answers::{Answers, CraftKind};
use super::fragments::fragment;
use super::heat::First;
use super::rules::value;
use schema::Node;
use std::f64::consts::PI;

/// Mass to which a drag area is known, kg.
const KNOWN_MASS_KG: f64 = 1150.0;

pub(super) fn conditions(answers: &Answers) -> Node {
    fragment("conditions").with("kind", answers.kind.word()).part()
}

/// The craft that answers to these, for the power of the cruise: mass by the installed power, the rest by mass.
pub(super) fn craft(answers: &Answers, first: &First) -> Node {
    let power_kw = 1e-3 * first.shaft_power_w;
    match answers.kind {
        CraftKind::Aeroplane => {
            let mass_kg = value("aeroplane: mass over power") * power_kw;
            let area_m2 = mass_kg / value("aeroplane: wing loading");
            fragment("craft_aeroplane")
                .with("mass_kg", mass_kg)
                .with("area_m2", area_m2)
                .with("span_m", (value("aeroplane: aspect ratio") * area_m2).sqrt())
                .part()
        }
        CraftKind::Rotorcraft => {
            let mass_kg = value("rotorcraft: mass over power") * power_kw;
            let scale = (mass_kg / KNOWN_MASS_KG).powf(2.0 / 3.0);
            fragment("craft_rotorcraft")
                .with("mass_kg", mass_kg)
                .with("radius_m", (mass_kg / (value("rotor: disc loading") * PI)).sqrt())
                .with("drag_m2", value("rotorcraft: drag area at 1150 kg") * scale)
                .part()
        }
    }
}

/// Ways from landing to ready.
pub(super) fn turnaround(machines: &[String]) -> Node {
    let runs = |machine: &String| fragment("machine_runs").with("machine", machine.as_str()).part();
    let own: Vec<Node> = machines.iter().map(runs).collect();
    let with_machines = (!machines.is_empty()).then(|| fragment("with_machines").part());
    fragment("turnaround").with("own", own).with("with_machines", with_machines).part()
}

pub(super) fn points(answers: &Answers, first: &First) -> Node {
    let share_kw = |rule: &str| 1e-3 * value(rule) * first.shaft_power_w;
    let kind = answers.kind.word();
    fragment("points")
        .with("kind", kind)
        .with("full_w", first.shaft_power_w)
        .with("climb_kw", share_kw("climb: power"))
        .with("cruise_kw", share_kw("cruise: power"))
        .with("idle_kw", share_kw("ground idle: power"))
        .with("descent_kw", share_kw("descent: power"))
        .with("shaft_rpm", first.shaft_rpm)
        .with("climb_kt", value(&format!("climb speed: {kind}")))
        .part()
}

pub(super) fn mission(first: &First) -> Node {
    // Everything but cruise, in minutes at full power: taxi, take-off, climb, descent, taxi.
    let others_min = value("ground idle: power") * 2.0 * value("taxi: time")
        + value("take-off: time")
        + value("climb: power") * value("climb: time")
        + value("descent: power") * value("descent: time");
    let used_j = value("mission: share of the pack used") * first.pack_energy_j();
    let usable_min = used_j / first.bus_power_w / 60.0;
    let cruise_min = (usable_min - others_min) / value("cruise: power");
    let cruise_min = cruise_min.clamp(value("mission: shortest cruise"), value("mission: longest cruise"));
    fragment("mission").with("cruise_min", cruise_min).part()
}

pub(super) fn failures(answers: &Answers, machines: &[String]) -> Vec<Node> {
    let stops = |machine: &String| fragment("machine_stops").with("machine", machine.as_str()).part();
    let mut all: Vec<Node> = machines.iter().map(stops).collect();
    if !machines.is_empty() {
        all.push(fragment("supply_lost").part());
    }
    if answers.motors > 1 {
        all.push(fragment("motor_out").part());
    }
    all.push(fragment("cells_out").part());
    all
}
