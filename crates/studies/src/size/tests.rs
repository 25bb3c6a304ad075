//! A heated block, one loop, one radiator: what is sized is solved again, and compared with a full grid.

use super::{CoreChoice, Design, Plan, SearchScope, SizeOptions, SizeResult, size};
use crate::StudyError;
use aircraft::records::project::Project;
use aircraft::variant;
use model::assembly::Situation;
use model::case;
use model::cases;
use model::design::decode;
use schema::{self, Node};
use std::sync::atomic::AtomicBool;

const RIG: &str = include_str!("../../fixtures/bench.ron");

/// Height and depth are free, the width is one value.
const TWO: &str = r#"Sizing(name: "room", circuit: "glycol", width: LengthRange(least: "160 mm", most: "160 mm"),
    height: LengthRange(least: "20 mm", most: "260 mm"), depth: LengthRange(least: "12 mm", most: "60 mm"))"#;

fn node(sizing: &str, edit: impl Fn(String) -> String) -> Node {
    let text = edit(RIG.replace("SIZING", sizing));
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    node.expect("the text holds a project")
}

fn project(sizing: &str, edit: impl Fn(String) -> String) -> Project {
    decode(&node(sizing, edit)).unwrap_or_else(|problems| panic!("{problems}"))
}

fn sized(project: &Project, options: &SizeOptions) -> SizeResult {
    size(project, "glycol", options, &AtomicBool::new(false), |_, _| {})
        .unwrap_or_else(|error| panic!("{error}"))
}

fn plain() -> SizeOptions {
    SizeOptions { relax: false, ..SizeOptions::default() }
}

/// The least reserve of all cases, K, without the help of the study.
fn min_reserve(project: &Project) -> f64 {
    let reserve = |one: &Situation<'_>| {
        let result = case::solve(one).expect("the case can be put together");
        if result.status == model::result::Status::OutOfRange {
            // so small a core that the model ends: it holds nothing
            return f64::NEG_INFINITY;
        }
        assert!(result.status.can_be_judged(), "{:?}", result.notices);
        result.margins.iter().map(model::result::Margin::reserve).fold(f64::INFINITY, f64::min)
    };
    cases::steady(project).iter().map(reserve).fold(f64::INFINITY, f64::min)
}

/// The changes of the result, made of the file, give a design that holds its binding margin at the target: not short, and within
/// 0.05 K of it.
#[test]
fn a_sized_core_solved_again_holds_its_margin_at_the_target() {
    let node = node(TWO, |text| text);
    let project = decode(&node).unwrap_or_else(|problems| panic!("{problems}"));
    let result = sized(&project, &plain());
    assert!(result.holds());
    let sized = result.sized.expect("there is room enough");
    assert_eq!(sized.binding.case.to_string(), "warm/on");
    let changed = schema::apply_changes(&node, variant::project_shape(), &sized.changes)
        .unwrap_or_else(|problems| panic!("{problems:?}"));
    let again = decode(&changed).unwrap_or_else(|problems| panic!("{problems}"));
    let reserve_k = min_reserve(&again);
    assert!((-1e-9..0.05).contains(&reserve_k), "{reserve_k}");
    let book = model::budget::masses(&again).expect("the core can be built");
    let of = |name: &str| book.lines.iter().find(|line| line.name == name).expect("it has a line");
    let by_book = of("radiator").total_kg() + of("pump").dry_kg + of("fan").dry_kg;
    assert!((sized.mass_kg - by_book).abs() < 1e-6, "{} and {by_book} by the book", sized.mass_kg);
}

/// Every height and depth of a grid over the whole room, each solved: none that holds is lighter than what was found.
#[test]
fn a_full_grid_finds_nothing_lighter() {
    let project = project(TWO, |text| text);
    let found = sized(&project, &plain()).sized.expect("there is room enough");
    let plan = Plan::of(&project, "glycol").expect("the loop can be sized");
    let mut lightest_kg = f64::INFINITY;
    for depth in 0..13 {
        for height in 0..25 {
            let core = CoreChoice::Fins {
                layers: 16,
                height_m: 0.02 + 0.01 * f64::from(height),
                depth_m: 0.012 + 0.004 * f64::from(depth),
                fin: 0,
            };
            let design = Design { core, pump: None, fan: None };
            let mass_kg = plan.mass_kg(&project, &design).expect("the core can be built");
            if mass_kg < lightest_kg && min_reserve(&plan.applied(&project, &design)) >= 0.0 {
                lightest_kg = mass_kg;
            }
        }
    }
    assert!(lightest_kg.is_finite());
    assert!(found.mass_kg <= lightest_kg + 1e-9, "{} against {lightest_kg} of the grid", found.mass_kg);
    // and the grid is not far off, so the comparison says something
    assert!(found.mass_kg > 0.9 * lightest_kg, "{} against {lightest_kg} of the grid", found.mass_kg);
}

