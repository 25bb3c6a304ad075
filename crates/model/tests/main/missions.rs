//! Missions: from the text of a project to networks over time, and what is told about mistakes.

use aircraft::records::project::Project;
use model::cases;
use model::design::decode;
use model::mission::{self, Commanded, Ending, MissionCase, Piece, Schedule, StartState, schedule};

/// One motor on a supply, one glycol loop whose pump follows a temperature, one radiator with a fan.
pub(crate) const HEAD: &str = include_str!("../../fixtures/one_motor.ron");

fn text(missions: &str) -> String {
    format!(
        "{HEAD}missions: [{missions}],\ncases: [CaseGroup(conditions: [\"hot\", \"warm\"], missions: [\"tow\"], failures: [\"pump stops\"])])"
    )
}

fn read(missions: &str) -> Project {
    let (node, problems) = project::parse(text(missions).as_bytes());
    assert!(problems.is_empty(), "{problems}");
    decode(&node.expect("a tree was read")).unwrap_or_else(|problems| panic!("{problems}"))
}

/// Messages with what is left of the path after "missions.".
fn mistakes(missions: &str) -> Vec<String> {
    let (node, problems) = project::parse(text(missions).as_bytes());
    assert!(problems.is_empty(), "{problems}");
    let problems = decode(&node.expect("a tree was read")).expect_err("there is a mistake");
    let last_line_of_head = HEAD.lines().count() as u32;
    problems
        .iter()
        .filter(|p| p.path != "loops.glycol.path")
        .map(|problem| {
            let place = problem.place.expect("every mistake has a place");
            assert!(place.line > last_line_of_head, "{problem}");
            assert!(!problem.remedy.is_empty(), "{problem}");
            let path = problem.path.strip_prefix("missions.").unwrap_or(&problem.path);
            format!("{path}: {}", problem.message)
        })
        .collect()
}

pub(crate) const TOW: &str = r#"Mission(name: "tow", start: Soaked(warmer: [WarmPart(component: "bay", rise: "15 K")]), segments: [
    Segment(name: "roll", duration: "20 s", point: "climb", shaft_power: "66 kW", airspeed: Ramp(from: "0 kt", to: "55 kt"), ground: true, rating: "take-off"),
    Segment(name: "climb", point: "climb", height: "2000 ft", climb_rate: "500 ft/min"),
    Segment(name: "release", duration: "10 s", point: "climb", shaft_power: To("6 kW")),
    Segment(name: "descent", shaft_power: "6 kW", shaft_speed: "1800 rpm", airspeed: "75 kt", height: "0 ft", climb_rate: "1000 ft/min"),
    Segment(name: "cool", duration: "30 min", until: CooledTo(component: "iron", temperature: "50 degC"), ground: true),
])"#;

fn made(project: &Project, condition: &str, failure: bool) -> Schedule {
    let condition =
        project.conditions.iter().find(|c| c.name.as_str() == condition).expect("it is in the head");
    let failure = failure.then(|| &project.failures[0]);
    schedule(&MissionCase { project, condition, mission: &project.missions[0], failure })
        .unwrap_or_else(|problem| panic!("{problem}"))
}

fn pieces<'a>(schedule: &'a Schedule, step: &str) -> &'a [Piece] {
    &schedule.steps.iter().find(|s| s.label == step).expect("the step exists").pieces
}

fn last(pieces: &[Piece]) -> &mission::Instant {
    let piece = pieces.last().expect("a step has pieces");
    piece.to.as_ref().unwrap_or(&piece.from)
}

const FOOT_M: f64 = 0.3048;
const KNOT_M_S: f64 = 1852.0 / 3600.0;

