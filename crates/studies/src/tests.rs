//! A plate that is heated on one side and cooled by a known conductance: every temperature follows by hand.

use super::{StudyError, chosen, margins, solve, standing};
use aircraft::records::project::Project;
use model::assembly::Situation;
use model::cases;
use model::design::decode;
use model::result::{CaseResult, Status};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

const PLATE: &str = r#"
Project(
    format: "heatledger",
    version: 1,
    name: "plate",
    conditions: [
        Condition(name: "cool", day: Fixed("20 degC")),
        Condition(name: "warm", day: Fixed("40 degC")),
    ],
    components: [
        Component(name: "plate", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "10 K")]),
    ],
    links: [Link(from: "plate", to: "outside air", law: Conductance("5 W/K"))],
    heats: [Heat(name: "heater", into: "plate", law: Fixed("200 W"))],
    points: [
        Point(name: "full"),
        Point(name: "half", heats: [PointHeat(name: "heater", heat: "100 W")]),
    ],
    cases: [
        CaseGroup(conditions: ["warm", "cool"], points: ["half", "full"]),
        CaseGroup(conditions: ["warm"], points: ["full"]),
    ],
)
"#;

/// Copper-like growth so strong that no balance exists: 200 W (1 + 0.05/K (T - 20 degC)) grows by 10 W/K against 5 W/K.
const RUNAWAY: &str = r#"Growing(heat: "200 W", slope: "5 %/K")"#;

fn project(text: &str) -> Project {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    decode(&node.expect("the text holds a project")).unwrap_or_else(|problems| panic!("{problems}"))
}

fn solved(cases: &[Situation<'_>]) -> Vec<CaseResult> {
    solve(cases, &AtomicBool::new(false), |_| {}).expect("every case can be put together")
}

fn names(cases: &[Situation<'_>]) -> Vec<String> {
    cases.iter().map(|case| case.name().to_string()).collect()
}

#[test]
fn cases_follow_the_project_and_come_once() {
    let project = project(PLATE);
    assert_eq!(names(&cases::steady(&project)), ["cool/full", "cool/half", "warm/full", "warm/half"]);
}

#[test]
fn a_case_is_chosen_by_its_full_name() {
    let project = project(PLATE);
    let picked = chosen(&project, &["warm/half".to_owned()]).expect("the case exists");
    assert_eq!(names(&picked), ["warm/half"]);
    let Err(StudyError::UnknownCase { known, .. }) = chosen(&project, &["warm".to_owned()]) else {
        panic!("a part of a name is no case")
    };
    assert_eq!(known.len(), 4);
}

/// T = T outside + Q / G: 20 + 200/5 = 60, 20 + 100/5 = 40, 80 and 60 degC; margins to 100 degC by subtraction.
#[test]
fn worst_margin_first() {
    let project = project(PLATE);
    let results = solved(&cases::steady(&project));
    let found: Vec<(String, f64)> =
        margins(&results).iter().map(|line| (line.case.to_string(), line.margin.margin)).collect();
    let expected = [("warm/full", 20.0), ("cool/full", 40.0), ("warm/half", 40.0), ("cool/half", 60.0)];
    assert_eq!(found.len(), expected.len());
    for ((case, margin), (_, by_hand)) in found.iter().zip(expected) {
        assert!((margin - by_hand).abs() < 1e-6, "{case}: {margin}");
    }
    assert_eq!(found[0].0, "warm/full");
    assert!(standing(&results).holds());
}

#[test]
fn a_case_without_a_state_does_not_hold() {
    let project = project(&PLATE.replace(r#"law: Fixed("200 W")"#, &format!("law: {RUNAWAY}")));
    let results = solved(&chosen(&project, &["warm/full".to_owned()]).expect("the case exists"));
    assert_eq!(results[0].status, Status::NoEquilibrium, "{:?}", results[0].notices);
    assert!(!standing(&results).holds());
    assert!(margins(&results).is_empty());
}

#[test]
fn a_margin_that_is_no_number_comes_first_and_is_short() {
    let project = project(PLATE);
    let mut results = solved(&cases::steady(&project));
    results[1].margins[0].margin = f64::NAN;
    assert_eq!(margins(&results)[0].case.to_string(), "cool/half");
    assert!(!standing(&results).holds());
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let project = project(PLATE);
    let all = cases::steady(&project);
    let on = |threads| {
        let pool =
            rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads can be started");
        pool.install(|| solved(&all))
    };
    assert_eq!(on(1), on(4));
}

#[test]
fn progress_counts_every_case_and_a_cancelled_study_says_so() {
    let project = project(PLATE);
    let all = cases::steady(&project);
    let told = AtomicUsize::new(0);
    let count = |_done: usize| {
        told.fetch_add(1, Ordering::Relaxed);
    };
    solve(&all, &AtomicBool::new(false), count).expect("every case can be put together");
    assert_eq!(told.load(Ordering::Relaxed), all.len());
    assert_eq!(solve(&all, &AtomicBool::new(true), |_| {}), Err(StudyError::Cancelled));
}
