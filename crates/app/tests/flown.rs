//! A mission of a whole project in the window: the same numbers as the flight itself.

use model::cases;
use std::sync::Mutex;
use std::sync::atomic::AtomicBool;

use app::files::Origin;
use app::views::chart::Chart;
use app::views::mission::MissionData;
use app::views::time::value_at;
use app::{Screen, Screens};
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;
use model::case_name::CaseName;
use model::mission::FlyOptions;
use session::{Choice, Compared, Extent, Snapshot, Study};

use crate::files::{start, until};
use crate::{rig, tug};

/// The first mission of the rig, and all its cases flown outside the window.
fn choice(aircraft: &Snapshot) -> Choice {
    let project = model::design::apply(aircraft.node(), None).expect("the demo is valid").project;
    let name = cases::missions(&project)[0].name();
    Choice { case: name.sound(), ..aircraft.choices().settle(&Choice::default()) }
}

fn screens(aircraft: &Snapshot, choice: &Choice) -> (Vec<Screen>, Screen) {
    let parts = Mutex::new(Vec::new());
    let so_far = |screen| parts.lock().expect("no panic").push(screen);
    let whole = Screens::default().screen(aircraft, choice, &AtomicBool::new(false), &so_far);
    (parts.into_inner().expect("no panic"), whole)
}

#[test]
fn the_page_shows_what_was_flown() {
    let aircraft = rig();
    let choice = choice(&aircraft);
    let (_, screen) = screens(&aircraft, &choice);
    let shown = screen.mission.expect("the case is a mission");
    let project = model::design::apply(aircraft.node(), None).expect("the demo is valid").project;
    let cases = cases::missions(&project);
    let case = cases.iter().find(|case| case.name() == choice.case).expect("it is one");
    let flight = studies::missions::fly_case(case, &FlyOptions::default()).expect("it can be flown");
    assert_eq!(shown.end_s, flight.duration_s());
    assert_eq!(shown.segments.len(), flight.steps.len());
    let block = flight.component_k("heater block");
    let chart = shown.temperatures.iter().flat_map(|chart| &chart.series).find(|s| s.name == "heater block");
    let points = &chart.expect("the block has a curve").points;
    for (point, (time, temperature)) in points.iter().zip(flight.times_s.iter().zip(&block)) {
        assert_eq!((point[0], point[1]), (*time, temperature - 273.15));
    }
    let heat = shown.heat.values_at(600.0).into_iter().flatten().sum::<f64>();
    assert!(heat > 3.9 && heat < 4.6, "4 kW of the heater, pump and fan, but {heat} kW");
}

/// The block takes exactly the 4 kW of the heater, whatever the pump and the fan add to their fluids.
#[test]
fn heat_is_told_by_the_part_it_is_generated_in() {
    let aircraft = rig();
    let (_, screen) = screens(&aircraft, &choice(&aircraft));
    let heat = &screen.mission.as_ref().expect("the case is a mission").heat;
    let block = heat.series.iter().find(|series| series.name == "heater block").expect("it is heated");
    let at_600 = value_at(&block.points, 600.0).expect("in the mission");
    assert!((at_600 - 4.0).abs() < 1e-9, "{at_600}");

    let tug = tug();
    let project = model::design::apply(tug.node(), None).expect("the demo is valid").project;
    let situation = model::assembly::Situation {
        project: &project,
        condition: project.conditions.iter().find(|c| c.name.as_str() == "hot day").expect("it is there"),
        point: project.points.iter().find(|p| p.name.as_str() == "take-off").expect("it is there"),
        failure: None,
    };
    let state = model::case::solve(&situation).expect("it is put together");
    let places = state.heat_by_place();
    let whole: f64 = places.iter().map(|(_, heat)| heat).sum();
    assert!((whole - state.ledger.generated_w).abs() < 1e-6 * whole, "{whole} W");
    // Busbars and contactors warm the cells where the project names nothing else.
    let is_of_cells =
        |what: &str| (1..=6).any(|n| what == format!("cells {n}")) || what == model::assembly::INTERCONNECT;
    let own: Vec<f64> =
        state.lines.iter().filter(|line| is_of_cells(&line.what)).map(|line| line.heat_w).collect();
    assert_eq!(own.len(), 7, "six segments and the busbars");
    let cells = places.iter().find(|(place, _)| *place == "cells").expect("they are warmed").1;
    let all = own.iter().sum::<f64>();
    assert!((cells - all).abs() < 1e-9 * all, "{cells} W are not the {all} W of its lines");

    let first = tug.choices().settle(&Choice::default());
    let case = CaseName { point: "tow flight".into(), ..first.case.clone() };
    let stopped = Choice { is_stopped: true, case, ..first };
    let (_, screen) = screens(&tug, &stopped);
    let heat = &screen.mission.as_ref().expect("the flight is shown").heat;
    let peak = |series: &app::views::chart::Series| series.points.iter().map(|p| p[1]).fold(0.0, f64::max);
    let others = heat.series.iter().find(|series| series.name == "others").map_or(0.0, peak);
    let largest = heat.series.iter().map(peak).fold(0.0, f64::max);
    assert!(others < 0.25 * largest, "others are {others} of {largest} kW");
}