#[test]
fn a_climb_lasts_height_over_rate_and_its_air_follows_the_day() {
    let project = read(TOW);
    let schedule = made(&project, "hot", false);
    let climb = pieces(&schedule, "climb");
    // 2000 ft at 500 ft/min are 4 min; 609.6 m in pieces of at most 300 m are three
    assert_eq!(climb.len(), 3);
    assert!((climb.iter().map(|p| p.duration_s).sum::<f64>() - 240.0).abs() < 1e-9);
    let down = pieces(&schedule, "descent");
    assert!((down.iter().map(|p| p.duration_s).sum::<f64>() - 120.0).abs() < 1e-9);
    // 14 CFR 27.1043(b) at 2000 ft: 100 - 3.6 * 2 = 92.8 degF = 33.78 degC; ISO 2533 pressure at 2000 ft: 94 213 Pa
    let top = last(climb);
    assert!((top.assembled.outside.air_k - (92.8 + 459.67) / 1.8).abs() < 5e-3);
    assert!((top.assembled.outside.pressure_pa - 94_213.0).abs() < 1.0);
    // one third up: 100 - 3.6 * 2/3 = 97.6 degF
    let third = climb[0].to.as_ref().expect("a climb changes");
    assert!((third.assembled.outside.air_k - (97.6 + 459.67) / 1.8).abs() < 5e-3);
    assert!((third.commanded.height_m - 2000.0 / 3.0 * FOOT_M).abs() < 1e-9);
    assert_eq!(last(down).assembled.outside.pressure_altitude_m, 0.0);
}

#[test]
fn commands_come_from_segment_point_and_the_segment_before() {
    let project = read(TOW);
    let schedule = made(&project, "warm", false);
    let rpm = std::f64::consts::TAU / 60.0;
    let at = |instant: &mission::Instant, power_w: f64, speed_rpm: f64, airspeed_kt: f64| {
        let Commanded { shaft_power_w, shaft_speed_rad_s, airspeed_m_s, .. } = instant.commanded;
        assert!((shaft_power_w - power_w).abs() < 1e-6, "{shaft_power_w}");
        assert!((shaft_speed_rad_s - speed_rpm * rpm).abs() < 1e-9, "{shaft_speed_rad_s}");
        assert!((airspeed_m_s - airspeed_kt * KNOT_M_S).abs() < 1e-9, "{airspeed_m_s}");
    };
    let roll = pieces(&schedule, "roll");
    // 55 kt are 28.3 m/s: six pieces of less than 5 m/s
    assert_eq!(roll.len(), 6);
    at(&roll[0].from, 66e3, 2400.0, 0.0);
    at(&roll[3].from, 66e3, 2400.0, 27.5);
    at(last(roll), 66e3, 2400.0, 55.0);
    at(&pieces(&schedule, "climb")[0].from, 60e3, 2400.0, 60.0);
    let release = pieces(&schedule, "release");
    assert_eq!(release.len(), 1);
    at(&release[0].from, 60e3, 2400.0, 60.0);
    at(last(release), 6e3, 2400.0, 60.0);
    at(last(pieces(&schedule, "descent")), 6e3, 1800.0, 75.0);
    // on the ground there is no airspeed unless it is stated
    at(last(pieces(&schedule, "cool")), 0.0, 0.0, 0.0);
    let point = &pieces(&schedule, "climb")[0].from.point;
    assert_eq!(point.heats[0].heat.si(), 80.0);
    assert_eq!(point.settings[0].speed.si(), 0.5);
    assert!(pieces(&schedule, "descent")[0].from.point.settings.is_empty());
    assert_eq!(schedule.steps[0].rating.as_deref(), Some("take-off"));
}

#[test]
fn a_mission_ends_with_an_hour_without_power_flow_and_air() {
    let project = read(TOW);
    let schedule = made(&project, "warm", false);
    let soak = schedule.steps.last().expect("there are steps");
    assert_eq!((soak.label.as_str(), soak.segment, soak.ground), (mission::SOAK, None, true));
    assert_eq!(soak.duration_s(), 3600.0);
    let instant = last(&soak.pieces);
    assert_eq!(instant.commanded, Commanded::default());
    assert_eq!(instant.point.other_load.as_ref().map(|load| load.si()), Some(0.0));
    assert!(instant.point.converters_off);
    let speeds: Vec<(&str, f64)> =
        instant.point.settings.iter().map(|s| (s.name.as_str(), s.speed.si())).collect();
    assert_eq!(speeds, [("pump", 0.0), ("fan", 0.0)]);
    assert_eq!(instant.point.heats[0].heat.si(), 0.0);
    let kept = read(&TOW.replace("segments: [", "soak: \"90 min\", segments: ["));
    assert_eq!(made(&kept, "warm", false).steps.last().map(mission::ScheduleStep::duration_s), Some(5400.0));
    let out = read(&TOW.replace("segments: [", "soak: LeftOut(\"a turnaround follows\"), segments: ["));
    assert_eq!(made(&out, "warm", false).steps.last().map(|step| step.label.as_str()), Some("cool"));
}

