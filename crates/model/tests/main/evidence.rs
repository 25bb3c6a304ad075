//! The margin that is required, by the evidence of the part, and why it is that one.

use crate::bench::{sound, text};
use crate::demos::demos;
use aircraft::records::component::Credibility;
use aircraft::variant::Varied;
use model::case;
use model::cases;
use model::evidence::RequiredBy;
use model::result::Margin;
use model::standing::Standing;

fn margins(varied: &Varied) -> Vec<Margin> {
    let first = cases::steady(&varied.project).into_iter().next().expect("it has a steady case");
    case::solve(&first).expect("it is put together").margins
}

/// 30 W over 1 W/K: 30 K over 20 degC, so 50 degC of 60 degC are a margin of 10 K. Of it the policy asks 15, 10 or 5 K, by what stands
/// behind the prediction; a reserve of -5, 0 and +5 K.
#[test]
fn the_evidence_of_a_component_sets_what_is_required_of_it() {
    let plate = |name: &str, part: &str, limit: &str| {
        format!("Component(name: \"{name}\", {part} limits: [Limit(value: \"60 degC\", {limit})])")
    };
    let components = [
        plate("as the project", "", ""),
        plate("correlated", "credibility: Correlated,", ""),
        plate("tested", "credibility: Tested,", ""),
        plate("stated", "credibility: Tested,", "required: \"12 K\""),
    ];
    let names = ["as the project", "correlated", "tested", "stated"];
    let links =
        names.map(|name| format!("Link(from: \"{name}\", to: \"outside air\", law: Conductance(\"1 W/K\"))"));
    let heats = names.map(|name| format!("Heat(name: \"{name}\", into: \"{name}\", law: Fixed(\"30 W\"))"));
    let varied = sound(&text(&format!(
        "conditions: [Condition(name: \"room\", day: Fixed(\"20 degC\"))],
        components: [{}], links: [{}], heats: [{}],
        points: [Point(name: \"run\")],
        cases: [CaseGroup(conditions: [\"room\"], points: [\"run\"])],",
        components.join(","),
        links.join(","),
        heats.join(",")
    )));
    let expected = [
        ("as the project", 15.0, RequiredBy::Policy(Credibility::Uncorrelated), Standing::Short),
        ("stated", 12.0, RequiredBy::Limit, Standing::Short),
        ("correlated", 10.0, RequiredBy::Part(Credibility::Correlated), Standing::Holds),
        ("tested", 5.0, RequiredBy::Part(Credibility::Tested), Standing::Holds),
    ];
    // worst first by reserve: -5, -2, 0, +5 K
    let found = margins(&varied);
    assert_eq!(found.len(), 4);
    for (margin, (place, required, by, standing)) in found.iter().zip(expected) {
        assert_eq!((margin.place.as_str(), margin.required, margin.required_by), (place, required, by));
        assert!((margin.reserve() - (10.0 - required)).abs() < 1e-6, "{margin:?}");
        assert_eq!(margin.standing(), standing, "{place}");
    }
}

#[test]
fn the_evidence_of_a_loop_sets_what_is_required_of_its_coolant_alone() {
    let (_, tug) = demos().into_iter().find(|(name, _)| name == "tug").expect("a demo");
    let changed = tug.replacen("name: \"stator\",", "name: \"stator\", credibility: Correlated,", 1);
    assert_ne!(tug, changed);
    let required = |text: &str, place: &str| {
        let all = margins(&sound(text));
        let found = all.into_iter().find(|m| m.place == place && m.limit == "coolant");
        found.map(|m| (m.required, m.required_by)).expect("the limit is there")
    };
    let policy = (15.0, RequiredBy::Policy(Credibility::Uncorrelated));
    assert_eq!(required(&tug, "stator feed"), policy);
    assert_eq!(required(&changed, "stator feed"), (10.0, RequiredBy::Part(Credibility::Correlated)));
    assert_eq!(required(&changed, "left plate"), policy, "it stands in another loop");
}
