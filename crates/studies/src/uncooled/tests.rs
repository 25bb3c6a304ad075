//! A lumped pack without a heat path: the boundary follows from rise = I2 R t / (m c).

use super::{Boundary, UncooledOptions, uncooled, ways};
use crate::StudyError;
use crate::size::{CoreChoice, SearchScope, SizeOptions, size};
use crate::sweep::{Axis, Row, Shard, Watch, sweep, watches};
use model::design::decode;
use schema::Node;
use std::sync::atomic::AtomicBool;

const PACK: &str = include_str!("../../fixtures/pack.ron");

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

/// A plate, a pump that takes next to nothing and a core of one conductance beside the lumped pack.
fn cooled(resistance_ohm: f64) -> Node {
    let text = PACK
        .replace("Fixed(\"10 degC\")", "Fixed(\"20 degC\")")
        .replace("resistance: \"20 mOhm\"", &format!("resistance: \"{} mOhm\"", 1e3 * resistance_ohm))
        .replace(
            "powertrain: Powertrain(",
            r#"loops: [Loop(name: "tray", fluid: "ethylene-glycol:0.5", boiling_margin: "0 K", path: [
                Pump(name: "pump", curve: [("0 L/min", "60 kPa"), ("20 L/min", "2 kPa")], power: Fixed("0.1 W"), volume: "0 L"),
                ColdPlate(name: "plate", walls: ["cells"], film: Fixed("400 W/K"), flow: Point(drop: "9 kPa", at: "10 L/min"), volume: "0.02 L", mass: "1.5 kg"),
                Hose(name: "hose", length: "0.2 m", diameter: "8 mm"),
                Core(name: "radiator"),
                Reservoir(name: "bottle", volume: "0.02 L", cap: "90 kPag"),
            ])],
            cores: [Core(name: "radiator", transfer: Fixed("60 W/K"), liquid_flow: Point(drop: "8 kPa", at: "10 L/min"),
                air_flow: Point(drop: "90 Pa", at: "0.3 m3/s"), volume: "0.02 L", mass: "2 kg")],
            ducts: [Duct(name: "duct", path: [
                Inlet(name: "in", area: "0.05 m2"),
                Core(name: "radiator"),
                Fan(name: "fan", curve: [("0 m3/s", "320 Pa"), ("0.6 m3/s", "0 Pa")], power: Fixed("1 W")),
                Outlet(name: "out", area: "0.05 m2"),
            ])],
            powertrain: Powertrain("#,
        );
    node(&text)
}

/// The core that holds the cells gets smaller with the resistance and is nothing at the resistance that holds with the plate fitted and
/// no flow; with the plate removed all of the loop's mass goes at once.
#[test]
fn the_sized_core_is_nothing_where_the_pack_flies_with_a_plate_without_flow() {
    let fly = model::mission::FlyOptions { accuracy_k: 0.005, ..model::mission::FlyOptions::default() };
    let node = cooled(0.020);
    let project = decode(&node).unwrap_or_else(|problems| panic!("{problems}"));
    let ways = ways(&node, &project).expect("there is a pack");
    let options =
        UncooledOptions { oat_k: vec![293.15], life_used: vec![0.0], fly, ..UncooledOptions::default() };
    let all =
        uncooled(&node, &project, &ways, &options, &AtomicBool::new(false), |_| {}).expect("boundaries");
    let boundary = |way: &str| match all.points.iter().find(|point| point.way == way).map(|p| p.boundary) {
        Some(Boundary::UpTo(ohm)) => ohm,
        other => panic!("{other:?}"),
    };
    let no_flow_ohm = boundary("plate fitted, no flow");
    let min_w_k = 60.0 / 256.0;
    let sized_w_k = |ohm: f64| {
        let project = decode(&cooled(ohm)).unwrap_or_else(|problems| panic!("{problems}"));
        let options = SizeOptions { reach: SearchScope::Height, relax: false, fly, ..SizeOptions::default() };
        let result = size(&project, "tray", &options, &AtomicBool::new(false), |_, _| ());
        let sized = result.unwrap_or_else(|error| panic!("{error}")).sized.expect("there is room enough");
        match sized.design.core {
            CoreChoice::Conductance(conductance_w_k) => conductance_w_k,
            other => panic!("{other:?}"),
        }
    };
    assert!((sized_w_k(0.99 * no_flow_ohm) - min_w_k).abs() < 1e-5, "nothing is needed below");
    let (near, far) = (sized_w_k(1.03 * no_flow_ohm), sized_w_k(1.06 * no_flow_ohm));
    assert!(min_w_k < near && near < far, "{near} and {far} W/K");
    // a straight line through both meets zero at the boundary
    let zero_ohm = no_flow_ohm * (1.03 - 0.03 * near / (far - near));
    assert!((zero_ohm / no_flow_ohm - 1.0).abs() < 0.01, "{zero_ohm} and {no_flow_ohm} ohm");
    // plate 1.5 kg, core 2 kg; hose 1200 kg/m3 pi (8 + 4) mm 4 mm 0.2 m + 60 g = 96.2 g
    let removed = all.masses.iter().find(|way| way.way == "plate removed").expect("a way");
    let dry = |name: &str| removed.gone.iter().find(|line| line.name == name).map(|line| line.dry_kg);
    assert_eq!((dry("plate"), dry("radiator")), (Some(1.5), Some(2.0)));
    assert!(dry("hose").is_some_and(|kg| (kg - 0.0962).abs() < 1e-4), "{:?}", dry("hose"));
    assert!(dry("pump").is_some() && dry("fan").is_some() && removed.cooling_kg == 0.0, "{removed:?}");
    let fitted = all.masses.iter().find(|way| way.way == "plate fitted, no flow").expect("a way");
    assert!(fitted.gone.is_empty());
}

