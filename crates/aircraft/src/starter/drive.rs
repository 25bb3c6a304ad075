//! Components, links, powertrain and sensors.

use super::answers::{Answers, Cooling, Part};
use super::heat::{self, CASE_RULE, First};
use super::nodes::{answered, assumed, curve, list, quantity, record, tagged, text};
use crate::records::surroundings::OUTSIDE_AIR;
use schema::Node;

/// What feeds pumps and fans.
pub(super) const SUPPLY: &str = "low-voltage bus";
/// Air around the machines.
pub(super) const BAY: &str = "bay air";
/// Oil of the gearbox.
pub(super) const SUMP: &str = "gearbox sump";
/// Cells of the pack.
pub(super) const CELLS: &str = "cells";

/// The component that a part gives its heat off with; `number` counts motors from 1.
pub(super) fn wall(part: Part, number: usize) -> String {
    match part {
        Part::Stator => format!("stator {number}"),
        Part::Inverter => format!("inverter {number}"),
        Part::Gearbox => SUMP.to_owned(),
        Part::Pack => CELLS.to_owned(),
    }
}

/// A component with one limit above which it must not be.
fn component(name: &str, capacity_j_k: f64, rule: &str, limits: Vec<Node>) -> Node {
    let capacity = assumed(1e-3 * capacity_j_k, "kJ/K", rule);
    record("Component", vec![("name", text(name)), ("capacity", capacity), ("limits", list(limits))])
}

fn limit(name: &str, value_c: f64, rule: &str) -> Node {
    let value = assumed(value_c, "degC", rule);
    record("Limit", vec![("name", text(name)), ("value", value)])
}

fn lowest(name: &str, value_c: f64, rule: &str) -> Node {
    let value = assumed(value_c, "degC", rule);
    record("Limit", vec![("name", text(name)), ("bound", Node::word("Minimum")), ("value", value)])
}

pub(super) fn components(answers: &Answers, first: &First) -> Node {
    let (motor, inverter) = (first.motor_kg, first.inverter_kg);
    let motor_rule = "motor of 4 kW/kg; copper 20 %, stator iron 50 %, rotor 30 % of its mass";
    let mut all = Vec::new();
    for n in 1..=answers.motors {
        let winding = vec![limit(
            "winding",
            155.0,
            "class F of IEC 60085, held against the average; the hot spot is hotter",
        )];
        all.push(component(&format!("winding {n}"), 385.0 * 0.2 * motor, motor_rule, winding));
        let iron = vec![limit("iron", 150.0, "judgement")];
        all.push(component(&wall(Part::Stator, n), 460.0 * 0.5 * motor, motor_rule, iron));
        let magnet = vec![limit("magnet", 120.0, "NdFeB of grade H, without an opposing field")];
        all.push(component(&format!("rotor {n}"), 460.0 * 0.3 * motor, motor_rule, magnet));
        let base =
            vec![limit("baseplate", 85.0, "film capacitors of the direct-current link, 85 to 105 degC")];
        all.push(component(
            &wall(Part::Inverter, n),
            900.0 * 0.6 * inverter,
            "inverter of 10 kW/kg, 60 % of it aluminium",
            base,
        ));
    }
    if answers.is_geared {
        let limits = vec![
            limit("oil", 120.0, "common practice, no source"),
            lowest(
                "oil, cold",
                -40.0,
                "least temperature to start with synthetic oil, common practice, no source",
            ),
        ];
        all.push(component(
            SUMP,
            600.0 * 0.6 * first.gearbox_kg,
            "gearbox of 4 kW/kg, 60 % of it warmed with the oil",
            limits,
        ));
    }
    let limits = vec![
        limit("discharge", 60.0, "common practice for lithium-ion cells, no source"),
        lowest("discharge, cold", -20.0, "common practice for lithium-ion cells, no source"),
    ];
    all.push(component(CELLS, first.pack_j_k(), "70 g and 950 J/(kg K) for each cell", limits));
    let bay = vec![limit("bay", 90.0, "wiring and hoses, judgement")];
    all.push(component(BAY, 4e3, "a cubic metre of air and thin walls, judgement", bay));
    list(all)
}

