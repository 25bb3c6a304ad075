//! Levers against derivatives by hand, and on the demo against cases read, decoded and solved again.

use super::{Lever, LeverOptions, MarginLevers, TolerancePedigree, levers, mission_levers};
use aircraft::records::project::Project;
use aircraft::variant::project_shape;
use model::design::decode;
use model::mission::FlyOptions;
use schema::{Node, list_inputs, set_input_si};
use std::sync::atomic::AtomicBool;

/// A block that passes its heat to bay air, and bay air that is carried away: fixed heat, conductance and flow.
const BAY: &str = r#"
Project(
    format: "heatledger", version: 1, name: "bay",
    conditions: [Condition(name: "day", day: Fixed("20 degC"))],
    components: [
        Component(name: "block", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "10 K")]),
        Component(name: "bay air", capacity: "1 kJ/K"),
    ],
    links: [
        Link(name: "film", from: "block", to: "bay air", law: Conductance(Input(value: "5 W/K", tolerance: "15 %"))),
        Link(name: "vent", from: "bay air", to: "outside air", law: Vent(flow: Input(value: "0.02 kg/s", tolerance: "0.002 kg/s"))),
    ],
    heats: [Heat(name: "heater", into: "block", law: Fixed("200 W"))],
    points: [Point(name: "on")],
    cases: [CaseGroup(conditions: ["day"], points: ["on"])],
)
"#;

/// A plate whose heat grows with its own temperature.
const GROWING: &str = r#"
Project(
    format: "heatledger", version: 1, name: "plate",
    conditions: [Condition(name: "day", day: Fixed("30 degC"))],
    components: [Component(name: "plate", capacity: "1 kJ/K", limits: [Limit(value: "120 degC", required: "10 K")])],
    links: [Link(name: "film", from: "plate", to: "outside air", law: Conductance("5 W/K"))],
    heats: [Heat(name: "heater", into: "plate", law: Growing(heat: "200 W", slope: "1 %/K", reference: "20 degC"))],
    points: [Point(name: "on")],
    cases: [CaseGroup(conditions: ["day"], points: ["on"])],
)
"#;

fn read(text: &str) -> (Node, Project) {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(!problems.has_errors(), "{problems}");
    let node = node.expect("the text holds a project");
    let project = decode(&node).unwrap_or_else(|problems| panic!("{problems}"));
    (node, project)
}

fn found(node: &Node, project: &Project, options: &LeverOptions) -> Vec<MarginLevers> {
    levers(node, project, options, &AtomicBool::new(false), |_, _| ())
        .expect("every case can be put together")
}

fn of<'a>(all: &'a [Lever], path: &str) -> &'a Lever {
    all.iter().find(|lever| lever.input.path == path).unwrap_or_else(|| {
        panic!("{path} is no lever; there are {:?}", all.iter().map(|l| &l.input.path).collect::<Vec<_>>())
    })
}

fn assert_close(what: &str, computed: Option<f64>, expected: f64, rel_tol: f64) {
    let computed = computed.unwrap_or_else(|| panic!("{what} has no value"));
    assert!(((computed - expected) / expected).abs() <= rel_tol, "{what}: {computed}, expected {expected}");
}

