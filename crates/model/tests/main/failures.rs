//! Failures: what they change, what is flown after them, and how a leak goes on.

use super::missions::{HEAD, TOW};
use aircraft::records::project::Project;
use model::assembly::Situation;
use model::case;
use model::cases;
use model::design::decode;
use model::mission::{self, MissionCase, Moment, Schedule, Then, aftermath};
use model::result::{CaseResult, Status};

const PUMP_STOPS: &str = "failures: [Failure(name: \"pump stops\", what: Stopped(\"pump\"))],";

fn text(failures: &str) -> String {
    assert!(HEAD.contains(PUMP_STOPS));
    let head = HEAD.replace(PUMP_STOPS, &format!("failures: [{failures}],"));
    format!(
        "{head}missions: [{TOW}],\ncases: [CaseGroup(conditions: [\"warm\"], points: [\"climb\"], missions: [\"tow\"])])"
    )
}

fn read(failures: &str) -> Project {
    let (node, problems) = project::parse(text(failures).as_bytes());
    assert!(problems.is_empty(), "{problems}");
    decode(&node.expect("a tree was read")).unwrap_or_else(|problems| panic!("{problems}"))
}

fn mistakes(failures: &str) -> Vec<String> {
    let (node, problems) = project::parse(text(failures).as_bytes());
    assert!(problems.is_empty(), "{problems}");
    let problems = decode(&node.expect("a tree was read")).expect_err("there is a mistake");
    assert!(problems.iter().all(|p| p.place.is_some()), "{problems}");
    problems.iter().map(|p| format!("{}: {}", p.path, p.message)).collect()
}

/// The climb of the head, steady, with the first failure of the list or without any.
fn solved(failures: &str, is_failed: bool) -> CaseResult {
    let project = read(failures);
    let failure = project.failures.first().filter(|_| is_failed);
    let situation = Situation {
        project: &project,
        condition: &project.conditions[1],
        point: &project.points[0],
        failure,
    };
    case::solve(&situation).unwrap_or_else(|problem| panic!("{problem}"))
}

fn liquid_flow(result: &CaseResult) -> f64 {
    assert_eq!(result.status, Status::Solved, "{:?}", result.notices);
    result.loops[0].mass_flow_kg_s
}

fn setting(result: &CaseResult, name: &str) -> f64 {
    let stations = result.loops.iter().chain(&result.ducts).flat_map(|circuit| &circuit.stations);
    stations.filter(|s| s.name == name).map(|s| s.setting).next().expect("the station exists")
}

fn after(project: &Project, moment: Moment, then: Then) -> Schedule {
    let case = MissionCase {
        project,
        condition: &project.conditions[1],
        mission: &project.missions[0],
        failure: project.failures.first(),
    };
    aftermath(&case, moment, then).unwrap_or_else(|problem| panic!("{problem}"))
}

fn steps(schedule: &Schedule) -> Vec<(&str, f64)> {
    schedule.steps.iter().map(|step| (step.label.as_str(), (step.duration_s() * 1e3).round() / 1e3)).collect()
}

#[test]
fn a_slow_pump_keeps_a_share_of_the_speed_its_control_asks_for() {
    let slowed = r#"Failure(name: "half", what: Slowed(machine: "pump", share: 0.5))"#;
    let (sound, failed) = (solved(slowed, false), solved(slowed, true));
    // the iron is hotter than the end of the ramp in both cases: full speed asked for
    assert!((setting(&sound, "pump") - 1.0).abs() < 1e-9 && (setting(&failed, "pump") - 0.5).abs() < 1e-9);
    // similarity on square-law losses: half the flow
    let ratio = liquid_flow(&failed) / liquid_flow(&sound);
    assert!((ratio - 0.5).abs() < 0.01, "{ratio}");
}

#[test]
fn a_sensor_that_reads_too_little_slows_the_pump() {
    let off = r#"Failure(name: "drift", what: SensorOff(controls: "pump", by: "-200 K"))"#;
    let (sound, failed) = (solved(off, false), solved(off, true));
    assert!((setting(&sound, "pump") - 1.0).abs() < 1e-9);
    // the ramp begins where the sensor reads 40 degC, which is 240 degC: lowest speed
    assert!((setting(&failed, "pump") - 0.4).abs() < 1e-9);
}

