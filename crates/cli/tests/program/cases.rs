//! Window and command line list the same cases in the same order.

use crate::run::run;
use session::Snapshot;

fn named(json: &serde_json::Value) -> Vec<String> {
    let results = json["results"].as_array().expect("results");
    results.iter().map(|result| result["case"].as_str().expect("a name").to_owned()).collect()
}

#[test]
fn the_window_lists_what_the_commands_solve_in_their_order() {
    for name in ["rig", "tug", "rescue"] {
        let path = format!("{}/../../demo-projects/{name}.ron", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read(&path).expect("a demo project");
        let (snapshot, _) = Snapshot::from_bytes(&text).expect("a demo project is valid");
        let listed = |is_mission: bool| -> Vec<String> {
            let cases = snapshot.choices().cases.iter().filter(|case| case.is_mission == is_mission);
            cases.map(|case| case.name.to_string()).collect()
        };
        let solved = run(&["solve", &path, "--json"]);
        assert_eq!(listed(false), named(&solved.json()), "{name}");
        assert!(!listed(false).is_empty(), "{name} has steady points");
        // flights take long without optimisation: their list is what an unknown case is answered with
        let refused = run(&["simulate", &path, "--case", "moon/flight"]);
        let missions = listed(true);
        assert!(!missions.is_empty() && refused.code == 1, "{}", refused.err);
        let at: Vec<usize> = missions
            .iter()
            .map(|mission| {
                refused.err.find(mission.as_str()).unwrap_or_else(|| panic!("{mission}: {}", refused.err))
            })
            .collect();
        assert!(at.is_sorted(), "{name}: {missions:?} in {}", refused.err);
    }
}
