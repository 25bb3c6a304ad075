//! Steady points with a charge, against hand calculations and against the flight of the same charge.

use aircraft::records::project::Project;
use model::assembly::Situation;
use model::case;
use model::cases;
use model::design;
use model::mission::{self, FlyOptions};
use model::result::{CaseResult, MarginKind, Status};
use testkit::{assert_close, assert_within};

const POINT: &str = include_str!("repro/charge-at-steady-point.ron");
const AGAINST_FLOWN: &str = include_str!("repro/charge-steady-against-flown.ron");
const MASSLESS: &str = include_str!("repro/charge-with-massless-cells.ron");
const TAPER: &str = include_str!("repro/taper-check-passes.ron");

fn read(text: &str) -> Project {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(!problems.has_errors(), "{problems}");
    design::apply(&node.expect("a tree"), None).unwrap_or_else(|problems| panic!("{problems}")).project
}

fn swapped(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from}");
    text.replace(from, to)
}

fn solved(project: &Project) -> CaseResult {
    let (condition, point) = (&project.conditions[0], &project.points[0]);
    case::solve(&Situation { project, condition, point, failure: None }).unwrap_or_else(|p| panic!("{p:?}"))
}

fn flown(project: &Project, accuracy_k: f64) -> mission::Flight {
    let case = cases::missions(project).into_iter().next().expect("there is a mission");
    let schedule = mission::schedule(&case).unwrap_or_else(|problem| panic!("{problem}"));
    mission::fly(project, schedule, None, &FlyOptions { accuracy_k, ..FlyOptions::default() })
}

fn cells_k(result: &CaseResult) -> f64 {
    result.components.iter().find(|c| c.name == "cells").expect("cells").temperature_k()
}

#[test]
fn a_steady_point_with_charge_is_charged() {
    // 1 C of 10 x 5 Ah: 50 A, 5 A a cell; 20 mOhm x 1.3 for minutes, nothing gained above 25 degC: 1000 x 25 x 0.026 = 650 W;
    // 16.85 + 650/20 = 49.35 degC; without the charge it was 16.85 degC
    let result = solved(&read(POINT));
    assert_eq!(result.status, Status::Solved);
    assert_close("current", result.electric.as_ref().expect("a pack").bus_current_a, -50.0, 1e-9);
    assert_close("cells", cells_k(&result), 290.15 + 32.5, 1e-9);
    // 100 x U(0.2) + 50 A x 100/10 x 26 mOhm
    let electric = result.electric.as_ref().expect("a pack");
    assert_close("voltage", electric.bus_voltage_v - electric.reading.open_circuit_v, 13.0, 1e-9);
    assert!(result.ledger.residual_w.abs() < 1e-6 * result.ledger.turnover_w, "{:?}", result.ledger);
}

/// Cells of 50 J/K follow their heat within seconds: at the state of charge of each sample the steady point is the flight.
#[test]
fn the_steady_point_is_what_the_flight_passes_through() {
    for conductance in ["20 W/K", "35 W/K", "100 W/K"] {
        let text = swapped(AGAINST_FLOWN, "capacity: \"50 kJ/K\"", "capacity: \"50 J/K\"");
        let text = swapped(
            &text,
            "\"outside air\", law: Conductance(\"20 W/K\")",
            &format!("\"outside air\", law: Conductance(\"{conductance}\")"),
        );
        let project = read(&text);
        let flight = flown(&project, 0.002);
        assert_eq!(flight.status, Status::Solved, "{:?}", flight.notices);
        let (flown_k, charges) = (flight.component_k("cells"), flight.state_of_charge());
        let (mut compared, mut worst) = (0, 0.0_f64);
        for (sample, &time_s) in flight.times_s.iter().enumerate() {
            let charge = charges[sample];
            if time_s <= 60.0 || sample % 7 != 0 {
                continue;
            }
            let mut project = project.clone();
            project.points[0].state_of_charge = schema::Input::from_si(charge, "").expect("a ratio");
            let result = solved(&project);
            let current = -result.electric.as_ref().expect("a pack").bus_current_a;
            if (current - 50.0).abs() > 1e-6 {
                continue;
            }
            compared += 1;
            worst = worst.max((cells_k(&result) - flown_k[sample]).abs());
        }
        assert!(compared > 20, "{conductance}: {compared} samples at constant current");
        assert!(worst < 0.01, "{conductance}: {worst} K");
    }
}

