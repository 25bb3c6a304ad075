//! `levers` and `spread`: keys, order, and slopes and quantiles worked out by hand.

use crate::run::{PLATE, file, has_keys, list, run};

/// `T = T_out + Q/G`: 200 W over 5 W/K are 40 K, so 1 % of heat takes 0.4 K, 1 % of conductance gives 0.4 K, and a kelvin outside
/// takes one.
#[test]
fn levers_of_a_plate_are_its_derivatives() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&["levers", &path, "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    let margins = list(&json, "margins");
    assert_eq!(margins.len(), 1);
    has_keys(&margins[0], &["case", "variant", "where", "limit", "margin", "required", "levers"]);
    assert_eq!(margins[0]["case"], "warm/full");
    let levers = list(&margins[0], "levers");
    let of = |path: &str| levers.iter().find(|l| l["path"] == path).expect("it is a lever");
    let expect = |path: &str, key: &str, expected: f64| {
        let value = of(path)[key].as_f64().expect("a number");
        assert!((value - expected).abs() < 1e-4, "{path} {key}: {value}");
    };
    expect("heats.heater.law", "per_percent", -0.4);
    expect("links.1.law", "per_percent", 0.4);
    expect("conditions.warm.day", "per_kelvin", -1.0);
    assert!(of("conditions.warm.day")["per_percent"].is_null());
    let text = run(&["levers", &path]);
    assert!(text.out.contains("-0.400 K") && text.out.contains("not airworthiness approval"), "{}", text.out);
}

#[test]
fn a_case_that_is_not_there_is_named() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&["levers", &path, "--case", "warm/none"]);
    assert_eq!(ended.code, 1, "{}", ended.out);
    assert!(ended.err.contains("warm/none"), "{}", ended.err);
}

/// 200 W within 10 % over 5 W/K: the margin of 20 K is uniform from 16 to 24 K; 16.4 and 23.6 K at 5 and 95 %. 10 K are required: of
/// 1024 samples none is short, so fewer than 1 - 0.05^(1/1024) = 0.2921 % are.
#[test]
fn spread_of_a_plate_is_its_tolerance_and_repeats() {
    let text = PLATE.replace(r#"Fixed("200 W")"#, r#"Fixed(Input(value: "200 W", tolerance: "10 %"))"#);
    let (_file, path) = file(text.as_bytes());
    let ask = ["spread", &path, "--samples", "1024", "--seed", "3", "--json"];
    let ended = run(&ask);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    assert_eq!((&json["samples"], &json["seed"]), (&1024.into(), &3.into()));
    let margins = list(&json, "margins");
    has_keys(
        &margins[0],
        &["case", "limit", "p05", "p50", "p95", "probability_short", "half", "contributions"],
    );
    let near = |key: &str, expected: f64, tolerance: f64| {
        let value = margins[0][key].as_f64().expect("a number");
        assert!((value - expected).abs() < tolerance, "{key}: {value}");
    };
    near("p05", 16.4, 0.02);
    near("p50", 20.0, 0.02);
    near("p95", 23.6, 0.02);
    near("probability_short_bound", 0.002_921, 1e-6);
    assert_eq!(margins[0]["contributions"][0]["path"], "heats.heater.law");
    assert_eq!(run(&ask).out, ended.out, "the same seed gives the same page");
    let sheet = run(&["spread", &path, "--samples", "1024", "--normal"]);
    assert!(sheet.out.contains("below 0.29 %") && sheet.out.contains("normal"), "{}", sheet.out);
}

/// A mission is named like a steady case: 600 s at a time constant of 1000 J/K over 5 W/K = 200 s leave 1 - e^-3 = 95.02 % of the rise
/// of 40 K from the outside air: 20 K + 1.992 K of margin; heat within 10 % makes it uniform within 3.801 K.
#[test]
fn missions_are_named_like_steady_cases() {
    let text = PLATE
        .replace(r#"Fixed("200 W")"#, r#"Fixed(Input(value: "200 W", tolerance: "10 %"))"#)
        .replace(
            "cases: [",
            r#"missions: [Mission(name: "warm", start: OutsideAir, segments: [Segment(name: "heated", duration: "600 s", point: "full", ground: true)], soak: LeftOut("a bench"))],
    cases: [CaseGroup(conditions: ["warm"], missions: ["warm"]), "#,
        );
    let (_file, path) = file(text.as_bytes());
    let ended = run(&["spread", &path, "--case", "warm/warm", "--samples", "64", "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    assert_eq!(json["margins"].as_array().map(Vec::len), Some(0), "only the mission was asked for");
    let mission = &list(&json, "missions")[0];
    assert_eq!(mission["case"], "warm/warm");
    let of = |key: &str| mission["margins"][0][key].as_f64().expect("a number");
    assert!((of("p50") - 21.992).abs() < 0.15, "{}", of("p50"));
    assert!((of("p95") - of("p05") - 0.9 * 2.0 * 3.801).abs() < 0.25, "{} {}", of("p05"), of("p95"));
    assert_eq!(
        mission["bands"][0]["p50_K"].as_array().map(Vec::len),
        mission["time_s"].as_array().map(Vec::len)
    );
    let ended = run(&["levers", &path, "--case", "warm/warm", "--json"]);
    let json = ended.json();
    let margins = list(&json, "margins");
    assert_eq!((margins.len(), &margins[0]["case"]), (1, &"warm/warm".into()));
    let heat = list(&margins[0], "levers").iter().find(|l| l["path"] == "heats.heater.law").cloned();
    let slope = heat.expect("it is a lever")["per_percent"].as_f64().expect("a number");
    assert!((slope + 0.380_1).abs() < 0.004, "{slope}");
}