/// `T = T_out + Q/(m cp) + Q/G` with Q = 200 W, m = 0.02 kg/s, G = 5 W/K and cp of air 1006 J/(kg K) (handbooks give 1005 to 1007 from 0
/// to 50 degC): 200/20.12 = 9.940 K and 40 K, so the block has 69.94 degC and 30.06 K are left.
#[test]
fn levers_are_the_derivatives_of_a_closed_form() {
    let (node, project) = read(BAY);
    let all = found(&node, &project, &LeverOptions::default());
    assert_eq!(all.len(), 1);
    assert_close("margin", Some(all[0].margin.margin), 30.06, 1e-3);
    let levers = &all[0].levers;
    // d/dQ: 1 % of 49.94 K
    assert_close("heat", of(levers, "heats.heater.law").per_percent(), -0.4994, 1e-3);
    // d/dG: Q/G^2, 1 % of 40 K; 15 % of it
    let film = of(levers, "links.film.law");
    assert_close("film", film.per_percent(), 0.4, 1e-5);
    assert_close("film over its tolerance", film.per_tolerance(), 6.0, 1e-5);
    assert_eq!(film.input.tolerance_from, Some(TolerancePedigree::Stated));
    assert_eq!(film.per_kelvin(), None);
    // d/dm: Q/(m^2 cp), 1 % of 9.94 K; 0.002 of 0.02 kg/s is 10 %
    let vent = of(levers, "links.vent.law.flow");
    assert_close("vent", vent.per_percent(), 0.0994, 1e-3);
    assert_close("vent over its tolerance", vent.per_tolerance(), 0.994, 1e-3);
    assert_close("outside air", of(levers, "conditions.day.day").per_kelvin(), -1.0, 1e-3);
    assert_eq!(of(levers, "conditions.day.day").per_percent(), None);
    assert_close("limit", of(levers, "components.block.limits.1.value").per_kelvin(), 1.0, 1e-9);
    assert!(levers.iter().all(|lever| lever.checked));
    // capacity is of no account in a steady case
    assert!(levers.iter().all(|lever| !lever.input.path.ends_with("capacity")));
    // ranked: kelvins first here, then heat, film, vent
    let ranked: Vec<&str> = levers.iter().skip(2).take(3).map(|l| l.input.path.as_str()).collect();
    assert!(levers.windows(2).all(|pair| pair[0].effect().abs() >= pair[1].effect().abs()));
    assert!(ranked.contains(&"heats.heater.law") && ranked.contains(&"links.film.law"), "{ranked:?}");
}

/// `G (T - T_o) = Q (1 + a (T - T_r))`, so `T = (G T_o + Q (1 - a T_r))/(G - Q a)`: with 5 W/K, 30 degC, 200 W, 0.01/K and 20 degC it is
/// (150 + 200 0.8)/3 = 103.33 degC. The feedback makes every slope 5/3 as large: dT/dT_o = 5/3; dT/dQ = (1 + a (T - T_r))/3 =
/// 1.8333/3 K/W; dT/dG = -(T - T_o)/3 = -73.33/3 K^2/W; dT/da = Q (T - T_r)/3; dT/dT_r = -Q a/3.
#[test]
fn feedback_of_a_loss_that_grows_is_in_the_levers() {
    let (node, project) = read(GROWING);
    let all = found(&node, &project, &LeverOptions::default());
    assert_close("margin", Some(all[0].margin.margin), 120.0 - 310.0 / 3.0, 1e-6);
    let levers = &all[0].levers;
    let expect = |path: &str, slope: f64| {
        assert_close(path, Some(of(levers, path).slope), slope, 1e-6);
    };
    expect("conditions.day.day", -5.0 / 3.0);
    expect("heats.heater.law.heat", -1.833_333_3 / 3.0);
    expect("links.film.law", 73.333_333 / 3.0);
    expect("heats.heater.law.slope", -200.0 * 83.333_333 / 3.0);
    expect("heats.heater.law.reference", 2.0 / 3.0);
}

/// A tree with another number at a path.
fn changed(node: &Node, path: &str, si: f64) -> Node {
    let entry = list_inputs(node, project_shape()).into_iter().find(|e| e.path.to_string() == path);
    let mut changed = node.clone();
    set_input_si(&mut changed, project_shape(), &entry.expect("the path exists"), si).expect("it can be set");
    changed
}

/// The margin of a case of a changed tree, decoded and solved from cold.
fn margin_at(node: &Node, path: &str, si: f64, of: &MarginLevers) -> f64 {
    let project = decode(&changed(node, path, si)).unwrap_or_else(|problems| panic!("{path}: {problems}"));
    let case = crate::chosen(&project, &[of.case.to_string()]).expect("the case exists");
    let results = crate::solve(&case, &AtomicBool::new(false), |_| ()).expect("it can be put together");
    super::LimitName::of(&of.margin).find(&results[0].margins).expect("the margin exists").margin
}

