//! A plate with fixed heat and conductance: T = T outside + Q / G.

use super::{Axis, Shard, SweepError, Watch, points, sweep, watches};
use schema::Node;
use std::sync::atomic::AtomicBool;

const PLATE: &str = r#"
Project(
    format: "heatledger",
    version: 1,
    name: "plate",
    conditions: [Condition(name: "warm", day: Fixed("40 degC"))],
    components: [
        Component(name: "plate", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "10 K")]),
    ],
    links: [Link(name: "path", from: "plate", to: "outside air", law: Conductance("5 W/K"))],
    heats: [Heat(name: "heater", into: "plate", law: Fixed("200 W"))],
    points: [Point(name: "full")],
    cases: [CaseGroup(conditions: ["warm"], points: ["full"])],
)
"#;

const HEAT: &str = "heats.heater.law=100 W..300 W/3";
const PATH: &str = "links.path.law=4..8 W/K/2";

fn node() -> Node {
    let (node, problems) = project::parse(PLATE.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    node.expect("the text holds a project")
}

fn watched(node: &Node, names: &[&str]) -> Vec<Watch> {
    let project = model::design::decode(node).expect("the plate is valid");
    let all = watches(&project, &AtomicBool::new(false)).expect("the plate can be solved");
    names.iter().map(|name| Watch::parse(&all, name).expect("it can be watched")).collect()
}

fn axes(node: &Node) -> Vec<Axis> {
    [HEAT, PATH].iter().map(|text| Axis::parse(node, text).expect("an axis")).collect()
}

/// 40 degC + Q/G for Q of 100, 200, 300 W and G of 4, 8 W/K: 65, 52.5, 90, 65, 115, 77.5 degC; to 100 degC less 10 K the reserve is
/// 90 degC less that.
#[test]
fn the_grid_is_as_by_hand() {
    let node = node();
    let watched = watched(&node, &["temperature:warm/full:plate", "worst", "heat:warm/full:plate"]);
    let found = sweep(&node, &axes(&node), &watched, &[], Shard::WHOLE, &AtomicBool::new(false), |_| ())
        .expect("the sweep runs");
    let by_hand = [
        (100.0, 4.0, 65.0),
        (100.0, 8.0, 52.5),
        (200.0, 4.0, 90.0),
        (200.0, 8.0, 65.0),
        (300.0, 4.0, 115.0),
        (300.0, 8.0, 77.5),
    ];
    assert_eq!(found.rows.len(), by_hand.len());
    for (row, (heat_w, conductance_w_k, celsius)) in found.rows.iter().zip(by_hand) {
        assert_eq!(row.inputs, [heat_w, conductance_w_k]);
        let value = |n: usize| row.results[n].expect("a value");
        assert!((value(0) - celsius - 273.15).abs() < 1e-6, "{row:?}");
        assert!((value(1) - (90.0 - celsius)).abs() < 1e-6, "{row:?}");
        assert!((value(2) - heat_w).abs() < 1e-9, "{row:?}");
        assert_eq!(row.remark, "");
    }
}

#[test]
fn threads_and_shards_change_no_bit() {
    let node = node();
    let (axes, watched) = (axes(&node), watched(&node, &["worst"]));
    let run =
        |shard| sweep(&node, &axes, &watched, &[], shard, &AtomicBool::new(false), |_| ()).expect("it runs");
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads start");
        pool.install(|| run(Shard::WHOLE))
    };
    let whole = on(1);
    assert_eq!(whole, on(4));
    let parts = (1..=4).flat_map(|number| run(Shard { number, of: 4 }).rows).collect::<Vec<_>>();
    assert_eq!(parts, whole.rows);
}

/// A grid so large that numbers are moved instead of decoded: the same bits as its shards, which are too small for that.
#[test]
fn a_large_grid_has_the_bits_of_its_small_shards() {
    let node = node();
    let axes = ["heats.heater.law=100 W..300 W/9", "links.path.law=4..8 W/K/9"]
        .map(|text| Axis::parse(&node, text).expect("an axis"));
    let watched = watched(&node, &["worst", "mass"]);
    let run =
        |shard| sweep(&node, &axes, &watched, &[], shard, &AtomicBool::new(false), |_| ()).expect("it runs");
    assert!(super::is_worth_moving(&axes, 81) && !super::is_worth_moving(&axes, 9));
    let parts = (1..=9).flat_map(|number| run(Shard { number, of: 9 }).rows).collect::<Vec<_>>();
    assert_eq!(parts, run(Shard::WHOLE).rows);
}

/// A negative heat capacity is refused as in a file; the point keeps its place.
#[test]
fn a_point_that_cannot_be_says_why() {
    let node = node();
    let axis = Axis::parse(&node, "components.plate.capacity=-1 kJ/K..1 kJ/K/2").expect("an axis");
    let watched = watched(&node, &["worst"]);
    let found = sweep(&node, &[axis], &watched, &[], Shard::WHOLE, &AtomicBool::new(false), |_| ());
    let rows = found.expect("the sweep runs").rows;
    assert_eq!(rows[0].results, [None]);
    assert!(rows[0].remark.contains("components.plate.capacity"), "{}", rows[0].remark);
    // 40 + 200/5 = 80 degC, 10 K below 90
    assert!((rows[1].results[0].expect("a value") - 10.0).abs() < 1e-6);
}

