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
        has_keys(point, &["pressure_altitude_m", "oat_K", "limited_by", "case"]);
        let oat_k = point["oat_K"].as_f64().expect("a number");
        assert!((oat_k - 323.15).abs() <= 0.1, "{oat_k}");
        assert_eq!(point["case"], "warm/full");
    }
    let text = run(&["oat-limit", &path, "--variant", "hot"]);
    assert!(text.out.contains("hot day") && text.out.contains("not airworthiness approval"), "{}", text.out);
}

#[test]
fn uncooled_flight_needs_a_pack() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&["uncooled", &path]);
    assert_eq!(ended.code, 1, "{}", ended.out);
    assert!(ended.err.contains("there is no pack"), "{}", ended.err);
}