#[test]
fn a_start_is_soaked_stated_or_carried() {
    let project = read(TOW);
    let schedule = made(&project, "warm", false);
    let bay = schedule.parts().components[3].1.clone();
    // 30 degC reported, 4 K over the ramp
    let StartState::Temperatures { rest_k, parts } = &schedule.start else { panic!("known") };
    assert!((rest_k - 307.15).abs() < 1e-9);
    assert_eq!(parts.len(), 1);
    assert_eq!(parts[0].0, bay);
    assert!((parts[0].1 - 322.15).abs() < 1e-9);
    let start = |text: &str| {
        let from = TOW.find("start: ").expect("the tow has one");
        let to = TOW.find(", segments: [").expect("and segments");
        let project = read(&format!("{}start: {text}{}", &TOW[..from], &TOW[to..]));
        made(&project, "warm", false).start
    };
    assert_eq!(start("\"12 degC\""), StartState::Temperatures { rest_k: 285.15, parts: vec![] });
    assert_eq!(start("Settled"), StartState::Settled);
    assert_eq!(
        start("Stated(parts: [StatedPart(component: \"bay\", temperature: \"60 degC\")], rest: \"20 degC\")"),
        StartState::Temperatures { rest_k: 293.15, parts: vec![(bay, 333.15)] }
    );
}

#[test]
fn every_network_of_a_schedule_has_the_same_unknowns_and_entries() {
    let project = read(TOW);
    let (sound, failed) = (made(&project, "hot", false), made(&project, "hot", true));
    let first = &sound.steps[0].pieces[0].from.assembled;
    let size = (first.network.unknowns(), first.network.stored_entries());
    for schedule in [&sound, &failed] {
        for piece in schedule.steps.iter().flat_map(|step| &step.pieces) {
            for instant in std::iter::once(&piece.from).chain(&piece.to) {
                let network = &instant.assembled.network;
                assert_eq!((network.unknowns(), network.stored_entries()), size, "{:?}", instant.commanded);
                assert_eq!(instant.assembled.parts.components, first.parts.components);
                assert_eq!(instant.assembled.parts.sources, first.parts.sources);
            }
        }
    }
}

#[test]
fn a_segment_ends_with_its_event() {
    let project = read(TOW);
    let schedule = made(&project, "warm", false);
    let iron = schedule.parts().components[1].1.clone();
    assert_eq!(schedule.steps[4].ending, Ending::AllBelow(iron, 323.15));
    assert_eq!(schedule.steps[4].duration_s(), 1800.0);
    let project =
        read(&TOW.replace("CooledTo(component: \"iron\", temperature: \"50 degC\")", "Stabilised()"));
    // 2 degF in a minute are 10/9 K in a minute
    let Ending::Stabilised { rate_k_s, window_s, run_on_s, .. } =
        made(&project, "warm", false).steps[4].ending.clone()
    else {
        panic!("stabilised")
    };
    assert!((rate_k_s - 10.0 / 9.0 / 60.0).abs() < 1e-12);
    assert_eq!((window_s, run_on_s), (60.0, 300.0));
}

#[test]
fn mission_cases_are_named_by_condition_mission_and_failure() {
    let project = read(TOW);
    let names: Vec<String> = cases::missions(&project).iter().map(|case| case.name().to_string()).collect();
    assert_eq!(names, ["hot/tow", "hot/tow/pump stops", "warm/tow", "warm/tow/pump stops"]);
}

