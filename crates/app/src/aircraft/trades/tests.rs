//! A plate with fixed heat and conductance: T = T outside + Q / G.

use model::design;
use std::sync::atomic::AtomicBool;

use super::{NoAnswer, answer, menu};
use crate::views::trades::Question;
use aircraft::variant;

const PLATE: &str = r#"
Project(
    format: "heatledger",
    version: 1,
    name: "plate",
    conditions: [Condition(name: "warm", day: Fixed("40 degC"))],
    components: [
        Component(name: "plate", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "10 K")]),
    ],
    links: [Link(name: "path", from: "plate", to: "outside air", law: Conductance("4 W/K"))],
    heats: [Heat(name: "heater", into: "plate", law: Fixed("200 W"))],
    points: [Point(name: "full")],
    cases: [CaseGroup(conditions: ["warm"], points: ["full"])],
    variants: [Variant(name: "wide path", changes: [Set("links.path.law", Conductance("8 W/K"))])],
)
"#;

fn asked(question: &Question) -> Result<crate::views::trades::TradesData, NoAnswer> {
    let (node, problems) = project::parse(PLATE.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    let node = node.expect("the text holds a project");
    let all = [None, Some("wide path")].map(|name| design::apply(&node, name).expect("it can be applied"));
    answer((&node, &all[0], &all), question, "warm", &AtomicBool::new(false), &|_, _| ())
}

fn watch(axes: &[&str], watch: &str) -> Question {
    Question::Inputs { axes: axes.iter().map(|&axis| axis.to_owned()).collect(), watch: watch.to_owned() }
}

/// 40 degC + Q/G for G of 4 and 8 W/K along Q of 100, 200, 300 W: 65, 90, 115 and 52.5, 65, 77.5 degC.
#[test]
fn a_second_input_gives_a_curve_for_each_of_its_values() {
    let axes = ["links.path.law=4..8 W/K/2", "heats.heater.law=300 W..100 W/3"];
    let found = asked(&watch(&axes, "temperature:warm/full:plate"));
    let Ok(found) = found else { panic!("it can be worked out") };
    let chart = found.chart.expect("there are curves");
    let names: Vec<&str> = chart.series.iter().map(|series| series.name.as_str()).collect();
    assert_eq!((names.as_slice(), chart.unit.as_str()), (["4 W/K", "8 W/K"].as_slice(), "degC"));
    let by_hand =
        [[(100.0, 65.0), (200.0, 90.0), (300.0, 115.0)], [(100.0, 52.5), (200.0, 65.0), (300.0, 77.5)]];
    for (series, wanted) in chart.series.iter().zip(by_hand) {
        for (point, (x, y)) in series.points.iter().zip(wanted) {
            assert!((point[0] - x).abs() < 1e-9 && (point[1] - y).abs() < 1e-6, "{point:?} {x} {y}");
        }
    }
    assert_eq!(found.sheets[0].sheet.rows.len(), 6);
}

#[test]
fn what_cannot_be_asked_is_refused_with_the_reason() {
    let refused = |question: &Question| match asked(question) {
        Err(NoAnswer::Because(reason)) => reason,
        Err(NoAnswer::Cancelled) => panic!("nothing cancels it"),
        Ok(_) => panic!("there is no answer"),
    };
    assert!(refused(&watch(&["heats.heater.laws=1 W..2 W/2"], "worst")).contains("heats.heater.law"));
    assert!(refused(&watch(&["heats.heater.law=1 K..2 K/2"], "worst")).contains("heats.heater.law"));
    assert!(refused(&watch(&["heats.heater.law=1 W..2 W/2001"], "worst")).contains("2000 at most"));
    assert!(!refused(&Question::Uncooled).is_empty(), "there is no pack");
    assert!(refused(&Question::Size { circuit: "oil".into() }).contains("oil"));
}

/// 40 + 200/4 = 90 degC keeps 100 degC less 10 K just so; with 8 W/K 65 degC leaves 25 K of it.
#[test]
fn variants_stand_side_by_side() {
    let Ok(found) = asked(&Question::Variants) else { panic!("it can be worked out") };
    let limits = &found.sheets[1].shown;
    let cell = |row: usize, head: &str| {
        let column =
            limits.columns.iter().position(|known| known.head == head).expect("there is such a column");
        limits.rows[row][column].text.as_str()
    };
    assert_eq!((cell(0, "Closest"), cell(1, "Closest")), ("+10.0 K", "+35.0 K"));
    assert_eq!((cell(0, "Variant"), cell(1, "Variant")), (variant::BASE, "wide path"));
    let (node, _) = project::parse(PLATE.as_bytes());
    let base = design::apply(&node.expect("a project"), None).expect("it is valid");
    let menu = menu(&base, &AtomicBool::new(false));
    assert!(menu.inputs.iter().any(|(path, text)| path == "heats.heater.law" && text == "200 W"), "{menu:?}");
    assert!(
        menu.results.iter().any(|name| name == "margin:warm/full:plate:temperature")
            || menu.results.len() > 3
    );
}
