//! Demo missions: the heat book closes, a finer run agrees, and a held segment settles on the steady answer.
#![expect(clippy::unwrap_used, reason = "tests")]

use aircraft::records::powertrain::Bus;
use aircraft::records::project::Project;
use aircraft::records::surroundings::Day;
use model::assembly::{Situation, assemble};
use model::cases;
use model::design;
use model::mission::{FlyOptions, fly, schedule};
use model::result::Status;
use schema::{self, Input};
use solver::{SteadyOptions, SteadySolver, Stretch, Transient, TransientOptions, Wish};

fn demo(name: &str) -> Project {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects");
    let (node, _) = project::parse(&std::fs::read(format!("{folder}/{name}.ron")).unwrap());
    design::decode(&node.unwrap()).unwrap()
}

#[test]
fn every_demo_mission_is_flown_to_its_end_and_its_heat_book_closes() {
    for name in ["rig", "tug", "rescue"] {
        let project = demo(name);
        for case in cases::missions(&project) {
            let flight = fly(&project, schedule(&case).unwrap(), None, &FlyOptions::default());
            assert_eq!(flight.status, Status::Solved, "{name} {}: {:?}", case.name(), flight.notices);
            let heat = flight.heat;
            assert!(heat.residual_j.abs() <= 1e-6 * heat.turnover_j, "{name} {}: {heat:?}", case.name());
            assert_eq!(flight.steps.len(), flight.schedule.steps.len());
        }
    }
}

/// Accuracy apart from the heat book: against a run fifty times finer, at the ends of the segments.
#[test]
fn a_finer_run_agrees_within_the_accuracy_asked_for() {
    for name in ["rig", "tug"] {
        let project = demo(name);
        let case = cases::missions(&project)[0];
        let run = |accuracy_k| {
            let options = FlyOptions { accuracy_k, ..FlyOptions::default() };
            fly(&project, schedule(&case).unwrap(), None, &options)
        };
        let (usual, finer) = (run(0.05), run(0.001));
        for (component, _) in &usual.schedule.parts().components {
            for (a, b) in usual.steps.iter().zip(&finer.steps) {
                let at = |flight: &model::mission::Flight, time_s: f64| {
                    flight.state_at(time_s).component_k(flight.schedule.parts(), component).unwrap()
                };
                let (a, b) = (at(&usual, a.end_s), at(&finer, b.end_s));
                assert!((a - b).abs() < 0.05, "{name}: {component} {a} {b}");
            }
        }
    }
}

/// Holds a point from 5 K beside its steady state, with the state of charge kept, and tells the component that ends furthest off.
pub(crate) fn held_off_k(
    project: &Project,
    condition: &str,
    point: &str,
    failure: Option<&str>,
    hours: f64,
) -> (f64, String) {
    let condition = project.conditions.iter().find(|c| c.name.as_str() == condition).unwrap();
    let point = project.points.iter().find(|p| p.name.as_str() == point).unwrap();
    // the solver is looked at, not whether cells stand so much
    let mut project = project.clone();
    if let Some(Bus::Pack(pack)) = project.powertrain.as_mut().map(|powertrain| &mut powertrain.bus) {
        pack.cell.self_heating =
            schema::decode(&schema::Node::text("800 degC")).value.expect("a temperature");
    }
    let project = &project;
    let failure = failure.map(|name| project.failures.iter().find(|f| f.name.as_str() == name).unwrap());
    let assembled = assemble(Situation { project, condition, point, failure }).unwrap();
    let mut steady = SteadySolver::new(assembled.network.as_ref().clone());
    let solution = steady.solve(&SteadyOptions::default()).unwrap();
    assert!(solution.growth_1_s().is_none());
    let mut start = solution.state().to_vec();
    for id in assembled.parts.components.iter().flat_map(|(_, ids)| ids) {
        start[id.index()] += 5.0;
    }
    let mut run = Transient::new(&assembled.network, &start);
    let stretch = Stretch { duration_s: 3600.0 * hours, from: assembled.network.clone(), to: None };
    let options =
        TransientOptions { holds_charge: true, longest_step_s: 3600.0, ..TransientOptions::default() };
    run.run(&stretch, &[], &options, |_| Wish::GoOn).unwrap();
    let off = |id: &solver::ComponentId| (run.state()[id.index()] - solution.state()[id.index()]).abs();
    let parts =
        assembled.parts.components.iter().flat_map(|(name, ids)| ids.iter().map(move |id| (name, id)));
    let worst = parts.max_by(|a, b| off(a.1).total_cmp(&off(b.1))).unwrap();
    (off(worst.1), worst.0.clone())
}

#[test]
fn a_point_that_is_held_settles_on_its_steady_state() {
    for (demo_name, condition, point, hours) in [
        ("rig", "hot day", "full heat", 10.0),
        ("tug", "hot day", "return", 200.0),
        ("tug", "hot day", "tow climb", 200.0),
        ("rescue", "hot beach", "hover", 200.0),
    ] {
        let (off_k, place) = held_off_k(&demo(demo_name), condition, point, None, hours);
        assert!(off_k < 0.01, "{demo_name} {point}: {place} {off_k} K");
    }
}

/// A loop without flow holds its heat by what little it conducts: the pack of the tug takes days to settle.
#[test]
fn a_point_with_a_stopped_pump_settles_on_its_steady_state() {
    for (demo_name, condition, point, failure) in [
        ("tug", "hot day", "ground idle", "battery pump stops"),
        ("tug", "hot day", "return", "stator pump A stops"),
        ("tug", "hot day", "return", "bus B lost"),
        ("rescue", "hot beach", "patrol", "left pump A stops"),
        ("rescue", "hot beach", "ground idle", "battery pump stops"),
        ("rescue", "hot beach", "ground idle", "essential bus lost"),
    ] {
        let (off_k, place) = held_off_k(&demo(demo_name), condition, point, Some(failure), 2000.0);
        assert!(off_k < 0.01, "{point}, {failure}: {place} {off_k} K");
    }
}

/// Cold oil and a check valve that is about to lift: seven of these flights had no way on, or one at 200 K below zero, while a valve held
/// no liquid at all.
#[test]
fn cold_flights_with_a_standby_pump_go_through() {
    for (cold_k, altitude_m) in
        [(263.0, 0.0), (267.3, 1050.0), (271.6, 300.0), (275.9, 1350.0), (280.2, 600.0)]
    {
        let mut project = demo("rescue");
        for (index, condition) in project.conditions.iter_mut().enumerate() {
            condition.day = Day::Fixed(Input::from_si(cold_k + 1.7 * index as f64, "K").unwrap());
            condition.pressure_altitude = Input::from_si(altitude_m, "m").unwrap();
        }
        for case in cases::missions(&project).into_iter().filter(|case| case.failure.is_none()) {
            for accuracy_k in [0.05, 2e-4] {
                let options = FlyOptions { accuracy_k, ..FlyOptions::default() };
                let flight = fly(&project, schedule(&case).unwrap(), None, &options);
                assert_eq!(
                    flight.status,
                    Status::Solved,
                    "{cold_k} K, {}: {:?}",
                    case.name(),
                    flight.notices
                );
            }
        }
    }
}
