//! A lumped pack without a heat path: the boundary follows from rise = I2 R t / (m c).

use super::{Boundary, UncooledOptions, uncooled, ways};
use crate::StudyError;
use model::schema::Node;
use model::variant::decode;
use std::sync::atomic::AtomicBool;

const PACK: &str = r#"
Project(
    format: "heatledger",
    version: 1,
    name: "pack",
    conditions: [Condition(name: "day", day: Fixed("10 degC"))],
    components: [Component(name: "motor", capacity: "1 kJ/K"), Component(name: "cells", capacity: "100 kJ/K", limits: [Limit(value: "33 degC", required: "10 K")])],
    links: [Link(name: "frame", from: "motor", to: "outside air", law: Conductance("1 W/K")), Link(name: "lacing", from: "cells", to: "outside air", law: Conductance("0.001 W/K"))],
    powertrain: Powertrain(
        motors: [Motor(
            name: "at rest",
            winding: "motor",
            iron: "motor",
            rotor: "motor",
            inverter: "motor",
            losses: Efficiency(efficiency: 0.95),
            inverter_losses: Efficiency(0.97),
        )],
        bus: Pack(
            cells: "cells",
            series: 100,
            parallel: 10,
            cell: Cell(
                capacity: "50 Ah",
                open_circuit: [(0.0, "3.7 V"), (1.0, "3.7 V")],
                resistance: "20 mOhm",
                cold_growth: "0 K",
                duration_factor: 1,
            ),
            ageing: Ageing(resistance: 1.5, capacity: 0.8),
        ),
        other_load: "20 kW",
    ),
    points: [Point(name: "rest")],
    missions: [Mission(name: "run", soak: LeftOut("nothing to see"), segments: [Segment(name: "draw", duration: "5 min")])],
    cases: [CaseGroup(conditions: ["day"], missions: ["run"])],
)
"#;

fn node(text: &str) -> Node {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    node.expect("the text holds a project")
}

/// From 20 to 33 - 10 = 23 degC: Q = 3 K x 100 kJ/K in 300 s = 1 kW. The load takes 20 kW, so U0 I = 21 kW at 370 V, and R = Q / I2 of
/// 100 cells in series and 10 strings. Aged cells may have 1.5 times less when new. At 30 degC outside nothing is left.
#[test]
fn a_lumped_pack_gives_the_resistance_by_hand() {
    let node = node(PACK);
    let project = decode(&node).unwrap_or_else(|problems| panic!("{problems}"));
    let ways = ways(&node, &project).expect("there is a pack");
    let options = UncooledOptions { oat_k: vec![293.15, 303.15], ..UncooledOptions::default() };
    let all =
        uncooled(&node, &project, &ways, &options, &AtomicBool::new(false), |_| {}).expect("boundaries");
    let current_a = 21e3 / 370.0;
    let by_hand = 1000.0 / (current_a * current_a) * 10.0 / 100.0;
    assert!((all.present_ohm - 0.020).abs() < 1e-12);
    for (point, factor) in [(&all.points[0], 1.0), (&all.points[2], 1.5)] {
        let Boundary::UpTo(ohm) = point.boundary else { panic!("{point:?}") };
        let share = ohm * factor / by_hand;
        // half a percent of search, and 0.05 K of 3 K of accuracy of the flight
        assert!((share - 1.0).abs() < 0.02, "{share}");
        assert_eq!(point.limited_by.as_deref(), Some("cells, continuous"));
    }
    assert!(matches!(all.points[1].boundary, Boundary::Below(_)), "{:?}", all.points[1]);
    let cancelled = uncooled(&node, &project, &ways, &options, &AtomicBool::new(true), |_| {});
    assert_eq!(cancelled, Err(StudyError::Cancelled));
}

#[test]
fn a_plate_can_be_left_without_flow_or_left_out() {
    let node = node(include_str!("../../../../demo-projects/tug.ron"));
    let project = decode(&node).unwrap_or_else(|problems| panic!("{problems}"));
    let ways = ways(&node, &project).expect("there is a pack");
    assert_eq!(ways.len(), 2);
    for way in &ways {
        let varied = super::changed(&node, way, 1.0).unwrap_or_else(|error| panic!("{}: {error}", way.name));
        let varied = decode(&varied).unwrap_or_else(|problems| panic!("{}: {problems}", way.name));
        let plates = varied.loops.iter().filter(|l| l.name.as_str() == "battery").count();
        assert_eq!(plates, usize::from(way.name != "plate removed"));
    }
}
