//! A plate that is heated on one side and cooled by a known conductance: every limit follows by hand.

use super::{
    CaseSet, HighestAir, HotDay, LimitOf, OatCurve, OatOptions, OatPoint, OatStudy, dips, oat_limit,
};
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

fn study(text: &str) -> OatStudy {
    oat_limit(&project(text), &OatOptions::default(), &AtomicBool::new(false), |_, _| {}).expect("curves")
}

/// The points of cooling in normal cases.
fn found(text: &str) -> Vec<OatPoint> {
    let study = study(text);
    assert!(study.is_whole());
    curve(&study, CaseSet::Normal, LimitOf::Cooling).points.clone()
}

fn curve(study: &OatStudy, set: CaseSet, of: LimitOf) -> &OatCurve {
    study.curves.iter().find(|curve| curve.set == set && curve.of == of).expect("there is such a curve")
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
    // -20 + 40 + 2 = 22 degC at the coldest air: 20 - 10 degC is out of reach at every altitude, and the case is named instead of a curve
    let nowhere = study(&PLATE.replace("100 degC", "20 degC"));
    let curve = curve(&nowhere, CaseSet::Normal, LimitOf::Cooling);
    assert!(curve.cases == 0 && curve.points.is_empty() && curve.hot_day.is_none(), "{curve:?}");
    let [one] = curve.infeasible.as_slice() else { panic!("{curve:?}") };
    assert_eq!((one.case.to_string().as_str(), one.obstacle.place.as_str()), ("warm/full", "plate"));
    let short_k = one.obstacle.short_by().expect("it has a state");
    assert!((short_k - 12.0).abs() < 1e-6, "22 - (20 - 10) = 12 K: {short_k}");
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
    assert_eq!(oat_limit(&project, &options, &AtomicBool::new(true), |_, _| {}), Err(StudyError::Cancelled));
    let told = AtomicUsize::new(0);
    let on = |threads| {
        let pool =
            rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads can be started");
        let count = |done, of| {
            assert!(done <= of);
            told.fetch_add(1, Ordering::Relaxed);
        };
        pool.install(|| oat_limit(&project, &options, &AtomicBool::new(false), count))
    };
    assert_eq!(on(1), on(3));
    // the begin, one case, the altitudes, the hot day
    assert_eq!(told.load(Ordering::Relaxed), 2 * (options.searched_m().len() + 3));
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

/// A heated block on one loop; with the pump stopped it boils at any outside air.
const RIG: &str = include_str!("../../fixtures/bench.ron");

fn rig(failures: &str, of_cases: &str) -> String {
    let sizing = r#"Sizing(name: "room", circuit: "glycol")"#;
    let points = format!("failures: [{failures}], points: [Point(name: \"on\")]");
    RIG.replace("SIZING", sizing)
        .replace("points: [Point(name: \"on\")]", &points)
        .replace("points: [\"on\"])", &format!("points: [\"on\"], failures: [{of_cases}])"))
}

const TWO_FAILURES: &str = r#"Failure(name: "pump stops", what: Stopped("pump")), Failure(name: "radiator dirty", what: Slowed(machine: "fan", share: 0.8))"#;

/// The pump that stops leaves nothing to draw a curve of: it is named, and both curves are those of a project without it.
#[test]
fn an_infeasible_case_is_named_and_moves_no_curve() {
    let with = study(&rig(TWO_FAILURES, r#""pump stops", "radiator dirty""#));
    let without = study(&rig(TWO_FAILURES, r#""radiator dirty""#));
    assert_eq!(with.curves.len(), 2, "{with:?}");
    for set in [CaseSet::Normal, CaseSet::Failed] {
        let [with, without] = [&with, &without].map(|study| curve(study, set, LimitOf::Cooling));
        assert_eq!(with.points, without.points);
        assert!(!with.points.is_empty() && without.infeasible.is_empty());
    }
    let failed = curve(&with, CaseSet::Failed, LimitOf::Cooling);
    let [one] = failed.infeasible.as_slice() else { panic!("{failed:?}") };
    assert_eq!(one.case.to_string(), "warm/on/pump stops");
    // a slower fan cools less
    let normal = curve(&with, CaseSet::Normal, LimitOf::Cooling);
    assert!(failed.points[0].reach.oat_k() < normal.points[0].reach.oat_k());
    // left out by name it is not looked at
    let options = OatOptions { without: vec!["warm/on/pump stops".to_owned()], ..OatOptions::default() };
    let project = project(&rig(TWO_FAILURES, r#""pump stops", "radiator dirty""#));
    let left_out = oat_limit(&project, &options, &AtomicBool::new(false), |_, _| {}).expect("curves");
    assert!(
        curve(&left_out, CaseSet::Failed, LimitOf::Cooling)
            .infeasible
            .iter()
            .all(|one| one.case.to_string() != "warm/on/pump stops")
    );
    let unknown = OatOptions { without: vec!["warm/off".to_owned()], ..OatOptions::default() };
    let refused = oat_limit(&project, &unknown, &AtomicBool::new(false), |_, _| {});
    assert!(matches!(refused, Err(StudyError::UnknownCase { .. })), "{refused:?}");
}

/// A motor whose rating is 165 kW hovers as in the hand calculation above: 188 822 / sqrt(rho) W. With a limit that is far away cooling has
/// no limit, and the rating has one: 165 kW asks for rho = (188 822 / 165 000)2 = 1.3096 kg/m3; at sea level that is
/// 101 325 / (287.05 x 1.3096) = 269.5 K, -3.6 degC.
#[test]
fn a_limit_of_a_rating_is_performance_and_stands_apart() {
    let text = r#"Project(format: "heatledger", version: 1, name: "hover",
        conditions: [Condition(name: "warm", day: Fixed("10 degC"))],
        components: [Component(name: "motor", capacity: "10 kJ/K", limits: [Limit(value: "300 degC", required: "0 K")])],
        links: [Link(from: "motor", to: "outside air", law: Conductance("100 W/K"))],
        powertrain: Powertrain(motors: [Motor(name: "main", losses: Efficiency(efficiency: 0.95), inverter_losses: Efficiency(1), ratings: [
            Rating(name: "lasting", power: "165 kW")], winding: "motor", iron: "motor", rotor: "motor", inverter: "motor")], bus: Supply("600 V")),
        craft: Rotorcraft(mass: "1427.602698 kg", radius: "5 m", tip_speed: "210 m/s", hover: 0.7, tail_rotor_hover: 0, tail_rotor_cruise: 0),
        points: [Point(name: "hover", shaft_power: Estimated(), shaft_speed: "400 rpm")],
        cases: [CaseGroup(conditions: ["warm"], points: ["hover"])])"#;
    let study = study(text);
    let cooling = curve(&study, CaseSet::Normal, LimitOf::Cooling);
    assert!(cooling.points.iter().all(|point| matches!(point.reach, HighestAir::AtLeast(_))), "{cooling:?}");
    assert!(matches!(cooling.hot_day, Some(HotDay::Throughout(_))));
    let rating = curve(&study, CaseSet::Normal, LimitOf::Rating);
    let by_hand_k = 101_325.0 / (287.053 * (188_822.0_f64 / 165_000.0).powi(2));
    let HighestAir::UpTo(oat_k) = rating.points[0].reach else { panic!("{rating:?}") };
    assert!((oat_k - by_hand_k).abs() < 0.25, "{oat_k} K, by hand {by_hand_k} K");
    assert_eq!(rating.hot_day, Some(HotDay::Nowhere));
    assert!(rating.infeasible.is_empty());
}

/// The plate holds up to 100 - 10 - 2 degC less its rise over 5 W/K: 58 K from 290 W leave 30 degC, below the hot day of
/// 14 CFR 27.1043(b) at sea level, 100 degF or 37.8 degC; 48 K from 240 W leave 40 degC.
#[test]
fn the_hot_day_is_met_or_not_at_the_lowest_altitude() {
    let found = study(&PLATE.replace("200 W", "290 W"));
    let curve = curve(&found, CaseSet::Normal, LimitOf::Cooling);
    // the limit is 30 degC at every altitude: low down it lies below the hot day
    assert!((limit_c(&curve.points[0]) - 30.0).abs() < 0.11);
    assert_eq!(curve.hot_day, Some(HotDay::Nowhere));
    let cooler = study(&PLATE.replace("200 W", "240 W"));
    let Some(HotDay::Throughout(altitude_m)) = cooler.curves[0].hot_day else { panic!("{cooler:?}") };
    assert!((altitude_m - 3048.0).abs() < 1e-9, "40 degC lies above 37.8 degC everywhere");
}

/// Stopped once the first altitude is done, the points that are there are the result, and it says that others are not.
#[test]
fn what_was_found_before_it_was_stopped_is_kept() {
    let (project, options) = (project(PLATE), OatOptions::default());
    let cancel = AtomicBool::new(false);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a thread can be started");
    let study = pool.install(|| {
        oat_limit(&project, &options, &cancel, |done, _| cancel.store(done > 3, Ordering::Relaxed))
    });
    let study = study.expect("a part of the curve");
    assert!(!study.is_whole() && study.missing.contains("of 11 altitudes"), "{}", study.missing);
    let points = &study.curves[0].points;
    assert!((1..11).contains(&points.len()), "{points:?}");
    let whole = found(PLATE);
    assert!(points.iter().all(|point| whole.contains(point)));
}

/// The hover of the hand calculation with a rating of 200 kW: on the hot day 188 822 / sqrt(rho) is 200 kW at rho = 0.8913 kg/m3. Pressure by
/// the standard atmosphere, 101 325 (1 - 2.25577e-5 h)^5.25588, temperature 310.93 K less 2 K per 304.8 m: at 2200 m
/// 77 534 Pa / (287.05 x 296.49 K) = 0.9110; at 2400 m 75 617 / (287.05 x 295.18) = 0.8924; at 2412 m 0.8913.
#[test]
fn the_altitude_up_to_which_the_hot_day_is_met_is_that_by_hand() {
    let text = r#"Project(format: "heatledger", version: 1, name: "hover",
        conditions: [Condition(name: "warm", day: Fixed("10 degC"))],
        components: [Component(name: "motor", capacity: "10 kJ/K", limits: [Limit(value: "300 degC", required: "0 K")])],
        links: [Link(from: "motor", to: "outside air", law: Conductance("100 W/K"))],
        powertrain: Powertrain(motors: [Motor(name: "main", losses: Efficiency(efficiency: 0.95), inverter_losses: Efficiency(1), ratings: [
            Rating(name: "lasting", power: "200 kW")], winding: "motor", iron: "motor", rotor: "motor", inverter: "motor")], bus: Supply("600 V")),
        craft: Rotorcraft(mass: "1427.602698 kg", radius: "5 m", tip_speed: "210 m/s", hover: 0.7, tail_rotor_hover: 0, tail_rotor_cruise: 0),
        points: [Point(name: "hover", shaft_power: Estimated(), shaft_speed: "400 rpm")],
        cases: [CaseGroup(conditions: ["warm"], points: ["hover"])])"#;
    let study = study(text);
    let rating = curve(&study, CaseSet::Normal, LimitOf::Rating);
    let Some(HotDay::UpTo(altitude_m)) = rating.hot_day else { panic!("{rating:?}") };
    let asked_w = |at_m: f64| {
        let air_pa = 101_325.0 * (1.0 - 2.25577e-5 * at_m).powf(5.25588);
        188_822.0 / (air_pa / (287.053 * (310.928 - 2.0 * at_m / 304.8))).sqrt()
    };
    assert!((asked_w(altitude_m) / 200e3 - 1.0).abs() < 1e-3, "{altitude_m} m: {}", asked_w(altitude_m));
}
