//! The demos as text.

use super::explained;
use report::explain::{Explanation, Fidelity, text};
use std::fmt::Write as _;

const DEMOS: [(&str, &str); 3] = [
    ("tug", include_str!("../../../../demo-projects/tug.ron")),
    ("rescue", include_str!("../../../../demo-projects/rescue.ron")),
    ("rig", include_str!("../../../../demo-projects/rig.ron")),
];

/// What stands outside the circuits, without the limits.
fn outside_circuits(all: Vec<Explanation>) -> Vec<Explanation> {
    all.into_iter().filter(|one| one.circuit.is_empty() && one.what != "limit").collect()
}

/// Words without numbers: a demo may be tuned without a new snapshot, what is explained and by which law may not change unseen.
fn shape(all: Vec<Explanation>) -> String {
    let mut shape = String::new();
    for one in outside_circuits(all) {
        writeln!(shape, "{}: {}, level {}", one.place, one.what, one.level.word())
            .expect("text can be written");
        for relation in &one.relations {
            let inputs: Vec<&str> = relation.inputs.iter().map(|(name, _)| name.as_str()).collect();
            writeln!(shape, "  {} {} from {}", relation.name, relation.unit, inputs.join(", "))
                .expect("text can be written");
            for step in &relation.chain {
                writeln!(shape, "    {} {} by {}", step.quantity, step.unit, step.by)
                    .expect("text can be written");
            }
            for words in [relation.range, relation.scatter, relation.source] {
                writeln!(shape, "    {words}").expect("text can be written");
            }
        }
    }
    shape
}

#[test]
fn every_demo_is_explained_within_reading_width() {
    for (demo, ron) in DEMOS {
        let (result, all) = explained(ron, None);
        for row in text(&all).lines() {
            assert!(row.chars().count() <= 100, "{demo}: {row}");
        }
        for link in &result.links {
            let one = all.iter().find(|one| one.place == link.name && one.what == "heat path");
            let one = one.unwrap_or_else(|| panic!("{demo}: {} is not explained", link.name));
            let heat = one.relations[0].get("heat").expect("a path has a heat");
            let greatest = link.parts.iter().map(|part| part.heat_w.abs()).fold(0.0, f64::max);
            // the chain is worked out anew from the two temperatures and must meet the solver
            assert!(
                (heat.abs() - greatest).abs() <= 1e-6 * greatest + 1e-9,
                "{demo}, {}: {heat} W",
                link.name
            );
            if one.level == Fidelity::Geometry {
                assert!(one.relations[0].chain.len() >= 3, "{demo}, {}: too few steps", link.name);
            }
        }
    }
}

#[test]
fn the_tug_outside_its_circuits() {
    let (_, all) = explained(DEMOS[0].1, Some("hot day/tow climb"));
    insta::assert_snapshot!(shape(all));
}

#[test]
fn the_rescue_rotorcraft_outside_its_circuits() {
    let (_, all) = explained(DEMOS[1].1, None);
    insta::assert_snapshot!(shape(all));
}

#[test]
fn the_rig_outside_its_circuits() {
    let (_, all) = explained(DEMOS[2].1, Some("hot day/full heat"));
    insta::assert_snapshot!(text(&outside_circuits(all)));
}
