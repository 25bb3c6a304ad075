//! A plate with fixed heat and conductance, and a variant with a better path: T = T outside + Q / G.

use super::{CompareOptions, compare};
use aircraft::variant;
use model::design;
use std::sync::atomic::AtomicBool;

const PLATE: &str = r#"
Project(
    format: "heatledger",
    version: 1,
    name: "plate",
    conditions: [Condition(name: "warm", day: Fixed("40 degC")), Condition(name: "mild", day: Fixed("15 degC"))],
    components: [
        Component(name: "plate", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "10 K")]),
    ],
    links: [Link(name: "path", from: "plate", to: "outside air", law: Conductance("4 W/K"))],
    heats: [Heat(name: "heater", into: "plate", law: Fixed("300 W"))],
    points: [Point(name: "full")],
    cases: [CaseGroup(conditions: ["warm", "mild"], points: ["full"])],
    variants: [Variant(name: "wide path", changes: [Set("links.path.law", Conductance("8 W/K"))])],
)
"#;

/// 40 + 300/4 = 115 degC is 25 K beyond 90 degC, and 15 + 75 = 90 degC is just held; with 8 W/K 77.5 degC leaves 12.5 K.
#[test]
fn the_closest_limit_of_each_variant_is_as_by_hand() {
    let (node, problems) = project::parse(PLATE.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    let node = node.expect("the text holds a project");
    let variants =
        [None, Some("wide path")].map(|name| design::apply(&node, name).expect("it can be applied"));
    let cancel = AtomicBool::new(false);
    let found = compare(&variants, &CompareOptions::default(), &cancel, |_, _| ()).expect("both are judged");
    let of = |n: usize| {
        let closest = found[n].steady.closest.as_ref().expect("there is a limit");
        (closest.case.to_string(), closest.margin.as_ref().expect("there is a state").reserve())
    };
    assert_eq!((found[0].name.as_str(), found[1].name.as_str()), (variant::BASE, "wide path"));
    assert_eq!((of(0).0.as_str(), of(1).0.as_str()), ("warm/full", "warm/full"));
    assert!((of(0).1 + 25.0).abs() < 1e-6 && (of(1).1 - 12.5).abs() < 1e-6, "{:?} {:?}", of(0), of(1));
    assert_eq!((found[0].steady.cases, found[0].steady.short, found[1].steady.short), (2, 1, 0));
    assert_eq!(
        (found[0].flown.cases, found[0].costliest.is_none(), found[0].ready.is_none()),
        (0, true, true),
        "nothing is flown"
    );
    cancel.store(true, std::sync::atomic::Ordering::Relaxed);
    assert!(
        compare(&variants, &CompareOptions::default(), &cancel, |_, _| ()).is_err(),
        "it can be cancelled"
    );
}
