//! A project is begun from answers, checked and solved.

use crate::run::run;

#[test]
fn a_project_begun_from_answers_checks_clean_solves_and_flies() {
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let path = folder.path().join("two motors.ron");
    let file = path.to_str().expect("a plain path");
    let asked = [
        "new",
        "-o",
        file,
        "--kind",
        "rotorcraft",
        "--motors",
        "2",
        "--pack",
        "192x56",
        "--pack-cooling",
        "own-loop",
    ];
    let begun = run(&asked);
    assert_eq!(begun.code, 0, "{}", begun.err);
    assert!(begun.out.contains("a glycol loop of its own"), "{}", begun.out);
    let check = run(&["check", file]);
    assert_eq!(check.code, 0, "{}", check.out);
    assert!(check.out.contains("0 errors, 0 warnings"), "{}", check.out);
    for result in run(&["solve", file, "--json"]).json()["results"].as_array().expect("a list") {
        assert_eq!(result["status"], "solved", "{result}");
        assert!(result["margins"].as_array().is_some_and(|margins| !margins.is_empty()));
    }
    for result in run(&["simulate", file, "--json"]).json()["results"].as_array().expect("a list") {
        assert_eq!(result["status"], "solved");
    }
    let again = run(&asked);
    assert_eq!(again.code, 1, "a file that is there stays");
    assert!(again.err.contains("exists already and was not changed"), "{}", again.err);
}

#[test]
fn an_answer_that_cannot_be_is_refused_and_nothing_is_written() {
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let path = folder.path().join("no.ron");
    let file = path.to_str().expect("a plain path");
    for (asked, told) in [
        (["--power", "80 km"], "write a power such as 80 kW"),
        (["--stator", "water"], "write one of own-loop, shared-loop, oil, air, none"),
        (["--motors", "9"], "motors: 9 is outside 1 to 8"),
        (["--pack", "10 kWh"], "give 28.9 kWh or more"),
        (["--pack", "108"], "or cells such as 108x42"),
    ] {
        let refused = run(&["new", "-o", file, asked[0], asked[1]]);
        assert_eq!(refused.code, 1);
        assert!(refused.err.contains(told), "{asked:?}: {}", refused.err);
        assert!(!path.exists());
    }
}

/// Ratio 5000 / 400 = 12.5; tip speed 400 x 2 pi / 60 x radius: 41.888 rad/s on 900 kg at 17 kg/m2, radius 4.105 m, 172 m/s.
#[test]
fn speeds_and_mass_are_answers() {
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let path = folder.path().join("fast.ron");
    let file = path.to_str().expect("a plain path");
    let begun = run(&[
        "new",
        "-o",
        file,
        "--kind",
        "rotorcraft",
        "--motors",
        "2",
        "--pack",
        "60 kWh",
        "--mass",
        "900 kg",
        "--motor-speed",
        "5000 rpm",
        "--output-speed",
        "400 rpm",
    ]);
    assert_eq!(begun.code, 0, "{}", begun.err);
    let text = std::fs::read_to_string(&path).expect("it was written");
    for (field, value) in [("ratio", "12.5"), ("mass", "\"900 kg\""), ("tip_speed", "\"172 m/s\"")] {
        let input = text.split(&format!("{field}: Input(")).nth(1).expect("it is an input");
        let told = input.split_once("value: ").map(|(_, rest)| rest.trim_start().starts_with(value));
        assert_eq!(told, Some(true), "{field}: {}", &input[..120]);
        assert!(input.split(')').next().expect("it ends").contains("from the answers"), "{field}");
    }
    let check = run(&["check", file]);
    assert!(check.out.contains("0 errors, 0 warnings"), "{}", check.out);
}

#[test]
fn a_part_left_to_its_case_is_told_with_what_to_change() {
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let path = folder.path().join("bare.ron");
    let file = path.to_str().expect("a plain path");
    let begun = run(&["new", "-o", file, "--inverter", "none"]);
    assert_eq!(begun.code, 0, "{}", begun.err);
    // 80 kW / 0.94 (1 / 0.98 - 1) = 1.737 kW; 8 kg at 2000 kg/m3: a cube of 158.7 mm, 100 x 6 x 0.0252 = 15.1 W/K
    let told = "To change before a margin can hold: inverter: 1.7 kW leave through a bare case of 15.1 W/K only near 173 degC";
    assert!(begun.out.contains(told), "{}", begun.out);
    assert_eq!(run(&["margins", file]).code, 2, "what is told to change is short");
}