#[test]
fn clogging_and_a_shut_inlet_take_flow() {
    // all losses of the loop are square laws on three devices of K 3; a hose is not there, so clog the jacket
    let clogged = r#"Failure(name: "clogged", what: Clogged(device: "jacket", factor: 9))"#;
    let (sound, failed) = (solved(clogged, false), solved(clogged, true));
    assert!(liquid_flow(&failed) < 0.9 * liquid_flow(&sound));
    let drop = |result: &CaseResult| {
        let jacket = result.loops[0].stations.iter().find(|s| s.name == "jacket").expect("the jacket");
        (jacket.pressure_in_pa - jacket.pressure_out_pa) / jacket.mass_flow_kg_s.powi(2)
    };
    let ratio = drop(&failed) / drop(&sound);
    assert!((ratio / 9.0 - 1.0).abs() < 0.02, "{ratio}");
    let shut = r#"Failure(name: "cover on", what: InletBlocked(inlet: "scoop", share: 0.8))"#;
    let (sound, failed) = (solved(shut, false), solved(shut, true));
    assert!(failed.ducts[0].mass_flow_kg_s < 0.6 * sound.ducts[0].mass_flow_kg_s);
}

#[test]
fn an_open_cap_takes_the_boiling_margin_of_a_pressurised_loop() {
    let open = r#"Failure(name: "cap leaks", what: CapOpen("bottle"))"#;
    let pressurised = |failed: bool| {
        let text = text(open).replace(
            "Reservoir(name: \"bottle\", volume: \"1 L\")",
            "Reservoir(name: \"bottle\", volume: \"1 L\", cap: \"90 kPag\")",
        );
        let (node, _) = project::parse(text.as_bytes());
        let project = decode(&node.expect("a tree was read")).unwrap_or_else(|problems| panic!("{problems}"));
        let failure = project.failures.first().filter(|_| failed);
        let situation = Situation {
            project: &project,
            condition: &project.conditions[1],
            point: &project.points[0],
            failure,
        };
        case::solve(&situation).unwrap_or_else(|problem| panic!("{problem}"))
    };
    let bottle = |result: &CaseResult| {
        let station = result.loops[0].stations.iter().find(|s| s.name == "bottle").expect("the bottle");
        station.pressure_in_pa.min(station.pressure_out_pa)
    };
    let (sound, failed) = (pressurised(false), pressurised(true));
    // sea level: 101 325 Pa at the open bottle; closed, the warm cushion stands above it
    assert!((bottle(&failed) - 101_325.0).abs() < 200.0, "{}", bottle(&failed));
    assert!(bottle(&sound) > 105e3, "{}", bottle(&sound));
    let boiling = |result: &CaseResult| {
        result.margins.iter().find(|m| m.limit == "boiling").map(|m| m.margin).expect("the loop may boil")
    };
    assert!(boiling(&failed) < boiling(&sound) - 1.0);
}

