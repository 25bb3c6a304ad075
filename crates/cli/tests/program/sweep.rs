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
        let ended = run(&[
            "sweep",
            &path,
            "--set",
            HEAT,
            "--show",
            "worst",
            "--csv",
            to,
            "--shard",
            shard,
            "--overwrite",
        ]);
        assert_eq!(ended.code, 0, "{}", ended.err);
        std::fs::read_to_string(place).expect("the table")
    };
    let (whole, first, second) = (table("1/1"), table("1/2"), table("2/2"));
    assert!(whole.starts_with("point,heats.heater.law_W,worst,remark,points,sweep\n"), "{whole}");
    let (_heads, rows) = second.split_once('\n').expect("heads");
    assert_eq!(whole, first + rows);
    let place = folder.path().join("rows.parquet");
    let to = place.to_str().expect("a plain path");
    let ended = run(&["sweep", &path, "--set", HEAT, "--show", "worst", "--parquet", to]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let bytes = std::fs::read(place).expect("the file");
    assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"));
}

/// Parts in any order make the bytes of one run; a missing part, one that comes twice, one of another project, of another grid with as many
/// points, and a file that is no part are each told by name, and write nothing.
#[test]
fn parts_are_put_together_or_refused_by_name() {
    let (_file, path) = file(PLATE.as_bytes());
    let (_other_file, other) = file(PLATE.replace("200 W", "210 W").as_bytes());
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let place = |name: &str| folder.path().join(name).to_str().expect("a plain path").to_owned();
    let part = |project: &str, grid: &str, shard: &str, name: &str| {
        let to = place(name);
        let ended =
            run(&["sweep", project, "--set", grid, "--show", "worst", "--csv", &to, "--shard", shard]);
        assert_eq!(ended.code, 0, "{}", ended.err);
        to
    };
    let parts: Vec<String> =
        (1..=3).map(|n| part(&path, HEAT, &format!("{n}/3"), &format!("part-{n}.csv"))).collect();
    let whole = part(&path, HEAT, "1/1", "one-run.csv");
    let joined = place("whole.csv");
    let ended = run(&["join", &parts[2], &parts[0], &parts[1], "-o", &joined]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert_eq!(std::fs::read(&joined).expect("it is there"), std::fs::read(&whole).expect("it is there"));
    std::fs::remove_file(&joined).expect("it is there");

    let of_other = part(&other, HEAT, "3/3", "other.csv");
    let of_other_grid = part(&path, "heats.heater.law=100 W..310 W/5", "3/3", "grid.csv");
    let no_part = place("notes.csv");
    std::fs::write(&no_part, "time,remark\n1,none\n").expect("it can be written");
    // of five points the parts have 1, 2 and 2
    for (third, said) in [
        (None, "2 of 5 points are missing, the first is point 3"),
        (Some(&parts[1]), "part-2.csv and again in"),
        (Some(&of_other), "other.csv belongs to another sweep than"),
        (Some(&of_other_grid), "grid.csv belongs to another sweep than"),
        (Some(&no_part), "notes.csv has other columns than"),
    ] {
        let mut words = vec!["join", parts[0].as_str(), parts[1].as_str()];
        words.extend(third.map(String::as_str));
        words.extend(["-o", joined.as_str()]);
        let ended = run(&words);
        assert_eq!(ended.code, 1, "{}", ended.out);
        assert!(ended.err.contains(said), "{} lacks {said}", ended.err);
        assert!(!std::path::Path::new(&joined).exists());
    }
    let ended = run(&["join", &no_part, "-o", &joined]);
    assert!(ended.code == 1 && ended.err.contains("no part of a sweep"), "{}", ended.err);
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

/// The new cells of the invented tug fly through the hot day without their loop at 46 mOhm, and not at 51: both boundaries lie between.
/// What drops out is no less than both hoses, 1200 kg/m3 pi (20 + 4) mm 4 mm 2.4 m + 60 g = 0.929 kg each.
#[test]
fn the_loop_of_the_demo_drops_out_between_two_resistances() {
    let set = "powertrain.bus.cell.resistance=46 mOhm..51 mOhm/2";
    let mut words = vec!["sweep", "demo", "--case", "hot day/tow flight", "--set", set, "--json"];
    for result in ["size:battery", "fitted:battery", "boundary:battery:at rest", "boundary:battery:removed"] {
        words.extend(["--show", result]);
    }
    let ended = run(&words);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    let rows = list(&json, "rows");
    let value = |row: usize, key: &str| rows[row][key].as_f64().unwrap_or_else(|| panic!("{key} in {json}"));
    assert_eq!((value(0, "size:battery_kg"), value(0, "fitted:battery_kg")), (0.0, 0.0));
    assert_eq!(rows[0]["remark"], "battery: holds without the loop");
    let core_kg = value(1, "size:battery_kg");
    assert!(core_kg > 0.0 && value(1, "fitted:battery_kg") > core_kg + 2.0 * 0.929, "{json}");
    assert!(rows[1]["remark"].is_null());
    for row in 0..2 {
        let [rest_ohm, removed_ohm] =
            ["at rest", "removed"].map(|how| value(row, &format!("boundary:battery:{how}_ohm")));
        assert!(0.046 < removed_ohm && removed_ohm <= 1.02 * rest_ohm && rest_ohm < 0.051, "{json}");
    }
    words[3] = "hot day/tow flght";
    let ended = run(&words);
    assert_eq!(ended.code, 1);
    assert!(ended.err.contains("hot day/tow flight"), "{}", ended.err);
}