#[test]
fn mistakes_are_told_at_their_place_with_a_remedy() {
    let segments = |list: &str| mistakes(&format!("Mission(name: \"tow\", segments: [\n{list}])"));
    for (list, expected) in [
        ("", "tow.segments: the mission has no segment: nothing happens before its soak"),
        (r#"Segment(name: "a")"#, "tow.segments.a: the segment has no duration"),
        (
            r#"Segment(name: "a", until: Stabilised())"#,
            "tow.segments.a: the segment may never end: it has no duration",
        ),
        (
            r#"Segment(name: "a", duration: "-3 min")"#,
            "tow.segments.a.duration: \"-3 min\" makes no sense here",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", point: "clim")"#,
            "tow.segments.a.point: no point is called \"clim\"",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", climb_rate: "500 ft/min", height: "900 ft")"#,
            "tow.segments.a.climb_rate: the duration and the rate of climb are both given: one follows from the other",
        ),
        (
            r#"Segment(name: "a", climb_rate: "500 ft/min", height: "0 ft")"#,
            "tow.segments.a.height: the segment is at \"0 ft\" already: a rate of climb gives it no duration",
        ),
        (
            r#"Segment(name: "a", climb_rate: "500 ft/min")"#,
            "tow.segments.a.climb_rate: there is a rate of climb, but no height to climb to",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", shaft_power: "3 kW")"#,
            "tow.segments.a.shaft_speed: there is shaft power at zero speed",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", shaft_power: Ramp(from: "-3 kW", to: "2 kW"), shaft_speed: "900 rpm")"#,
            "tow.segments.a.shaft_power.from: \"-3 kW\" makes no sense here",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", shaft_power: "-3 kW", shaft_speed: "900 rpm")"#,
            "tow.segments.a.shaft_power: \"-3 kW\" makes no sense here",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", airspeed: To("40 kt"), until: Stabilised())"#,
            "tow.segments.a.until: the end of the segment is not known beforehand, so nothing can change evenly up to it",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", until: PackCooledTo("40 degC"))"#,
            "tow.segments.a.until: there is no pack to wait for",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", until: CooledTo(component: "iron", temperature: "20 degC"))"#,
            "tow.segments.a.until: \"20 degC\" lies below the outside air of 37.8 degC: nothing cools that far",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", until: WarmedTo(component: "irn", temperature: "90 degC"))"#,
            "tow.segments.a.until: no component is called \"irn\"",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", settings: [PointSetting(name: "fam", speed: 1)])"#,
            "tow.segments.a.settings.fam: no pump or fan is called \"fam\"",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", heats: [PointHeat(name: "heatr", heat: "1 W")])"#,
            "tow.segments.a.heats.heatr: no heat source is called \"heatr\"",
        ),
        (
            r#"Segment(name: "a", duration: "3 min", rating: "combat")"#,
            "tow.segments.a.rating: no rating of a motor is called \"combat\"",
        ),
        (r#"Segment(name: "a", duration: "3 min", height: "90 km")"#, "tow.segments.a.height: "),
    ] {
        let told = segments(list);
        assert!(told.iter().any(|line| line.starts_with(expected)), "{list}\n{told:#?}");
    }
    let missions = |list: &str, expected: &str| {
        let told = mistakes(list);
        assert!(told.iter().any(|line| line.starts_with(expected)), "{list}\n{told:#?}");
    };
    let one = r#"[Segment(name: "a", duration: "1 min")]"#;
    missions(
        &format!(
            "\nMission(name: \"tow\", start: After(\"back\"), segments: {one}), Mission(name: \"back\", start: After(\"tow\"), segments: {one})"
        ),
        "tow.start: the mission begins with its own end: tow after back after tow",
    );
    missions(
        &format!("\nMission(name: \"tow\", start: After(\"tour\"), segments: {one})"),
        "tow.start: no mission is called \"tour\"",
    );
    missions(
        &format!("\nMission(name: \"climb\", segments: {one})"),
        "climb: \"climb\" is also the name of a point",
    );
    missions(
        &format!("\nMission(name: \"tow\", soak: LeftOut(\" \"), segments: {one})"),
        "tow.soak: the soak after shutdown is left out without a reason",
    );
    missions(
        &format!(
            "\nMission(name: \"tow\", start: Soaked(warmer: [WarmPart(component: \"bey\")]), segments: {one})"
        ),
        "tow.start: no component is called \"bey\"",
    );
}

#[test]
fn a_rating_used_too_long_is_a_warning() {
    let list = r#"Mission(name: "tow", segments: [
        Segment(name: "a", duration: "3 min", point: "climb", rating: "take-off"),
        Segment(name: "b", duration: "3 min", point: "climb", rating: "take-off"),
    ])"#;
    let (node, _) = project::parse(text(list).as_bytes());
    let node = node.expect("a tree was read");
    let project = decode(&node).unwrap_or_else(|problems| panic!("{problems}"));
    let told = model::validate::validate(&project);
    assert!(!told.has_errors(), "{told}");
    assert!(
        told.iter().any(|p| p.path == "missions.tow.segments.b.rating"
            && p.message == "\"take-off\" is used for 360 s; 300 s are allowed"),
        "{told}"
    );
}

