//! Levers of a cell: `margin = 100 degC - 20 degC - Q/G`: 40 K with 200 W and 5 W/K.

use session::levers::{CellLevers, LeverAnswer};
use session::{Choice, Extent, MarginPlace, Snapshot, Studied, Study};

use crate::{read, solved};

const PLATE: &str = r#"
Project(
    format: "heatledger", version: 1, name: "plate",
    conditions: [Condition(name: "day", day: Fixed("20 degC"))],
    components: [Component(name: "plate", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "10 K")])],
    links: [Link(name: "film", from: "plate", to: "outside air", law: Conductance("5 W/K"))],
    heats: [Heat(name: "heater", into: "plate", law: Fixed("200 W"))],
    points: [Point(name: "on")],
    missions: [Mission(name: "warm", start: OutsideAir, segments: [Segment(name: "heated", duration: "200 s", point: "on", ground: true)], soak: LeftOut("a bench"))],
    cases: [CaseGroup(conditions: ["day"], points: ["on"], missions: ["warm"])],
)
"#;

fn place(case: &str) -> MarginPlace {
    MarginPlace {
        where_: "plate".to_owned(),
        limit: "continuous".to_owned(),
        unit: "K".to_owned(),
        case: case.parse().expect("a name of a case"),
    }
}

fn levers(plate: &Snapshot, study: Study) -> CellLevers {
    let choice = Choice { study, ..plate.choices().settle(&Choice::default()) };
    let (_, found) = solved(plate, &choice);
    assert_eq!(found.extent, Extent::Whole);
    let Studied::Levers(levers) = found.studied else { panic!("they were asked for") };
    (*levers).clone()
}

/// 1 % of heat takes 0.4 K.
#[test]
fn a_steady_cell_has_its_levers_at_once_and_a_cell_that_is_gone_has_none() {
    let plate = read(PLATE);
    let found = levers(&plate, Study::Levers(place("day/on")));
    let LeverAnswer::Found(margin) = found.answer else { panic!("it has levers") };
    let heat = margin.levers.iter().find(|lever| lever.input.path == "heats.heater.law").expect("it is one");
    assert!((heat.effect() + 0.4).abs() < 1e-4, "{}", heat.effect());
    assert!(matches!(levers(&plate, Study::Levers(place("day/off"))).answer, LeverAnswer::Without(_)));
    let torque = MarginPlace { unit: "N m".to_owned(), ..place("day/on") };
    assert!(matches!(levers(&plate, Study::Levers(torque)).answer, LeverAnswer::Without(_)));
}

/// A mission waits to be asked: 1 - 1/e of 40 K, so 1 % of heat takes 0.2528 K; what was flown is kept.
#[test]
fn a_mission_is_flown_for_its_levers_when_that_is_asked_for() {
    let plate = read(PLATE);
    let cell = place("day/warm");
    assert_eq!(levers(&plate, Study::Levers(cell.clone())).answer, LeverAnswer::CanBeFlown);
    let flown = levers(&plate, Study::FlownLevers(cell.clone()));
    let LeverAnswer::Found(margin) = &flown.answer else { panic!("it was flown") };
    let heat = margin.levers.iter().find(|lever| lever.input.path == "heats.heater.law").expect("it is one");
    assert!((heat.effect() + 0.2528).abs() < 0.004, "{}", heat.effect());
    assert_eq!(levers(&plate, Study::Levers(cell)), flown);
}