#[test]
fn a_hotter_day_never_gives_a_lighter_radiator() {
    let mut before_kg = 0.0;
    for celsius in [25, 32, 40, 46] {
        let warm = format!("Fixed(\"{celsius} degC\")");
        let project = project(TWO, |text| text.replace("Fixed(\"40 degC\")", &warm));
        let options = SizeOptions { reach: SearchScope::Height, ..plain() };
        let result = sized(&project, &options);
        let mass_kg = result.sized.map_or(f64::INFINITY, |sized| sized.mass_kg);
        assert!(mass_kg >= before_kg, "{celsius} degC: {mass_kg} after {before_kg}");
        before_kg = mass_kg;
    }
    assert!(before_kg.is_finite());
}

/// At 85 degC the radiator would have to cool the block to 80: no size does, and what is short is told. The cool case alone is sized.
#[test]
fn what_no_size_holds_is_told() {
    let edit = |text: String| text.replace("Fixed(\"40 degC\")", "Fixed(\"85 degC\")");
    let result = sized(&project(TWO, edit), &plain());
    assert!(!result.holds());
    let [one] = result.infeasible.as_slice() else { panic!("{:?}", result.infeasible) };
    assert_eq!(one.case.to_string(), "warm/on");
    // the air alone is 5 K above what is required
    assert!(one.obstacle.short_by().is_none_or(|by| by > 5.0), "{one:?}");
    assert_eq!(result.sized.expect("the rest holds").binding.case.to_string(), "cool/on");
    let alone = SizeOptions { without: vec!["cool/on".to_owned()], ..plain() };
    let result = sized(&project(TWO, edit), &alone);
    assert!(result.sized.is_none() && result.short[0].reserve < 0.0, "{:?}", result.short);
    assert_eq!(result.short[0].case.to_string(), "warm/on");
}

