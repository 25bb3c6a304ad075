//! By hand: the arithmetic stands beside each number.

use super::*;
use crate::result::{ConductorReading, DrivePoint};
use ::powertrain::inverter::{InverterHeat, InverterState};
use ::powertrain::motor::{MotorHeat, MotorState};
use aircraft::records::powertrain::{InverterLosses, Motor, MotorLosses};
use schema::{Node, Path, decode};

/// A motor of 92 % at 100 N m and 300 rad/s, with an inverter of 97 %.
fn motor() -> Motor {
    let node = Node::record(
        "Motor",
        vec![
            ("name", Node::text("left")),
            ("winding", Node::text("w")),
            ("iron", Node::text("i")),
            ("rotor", Node::text("r")),
            ("inverter", Node::text("v")),
            ("losses", Node::record("Efficiency", vec![("efficiency", Node::number(0.92))])),
            ("inverter_losses", Node::tuple("Efficiency", vec![Node::number(0.97)])),
            ("cable", Node::text("2 mOhm")),
        ],
    );
    decode::<Motor>(&node).value.expect("a whole motor")
}

fn point(spec: &Motor) -> DrivePoint {
    let motor_state = MotorState {
        torque_nm: 100.0,
        speed_rad_s: 300.0,
        bus_voltage_v: 400.0,
        winding_k: 353.15,
        magnet_k: 353.15,
        active_sets: 1,
    };
    let motor: MotorHeat<f64> = crate::assembly::motor_law(spec, "").unwrap().heat(&motor_state);
    let bridge_state = InverterState::from_motor(&motor, 400.0, 343.15);
    let bridge: InverterHeat<f64> = crate::assembly::inverter_law(spec, "").unwrap().heat(&bridge_state);
    DrivePoint {
        junction: None,
        motor_state,
        motor,
        air_density_ratio: 1.0,
        active_sets: 1,
        bridge_state,
        bridge,
        cable: ConductorReading {
            temperature_k: 313.15,
            resistance_ohm: 2e-3,
            current_a: 85.0,
            heat_w: 85.0 * 85.0 * 2e-3,
        },
    }
}

fn at(line: &Line, x: f64) -> f64 {
    line.points.iter().find(|point| (point.0 - x).abs() < 1e-9).expect("a point of the curve").1
}

fn number(machine: &MachineCurves, name: &str) -> f64 {
    machine.values.iter().find(|value| value.name == name).expect("a number of the machine").si
}

#[test]
fn the_curves_of_a_motor_go_through_the_point_of_the_case() {
    let spec = motor();
    let made = motor::machine(&spec, Some(&point(&spec)), "hot day/climb").unwrap();
    // 100 N m at 300 rad/s are 30 kW; 30 kW (1/0.92 - 1) = 2608.7 W
    assert!((number(&made, "loss") - 2608.70).abs() < 0.01, "{}", number(&made, "loss"));
    assert!((number(&made, "efficiency") - 0.92).abs() < 1e-9);
    let speed = &made.figures[0];
    assert!((at(&speed.lines[0], 300.0) - 2608.70).abs() < 0.01);
    // of a loss that follows the power, 65 % are copper by default: 1695.65 W
    assert_eq!(speed.lines[1].name, "copper");
    assert!((at(&speed.lines[1], 300.0) - 1695.65).abs() < 0.01);
    // the torque is held: at standstill there is no power and no loss
    assert!(at(&speed.lines[0], 0.0).abs() < 0.1);
    let torque = &made.figures[1];
    assert!((at(&torque.lines[0], 100.0) - 2608.70).abs() < 0.01);
    assert_eq!(torque.lines.len(), 1, "an efficiency knows no voltage and no temperature");
}

