//! `failures`: every failure with its time to a limit, its peak, its action and the alerts.

use crate::run::run;

#[test]
fn every_failure_and_every_supply_is_listed_with_action_and_alerts() {
    let ended = run(&["failures", "demo", "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let value = ended.json();
    let failures = value["failures"].as_array().expect("a list");
    let named =
        |name: &str| failures.iter().find(|f| f["name"] == name).unwrap_or_else(|| panic!("no {name}"));
    let project = include_str!("../../../../demo-projects/tug.ron");
    for name in project.split(" Failure(name: \"").skip(1).filter_map(|rest| rest.split('"').next()) {
        named(name);
    }
    for (name, action, reason) in [
        ("oil pump stops", "immediately", "time"),
        ("battery hose off", "immediately", "hazard"),
        ("bus A lost", "as_soon_as_possible", "time"),
        ("stator pump A stops", "as_soon_as_practicable", "redundancy"),
    ] {
        let failure = named(name);
        assert_eq!(
            [&failure["action"], &failure["action_reason"], &failure["standing"]],
            [action, reason, "holds"]
        );
    }
    // what is required of a prediction is lost before the limit is passed
    let battery = named("battery pump stops");
    let time_s = |key: &str| battery[key].as_f64().expect("it is there");
    assert!(time_s("time_to_required_s") < time_s("time_to_limit_s"), "{battery}");
    assert_eq!(
        [&battery["first_required"]["where"], &battery["first_required"]["limit"]],
        ["cells", "discharge"]
    );
    // 62 kW lasting, 68 kW for 5 min: the time to the limit of the motor that is left is the time of its rating, to a sample
    let motor_s = named("left motor out")["time_to_limit_s"].as_f64().expect("it is there");
    assert!((300.0..=310.0).contains(&motor_s), "{motor_s}");
    assert!(named("string out")["time_to_limit_s"].is_null());
    let alert = value["alerts"]
        .as_array()
        .expect("a list")
        .iter()
        .find(|a| a["where"] == "gearbox sump")
        .expect("it is there");
    let at = |key: &str| alert[key].as_f64().expect("it is there");
    assert!(at("amber_K") <= at("red_K") && at("red_K") < at("limit_K"), "{alert}");
}

/// A rig whose heater goes on when the pump stops: 4 of 5 failures leave the model before the end, and a blocked radiator leaves less than
/// is required. The sheet names what each worsens, with the margin that
/// is there without it, and stays within reading width.
#[test]
fn the_sheet_tells_what_each_failure_worsens() {
    let ended = run(&["failures", "demo:rig"]);
    assert_eq!(ended.code, 2, "{}", ended.err);
    for line in [
        "Bench rig, variant base: 5 single failures over time",
        "Land immediately: 5",
        "| SHORT radiator",
        "no action in time",
        "0 of 5 failures keep every required margin until touchdown, 1 keeps every limit; 4 without result",
    ] {
        assert!(ended.out.contains(line), "{line} is not in\n{}", ended.out);
    }
    assert!(!ended.out.contains("Healthy"), "no limit is passed without failure:\n{}", ended.out);
    assert!(ended.out.contains("outside the model"), "{}", ended.out);
    let table = ended.out.lines().filter(|line| line.starts_with('|'));
    assert!(table.map(|line| line.chars().count()).all(|width| width <= 100), "{}", ended.out);
}