#[test]
fn every_page_shows_the_moment_of_the_time_cursor() {
    let aircraft = rig();
    let choice = choice(&aircraft);
    let at = |time_s: f64| {
        let (_, screen) = screens(&aircraft, &Choice { time_s, ..choice.clone() });
        let row = screen.temperatures.rows.iter().find(|row| row.component == "heater block").expect("a row");
        let shown = screen.mission.clone().expect("a mission");
        let curve = shown.temperatures.iter().flat_map(|c| &c.series).find(|s| s.name == "heater block");
        let on_curve = value_at(&curve.expect("a curve").points, time_s).expect("in the mission");
        (row.value, on_curve, screen.ledger)
    };
    let (start, ..) = at(0.0);
    let (hot, on_curve, ledger) = at(600.0);
    assert!(hot > start + 10.0, "{start} to {hot}");
    // The table shows the sample before the moment, at most ten seconds earlier.
    assert!((hot - on_curve).abs() < 0.5, "{hot} beside {on_curve}");
    assert!(ledger.closes() && ledger.relative_residual() < 1e-6, "{}", ledger.relative_residual());
    assert!(ledger.book.is_some());
}

/// What is handed out first is what the whole shows, and what is known is shown the same again.
#[test]
fn a_screen_grows_and_what_is_drawn_stays() {
    let aircraft = crate::read(crate::RIG);
    let steady = aircraft.choices().settle(&Choice::default());
    let (parts, whole) = screens(&aircraft, &steady);
    assert!(matches!(parts[0].extent, Extent::FirstCase(_)) && parts[0].margins.rows.is_empty());
    assert_eq!((&parts[0].strips, &parts[0].temperatures), (&whole.strips, &whole.temperatures));
    assert!(whole.margins.cases.len() > parts[1].margins.cases.len(), "the missions come later");
    let (again, same) = screens(&aircraft, &steady);
    assert!(again.is_empty() && same == whole, "what is known is not solved again");
}

#[test]
fn a_mission_is_chosen_and_walked_through() {
    let aircraft = rig();
    let mission = choice(&aircraft).case;
    let mut harness = start(aircraft, Origin::Untitled("demo".into()), None);
    harness.get_by_role_and_label(Role::ComboBox, "Case").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, &mission.at_condition()).click();
    until(&mut harness, "flown", |harness| harness.state().screen().mission.is_some());
    until(&mut harness, "settled", |harness| harness.state().is_settled());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num5);
    harness.run_steps(2);
    harness.get_by_label_contains("Heat balance of the whole mission");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::ArrowRight);
    until(&mut harness, "the moment", |harness| harness.state().is_settled());
    assert!(harness.state().time_view().cursor_s > 0.0);
}

