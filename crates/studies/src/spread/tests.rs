//! Spread of networks whose margins are linear in their inputs, against closed forms.

use super::measure::upper_bound;
use super::{Distribution, Joint, MarginSpread, SpreadOptions, flights, spread};
use crate::StudyError;
use aircraft::records::project::Project;
use model::design::decode;
use model::mission::FlyOptions;
use schema::Node;
use std::sync::atomic::AtomicBool;

/// `margin = limit - T_out - Q/G`: 100 - 20 - 40 = 40 K at the base design.
fn plate(outside: &str, heat: &str, required: &str) -> (Node, Project) {
    let text = format!(
        r#"Project(
    format: "heatledger", version: 1, name: "plate",
    conditions: [Condition(name: "day", day: Fixed({outside}))],
    components: [Component(name: "plate", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "{required}")])],
    links: [Link(name: "film", from: "plate", to: "outside air", law: Conductance("5 W/K"))],
    heats: [Heat(name: "heater", into: "plate", law: Fixed({heat}))],
    points: [Point(name: "on")],
    missions: [Mission(name: "wait", start: OutsideAir, segments: [Segment(name: "heated", duration: "60 min", point: "on", ground: true)], soak: LeftOut("a bench"))],
    cases: [CaseGroup(conditions: ["day"], points: ["on"], missions: ["wait"])],
)"#
    );
    read(&text)
}

fn read(text: &str) -> (Node, Project) {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(!problems.has_errors(), "{problems}");
    let node = node.expect("the text holds a project");
    let project = decode(&node).unwrap_or_else(|problems| panic!("{problems}"));
    (node, project)
}

fn tug() -> (Node, Project) {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/tug.ron");
    read(&std::fs::read_to_string(file).expect("the demo projects are part of the tree"))
}

const WARM: &str = r#"Input(value: "20 degC", tolerance: "4 K")"#;
const HEATED: &str = r#"Input(value: "200 W", tolerance: "20 W")"#;

fn only(node: &Node, project: &Project, options: &SpreadOptions) -> MarginSpread {
    let found =
        spread(node, project, options, &AtomicBool::new(false), |_| ()).expect("it can be put together");
    let [margin] = found.margins.as_slice() else { panic!("one limit: {:?}", found.margins) };
    margin.clone()
}

fn assert_within(what: &str, computed: f64, expected: f64, tolerance: f64) {
    assert!((computed - expected).abs() <= tolerance, "{what}: {computed}, expected {expected}");
}

/// 200 W within 20 W over 5 W/K: uniform from 36 to 44 K of rise, so the margin is uniform from 36 to 44 K: quantiles 36.4, 40, 43.6;
/// 38 K are required: a quarter is short.
#[test]
fn one_uniform_input_gives_a_uniform_margin() {
    let (node, project) = plate("\"20 degC\"", HEATED, "38 K");
    let found = only(&node, &project, &SpreadOptions { samples: 4096, ..SpreadOptions::default() });
    assert_within("p05", found.quantiles.p05, 36.4, 0.005);
    assert_within("p50", found.quantiles.p50, 40.0, 0.005);
    assert_within("p95", found.quantiles.p95, 43.6, 0.005);
    assert_within("short", found.quantiles.probability_short, 0.25, 0.001);
    assert_eq!(found.quantiles.probability_past, 0.0);
    assert_within("half p05", found.half.p05, 36.4, 0.01);
    assert_within("explained", found.explained.expect("it varies"), 1.0, 1e-9);
    assert_eq!(found.contributions.len(), 1);
    // one standard deviation of a uniform law is its half-width over the root of 3: 4 K/1.73205
    assert_within("effect", found.contributions[0].per_deviation, -2.3094, 0.001);
}

