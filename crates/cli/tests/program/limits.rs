//! `oat-limit` and `uncooled`: keys, order, and a limit worked out by hand.

use crate::run::{PLATE, file, has_keys, list, run};

/// 100 degC, less the 10 K required, less 200 W / 5 W/K.
#[test]
fn the_limit_of_a_plate_is_its_limit_less_its_rise() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&["oat-limit", &path, "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    let points = list(&json, "points");
    assert_eq!(points.len(), 6);
    for point in points {
        has_keys(point, &["pressure_altitude_m", "oat_K", "limited_by", "case", "set", "of"]);
        assert_eq!((point["set"].as_str(), point["of"].as_str()), (Some("normal"), Some("cooling")));
        let oat_k = point["oat_K"].as_f64().expect("a number");
        assert!((oat_k - 323.15).abs() <= 0.1, "{oat_k}");
        assert_eq!(point["case"], "warm/full");
    }
    // 50 degC lies above the hot day of 37.8 degC at sea level
    let [curve] = list(&json, "curves").as_slice() else { panic!("{}", json["curves"]) };
    assert_eq!((curve["hot_day"].as_str(), curve["cases"].as_u64()), (Some("throughout"), Some(1)));
    let is_empty = |json: &serde_json::Value, key: &str| json[key].as_array().is_some_and(Vec::is_empty);
    assert!(is_empty(&json, "infeasible") && json["is_whole"] == true && json["missing"].is_null());
    let failed = run(&["oat-limit", &path, "--failed", "--json"]);
    assert!(failed.code == 0 && is_empty(&failed.json(), "points"), "there is no failed case");
    let unknown = run(&["oat-limit", &path, "--without", "warm/away"]);
    assert!(unknown.code == 1 && unknown.err.contains("warm/full"), "{}", unknown.err);
    let text = run(&["oat-limit", &path, "--variant", "hot"]);
    assert!(text.out.contains("hot day") && text.out.contains("not airworthiness approval"), "{}", text.out);
}

/// 200 W / 5 W/K are 40 K: at -20 degC the plate has 20 degC, 30 K above what a limit of 0 degC less 10 K asks for.
#[test]
fn a_case_that_holds_at_no_air_is_named_with_what_it_is_short_by() {
    let (_file, path) = file(PLATE.replace("100 degC", "0 degC").as_bytes());
    let json = run(&["oat-limit", &path, "--json"]).json();
    assert_eq!(json["points"].as_array().map(Vec::len), Some(0));
    let [one] = list(&json, "infeasible").as_slice() else { panic!("{}", json["infeasible"]) };
    has_keys(one, &["set", "of", "case", "where", "limit", "short_by", "details", "message", "tried"]);
    assert_eq!(one["case"], "warm/full");
    assert!((one["short_by"].as_f64().expect("a number") - 30.0).abs() < 1e-6, "{one}");
    let text = run(&["oat-limit", &path]);
    assert!(text.out.contains("SHORT whatever the outside air"), "{}", text.out);
    assert!(text.out.lines().all(|line| line.chars().count() <= 110), "{}", text.out);
}

#[test]
fn uncooled_flight_needs_a_pack() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&["uncooled", &path]);
    assert_eq!(ended.code, 1, "{}", ended.out);
    assert!(ended.err.contains("there is no pack"), "{}", ended.err);
}
