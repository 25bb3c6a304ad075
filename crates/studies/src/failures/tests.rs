//! A cell that is cooled by a fan until the fan stops: every time and temperature follows by hand.

use super::hazard::{hazards, liquids_lost, lost_oil, redundancy_lost};
use super::trace::{Trace, first_below_zero, sustained};
use super::{Action, FailureOutcome, FailureStudy, Reason, hottest_cases, run, single_failures};
use crate::StudyError;
use aircraft::records::project::Project;
use model::case_name::CaseName;
use model::design::decode;
use model::evidence::RequiredBy;
use model::mission::FlyOptions;
use model::result::{CaseResult, Margin, MarginKind, Status};
use model::standing::Standing;
use std::sync::atomic::{AtomicBool, Ordering};

/// The single cell of practice.md 12.16, invented data with textbook arithmetic: 70 g x 950 J/(kg K) = 66.5 J/K, 15 A through 20 mOhm = 4.5 W,
/// 8 K/W to the outside air: time constant 532 s, 36.0 K steady. The lost supply feeds a fan that blows beside it, so nothing changes.
const CELL: &str = include_str!("../../fixtures/cell.ron");

fn project(limit: &str) -> Project {
    read(&CELL.replace("LIMIT", limit))
}

fn read(text: &str) -> Project {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    decode(&node.expect("the text holds a project")).unwrap_or_else(|problems| panic!("{problems}"))
}

fn flown(project: &Project) -> FailureStudy {
    flown_with(project, &FlyOptions::default())
}

fn flown_with(project: &Project, options: &FlyOptions) -> FailureStudy {
    let cases = hottest_cases(project, None).expect("the mission can be planned");
    let failures = single_failures(project);
    run(&cases, &failures, options, &AtomicBool::new(false), |_| {})
        .expect("every flight can be put together")
}

/// T = T0 + 36 K (1 - exp(-t/532 s)) from 40 degC (practice.md 12.16): 55.517 degC after 300 s. The worst moment is the latest in the air:
/// 30 s are over by then, so 270 s are left.
#[test]
fn time_to_limit_by_hand() {
    let project = project("55.517 degC");
    let study = flown(&project);
    assert_eq!(study.failures.len(), 1);
    let outcome = &study.failures[0];
    assert_eq!(outcome.case.to_string(), "warm/hop/bus lost");
    let time_s = outcome.time_to_limit_s().expect("the limit is passed");
    // accuracy 0.05 K at 0.0377 K/s: 1.3 s; samples 10 s apart, straight between: 0.1 s
    assert!((time_s - 270.0).abs() < 1.5, "{time_s}");
    assert!((outcome.start_s - 30.0).abs() < 1e-6, "{}", outcome.start_s);
    assert_eq!(outcome.limits[0].healthy_s, outcome.limits[0].time_s, "the fan has no part in it");
    assert_eq!((outcome.action, outcome.action_reason), (Action::Immediately, Some(Reason::Time)));
    assert_eq!((outcome.standing, study.standing()), (Standing::Holds, Standing::Holds));
    assert_eq!(outcome.time_to_required_s(), outcome.time_to_limit_s(), "none is required");
    assert_eq!(outcome.worsened, None, "the fan has no part in it");
    // until touchdown from the first moment: 40 + 36 (1 - exp(-30/532)) = 41.974 degC
    let peak = outcome.peak.as_ref().expect("the cell has a limit");
    assert!((peak.margin.value - 273.15 - 41.974).abs() < 0.05, "{}", peak.margin.value);
    assert!(outcome.touchdown_s.is_some());
}

/// 5 K are required below 55.517 degC: 36 (1 - exp(-t/532)) = 10.517 K after 532 ln(36/25.483) = 183.8 s, of which 30 s are over at the
/// worst moment. The limit itself is passed 270 s after it. Until touchdown 55.517 - 41.974 = 13.54 K are left: it holds.
#[test]
fn time_to_the_required_margin_and_to_the_limit_by_hand() {
    let study =
        flown(&read(&CELL.replace("LIMIT", "55.517 degC").replace("required: \"0 K\"", "required: \"5 K\"")));
    let outcome = &study.failures[0];
    let required = outcome.required.as_ref().expect("it is lost");
    assert!((required.time_s - 153.8).abs() < 1.5 && (required.start_s - 30.0).abs() < 1e-6, "{required:?}");
    assert_eq!((required.place.as_str(), required.limit.as_str()), ("cell", "continuous"));
    assert!((outcome.time_to_limit_s().expect("it is passed") - 270.0).abs() < 1.5, "{outcome:?}");
    assert_eq!((outcome.standing, outcome.action), (Standing::Holds, Action::Immediately));
}