#[test]
fn every_level_that_can_be_filled_gives_the_loss_of_the_case() {
    let spec = motor();
    let point = point(&spec);
    let made = motor::machine(&spec, Some(&point), "hot day/climb").unwrap();
    let names: Vec<&str> = made.levels.iter().map(|level| level.name).collect();
    assert_eq!(names, ["Fixed", "Efficiency", "Map", "Maps", "Machine"]);
    for level in &made.levels {
        match level.value {
            // five digits of each part
            Some(loss) => assert!((loss - 2608.70).abs() < 0.5, "{}: {loss}", level.name),
            None => assert_eq!(level.name, "Maps", "tables at several voltages have to be measured"),
        }
    }
    let inverter = inverter::machine(&spec, Some(&point), "hot day/climb").unwrap();
    // 32608.7 W at the terminals at 97 %: 1008.5 W
    assert!((number(&inverter, "loss") - 1008.52).abs() < 0.1, "{}", number(&inverter, "loss"));
    for level in &inverter.levels {
        match level.value {
            Some(loss) => assert!((loss - 1008.52).abs() < 0.5, "{}: {loss}", level.name),
            None => {
                assert_eq!(level.name, "Bipolar", "thresholds and slopes are not to be had from one point");
            }
        }
    }
}

#[test]
fn a_filled_level_is_a_law_of_the_project_and_says_where_it_comes_from() {
    let spec = motor();
    let made = motor::machine(&spec, Some(&point(&spec)), "hot day/climb").unwrap();
    let machine = made.levels.iter().find(|level| level.name == "Machine").unwrap();
    let law = decode::<MotorLosses>(machine.law.as_ref().unwrap());
    let MotorLosses::Machine(machine) = law.value.unwrap() else { panic!("another level") };
    assert_eq!(machine.iron_loss.source(), Some("computed from the law before, at hot day/climb"));
    // 27 % of 2608.70 W
    assert!((machine.iron_loss.si() - 704.35).abs() < 0.05);
}

#[test]
fn a_cable_loses_current_squared_times_resistance() {
    let spec = motor();
    let made = conductors::cable(&spec, Some(&point(&spec)), "hot day/climb").unwrap();
    // 85 A squared times 2 mOhm = 14.45 W
    assert!((number(&made, "loss") - 14.45).abs() < 1e-9);
    assert!((at(&made.figures[0].lines[0], 85.0) - 14.45).abs() < 1e-9);
    assert!(made.levels.iter().all(|level| (level.value.unwrap() - 14.45).abs() < 0.01));
}

#[test]
fn a_motor_without_a_share_has_no_curves_and_says_so() {
    let spec = motor();
    let made = motor::machine(&spec, None, "hot day/climb").unwrap();
    assert!(made.figures.is_empty() && made.values.is_empty());
    assert_eq!(made.note, "It takes no share in this case.");
}

#[test]
fn measured_points_and_their_range_stand_in_the_figure() {
    let mut spec = motor();
    let list = |texts: &[&str]| Node::list(texts.iter().map(|text| Node::text(*text)).collect());
    let map = Node::record(
        "Map",
        vec![
            ("current", list(&["0 A", "100 A", "200 A"])),
            ("voltage", list(&["300 V", "500 V"])),
            ("loss", list(&["10 W", "20 W", "400 W", "600 W", "1000 W", "1400 W"])),
        ],
    );
    spec.inverter_losses = decode::<InverterLosses>(&map).value.unwrap();
    let mut point = point(&spec);
    point.bridge_state.phase_current_rms_a = 100.0;
    let made = inverter::machine(&spec, Some(&point), "hot day/climb").unwrap();
    let current = &made.figures[0];
    assert_eq!(current.span, Some((0.0, 200.0)));
    // half way between 300 V and 500 V: (400 + 600) / 2 = 500 W at 100 A
    assert!((current.measured[1].1 - 500.0).abs() < 0.01, "{:?}", current.measured);
    assert_eq!(current.measured.len(), 3);
}

#[test]
fn laws_have_addresses() {
    let spec = motor();
    let made = inverter::machine(&spec, None, "").unwrap();
    assert!(Path::parse(&made.law).is_ok());
    assert_eq!(made.law, "powertrain.motors.left.inverter_losses");
}
