//! A plate that is heated on one side and cooled by a known conductance: every limit follows by hand.

use super::{OatOptions, OatPoint, Reach, dips, oat_limit};
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
        Reach::UpTo(oat_k) => oat_k - 273.15,
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
    assert!(above.iter().all(|p| p.reach == Reach::AtLeast(333.15) && p.binding.is_none()), "{above:?}");
    let nowhere = found(&PLATE.replace("100 degC", "20 degC"));
    assert!(nowhere.iter().all(|p| p.reach == Reach::Nowhere(253.15) && p.binding.is_some()), "{nowhere:?}");
}

#[test]
fn a_dip_between_two_altitudes_is_told() {
    let mut points = found(PLATE);
    points[3].reach = Reach::UpTo(310.0);
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