#[test]
fn a_rating_used_too_often_is_a_warning() {
    let list = r#"Mission(name: "tow", segments: [
        Segment(name: "a", duration: "1 min", point: "climb", rating: "take-off"),
        Segment(name: "b", duration: "1 min", point: "climb"),
        Segment(name: "c", duration: "1 min", point: "climb", rating: "take-off"),
    ])"#;
    let told = |uses: &str| {
        let text = text(list).replace("duration: \"5 min\")]", &format!("duration: \"5 min\"{uses})]"));
        let (node, problems) = project::parse(text.as_bytes());
        assert!(problems.is_empty(), "{problems}");
        let project = decode(&node.expect("a tree was read")).unwrap_or_else(|problems| panic!("{problems}"));
        model::validate::validate(&project)
    };
    assert!(told(", uses: 1").iter().any(|p| p.path == "missions.tow.segments"
        && p.message == "\"take-off\" is used 2 times; it may be used 1 times in a flight"));
    assert!(told(", uses: 2").iter().chain(told("").iter()).all(|p| p.path != "missions.tow.segments"));
}

#[test]
fn a_project_of_missions_alone_is_put_together_as_well() {
    // the two liquids of the table are no liquid: told although there is no steady point
    let text = text(r#"Mission(name: "tow", segments: [Segment(name: "a", duration: "1 min")])"#)
        .replace("efficiency: 0.94", "efficiency: 1.4");
    let from = text.find("points: [").expect("the head has points");
    let to = text.find("failures: [").expect("the head has failures");
    let text = format!("{}{}", &text[..from], &text[to..]);
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    let problems = decode(&node.expect("a tree was read")).expect_err("an efficiency above 1");
    assert!(problems.iter().any(|p| p.path.starts_with("powertrain.motors.motor")), "{problems}");
}

/// Each demo has a mission, and every mission of every variant can be put together.
#[test]
fn every_mission_of_the_demos_is_scheduled() {
    for (name, text) in super::demos::demos() {
        for varied in super::demos::varied(&text, &name) {
            let cases = cases::missions(&varied.project);
            assert!(!cases.is_empty(), "{name} flies no mission");
            for case in cases {
                let made = schedule(&case)
                    .unwrap_or_else(|p| panic!("{name}, {}, {}: {p}", varied.name, case.name()));
                assert!(made.steps.len() >= 3);
                let first = made.steps[0].pieces[0].from.assembled.network.stored_entries();
                let all = made
                    .steps
                    .iter()
                    .flat_map(|step| &step.pieces)
                    .flat_map(|p| std::iter::once(&p.from).chain(&p.to));
                for instant in all {
                    assert_eq!(instant.assembled.network.stored_entries(), first, "{name}, {}", case.name());
                }
            }
        }
    }
}