/// Every fifth of the strongest levers of the worst margin of the tug against central differences of cold solves of changed files,
/// with a step and with half of it: second order, so that `(4 half - full)/3` is good to fourth order. Inputs at an end of their range
/// (the full cell of the open-circuit table) have no such difference.
#[test]
fn levers_of_the_demo_are_differences_of_changed_files() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/tug.ron");
    let (node, project) =
        read(&std::fs::read_to_string(file).expect("the demo projects are part of the tree"));
    let options = LeverOptions { most: 1, ..LeverOptions::default() };
    let all = found(&node, &project, &options);
    let [of] = all.as_slice() else { panic!("one margin was asked for") };
    assert!(of.levers.len() > 100, "{}", of.levers.len());
    let has_both_sides = |lever: &&Lever| {
        let (path, si, step) = (&lever.input.path, lever.input.si, 100.0 * lever.input.small_step_si());
        [si - step, si + step].iter().all(|si| decode(&changed(&node, path, *si)).is_ok())
    };
    let slopes = of.levers.iter().filter(|lever| !lever.input.is_count() && lever.checked);
    let compared: Vec<&Lever> = slopes.take(60).filter(has_both_sides).step_by(5).collect();
    assert!(compared.len() >= 10, "{}", compared.len());
    for lever in compared {
        let input = &lever.input;
        let step = 100.0 * input.small_step_si();
        let slope = |by: f64| {
            let [below, above] = [-by, by].map(|by| margin_at(&node, &input.path, input.si + by, of));
            (above - below) / (2.0 * by)
        };
        let (full, half) = (slope(step), slope(0.5 * step));
        let expected = (4.0 * half - full) / 3.0;
        let close = 1e-4 * expected.abs() + 2e-7 / step;
        assert!((lever.slope - expected).abs() <= close, "{}: {} {expected}", input.path, lever.slope);
    }
}

/// 320 mm of width at 10 mm a tube are just 32 tubes: a wider pitch takes one away, which is no slope.
#[test]
fn a_jump_is_marked_and_not_ranked_by_its_height() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/tug.ron");
    let (node, project) =
        read(&std::fs::read_to_string(file).expect("the demo projects are part of the tree"));
    let all = found(&node, &project, &LeverOptions { most: 3, ..LeverOptions::default() });
    let pitch = all.iter().flat_map(|of| &of.levers).filter(|l| l.input.path.ends_with("tube_pitch"));
    let jumps: Vec<&Lever> = pitch.filter(|lever| !lever.checked).collect();
    assert!(!jumps.is_empty(), "the pitch of the stator radiator is at a jump");
    assert!(jumps.iter().all(|lever| lever.effect().abs() < 1.0), "{jumps:?}");
}

#[test]
fn a_case_without_a_state_has_no_levers_and_says_so() {
    let text = GROWING.replace("1 %/K", "5 %/K");
    let (node, project) = read(&text);
    assert!(found(&node, &project, &LeverOptions::default()).is_empty());
}

#[test]
fn a_cancelled_study_says_so() {
    let (node, project) = read(BAY);
    let stopped = levers(&node, &project, &LeverOptions::default(), &AtomicBool::new(true), |_, _| ());
    assert_eq!(stopped, Err(crate::StudyError::Cancelled));
}

/// The count of numbers in the records is that of the table of inputs: what a lever moves is what its path says.
#[test]
fn numbers_of_the_records_are_those_of_the_table_of_inputs() {
    for demo in ["tug", "rescue", "rig"] {
        let file = format!("{}/../../demo-projects/{demo}.ron", env!("CARGO_MANIFEST_DIR"));
        let (node, mut project) =
            read(&std::fs::read_to_string(file).expect("the demo projects are part of the tree"));
        let listed: Vec<f64> = list_inputs(&node, project_shape()).iter().map(|entry| entry.si).collect();
        assert!(listed.len() > 100);
        assert_eq!(schema::numbers_si(&mut project), listed, "{demo}");
    }
}