/// A limit of a part that the loop does not reach is set aside, told, and does not stand in the way of the rest.
#[test]
fn a_limit_that_no_size_moves_is_set_aside_and_told() {
    let edit = |text: String| {
        text.replace(
            "components: [",
            "links: [Link(from: \"lamp\", to: \"outside air\", law: Conductance(\"1 W/K\"))],
             components: [Component(name: \"lamp\", capacity: \"1 kJ/K\", limits: [Limit(value: \"100 degC\", required: \"10 K\")]),",
        )
        .replace("heats: [", "heats: [Heat(name: \"glow\", into: \"lamp\", law: Fixed(\"55 W\")),")
    };
    let options = SizeOptions { reach: SearchScope::Height, ..plain() };
    let result = sized(&project(TWO, edit), &options);
    // 40 + 55/1 = 95 degC against 100 - 10
    assert!(result.sized.is_some() && !result.holds());
    assert_eq!(result.beyond.len(), 1);
    let margin = result.beyond[0].margin.as_ref().expect("it has a state");
    assert_eq!(margin.place, "lamp");
    assert!((margin.margin - 5.0).abs() < 1e-6);
    let without = sized(&project(TWO, |text| text), &options).sized.expect("there is room enough");
    assert!((result.sized.expect("checked above").mass_kg - without.mass_kg).abs() < 1e-3);
}

/// Of three cores with the one conductance each, the lightest that holds is chosen; the rest is ranked.
#[test]
fn listed_cores_are_ranked_with_reasons() {
    let core = |name: &str, conductance: f64, mass: f64| {
        format!(
            "Core(name: \"{name}\", transfer: Fixed(\"{conductance} W/K\"), liquid_flow: Point(drop: \"8 kPa\", at: \"12 L/min\"),
             air_flow: Point(drop: \"90 Pa\", at: \"0.2 m3/s\"), mass: \"{mass} kg\")"
        )
    };
    let sizing = format!(
        "Sizing(name: \"list\", circuit: \"glycol\", cores: [{}, {}, {}])",
        core("heavy", 300.0, 3.0),
        core("weak", 20.0, 0.5),
        core("right", 200.0, 2.0)
    );
    let result = sized(&project(&sizing, |text| text), &plain());
    let order: Vec<&str> = result.tried.iter().map(|tried| tried.core.as_str()).collect();
    assert_eq!(order, ["right", "heavy", "weak"]);
    assert!(result.tried[2].mass_kg.is_none() && result.tried[2].binding.reserve < 0.0);
    assert_eq!(result.sized.expect("two of them hold").core_dry_kg, 2.0);
}

/// A plate that takes its loss from a fixed flow of water, and two cores of known conductance and mass: what the lighter one is short of is
/// what its limit would have to be looser by, and what that saves is the difference of the stated masses.
#[test]
fn a_list_tells_what_a_looser_limit_would_save() {
    let core = |name: &str, conductance: f64, mass: f64| {
        format!(
            "Core(name: \"{name}\", transfer: Fixed(\"{conductance} W/K\"), liquid_flow: Point(drop: \"8 kPa\", at: \"12 L/min\"),
             air_flow: Point(drop: \"90 Pa\", at: \"0.2 m3/s\"), volume: \"0.5 L\", mass: \"{mass} kg\")"
        )
    };
    let sizing = |cores: &[String]| {
        format!("Sizing(name: \"list\", circuit: \"glycol\", cores: [{}])", cores.join(", "))
    };
    let (light, heavy) = (core("light", 60.0, 1.25), core("heavy", 200.0, 2.0));
    let project = project(&sizing(&[light, heavy]), |text| text);
    let result = sized(&project, &SizeOptions::default()).sized.expect("the heavy one holds");
    let [saving] = result.relaxations.as_slice() else { panic!("{:?}", result.relaxations) };
    // 2.00 - 1.25 kg: the same content, pump and fan
    assert!((saving.saved_kg - 0.75).abs() < 1e-9, "{saving:?}");
    // the project with the light core, solved by itself, is short by that much
    let plan = Plan::of(&project, "glycol").expect("the loop can be sized");
    let design = Design { core: CoreChoice::Listed(0), pump: None, fan: None };
    let short_k = -min_reserve(&plan.applied(&project, &design));
    assert!(short_k > 1.0, "{short_k}");
    assert_eq!(saving.what, format!("block, continuous: {short_k:.1} K looser; for light"));
}

/// One kelvin looser saves mass, and the mass is that of the project whose limit is one kelvin higher.
#[test]
fn a_looser_limit_saves_what_a_project_with_that_limit_saves() {
    let options = SizeOptions { reach: SearchScope::Height, ..SizeOptions::default() };
    let result = sized(&project(TWO, |text| text), &options).sized.expect("there is room enough");
    let looser = &result.relaxations[0];
    assert!(looser.saved_kg > 0.0, "{looser:?}");
    let edited = project(TWO, |text| text.replace("required: \"10 K\"", "required: \"9 K\""));
    let by_edit = sized(&edited, &options).sized.expect("there is room enough");
    let mass_kg = looser.mass_kg.expect("it holds");
    // both are searched to 5 mK of the target
    assert!((mass_kg - by_edit.mass_kg).abs() < 2e-3, "{mass_kg} and {}", by_edit.mass_kg);
}

#[test]
fn the_number_of_threads_changes_nothing_and_a_cancelled_study_says_so() {
    let project = project(TWO, |text| text);
    let on = |threads| {
        let pool =
            rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads can be started");
        pool.install(|| sized(&project, &plain()))
    };
    assert_eq!(on(1), on(3));
    let cancelled = size(&project, "glycol", &plain(), &AtomicBool::new(true), |_, _| {});
    assert_eq!(cancelled, Err(StudyError::Cancelled));
}

/// Two pumps make two combinations: stopped after the first, that is what there is, and the other is told as missing.
#[test]
fn a_sizing_that_is_stopped_on_its_way_keeps_what_it_has() {
    let machine = |name: &str| {
        format!(
            "Machine(name: \"{name}\", curve: [(\"0 L/min\", \"95 kPa\"), (\"26 L/min\", \"5 kPa\")], power: Efficiency(0.3))"
        )
    };
    let pumps = format!("pumps: [{}, {}])", machine("one"), machine("other"));
    let two = format!("{}, {pumps}", TWO.trim_end().trim_end_matches(')').to_owned() + ")");
    let project = project(&two, |text| text);
    let cancel = AtomicBool::new(false);
    // the infeasible cases, two combinations, the closest limits
    let found = size(&project, "glycol", &plain(), &cancel, |done, of| {
        assert_eq!(of, 4);
        cancel.store(done >= 2, std::sync::atomic::Ordering::Relaxed);
    });
    let found = found.expect("one of two");
    assert!(!found.is_whole() && !found.holds());
    assert!(found.missing.starts_with("1 of 2 combinations"), "{}", found.missing);
    assert_eq!(found.tried.len(), 1);
    let whole = sized(&project, &plain());
    let kept = found.sized.expect("the first holds");
    assert!(whole.tried.iter().any(|tried| tried.mass_kg == Some(kept.mass_kg)));
}

/// With its pump stopped the block boils whatever the radiator: the case is named, and the size is that without it.
#[test]
fn an_infeasible_case_is_named_and_the_rest_is_sized() {
    let failed = |text: String| {
        text.replace(
            "points: [Point(name: \"on\")]",
            "failures: [Failure(name: \"pump stops\", what: Stopped(\"pump\"))], points: [Point(name: \"on\")]",
        )
        .replace("points: [\"on\"])", "points: [\"on\"], failures: [\"pump stops\"])")
    };
    let result = sized(&project(TWO, failed), &plain());
    assert!(!result.holds());
    let named: Vec<String> = result.infeasible.iter().map(|one| one.case.to_string()).collect();
    assert_eq!(named, ["warm/on/pump stops", "cool/on/pump stops"]);
    let without = sized(&project(TWO, |text| text), &plain()).sized.expect("there is room enough");
    let mass_kg = result.sized.expect("the rest holds").mass_kg;
    assert!((mass_kg - without.mass_kg).abs() < 1e-9, "{mass_kg} and {}", without.mass_kg);
    let left_out = SizeOptions { without: named, ..plain() };
    let result = sized(&project(TWO, failed), &left_out);
    assert!(result.holds() && result.infeasible.is_empty());
}
