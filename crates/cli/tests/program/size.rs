//! `size`: the contract, a variant that holds its margin at the target, and exit codes.

use crate::run::{file, has_keys, list, run};

/// A block of 2 kW on one loop; the width and depth of its radiator are fixed, its height is free.
const RIG: &str = r#"
Project(format: "heatledger", version: 1, name: "bench",
    conditions: [Condition(name: "warm", day: Fixed("40 degC"))],
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
        Inlet(name: "in", area: "0.05 m2"),
        Core(name: "radiator"),
        Fan(name: "fan", curve: [("0 m3/s", "320 Pa"), ("0.3 m3/s", "0 Pa")], power: Fixed("95 W")),
        Outlet(name: "out", area: "0.05 m2"),
    ])],
    points: [Point(name: "on")],
    sizings: [Sizing(name: "room", circuit: "glycol", height: LengthRange(least: "20 mm", most: "260 mm"))],
    cases: [CaseGroup(conditions: ["warm"], points: ["on"])],
)
"#;

#[test]
fn the_written_variant_holds_its_margin_at_the_target() {
    let (_file, path) = file(RIG.as_bytes());
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let out = folder.path().join("sized.ron");
    let out = out.to_str().expect("a plain path");
    let ended = run(&["size", &path, "--loop", "glycol", "-o", out, "--name", "sized", "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    has_keys(&json, &["loop", "core", "mass_kg", "binding"]);
    has_keys(&json["binding"], &["case", "limit", "margin"]);
    assert_eq!(json["loop"], "glycol");
    let binding = json["binding"]["margin"].as_f64().expect("a number");
    // the file is the one that was read, with one stretch put in
    let written = std::fs::read_to_string(out).expect("it is written");
    let before = RIG.bytes().zip(written.bytes()).take_while(|(old, new)| old == new).count();
    assert_eq!(RIG[before..], written[written.len() - (RIG.len() - before)..]);
    assert!(written[before..].contains("\"sized\""), "{written}");
    let solved = run(&["solve", out, "--variant", "sized", "--json"]);
    assert_eq!(solved.code, 0, "{}", solved.err);
    let margins = &solved.json()["results"][0]["margins"];
    let margin =
        margins.as_array().expect("a list").iter().find(|m| m["where"] == "block").expect("it is there");
    let margin = margin["margin"].as_f64().expect("a number");
    assert!((10.0..10.05).contains(&margin), "{margin}");
    assert!((margin - binding).abs() < 1e-6, "{margin} and {binding}");
    let again = run(&["size", out, "--loop", "glycol", "-o", out, "--name", "sized", "--overwrite"]);
    assert_eq!(again.code, 1, "{}", again.out);
    assert!(again.err.contains("there is a variant"), "{}", again.err);
}

#[test]
fn nothing_that_holds_is_2_and_told() {
    let (_file, path) = file(RIG.replace("most: \"260 mm\"", "most: \"30 mm\"").as_bytes());
    let ended = run(&["size", &path, "--loop", "glycol"]);
    assert_eq!(ended.code, 2, "{}", ended.err);
    assert!(
        ended.out.contains("no size holds") && ended.out.contains("block: outside the model"),
        "{}",
        ended.out
    );
    assert!(ended.out.lines().all(|line| line.chars().count() <= 110), "{}", ended.out);
    let json = run(&["size", &path, "--loop", "glycol", "--json"]).json();
    assert!(json["core"].is_null() && json["mass_kg"].is_null());
    assert_eq!(list(&json, "short")[0]["case"], "warm/on");
    let unknown = run(&["size", &path, "--loop", "oil"]);
    assert_eq!(unknown.code, 1, "{}", unknown.out);
    assert!(unknown.err.contains("name one of: glycol"), "{}", unknown.err);
}
