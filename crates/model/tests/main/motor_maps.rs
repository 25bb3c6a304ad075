//! Motor maps over torque, speed and bus voltage, checked by hand.

use crate::bench::{booked, read, solve, sound, text};
use model::result::CaseResult;
use testkit::assert_close;

/// A motor at 10 kW and 100 rad/s (100 N m) on a bus that holds its voltage, air all round it at 20 degC.
fn motor(losses: &str, bus: &str) -> String {
    text(&format!(
        "conditions: [Condition(name: \"room\", day: Fixed(\"20 degC\"))],
        components: [Component(name: \"frame\")],
        links: [Link(from: \"frame\", to: \"outside air\", law: Conductance(\"1000 W/K\"))],
        powertrain: Powertrain(
            motors: [Motor(name: \"motor\", winding: \"frame\", iron: \"frame\", rotor: \"frame\", inverter: \"frame\", losses: {losses}, inverter_losses: Fixed(\"0 W\"))],
            bus: Supply(\"{bus}\"),
        ),
        points: [Point(name: \"run\", shaft_power: \"10 kW\", shaft_speed: \"100 rad/s\")],
        cases: [CaseGroup(conditions: [\"room\"], points: [\"run\"])],"
    ))
}

/// All loss to the iron, which does not change with temperature. Tables of different shape at 400 and 600 V.
const MAPS: &str = "Maps(tables: [
    MotorTable(voltage: \"400 V\", torque: [\"0 N m\", \"200 N m\"], speed: [\"50 rad/s\", \"150 rad/s\"], loss: [\"20 W\", \"60 W\", \"420 W\", \"500 W\"]),
    MotorTable(voltage: \"600 V\", torque: [\"0 N m\", \"100 N m\", \"250 N m\"], speed: [\"0 rad/s\", \"100 rad/s\"], loss: [\"0 W\", \"40 W\", \"200 W\", \"310 W\", \"900 W\", \"1000 W\"]),
], split: LossSplit(copper: 0, iron: 1, magnet: 0, windage: 0))";

fn at(bus: &str) -> CaseResult {
    solve(&sound(&motor(MAPS, bus)))
}

fn flagged(result: &CaseResult) -> bool {
    result
        .notices
        .iter()
        .any(|n| n.kind == "out_of_range" && n.place == "motor" && n.message.contains("motor map"))
}

#[test]
fn tables_of_several_bus_voltages_are_read_linearly_between() {
    // 400 V: middle of both axes, (20 + 60 + 420 + 500) / 4 = 250 W; 600 V: a point of the table, 310 W
    for (bus, expected) in [("400 V", 250.0), ("450 V", 265.0), ("570 V", 301.0), ("600 V", 310.0)] {
        let result = at(bus);
        assert_close(bus, booked(&result, "motor iron"), expected, 1e-6);
        assert!(!flagged(&result), "{bus}: {:?}", result.notices);
        // bus current: (10 kW + loss) / U
        let electric = result.electric.expect("there is a drive");
        assert_close("current", electric.bus_current_a, (10e3 + expected) / electric.bus_voltage_v, 1e-7);
    }
}

#[test]
fn outside_the_bus_voltages_the_outermost_table_holds_and_is_flagged() {
    for (bus, expected) in [("350 V", 250.0), ("720 V", 310.0)] {
        let result = at(bus);
        assert_close(bus, booked(&result, "motor iron"), expected, 1e-6);
        assert!(flagged(&result), "{bus}: {:?}", result.notices);
    }
}

#[test]
fn a_working_point_outside_a_table_that_is_read_is_flagged() {
    // 200 rad/s, 50 N m: beyond the speeds of both
    let fast = motor(MAPS, "500 V").replace("shaft_speed: \"100 rad/s\"", "shaft_speed: \"200 rad/s\"");
    let result = solve(&sound(&fast));
    assert!(flagged(&result), "{:?}", result.notices);
    let notice = result.notices.iter().find(|n| n.kind == "out_of_range").expect("flagged above");
    assert!(notice.message.contains("50.0 N m at 1910 rpm and 500.0 V"), "{notice:?}");
}

#[test]
fn copper_loss_is_carried_from_the_temperature_of_the_measurement() {
    // 250 W, all copper, measured at 100 degC, winding at 20 degC + q / 1000 W/K: factor (1 + 0.00393 dT) / (1 + 0.00393 x 80)
    let losses = "Map(torque: [\"0 N m\", \"200 N m\"], speed: [\"50 rad/s\", \"150 rad/s\"], loss: [\"20 W\", \"60 W\", \"420 W\", \"500 W\"],
        split: LossSplit(copper: 1, iron: 0, magnet: 0, windage: 0), winding_at: \"100 degC\")";
    let result = solve(&sound(&motor(losses, "400 V")));
    let rise = result.components[0].temperature_k() - 293.15;
    assert_close("copper", booked(&result, "motor copper"), 250.0 * (1.0 + 0.00393 * rise) / 1.3144, 1e-6);
}

#[test]
fn mistakes_of_maps_are_told_at_their_place() {
    let told = |from: &str, to: &str| {
        assert!(MAPS.contains(from), "{from}");
        read(&motor(&MAPS.replacen(from, to, 1), "400 V")).expect_err(from)
    };
    let problems = told("\"600 V\"", "\"380 V\"");
    assert!(
        problems.contains("losses.tables.2.voltage: \"380 V\" is not above \"400 V\" before it"),
        "{problems}"
    );
    let problems = told("\"310 W\", ", "");
    assert!(problems.contains("there are 5 losses for 3 values of torque and 2 of speed"), "{problems}");
    let problems = told("\"250 N m\"", "\"90 N m\"");
    assert!(
        problems.contains("losses.tables.2.torque.3: \"90 N m\" is not above \"100 N m\" before it"),
        "{problems}"
    );
    let problems = read(&motor("Maps(tables: [])", "400 V")).expect_err("no table");
    assert!(problems.contains("the list is empty"), "{problems}");
}