fn conductance(name: &str, (from, to): (&str, &str), w_k: f64, rule: &str) -> Node {
    let law = tagged("Conductance", assumed(w_k, "W/K", rule));
    record("Link", vec![("name", text(name)), ("from", text(from)), ("to", text(to)), ("law", law)])
}

pub(super) fn links(answers: &Answers, first: &First) -> Node {
    let heat_w = first.heat_w(Part::Stator) / answers.motors as f64;
    let mut all = Vec::new();
    for n in 1..=answers.motors {
        let (stator, winding, rotor) = (wall(Part::Stator, n), format!("winding {n}"), format!("rotor {n}"));
        let slots_w_k = heat_w * heat::COPPER / 40.0;
        all.push(conductance(
            &format!("slots {n}"),
            (&winding, &stator),
            slots_w_k,
            "copper 40 K above the stator at full power",
        ));
        let gap_w_k = heat_w * heat::ROTOR / 30.0;
        all.push(conductance(
            &format!("air gap {n}"),
            (&rotor, &stator),
            gap_w_k,
            "rotor 30 K above the stator at full power",
        ));
        for part in [Part::Stator, Part::Inverter] {
            all.push(case(answers, first, part, n));
        }
    }
    if answers.is_geared {
        all.push(case(answers, first, Part::Gearbox, 1));
    }
    all.push(case(answers, first, Part::Pack, 1));
    all.push(vent(answers, first));
    list(all)
}

/// The way of heat from a case to the bay: all there is for a part that is not cooled, a tenth of it else.
fn case(answers: &Answers, first: &First, part: Part, number: usize) -> Node {
    let is_bare = answers.cooling(part) == Some(Cooling::NotCooled);
    let from = wall(part, number);
    let w_k = first.case_w_k(part) * if is_bare { 1.0 } else { 0.1 };
    let rule = if is_bare { CASE_RULE.to_owned() } else { format!("a tenth of: {CASE_RULE}") };
    conductance(&format!("{from} case"), (&from, BAY), w_k, &rule)
}

fn vent(answers: &Answers, first: &First) -> Node {
    let bare_w = |part: Part| match answers.cooling(part) {
        Some(Cooling::NotCooled) => first.heat_w(part),
        Some(_) => 0.05 * first.heat_w(part),
        None => 0.0,
    };
    let heat_w: f64 = 300.0 + Part::ALL.into_iter().map(bare_w).sum::<f64>();
    let flow_kg_s = heat_w / (1006.0 * 20.0);
    let flow = assumed(flow_kg_s, "kg/s", "bay air 20 K above the outside at full power");
    let at_rest = assumed(0.1 * flow_kg_s, "kg/s", "a tenth of it as draught after shutdown, judgement");
    let law = record("Vent", vec![("flow", flow), ("at_rest", at_rest)]);
    let ends = vec![("name", text("bay vent")), ("from", text(BAY)), ("to", text(OUTSIDE_AIR)), ("law", law)];
    record("Link", ends)
}

pub(super) fn powertrain(answers: &Answers, first: &First) -> Node {
    let motors = (1..=answers.motors).map(|n| motor(answers, n)).collect();
    let mut fields = vec![("motors", list(motors))];
    if answers.is_geared {
        fields.push(("gearbox", gearbox(answers, first)));
    }
    fields.push(("bus", pack(first)));
    let losses = record(
        "Efficiency",
        vec![("efficiency", assumed(0.92, "", "judgement")), ("standing", assumed(12.0, "W", "judgement"))],
    );
    let converter = record(
        "Converter",
        vec![
            ("name", text("converter")),
            ("into", text(BAY)),
            ("supplies", list(vec![text(SUPPLY)])),
            ("load", assumed(200.0, "W", "avionics and controls, judgement")),
            ("losses", losses),
        ],
    );
    fields.push(("converters", list(vec![converter])));
    record("Powertrain", fields)
}

