//! What is asked of a minimum limit from a start whose temperatures are inputs.
//!
//! A block of 10 kJ/K that loses 10 W/K to the air follows `T_air + (T_0 - T_air) exp(-t / 1000 s)`; its minimum is -20 degC, and a
//! prediction is asked 15 K.

use crate::bench::{sound, text};
use model::cases;
use model::mission::{self, FlyOptions, TimedMargin};
use testkit::assert_within;

/// The least reserve of the minimum limit over 300 s.
fn least(air: &str, start: &str, more: &str, of_limit: &str) -> TimedMargin {
    let varied = sound(&text(&format!(
        "conditions: [Condition(name: \"cold\", day: Fixed(\"{air}\"))], {more}
        components: [Component(name: \"block\", capacity: \"10 kJ/K\",
            limits: [Limit(name: \"cold\", bound: Minimum, value: \"-20 degC\" {of_limit})])],
        links: [Link(from: \"block\", to: \"outside air\", law: Conductance(\"10 W/K\"))],
        missions: [Mission(name: \"wait\", start: {start}, segments: [Segment(name: \"stand\", duration: \"300 s\")],
            soak: LeftOut(\"the block is all there is\"))],
        cases: [CaseGroup(conditions: [\"cold\"], points: [], missions: [\"wait\"])],"
    )));
    let case = &cases::missions(&varied.project)[0];
    let schedule = mission::schedule(case).expect("the text is sound");
    let flight = mission::fly(&varied.project, schedule, None, &FlyOptions::default());
    let margins = flight.margins(&varied.project);
    assert_eq!(margins.len(), 1, "{margins:?}");
    margins.into_iter().next().expect("one margin")
}

#[test]
fn a_start_that_is_an_input_is_asked_the_margin_of_the_start() {
    let least_of = least("-10 degC", "OutsideAir", "", "");
    assert_within("margin, K", least_of.margin.margin, 10.0, 1e-6);
    assert_within("asked, K", least_of.margin.required, 0.0, 1e-6);
    assert!(!least_of.margin.is_short());

    let asked = least("-10 degC", "OutsideAir", "policy: Policy(start: \"12 K\"),", "");
    assert_within("asked by the policy, K", asked.margin.required, 12.0, 1e-6);
    assert!(asked.margin.is_short(), "10 K of 12 K");

    let own = least("-10 degC", "OutsideAir", "", ", required: \"11 K\"");
    assert!(own.margin.is_short(), "a limit that states its own margin keeps it");

    let settled = least("-10 degC", "Settled", "", "");
    assert_within("asked of a state that was solved, K", settled.margin.required, 15.0, 1e-12);
}

#[test]
fn what_falls_towards_air_that_holds_the_limit_is_no_short_margin() {
    // From 0 degC in air of -10 degC the block falls to -10 + 10 exp(-0.3) = -2.592 degC: 17.4 K above its limit. Nothing gets colder
    // than the air, which keeps 10 K: what is asked never leaves less than those 10 K.
    let fell = least("-10 degC", "At(\"0 degC\")", "", "").margin;
    assert_within("reserve, K", fell.margin - fell.required, 17.408 - 7.408, 0.02);
    assert!(!fell.is_short());
}

#[test]
fn what_falls_towards_air_below_the_limit_is_asked_the_margin_of_predictions() {
    // From 0 degC in air of -25 degC: -25 + 25 exp(-0.3) = -6.480 degC after 300 s, 13.52 K of the 15 K asked.
    let fell = least("-25 degC", "At(\"0 degC\")", "", "");
    assert_within("time, s", fell.time_s, 300.0, 1e-6);
    assert_within("margin, K", fell.margin.margin, 13.520, 0.02);
    assert_within("asked, K", fell.margin.required, 15.0, 1e-12);
    assert!(fell.margin.is_short());
}
