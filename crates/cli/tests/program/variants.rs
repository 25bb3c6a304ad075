//! `variants`: the base design and its variants by hand.

use crate::run::{PLATE, file, list, run};

/// 40 degC + 200 W / (5 W/K) = 80 degC keeps 90 degC by 10 K; with 270 W 94 degC is short of it by 4 K.
#[test]
fn variants_are_as_by_hand() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&["variants", &path, "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    let found = list(&json, "variants");
    let reserve = |n: usize| {
        let margin = &found[n]["steady"]["closest"]["margin"];
        let value = |key: &str| margin[key].as_f64().unwrap_or_else(|| panic!("{key} in {margin}"));
        value("margin") - value("required")
    };
    assert_eq!((found[0]["name"].as_str(), found[1]["name"].as_str()), (Some("base"), Some("hot")));
    assert!((reserve(0) - 10.0).abs() < 1e-6 && (reserve(1) + 4.0).abs() < 1e-6, "{json}");
    assert_eq!(found[1]["steady"]["cases_short"].as_u64(), Some(1));
    assert!(found[0]["costs"].is_null() && found[0]["turnaround"].is_null(), "nothing is flown");
    let ended = run(&["variants", &path, "--variant", "hat"]);
    assert_eq!(ended.code, 1);
    assert!(ended.err.contains("hot"), "{}", ended.err);
}