#[test]
fn ways_of_a_turnaround_come_fastest_first_and_end_with_their_last_phase() {
    let aircraft = tug();
    let cases = aircraft.choices().settle(&Choice::default());
    let (_, whole) = screens(&aircraft, &Choice { study: Study::Turnaround, ..cases });
    let data = whole.turnaround.expect("the tug is turned around between tows");
    assert!(data.is_whole && !data.tables.is_empty() && !data.departure.is_empty());
    let times: Vec<f64> = data.options.iter().map(|option| option.ready_s.unwrap_or(f64::INFINITY)).collect();
    assert!(times.windows(2).all(|pair| pair[0] <= pair[1]), "fastest first: {times:?}");
    for option in &data.options {
        let end = option.phases.iter().map(|span| span.to_s).fold(0.0, f64::max);
        if let Some(ready) = option.ready_s {
            assert!(
                (ready - end).abs() < 1.0,
                "{}: ready at {ready} s, but its last phase ends at {end} s",
                option.name
            );
        }
    }
}

/// The failures of the rig, as the study finds them by itself.
#[test]
fn the_page_of_failures_shows_what_the_study_finds() {
    let aircraft = crate::read(crate::RIG);
    let choice = Choice { study: Study::Failures, ..choice(&aircraft) };
    let (parts, screen) = screens(&aircraft, &choice);
    let shown = screen.failures.expect("the rig has failures");
    assert!(parts.iter().any(|part| part.failures.as_ref().is_some_and(|data| data.waiting > 0)));
    assert_eq!(shown.waiting, 0);
    let project = model::design::apply(aircraft.node(), None).expect("the demo is valid").project;
    let failures = studies::failures::single_failures(&project);
    let cases = cases::missions(&project);
    let case = cases.iter().find(|case| case.name() == choice.case).expect("it is one");
    let cancel = AtomicBool::new(false);
    let found = studies::failures::run(&[*case], &failures, &FlyOptions::default(), &cancel, |_| ());
    let found = found.expect("they can be flown");
    assert_eq!(shown.rows.len(), found.failures.len());
    let origin = report::json::Origin { program: "", project: "", variant: "", input_hash: "" };
    let told = report::failures::json(&origin, &found);
    for (outcome, told) in found.failures.iter().zip(told["failures"].as_array().expect("a list")) {
        let name = outcome.case.failure.as_deref().expect("each is named");
        let row = shown.rows.iter().find(|row| row.name == name).expect("it stands on the page");
        // what the command says, in the words of the page
        assert_eq!(row.standing.word(), told["standing"]);
        assert_eq!(row.action_reason, told["action_reason"].as_str().unwrap_or_default());
        assert_eq!(
            (row.action.as_str(), outcome.action.word()),
            (outcome.action.words(), told["action"].as_str().expect("a word"))
        );
        assert_eq!(row.action_notes.len(), told["action_notes"].as_array().expect("a list").len());
        let first = outcome.time_to_limit_s().into_iter().chain(outcome.passed_before_touchdown_s);
        assert_eq!(row.time_to_limit_s, first.min_by(f64::total_cmp));
        let short = outcome.time_to_required_s().into_iter().chain(outcome.short_before_touchdown_s);
        assert_eq!(row.time_to_required_s, short.min_by(f64::total_cmp));
    }
}

#[test]
fn the_mission_page_of_a_steady_point_leads_to_the_missions() {
    let aircraft = rig();
    let mission = choice(&aircraft).case;
    let mut harness = start(aircraft, Origin::Untitled("demo".into()), None);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num5);
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, &format!("Show {}", mission.at_condition())).click();
    until(&mut harness, "flown", |harness| harness.state().screen().mission.is_some());
    assert_eq!(harness.state().choice().case, mission);
}

