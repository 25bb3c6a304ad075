//! `margins`: order, verdict, cases without a state.

use crate::run::{PLATE, file, has_keys, list, run};

const KEYS: [&str; 11] = [
    "case",
    "variant",
    "where",
    "limit",
    "kind",
    "unit",
    "value",
    "limit_value",
    "margin",
    "required",
    "time_s",
];

#[test]
fn the_demos_keep_their_margins_and_the_worst_comes_first() {
    for demo in ["demo", "demo:rescue", "demo:rig"] {
        keeps_its_margins(demo);
    }
}

fn keeps_its_margins(demo: &str) {
    let ended = run(&["margins", demo, "--json"]);
    assert_eq!(ended.code, 0, "{demo}: {}", ended.err);
    let json = ended.json();
    let lines = list(&json, "margins");
    let reserves: Vec<f64> = lines
        .iter()
        .map(|line| {
            has_keys(line, &KEYS);
            let number = |key: &str| line[key].as_f64().expect("a number");
            number("margin") - number("required")
        })
        .collect();
    assert!(reserves.is_sorted(), "{reserves:?}");
    // rounding of the last digit does not count
    assert!(reserves[0] >= -1e-9);
}

#[test]
fn a_short_margin_is_said_and_ends_with_2() {
    let ended = run(&["margins", "demo:rig", "--variant", "small radiator"]);
    assert_eq!(ended.code, 2, "{}", ended.err);
    assert!(ended.out.contains("SHORT") && ended.out.contains(", short: margin "), "{}", ended.out);
    assert!(ended.out.contains("not airworthiness approval"));
}

/// The loss grows by 0.05/K x 200 W = 10 W/K where 5 W/K leave: nothing stops the temperature.
#[test]
fn a_case_without_a_state_comes_before_all_numbers() {
    let text = PLATE.replace("law: Fixed(\"200 W\")", "law: Growing(heat: \"200 W\", slope: \"5 %/K\")");
    let text = text.lines().filter(|line| !line.contains("variants")).collect::<Vec<_>>().join("\n");
    let (_file, path) = file(text.as_bytes());
    let ended = run(&["margins", &path, "--json"]);
    assert_eq!(ended.code, 2, "{}", ended.err);
    let json = ended.json();
    let first = &list(&json, "margins")[0];
    has_keys(first, &KEYS);
    assert_eq!((&first["limit"], &first["where"]), (&"no_equilibrium".into(), &"plate".into()));
    assert!(first["margin"].is_null());

    let sheet = run(&["margins", &path]);
    assert_eq!(sheet.code, 2);
    assert!(sheet.out.contains("NO RESULT warm/full: no_equilibrium"), "{}", sheet.out);

    let solved = run(&["solve", &path, "--json"]);
    assert_eq!(solved.code, 2);
    let result = &solved.json()["results"][0];
    assert_eq!(result["status"], "no_equilibrium");
    assert!(result["ledger"]["residual_W"].is_null());
    assert_eq!(result["notices"][0]["kind"], "no_equilibrium");
}
