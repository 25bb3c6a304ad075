//! Converters, bus bars and cables, checked by hand.

use crate::bench::{booked, read, solve, solve_at, sound, temperature_k, text};
use testkit::{assert_close, assert_within};

/// The size of a power is rounded at zero over 1 W, which takes less than this from a loss (W) at some hundred watts.
const ROUNDING_W: f64 = 2e-4;

const MOTOR: &str =
    "Motor(name: \"motor\", winding: \"frame\", iron: \"frame\", rotor: \"frame\", inverter: \"frame\",
    losses: Fixed(copper: \"60 W\", iron: \"40 W\"), inverter_losses: Fixed(\"50 W\"), cable: CABLE)";

/// One motor at 1 kW; a pump of 100 W and a fan of 40 W on the supply "aux", a pump of 50 W on no supply.
fn drive(converters: &str, bus: &str, cable: &str) -> String {
    let motor = MOTOR.replace("CABLE", cable);
    text(&format!(
        "conditions: [Condition(name: \"room\", day: Fixed(\"20 degC\"))],
        components: [Component(name: \"frame\"), Component(name: \"shelf\"), Component(name: \"bar\"), Component(name: \"cells\")],
        links: [
            Link(from: \"frame\", to: \"outside air\", law: Conductance(\"10 W/K\")),
            Link(from: \"shelf\", to: \"outside air\", law: Conductance(\"10 W/K\")),
            Link(from: \"bar\", to: \"outside air\", law: Conductance(\"10 W/K\")),
            Link(from: \"cells\", to: \"outside air\", law: Conductance(\"10 W/K\")),
        ],
        loops: [Loop(name: \"water\", fluid: \"water\", path: [
            Pump(name: \"pump\", curve: [(\"0 L/min\", \"50 kPa\"), (\"20 L/min\", \"0 kPa\")], power: Fixed(\"100 W\"), supply: \"aux\"),
            Pump(name: \"second pump\", curve: [(\"0 L/min\", \"50 kPa\"), (\"20 L/min\", \"0 kPa\")], power: Fixed(\"50 W\")),
            Hose(name: \"hose\", length: \"2 m\", diameter: \"16 mm\", surroundings: HoseSurroundings(to: \"outside air\", conductance: \"20 W/K\")),
            Reservoir(name: \"bottle\", volume: \"1 L\"),
        ])],
        ducts: [Duct(name: \"duct\", path: [
            Inlet(name: \"in\", area: \"0.05 m2\"),
            Fan(name: \"fan\", curve: [(\"0 m3/s\", \"200 Pa\"), (\"0.4 m3/s\", \"0 Pa\")], power: Fixed(\"40 W\"), supply: \"aux\"),
            Outlet(name: \"out\", area: \"0.05 m2\"),
        ])],
        powertrain: Powertrain(motors: [{motor}], bus: {bus}, converters: [{converters}], other_load: \"30 W\"),
        supplies: [Supply(name: \"aux\")],
        points: [Point(name: \"run\", shaft_power: \"1 kW\", shaft_speed: \"3000 rpm\")],
        failures: [Failure(name: \"aux lost\", what: SupplyLost(\"aux\"))],
        cases: [CaseGroup(conditions: [\"room\"], points: [\"run\"], failures: [\"aux lost\"])],"
    ))
}

fn converter(losses: &str) -> String {
    format!(
        "Converter(name: \"converter\", into: \"shelf\", supplies: [\"aux\"], load: \"260 W\", rating: \"380 W\", losses: {losses})"
    )
}

#[test]
fn a_converter_draws_its_load_and_its_loss_from_the_bus_and_warms_its_place() {
    let losses = "Efficiency(efficiency: 0.92, standing: \"12 W\")";
    let varied = sound(&drive(&converter(losses), "Supply(\"400 V\")", "\"0 mOhm\""));
    let result = solve(&varied);
    let electric = result.electric.as_ref().expect("there is a drive");
    // output: pump 100 + fan 40 + load 260 = 400 W; heat: 400 / 0.92 - 400 + 12 = 34.782609 + 12 = 46.782609 W
    let state = &electric.converters[0];
    assert_close("output", state.output_w, 400.0, 1e-9);
    assert_within("heat", state.heat_w, 46.782_609, ROUNDING_W);
    assert_within("input", state.input_w, 446.782_609, ROUNDING_W);
    assert_close("booked", booked(&result, "converter"), state.heat_w, 1e-12);
    // its place passes the heat through 10 W/K
    assert_within("rise", temperature_k(&result, "shelf") - 293.15, 4.678_261, 3e-5);
    let shelf = result.components.iter().find(|c| c.name == "shelf").expect("it is there");
    assert_close("own heat", shelf.heat_w, state.heat_w, 1e-12);
    // bus: motor 1000 + 60 + 40 + 50 = 1150 W, converter 446.782609, second pump 50, other load 30: 1676.782609 W at 400 V
    assert_within("current", electric.bus_current_a, 1_676.782_609 / 400.0, 1e-6);
    // rated at 380 W, 20 W short
    let margin = result.margins.iter().find(|m| m.place == "converter").expect("it has a rating");
    assert_within("margin", margin.margin, -20.0, 1e-9);
    assert!(margin.is_short());
    assert!(result.ledger.residual_w.abs() < 1e-6 * result.ledger.generated_w, "{:?}", result.ledger);
}

#[test]
fn a_lost_supply_leaves_the_other_loads_and_the_standing_loss() {
    let losses = "Efficiency(efficiency: 0.92, standing: \"12 W\")";
    let varied = sound(&drive(&converter(losses), "Supply(\"400 V\")", "\"0 mOhm\""));
    let result = solve_at(&varied, "run", Some("aux lost"));
    let state = &result.electric.as_ref().expect("there is a drive").converters[0];
    // 260 / 0.92 - 260 + 12 = 22.608696 + 12 = 34.608696 W
    assert_close("output", state.output_w, 260.0, 1e-9);
    assert_within("heat", state.heat_w, 34.608_696, ROUNDING_W);
}

#[test]
fn a_converter_may_be_fixed_or_measured_and_tells_when_it_leaves_its_table() {
    let of = |losses: &str| solve(&sound(&drive(&converter(losses), "Supply(\"400 V\")", "\"0 mOhm\"")));
    assert_close("fixed", booked(&of("Fixed(\"33 W\")"), "converter"), 33.0, 1e-12);
    let inside = of("Table([(\"0 W\", \"10 W\"), (\"400 W\", \"52 W\"), (\"800 W\", \"120 W\")])");
    assert_close("at a point of the table", booked(&inside, "converter"), 52.0, 1e-7);
    assert!(inside.notices.iter().all(|n| n.place != "converter"), "{:?}", inside.notices);
    let beyond = of("Table([(\"0 W\", \"10 W\"), (\"300 W\", \"41 W\")])");
    assert_close("held at the edge", booked(&beyond, "converter"), 41.0, 1e-9);
    let notice = beyond.notices.iter().find(|n| n.place == "converter").expect("the edge is flagged");
    assert_eq!(
        (notice.kind, notice.message.contains("400 W of output")),
        ("out_of_range", true),
        "{notice:?}"
    );
}

#[test]
fn bars_and_cables_have_the_resistance_of_their_metal_at_their_temperature() {
    let pack = "Pack(cells: \"cells\", series: 100, parallel: 1,
        cell: Cell(capacity: \"50 Ah\", open_circuit: [(0, \"4 V\"), (1, \"4 V\")], resistance: \"20 mOhm\", cold_growth: \"0 K\", duration_factor: 1),
        interconnect: \"1 mOhm\", interconnect_into: \"shelf\",
        conductors: [
            Conductor(name: \"main bar\", into: \"bar\", resistance: Dimensions(length: \"6 m\", area: \"50 mm2\", joints: \"0.5 mOhm\")),
            Conductor(name: \"contactor\", into: \"shelf\", resistance: \"0.3 mOhm\"),
        ])";
    let cable = "Measured(resistance: \"20 mOhm\", at: \"25 degC\", growth: \"0.393 %/K\")";
    let result = solve(&sound(&drive("", pack, cable)));
    let electric = result.electric.as_ref().expect("there is a drive");
    let current = electric.bus_current_a;
    // copper at 20 degC: 1.7241e-8 x 6 / 50e-6 = 2.06892 mOhm (IEC 60228), growing with the bar; joints 0.5 mOhm do not
    let rise = temperature_k(&result, "bar") - 293.15;
    let bar_ohm = 2.06892e-3 * (1.0 + 0.00393 * rise) + 0.5e-3;
    assert_close("bar", booked(&result, "main bar"), current * current * bar_ohm, 1e-9);
    assert_within("the bar passes it through 10 W/K", 10.0 * rise, booked(&result, "main bar"), 1e-6);
    assert_close("contactor", booked(&result, "contactor"), current * current * 0.3e-3, 1e-9);
    assert_close("interconnect", booked(&result, "busbars and contactors"), current * current * 1e-3, 1e-9);
    // the motor draws 1150 W before its cable; 20 mOhm at 25 degC and the temperature of the frame
    let frame = temperature_k(&result, "frame") - 293.15;
    let cable_ohm = 20e-3 * (1.0 + 0.00393 * frame) / (1.0 + 0.00393 * 5.0);
    let motor_current = 1150.0 / electric.bus_voltage_v;
    assert_close("cable", booked(&result, "motor cable"), motor_current * motor_current * cable_ohm, 1e-8);
    // Kirchhoff: 400 V less cells (100 x 20 mOhm), interconnect, bar, contactor
    let voltage = 400.0 - current * (2.0 + 1e-3 + bar_ohm + 0.3e-3);
    assert_close("voltage", electric.bus_voltage_v, voltage, 1e-10);
    assert!(result.ledger.residual_w.abs() < 1e-6 * result.ledger.generated_w, "{:?}", result.ledger);
}

#[test]
fn mistakes_of_converters_are_told() {
    let twice = format!(
        "{}, Converter(name: \"spare\", into: \"shelf\", supplies: [\"aux\"], losses: Fixed(\"1 W\"))",
        converter("Fixed(\"33 W\")")
    );
    let problems =
        read(&drive(&twice, "Supply(\"400 V\")", "\"0 mOhm\"")).expect_err("a supply has one feeder");
    assert!(problems.contains("the supply \"aux\" is fed by \"converter\" already"), "{problems}");
    let lost = converter("Fixed(\"33 W\")").replace("\"aux\"", "\"aus\"").replace("\"shelf\"", "\"self\"");
    let problems =
        read(&drive(&lost, "Supply(\"400 V\")", "\"0 mOhm\"")).expect_err("two names lead nowhere");
    assert!(
        problems.contains("did you mean \"aux\"?") && problems.contains("did you mean \"shelf\"?"),
        "{problems}"
    );
    let more = converter("Efficiency(efficiency: 1.02)");
    let problems =
        read(&drive(&more, "Supply(\"400 V\")", "\"0 mOhm\"")).expect_err("no converter makes power");
    assert!(problems.contains("at most 1"), "{problems}");
    let same = converter("Fixed(\"33 W\")").replace("name: \"converter\"", "name: \"fan\"");
    let problems = read(&drive(&same, "Supply(\"400 V\")", "\"0 mOhm\"")).expect_err("names are unique");
    assert!(problems.contains("\"fan\" is already the name of ducts.duct.path.fan"), "{problems}");
}

#[test]
fn a_cable_is_an_addressable_input_whether_it_is_stated_or_not() {
    use schema::{Path, find_input};
    let shape = aircraft::variant::project_shape();
    for cable in ["\"2 mOhm\"", ""] {
        let motor = if cable.is_empty() { ", cable: CABLE" } else { "CABLE" };
        let text = drive("", "Supply(\"400 V\")", "CABLE").replace(motor, cable);
        let varied = sound(&text);
        let path = Path::parse("powertrain.motors.motor.cable").expect("a path");
        let entry = find_input(&varied.node, shape, &path).unwrap_or_else(|| panic!("no input: {text}"));
        assert_eq!(entry.text, if cable.is_empty() { "0 mOhm" } else { "2 mOhm" });
    }
}