#[test]
fn a_leak_goes_on_in_tenths_until_nothing_flows() {
    let project = read(r#"Failure(name: "hose off", what: Leak(circuit: "glycol", empties_in: "30 s"))"#);
    // strikes 60 s into the climb of 240 s
    let schedule = after(&project, Moment { step: 1, after_s: 60.0 }, Then::After);
    assert_eq!(
        steps(&schedule),
        [("climb", 180.0), ("release", 10.0), ("descent", 120.0), ("cool", 1800.0), (mission::SOAK, 3600.0)]
    );
    let climb = &schedule.steps[0];
    let lost: Vec<f64> = climb
        .pieces
        .iter()
        .map(|piece| match piece.from.failure.as_ref().map(|f| &f.what) {
            Some(aircraft::records::failure::Failed::Leak(leak)) => leak.lost.si(),
            _ => f64::NAN,
        })
        .collect();
    let mut time_s = 0.0;
    for (piece, lost) in climb.pieces.iter().zip(&lost) {
        // the tenth that is running out counts as lost already
        let expected = (((time_s + 0.5 * piece.duration_s) / 3.0).floor() + 1.0).min(10.0) / 10.0;
        assert!((lost - expected).abs() < 1e-9, "{time_s} s: {lost}");
        time_s += piece.duration_s;
    }
    assert!((time_s - 180.0).abs() < 1e-9);
    let first = &climb.pieces[0].from.assembled.network;
    for piece in schedule.steps.iter().flat_map(|step| &step.pieces) {
        for instant in std::iter::once(&piece.from).chain(&piece.to) {
            assert!(instant.assembled.network.has_layout_of(first));
            assert_eq!(instant.assembled.network.stored_entries(), first.stored_entries());
        }
    }
    // the last piece of the climb is empty: the pump is at rest and 2 % of the liquid are left
    let empty = &climb.pieces.last().expect("pieces").from.assembled;
    let sound = &mission::schedule(&cases::missions(&project)[0]).unwrap_or_else(|p| panic!("{p}")).steps[1]
        .pieces[0];
    let volume = |parts: &model::assembly::Parts| -> f64 {
        parts.loops[0].devices().iter().map(|d| d.volume_m3).sum()
    };
    let left = volume(&empty.parts) / volume(&sound.from.assembled.parts);
    assert!((left - 0.02).abs() < 1e-9, "{left}");
}

/// 20 min in parts of 30 s, a fortieth each; the one that runs out counts as lost: at 10 min, half way, 21 of 40.
#[test]
fn a_slow_leak_goes_on_every_half_minute_and_its_heat_book_closes() {
    let project = read(r#"Failure(name: "drip", what: Leak(circuit: "glycol", empties_in: "20 min"))"#);
    let schedule = after(&project, Moment { step: 1, after_s: 60.0 }, Then::Hold(1500.0));
    let pieces = &schedule.steps[0].pieces;
    let lost = |index: usize| match pieces[index].from.failure.as_ref().map(|failure| &failure.what) {
        Some(aircraft::records::failure::Failed::Leak(leak)) => leak.lost.si(),
        _ => f64::NAN,
    };
    assert_eq!(pieces.len(), 41);
    assert!(pieces[..40].iter().all(|piece| (piece.duration_s - 30.0).abs() < 1e-9));
    for (index, expected) in [(0, 1.0 / 40.0), (20, 21.0 / 40.0), (39, 1.0), (40, 1.0)] {
        assert!((lost(index) - expected).abs() < 1e-12, "{index}: {}", lost(index));
    }
    let flight = mission::fly(&project, schedule, None, &mission::FlyOptions::default());
    assert!(flight.heat.residual_j.abs() < 1e-9 * flight.heat.turnover_j, "{:?}", flight.heat);
}

#[test]
fn segments_after_a_failure_begin_where_it_struck() {
    let project = read(
        r#"Failure(name: "pump stops", what: Stopped("pump"), after: [
            Segment(name: "slow down", duration: "20 s", point: "climb", shaft_power: To("8 kW"), airspeed: To("50 kt")),
            Segment(name: "down", shaft_power: "8 kW", shaft_speed: "1500 rpm", height: "0 ft", climb_rate: "500 ft/min"),
            Segment(name: "stop", duration: "30 s", shaft_power: To("0 W"), shaft_speed: To("0 rpm"), airspeed: To("0 kt"), ground: true),
        ])"#,
    );
    // two minutes into the climb at 500 ft/min: 1000 ft, and two minutes down at the same rate
    let schedule = after(&project, Moment { step: 1, after_s: 120.0 }, Then::After);
    assert_eq!(
        steps(&schedule),
        [("slow down", 20.0), ("down", 120.0), ("stop", 30.0), (mission::SOAK, 3600.0)]
    );
    let first = &schedule.steps[0].pieces[0].from.commanded;
    assert!((first.shaft_power_w - 60e3).abs() < 1e-6 && (first.height_m - 304.8).abs() < 1e-9, "{first:?}");
    let last = schedule.steps[2].pieces.last().and_then(|piece| piece.to.as_ref()).expect("it changes");
    assert_eq!(last.commanded, mission::Commanded::default());
    // on the ground the descent takes no time and is left out
    let schedule = after(&project, Moment { step: 0, after_s: 5.0 }, Then::After);
    assert_eq!(steps(&schedule), [("slow down", 20.0), ("stop", 30.0), (mission::SOAK, 3600.0)]);
    assert_eq!(schedule.start, mission::StartState::Carried);
}

