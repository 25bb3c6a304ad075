//! Measured laws say what they were measured with: air by density or height, liquids by name, temperature and passages.

use crate::bench::{read, solve, sound, text};
use model::result::CaseResult;
use testkit::assert_close;

/// A heated plate in a loop with a core, and a duct; condition at a pressure altitude, 20 degC.
fn rig(fluid: &str, film: &str, transfer: &str, air_path: &str, altitude: &str) -> String {
    text(&format!(
        r#"conditions: [Condition(name: "day", pressure_altitude: "{altitude}", day: Fixed("20 degC"))],
        components: [Component(name: "plate", capacity: "1 kJ/K"), Component(name: "fin", capacity: "1 kJ/K")],
        heats: [Heat(name: "heater", into: "plate", law: Fixed("1 kW")), Heat(name: "warm", into: "fin", law: Fixed("100 W"))],
        loops: [Loop(name: "loop", fluid: "{fluid}", path: [
            Pump(name: "pump", curve: [("0 L/min", "90 kPa"), ("30 L/min", "1 kPa")], power: Fixed("20 W")),
            ColdPlate(name: "cold", walls: ["plate"], film: {film}, flow: Point(drop: "10 kPa", at: "12 L/min")),
            Core(name: "core"), Reservoir(name: "bottle", volume: "1 L"),
        ])],
        cores: [Core(name: "core", transfer: {transfer}, liquid_flow: Point(drop: "5 kPa", at: "12 L/min"), air_flow: Point(drop: "80 Pa", at: "0.2 m3/s"))],
        ducts: [Duct(name: "duct", path: [
            Inlet(name: "in", area: "0.05 m2"), {air_path} Core(name: "core"),
            Fan(name: "fan", curve: [("0 m3/s", "400 Pa"), ("0.5 m3/s", "0 Pa")], power: Fixed("100 W")),
            Outlet(name: "out", area: "0.05 m2"),
        ])],
        points: [Point(name: "run")], cases: [CaseGroup(conditions: ["day"], points: ["run"])],"#
    ))
}

const FILM: &str = r#"PowerLaw(conductance: "300 W/K", at: "12 L/min", exponent: 0.7)"#;
const FIXED: &str = r#"Fixed("150 W/K")"#;
const WASHED: &str = r#"Surface(name: "face", walls: ["fin"], film: Fixed("9 W/K"), flow: Loss(coefficient: 1, diameter: "0.2 m")),"#;
const TUBES: &str = r#"Tubes(count: 120, diameter: "3 mm", length: "0.3 m")"#;

fn notice<'a>(result: &'a CaseResult, kind: &str, place: &str) -> &'a str {
    let found = result.notices.iter().find(|notice| notice.kind == kind && notice.place == place);
    &found.unwrap_or_else(|| panic!("no {kind} at {place}: {:?}", result.notices)).message
}

fn washed(film: &str) -> String {
    format!(
        r#"Surface(name: "face", walls: ["fin"], film: {film}, flow: Loss(coefficient: 1, diameter: "0.2 m")),"#
    )
}

fn face(result: &CaseResult) -> (f64, f64, f64) {
    let found = result.ducts[0].stations.iter().find(|station| station.name == "face");
    let station = found.expect("the surface stands in the duct");
    (
        station.conductance_w_k,
        station.mass_flow_kg_s,
        0.5 * (station.temperature_in_k + station.temperature_out_k),
    )
}