/// The stacked areas hold all the heat that the ledger of the flight books as generated.
#[test]
fn heat_by_source_adds_up_to_the_generated_heat() {
    let aircraft = rig();
    let choice = choice(&aircraft);
    let (_, screen) = screens(&aircraft, &choice);
    let shown = screen.mission.expect("the case is a mission");
    let project = model::design::apply(aircraft.node(), None).expect("the demo is valid").project;
    let cases = cases::missions(&project);
    let case = cases.iter().find(|case| case.name() == choice.case).expect("it is one");
    let flight = studies::missions::fly_case(case, &FlyOptions::default()).expect("it can be flown");
    for sample in 0..flight.times_s.len() {
        let state = flight.case_at(&project, sample);
        let booked: f64 = state.lines.iter().filter(|line| !line.is_rejection).map(|line| line.heat_w).sum();
        let stacked: f64 = shown.heat.series.iter().map(|series| series.points[sample][1]).sum();
        assert!((1e3 * stacked - booked).abs() < 1e-6, "{stacked} kW beside {booked} W");
        let top = shown.heat.stacked().last().expect("there is heat").1.points[sample][1];
        assert!((top - stacked).abs() < 1e-9, "the upper edge is the sum");
    }
    // The area below the upper edge is the heat of the book, which the solver adds up in its own steps.
    let stacked = shown.heat.stacked();
    let edge = &stacked.last().expect("there is heat").1.points;
    let area_j: f64 = edge.windows(2).map(|w| 500.0 * (w[0][1] + w[1][1]) * (w[1][0] - w[0][0])).sum();
    let generated_j = flight.heat.generated_j;
    assert!((area_j / generated_j - 1.0).abs() < 2e-3, "{area_j} J beside {generated_j} J");
    // By hand: the heater alone gives 4 kW for 900 s and 2 kW for 600 s, which is 4.8 MJ; pump and fan come on top.
    assert!(area_j > 4.8e6 && area_j < 5.5e6, "{area_j} J");
}

#[test]
fn another_case_lies_beneath_with_its_difference() {
    let aircraft = rig();
    let choice = choice(&aircraft);
    let compared = Compared { variant: "small radiator".into(), case: choice.case.clone() };
    let time_s = 600.0;
    let choice = Choice { compared: Some(compared.clone()), time_s, ..choice };
    let (_, screen) = screens(&aircraft, &choice);
    let shown = screen.mission.expect("the case is a mission");
    // The other case flown by itself.
    let varied = model::design::apply(aircraft.node(), Some("small radiator")).expect("it is valid");
    let cases = cases::missions(&varied.project);
    let case = cases.iter().find(|case| case.name() == compared.case).expect("it is one");
    let flight = studies::missions::fly_case(case, &FlyOptions::default()).expect("it can be flown");
    let block = flight.component_k("heater block");
    let is_block = |chart: &&Chart| chart.series.iter().any(|series| series.name == "heater block");
    let chart = shown.temperatures.iter().find(is_block).expect("the block has a curve");
    let beneath = chart.beneath.as_ref().expect("the other case is there");
    let curve = beneath.series.iter().find(|series| series.name == "heater block").expect("a curve");
    for (point, (time, temperature)) in curve.points.iter().zip(flight.times_s.iter().zip(&block)) {
        assert_eq!((point[0], point[1]), (*time, temperature - 273.15));
    }
    let at = |points: &[[f64; 2]]| value_at(points, time_s).expect("in the mission");
    let own = chart.series.iter().find(|series| series.name == "heater block").expect("a curve");
    let (own, other) = (at(&own.points), at(&curve.points));
    assert!(other > own + 1.0, "a small radiator is hotter: {other} against {own}");

    // The same in the window: chosen by its box, told beside the curves.
    let mut harness = start(aircraft, Origin::Untitled("demo".into()), None);
    let mission = choice.case.clone();
    harness.get_by_role_and_label(Role::ComboBox, "Case").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, &mission.at_condition()).click();
    until(&mut harness, "flown", |harness| harness.state().screen().mission.is_some());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num5);
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::ComboBox, "of variant").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "small radiator").click();
    until(&mut harness, "laid beneath", |harness| {
        harness.state().screen().mission.as_ref().is_some_and(|mission| mission.beneath.is_some())
    });
    harness.get_by_label_contains("small radiator, lab/heat up and cool down, ");
    let expected =
        format!("at 0:00: {:.1} degC; small radiator, lab/heat up and cool down: ", block_at(&shown, 0.0));
    harness.get_by_label_contains(&format!("heater block {expected}"));
    harness.get_by_role_and_label(Role::ComboBox, "Overlay").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "nothing").click();
    until(&mut harness, "alone again", |harness| {
        harness.state().screen().mission.as_ref().is_some_and(|mission| mission.beneath.is_none())
    });
}

fn block_at(mission: &MissionData, time_s: f64) -> f64 {
    let block =
        mission.temperatures.iter().flat_map(|chart| &chart.series).find(|s| s.name == "heater block");
    value_at(&block.expect("a curve").points, time_s).expect("in the mission")
}