/// 15 K are required where 13.54 K are left: short, though the limit is kept. The required margin is lost 532 ln(36/35.483) = 7.7 s into
/// the flight, so that at the latest moment it is gone; the limit follows 270 s later, after an immediate landing.
#[test]
fn a_margin_inside_the_limit_is_short() {
    let study = flown(&read(
        &CELL.replace("LIMIT", "55.517 degC").replace("required: \"0 K\"", "required: \"15 K\""),
    ));
    let outcome = &study.failures[0];
    assert_eq!((outcome.standing, study.standing()), (Standing::Short, Standing::Short));
    assert_eq!((study.at_least(Standing::Holds), study.at_least(Standing::Short)), (0, 1));
    assert_eq!((outcome.time_to_required_s(), outcome.passed_before_touchdown_s), (Some(0.0), None));
    assert_eq!(outcome.action, Action::Immediately);
    let note = "landing immediately keeps every limit, but not every required margin";
    assert!(outcome.action_notes.iter().any(|told| told == note), "{outcome:?}");
}

/// 7.8 K to local boiling where 15 K are required: inside the limit by half of what is asked. Without a solution it is no result.
#[test]
fn half_of_the_required_margin_to_boiling_is_short() {
    let case = CaseName { condition: "warm".to_owned(), point: "hop".to_owned(), failure: None };
    let mut result = CaseResult::empty(case, Status::Solved);
    result.margins.push(Margin {
        place: "stator".to_owned(),
        limit: "boiling".to_owned(),
        kind: MarginKind::Boiling,
        value: 365.0,
        limit_value: 372.8,
        nominal_limit: None,
        margin: 7.8,
        required: 15.0,
        required_by: RequiredBy::Limit,
        source: None,
        owner: None,
    });
    let mut trace = Trace {
        status: Status::Solved,
        notices: Vec::new(),
        power_lost: None,
        times_s: vec![0.0],
        limits: Vec::new(),
        sensors_k: Vec::new(),
        bounds: Vec::new(),
    };
    trace.take(0, &result, &[]);
    assert_eq!(trace.standing(Status::Solved), Standing::Short);
    assert!(trace.first_short().is_some() && trace.first_passed().is_none());
    assert_eq!(trace.standing(Status::OutOfRange), Standing::NoResult);
}

/// The start temperature is an input: 2 K above a minimum in the warm air that it starts in hold, in the mission and after a failure in
/// it, though 15 K are asked of a prediction. Nothing becomes colder than it began.
#[test]
fn a_minimum_from_a_start_that_is_an_input_is_not_short_after_a_failure() {
    let cold = "limits: [Limit(name: \"cold\", bound: Minimum, value: \"38 degC\"), ";
    let study = flown(&read(&CELL.replace("LIMIT", "80 degC").replace("limits: [", cold)));
    let outcome = &study.failures[0];
    assert_eq!((outcome.standing, outcome.required.as_ref()), (Standing::Holds, None), "{outcome:?}");
}

