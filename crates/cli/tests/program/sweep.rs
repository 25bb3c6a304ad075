//! `sweep`: rows by hand, files, shards, refusals.

use crate::run::{PLATE, file, list, run};

const HEAT: &str = "heats.heater.law=100 W..300 W/5";
const PLACE: &str = "temperature:warm/full:plate";

/// 40 degC + Q / (5 W/K) for 100, 150, 200, 250, 300 W; 90 degC less that in reserve.
#[test]
fn rows_are_as_by_hand() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&["sweep", &path, "--set", HEAT, "--show", PLACE, "--show", "worst", "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    let rows = list(&json, "rows");
    let expected = [(100.0, 60.0), (150.0, 70.0), (200.0, 80.0), (250.0, 90.0), (300.0, 100.0)];
    assert_eq!(rows.len(), expected.len());
    for (number, (row, (heat_w, celsius))) in rows.iter().zip(expected).enumerate() {
        let value = |key: &str| row[key].as_f64().unwrap_or_else(|| panic!("{key} in {row}"));
        assert_eq!(row["point"].as_u64(), Some(number as u64));
        assert_eq!(value("heats.heater.law_W"), heat_w);
        assert!((value("temperature:warm/full:plate_K") - 273.15 - celsius).abs() < 1e-6, "{row}");
        assert!((value("worst") - (90.0 - celsius)).abs() < 1e-6, "{row}");
        assert!(row["remark"].is_null());
    }
}

#[test]
fn shards_one_after_the_other_are_the_whole() {
    let (_file, path) = file(PLATE.as_bytes());
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let table = |shard: &str| {
        let place = folder.path().join("rows.csv");
        let to = place.to_str().expect("a plain path");
        let ended = run(&["sweep", &path, "--set", HEAT, "--show", "worst", "--csv", to, "--shard", shard]);
        assert_eq!(ended.code, 0, "{}", ended.err);
        std::fs::read_to_string(place).expect("the table")
    };
    let (whole, first, second) = (table("1/1"), table("1/2"), table("2/2"));
    assert!(whole.starts_with("point,heats.heater.law_W,worst,remark\n"), "{whole}");
    let (_heads, rows) = second.split_once('\n').expect("heads");
    assert_eq!(whole, first + rows);
    let place = folder.path().join("rows.parquet");
    let to = place.to_str().expect("a plain path");
    let ended = run(&["sweep", &path, "--set", HEAT, "--show", "worst", "--parquet", to]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let bytes = std::fs::read(place).expect("the file");
    assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"));
}

#[test]
fn strangers_are_refused_with_the_nearest_and_empty_points_say_why() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&["sweep", &path, "--set", "heats.heatr.law=1 W..2 W/2", "--show", "worst"]);
    assert_eq!(ended.code, 1);
    assert!(ended.err.contains("heats.heater.law"), "{}", ended.err);
    let ended = run(&["sweep", &path, "--set", HEAT, "--show", "temperature:warm/full:plat"]);
    assert_eq!(ended.code, 1);
    assert!(ended.err.contains(PLACE), "{}", ended.err);
    let ended = run(&["sweep", &path, "--set", HEAT, "--show", "worst"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!(ended.out.contains("-10.000"), "{}", ended.out);
    assert!(ended.out.lines().all(|line| line.chars().count() <= 100), "{}", ended.out);
    // 200 W (1 + 5 %/K (T - 20 degC)) grows by 10 W/K against 5 W/K: no balance
    let growing = PLATE.replace("Fixed(\"200 W\")", "Growing(heat: \"200 W\", slope: \"5 %/K\")");
    let (_file, path) = file(growing.as_bytes());
    let ended = run(&[
        "sweep",
        &path,
        "--set",
        "components.plate.capacity=1 kJ/K..2 kJ/K/2",
        "--show",
        "worst",
        "--json",
    ]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    for row in list(&json, "rows") {
        assert!(row["worst"].is_null());
        assert_eq!(row["remark"], "warm/full: no_equilibrium");
    }
}
