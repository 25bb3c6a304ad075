//! A plate with fixed heat and conductance: T = T outside + Q / G.

use model::design;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use super::trades_data;
use aircraft::variant;
use session::Question;
use session::trades::{About, Asked, NoAnswer, answer};

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
    let about = About { node: &node, varied: &all[0], all: &all, condition: "warm" };
    let answer = answer(about, question, &AtomicBool::new(false), &|_, _| ())?;
    let asked = Asked { question: question.clone(), menu: Arc::default(), answer: Some(Ok(answer)) };
    Ok(trades_data(&all[0], &asked))
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
    assert_eq!((cell(0, "Least reserve"), cell(1, "Least reserve")), ("0.0 K", "+25.0 K"));
    assert_eq!((cell(0, "Variant"), cell(1, "Variant")), (variant::BASE, "wide path"));
}
