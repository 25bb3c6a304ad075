//! `solve`: numbers by hand, keys of the contract, the heat balance, cases and variants by name.

use crate::run::{PLATE, file, has_keys, list, run};

#[test]
fn a_plate_comes_out_as_by_hand() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&["solve", &path, "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    assert_eq!(
        (&json["schema"], &json["project"], &json["variant"]),
        (&2.into(), &"plate".into(), &"base".into())
    );
    let result = &json["results"][0];
    // 40 degC + 200 W / (5 W/K) = 80 degC
    let temperature = result["components"][0]["temperature_K"].as_f64().unwrap();
    assert!((temperature - 353.15).abs() < 1e-6, "{temperature}");
    assert!((result["margins"][0]["margin"].as_f64().unwrap() - 20.0).abs() < 1e-6);
    assert!((result["ledger"]["generated_W"].as_f64().unwrap() - 200.0).abs() < 1e-9);
    assert!((result["ledger"]["rejected_W"].as_f64().unwrap() - 200.0).abs() < 1e-6);
}

#[test]
fn json_has_the_keys_of_the_contract_and_every_ledger_closes() {
    for demo in ["demo", "demo:rescue", "demo:rig"] {
        let ended = run(&["solve", demo, "--json"]);
        assert!(ended.code == 0 || ended.code == 2, "{demo}: {}", ended.err);
        let json = ended.json();
        has_keys(&json, &["schema", "program", "project", "variant", "input_hash", "results"]);
        for result in list(&json, "results") {
            let keys = ["case", "status", "components", "loops", "ducts", "margins", "ledger", "notices"];
            has_keys(result, &keys);
            assert_eq!(result["status"], "solved", "{demo}: {} {}", result["case"], result["notices"]);
            let ledger = &result["ledger"];
            has_keys(ledger, &["generated_W", "stored_W", "rejected_W", "residual_W"]);
            let number = |key: &str| ledger[key].as_f64().unwrap();
            assert!(number("residual_W").abs() <= 1e-6 * number("generated_W").abs(), "{demo}: {ledger}");
            for component in list(result, "components") {
                has_keys(component, &["name", "temperature_K", "heat_W"]);
            }
            for circuit in list(result, "loops") {
                has_keys(
                    circuit,
                    &["name", "volume_flow_m3_s", "mass_flow_kg_s", "pump_rise_Pa", "pump_power_W"],
                );
                for station in list(circuit, "stations") {
                    let keys = [
                        "name",
                        "temperature_out_K",
                        "pressure_out_Pa",
                        "heat_to_coolant_W",
                        "mass_flow_kg_s",
                    ];
                    has_keys(station, &keys);
                }
            }
            for circuit in list(result, "ducts") {
                has_keys(circuit, &["name", "mass_flow_kg_s", "fan_power_W", "drag_N"]);
                for station in list(circuit, "stations") {
                    has_keys(station, &["name", "temperature_out_K", "pressure_out_Pa", "mass_flow_kg_s"]);
                }
            }
            for margin in list(result, "margins") {
                let keys = [
                    "where",
                    "limit",
                    "kind",
                    "unit",
                    "value",
                    "limit_value",
                    "margin",
                    "required",
                    "time_s",
                ];
                has_keys(margin, &keys);
            }
        }
    }
}

#[test]
fn the_flow_of_a_loop_is_its_mass_flow_over_density() {
    let json = run(&["solve", "demo", "--case", "hot day/tow climb", "--json"]).json();
    for circuit in list(&json["results"][0], "loops") {
        let density =
            circuit["mass_flow_kg_s"].as_f64().unwrap() / circuit["volume_flow_m3_s"].as_f64().unwrap();
        // glycol mixtures and oils: 900 to 1100 kg/m3
        assert!((900.0..1100.0).contains(&density), "{}: {density} kg/m3", circuit["name"]);
        assert!(circuit["pump_rise_Pa"].as_f64().unwrap() > 1e3, "{}", circuit["name"]);
    }
}