/// The sum of two uniform laws of half-width 4 K is a triangle from -8 to 8 K: its distribution below the middle is (x + 8)^2/128, so
/// 5 % lie below -8 + sqrt(6.4) = -5.4702 K, and 2^2/128 = 3.125 % below -6 K. The density there is 2.53/64 = 0.0395 for each kelvin, so that
/// 8192 random samples would put a quantile of 5 % within sqrt(0.05 x 0.95/8192)/0.0395 = 0.061 K (one standard deviation).
#[test]
fn two_uniform_inputs_give_their_convolution() {
    let (node, project) = plate(WARM, HEATED, "34 K");
    let found = only(&node, &project, &SpreadOptions { samples: 8192, ..SpreadOptions::default() });
    assert_within("p05", found.quantiles.p05, 40.0 - 5.4702, 0.061);
    assert_within("p50", found.quantiles.p50, 40.0, 0.03);
    assert_within("p95", found.quantiles.p95, 40.0 + 5.4702, 0.061);
    assert_within("short", found.quantiles.probability_short, 0.03125, 0.001);
    assert_within("explained", found.explained.expect("it varies"), 1.0, 1e-9);
    for contribution in &found.contributions {
        assert_within(&contribution.path, contribution.share, 0.5, 0.005);
    }
    assert_eq!(found.contributions.len(), 2);
}

/// Two plates in one outside air x, uniform within 4 K, the second with a heat that moves it by y, uniform within 4 K; 40 K of margin each
/// and 38 K required. The first is short where x > 2: 1/4. The second where x + y > 2: 6^2/128 = 0.28125. Neither is short on 16 + 24 of
/// the 64 K2 of the square, so that any is in 24/64 = 0.375: less than 1 - 0.75 x 0.71875 = 0.461 of independent plates, and far less than
/// the sum, because the air is one and the same.
#[test]
fn what_limits_have_in_common_is_sampled_once() {
    let text = format!(
        r#"Project(
    format: "heatledger", version: 1, name: "plates",
    conditions: [Condition(name: "day", day: Fixed({WARM}))],
    components: [
        Component(name: "first", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "38 K")]),
        Component(name: "second", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "38 K")]),
    ],
    links: [
        Link(name: "film", from: "first", to: "outside air", law: Conductance("5 W/K")),
        Link(name: "other film", from: "second", to: "outside air", law: Conductance("5 W/K")),
    ],
    heats: [
        Heat(name: "heater", into: "first", law: Fixed("200 W")),
        Heat(name: "other heater", into: "second", law: Fixed({HEATED})),
    ],
    points: [Point(name: "on")],
    missions: [
        Mission(name: "wait", segments: [Segment(name: "heated", duration: "60 min", point: "on", ground: true)], soak: LeftOut("a bench")),
        Mission(name: "wait less", segments: [Segment(name: "heated", duration: "50 min", point: "on", ground: true)], soak: LeftOut("a bench")),
    ],
    cases: [CaseGroup(conditions: ["day"], points: ["on"], missions: ["wait", "wait less"])],
)"#
    );
    let (node, project) = read(&text);
    let options = SpreadOptions { samples: 8192, ..SpreadOptions::default() };
    let found =
        spread(&node, &project, &options, &AtomicBool::new(false), |_| ()).expect("it can be put together");
    let mut each: Vec<f64> = found.margins.iter().map(|of| of.quantiles.probability_short).collect();
    each.sort_by(f64::total_cmp);
    // one standard deviation of as many random samples is sqrt(0.375 x 0.625/8192) = 0.0053
    assert_within("first", each[0], 0.25, 0.0053);
    assert_within("second", each[1], 0.28125, 0.0053);
    assert_within("any", found.joint.short().0, 0.375, 0.0053);
    // none of 8192 passes a limit: with 95 % confidence below 3/n
    let (past, bound) = found.joint.past();
    assert_eq!(past, 0.0);
    assert_within("bound", bound, 3.0 / 8192.0, 1e-6);
    // both missions settle to the steady case: the same samples are short in both, and together no more than in one
    let options = SpreadOptions { samples: 256, ..options };
    let fly = FlyOptions::default();
    let flown = flights(&node, &project, &options, &fly, &AtomicBool::new(false), |_| ()).expect("they fly");
    let together = Joint::together(flown.iter().map(|flight| &flight.joint));
    assert_eq!(together, flown[0].joint);
    assert_within("any of both", together.short().0, 0.375, 0.03);
}

