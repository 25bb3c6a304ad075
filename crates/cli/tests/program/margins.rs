//! `margins`: order, verdict, cases without a state.

use crate::run::{PLATE, file, has_keys, list, run};

const KEYS: [&str; 16] = [
    "case",
    "variant",
    "where",
    "limit",
    "kind",
    "unit",
    "value",
    "limit_value",
    "reserve",
    "margin",
    "required",
    "required_by",
    "evidence",
    "standing",
    "rule",
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
    let ranks: Vec<f64> = lines
        .iter()
        .map(|line| {
            has_keys(line, &KEYS);
            let number = |key: &str| line[key].as_f64().expect("a number");
            let reserve = number("margin") - number("required");
            assert_eq!((number("reserve"), &line["standing"]), (reserve, &"holds".into()), "{line}");
            // a kelvin ranks as one per cent of a limit in another unit
            if line["unit"] == "K" { reserve } else { 100.0 * reserve / number("limit_value") }
        })
        .collect();
    let falls = ranks.windows(2).find(|pair| pair[0] > pair[1] + 1e-9);
    assert!(falls.is_none(), "{falls:?}");
    // rounding of the last digit does not count
    assert!(ranks[0] >= -1e-9);
}

#[test]
fn a_short_margin_is_said_and_ends_with_2() {
    let ended = run(&["margins", "demo:rig", "--variant", "small radiator"]);
    assert_eq!(ended.code, 2, "{}", ended.err);
    assert!(ended.out.contains("SHORT") && ended.out.contains(", short: margin "), "{}", ended.out);
    assert!(ended.out.contains("not airworthiness approval"));
}

/// Each limit stands once, at its worst case; `--all` has a line for each case, with what the rule alone asks.
#[test]
fn the_sheet_has_a_line_for_each_limit_and_all_has_every_case() {
    let lines_with = |text: &str, what: &str| {
        text.lines().filter(|line| line.starts_with('|') && line.contains(what)).count()
    };
    let short = run(&["margins", "demo:rig", "--variant", "small radiator"]);
    assert_eq!(lines_with(&short.out, "heater block, continuous "), 1, "{}", short.out);
    assert!(short.out.contains("4 limits in 7 steady cases and 3 missions, each at its worst case"));
    assert!(short.out.contains("Limits, each at its worst case: 1 short, 3 hold\n"), "{}", short.out);
    assert!(short.out.contains("Cases: 2 short, 8 hold\n"), "{}", short.out);
    let all = run(&["margins", "demo:rig", "--variant", "small radiator", "--all"]);
    assert_eq!(all.code, 2);
    // 4 limits in 10 cases; 2 of the limits are maxima, and all of them are below their limits
    let json = run(&["margins", "demo:rig", "--variant", "small radiator", "--json"]).json();
    let lines = list(&json, "margins");
    assert_eq!(lines.len(), 40);
    assert_eq!(lines.iter().filter(|line| line["rule"] == "met").count(), 20);
    assert!(lines.iter().all(|line| line["rule"].is_null() == (line["kind"] != "maximum")));
    assert_eq!(lines_with(&all.out, " met "), 20, "{}", all.out);
    assert_eq!(lines[0]["standing"], "short");
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
    assert!(first["margin"].is_null() && first["reserve"].is_null() && first["rule"].is_null());
    assert_eq!(first["standing"], "no_result");

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
