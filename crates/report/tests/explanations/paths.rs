//! Heat paths against tables and by hand.

use super::{close, explained, of, relation};
use report::explain::{Explanation, Fidelity};

/// A body of one heat on one path to still surroundings.
fn body(air: &str, heat_w: f64, law: &str) -> Vec<Explanation> {
    let (result, found) = explained(
        &format!(
            r#"Project(format: "heatledger", version: 1, name: "path",
            conditions: [Condition(name: "day", day: Fixed("{air}"), airspeed: "25 m/s")],
            components: [Component(name: "body", capacity: "1 kJ/K")],
            links: [Link(name: "path", from: "body", to: "outside air", law: {law})],
            heats: [Heat(name: "heat", into: "body", law: Fixed("{heat_w} W"))],
            points: [Point(name: "on")],
            cases: [CaseGroup(conditions: ["day"], points: ["on"])])"#
        ),
        None,
    );
    // whatever the law, the chain must end in the heat that the solver passed
    let passed = found.iter().find(|one| one.place == "path").expect("the path").relations[0].get("heat");
    assert!((passed.expect("a heat") - heat_w).abs() < 1e-6 * heat_w, "{passed:?} of {heat_w} W");
    assert_eq!(result.links.len(), 1);
    found
}

#[test]
fn a_conductance_and_a_joint() {
    // 200 W / (5 W/K) = 40 K
    let found = body(
        "40 degC",
        200.0,
        r#"Conductance(Input(value: "5 W/K", source: "plate test", evidence: measured))"#,
    );
    let path = of(&found, "path", "heat path");
    close(relation(path, "conduction"), "temperature_difference", 40.0, 1e-6);
    assert_eq!((path.level, path.source.as_deref()), (Fidelity::Fixed, Some("plate test")));
    assert_eq!(path.results, ["200.00 W passes from 80.0 degC to 40.0 degC at 5.000 W/K"]);
    // 0.02 m2 x 900 W/(m2 K) = 18 W/K
    let found = body("40 degC", 36.0, r#"Contact(area: "0.02 m2", coefficient: "900 W/(m2 K)")"#);
    let joint = relation(of(&found, "path", "heat path"), "contact");
    close(joint, "conductance", 18.0, 1e-12);
    close(joint, "temperature_difference", 2.0, 1e-6);
}

#[test]
fn still_air_by_the_dimensional_table() {
    // natural_convection_dimensional.csv, v002: plate of 0.2 m, 353.15 K in air of 298.15 K: 5.930927549 W/(m2 K) by
    // Churchill & Chu 1975 with the properties of the reference equation of air; on 1 m2 with 55 K: 326.20 W
    let table = testkit::table("natural_convection_dimensional.csv");
    let row = table
        .rows()
        .iter()
        .find(|row| {
            row.text("quantity") == "heat_transfer_coefficient" && row.number("height_or_diameter_m") == 0.2
        })
        .expect("the row of the plate");
    let heat_w = row.expected() * 55.0;
    let found = body("25 degC", heat_w, r#"StillAir(shape: VerticalPlate, size: "0.2 m", area: "1 m2")"#);
    let path = of(&found, "path", "heat path");
    let plate = relation(path, "churchill_chu_1975_vertical_plate_all_Ra");
    row.check(plate.get("heat_transfer_coefficient").expect("a coefficient"));
    close(plate, "first_temperature", 353.15, 0.003);
    // v001: Ra 2.8105e7
    close(plate, "rayleigh", 2.810_496_168e7, 0.03);
    assert!(plate.in_range && path.level == Fidelity::Geometry);
    assert!(path.source.as_deref().is_some_and(|source| source.starts_with("Churchill & Chu 1975")));
}

#[test]
fn radiation_by_the_table() {
    // radiation.csv, v001 and v002: emissivity 0.9, 353.15 K to 298.15 K: 7.099921377 W/(m2 K), 390.4956757 W/m2
    let found = body("25 degC", 390.495_675_7, r#"Radiation(emissivity: 0.9, area: "1 m2")"#);
    let glow = relation(of(&found, "path", "heat path"), "grey_surface_to_large_enclosure_exact");
    close(glow, "heat_transfer_coefficient", 7.099_921_377, 1e-5);
    let hot = glow.inputs.iter().find(|(name, _)| name == "temperature_1_K").expect("an input").1;
    assert!((hot - 353.15).abs() < 1e-3, "{hot} K");
}

#[test]
fn moving_air_along_a_plate_by_hand() {
    // Air at 353.15 K by the table of Incropera & DeWitt (from memory, 350 and 400 K at 1 bar): nu 21.27e-6 m2/s, at
    // 101 325 Pa 20.99e-6; k 0.03024 W/(m K), Pr 0.70. Plate of 0.5 m at 0.8 x 25 m/s = 20 m/s: Re = 20 x 0.5/20.99e-6 =
    // 476 400, laminar (below 5e5). Nu = 0.664 x 690.2 x 0.70^(1/3) = 406.9; h = 406.9 x 0.03024/0.5 = 24.61 W/(m2 K)
    let found =
        body("80 degC", 5.0, r#"MovingAir(shape: FlatPlate, size: "0.5 m", area: "2 m2", share: 0.8)"#);
    let plate = relation(of(&found, "path", "heat path"), "flat_plate_all_regimes");
    close(plate, "air_speed", 20.0, 1e-12);
    close(plate, "reynolds", 476_400.0, 0.01);
    close(plate, "nusselt_mean", 406.9, 0.01);
    close(plate, "heat_transfer_coefficient", 24.61, 0.01);
    close(plate, "conductance", 49.22, 0.01);
}

#[test]
fn air_exchange_by_hand() {
    // 0.02 kg/s x 1009 J/(kg K) (air at 350 K, Incropera & DeWitt, from memory) = 20.18 W/K; 100 W / 20.18 = 4.955 K
    let found = body("75 degC", 100.0, r#"Vent(flow: Input(value: "0.02 kg/s", source: "vent sheet"))"#);
    let path = of(&found, "path", "heat path");
    let vent = relation(path, "air_exchange");
    let kelvin = |name: &str| vent.inputs.iter().find(|(key, _)| key == name).expect("an input").1;
    assert!((kelvin("first_K") - kelvin("second_K") - 4.955).abs() < 0.01);
    assert_eq!(path.source.as_deref(), Some("vent sheet"));
}

#[test]
fn a_path_from_a_segmented_component_adds_up() {
    let (_, found) = explained(
        r#"Project(format: "heatledger", version: 1, name: "path",
        conditions: [Condition(name: "day", day: Fixed("20 degC"))],
        components: [Component(name: "body", capacity: "1 kJ/K", segments: 4)],
        links: [Link(from: "body", to: "outside air", law: Conductance("8 W/K"))],
        heats: [Heat(name: "heat", into: "body", law: Growing(heat: "80 W", slope: "0.5 %/K", reference: "20 degC"))],
        points: [Point(name: "on")],
        cases: [CaseGroup(conditions: ["day"], points: ["on"])])"#,
        None,
    );
    // 80 (1 + 0.005 dT) = 8 dT: dT = 80/7.6 = 10.526 K, 84.21 W in all; each of four parts has 2 W/K
    let path = of(&found, "body to outside air", "heat path");
    let part = relation(path, "conduction");
    close(part, "temperature_difference", 80.0 / 7.6, 1e-6);
    close(part, "heat", 2.0 * 80.0 / 7.6, 1e-6);
    assert_eq!(path.results[0], "84.21 W passes from 30.5 degC to 20.0 degC at 8.000 W/K");
    assert!(path.results[1].starts_with("4 equal parts"));
    let growing = relation(of(&found, "heat", "heat"), "growing_heat");
    close(growing, "growth_factor", 1.052_632, 1e-6);
    close(growing, "heat", 84.210_5, 1e-5);
}

#[test]
fn what_is_measured_in_air_tells_the_air_and_what_of_it_is_assumed() {
    let rig = |face: &str, map: &str| {
        format!(
            r#"Project(format: "heatledger", version: 1, name: "air",
            conditions: [Condition(name: "day", day: Fixed("20 degC"))],
            components: [Component(name: "plate"), Component(name: "fin")],
            heats: [Heat(name: "heater", into: "plate", law: Fixed("1 kW")), Heat(name: "warm", into: "fin", law: Fixed("50 W"))],
            loops: [Loop(name: "loop", fluid: "water", path: [
                Pump(name: "pump", curve: [("0 L/min", "90 kPa"), ("30 L/min", "1 kPa")], power: Fixed("20 W")),
                ColdPlate(name: "cold", walls: ["plate"], film: PowerLaw(conductance: "300 W/K", at: "12 L/min"), flow: Point(drop: "10 kPa", at: "12 L/min")),
                Core(name: "core"), Reservoir(name: "bottle", volume: "1 L")])],
            cores: [Core(name: "core", transfer: Map(liquid: ["4 L/min", "30 L/min"], air: ["0.05 m3/s", "0.6 m3/s"],
                conductance: ["150 W/K", "160 W/K", "170 W/K", "180 W/K"]{map}), liquid_flow: Point(drop: "5 kPa", at: "12 L/min"),
                air_flow: Point(drop: "80 Pa", at: "0.2 m3/s"))],
            ducts: [Duct(name: "duct", path: [Inlet(name: "in", area: "0.05 m2"),
                Surface(name: "face", walls: ["fin"], film: PowerLaw(conductance: "9 W/K", at: "0.2 m3/s"{face}), flow: Loss(coefficient: 1, diameter: "0.2 m")),
                Core(name: "core"), Fan(name: "fan", curve: [("0 m3/s", "400 Pa"), ("0.5 m3/s", "0 Pa")], power: Fixed("100 W")),
                Outlet(name: "out", area: "0.05 m2")])],
            points: [Point(name: "run")], cases: [CaseGroup(conditions: ["day"], points: ["run"])])"#
        )
    };
    let told = |face: &str, map: &str| {
        let (_, all) = explained(&rig(face, map), None);
        ["conductance", "conductance UA"]
            .map(|what| of(&all, if what == "conductance" { "face" } else { "core" }, what).law.clone())
    };
    for law in told("", "") {
        assert!(law.contains("in air of standard sea level (assumed): 1.225 kg/m3 at 15.0 degC"), "{law}");
    }
    let [face, map] = told(
        r#", density: "1.1 kg/m3""#,
        r#", altitude: "5000 ft", air_temperature: "20 degC", temperature: "60 degC""#,
    );
    assert!(face.contains("in air of 1.100 kg/m3 at 15.0 degC (assumed)"), "{face}");
    assert!(map.contains("in air of 1.002 kg/m3 at 20.0 degC") && !map.contains("assumed"), "{map}");
}