/// A factor on a family reaches the devices given by
/// their dimensions, and only those: the sump has a fixed conductance.
#[test]
fn factors_of_relations_reach_what_is_given_by_dimensions() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/tug.ron");
    let text = std::fs::read_to_string(file).expect("the demo projects are part of the tree");
    let rises = |text: &str| {
        let (_, project) = read(text);
        let cases = crate::chosen(&project, &["hot day/tow climb".to_owned()]).expect("the case exists");
        let results = crate::solve(&cases, &AtomicBool::new(false), |_| ()).expect("it can be put together");
        let stations = results[0].loops.iter().flat_map(|l| &l.stations);
        let conductance = |name: &str| {
            let found = stations.clone().find(|station| station.name == name);
            found.expect("the device exists").conductance_w_k
        };
        [conductance("left jacket"), conductance("battery plate"), conductance("sump")]
    };
    let plain = rises(&text);
    let doubled = rises(&text.replacen(
        "uncorrelated: \"15 K\"",
        "uncorrelated: \"15 K\", relations: RelationFactors(wetted_walls: 2)",
        1,
    ));
    // flow and temperature shift a little with it
    assert!((doubled[0] / plain[0] - 2.0).abs() < 0.05, "{plain:?} {doubled:?}");
    assert!((doubled[1] / plain[1] - 2.0).abs() < 0.05, "{plain:?} {doubled:?}");
    assert!((doubled[2] - plain[2]).abs() < 1e-9, "{plain:?} {doubled:?}");
}

/// A plate that warms for 200 s of a time constant of `C/G` = 1000/5 = 200 s from the outside air: `T - T_o = Q/G (1 - 1/e)`, 25.285 K. Per
/// percent: of Q 0.25285 K; of C `-Q/G t/tau e^(-t/tau)` = -14.715 K, 0.14715 K; of G the sum of both, 25.285 - 14.715 = 10.570 K; of the
/// duration 0.14715 K. Per kelvin outside, where everything begins at the outside air, 1 K.
#[test]
fn levers_of_a_flight_are_the_derivatives_of_a_warming_plate() {
    let text = r#"Project(
    format: "heatledger", version: 1, name: "plate",
    conditions: [Condition(name: "day", day: Fixed("20 degC"))],
    components: [Component(name: "plate", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "10 K")])],
    links: [Link(name: "film", from: "plate", to: "outside air", law: Conductance("5 W/K"))],
    heats: [Heat(name: "heater", into: "plate", law: Fixed("200 W"))],
    points: [Point(name: "on")],
    missions: [Mission(name: "warm", start: OutsideAir, segments: [Segment(name: "heated", duration: "200 s", point: "on", ground: true)], soak: LeftOut("a bench"))],
    cases: [CaseGroup(conditions: ["day"], missions: ["warm"])],
)"#;
    let (node, project) = read(text);
    let (options, cancel) = (LeverOptions::default(), AtomicBool::new(false));
    let all = mission_levers(&node, &project, &options, &FlyOptions::default(), &cancel, |_, _| ());
    let all = all.expect("it can be flown");
    let [of] = all.as_slice() else { panic!("one margin: {}", all.len()) };
    assert_close("margin", Some(of.margin.margin), 80.0 - 25.285, 2e-3);
    let expect = |path: &str, expected: f64| {
        let effect = super::tests::of(&of.levers, path).effect();
        assert!((effect - expected).abs() < 0.004, "{path}: {effect}, expected {expected}");
    };
    expect("heats.heater.law", -0.252_85);
    expect("components.plate.capacity", 0.147_15);
    expect("links.film.law", 0.105_70);
    expect("missions.warm.segments.heated.duration", -0.147_15);
    expect("conditions.day.day", -1.0);
    assert!(of.levers.iter().all(|lever| lever.checked), "{:?}", of.levers);
    let stopped =
        mission_levers(&node, &project, &options, &FlyOptions::default(), &AtomicBool::new(true), |_, _| ());
    assert_eq!(stopped, Err(crate::StudyError::Cancelled));
}
