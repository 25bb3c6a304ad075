//! Failures alone and together.

use crate::bench::{booked, read, solve_at, sound, text};
use model::assembly::{Situation, assemble};
use testkit::assert_close;

/// Two motors of 500 W loss each at 4 kW together, two winding sets each, two fans on two supplies, a pack of three strings.
fn twin(failures: &str) -> String {
    let motor = |name: &str| {
        format!(
            "Motor(name: \"{name}\", winding: \"frame\", iron: \"frame\", rotor: \"frame\", inverter: \"frame\",
            losses: Fixed(copper: \"100 W\", iron: \"50 W\", winding_sets: 2), inverter_losses: Fixed(\"0 W\"))"
        )
    };
    let fan = |name: &str, supply: &str| {
        format!(
            "Fan(name: \"{name}\", curve: [(\"0 m3/s\", \"200 Pa\"), (\"0.4 m3/s\", \"0 Pa\")], power: Fixed(\"40 W\"), supply: \"{supply}\")"
        )
    };
    text(&format!(
        "conditions: [Condition(name: \"room\", day: Fixed(\"20 degC\"))],
        components: [Component(name: \"frame\")],
        links: [Link(from: \"frame\", to: \"outside air\", law: Conductance(\"100 W/K\"))],
        ducts: [Duct(name: \"duct\", path: [Inlet(name: \"in\", area: \"0.05 m2\"), {}, {}, Outlet(name: \"out\", area: \"0.05 m2\")])],
        powertrain: Powertrain(motors: [{}, {}], bus: Pack(cells: \"frame\", series: 100, parallel: 3,
            cell: Cell(capacity: \"50 Ah\", open_circuit: [(0, \"4 V\"), (1, \"4 V\")], resistance: \"30 mOhm\", cold_growth: \"0 K\", duration_factor: 1))),
        supplies: [Supply(name: \"bus A\"), Supply(name: \"bus B\")],
        points: [Point(name: \"run\", shaft_power: \"4 kW\", shaft_speed: \"100 rad/s\"), Point(name: \"parked\")],
        failures: [
            Failure(name: \"A lost\", what: SupplyLost(\"bus A\")),
            Failure(name: \"left out\", what: MotorOut(\"left\")),
            Failure(name: \"right out\", what: MotorOut(\"right\")),
            Failure(name: \"left set out\", what: WindingSetOut(\"left\")),
            Failure(name: \"other left set out\", what: WindingSetOut(\"left\")),
            Failure(name: \"string out\", what: StringsOut(1)),
            {failures}
        ],
        cases: [CaseGroup(conditions: [\"room\"], points: [\"run\"])],",
        fan("fan A", "bus A"),
        fan("fan B", "bus B"),
        motor("left"),
        motor("right"),
    ))
}

const TOGETHER: &str =
    "Failure(name: \"worst day\", what: Together(failures: [\"A lost\", \"left out\", \"string out\"])),
    Failure(name: \"left dead\", what: Together(failures: [\"left set out\", \"other left set out\"])),
    Failure(name: \"all out\", what: Together(failures: [\"left out\", \"right out\"]))";

#[test]
fn failures_together_are_all_there() {
    let varied = sound(&twin(TOGETHER));
    let result = solve_at(&varied, "run", Some("worst day"));
    assert_eq!(result.case.to_string(), "room/run/worst day");
    let fans = &result.ducts[0].stations;
    let running: Vec<f64> = fans.iter().filter(|s| s.kind == "fan").map(|s| s.setting).collect();
    assert_eq!(running, [0.0, 1.0]);
    let electric = result.electric.as_ref().expect("there is a drive");
    // the left one turns on without power: its 50 W of iron loss come from the right one
    assert_close("left", electric.motors[0].shaft_power_w, -50.0, 1e-12);
    assert_close("right", electric.motors[1].shaft_power_w, 4050.0, 1e-12);
    // two strings are left: 100 cells x 30 mOhm / 2 = 1.5 ohm
    let current = electric.bus_current_a;
    assert_close("cells", booked(&result, "frame"), current * current * 1.5, 1e-9);
    assert_close("voltage", electric.bus_voltage_v, 400.0 - 1.5 * current, 1e-12);
    // 4050 + 150 W of the right motor + 40 W of fan B
    assert_close("power", electric.bus_voltage_v * current, 4240.0, 1e-9);
}

#[test]
fn a_motor_without_winding_sets_gives_nothing() {
    let varied = sound(&twin(TOGETHER));
    // one set of two: it carries all, twice the copper loss
    let one = solve_at(&varied, "run", Some("left set out"));
    assert_close("copper", booked(&one, "left copper"), 200.0, 1e-9);
    let none = solve_at(&varied, "run", Some("left dead"));
    let motors = &none.electric.as_ref().expect("there is a drive").motors;
    assert_close("left", motors[0].shaft_power_w, -50.0, 1e-12);
    assert_close("right", motors[1].shaft_power_w, 4050.0, 1e-12);
}

#[test]
fn shaft_power_without_a_motor_is_refused_by_name() {
    let varied = sound(&twin(TOGETHER));
    let project = &varied.project;
    let at = |point: usize| Situation {
        project,
        condition: &project.conditions[0],
        point: &project.points[point],
        failure: project.failures.iter().find(|f| f.name.as_str() == "all out"),
    };
    let problem = assemble(at(0)).expect_err("nothing turns the shaft");
    assert_eq!(problem.message, "no motor is left to give the shaft power of \"run\" after \"all out\"");
    assert!(assemble(at(1)).is_ok(), "a parked aircraft needs no motor");
}

#[test]
fn mistakes_of_failures_together_are_told() {
    let of = |failures: &str| {
        let extra = format!("{TOGETHER}, Failure(name: \"bad\", what: Together(failures: [{failures}]))");
        read(&twin(&extra)).expect_err(failures)
    };
    for (failures, told) in [
        ("\"A lost\"", "fewer than two failures come together here"),
        ("\"A lost\", \"A lost\"", "\"A lost\" is named twice"),
        ("\"A lost\", \"left outt\"", "did you mean \"left out\"?"),
        ("\"A lost\", \"all out\"", "\"bad\" holds \"all out\", which is made of several failures itself"),
        ("\"A lost\", \"bad\"", "\"bad\" holds \"bad\", which is made of several failures itself"),
    ] {
        let problems = of(failures);
        assert!(problems.contains(told), "{failures}: {problems}");
    }
}
