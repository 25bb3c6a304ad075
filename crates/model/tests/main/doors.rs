//! Shutters and flaps in ducts, pumps that the shaft turns; checked by hand.

use crate::bench::{read, solve, solve_at, sound, text};
use model::result::{CaseResult, StationResult};
use testkit::{assert_close, assert_within};

fn station<'a>(result: &'a CaseResult, name: &str) -> &'a StationResult {
    let all = result.loops.iter().chain(&result.ducts).flat_map(|c| &c.stations);
    all.into_iter().find(|s| s.name == name).unwrap_or_else(|| panic!("no station {name:?}"))
}

/// A plate of 300 W over 10 W/K (30 K above 20 degC, no duct needed for it) beside one duct.
fn duct(path: &str, points: &str, failures: &str) -> String {
    text(&format!(
        "conditions: [Condition(name: \"flight\", day: Fixed(\"20 degC\"), airspeed: \"10 m/s\")],
        components: [Component(name: \"plate\")],
        links: [Link(from: \"plate\", to: \"outside air\", law: Conductance(\"10 W/K\"))],
        heats: [Heat(name: \"heater\", into: \"plate\", law: Fixed(\"300 W\"))],
        ducts: [Duct(name: \"duct\", path: [{path}])],
        points: [{points}],
        failures: [{failures}],
        cases: [CaseGroup(conditions: [\"flight\"], points: [\"run\"])],"
    ))
}

fn ram(shutter: &str) -> String {
    format!(
        "Inlet(name: \"in\", area: \"0.02 m2\", recovery: 1, losses: 0), Shutter(name: \"door\", area: \"0.02 m2\", {shutter}), Outlet(name: \"out\", area: \"0.02 m2\", losses: 1)"
    )
}

#[test]
fn a_shutter_passes_what_its_opening_lets_pass() {
    let path = ram("coefficient: 2, opening: 0.5, leak: 0.02");
    let points =
        "Point(name: \"run\"), Point(name: \"shut\", settings: [PointSetting(name: \"door\", speed: 0)])";
    let stuck = "Failure(name: \"stuck\", what: ThermostatStuck(thermostat: \"door\", opening: 0.1))";
    let varied = sound(&duct(&path, points, stuck));
    // onset pressure = (2 / (f^2 + 0.02^2) + 1) of the dynamic pressure in the duct: v = 10 m/s / sqrt(..);
    // f = 0.5: 2 / 0.2504 + 1 = 8.98722, v = 3.33570; shut: 2 / 0.0004 + 1 = 5001, v = 0.141407; stuck at 0.1: 2 / 0.0104 + 1
    // = 193.3077, v = 0.719243. The air is 0.05 K warmer inside, 2e-4 of its density
    for (point, failure, setting, velocity) in
        [("run", None, 0.5, 3.33570), ("shut", None, 0.0, 0.141407), ("run", Some("stuck"), 0.1, 0.719243)]
    {
        let result = solve_at(&varied, point, failure);
        let door = station(&result, "door");
        assert_eq!(door.setting, setting);
        assert_close("velocity", door.volume_flow_m3_s / 0.02, velocity, 2e-4);
    }
}

#[test]
fn a_shutter_may_follow_a_temperature() {
    let control =
        "control: Control(sensor: \"plate\", from: \"40 degC\", to: \"60 degC\", at_from: 0.2, at_to: 1)";
    let path = ram(&format!("coefficient: 2, {control}"));
    let result = solve(&sound(&duct(&path, "Point(name: \"run\")", "")));
    // the plate is at 50 degC, half way: (0.2 + 1) / 2
    assert_within("opening", station(&result, "door").setting, 0.6, 1e-9);
    let wide = duct(
        &ram(&format!("coefficient: 2, {}", control.replace("at_to: 1)", "at_to: 1.2)"))),
        "Point(name: \"run\")",
        "",
    );
    let problems = read(&wide).expect_err("more than open");
    assert!(problems.contains("control.at_to: a shutter cannot be open by 1.2"), "{problems}");
    let set = "Point(name: \"run\", settings: [PointSetting(name: \"door\", speed: 1.5)])";
    let problems = read(&duct(&path, set, "")).expect_err("more than open");
    assert!(problems.contains("points.run.settings.door: a shutter cannot be open by 1.5"), "{problems}");
}

#[test]
fn a_flap_stops_the_back_flow_through_a_fan_that_stands() {
    let fan = |n: u8| {
        format!(
            "Fan(name: \"fan {n}\", curve: [(\"0 m3/s\", \"300 Pa\"), (\"0.4 m3/s\", \"0 Pa\")], power: Fixed(\"60 W\"))"
        )
    };
    let flap = |n: u8| format!(", Flap(name: \"flap {n}\", area: \"0.03 m2\")");
    let fans = |flaps: bool| {
        let branch = |n: u8| {
            let behind = if flaps { flap(n) } else { String::new() };
            format!("Branch(name: \"{n}\", path: [{}{behind}])", fan(n))
        };
        format!(
            "Inlet(name: \"in\", area: \"0.03 m2\"), Parallel(name: \"fans\", branches: [{}, {}]), Outlet(name: \"out\", area: \"0.03 m2\")",
            branch(1),
            branch(2)
        )
    };
    let failure = "Failure(name: \"fan 2 stops\", what: Stopped(\"fan 2\"))";
    let at = |flaps| {
        solve_at(
            &sound(&duct(&fans(flaps), "Point(name: \"run\", airspeed: \"0 m/s\")", failure)),
            "run",
            Some("fan 2 stops"),
        )
    };
    let (open, held) = (at(false), at(true));
    // without flaps part of what fan 1 moves comes back through fan 2; with them all of it goes through the duct
    assert!(station(&open, "fan 2").volume_flow_m3_s < -0.02, "{:?}", station(&open, "fan 2"));
    assert!(station(&held, "fan 2").volume_flow_m3_s.abs() < 1e-5, "{:?}", station(&held, "fan 2"));
    assert!(station(&held, "in").volume_flow_m3_s > 1.1 * station(&open, "in").volume_flow_m3_s);
    assert_close(
        "one fan, one duct",
        station(&held, "fan 1").volume_flow_m3_s,
        station(&held, "in").volume_flow_m3_s,
        1e-3,
    );
    // both running share evenly, each lifts its flap by 10 Pa and loses one dynamic pressure in it
    let both = solve(&sound(&duct(&fans(true), "Point(name: \"run\", airspeed: \"0 m/s\")", failure)));
    let flap = station(&both, "flap 1");
    let velocity = flap.volume_flow_m3_s / 0.03;
    let density = flap.mass_flow_kg_s / flap.volume_flow_m3_s;
    let drop = flap.pressure_in_pa - flap.pressure_out_pa;
    assert_within("drop", drop, 10.0 + 0.5 * density * velocity * velocity, 0.05);
    assert_close(
        "shares",
        station(&both, "fan 2").volume_flow_m3_s,
        station(&both, "fan 1").volume_flow_m3_s,
        1e-6,
    );
}

fn oil(pump: &str, settings: &str) -> String {
    text(&format!(
        "conditions: [Condition(name: \"room\", day: Fixed(\"20 degC\"))],
        components: [Component(name: \"frame\")],
        links: [Link(from: \"frame\", to: \"outside air\", law: Conductance(\"100 W/K\"))],
        loops: [Loop(name: \"oil\", fluid: \"turbine-oil\", boiling_margin: \"0 K\", path: [
            Pump(name: \"oil pump\", curve: [(\"0 L/min\", \"300 kPa\"), (\"20 L/min\", \"0 kPa\")], power: Fixed(\"100 W\"), {pump}),
            Hose(name: \"hose\", length: \"1 m\", diameter: \"16 mm\", surroundings: HoseSurroundings(to: \"outside air\", conductance: \"20 W/K\")),
            Reservoir(name: \"breather\", volume: \"1 L\"),
        ])],
        powertrain: Powertrain(motors: [Motor(name: \"motor\", winding: \"frame\", iron: \"frame\", rotor: \"frame\", inverter: \"frame\",
            losses: Fixed(copper: \"60 W\", iron: \"40 W\"), inverter_losses: Fixed(\"0 W\"))], bus: Supply(\"400 V\")),
        supplies: [Supply(name: \"aux\")],
        points: [Point(name: \"run\", shaft_power: \"1 kW\", shaft_speed: \"1000 rpm\", {settings}), Point(name: \"rest\")],
        failures: [Failure(name: \"drive shears\", what: Stopped(\"oil pump\"))],
        cases: [CaseGroup(conditions: [\"room\"], points: [\"run\"])],"
    ))
}

const GEARS: &str = "shaft_drive: ShaftDrive(ratio: 2, curve_speed: \"2500 rpm\")";

#[test]
fn a_pump_on_the_shaft_turns_with_it_and_takes_its_power_from_it() {
    let varied = sound(&oil(GEARS, ""));
    let result = solve(&varied);
    // 2 x 1000 / 2500 = 0.8 of the speed of the curve; 100 W x 0.8^3 = 51.2 W
    assert_within("speed", station(&result, "oil pump").setting, 0.8, 1e-12);
    assert_close("power", station(&result, "oil pump").power_w, 51.2, 1e-9);
    let electric = result.electric.as_ref().expect("there is a drive");
    assert_close("shaft", electric.gear_input_w, 1051.2, 1e-9);
    assert_close("motor", electric.motors[0].shaft_power_w, 1051.2, 1e-9);
    // the bus feeds the motor alone: 1051.2 + 100 W at 400 V
    assert_close("current", electric.bus_current_a, 1151.2 / 400.0, 1e-9);
    assert!(result.ledger.residual_w.abs() < 1e-6 * result.ledger.generated_w, "{:?}", result.ledger);
    let sheared = solve_at(&varied, "run", Some("drive shears"));
    assert_close("shaft", sheared.electric.as_ref().expect("a drive").gear_input_w, 1000.0, 1e-9);
    assert_eq!(station(&solve_at(&varied, "rest", None), "oil pump").setting, 0.0);
}

#[test]
fn what_contradicts_a_shaft_drive_is_told() {
    for (pump, settings, told) in [
        (
            format!("{GEARS}, supply: \"aux\""),
            "",
            "path.oil pump.supply: the output shaft turns this machine",
        ),
        (format!("{GEARS}, speed: 0.9"), "", "path.oil pump.speed: the output shaft turns this machine"),
        (
            GEARS.to_owned(),
            "settings: [PointSetting(name: \"oil pump\", speed: 0.5)]",
            "points.run.settings.oil pump: the output shaft turns \"oil pump\"",
        ),
    ] {
        let problems = read(&oil(&pump, settings)).expect_err(told);
        assert!(problems.contains(told), "{problems}");
    }
}