/// The fan blows along the cell: 0.5 W/K more, far below the 200 W/K that its air can carry. Without failure 0.625 W/K are left:
/// 40 + 7.2 (1 - exp(-30 s x 0.625/66.5)) = 41.77 degC at touchdown; with it, from the first moment on, 0.125 W/K:
/// 40 + 36 (1 - exp(-30/532)) = 41.97 degC.
#[test]
fn what_a_failure_worsens_most_by_hand() {
    let washed = "Surface(name: \"skin\", walls: [\"cell\"], film: Fixed(\"0.5 W/K\"), flow: Loss(coefficient: 1, diameter: \"100 mm\"), volume: \"0 L\"),
        Outlet(name";
    let project = read(&CELL.replace("LIMIT", "55.517 degC").replace("Outlet(name", washed));
    let study = flown(&project);
    let worsened = study.failures[0].worsened.as_ref().expect("the cell is cooled by the fan");
    assert_eq!((worsened.margin.place.as_str(), worsened.margin.limit.as_str()), ("cell", "continuous"));
    assert!((worsened.margin.value - 273.15 - 41.974).abs() < 0.05, "{worsened:?}");
    let healthy = worsened.healthy.expect("the limit is there without failure");
    assert!((55.517 - healthy - 41.769).abs() < 0.05, "{worsened:?}");
}

/// To land immediately takes 120 s, the warning lasts 2 s: it must show 178 s before 300 s are over, when the cell has
/// 40 + 36 (1 - exp(-178/532)) = 50.24 degC, read 1 K low: 49.24; the step below is 49 degC. From later moments less is left, so they
/// do not lower it: the same temperature at the same time of the same curve. To land as soon as possible takes 300 s: too late.
#[test]
fn alert_temperature_by_hand() {
    let project = project("55.517 degC");
    let study = flown(&project);
    let own = &study.failures[0].alerts[0];
    let red_k = own.red_k.expect("two minutes are left");
    assert!((red_k - 273.15 - 49.0).abs() < 1e-9, "{red_k}");
    assert_eq!(own.amber_k, None);
    let alert = &study.alerts[0];
    assert!(alert.red_k.to_bits() == red_k.to_bits() && alert.is_derived && !alert.is_nuisance, "{alert:?}");
    // ten below the limit read low by one: strictly below 44.517 degC
    assert!((alert.amber_k - 273.15 - 44.0).abs() < 1e-9, "{alert:?}");
}

/// Steady at 76 degC: a limit of 80 degC is never passed, one of 41 degC before touchdown.
#[test]
fn a_limit_that_is_never_passed_and_one_before_touchdown() {
    let calm = flown(&project("80 degC"));
    assert_eq!(calm.failures[0].time_to_limit_s(), None);
    // the mission goes on, but a supply is gone
    let asked = (calm.failures[0].action, calm.failures[0].action_reason);
    assert_eq!(asked, (Action::AsSoonAsPracticable, Some(Reason::Redundancy)));
    assert_eq!((calm.failures[0].required.as_ref(), calm.failures[0].standing), (None, Standing::Holds));
    assert!((calm.failures[0].held_s - 1200.0).abs() < 1e-6);
    // 41 degC after 532 s x ln(36/35) = 14.99 s
    let hot = flown(&project("41 degC"));
    let outcome = &hot.failures[0];
    assert_eq!((outcome.standing, outcome.action), (Standing::PastLimit, Action::Immediately));
    assert!(outcome.action_notes.iter().any(|note| note.starts_with("no action in time")), "{outcome:?}");
}

#[test]
fn the_number_of_threads_changes_nothing_and_cancel_is_heard() {
    let project = project("55 degC");
    let on = |threads| {
        let pool =
            rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads can be started");
        pool.install(|| flown(&project))
    };
    assert_eq!(on(1), on(3));
    let cases = hottest_cases(&project, Some("hop")).expect("the mission is flown");
    let failures = single_failures(&project);
    let cancelled = run(&cases, &failures, &FlyOptions::default(), &AtomicBool::new(true), |_| {});
    assert_eq!(cancelled, Err(StudyError::Cancelled));
    let told = AtomicBool::new(false);
    let tell = |done: usize| told.store(done == 1, Ordering::Relaxed);
    run(&cases, &failures, &FlyOptions::default(), &AtomicBool::new(false), tell).expect("flown");
    assert!(told.load(Ordering::Relaxed));
    assert!(hottest_cases(&project, Some("no such")).is_err());
}

/// 10, 4, -2 at 0, 6, 12 s: straight through zero at 10 s; at a jump the time of the jump; from below at once.
#[test]
fn first_passing_between_samples() {
    assert_eq!(first_below_zero(&[0.0, 6.0, 12.0], &[10.0, 4.0, -2.0]), Some(10.0));
    assert_eq!(first_below_zero(&[0.0, 6.0, 6.0], &[10.0, 4.0, -2.0]), Some(6.0));
    assert_eq!(first_below_zero(&[3.0, 6.0], &[-1.0, 4.0]), Some(3.0));
    assert_eq!(first_below_zero(&[0.0, 6.0], &[0.0, 4.0]), None);
    assert_eq!(first_below_zero(&[0.0, 6.0], &[f64::INFINITY, -1.0]), Some(6.0));
}

/// A limit that may be used for 10 s: 5 s beyond it do not pass it, 15 s do.
#[test]
fn a_short_time_limit_is_passed_by_what_lasts() {
    let times_s = [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0];
    let short = sustained(&times_s, &[5.0, 5.0, -1.0, -1.0, 5.0, 5.0, 5.0], 10.0);
    assert_eq!(first_below_zero(&times_s, &short), None);
    let long = sustained(&times_s, &[5.0, 5.0, -1.0, -1.0, -1.0, -1.0, 5.0], 10.0);
    assert!(long[4] < 0.0 && long[3] > 0.0, "{long:?}");
}

fn tug(text: &str) -> Project {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(!problems.has_errors(), "{problems}");
    decode(&node.expect("the text holds a project")).unwrap_or_else(|problems| panic!("{problems}"))
}

const TUG: &str = include_str!("../../../../demo-projects/tug.ron");
/// For lists and standings that do not hang on seconds.
const COARSE: FlyOptions = FlyOptions { accuracy_k: 1.0, max_gap_s: 120.0 };

/// The tug lists every failure of its file, the loss of both supplies among them, and warns by every sensor.
#[test]
fn the_tug_lists_every_single_failure() {
    let tug = tug(TUG);
    let study = flown_with(&tug, &COARSE);
    let listed: Vec<&str> = study.failures.iter().filter_map(|o| o.case.failure.as_deref()).collect();
    let named: Vec<&str> = tug.failures.iter().map(|failure| failure.name.as_str()).collect();
    assert_eq!(listed, named);
    assert!(study.failures.iter().all(|outcome| outcome.moments > 0));
    assert_eq!(study.alerts.len(), tug.sensors.len());
}

/// The tug is down within the hour, and not within a second: a gearbox that runs dry for an hour holds, one that does for a second is past
/// its limit, and without a demonstration there is no result. None is a matter of temperatures.
#[test]
fn lost_oil_stands_by_the_run_dry_time() {
    let (before, rest) = TUG.split_once("run_dry: ").expect("the tug states it");
    let (_, after) = rest.split_once("), ").expect("an input with its source");
    let flown = |run_dry: &str| -> FailureOutcome {
        let mut tug = tug(&format!("{before}{run_dry}{after}"));
        tug.failures.retain(|failure| failure.name.as_str() == "oil line off");
        tug.supplies.clear();
        flown_with(&tug, &COARSE).failures.remove(0)
    };
    let (long, short, unknown) = (flown("run_dry: \"1 h\", "), flown("run_dry: \"1 s\", "), flown(""));
    assert_eq!((long.standing, short.standing), (Standing::Holds, Standing::PastLimit));
    assert_eq!((short.time_to_limit_s(), short.time_to_required_s()), (Some(1.0), Some(1.0)));
    assert!(short.touchdown_s.is_some_and(|down_s| down_s > 1.0 && down_s < 3600.0), "{short:?}");
    assert_eq!(unknown.standing, Standing::NoResult);
    for outcome in [&long, &short, &unknown] {
        assert_eq!((outcome.action, outcome.action_reason), (Action::Immediately, Some(Reason::Hazard)));
        assert!(outcome.action_notes[0].starts_with("the liquid of gearbox oil is lost"), "{outcome:?}");
        assert!(outcome.limits.iter().all(|limit| limit.place != "gearbox sump"), "{outcome:?}");
    }
    assert!(unknown.action_notes[1].contains("no demonstrated run-dry time"), "{:?}", unknown.action_notes);
}

/// What asks for an action whatever the temperatures, by the parts of the tug: two stator pumps in one loop, one oil pump; battery and
/// inverter coolant passes live parts.
#[test]
fn hazards_and_lost_standbys_follow_from_the_parts() {
    let tug = tug(TUG);
    let failure = |name: &str| tug.failures.iter().find(|f| f.name.as_str() == name).expect("it is stated");
    let standby = redundancy_lost(&tug, failure("stator pump A stops"));
    assert!(standby[0].note.contains("only stator pump B is left"), "{standby:?}");
    assert_eq!(standby[0].action, Action::AsSoonAsPracticable);
    assert_eq!(redundancy_lost(&tug, failure("oil pump stops")), Vec::new(), "nothing stood by");
    assert_eq!(redundancy_lost(&tug, failure("bus A lost and left motor out")).len(), 2);
    for name in ["battery hose off", "inverter hose off"] {
        let hazards = hazards(&tug, failure(name), false);
        assert!(
            hazards[0].action == Action::Immediately && hazards[0].note.contains("high voltage"),
            "{name}"
        );
        assert_eq!(lost_oil(&tug, failure(name)), Vec::new());
        assert_eq!(liquids_lost(&tug, failure(name)).len(), 1);
    }
    assert_eq!(hazards(&tug, failure("nose fan stops"), false), Vec::new());
    assert!(hazards(&tug, failure("nose fan stops"), true)[0].note.contains("self-heating"));
}