/// A normal law of which 4 K are two standard deviations, cut at three: 5 % of what is left lie below the score of 0.00135 + 0.05
/// 0.99730 = 0.051215, which tables of the normal law put at -1.6331, so 3.266 K below the middle.
#[test]
fn a_normal_input_gives_a_normal_margin() {
    let (node, project) = plate(WARM, "\"200 W\"", "10 K");
    let options = SpreadOptions { samples: 4096, stated: Distribution::Normal, ..SpreadOptions::default() };
    let found = only(&node, &project, &options);
    assert_within("p05", found.quantiles.p05, 40.0 - 3.266, 0.005);
    assert_within("p95", found.quantiles.p95, 40.0 + 3.266, 0.005);
    assert_eq!(found.quantiles.probability_short, 0.0);
    // none of 4096: 1 - 0.05^(1/4096) = 7.311e-4
    assert_within("bound", found.quantiles.probability_short_bound, 7.311e-4, 1e-6);
}

/// The rule of three; and 1 of 20 from tables of Clopper and Pearson intervals: 95 % one-sided upper end 0.2161.
#[test]
fn bounds_of_a_probability_are_those_of_the_tables() {
    assert_within("0 of 100", upper_bound(0, 100), 0.029_513, 1e-6);
    assert_within("1 of 20", upper_bound(1, 20), 0.2161, 1e-4);
    assert_eq!(upper_bound(7, 7), 1.0);
    // what the bound says: so few hits or fewer have a chance of 5 %: 0.95^n-like sum of two terms
    let p = upper_bound(1, 20);
    assert_within("chance", (1.0 - p).powi(20) + 20.0 * p * (1.0 - p).powi(19), 0.05, 1e-6);
}

#[test]
fn a_design_without_tolerances_has_no_spread() {
    let (node, project) = plate("\"20 degC\"", "\"200 W\"", "10 K");
    let found = only(&node, &project, &SpreadOptions { samples: 16, ..SpreadOptions::default() });
    assert_eq!((found.quantiles.p05, found.quantiles.p95), (found.quantiles.p50, found.quantiles.p50));
    assert_eq!((found.explained, found.contributions.len()), (None, 0));
}

/// Cases of the demo by seed and by number of threads: the same bits.
#[test]
fn the_same_seed_gives_the_same_bits_on_any_number_of_threads() {
    let (node, project) = tug();
    let run = |threads: usize, seed: u32| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads can be had");
        let cases = vec!["hot day/take-off".to_owned(), "hot day/return".to_owned()];
        let options = SpreadOptions { samples: 48, seed, cases, ..SpreadOptions::default() };
        pool.install(|| spread(&node, &project, &options, &AtomicBool::new(false), |_| ()))
            .expect("the demo can be put together")
    };
    let one = run(1, 7);
    assert_eq!(one, run(3, 7));
    assert_ne!(one.margins, run(2, 8).margins);
    // the spread of the demo moves stated tolerances and published scatter
    assert!(one.inputs.iter().any(|input| input.path == "powertrain.bus.cell.resistance"));
    assert!(one.inputs.iter().any(|input| input.path == "policy.relations.core_air"));
}

/// The bench rig in a cold lab: its plate stands between laminar and turbulent flow, so the place between published laws moves its block.
#[test]
fn the_place_between_published_laws_is_moved() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/rig.ron");
    let text = std::fs::read_to_string(file).expect("the demo projects are part of the tree");
    let (node, project) = read(&text.replace("day: Fixed(\"22 degC\")", "day: Fixed(\"18 degC\")"));
    let cases = vec!["lab/full heat".to_owned()];
    let options = SpreadOptions { samples: 128, cases, ..SpreadOptions::default() };
    let found =
        spread(&node, &project, &options, &AtomicBool::new(false), |_| ()).expect("it can be put together");
    let path = "policy.relations.tube_law";
    let input = found.inputs.iter().find(|input| input.path == path).expect("it is published");
    // from one published law to the other is two standard deviations
    assert_eq!((input.si, input.half_width_si, input.shape), (0.0, 1.0, Distribution::Normal));
    let block = found.margins.iter().find(|of| of.margin.place == "heater block").expect("it has a limit");
    let share = block.contributions.iter().find(|of| of.path == path).map_or(0.0, |of| of.share);
    assert!(share > 0.02, "{:?}", block.contributions);
}

