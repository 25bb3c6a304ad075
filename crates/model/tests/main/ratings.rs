//! Ratings with a time limit at steady points.

use crate::bench::{read, solve_at, sound, text};
use model::cases;
use model::mission::{self, FlyOptions};
use model::result::{CaseResult, Margin, MarginKind};
use testkit::{assert_close, assert_within};

const RATINGS: &str = "[
    Rating(name: \"continuous\", power: \"9 kW\", torque: \"110 N m\", speed: \"900 rpm\"),
    Rating(name: \"take-off\", power: \"12 kW\", torque: \"130 N m\", duration: \"5 min\"),
    Rating(name: \"one out\", power: \"14 kW\", duration: \"30 s\", uses: 3, inspection: true),
]";

/// 10 kW at 100 rad/s into a frame that warms by 1 K per watt of 500 W over 10 W/K: 50 K over 20 degC.
fn bench(ratings: &str, points: &str) -> String {
    text(&format!(
        "conditions: [Condition(name: \"room\", day: Fixed(\"20 degC\"))],
        components: [Component(name: \"frame\", limits: [
            Limit(value: \"80 degC\"),
            Limit(name: \"cold\", bound: Minimum, value: \"-20 degC\"),
            Limit(name: \"take-off\", value: \"95 degC\", rating: \"take-off\"),
        ])],
        links: [Link(from: \"frame\", to: \"outside air\", law: Conductance(\"10 W/K\"))],
        powertrain: Powertrain(
            motors: [Motor(name: \"motor\", winding: \"frame\", iron: \"frame\", rotor: \"frame\", inverter: \"frame\",
                losses: Fixed(copper: \"300 W\", iron: \"200 W\", winding_sets: 2), inverter_losses: Fixed(\"0 W\"), ratings: {ratings})],
            bus: Supply(\"400 V\"),
        ),
        points: [{points}],
        failures: [Failure(name: \"other out\", what: WindingSetOut(\"motor\"), rating: \"one out\")],
        cases: [CaseGroup(conditions: [\"room\"], points: [\"run\"])],"
    ))
}

fn point(rating: &str) -> String {
    format!("Point(name: \"run\", shaft_power: \"10 kW\", shaft_speed: \"100 rad/s\", {rating})")
}

fn margin<'a>(result: &'a CaseResult, limit: &str) -> &'a Margin {
    let found = result.margins.iter().find(|m| m.limit == limit);
    found.unwrap_or_else(|| panic!("no margin {limit:?}: {:?}", result.margins))
}

fn limits(result: &CaseResult) -> Vec<&str> {
    let mut limits: Vec<&str> = result.margins.iter().map(|m| m.limit.as_str()).collect();
    limits.sort_unstable();
    limits
}

#[test]
fn a_point_that_lasts_is_held_against_the_rating_without_time_limit() {
    let result = solve_at(&sound(&bench(RATINGS, &point(""))), "run", None);
    // 10 kW asked, 9 kW allowed always: the larger ratings do not help
    let power = margin(&result, "continuous power");
    assert_within("power", power.margin, -1e3, 1e-6);
    assert!(power.is_short());
    // 10 kW at 100 rad/s is 100 N m of 110; 900 rpm is 94.248 rad/s, 5.752 short
    assert_within("torque", margin(&result, "continuous torque").margin, 10.0, 1e-9);
    assert_within("speed", margin(&result, "continuous speed").margin, 94.2478 - 100.0, 1e-4);
    assert_eq!((power.kind.unit(), margin(&result, "continuous torque").kind.unit()), ("W", "N m"));
    // 500 W over 10 W/K: 70 degC, 10 K below the limit of 80 degC; that of the take-off does not hold
    assert_within("temperature", margin(&result, "continuous").margin, 10.0, 1e-6);
    let held = ["cold", "continuous", "continuous power", "continuous speed", "continuous torque"];
    assert_eq!(limits(&result), held);
    let motor = &result.electric.as_ref().expect("there is a drive").motors[0];
    assert_eq!((motor.rating.as_deref(), motor.time_allowed_s), (Some("continuous"), None));
    assert!(result.notices.iter().all(|n| n.kind != "timed_rating"));
}

#[test]
fn a_point_that_names_a_rating_has_its_power_and_its_temperature_limits() {
    let result = solve_at(&sound(&bench(RATINGS, &point("rating: \"take-off\""))), "run", None);
    assert_within("power", margin(&result, "take-off power").margin, 2e3, 1e-6);
    assert_within("torque", margin(&result, "take-off torque").margin, 30.0, 1e-9);
    // 70 degC against 95 degC; the maximum of no rating gives way, the minimum stays
    assert_eq!(limits(&result), ["cold", "take-off", "take-off power", "take-off torque"]);
    assert_within("temperature", margin(&result, "take-off").margin, 25.0, 1e-6);
    let motor = &result.electric.as_ref().expect("there is a drive").motors[0];
    assert_eq!(motor.rating.as_deref(), Some("take-off"));
    assert_close("time", motor.time_allowed_s.expect("it is limited"), 300.0, 1e-12);
    let notice = result.notices.iter().find(|n| n.kind == "timed_rating").expect("it is told");
    assert!(notice.message.contains("\"take-off\" is allowed for 5 min;"), "{notice:?}");
}

#[test]
fn a_failure_may_bring_its_own_rating() {
    let result = solve_at(&sound(&bench(RATINGS, &point("rating: \"take-off\""))), "run", Some("other out"));
    assert_within("power", margin(&result, "one out power").margin, 4e3, 1e-6);
    // no limit belongs to this rating, so those of no rating hold
    assert_eq!(limits(&result), ["cold", "continuous", "one out power"]);
    let notice = result.notices.iter().find(|n| n.kind == "timed_rating").expect("it is told");
    let told = "allowed for 30 s, 3 times in a flight, with an inspection before the next flight";
    assert!(notice.message.contains(told), "{notice:?}");
}

#[test]
fn ratings_that_no_motor_has_and_points_that_no_rating_carries_are_told() {
    let problems = read(&bench(RATINGS, &point("rating: \"takeoff\""))).expect_err("no such rating");
    assert!(
        problems.contains(
            "points.run.rating: no rating of a motor is called \"takeoff\"; did you mean \"take-off\"?"
        ),
        "{problems}"
    );
    let timed = RATINGS.replace("speed: \"900 rpm\"", "duration: \"1 h\"");
    let problems = read(&bench(&timed, &point(""))).expect_err("nothing lasts");
    assert!(problems.contains("points.run.rating: every rating of \"motor\" has a time limit"), "{problems}");
    assert!(read(&bench(&timed, &point("rating: \"take-off\""))).is_ok());
    let limit =
        bench(RATINGS, &point("")).replace("95 degC\", rating: \"take-off\"", "95 degC\", rating: \"tow\"");
    let problems = read(&limit).expect_err("no such rating");
    assert!(
        problems.contains("components.frame.limits.3.rating: no rating of a motor is called \"tow\""),
        "{problems}"
    );
}

#[test]
fn a_long_take_off_without_its_own_limits_is_a_warning() {
    let text = bench(RATINGS, &point("rating: \"take-off\""));
    let none = text
        .replace("            Limit(name: \"take-off\", value: \"95 degC\", rating: \"take-off\"),\n", "");
    let told = |text: &str| model::validate::validate(&sound(text).project).to_string();
    assert!(told(&none).contains("27.1521(b)(4)"), "{}", told(&none));
    assert!(!told(&text).contains("27.1521"), "{}", told(&text));
}

/// 10 kW flown for a time under the rating "take-off" (12 kW, 5 min, above the lasting 9 kW).
fn flown(segments: &str) -> Vec<(String, f64, f64)> {
    let text = bench(RATINGS, &point("")).replace(
        "cases: [CaseGroup(conditions: [\"room\"], points: [\"run\"])]",
        &format!(
            "missions: [Mission(name: \"climb\", segments: [{segments}])],
            cases: [CaseGroup(conditions: [\"room\"], points: [\"run\"], missions: [\"climb\"])]"
        ),
    );
    let varied = sound(&text);
    let case = cases::missions(&varied.project).into_iter().next().expect("there is a mission");
    let schedule = mission::schedule(&case).expect("it can be flown");
    let options = FlyOptions { max_gap_s: 1.0, ..FlyOptions::default() };
    let flight = mission::fly(&varied.project, schedule, None, &options);
    let margins = flight.margins(&varied.project).into_iter();
    margins
        .filter(|timed| timed.margin.kind == MarginKind::Rating)
        .map(|timed| (timed.margin.limit, timed.margin.margin, timed.time_s))
        .collect()
}

#[test]
fn a_rating_with_a_time_limit_does_not_stand_in_for_longer_than_that() {
    let climb = |time: &str| {
        format!("Segment(name: \"climb\", duration: \"{time}\", point: \"run\", rating: \"take-off\")")
    };
    // 4 min of 5: only the 12 kW of the take-off count, 2 kW above the 10 flown
    let short = flown(&climb("4 min"));
    assert_eq!(short[0].0, "take-off power");
    // after shutdown nothing is given, against the lasting 9 kW
    assert!(short[1..].iter().all(|(_, margin, _)| *margin >= 9e3 - 1e-6), "{short:?}");
    assert_within("margin", short[0].1, 2e3, 1e-6);
    // 6 min: from 300 s on the lasting 9 kW count, 1 kW less than flown
    let long = flown(&climb("6 min"));
    assert_eq!(long[0].0, "continuous power");
    assert_within("margin", long[0].1, -1e3, 1e-6);
    assert_within("since, s", long[0].2, 300.0, 1.01);
    // a rest between two uses of 4 min starts the clock again
    let rest = "Segment(name: \"rest\", duration: \"1 min\", point: \"run\", shaft_power: \"5 kW\")";
    let rested = flown(&format!(
        "{}, {rest}, {}",
        climb("4 min"),
        climb("4 min").replace("name: \"climb\"", "name: \"again\"")
    ));
    assert!(
        rested.iter().all(|(limit, margin, _)| limit != "continuous power" || *margin >= 0.0),
        "{rested:?}"
    );
}

#[test]
fn a_motor_gives_no_more_than_its_control_lets_it() {
    let text = bench(RATINGS, &point("")).replace("ratings: [", "most_power: \"8.5 kW\", ratings: [");
    let result = solve_at(&sound(&text), "run", None);
    let electric = result.electric.as_ref().expect("there is a drive");
    // 10 kW asked, 8.5 kW given, 1.5 kW lost; 8.5 kW + 500 W of losses from the bus
    assert_within("given", electric.motors[0].shaft_power_w, 8.5e3, 1e-9);
    assert_within("lost", electric.lost_power_w, 1.5e3, 1e-9);
    assert_within("taken", electric.motors[0].demand_w, 9e3, 1e-6);
    assert!(result.notices.iter().any(|n| n.kind == "derate" && n.message.contains("1.5 kW")));
}
