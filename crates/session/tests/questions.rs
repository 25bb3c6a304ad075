//! Questions about a plate with fixed heat and conductance: T = T outside + Q / G.

use std::sync::atomic::AtomicBool;

use model::design;
use session::Question;
use session::trades::{About, Answer, NoAnswer, answer, menu};

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

fn asked(question: &Question) -> Result<Answer, NoAnswer> {
    let node = project::parse(PLATE.as_bytes()).0.expect("the text holds a project");
    let all = [None, Some("wide path")].map(|name| design::apply(&node, name).expect("it can be applied"));
    let about = About { node: &node, varied: &all[0], all: &all, condition: "warm" };
    answer(about, question, &AtomicBool::new(false), &|_, _| ())
}

fn watch(axes: &[&str], watch: &str) -> Question {
    Question::Inputs { axes: axes.iter().map(|&axis| axis.to_owned()).collect(), watch: watch.to_owned() }
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

#[test]
fn what_can_be_asked_is_listed() {
    let node = project::parse(PLATE.as_bytes()).0.expect("the text holds a project");
    let base = design::apply(&node, None).expect("it is valid");
    let menu = menu(&base, &AtomicBool::new(false));
    assert!(menu.inputs.iter().any(|(path, text)| path == "heats.heater.law" && text == "200 W"), "{menu:?}");
    // worst, mass, and temperature, heat and margin of the plate
    assert!(
        menu.results.len() > 3 && menu.results.contains(&"temperature:warm/full:plate".to_owned()),
        "{menu:?}"
    );
    assert!(menu.loops.is_empty());
}