#[test]
fn tolerances_that_reach_impossible_values_are_refused_by_name() {
    let (node, project) = plate("\"20 degC\"", "\"200 W\"", "10 K");
    let text = project::write(&node).replace("\"1 kJ/K\"", "Input(value: \"1 kJ/K\", tolerance: \"120 %\")");
    let (wide, _) = read(&text);
    let refused = spread(&wide, &project, &SpreadOptions::default(), &AtomicBool::new(false), |_| ());
    let Err(StudyError::Project(problem)) = refused else { panic!("{refused:?}") };
    assert!(
        problem.path == "components.plate.capacity" && problem.message.contains("tolerances"),
        "{problem}"
    );
}

/// A flight long enough to settle (3600 s at a time constant of 1000 J/K over 5 W/K = 200 s) ends with the steady spread: the least
/// margin is the last one. The band of the plate at the end is 20 + 40 K within the same quantiles.
#[test]
fn flights_spread_as_the_steady_state_they_settle_to() {
    let (node, project) = plate("\"20 degC\"", HEATED, "38 K");
    let options = SpreadOptions { samples: 64, ..SpreadOptions::default() };
    let cancel = AtomicBool::new(false);
    let all =
        flights(&node, &project, &options, &FlyOptions::default(), &cancel, |_| ()).expect("it can be flown");
    let [mission] = all.as_slice() else { panic!("one mission: {}", all.len()) };
    let plate = &mission.margins[0];
    assert_within("p05", plate.quantiles.p05, 36.4, 0.2);
    assert_within("p95", plate.quantiles.p95, 43.6, 0.2);
    let band = mission.bands.iter().find(|band| band.component == "plate").expect("the component");
    assert_within("end of the band, p05", band.p05_k[120] - 273.15, 56.4, 0.2);
    assert_within("end of the band, p50", band.p50_k[120] - 273.15, 60.0, 0.2);
    assert_within("end of the band, p95", band.p95_k[120] - 273.15, 63.6, 0.2);
    // all begin alike
    assert_within("beginning", band.p95_k[0] - band.p05_k[0], 0.0, 1e-9);
}

#[test]
fn too_many_samples_are_refused_and_a_cancelled_study_says_so() {
    let (node, project) = plate(WARM, HEATED, "10 K");
    let options = SpreadOptions { samples: 70_000, ..SpreadOptions::default() };
    let refused = spread(&node, &project, &options, &AtomicBool::new(false), |_| ());
    assert!(matches!(refused, Err(StudyError::Project(_))), "{refused:?}");
    let stopped = spread(&node, &project, &SpreadOptions::default(), &AtomicBool::new(true), |_| ());
    assert_eq!(stopped, Err(StudyError::Cancelled));
}

/// 200 W (1 + a (T - 20 degC)) against 5 W/K: the rise is 200 W/(5 W/K - 200 W a). The model ends 50 K above the limit, so a rise of 130 K
/// and more counts as none: a above (5 - 200/130)/200 = 0.0173077/K. Of a uniform within 0.008 to 0.02/K that is 22.44 %. The limit of
/// 100 degC is passed above 80 K of rise, a above (5 - 200/80)/200 = 0.0125/K: 62.5 %.
#[test]
fn samples_without_a_state_count_as_short() {
    let text = r#"Project(
    format: "heatledger", version: 1, name: "plate",
    conditions: [Condition(name: "day", day: Fixed("20 degC"))],
    components: [Component(name: "plate", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "0 K")])],
    links: [Link(name: "film", from: "plate", to: "outside air", law: Conductance("5 W/K"))],
    heats: [Heat(name: "heater", into: "plate", law: Growing(heat: "200 W", slope: Input(value: "1.4 %/K", tolerance: "0.6 %/K"), reference: "20 degC"))],
    points: [Point(name: "on")],
    cases: [CaseGroup(conditions: ["day"], points: ["on"])],
)"#;
    let (node, project) = read(text);
    let found = only(&node, &project, &SpreadOptions { samples: 4096, ..SpreadOptions::default() });
    assert_within("without a state", found.without_state as f64 / 4096.0, 0.2244, 0.002);
    assert_within("short", found.quantiles.probability_short, 0.625, 0.001);
    assert_eq!(found.quantiles.probability_short, found.quantiles.probability_past);
    assert!(!found.quantiles.p05.is_finite(), "5 % have no state: {}", found.quantiles.p05);
}