#[test]
fn a_surface_in_thin_air_follows_the_mass_flow_of_the_air_it_was_measured_in() {
    // density stated, height stated (5000 ft: 1.0556 kg/m3 at 5.094 degC), height with temperature (84,307 Pa: 1.0019 kg/m3 at 20 degC),
    // temperature alone (sea level, 1.2041 kg/m3) and nothing (1.2250 kg/m3 at 15 degC)
    for (stated, density, celsius) in [
        (r#", density: "1.1 kg/m3", temperature: "30 degC""#, 1.1, 30.0),
        (r#", altitude: "5000 ft""#, 1.0556, 5.094),
        (r#", altitude: "5000 ft", temperature: "20 degC""#, 1.0019, 20.0),
        (r#", temperature: "20 degC""#, 1.2041, 20.0),
        ("", 1.2250, 15.0),
    ] {
        let film = format!(r#"PowerLaw(conductance: "9 W/K", at: "0.2 m3/s", exponent: 0.75{stated})"#);
        let result = solve(&sound(&rig("water", FILM, FIXED, &washed(&film), "12000 ft")));
        let (conductance, mass_kg_s, kelvin) = face(&result);
        // 9 W/K (m/rho/0.2)^0.75, viscosity (Sutherland) to the power 0.25; specific heat and Prandtl number of air move by less than
        // 0.5 % between 5 and 40 degC
        let viscosity = |t: f64| t.powf(1.5) / (t + 110.4);
        let by_hand = 9.0
            * (mass_kg_s / density / 0.2).powf(0.75)
            * (viscosity(kelvin) / viscosity(273.15 + celsius)).powf(0.25);
        assert_close(stated, conductance, by_hand, 5e-3);
        // a table of the same law, and a film of nine tenths of it where nothing is stated
        let points = [0.05_f64, 0.1, 0.15, 0.2, 0.25, 0.3]
            .map(|v| format!(r#"("{v} m3/s", "{:.6} W/K")"#, 9.0 * (v / 0.2).powf(0.75)));
        let points = points.join(", ");
        let table = if stated.is_empty() {
            format!("Table([{points}])")
        } else {
            format!("Measured(points: [{points}]{stated})")
        };
        let other = solve(&sound(&rig("water", FILM, FIXED, &washed(&table), "12000 ft")));
        assert_close("table", face(&other).0, conductance, 5e-3);
    }
}

#[test]
fn a_screen_loses_with_the_density_of_the_air_it_was_measured_in() {
    let screen = |altitude: &str, stated: &str| {
        let path = format!(
            r#"Screen(name: "net", flow: Point(drop: "100 Pa", at: "0.2 m3/s", exponent: 2{stated})), {WASHED}"#
        );
        let result = solve(&sound(&rig("water", FILM, FIXED, &path, altitude)));
        let station =
            result.ducts[0].stations.iter().find(|station| station.name == "net").expect("the screen");
        let loss = station.pressure_in_pa - station.pressure_out_pa;
        (loss, station.volume_flow_m3_s, station.mass_flow_kg_s / station.volume_flow_m3_s)
    };
    for altitude in ["0 ft", "14000 ft"] {
        // 100 Pa (V/0.2)^2 rho/rho_ref
        let (loss, flow, density) = screen(altitude, r#", density: "1.2 kg/m3""#);
        assert_close("stated", loss, 100.0 * (flow / 0.2).powi(2) * density / 1.2, 2e-3);
        // nothing stated: air of the 60 degC of every measurement at sea level, 101325/(287.053 x 333.15) = 1.0595 kg/m3; more loss than
        // in air of 15 degC
        let (loss, flow, density) = screen(altitude, "");
        assert_close("assumed", loss, 100.0 * (flow / 0.2).powi(2) * density / 1.0595, 2e-3);
    }
}

#[test]
fn a_core_and_a_plate_tested_on_water_tell_what_glycol_leaves_of_them() {
    let map = |stated: &str| {
        format!(
            r#"Map(liquid: ["4 L/min", "30 L/min"], air: ["0.05 m3/s", "0.6 m3/s"], conductance: ["150 W/K", "150 W/K", "150 W/K", "150 W/K"]{stated})"#
        )
    };
    let tested = format!(r#", fluid: "water", temperature: "60 degC", passages: {TUBES}"#);
    let film = format!(r#"PowerLaw(conductance: "300 W/K", at: "12 L/min", exponent: 0.7{tested})"#);
    let result = solve(&sound(&rig("ethylene-glycol:0.5", &film, &map(&tested), WASHED, "0 ft")));
    let (core, plate) = (notice(&result, "rerated", "core"), notice(&result, "rerated", "cold"));
    assert!(
        core.starts_with("conductance UA -") && core.contains("measured with water at 60 degC"),
        "{core}"
    );
    assert!(plate.starts_with("conductance -"), "{plate}");
    // what the notice says is what the result has: 150 W/K were measured at every flow
    let told: f64 = core.split(' ').nth(2).unwrap().parse().unwrap();
    let exchanger = result.exchangers.iter().find(|exchanger| exchanger.name == "core").unwrap();
    assert!((100.0 * (exchanger.conductance_w_k / 150.0 - 1.0) - told).abs() < 0.06, "{core}");
    assert!(told < -5.0, "{core}");

    // without passages nothing is re-rated, and that is said; on the liquid of the test nothing is said
    let untold = r#", fluid: "water", temperature: "60 degC""#;
    let film = format!(r#"PowerLaw(conductance: "300 W/K", at: "12 L/min", exponent: 0.7{untold})"#);
    let result = solve(&sound(&rig("ethylene-glycol:0.5", &film, &map(untold), WASHED, "0 ft")));
    for place in ["core", "cold"] {
        let message = notice(&result, "not_rerated", place);
        assert!(message.contains("not re-rated to ethylene-glycol:0.5; state `passages`"), "{message}");
    }
    let exchanger = result.exchangers.iter().find(|exchanger| exchanger.name == "core").unwrap();
    assert_close("as measured", exchanger.conductance_w_k, 150.0, 1e-9);
    let result = solve(&sound(&rig("water", &film, &map(untold), WASHED, "0 ft")));
    assert!(result.notices.iter().all(|notice| !notice.kind.ends_with("rerated")), "{:?}", result.notices);
}

#[test]
fn what_contradicts_itself_is_refused_with_its_place() {
    let refused = |film: &str, transfer: &str, face: &str, wanted: &str| {
        let problems = read(&rig("water", film, transfer, &washed(face), "0 ft")).expect_err("it is refused");
        assert!(problems.contains(wanted) && problems.contains(':'), "{wanted:?} is not in {problems}");
    };
    let fixed = r#"Fixed("9 W/K")"#;
    // 20 short tubes pass less than the whole core
    let few = r#"Map(liquid: ["4 L/min", "30 L/min"], air: ["0.05 m3/s", "0.6 m3/s"], conductance: ["150 W/K", "150 W/K", "150 W/K", "150 W/K"],
        fluid: "water", temperature: "60 degC", passages: Tubes(count: 20, diameter: "3 mm", length: "20 mm"))"#;
    refused(FILM, few, fixed, "its passages alone pass");
    let both = r#"PowerLaw(conductance: "9 W/K", at: "0.2 m3/s", density: "1.1 kg/m3", altitude: "3000 ft")"#;
    refused(FILM, FIXED, both, "the density of the air is stated already");
    let wet = r#"PowerLaw(conductance: "9 W/K", at: "0.2 m3/s", fluid: "water")"#;
    refused(FILM, FIXED, wet, "it names no liquid");
    let airy = r#"PowerLaw(conductance: "300 W/K", at: "12 L/min", density: "1.1 kg/m3")"#;
    refused(airy, FIXED, fixed, "this is the density of an air");
    let high = r#"PowerLaw(conductance: "9 W/K", at: "0.2 m3/s", altitude: "90000 ft")"#;
    refused(FILM, FIXED, high, "the standard atmosphere is known here");
}
