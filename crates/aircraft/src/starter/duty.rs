//! Surroundings, steady points, the mission, failures and cases.

use super::answers::{Answers, Cooling, CraftKind};
use super::circuits::SUPPLIES;
use super::fragments::fragment;
use super::heat::{First, rotor_radius_m};
use super::rules::value;
use schema::Node;

/// Mass to which a drag area is known, kg.
const KNOWN_MASS_KG: f64 = 1150.0;

pub(super) fn conditions(answers: &Answers) -> Node {
    fragment("conditions").with("kind", answers.kind.word()).part()
}

/// The craft that answers to these, for the power of the cruise: mass by the installed power, the rest by mass.
pub(super) fn craft(answers: &Answers, first: &First) -> Node {
    let mass_kg = first.mass_kg;
    let kind = answers.kind.word();
    let mass = match answers.mass_kg {
        Some(_) => fragment("mass_answered").with("mass_kg", mass_kg).part(),
        None => fragment("mass_by_power").with("kind", kind).with("mass_kg", mass_kg).part(),
    };
    match answers.kind {
        CraftKind::Aeroplane => {
            let area_m2 = mass_kg / value("aeroplane: wing loading");
            fragment("craft_aeroplane")
                .with("mass", mass)
                .with("area_m2", area_m2)
                .with("span_m", (value("aeroplane: aspect ratio") * area_m2).sqrt())
                .part()
        }
        CraftKind::Rotorcraft => {
            let radius_m = rotor_radius_m(mass_kg);
            // a shaft speed that was answered sets the tip speed, as the usual tip speed sets the shaft speed
            let tip_speed = match answers.motor_rad_s.filter(|_| !answers.is_geared).or(answers.output_rad_s)
            {
                Some(rad_s) => fragment("tip_answered").with("tip_m_s", rad_s * radius_m).part(),
                None => fragment("tip_usual").part(),
            };
            let scale = (mass_kg / KNOWN_MASS_KG).powf(2.0 / 3.0);
            fragment("craft_rotorcraft")
                .with("mass", mass)
                .with("radius_m", radius_m)
                .with("tip_speed", tip_speed)
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

/// A rotorcraft flies the power that momentum theory asks of it, an aeroplane takes off and climbs with shares of what is there.
pub(super) fn points(answers: &Answers, first: &First) -> Node {
    let share_kw = |rule: &str| 1e-3 * value(rule) * first.shaft_power_w;
    let kind = answers.kind.word();
    match answers.kind {
        CraftKind::Aeroplane => fragment("points_aeroplane")
            .with("full_w", first.shaft_power_w)
            .with("climb_kw", share_kw("climb: power"))
            .with("cruise_kw", share_kw("cruise: power"))
            .with("descent_kw", share_kw("descent: power")),
        CraftKind::Rotorcraft => fragment("points_rotorcraft"),
    }
    .with("kind", kind)
    .with("idle_kw", share_kw("ground idle: power"))
    .with("shaft_rpm", first.shaft_rpm)
    .with("climb_kt", value(&format!("climb speed: {kind}")))
    .part()
}

pub(super) fn mission(answers: &Answers, first: &First) -> Node {
    // Everything but cruise, in minutes at full power: taxi, take-off, climb, descent, taxi.
    let others_min = value("ground idle: power") * 2.0 * value("taxi: time")
        + value("take-off: time")
        + value("climb: power") * value("climb: time")
        + value("descent: power") * value("descent: time");
    let used_j = value("mission: share of the pack used") * first.pack_energy_j();
    let usable_min = used_j / first.bus_power_w / 60.0;
    let cruise_min = (usable_min - others_min) / value("cruise: power");
    let cruise_min = cruise_min.clamp(value("mission: shortest cruise"), value("mission: longest cruise"));
    let (take_off, landing) = match answers.kind {
        CraftKind::Aeroplane => ("take-off", "descent"),
        CraftKind::Rotorcraft => ("hover", "run-on landing"),
    };
    fragment("mission")
        .with("cruise_min", cruise_min)
        .with("take_off", take_off)
        .with("landing", landing)
        .part()
}

pub(super) fn failures(answers: &Answers, machines: &[String]) -> Vec<Node> {
    let stops = |machine: &String| fragment("machine_stops").with("machine", machine.as_str()).part();
    let mut all: Vec<Node> = machines.iter().map(stops).collect();
    if !machines.is_empty() {
        all.extend(SUPPLIES.map(|supply| fragment("supply_lost").with("supply", supply).part()));
    }
    if answers.motors > 1 {
        all.push(fragment("motor_out").part());
    }
    all.push(fragment("cells_out").part());
    all
}

/// Cases: what lasts is judged in the steady state. A pack that nothing cools has none at power, so that its aircraft is judged over time.
pub(super) fn cases(answers: &Answers, machines: &[String]) -> Node {
    let names = |all: &[&str]| all.iter().map(|name| Node::text(*name)).collect::<Vec<Node>>();
    let is_steady = answers.pack_cooling != Cooling::NotCooled;
    let lasting: &[&str] = match answers.kind {
        _ if !is_steady => &[],
        CraftKind::Aeroplane => &["climb", "cruise"],
        CraftKind::Rotorcraft => &["hover", "climb", "cruise"],
    };
    let mut struck: Vec<String> = Vec::new();
    if !machines.is_empty() {
        struck.extend(SUPPLIES.map(|supply| format!("{supply} lost")));
    }
    if answers.motors > 1 && is_steady {
        struck.push("motor 1 out".to_owned());
    }
    let struck: Vec<Node> = struck.into_iter().map(Node::text).collect();
    fragment("cases")
        .with("lasting", names(lasting))
        .with("cold", names(if is_steady { &["climb"] } else { &[] }))
        .with("after", names(if is_steady { &["after a failure"] } else { &[] }))
        .with("flown_after", names(if is_steady { &[] } else { &["flight"] }))
        .with("struck", struck)
        .part()
}