#[test]
fn each_of_the_four_limits_can_bind() {
    let current = |text: &str| -solved(&read(text)).electric.expect("a pack").bus_current_a;
    assert_close("constant current", current(POINT), 50.0, 1e-9);
    // 20 % at the end voltage of 3.4 V: U0 there is 3.28 V or so; (340 - U0)/(10 x 26 mOhm) below 50 A
    let held = swapped(POINT, "end_voltage: \"4.2 V\"", "end_voltage: \"3.4 V\"");
    let result = solved(&read(&held));
    let electric = result.electric.as_ref().expect("a pack");
    let by_hand = (340.0 - electric.reading.open_circuit_v) / (10.0 * 0.026);
    assert!(by_hand < 49.0, "{by_hand}");
    // the cells are warmer than 25 degC, so the resistance is that of the sheet
    assert_close("constant voltage", -electric.bus_current_a, by_hand, 1e-6);
    let charger = swapped(
        POINT,
        "end_voltage: \"4.2 V\",",
        "end_voltage: \"4.2 V\", charger: Charger(power: \"12 kW\"),",
    );
    let result = solved(&read(&charger));
    let electric = result.electric.as_ref().expect("a pack");
    assert_close("charger", -electric.bus_current_a * electric.bus_voltage_v, 12e3, 1e-6);
    // a window that allows 0.5 C above 20 degC: 25 A, 162.5 W, 8.125 K
    let window = swapped(POINT, "(\"10 degC\", \"1 C\")", "(\"10 degC\", \"0.5 C\")");
    assert_close("window", current(&window), 25.0, 1e-6);
}

#[test]
fn a_charge_across_the_end_of_its_window_hunts_at_its_hotter_state() {
    // 10 W/K would let the cells rise by 65 K to 81.85 degC; the window ends at 55 degC and begins again at 50 degC
    let text = swapped(
        AGAINST_FLOWN,
        "\"outside air\", law: Conductance(\"20 W/K\")",
        "\"outside air\", law: Conductance(\"10 W/K\")",
    );
    let result = solved(&read(&text));
    assert_eq!(result.status, Status::Hunting, "{:?}", result.notices);
    let margin =
        result.margins.iter().find(|m| m.place == "cells" && m.kind == MarginKind::Maximum).expect("a limit");
    assert_within("judged", margin.value, 273.15 + 55.0, 2e-3);
    assert_within("margin", margin.margin, -10.0, 2e-3);
    let notice = result.notices.iter().find(|n| n.kind == "hunting").expect("it is told");
    assert!(
        notice.message.contains("55.0 degC") && notice.message.contains("50.0 degC"),
        "{}",
        notice.message
    );
    // the flight swings between the two
    let quick = swapped(&text, "capacity: \"50 kJ/K\"", "capacity: \"500 J/K\"");
    let flight = flown(&read(&quick), 0.01);
    let hottest = flight.component_k("cells").into_iter().fold(0.0, f64::max);
    assert_within("flown", hottest, 273.15 + 55.0, 0.1);
    // every stop is followed by a rest of 10 s at least
    let told =
        |what: &str| flight.events.iter().filter(|e| e.what == what).map(|e| e.time_s).collect::<Vec<_>>();
    let (stops, starts) = (told("charge waits: a cell is too hot"), told("charge runs"));
    assert!(stops.len() > 2, "{stops:?}");
    for stop in &stops {
        if let Some(start) = starts.iter().find(|start| *start > stop) {
            assert!(start - stop >= 10.0 - 1e-6, "{stop} {start}");
        }
    }
    // with the charge cut to what the window lets through it is solved, and the ledger closes
    assert!(result.ledger.residual_w.abs() < 1e-6 * result.ledger.turnover_w, "{:?}", result.ledger);
}

