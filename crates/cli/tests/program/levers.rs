//! `levers`: keys, order, and slopes worked out by hand.

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
