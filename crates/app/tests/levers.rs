//! Levers of the chosen cell below the margins: by role and label, by keys, and the numbers of the study.

use std::sync::atomic::AtomicBool;

use app::views::margins::CursorStep;
use app::{Page, Screens};
use egui::{Key, Role, Theme};
use egui_kittest::kittest::Queryable as _;
use session::{Choice, MarginPlace, Snapshot, Study};

use crate::{Desk, input, open_on, rig, settle, type_into};

/// `margin = 100 degC - 20 degC - Q/G`: 40 K with 200 W and 5 W/K.
const PLATE: &str = r#"
Project(
    format: "heatledger", version: 1, name: "plate",
    conditions: [Condition(name: "day", day: Fixed("20 degC"))],
    components: [Component(name: "plate", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "10 K")])],
    links: [Link(name: "film", from: "plate", to: "outside air", law: Conductance(Input(value: "5 W/K", tolerance: "10 %")))],
    heats: [Heat(name: "heater", into: "plate", law: Fixed("200 W"))],
    points: [Point(name: "on")],
    cases: [CaseGroup(conditions: ["day"], points: ["on"])],
)
"#;

/// The margins of the bench rig, at the steady cell of the coolant at full heat in the lab.
fn open() -> Desk {
    let mut harness = open_on(rig(), Page::Margins, Theme::Light, [1440.0, 900.0]);
    settle(&mut harness);
    harness.get_by_label_contains("plate, coolant, lab/full heat: ").click();
    settle(&mut harness);
    settle(&mut harness);
    harness
}

fn asked(harness: &Desk) -> MarginPlace {
    match &harness.state().choice().study {
        Study::Levers(place) | Study::FlownLevers(place) => place.clone(),
        other => panic!("levers are asked for, not {other:?}"),
    }
}

#[test]
fn the_levers_of_a_cell_are_shown_and_follow_the_cursor() {
    let mut harness = open();
    let first = asked(&harness);
    assert_eq!((first.where_.as_str(), first.case.to_string().as_str()), ("plate", "lab/full heat"));
    let levers = harness.state().screen().levers.clone().expect("they are there");
    assert_eq!(levers.of, first);
    // a kelvin outside is a kelvin of the coolant, all but what fluids and air change by it
    let outside =
        levers.rows.iter().find(|row| row.input.path == "conditions.lab.day").expect("it is a lever");
    assert!((outside.change + 1.0).abs() < 0.1, "{}", outside.change);
    harness.get_by_label_contains("conditions, lab, day: \u{2212}");
    let grid = harness.state().screen().margins.clone();
    let at = grid.find(Some(&first)).expect("it is in the grid");
    let below = grid.place(grid.stepped(at, CursorStep::By(1, 0))).expect("there is a second limit");
    let label = format!("{}, {}, {}: ", below.where_, below.limit, below.case);
    harness.get_by_label_contains(&label).click();
    settle(&mut harness);
    settle(&mut harness);
    assert_eq!(asked(&harness), below);
    assert_ne!(first, below, "the cursor moved");
    assert_eq!(harness.state().screen().levers.as_ref().map(|levers| levers.of.clone()), Some(below));
}

#[test]
fn an_input_is_edited_among_its_levers() {
    let mut harness = open();
    let field = "cores, radiator, transfer, height";
    harness.get_by_role_and_label(Role::TextInput, field).scroll_to_me();
    harness.run_steps(3);
    type_into(&mut harness, field, "200 mm");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_eq!(input(&harness, "cores.radiator.transfer.height"), "200 mm");
}

#[test]
fn a_lever_leads_to_its_device() {
    let mut harness = open();
    harness.get_by_role_and_label(Role::Link, "Show radiator for height").scroll_to_me();
    harness.run_steps(3);
    harness.get_by_role_and_label(Role::Link, "Show radiator for height").click();
    settle(&mut harness);
    assert_eq!(harness.state().page(), Page::Loops);
    harness.get_by_label_contains("radiator, core:");
    assert_eq!(harness.state().choice().study, Study::Cases, "nothing is worked out that no page shows");
}