#[test]
fn a_charge_that_cannot_begin_or_has_ended_takes_no_current() {
    let cold = solved(&read(
        &swapped(POINT, "day: Fixed(\"290.15 K\")", "day: Fixed(\"260 K\")")
            .replace("Conductance(\"20 W/K\")", "Conductance(\"2000 W/K\")"),
    ));
    assert_eq!(cold.electric.as_ref().expect("a pack").bus_current_a, 0.0);
    assert!(cold.notices.iter().any(|n| n.message.contains("too cold")), "{:?}", cold.notices);
    let full = solved(&read(&swapped(
        POINT,
        "state_of_charge: 0.2, charge: Charge()",
        "state_of_charge: 0.9, charge: Charge(to: 0.8)",
    )));
    assert_eq!(full.electric.as_ref().expect("a pack").bus_current_a, 0.0);
    assert!(full.notices.iter().any(|n| n.message.contains("has ended")), "{:?}", full.notices);
}

#[test]
fn cells_without_heat_capacity_are_charged() {
    let project = read(MASSLESS);
    let flight = flown(&project, 0.05);
    assert_eq!(flight.status, Status::Solved, "{:?}", flight.notices);
    let hottest = flight.component_k("cells").into_iter().fold(0.0, f64::max);
    assert_within("cells", hottest, 290.15 + 32.5, 0.01);
    assert_within("steady", cells_k(&solved(&project)), 290.15 + 32.5, 1e-6);
    // 5 min of 1 C
    assert_within("charge", *flight.state_of_charge().last().expect("samples"), 0.2 + 5.0 / 60.0, 1e-3);
}

/// Cells without heat capacity that leave their window at once, 650 W through 11 W/K to 17 degC: 76 degC. The rest keeps the charge from
/// stopping without end.
#[test]
fn a_stopped_charge_of_massless_cells_rests() {
    let text = swapped(
        MASSLESS,
        "\"outside air\", law: Conductance(\"20 W/K\")",
        "\"outside air\", law: Conductance(\"11 W/K\")",
    );
    let flight = flown(&read(&text), 0.05);
    assert!(matches!(flight.status, Status::Solved | Status::Hunting), "{:?}", flight.notices);
    let stops = flight.events.iter().filter(|e| e.what == "charge waits: a cell is too hot").count();
    assert!(stops <= 31, "{stops} stops in 5 min");
    assert!(flight.notices.iter().any(|n| n.message.contains("the charge stops")), "{:?}", flight.notices);
}

#[test]
fn a_taper_that_no_charge_can_follow_is_refused_by_the_check() {
    let (node, problems) = project::parse(TAPER.as_bytes());
    assert!(!problems.has_errors(), "{problems}");
    let problems = design::apply(&node.expect("a tree"), None).map(|_| ()).expect_err("refused").to_string();
    assert!(problems.contains("powertrain.bus.charging.taper") && problems.contains("0.01 C"), "{problems}");
}

#[test]
fn a_pack_alone_needs_no_motor() {
    let start = POINT.find("motors: [").expect("motors");
    let end = start + POINT[start..].find("],").expect("their end") + 2;
    let text = format!("{}{}", &POINT[..start], &POINT[end..]);
    let project = read(&text);
    let problems = model::validate::validate(&project);
    assert!(!problems.has_errors(), "{problems}");
    assert_close("cells", cells_k(&solved(&project)), 290.15 + 32.5, 1e-9);
    assert_within("flown", flown(&project, 0.05).component_k("cells")[0], 290.15, 1.0);
    assert!(solved(&project).electric.expect("a pack").reading.drives.is_empty());
}