fn motor(answers: &Answers, n: usize) -> Node {
    let efficiency = assumed(heat::MOTOR, "", "92 to 97 %, common practice, no source");
    let power = answered(1e-3 * answers.motor_power_w, "kW", "power of one motor");
    let rating = record("Rating", vec![("name", text("continuous")), ("power", power)]);
    record(
        "Motor",
        vec![
            ("name", text(format!("motor {n}"))),
            ("winding", text(format!("winding {n}"))),
            ("iron", text(wall(Part::Stator, n))),
            ("rotor", text(format!("rotor {n}"))),
            ("inverter", text(wall(Part::Inverter, n))),
            ("losses", record("Efficiency", vec![("efficiency", efficiency)])),
            (
                "inverter_losses",
                tagged("Efficiency", assumed(heat::INVERTER, "", "96 to 99 %, common practice, no source")),
            ),
            ("ratings", list(vec![rating])),
        ],
    )
}

fn gearbox(answers: &Answers, first: &First) -> Node {
    let all_w = answers.motors as f64 * answers.motor_power_w;
    let rpm = first.shaft_rpm * first.ratio;
    let losses = record(
        "Efficiency",
        vec![
            ("efficiency", assumed(heat::MESHES, "", "whole boxes reach 98 to 99 % at best")),
            ("drag", assumed(1e-3 * heat::DRAG * all_w, "kW", "0.3 % of the power, judgement")),
            ("reference_speed", assumed(rpm, "rpm", "motor speed at full power")),
        ],
    );
    record(
        "Gearbox",
        vec![
            ("ratio", assumed(first.ratio, "", "judgement")),
            ("sump", text(SUMP)),
            ("oil", text("turbine-oil")),
            ("losses", losses),
        ],
    )
}

fn pack(first: &First) -> Node {
    let points = [(0.0, 3.05), (0.1, 3.38), (0.3, 3.58), (0.5, 3.7), (0.8, 3.98), (1.0, 4.18)];
    let point =
        |(charge, volts): (f64, f64)| Node::tuple("", vec![Node::number(charge), text(quantity(volts, "V"))]);
    let open_circuit = list(points.into_iter().map(point).collect());
    let cell = record(
        "Cell",
        vec![
            ("capacity", assumed(4.2, "Ah", "a 21700 high-power cell")),
            ("open_circuit", open_circuit),
            (
                "resistance",
                assumed(
                    1e3 * heat::CELL_OHM,
                    "mOhm",
                    "a 21700 high-power cell, 10 to 18 mOhm over a 10 s pulse",
                ),
            ),
            ("cold_growth", assumed(2500.0, "K", "2000 to 3500 K")),
            ("hot_growth", assumed(0.0, "K", "nothing gained by warmth until the cell is measured")),
        ],
    );
    let charging = record(
        "Charging",
        vec![
            ("rate", assumed(1.0, "C", "common practice, no source")),
            ("end_voltage", assumed(4.2, "V", "common practice for lithium-ion cells, no source")),
            ("window", curve(&[(0.0, 0.2), (5.0, 0.4), (15.0, 1.0), (45.0, 0.0)], ("degC", "C"))),
        ],
    );
    record(
        "Pack",
        vec![
            ("cells", text(CELLS)),
            ("series", Node::count(first.series)),
            ("parallel", Node::count(first.parallel)),
            ("cell", cell),
            (
                "interconnect",
                assumed(
                    3e-5 * first.series as f64 * 1e3,
                    "mOhm",
                    "30 uOhm for each cell in series, judgement",
                ),
            ),
            ("charging", charging),
        ],
    )
}

pub(super) fn sensors(answers: &Answers) -> Node {
    let mut at: Vec<String> = Vec::new();
    for n in 1..=answers.motors {
        at.push(format!("winding {n}"));
        at.push(wall(Part::Inverter, n));
    }
    if answers.is_geared {
        at.push(SUMP.to_owned());
    }
    at.push(CELLS.to_owned());
    let sensor =
        |at: String| record("Sensor", vec![("name", text(format!("{at} sensor"))), ("at", text(at))]);
    list(at.into_iter().map(sensor).collect())
}
