//! Demo missions: the heat book closes, a finer run agrees, and a held segment settles on the steady answer.
#![expect(clippy::unwrap_used, reason = "tests")]

use model::aircraft::project::Project;
use model::assembly::{Situation, assemble};
use model::mission::{FlyOptions, cases, fly, schedule};
use model::result::Status;
use model::variant;
use solver::{SteadyOptions, SteadySolver, Stretch, Transient, TransientOptions, Wish};

fn demo(name: &str) -> Project {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects");
    let (node, _) = project::parse(&std::fs::read(format!("{folder}/{name}.ron")).unwrap());
    variant::decode(&node.unwrap()).unwrap()
}

#[test]
fn every_demo_mission_is_flown_to_its_end_and_its_heat_book_closes() {
    for name in ["rig", "tug", "rescue"] {
        let project = demo(name);
        for case in cases(&project) {
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
        let case = cases(&project)[0];
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

#[test]
fn a_point_that_is_held_settles_on_its_steady_state() {
    let project = demo("tug");
    let group = &project.cases[0];
    let condition = project.conditions.iter().find(|c| c.name.as_str() == group.conditions[0]).unwrap();
    let point = project.points.iter().find(|p| p.name.as_str() == "return").unwrap();
    let assembled = assemble(Situation { project: &project, condition, point, failure: None }).unwrap();
    let mut steady = SteadySolver::new(assembled.network.as_ref().clone());
    let solution = steady.solve(&SteadyOptions::default()).unwrap();
    // the pack would run empty: only what does not depend on it is compared, from a start beside the steady state
    let mut start = solution.state().to_vec();
    for id in assembled.parts.components.iter().flat_map(|(_, ids)| ids) {
        start[id.index()] += 5.0;
    }
    let mut run = Transient::new(&assembled.network, &start);
    let charge = assembled.network.charge_unknown().unwrap();
    let held = solution.state()[charge];
    for _ in 0..400 {
        let stretch = Stretch { duration_s: 60.0, from: assembled.network.clone(), to: None };
        run.run(&stretch, &[], &TransientOptions::default(), |_| Wish::GoOn).unwrap();
        run.set_state_of_charge(&assembled.network, held);
    }
    for (name, ids) in &assembled.parts.components {
        for id in ids {
            let (over_time, at_once) = (run.state()[id.index()], solution.state()[id.index()]);
            assert!((over_time - at_once).abs() < 0.05, "{name}: {over_time} {at_once}");
        }
    }
}
