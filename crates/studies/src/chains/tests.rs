//! One lump that is heated by day and cools by night: a geometric series.

use super::{LegKind, cases, fly};
use crate::StudyError;
use aircraft::records::project::Project;
use model::design::decode;
use model::mission::FlyOptions;
use std::sync::atomic::{AtomicBool, Ordering};

/// 10 kJ/K on 10 W/K: time constant 1000 s. 300 W would end 30 K above the 20 degC outside. Invented, textbook arithmetic.
const LUMP: &str = r#"
Project(
    format: "heatledger",
    version: 1,
    name: "lump",
    conditions: [Condition(name: "day", day: Fixed("20 degC")), Condition(name: "other", day: Fixed("0 degC"))],
    components: [Component(name: "lump", capacity: "10 kJ/K", limits: [Limit(value: "LIMIT", required: "0 K")])],
    links: [Link(from: "lump", to: "outside air", law: Conductance("10 W/K"))],
    heats: [Heat(name: "heater", into: "lump", law: Fixed("300 W"))],
    points: [Point(name: "on"), Point(name: "off", heats: [PointHeat(name: "heater", heat: "0 W")])],
    missions: [Mission(name: "work", start: OutsideAir, segments: [
        Segment(name: "heat", duration: "600 s", point: "on"),
        Segment(name: "pause", duration: "400 s", point: "off"),
    ])],
    chains: [Chain(name: "week", legs: ["work"], times: 2, tolerance: "TOLERANCE", most: 6)],
    cases: [CaseGroup(conditions: ["day"], missions: ["work"])],
)
"#;

fn project(limit: &str, tolerance: &str) -> Project {
    let text = LUMP.replace("LIMIT", limit).replace("TOLERANCE", tolerance);
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    decode(&node.expect("the text holds a project")).unwrap_or_else(|problems| panic!("{problems}"))
}

fn options() -> FlyOptions {
    FlyOptions { accuracy_k: 0.001, max_gap_s: 20.0 }
}

/// Above outside, one leg takes x to (x e^-0.6 + 30 (1 - e^-0.6)) e^-0.4 = 0.36788 x + 9.0730; two legs to 0.135335 x + 12.4108.
/// From 0 the days begin at 0, 12.4108, 14.0904, 14.3177 K and tend to 14.3532: differences 12.4108, 1.6796, 0.2273. The greatest
/// value of the third day is that after 600 s of its second leg: begun at 14.2567, 14.2567 e^-0.6 + 13.5357 = 21.3600.
#[test]
fn days_of_one_lump_are_a_geometric_series() {
    let project = project("41.3 degC", "0.5 K");
    let all = cases(&project);
    assert_eq!(all.iter().map(|case| case.name().to_string()).collect::<Vec<_>>(), ["day/week"]);
    let flown = fly(&all, &options(), &AtomicBool::new(false), || {}).expect("it can be flown");
    let result = &flown[0];
    assert!(result.repeats);
    let differences: Vec<f64> = result.days.iter().filter_map(|day| day.difference_k).collect();
    for (found, expected) in differences.iter().zip([12.4108, 1.6796, 0.2273]) {
        assert!((found - expected).abs() < 0.01, "{differences:?}");
    }
    assert_eq!(result.days.len(), 4);
    let legs = &result.days[2].legs;
    assert_eq!(legs.iter().map(|leg| leg.start_s).collect::<Vec<_>>(), [0.0, 1000.0]);
    assert!(legs.iter().all(|leg| leg.kind == LegKind::Flight && (leg.duration_s - 1000.0).abs() < 1e-9));
    let worst = legs[1].worst.as_ref().expect("there is a limit");
    assert!((worst.margin.value - (293.15 + 21.3600)).abs() < 0.01, "{worst:?}");
    assert!((worst.time_s - 600.0).abs() < 1e-6);
    // 21.36 K above 20 degC is past 41.3 degC
    assert!(!result.holds());
}

#[test]
fn a_day_that_does_not_repeat_is_told() {
    let project = project("100 degC", "0.001 K");
    let flown = fly(&cases(&project), &options(), &AtomicBool::new(false), || {}).expect("it can be flown");
    // the differences fall by 0.135 a day: 12.41, 1.68, 0.227, 0.031, 0.0042 at the beginning of the sixth
    assert_eq!(flown[0].days.len(), 6);
    assert!(!flown[0].repeats && !flown[0].holds());
}

#[test]
fn a_cancelled_chain_ends() {
    let (project, cancel) = (project("100 degC", "0.5 K"), AtomicBool::new(false));
    cancel.store(true, Ordering::Relaxed);
    let ended = fly(&cases(&project), &options(), &cancel, || {});
    assert!(matches!(ended, Err(StudyError::Cancelled)));
}
