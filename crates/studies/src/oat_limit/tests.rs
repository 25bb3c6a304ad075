//! A plate that is heated on one side and cooled by a known conductance: every limit follows by hand.

use super::{HighestAir, OatOptions, OatPoint, dips, oat_limit};
use crate::StudyError;
use aircraft::records::project::Project;
use model::design::decode;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// The ramp rise of 2 K counts wherever the plate stands; the cold condition differs only in its day and is not judged twice.
const PLATE: &str = r#"
Project(
    format: "heatledger",
    version: 1,
    name: "plate",
    conditions: [
        Condition(name: "warm", day: Fixed("10 degC"), ramp_rise: "2 K"),
        Condition(name: "cold", day: Standard, ramp_rise: "2 K"),
    ],
    components: [Component(name: "plate", capacity: "1 kJ/K", limits: [
        Limit(value: "100 degC", required: "10 K"),
        Limit(name: "cold", bound: Minimum, value: "0 degC", required: "10 K"),
    ])],
    links: [Link(from: "plate", to: "outside air", law: Conductance("5 W/K"))],
    heats: [Heat(name: "heater", into: "plate", law: Fixed("200 W"))],
    points: [Point(name: "full")],
    missions: [Mission(name: "run", soak: LeftOut("nothing to see"), segments: [Segment(name: "heat", duration: "200 s")])],
    cases: [CaseGroup(conditions: ["warm", "cold"], points: ["full"])],
)
"#;

fn project(text: &str) -> Project {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    decode(&node.expect("the text holds a project")).unwrap_or_else(|problems| panic!("{problems}"))
}

fn found(text: &str) -> Vec<OatPoint> {
    oat_limit(&project(text), &OatOptions::default(), &AtomicBool::new(false), |_| {}).expect("a curve")
}

fn limit_c(point: &OatPoint) -> f64 {
    match point.reach {
        HighestAir::UpTo(oat_k) => oat_k - 273.15,
        other => panic!("{other:?}"),
    }
}

/// Rise by hand: 200 W / 5 W/K = 40 K at every altitude; 100 - 10 - 40 - 2 = 48 degC.
#[test]
fn a_flat_margin_gives_the_limit_less_the_rise() {
    let points = found(PLATE);
    assert_eq!(points.len(), 11);
    assert!((points[10].pressure_altitude_m - 3048.0).abs() < 1e-9);
    for point in &points {
        assert!((47.9..=48.0 + 1e-6).contains(&limit_c(point)), "{}", limit_c(point));
        let binding = point.binding.as_ref().expect("something binds");
        assert_eq!((binding.case.to_string().as_str(), binding.place.as_str()), ("warm/full", "plate"));
        assert_eq!(point.holds_again_k, None);
    }
    assert!(dips(&points).is_empty());
}

