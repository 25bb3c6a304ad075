//! `budget`: keys, sums, and exit codes.

use crate::run::{PLATE, file, has_keys, list, run};

#[test]
fn the_book_of_the_demo_adds_up() {
    let ended =
        run(&["budget", "demo", "--case", "hot day/tow flight", "--case", "hot day/take-off", "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    let lines = list(&json["masses"], "lines");
    let sum = |key: &str| lines.iter().map(|line| line[key].as_f64().expect("a number")).sum::<f64>();
    for key in ["dry_kg", "coolant_kg"] {
        let total = json["masses"][key].as_f64().expect("a number");
        assert!((sum(key) - total).abs() < 1e-9, "{key}");
    }
    let cases = list(&json, "cases");
    assert_eq!(cases[0]["case"], "hot day/take-off");
    has_keys(&cases[0]["power"], &["machines", "converters_W", "ducts", "carry_W_kg"]);
    let mass = &cases[1]["equivalent"];
    let terms = ["dry_kg", "coolant_kg", "machines_kg", "drag_kg", "carry_kg"];
    let sum: f64 = terms.iter().map(|term| mass[term].as_f64().expect("a number")).sum();
    assert!((sum - mass["total_kg"].as_f64().expect("a number")).abs() < 1e-9);
}

#[test]
fn what_has_no_state_is_told_and_short() {
    let (_file, path) =
        file(PLATE.replace("Fixed(\"200 W\")", "Growing(heat: \"200 W\", slope: \"5 %/K\")").as_bytes());
    let ended = run(&["budget", &path, "--case", "warm/full"]);
    assert_eq!(ended.code, 2, "{}{}", ended.out, ended.err);
    assert!(ended.out.contains("warm/full: no_equilibrium"), "{}", ended.out);
    let unknown = run(&["budget", &path, "--case", "warm/empty"]);
    assert_eq!(unknown.code, 1, "{}", unknown.out);
}