#[test]
fn the_text_names_every_part_within_reading_width() {
    let ended = run(&["solve", "demo:rig", "--case", "hot day/full heat"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    for part in [
        "heater block",
        "Loop glycol",
        "Duct radiator duct",
        "Ledger: heat balance",
        "not airworthiness approval",
    ] {
        assert!(ended.out.contains(part), "{part} is missing in\n{}", ended.out);
    }
    assert!(!ended.out.contains("lab/full heat") && !ended.out.contains('\x1b'));
    for line in ended.out.lines().filter(|line| line.starts_with(['|', '+'])) {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn an_explanation_names_level_law_source_and_range() {
    let ended = run(&["solve", "demo:rig", "--case", "hot day/full heat", "--explain", "--json"]);
    let json = ended.json();
    let explanations = list(&json["results"][0], "explanations");
    for one in explanations {
        has_keys(one, &["circuit", "where", "what", "level", "law", "source", "results", "relations"]);
    }
    let find = |place: &str, what: &str| {
        let found = explanations.iter().find(|e| e["where"] == place && e["what"] == what);
        found.unwrap_or_else(|| panic!("no explanation of {what} of {place}"))
    };
    let plate = &find("plate", "conductance")["relations"][0];
    assert_eq!((&plate["name"], &plate["in_range"]), (&"tube_all_regimes".into(), &true.into()));
    // the relation, its groups and the area must give the conductance that the solver used
    let results: Vec<&str> = find("plate", "conductance")["results"]
        .as_array()
        .unwrap()
        .iter()
        .map(|r| r.as_str().unwrap())
        .collect();
    let first_number = |text: &str| text.split(' ').find_map(|word| word.parse::<f64>().ok()).unwrap();
    let (explained, used) = (first_number(results[0]), first_number(results[1]));
    assert!((explained - used).abs() < 2e-3 * used, "{results:?}");
    assert_eq!(find("radiator", "effectiveness")["relations"][0]["name"], "crossflow_both_unmixed_exact");
    assert_eq!(find("radiator", "air-side conductance")["relations"][0]["name"], "chang_wang_1997");
    assert_eq!(find("heater", "heat")["source"], "power meter");

    let text = run(&["solve", "demo:rig", "--case", "hot day/full heat", "--explain"]).out;
    for part in ["level geometry", "level measured", "level fixed", "inside its range", "Chang & Wang 1997"] {
        assert!(text.contains(part), "{part} is missing");
    }
}

#[test]
fn the_drive_and_its_heat_paths_are_explained_step_by_step() {
    let ended = run(&["solve", "demo", "--case", "hot day/tow climb", "--explain", "--json"]);
    let json = ended.json();
    let explanations = list(&json["results"][0], "explanations");
    let relation = |place: &str, what: &str, name: &str| {
        let found = explanations.iter().find(|e| e["where"] == place && e["what"] == what);
        let found = found.unwrap_or_else(|| panic!("no explanation of {what} of {place}"));
        let relations = list(found, "relations");
        relations.iter().find(|r| r["name"] == name).unwrap_or_else(|| panic!("no {name} in {found}")).clone()
    };
    for (place, what, name) in [
        ("left motor", "motor loss", "copper_loss"),
        ("left motor", "inverter loss", "bridge_devices"),
        ("left motor", "cable loss", "conductor_loss"),
        ("gearbox sump", "gearbox loss", "gearbox_efficiency"),
        ("cells", "pack loss", "cell_heat"),
        ("left air gap", "heat path", "becker_kaye_1962_with_geometry_factor"),
        ("cowl", "heat path", "flat_plate_all_regimes"),
    ] {
        let found = relation(place, what, name);
        let keys = ["quantity", "value", "unit", "in_range", "inputs", "chain", "range", "scatter", "source"];
        has_keys(&found, &keys);
        assert_eq!(found["in_range"], true, "{found}");
    }
    // 3 x 2 sets x I^2 R, with the current and resistance of the steps
    let copper = relation("left motor", "motor loss", "copper_loss");
    let step = |name: &str| {
        let chain = list(&copper, "chain");
        chain.iter().find(|s| s["quantity"] == name).and_then(|s| s["value"].as_f64()).expect("a step")
    };
    let by_hand = 6.0 * step("phase_current").powi(2) * step("phase_resistance");
    assert!((copper["value"].as_f64().unwrap() - by_hand).abs() < 1e-4 * by_hand, "{by_hand} W");
}

#[test]
fn an_unknown_case_lists_the_known_ones() {
    let ended = run(&["solve", "demo:rig", "--case", "hot day"]);
    assert_eq!((ended.code, ended.out.as_str()), (1, ""));
    assert!(ended.err.contains("\"hot day\"") && ended.err.contains("hot day/full heat"), "{}", ended.err);
}

#[test]
fn cases_come_in_the_order_of_the_project_whatever_the_order_asked() {
    let json =
        run(&["solve", "demo:rig", "--case", "hot day/full heat", "--case", "lab/full heat", "--json"])
            .json();
    let names: Vec<&str> = list(&json, "results").iter().map(|r| r["case"].as_str().unwrap()).collect();
    assert_eq!(names, ["lab/full heat", "hot day/full heat"]);
}

#[test]
fn a_variant_changes_the_answer_and_an_unknown_one_lists_the_known_ones() {
    let (_file, path) = file(PLATE.as_bytes());
    let ended = run(&["solve", &path, "--variant", "hot", "--json"]);
    // 40 degC + 270 W / (5 W/K) = 94 degC: 6 K where 10 K are required
    assert_eq!(ended.code, 2, "{}", ended.err);
    let margin = ended.json()["results"][0]["margins"][0]["margin"].as_f64().unwrap();
    assert!((margin - 6.0).abs() < 1e-6, "{margin}");
    let ended = run(&["solve", &path, "--variant", "cold"]);
    assert_eq!(ended.code, 1);
    assert!(ended.err.contains("base, hot"), "{}", ended.err);
}

#[test]
fn the_same_project_gives_the_same_bytes() {
    let once = run(&["solve", "demo", "--json"]);
    assert_eq!(once.out, run(&["solve", "demo", "--json"]).out);
}
