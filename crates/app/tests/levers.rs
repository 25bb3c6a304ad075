//! Levers of the chosen cell below the margins: by role and label, by keys, and the numbers of the study.

use std::sync::atomic::AtomicBool;

use app::views::margins::{MarginPlace, Step};
use app::{Aircraft, Choice, Page, Study, Subject as _};
use eframe::egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;

use crate::invented::FACE_AREA;
use crate::{open, settle};

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

#[test]
fn the_levers_of_the_worst_cell_are_shown_and_follow_the_cursor() {
    let mut harness = open(Page::Margins);
    settle(&mut harness);
    let Study::Levers(first) = harness.state().choice().study.clone() else { panic!("levers are asked for") };
    assert_eq!(first.where_, "Motor 2 winding");
    harness.get_by_label("cores, Nose core, face area: +0.26 K for +1 %");
    harness.get_by_label("conditions, hot day, day: −1.04 K for +1 K");
    let grid = harness.state().screen().margins.clone();
    let below = grid.place(grid.stepped((0, 0), Step::By(1, 0))).expect("there is a second limit");
    let label = format!("{}, {}, {}: ", below.where_, below.limit, below.case);
    harness.get_by_label_contains(&label).click();
    settle(&mut harness);
    settle(&mut harness);
    let Study::Levers(second) = harness.state().choice().study.clone() else {
        panic!("levers are asked for")
    };
    assert_eq!(second, below);
    assert_ne!(first, second, "the cursor moved");
    assert_eq!(harness.state().screen().levers.as_ref().map(|levers| levers.of.clone()), Some(second));
}

#[test]
fn an_input_is_edited_among_its_levers() {
    let mut harness = open(Page::Margins);
    settle(&mut harness);
    let field = "cores, Nose core, face area";
    harness.get_by_role_and_label(Role::TextInput, field).click();
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, field).type_text("0.1 m2");
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_eq!(harness.state().subject().input(FACE_AREA, ""), "0.1 m2");
}

#[test]
fn a_lever_leads_to_its_device() {
    let mut harness = open(Page::Margins);
    settle(&mut harness);
    harness.get_by_role_and_label(Role::Link, "Show Nose core for face area").click();
    settle(&mut harness);
    assert_eq!(harness.state().page(), Page::Loops);
    harness.get_by_label_contains("Nose core, core:");
    assert_eq!(harness.state().choice().study, Study::Cases, "nothing is worked out that no page shows");
}

/// 1 % of heat takes 0.4 K, 1 % of conductance gives 0.4 K (200/5 = 40 K), 10 % of it 4 K, a kelvin outside takes one.
#[test]
fn the_numbers_are_those_of_the_study() {
    let (aircraft, _) = Aircraft::from_bytes(PLATE.as_bytes()).expect("it is a project");
    let place = MarginPlace {
        where_: "plate".to_owned(),
        limit: "continuous".to_owned(),
        unit: "K".to_owned(),
        case: "day/on".parse().expect("a name of a case"),
    };
    let study = Study::Levers(place.clone());
    let choice = Choice { study, ..aircraft.choices().settle(&Choice::default()) };
    let screen = aircraft.screen(&choice, &AtomicBool::new(false), &|_| ());
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
    let screen = aircraft.screen(&choice, &AtomicBool::new(false), &|_| ());
    assert!(screen.levers.is_some_and(|levers| levers.rows.is_empty() && levers.note.is_some()));
}

#[test]
fn a_button_asks_for_the_levers_of_a_mission() {
    let mut harness = open(Page::Margins);
    settle(&mut harness);
    let grid = &harness.state().screen().margins;
    let column =
        grid.cases.iter().position(|case| case.point == "circuit mission").expect("there is a mission");
    let row = grid.rows.iter().position(|row| row.cells[column].is_some()).expect("it has a margin");
    let place = grid.place((row, column)).expect("the cell is there");
    let case = place.case.clone();
    assert!(harness.query_by_role_and_label(Role::Button, "Fly for levers").is_none());
    let label = format!("{}, {}, {case}: ", place.where_, place.limit);
    harness.get_by_label_contains(&label).click();
    settle(&mut harness);
    settle(&mut harness);
    assert_eq!(harness.state().choice().study, Study::Levers(place.clone()));
    harness.get_by_role_and_label(Role::Button, "Fly for levers").click();
    settle(&mut harness);
    settle(&mut harness);
    assert_eq!(harness.state().choice().study, Study::FlownLevers(place));
    harness.get_by_label("conditions, hot day, day: −1.04 K for +1 K");
}

/// A mission waits to be asked. 200 s at a time constant of 1000 J/K over 5 W/K = 200 s: 1 - 1/e of 40 K, so 1 % of heat takes 0.2528 K.
#[test]
fn a_mission_is_flown_for_its_levers_when_asked() {
    let text = PLATE.replace(
        "cases: [",
        r#"missions: [Mission(name: "warm", start: OutsideAir, segments: [Segment(name: "heated", duration: "200 s", point: "on", ground: true)], soak: LeftOut("a bench"))],
    cases: [CaseGroup(conditions: ["day"], missions: ["warm"]), "#,
    );
    let (aircraft, _) = Aircraft::from_bytes(text.as_bytes()).expect("it is a project");
    let place = MarginPlace {
        where_: "plate".to_owned(),
        limit: "continuous".to_owned(),
        unit: "K".to_owned(),
        case: "day/warm".parse().expect("a name of a case"),
    };
    let screen = |study: Study| {
        let choice = Choice { study, ..aircraft.choices().settle(&Choice::default()) };
        aircraft.screen(&choice, &AtomicBool::new(false), &|_| ()).levers.expect("they were asked for")
    };
    assert!(screen(Study::Levers(place.clone())).can_be_flown);
    let levers = screen(Study::FlownLevers(place.clone()));
    let heat = levers.rows.iter().find(|row| row.input.path == "heats.heater.law").expect("it is a lever");
    assert!((heat.change + 0.2528).abs() < 0.004, "{}", heat.change);
    assert_eq!(screen(Study::Levers(place)), levers, "what was flown is kept");
}

#[test]
fn a_cancelled_study_leaves_no_levers() {
    let (aircraft, _) = Aircraft::from_bytes(PLATE.as_bytes()).expect("it is a project");
    let study = Study::Levers(MarginPlace {
        case: "day/on".parse().expect("a name of a case"),
        ..MarginPlace::default()
    });
    let choice = Choice { study, ..aircraft.choices().settle(&Choice::default()) };
    assert_eq!(aircraft.screen(&choice, &AtomicBool::new(true), &|_| ()).levers, None);
}
