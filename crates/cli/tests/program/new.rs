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
        (["--pack", "10 kWh"], "give 19.1 kWh or more"),
        (["--pack", "108"], "or cells such as 108x42"),
    ] {
        let refused = run(&["new", "-o", file, asked[0], asked[1]]);
        assert_eq!(refused.code, 1);
        assert!(refused.err.contains(told), "{asked:?}: {}", refused.err);
        assert!(!path.exists());
    }
}