#[test]
fn what_is_unknown_or_misshapen_is_refused_with_the_nearest() {
    let node = node();
    let refused = |text: &str| Axis::parse(&node, text).expect_err("it is refused").to_string();
    assert!(refused("links.pth.law=4 W/K..8 W/K/2").contains("links.path.law"));
    assert!(refused("links.path.law=4 W/K..8 W/K").contains("PATH=FROM..TO/N"));
    assert!(refused("links.path.law=4 m..8 m/2").contains("PATH=FROM..TO/N"));
    let project = model::design::decode(&node).expect("the plate is valid");
    let all = watches(&project, &AtomicBool::new(false)).expect("the plate can be solved");
    let error = Watch::parse(&all, "temperature:warm/full:plat").expect_err("no such component");
    assert!(error.to_string().contains("temperature:warm/full:plate"), "{error}");
    assert_eq!(
        points(&[axes(&node), axes(&node)].concat()).map_err(|e| matches!(e, SweepError::Repeated { .. })),
        Err(true)
    );
    for text in ["0/2", "3/2", "1", "a/b", "1/0"] {
        assert!(Shard::parse(text).is_err(), "{text}");
    }
}

#[test]
fn a_cancelled_sweep_says_so() {
    let node = node();
    let found = sweep(&node, &axes(&node), &[Watch::Mass], &[], Shard::WHOLE, &AtomicBool::new(true), |_| ());
    assert_eq!(found, Err(SweepError::Study(crate::StudyError::Cancelled)));
}

/// From 40 degC towards 40 degC + 200 W / G with the time constant 1 kJ/K / G: after 200 s with 5 W/K 40 + 40 (1 - 1/e) = 65.28 degC,
/// with 10 W/K 40 + 20 (1 - 1/e^2) = 57.29 degC.
#[test]
fn missions_are_watched_over_time() {
    let text = PLATE
        .replace("points: [Point(name: \"full\")],", "points: [Point(name: \"full\")],
            missions: [Mission(name: \"heat\", soak: LeftOut(\"nothing to see\"), segments: [Segment(name: \"on\", duration: \"200 s\")])],")
        .replace("points: [\"full\"])", "points: [\"full\"], missions: [\"heat\"])");
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    let node = node.expect("the text holds a project");
    let watched = watched(&node, &["peak:warm/heat:plate", "margin:warm/heat:plate:continuous"]);
    let axes = [Axis::parse(&node, "links.path.law=5 W/K..10 W/K/2").expect("an axis")];
    let found = sweep(&node, &axes, &watched, &[], Shard::WHOLE, &AtomicBool::new(false), |_| ())
        .expect("the sweep runs");
    let by_hand = [40.0 + 40.0 * (1.0 - (-1.0_f64).exp()), 40.0 + 20.0 * (1.0 - (-2.0_f64).exp())];
    for (row, celsius) in found.rows.iter().zip(by_hand) {
        let value = |n: usize| row.results[n].unwrap_or_else(|| panic!("{row:?}"));
        assert!((value(0) - 273.15 - celsius).abs() < 0.05, "{row:?}");
        assert!((value(1) - (100.0 - celsius)).abs() < 0.05, "{row:?}");
    }
}

/// The hot day of 14 CFR 27.1043(b) at 5000 ft: 100 - 3.6 x 5 = 82 degF = 27.778 degC. With 10 K less and 10 K more outside, a plate
/// at 200 W / 5 W/K = 40 K above it is 57.778, 67.778, 77.778 degC.
#[test]
fn the_outside_air_of_a_law_can_be_swept() {
    let text = PLATE.replace("day: Fixed(\"40 degC\")", "day: HotDay, pressure_altitude: \"5000 ft\"");
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    let node = node.expect("the text holds a project");
    let watched = watched(&node, &["temperature:warm/full:plate"]);
    let axes = [Axis::parse(&node, "conditions.warm.offset=-10..10 K/3").expect("an axis")];
    let found = sweep(&node, &axes, &watched, &[], Shard::WHOLE, &AtomicBool::new(false), |_| ());
    let celsius: Vec<f64> = found
        .expect("the sweep runs")
        .rows
        .iter()
        .map(|row| row.results[0].expect("a value") - 273.15)
        .collect();
    for (value, by_hand) in celsius.iter().zip([57.7778, 67.7778, 77.7778]) {
        assert!((value - by_hand).abs() < 1e-4, "{celsius:?}");
    }
}

#[test]
fn the_worst_reserve_is_that_of_the_chosen_cases() {
    let text = PLATE
        .replace(
            "conditions: [Condition(",
            "conditions: [Condition(name: \"mild\", day: Fixed(\"20 degC\")), Condition(",
        )
        .replace("conditions: [\"warm\"]", "conditions: [\"warm\", \"mild\"]");
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    let node = node.expect("the text holds a project");
    let watched = watched(&node, &["worst"]);
    let axes = [Axis::parse(&node, HEAT).expect("an axis")];
    let run = |chosen: &[&str]| {
        let chosen: Vec<String> = chosen.iter().map(|name| (*name).to_owned()).collect();
        sweep(&node, &axes, &watched, &chosen, Shard::WHOLE, &AtomicBool::new(false), |_| ())
    };
    // 90 - 40 - 100/5 = 30 K on the warm day, 50 K on the mild one
    let least = |chosen: &[&str]| run(chosen).expect("it runs").rows[0].results[0].expect("a value");
    assert!((least(&[]) - 30.0).abs() < 1e-6);
    assert!((least(&["mild/full"]) - 50.0).abs() < 1e-6);
    let error = run(&["mild/ful"]).expect_err("no such case").to_string();
    assert!(error.contains("warm/full"), "{error}");
}