/// Rise of one lump after one time constant (1 kJ/K over 5 W/K is 200 s), from the outside air: 40 K (1 - 1/e) = 25.28 K;
/// with the limit at 80 degC: 80 - 10 - 2 - 25.28 = 42.72 degC. Within the accuracy of a flight, 0.05 K, and of the search, 0.1 K.
#[test]
fn a_mission_is_judged_by_its_hottest_moment() {
    let text = PLATE.replace(r#"points: ["full"])"#, r#"missions: ["run"])"#).replace("100 degC", "80 degC");
    let by_hand = 68.0 - 40.0 * (1.0 - (-1.0_f64).exp());
    for point in found(&text) {
        assert!((limit_c(&point) - by_hand + 0.05).abs() < 0.1, "{} {by_hand}", limit_c(&point));
        assert_eq!(point.binding.map(|b| b.case.to_string()).as_deref(), Some("warm/run"));
    }
}

#[test]
fn a_limit_outside_the_range_is_said_to_be_there() {
    let above = found(&PLATE.replace("100 degC", "150 degC"));
    assert!(above.iter().all(|p| p.reach == HighestAir::AtLeast(333.15) && p.binding.is_none()), "{above:?}");
    let nowhere = found(&PLATE.replace("100 degC", "20 degC"));
    assert!(
        nowhere.iter().all(|p| p.reach == HighestAir::Nowhere(253.15) && p.binding.is_some()),
        "{nowhere:?}"
    );
}

#[test]
fn a_dip_between_two_altitudes_is_told() {
    let mut points = found(PLATE);
    points[3].reach = HighestAir::UpTo(310.0);
    assert_eq!(dips(&points), vec![&points[3]]);
}

#[test]
fn the_search_can_be_cancelled_counts_its_altitudes_and_needs_no_number_of_threads() {
    let project = project(PLATE);
    let options = OatOptions::default();
    assert_eq!(oat_limit(&project, &options, &AtomicBool::new(true), |_| {}), Err(StudyError::Cancelled));
    let told = AtomicUsize::new(0);
    let on = |threads| {
        let pool =
            rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads can be started");
        let count = |_| {
            told.fetch_add(1, Ordering::Relaxed);
        };
        pool.install(|| oat_limit(&project, &options, &AtomicBool::new(false), count))
    };
    assert_eq!(on(1), on(3));
    assert_eq!(told.load(Ordering::Relaxed), 2 * options.searched_m().len());
}

/// A hovering rotor of 14 kN on a disc of 5 m radius whose motor sheds 5 % of its power into a plate of 100 W/K. Momentum theory by hand:
/// P = T/M sqrt(T / 2 rho A) = 14 000 / 0.70 x sqrt(14 000 / (2 x 78.54 rho)) = 188 822 / sqrt(rho) W. At the limit the plate holds
/// 100 degC: outside air + 0.05 P / 0.95 / 100 = 100 (efficiency 0.95, all loss into the winding). Sea level, by iteration: at 4.6 degC
/// rho = 101 325 / (287.05 x 277.75) = 1.2709, P = 167.5 kW, rise 88.2 K; the air may have 100 - 88.2 = 11.8; at 10.0 degC rho = 1.2466,
/// P = 169.1 kW, rise 89.0 K, 11.0; at 10.9 degC rho = 1.2427, P = 169.4 kW, rise 89.1 K, 10.9 degC: there it stays.
#[test]
fn a_hover_asks_for_the_power_of_each_altitude() {
    let text = r#"Project(format: "heatledger", version: 1, name: "hover",
        conditions: [Condition(name: "warm", day: Fixed("10 degC"))],
        components: [Component(name: "motor", capacity: "10 kJ/K", limits: [Limit(value: "100 degC", required: "0 K")])],
        links: [Link(from: "motor", to: "outside air", law: Conductance("100 W/K"))],
        powertrain: Powertrain(motors: [Motor(name: "main", losses: Efficiency(efficiency: 0.95), inverter_losses: Efficiency(1), ratings: [
            Rating(name: "lasting", power: "400 kW")], winding: "motor", iron: "motor", rotor: "motor", inverter: "motor")], bus: Supply("600 V")),
        craft: Rotorcraft(mass: "1427.602698 kg", radius: "5 m", tip_speed: "210 m/s", hover: 0.7, tail_rotor_hover: 0, tail_rotor_cruise: 0),
        points: [Point(name: "hover", shaft_power: Estimated(), shaft_speed: "400 rpm")],
        cases: [CaseGroup(conditions: ["warm"], points: ["hover"])])"#;
    let points = found(text);
    let by_hand = |density: f64| 188_822.0 / density.sqrt();
    for point in &points {
        let oat_c = limit_c(point);
        let air_pa = 101_325.0 * (1.0 - 2.25577e-5 * point.pressure_altitude_m).powf(5.25588);
        let power_w = by_hand(air_pa / (287.053 * (oat_c + 273.15)));
        let said_w = point.shaft_power_w.expect("a hover asks for power");
        assert!((said_w / power_w - 1.0).abs() < 2e-4, "{said_w} W, by hand {power_w} W");
        let rise_k = 0.05 / 0.95 * power_w / 100.0;
        assert!((oat_c + rise_k - 100.0).abs() < 0.12, "{oat_c} + {rise_k}");
    }
    assert!((limit_c(&points[0]) - 10.9).abs() < 0.2, "{}", limit_c(&points[0]));
    // thinner air asks for more: the limit falls with height
    assert!(points.windows(2).all(|pair| limit_c(&pair[1]) < limit_c(&pair[0])));
}
