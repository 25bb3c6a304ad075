//! Components, links, powertrain and sensors.

use super::answers::{Answers, Cooling, Part};
use super::fragments::fragment;
use super::heat::{AIR_J_KGK, First};
use super::rules::value;
use crate::records::surroundings::OUTSIDE_AIR;
use schema::Node;

/// The component that a part gives its heat off with; `number` counts motors from 1.
pub(super) fn wall(part: Part, number: usize) -> String {
    match part {
        Part::Stator => format!("stator {number}"),
        Part::Inverter => format!("inverter {number}"),
        Part::Gearbox => "gearbox sump".to_owned(),
        Part::Pack => "cells".to_owned(),
    }
}

pub(super) fn components(answers: &Answers, first: &First) -> Node {
    let (copper, iron) = (value("copper: specific heat"), value("iron: specific heat"));
    let aluminium = value("aluminium: specific heat");
    let copper_w =
        value("motor: share of its loss in copper") * first.heat_w(Part::Stator) / answers.motors as f64;
    let of_motor = |n: usize| {
        fragment("motor_components")
            .with("n", n)
            .with("winding_j_k", copper * value("motor: share of copper") * first.motor_kg)
            .with("stator_j_k", iron * value("motor: share of stator iron") * first.motor_kg)
            .with("spot_k_w", value("winding: hot spot") / copper_w)
            .with("rotor_j_k", iron * value("motor: share of rotor") * first.motor_kg)
            .with("inverter_j_k", aluminium * value("inverter: share that warms") * first.inverter_kg)
            .parts()
    };
    let sump = || {
        let j_kgk = value("gearbox: specific heat") * value("gearbox: share that warms");
        fragment("sump").with("sump_j_k", j_kgk * first.gearbox_kg).part()
    };
    let motors: Vec<Node> = (1..=answers.motors).flat_map(of_motor).collect();
    fragment("components")
        .with("motors", motors)
        .with("gearbox", answers.is_geared.then(sump))
        .with("pack_j_k", first.pack_j_k())
        .part()
}

pub(super) fn links(answers: &Answers, first: &First) -> Vec<Node> {
    let heat_w = first.heat_w(Part::Stator) / answers.motors as f64;
    let copper_w = heat_w * value("motor: share of its loss in copper");
    let rotor_w = heat_w * value("motor: share of its loss in the rotor");
    let mut all = Vec::new();
    for n in 1..=answers.motors {
        let of_motor = fragment("motor_links")
            .with("n", n)
            .with("slots_w_k", copper_w / value("winding: above the stator"))
            .with("gap_w_k", rotor_w / value("rotor: above the stator"));
        all.extend(of_motor.parts());
        all.extend([Part::Stator, Part::Inverter].map(|part| case(answers, first, part, n)));
    }
    if answers.is_geared {
        all.push(case(answers, first, Part::Gearbox, 1));
    }
    all.push(case(answers, first, Part::Pack, 1));
    all.push(vent(answers, first));
    all
}

/// The way of heat from a case to the bay: all there is for a part that is not cooled, a tenth of it else.
fn case(answers: &Answers, first: &First, part: Part, number: usize) -> Node {
    let is_bare = answers.cooling(part) == Some(Cooling::NotCooled);
    let share = if is_bare { 1.0 } else { value("case: share of a cooled part") };
    // an uncooled pack stands apart: a warm bay would heat it
    let to = if is_bare && part == Part::Pack { OUTSIDE_AIR } else { "bay air" };
    fragment("case")
        .with("to", to)
        .with("wall", wall(part, number))
        .with("state", if is_bare { "bare" } else { "cooled" })
        .with("w_k", first.case_w_k(part) * share)
        .part()
}

fn vent(answers: &Answers, first: &First) -> Node {
    let into_bay_w = |part: Part| match answers.cooling(part) {
        Some(Cooling::NotCooled) => first.heat_w(part),
        Some(_) => value("bay: share of the heat of a cooled part") * first.heat_w(part),
        None => 0.0,
    };
    let heat_w = value("bay: heat of whatever else") + Part::ALL.into_iter().map(into_bay_w).sum::<f64>();
    let flow_kg_s = heat_w / (AIR_J_KGK * value("vent: rise"));
    fragment("vent")
        .with("outside_air", OUTSIDE_AIR)
        .with("flow_kg_s", flow_kg_s)
        .with("at_rest_kg_s", value("vent: share at rest") * flow_kg_s)
        .part()
}

pub(super) fn powertrain(answers: &Answers, first: &First) -> Node {
    let short_w = |rule: &str| value(rule) * answers.motor_power_w;
    let motor = |n: usize| {
        fragment("motor")
            .with("n", n)
            .with("power_w", answers.motor_power_w)
            .with("take_off_w", short_w("rating, take-off: power"))
            .with("motor_out_w", short_w("rating, one motor out: power"))
            .part()
    };
    let motors: Vec<Node> = (1..=answers.motors).map(motor).collect();
    let gearbox = || {
        let all_w = answers.motors as f64 * answers.motor_power_w;
        fragment("gearbox")
            .with("ratio", ratio(answers, first))
            .with("drag_w", value("gearbox: drag over power") * all_w)
            .with("motor_rpm", first.shaft_rpm * first.ratio)
            .part()
    };
    fragment("powertrain")
        .with("motors", motors)
        .with("gearbox", answers.is_geared.then(gearbox))
        .with("pack", pack(first))
        .part()
}

/// The ratio of the gearbox: of the speeds that were answered, or a placeholder.
fn ratio(answers: &Answers, first: &First) -> Node {
    if answers.motor_rad_s.is_some() || answers.output_rad_s.is_some() {
        fragment("ratio_answered").with("ratio", first.ratio).part()
    } else {
        fragment("ratio_by_kind").with("kind", answers.kind.word()).part()
    }
}

fn pack(first: &First) -> Node {
    let interconnect_ohm = 1e-6 * value("pack: interconnect") * first.series as f64;
    fragment("pack")
        .with("series", first.series)
        .with("parallel", first.parallel)
        .with("interconnect_ohm", interconnect_ohm)
        .part()
}

pub(super) fn sensors(answers: &Answers) -> Vec<Node> {
    let of_motor = |n: usize| [format!("winding {n}"), wall(Part::Inverter, n)];
    let mut at: Vec<String> = (1..=answers.motors).flat_map(of_motor).collect();
    if answers.is_geared {
        at.push(wall(Part::Gearbox, 1));
    }
    at.push(wall(Part::Pack, 1));
    at.into_iter().map(|at| fragment("sensor").with("at", at).part()).collect()
}