/// The same in one table, at two outside temperatures, for new and aged cells: beside every size stand both boundaries. The core is
/// nothing from the boundary at rest downwards, and above it rises from nothing there; where the loop may go, all of it goes at once.
#[test]
fn a_sweep_shows_the_core_vanish_and_the_loop_drop_out() {
    let node = cooled(0.020);
    let project = decode(&node).unwrap_or_else(|problems| panic!("{problems}"));
    let all = watches(&project, &AtomicBool::new(false)).expect("a list");
    let names = ["size:tray", "fitted:tray", "boundary:tray:at rest", "boundary:tray:removed"];
    let watched: Vec<Watch> = names.iter().map(|name| Watch::parse(&all, name).expect("a result")).collect();
    let axes = [
        "conditions.day.offset=-1 K..0 K/2",
        "powertrain.bus.life_used=0..1/2",
        "powertrain.bus.cell.resistance=18 mOhm..48 mOhm/61",
    ]
    .map(|text| Axis::parse(&node, text).expect("an axis"));
    let found =
        sweep(&node, &axes, &watched, &[], Shard::WHOLE, &AtomicBool::new(false), |_| ()).expect("it runs");
    let value = |row: &Row, n: usize| row.results[n].unwrap_or_else(|| panic!("{row:?}"));
    for (group, (rise_k, growth)) in
        found.rows.chunks(61).zip([(4.0, 1.0), (4.0, 1.5), (3.0, 1.0), (3.0, 1.5)])
    {
        // 100 kJ/K in 300 s; 370 V carry the load and the heat; 100 cells in series, 10 strings
        let heat_w = 100e3 * rise_k / 300.0;
        let current_a = (20e3 + heat_w) / 370.0;
        let by_hand_ohm = heat_w / (current_a * current_a) * 10.0 / 100.0 / growth;
        let [rest_ohm, removed_ohm] = [2, 3].map(|n| value(&group[0], n));
        // half a percent of search, and 0.05 K of 3 K of accuracy of the flight
        assert!((rest_ohm / by_hand_ohm - 1.0).abs() < 0.02, "{rest_ohm} and {by_hand_ohm} ohm");
        assert!((removed_ohm / by_hand_ohm - 1.0).abs() < 0.02, "{removed_ohm} and {by_hand_ohm} ohm");
        let ohm = |row: &Row| row.inputs[2];
        // far above the boundary even the largest core is short
        let sized: Vec<&Row> = group.iter().filter(|row| row.results[0].is_some()).collect();
        for &row in &sized {
            if ohm(row) <= rest_ohm.min(removed_ohm) {
                assert_eq!((value(row, 0), value(row, 1)), (0.0, 0.0), "{row:?}");
                assert_eq!(row.remark, "tray: holds without the loop");
            }
            if ohm(row) > 1.006 * rest_ohm.max(removed_ohm) {
                // plate 1.5 kg and hose 0.096 kg go in one step, whatever the core weighs
                assert!(value(row, 1) - value(row, 0) > 1.596, "{row:?}");
                assert_eq!(row.remark, "");
            }
        }
        // where the core is more than the smallest that is searched, a straight line through two sizes meets zero at the boundary
        let grown: Vec<&Row> =
            sized.into_iter().filter(|row| value(row, 0) > 2.5 * 2.0 / 256.0).take(2).collect();
        let (near, far) = (grown[0], grown[1]);
        let slope = (value(far, 0) - value(near, 0)) / (ohm(far) - ohm(near));
        let zero_ohm = ohm(near) - value(near, 0) / slope;
        assert!((zero_ohm / rest_ohm - 1.0).abs() < 0.01, "{zero_ohm} and {rest_ohm} ohm");
    }
}