/// 1 % of heat takes 0.4 K, 1 % of conductance gives 0.4 K (200/5 = 40 K), 10 % of it 4 K, a kelvin outside takes one.
#[test]
fn the_numbers_are_those_of_the_study() {
    let (aircraft, _) = Snapshot::from_bytes(PLATE.as_bytes()).expect("it is a project");
    let place = MarginPlace {
        where_: "plate".to_owned(),
        limit: "continuous".to_owned(),
        unit: "K".to_owned(),
        case: "day/on".parse().expect("a name of a case"),
    };
    let study = Study::Levers(place.clone());
    let choice = Choice { study, ..aircraft.choices().settle(&Choice::default()) };
    let screen = Screens::default().screen(&aircraft, &choice, &AtomicBool::new(false), &|_| ());
    let levers = screen.levers.expect("they were asked for");
    assert_eq!((&levers.of, levers.note.as_ref()), (&place, None));
    let of = |path: &str| levers.rows.iter().find(|row| row.input.path == path).expect("it is a lever");
    let near = |path: &str, expected: f64| {
        let change = of(path).change;
        assert!((change - expected).abs() < 1e-4, "{path}: {change}");
    };
    near("heats.heater.law", -0.4);
    near("links.film.law", 0.4);
    near("conditions.day.day", -1.0);
    let film = of("links.film.law").tolerance.expect("it is stated");
    assert!((film - 4.0).abs() < 1e-3, "{film}");
    assert_eq!(of("links.film.law").input.text, "5 W/K");
    let gone = MarginPlace { case: "day/off".parse().expect("a name of a case"), ..place };
    let choice = Choice { study: Study::Levers(gone), ..choice };
    let screen = Screens::default().screen(&aircraft, &choice, &AtomicBool::new(false), &|_| ());
    assert!(screen.levers.is_some_and(|levers| levers.rows.is_empty() && levers.note.is_some()));
}

/// The bench with a mission: 200 s at a time constant of 1000 J/K over 5 W/K = 200 s.
fn flying() -> Snapshot {
    let text = PLATE.replace(
        "cases: [",
        r#"missions: [Mission(name: "warm", start: OutsideAir, segments: [Segment(name: "heated", duration: "200 s", point: "on", ground: true)], soak: LeftOut("a bench"))],
    cases: [CaseGroup(conditions: ["day"], missions: ["warm"]), "#,
    );
    crate::read(&text)
}

#[test]
fn a_button_asks_for_the_levers_of_a_mission() {
    let mut harness = open_on(flying(), Page::Margins, Theme::Light, [1440.0, 900.0]);
    settle(&mut harness);
    harness.get_by_label_contains("plate, continuous, day/on: ").click();
    settle(&mut harness);
    settle(&mut harness);
    assert!(harness.query_by_role_and_label(Role::Button, "Calculate levers").is_none());
    harness.get_by_label_contains("plate, continuous, day/warm: ").click();
    settle(&mut harness);
    settle(&mut harness);
    let place = asked(&harness);
    assert_eq!(place.case.to_string(), "day/warm");
    assert_eq!(harness.state().choice().study, Study::Levers(place.clone()));
    harness.get_by_role_and_label(Role::Button, "Calculate levers").click();
    settle(&mut harness);
    settle(&mut harness);
    assert_eq!(harness.state().choice().study, Study::FlownLevers(place));
    // the plate starts as warm as the air, and each follows it
    harness.get_by_label("conditions, day, day: \u{2212}1.00 K for +1 K");
}

/// A mission waits to be asked: 1 - 1/e of 40 K, so 1 % of heat takes 0.2528 K.
#[test]
fn a_mission_is_flown_for_its_levers_when_asked() {
    let aircraft = flying();
    let place = MarginPlace {
        where_: "plate".to_owned(),
        limit: "continuous".to_owned(),
        unit: "K".to_owned(),
        case: "day/warm".parse().expect("a name of a case"),
    };
    let screen = |study: Study| {
        let choice = Choice { study, ..aircraft.choices().settle(&Choice::default()) };
        Screens::default()
            .screen(&aircraft, &choice, &AtomicBool::new(false), &|_| ())
            .levers
            .expect("they were asked for")
    };
    assert!(screen(Study::Levers(place.clone())).can_be_flown);
    let levers = screen(Study::FlownLevers(place.clone()));
    let heat = levers.rows.iter().find(|row| row.input.path == "heats.heater.law").expect("it is a lever");
    assert!((heat.change + 0.2528).abs() < 0.004, "{}", heat.change);
    assert_eq!(screen(Study::Levers(place)), levers, "what was flown is kept");
}

#[test]
fn a_cancelled_study_leaves_no_levers() {
    let (aircraft, _) = Snapshot::from_bytes(PLATE.as_bytes()).expect("it is a project");
    let study = Study::Levers(MarginPlace {
        case: "day/on".parse().expect("a name of a case"),
        ..MarginPlace::default()
    });
    let choice = Choice { study, ..aircraft.choices().settle(&Choice::default()) };
    assert_eq!(Screens::default().screen(&aircraft, &choice, &AtomicBool::new(true), &|_| ()).levers, None);
}