#[test]
fn a_held_moment_stays_as_it_was() {
    let project = read(r#"Failure(name: "pump stops", what: Stopped("pump"))"#);
    let schedule = after(&project, Moment { step: 1, after_s: 120.0 }, Then::Hold(900.0));
    assert_eq!(steps(&schedule), [("climb", 900.0)]);
    let piece = &schedule.steps[0].pieces[0];
    assert!(piece.to.is_none() && (piece.from.commanded.height_m - 304.8).abs() < 1e-9);
    let stretch = piece.stretch();
    assert!(stretch.duration_s == 900.0 && stretch.to.is_none());
}

#[test]
fn mistakes_in_failures_are_told() {
    for (failure, expected) in [
        (
            r#"Failure(name: "f", what: Slowed(machine: "pimp"))"#,
            "failures.f.what: no pump or fan is called \"pimp\"",
        ),
        (
            r#"Failure(name: "f", what: Leak(circuit: "glicol"))"#,
            "failures.f.what.circuit: no loop is called \"glicol\"",
        ),
        (
            r#"Failure(name: "f", what: Leak(circuit: "glycol", empties_in: "0 s"))"#,
            "failures.f.what.empties_in: \"0 s\" makes no sense here",
        ),
        (
            r#"Failure(name: "f", what: Clogged(device: "fan"))"#,
            "failures.f.what: no hose, filter, restrictor, screen, plate, jacket or surface is called \"fan\"",
        ),
        (
            r#"Failure(name: "f", what: Clogged(device: "jacket", factor: 0.5))"#,
            "failures.f.what.factor: \"0.5\" makes no sense here",
        ),
        (
            r#"Failure(name: "f", what: InletBlocked(inlet: "exit"))"#,
            "failures.f.what: no inlet is called \"exit\"",
        ),
        (
            r#"Failure(name: "f", what: InletBlocked(inlet: "scoop", share: 1))"#,
            "failures.f.what.share: \"1\" makes no sense here",
        ),
        (
            r#"Failure(name: "f", what: SensorOff(controls: "fan", by: "10 K"))"#,
            "failures.f.what: no pump, fan, shutter or thermostat that follows a temperature is called \"fan\"",
        ),
        (
            r#"Failure(name: "f", what: Stopped("fan"), after: [Segment(name: "a", duration: "1 min", point: "clim")])"#,
            "failures.f.after.a.point: no point is called \"clim\"",
        ),
        (
            r#"Failure(name: "f", what: Stopped("fan"), after: [Segment(name: "a")])"#,
            "failures.f.after.a: the segment has no duration",
        ),
        (
            r#"Failure(name: "f", what: Stopped("fan"), after: [Segment(name: "a", shaft_power: "3 kW", duration: "1 min")])"#,
            "failures.f.after.a.shaft_speed: there is shaft power at zero speed",
        ),
        (
            r#"Failure(name: "f", what: Stopped("fan"))], sensors: [Sensor(name: "s", at: "irn")"#,
            "sensors.s.at: no component or device is called \"irn\"",
        ),
    ] {
        let told = mistakes(failure);
        let found = told
            .iter()
            .any(|line| line.replace(".circuit", "").starts_with(&expected.replace(".circuit", "")));
        assert!(found, "{failure}\n{told:#?}");
    }
}

/// Every failure of every demo strikes halfway through the third step, and the parts stay the same.
#[test]
fn every_failure_of_the_demos_can_strike() {
    for (name, text) in super::demos::demos() {
        let base = &super::demos::varied(&text, &name)[0].project;
        let sound = &cases::missions(base)[0];
        let made = mission::schedule(sound).unwrap_or_else(|p| panic!("{name}: {p}"));
        let first = &made.steps[0].pieces[0].from.assembled.network;
        let moment = Moment { step: 2, after_s: 0.5 * made.steps[2].duration_s() };
        for failure in &base.failures {
            let case = MissionCase { failure: Some(failure), ..*sound };
            let after = aftermath(&case, moment, Then::After)
                .unwrap_or_else(|p| panic!("{name}, {}: {p}", case.name()));
            for piece in after.steps.iter().flat_map(|step| &step.pieces) {
                let network = &piece.from.assembled.network;
                assert!(network.has_layout_of(first), "{name}, {}", case.name());
                assert_eq!(network.stored_entries(), first.stored_entries(), "{name}, {}", case.name());
            }
            if !sound.mission.after_failure.is_empty() && failure.after.is_empty() {
                assert!(
                    after.steps.iter().any(|step| step.label.contains("after failure")),
                    "{name}, {}",
                    case.name()
                );
            }
        }
    }
}
