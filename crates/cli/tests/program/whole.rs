//! `size --all`: the contract, a variant that holds in every case, and variants side by side.

use crate::run::{file, has_keys, list, run};

/// A block of 2 kW on one loop in a duct of 40 m/s: height and depth of its radiator are free. A variant heats it more.
const RIG: &str = r#"
Project(format: "heatledger", version: 1, name: "bench",
    conditions: [Condition(name: "warm", day: Fixed("40 degC"), airspeed: "40 m/s")],
    components: [Component(name: "block", capacity: "3 kJ/K", limits: [Limit(value: "90 degC", required: "10 K")])],
    heats: [Heat(name: "heater", into: "block", law: Fixed("2 kW"))],
    loops: [Loop(name: "glycol", fluid: "ethylene-glycol:0.5", boiling_margin: "0 K", path: [
        Pump(name: "pump", curve: [("0 L/min", "95 kPa"), ("26 L/min", "5 kPa")], power: Efficiency(0.3)),
        ColdPlate(name: "plate", walls: ["block"], film: PowerLaw(conductance: "150 W/K", at: "10 L/min"), flow: Point(drop: "12 kPa", at: "10 L/min")),
        Core(name: "radiator"),
        Reservoir(name: "bottle", volume: "1 L", cap: "90 kPag"),
    ])],
    cores: [Core(name: "radiator", transfer: Louvered(width: "160 mm", height: "220 mm", depth: "32 mm"), liquid_flow: OfFilm, air_flow: OfFins)],
    ducts: [Duct(name: "duct", path: [
        Inlet(name: "in", area: "0.02 m2", recovery: 0.6),
        Core(name: "radiator"),
        Outlet(name: "out", area: "0.02 m2"),
    ])],
    points: [Point(name: "on")],
    missions: [Mission(name: "run", soak: LeftOut("nothing to see"), segments: [Segment(name: "draw", duration: "5 min", point: "on")])],
    sizings: [Sizing(name: "room", circuit: "glycol", height: LengthRange(least: "40 mm", most: "260 mm"), depth: LengthRange(least: "12 mm", most: "60 mm"))],
    cases: [CaseGroup(conditions: ["warm"], points: ["on"], missions: ["run"])],
    variants: [Variant(name: "warmer", changes: [Set("heats.heater.law", Fixed("2.2 kW"))])],
)
"#;

#[test]
fn the_written_variant_holds_its_binding_margin_at_the_target() {
    let (_file, path) = file(RIG.as_bytes());
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let out = folder.path().join("sized.ron");
    let out = out.to_str().expect("a plain path");
    let ended = run(&["size", &path, "--all", "-o", out, "--name", "light", "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    has_keys(&json, &["mission", "present", "optimum", "loops", "closest", "tightened", "changes"]);
    assert_eq!(json["mission"], "warm/run");
    let kg = |design: &str, key: &str| json[design][key].as_f64().expect("a number");
    assert!(kg("optimum", "equivalent_kg") < kg("present", "equivalent_kg"), "{json}");
    // every term is told: they add up to the whole
    let term = |key: &str| json["optimum"]["equivalent"][key].as_f64().expect("a number");
    let sum = ["dry_kg", "coolant_kg", "machines_kg", "drag_kg", "carry_kg"].map(term).iter().sum::<f64>();
    assert!((sum - kg("optimum", "equivalent_kg")).abs() < 1e-9, "{json}");
    assert!(term("drag_kg") > 0.0 && term("machines_kg") > 0.0, "{json}");
    let solved = run(&["margins", out, "--variant", "light", "--json"]);
    assert_eq!(solved.code, 0, "{}", solved.err);
    let margins = solved.json();
    let block = |margin: &&serde_json::Value| margin["where"] == "block" && margin["case"] == "warm/on";
    let margin = list(&margins, "margins").iter().find(block).expect("it is there")["margin"].as_f64();
    assert!(margin.is_some_and(|margin| (10.0..10.05).contains(&margin)), "{margin:?}");
}

#[test]
fn variants_stand_side_by_side_and_the_warmer_one_is_heavier() {
    let (_file, path) = file(RIG.as_bytes());
    let ended = run(&["size", &path, "--all", "--compare", "base,warmer", "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    let rows = list(&json, "variants");
    assert_eq!((&rows[0]["variant"], &rows[1]["variant"]), (&"base".into(), &"warmer".into()));
    let kg = |row: usize| rows[row]["optimum"]["equivalent_kg"].as_f64().expect("a number");
    assert!(kg(0) < kg(1), "{json}");
    let sheet = run(&["size", &path, "--all", "--compare", "base,warmer"]).out;
    assert!(sheet.contains("equivalent kg") && sheet.contains("warmer"), "{sheet}");
    assert!(sheet.lines().all(|line| line.chars().count() <= 110), "{sheet}");
    let stranger = run(&["size", &path, "--all", "--compare", "base,colder"]);
    assert_eq!(stranger.code, 1);
    assert!(stranger.err.contains("warmer"), "{}", stranger.err);
}

#[test]
fn the_sheet_says_what_binds_and_nothing_that_holds_is_2() {
    let (_file, path) = file(RIG.as_bytes());
    let sheet = run(&["size", &path, "--all"]).out;
    assert!(sheet.contains("cells against drag") && sheet.contains("kg for 1 K"), "{sheet}");
    assert!(
        sheet.contains("block, continuous") && sheet.contains("\"cores.radiator.transfer.height\""),
        "{sheet}"
    );
    assert!(sheet.lines().all(|line| line.chars().count() <= 110), "{sheet}");
    let (_hot, hot) = file(RIG.replace("Fixed(\"40 degC\")", "Fixed(\"84 degC\")").as_bytes());
    let ended = run(&["size", &hot, "--all"]);
    assert_eq!(ended.code, 2, "{}", ended.err);
    assert!(ended.out.contains("nothing was found that holds"), "{}", ended.out);
    let both = run(&["size", &path, "--all", "--loop", "glycol"]);
    assert_eq!(both.code, 1);
}

#[test]
fn mass_rises_with_the_margin_that_is_left() {
    let (_file, path) = file(RIG.as_bytes());
    let json = run(&["size", &path, "--all", "--front", "0,2", "--json"]).json();
    let points = list(&json, "front");
    assert_eq!(
        (points[0]["left_over_K"].as_f64(), points[1]["left_over_K"].as_f64()),
        (Some(0.0), Some(2.0))
    );
    let kg = |n: usize| points[n]["optimum"]["equivalent_kg"].as_f64().expect("a number");
    assert!(kg(0) < kg(1), "{json}");
    let reserve = |n: usize| {
        let closest = &points[n]["closest"][0]["details"];
        closest["margin"]
            .as_f64()
            .zip(closest["required"].as_f64())
            .map(|(margin, required)| margin - required)
    };
    assert!(reserve(1).is_some_and(|left| (2.0..2.05).contains(&left)), "{json}");
    let sheet = run(&["size", &path, "--all", "--front", "0,2"]).out;
    assert!(sheet.contains("dearest limit") && sheet.contains("block, continuous"), "{sheet}");
    assert!(sheet.lines().all(|line| line.chars().count() <= 110), "{sheet}");
    let refused = run(&["size", &path, "--all", "--front", "0,nan"]);
    assert_eq!(refused.code, 1);
}
