//! Air at the inlets: what a point or a segment says of its duct and of the ground.
#![expect(clippy::unwrap_used, reason = "tests")]

use aircraft::records::project::Project;
use model::assembly::Situation;
use model::case;
use model::cases;
use model::design;
use model::mission::{FlyOptions, fly, schedule};

fn rig(changes: &[(&str, &str)]) -> Project {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/rig.ron");
    let mut text = std::fs::read_to_string(path).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let (node, problems) = project::parse(text.as_bytes());
    design::decode(&node.unwrap_or_else(|| panic!("{problems:?}"))).unwrap()
}

/// Three tenths of the exhaust drawn in again: the inlet stands at 0.7 T_outside + 0.3 T_exhaust. Its own field says what the other
/// point, which names nothing, draws in.
#[test]
fn a_point_draws_in_more_of_its_exhaust_than_the_duct_states() {
    let changed =
        "Point(name: \"full heat\", recirculations: [Recirculation(name: \"radiator duct\", share: 0.3)])";
    let project = rig(&[("Point(name: \"full heat\")", changed)]);
    let result = |condition: &str, point: &str| {
        let all = cases::steady(&project);
        let is_it = |c: &&Situation<'_>| {
            c.condition.name.as_str() == condition && c.point.name.as_str() == point && c.failure.is_none()
        };
        case::solve(all.iter().find(is_it).unwrap()).unwrap()
    };
    let recirculating = result("lab", "full heat");
    let air = &recirculating.ducts[0];
    let exhaust_k = air.stations.last().unwrap().temperature_out_k;
    let (inlet_k, outside_k) = (air.inlet_k.unwrap(), 22.0 + 273.15);
    assert!(exhaust_k > outside_k + 3.0, "the exhaust is warm: {exhaust_k}");
    let mixed_k = 0.7 * outside_k + 0.3 * exhaust_k;
    assert!((inlet_k - mixed_k).abs() < 0.02, "{inlet_k}, mixed {mixed_k}");
    // 100 degF and 3 K over the ramp
    let fresh = result("hot day", "half heat");
    assert!((fresh.ducts[0].inlet_k.unwrap() - (310.928 + 3.0)).abs() < 0.02);
}

/// The rise of 3 K over the ramp of the hot day stays with the rig as it stands; a mission that climbs from there loses it at 30 m, and the
/// schedule is cut there.
#[test]
fn a_climb_leaves_the_rise_over_the_ramp_below_it() {
    let project = rig(&[(
        "Segment(name: \"half heat\", duration: \"10 min\", point: \"half heat\")",
        "Segment(name: \"half heat\", height: \"60 m\", climb_rate: \"0.1 m/s\", point: \"half heat\", airspeed: \"0 kt\")",
    )]);
    let all = cases::missions(&project);
    let case = all.iter().find(|c| c.condition.name.as_str() == "hot day").unwrap();
    let planned = schedule(case).unwrap();
    let climb = planned.steps.iter().find(|step| step.label == "half heat").unwrap();
    let rises: Vec<(f64, f64)> = climb
        .pieces
        .iter()
        .map(|piece| {
            let rise = |instant: &model::mission::Instant| {
                instant.assembled.outside.inlet_air_k - instant.assembled.outside.air_k
            };
            (rise(&piece.from), rise(piece.to.as_ref().unwrap()))
        })
        .collect();
    // two pieces of 300 s: 3 K to nothing at 30 m, nothing from there
    assert_eq!(rises.len(), 2, "{rises:?}");
    assert!(
        (rises[0].0 - 3.0).abs() < 1e-9 && rises[0].1.abs() < 1e-9 && rises[1] == (0.0, 0.0),
        "{rises:?}"
    );
    assert!((climb.pieces[0].duration_s - 300.0).abs() < 1e-6);
    let flight = fly(&project, planned, None, &FlyOptions::default());
    assert!(flight.status.can_be_judged());
}
