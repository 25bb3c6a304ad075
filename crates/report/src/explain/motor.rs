//! Motors.

use super::explanation::{Explanation, Fidelity, edges, kw, sources};
use super::written::Written;
use aircraft::records::powertrain::{Motor, MotorLosses};
use correlations::Evaluated;
use model::result::DrivePoint;
use powertrain::conductor::COPPER;
use powertrain::motor;
use powertrain::motor::{
    EfficiencyLosses, FixedLosses, MachineParameters, MotorHeat, MotorMap, MotorState, PhaseCurrent,
    SpeedLoss, Terminals, Windage,
};
use schema::Input;
use schema::kinds::{RotationalSpeed, Torque};

/// Winding temperatures over which the copper law is straight, K.
const COPPER_RANGE_K: (f64, f64) = (173.15, 523.15);
const COPPER_RANGE: &str = "winding from -100 to 250 degC";
const SPLIT: &str = "share of the split times total loss";

/// Explanation of the loss of a motor.
pub(super) fn loss(motor: &Motor, solved: bool, point: Option<&DrivePoint>) -> Explanation {
    let (level, law) = words(&motor.losses);
    let line = Explanation::new(motor.name.as_str(), "motor loss", level, law).stated(inputs_source(motor));
    let Some(point) = point else {
        return if solved { line.giving("takes no share: no loss is booked".to_owned()) } else { line };
    };
    let path = "powertrain.motors";
    let Ok(law) = model::assembly::motor_law(motor, path) else { return line };
    let line = relations(&law, motor, point).into_iter().fold(line, |line, found| line.by(Some(found)));
    totals(line, point)
}

fn words(losses: &MotorLosses) -> (Fidelity, &'static str) {
    match losses {
        MotorLosses::Fixed(_) => (Fidelity::Fixed, "losses of one point, used at every point"),
        MotorLosses::Efficiency(_) => (Fidelity::Fixed, "one efficiency with a split of the loss"),
        MotorLosses::Map(_) => (Fidelity::Measured, "loss map over torque and speed with a split"),
        MotorLosses::Maps(_) => {
            (Fidelity::Measured, "loss maps over torque, speed and bus voltage with a split")
        }
        MotorLosses::Machine(_) => (
            Fidelity::Geometry,
            "copper loss with its growth by temperature, torque constant with magnet temperature, iron loss by speed",
        ),
    }
}

fn inputs_source(motor: &Motor) -> Option<String> {
    match &motor.losses {
        MotorLosses::Fixed(fixed) => sources(&[
            ("copper", fixed.copper.source()),
            ("iron", fixed.iron.source()),
            ("magnet", fixed.magnet.source()),
            ("windage", fixed.windage.source()),
        ]),
        MotorLosses::Efficiency(law) => sources(&[("efficiency", law.efficiency.source())]),
        MotorLosses::Map(map) => sources(&[("loss", map.loss.iter().find_map(|loss| loss.source()))]),
        MotorLosses::Maps(maps) => {
            let mut losses = maps.tables.iter().flat_map(|table| &table.loss);
            sources(&[("loss", losses.find_map(|loss| loss.source()))])
        }
        MotorLosses::Machine(machine) => sources(&[
            ("phase resistance", machine.phase_resistance.source()),
            ("torque constant", machine.torque_constant.source()),
            ("iron loss", machine.iron_loss.source()),
            ("magnet loss", machine.magnet_loss.source()),
            ("windage", machine.windage.source()),
        ]),
    }
}

fn totals(line: Explanation, point: &DrivePoint) -> Explanation {
    let (state, heat) = (&point.motor_state, &point.motor);
    let shaft_w = state.torque_nm * state.speed_rad_s;
    line.giving(format!(
        "{} in all: copper {}, iron {}, magnets {}, windage {}",
        kw(heat.total()),
        kw(heat.copper_w),
        kw(heat.iron_w),
        kw(heat.magnet_w),
        kw(heat.windage_w)
    ))
    .giving(format!(
        "{} at the shaft of {} at the terminals; winding {:.1} degC, magnets {:.1} degC; {} in use",
        kw(shaft_w),
        kw(heat.electrical_power_w),
        crate::celsius(state.winding_k),
        crate::celsius(state.magnet_k),
        sets(point.active_sets)
    ))
}

fn sets(active: u8) -> String {
    if active == 1 { "1 winding set".to_owned() } else { format!("{active} winding sets") }
}

fn relations(law: &motor::Motor, spec: &Motor, point: &DrivePoint) -> Vec<Evaluated> {
    let crowding = f64::from(law.winding_sets()) / f64::from(point.active_sets.max(1));
    match law.losses() {
        motor::MotorLosses::Fixed(fixed) => {
            vec![fixed_loss(fixed, point, crowding), assumed(&fixed.terminals, point)]
        }
        motor::MotorLosses::Efficiency(efficiency) => {
            vec![efficiency_loss(efficiency, point, crowding), assumed(&efficiency.terminals, point)]
        }
        motor::MotorLosses::Map(map) => {
            vec![map_loss(map, spec, point, crowding), assumed(map.terminals(), point)]
        }
        motor::MotorLosses::Machine(machine) => vec![
            copper(machine, point),
            speed_loss("iron_loss", &machine.iron, point, machine, point.motor.iron_w),
            speed_loss("magnet_loss", &machine.magnet, point, machine, point.motor.magnet_w),
            windage(machine, point),
            voltage(machine, point),
        ],
    }
}

fn working_point(law: Written, state: &MotorState<f64>) -> Written {
    law.inputs(&[("torque_Nm", state.torque_nm), ("speed_rad_s", state.speed_rad_s)])
}

/// The four places of a loss that is known as a whole or by value.
fn places(law: Written, heat: &MotorHeat<f64>, by: &'static str) -> Evaluated {
    law.step("copper_loss", heat.copper_w, "W", by)
        .step("iron_loss", heat.iron_w, "W", by)
        .step("magnet_loss", heat.magnet_w, "W", by)
        .step("windage", heat.windage_w, "W", by)
        .giving(heat.total())
}

fn fixed_loss(fixed: &FixedLosses, point: &DrivePoint, crowding: f64) -> Evaluated {
    let law = working_point(Written::new("fixed_motor_losses", "motor_loss", "W"), &point.motor_state)
        .inputs(&[
            ("copper_W", fixed.copper_w),
            ("iron_W", fixed.iron_w),
            ("magnet_W", fixed.magnet_w),
            ("windage_W", fixed.windage_w),
        ])
        .step_if(crowding > 1.0, "copper_crowding", crowding, "-", "winding sets over sets in use")
        .range("copper from 0.1 N m on, the others from 1 rad/s on; nothing at rest")
        .source("values of the project");
    places(law, &point.motor, "value of the project")
}

fn efficiency_loss(efficiency: &EfficiencyLosses, point: &DrivePoint, crowding: f64) -> Evaluated {
    let state = &point.motor_state;
    let shaft_w = state.torque_nm * state.speed_rad_s;
    let law = working_point(Written::new("motor_efficiency", "motor_loss", "W"), state)
        .input("efficiency", efficiency.efficiency)
        .step("shaft_power", shaft_w, "W", "torque times speed")
        .step(
            "loss",
            shaft_w.abs() * (1.0 / efficiency.efficiency - 1.0),
            "W",
            "shaft power (1/efficiency - 1)",
        )
        .step_if(crowding > 1.0, "copper_crowding", crowding, "-", "winding sets over sets in use")
        .range("every point; gives no heat at standstill under torque")
        .source("definition of the efficiency");
    places(law, &point.motor, SPLIT)
}

fn map_loss(map: &MotorMap, spec: &Motor, point: &DrivePoint, crowding: f64) -> Evaluated {
    let state = &point.motor_state;
    let total = map.total_loss_w(state.torque_nm, state.speed_rad_s, state.bus_voltage_v);
    let (measured_k, _) = map.measured_k();
    let law = working_point(Written::new("motor_loss_map", "motor_loss", "W"), state)
        .inputs(&[("winding_K", state.winding_k), ("measured_winding_K", measured_k)])
        .step(
            "measured_loss",
            total,
            "W",
            "map: monotone cubic along torque, straight along speed and bus voltage",
        )
        .step("copper_share", map.split().copper, "-", "split, the same at every point")
        .step(
            "copper_temperature_factor",
            COPPER.factor(state.winding_k, measured_k),
            "-",
            "resistance at the winding over that of the measurement",
        )
        .step_if(crowding > 1.0, "copper_crowding", crowding, "-", "winding sets over sets in use")
        .range("inside the map; held at its edges")
        .source("map of the project");
    places(
        within_map(law, &spec.losses, state),
        &point.motor,
        "split, copper carried to the winding temperature",
    )
}

/// Compares a working point with the edges of the tables that are read there.
fn within_map(law: Written, losses: &MotorLosses, state: &MotorState<f64>) -> Written {
    let table = |law: Written, torque: &[Input<Torque>], speed: &[Input<RotationalSpeed>]| {
        let (torque, speed) = (edges(torque.iter().map(|q| q.si())), edges(speed.iter().map(|q| q.si())));
        let folded = if torque.0 >= 0.0 { state.torque_nm.abs() } else { state.torque_nm };
        law.within("torque_Nm", folded, torque).within("speed_rad_s", state.speed_rad_s.abs(), speed)
    };
    match losses {
        MotorLosses::Map(typed) => table(law, &typed.torque, &typed.speed),
        MotorLosses::Maps(typed) => {
            let voltage = state.bus_voltage_v;
            let all = edges(typed.tables.iter().map(|table| table.voltage.si()));
            let law = law.input("bus_voltage_V", voltage);
            let law = if typed.tables.len() > 1 { law.within("bus_voltage_V", voltage, all) } else { law };
            let last = typed.tables.len() - 1;
            let from = typed.tables.partition_point(|t| t.voltage.si() <= voltage).saturating_sub(1);
            let read = typed.tables[from..=(from + 1).min(last)].iter();
            read.fold(law, |law, one| table(law, &one.torque, &one.speed))
        }
        _ => law,
    }
}

/// Phase current of a motor whose parameters are not known.
fn assumed(terminals: &Terminals, point: &DrivePoint) -> Evaluated {
    let (state, heat) = (&point.motor_state, &point.motor);
    let sets = f64::from(point.active_sets);
    let law = Written::new("phase_current_from_power", "phase_current", "A")
        .inputs(&[
            ("electrical_power_W", heat.electrical_power_w),
            ("bus_voltage_V", state.bus_voltage_v),
            ("winding_sets", sets),
        ])
        .scatter("modulation index and power factor are assumed (common practice, no source)");
    match &terminals.phase_current {
        PhaseCurrent::Power { modulation_index, power_factor } => law
            .inputs(&[("modulation_index", *modulation_index), ("power_factor", *power_factor)])
            .step("phase_voltage", heat.required_phase_voltage_v, "V", "m U/(2 sqrt 2)")
            .source("three-phase power 3 V I cos(phi)"),
        PhaseCurrent::TorqueConstant(constant) => law
            .step("torque_constant", constant.at(state.magnet_k), "N m/A", "flux at the magnet temperature")
            .source("torque over torque constant"),
    }
    .giving(heat.phase_current_rms_a)
}

fn copper(machine: &MachineParameters, point: &DrivePoint) -> Evaluated {
    let (state, heat) = (&point.motor_state, &point.motor);
    let factor = COPPER.factor(state.winding_k, machine.reference_winding_k);
    let magnets = &machine.torque_constant;
    let sets = f64::from(point.active_sets);
    let frequency_hz = f64::from(machine.pole_pairs) * state.speed_rad_s / std::f64::consts::TAU;
    let excess =
        machine.saturation.as_ref().map_or(0.0, |s| s.excess * (state.torque_nm / s.torque_nm).powi(2));
    let alternating = machine
        .alternating_copper
        .as_ref()
        .map_or(0.0, |law| (frequency_hz / law.frequency_hz).powi(2) * law.extra / factor);
    working_point(Written::new("copper_loss", "copper_loss", "W"), state)
        .inputs(&[
            ("winding_K", state.winding_k),
            ("magnet_K", state.magnet_k),
            ("winding_sets", sets),
            ("phase_resistance_ohm", machine.phase_resistance_ohm),
            ("resistance_at_K", machine.reference_winding_k),
            ("torque_constant_Nm_A", magnets.nm_per_a_rms),
            ("magnet_at_K", magnets.reference_magnet_k),
            ("magnet_coefficient_1_K", magnets.magnet_coefficient_per_k),
        ])
        .step("flux_factor", magnets.flux_factor(state.magnet_k), "-", "1 + magnet coefficient (Tm - T0)")
        .step("torque_constant", magnets.at(state.magnet_k), "N m/A", "flux factor times its value at T0")
        .step_if(excess > 0.0, "saturation_excess", excess, "-", "excess (T/T_s)^2")
        .step("phase_current", heat.phase_current_rms_a, "A", "torque over sets and torque constant, rms")
        .step_if(
            heat.weakening_current_rms_a > 0.0,
            "weakening_current",
            heat.weakening_current_rms_a,
            "A",
            "bus voltage below the back-EMF: part of the current weakens the field",
        )
        .step(
            "resistance_factor",
            factor,
            "-",
            "(1 + a (Tw - 20 degC))/(1 + a (T0 - 20 degC)), a 0.00393 1/K",
        )
        .step("phase_resistance", factor * machine.phase_resistance_ohm, "ohm", "R0 times resistance factor")
        .step_if(
            alternating > 0.0,
            "alternating_extra",
            alternating / factor,
            "-",
            "skin and proximity effect",
        )
        .within("winding_K", state.winding_k, COPPER_RANGE_K)
        .range(COPPER_RANGE)
        .source("3 n I^2 R with the copper of IEC 60228; k_t falls with the flux")
        .giving(heat.copper_w)
}

fn speed_loss(
    name: &'static str,
    law: &SpeedLoss,
    point: &DrivePoint,
    machine: &MachineParameters,
    value_w: f64,
) -> Evaluated {
    let state = &point.motor_state;
    let x = state.speed_rad_s.abs() / law.reference_speed_rad_s;
    let h = law.hysteresis_share;
    let load = law.load_growth * (state.torque_nm / law.reference_torque_nm).powi(2);
    let flux = machine.torque_constant.flux_factor(state.magnet_k).powf(law.flux_exponent);
    Written::new(name, name, "W")
        .inputs(&[
            ("speed_rad_s", state.speed_rad_s),
            ("reference_W", law.reference_w),
            ("reference_speed_rad_s", law.reference_speed_rad_s),
            ("hysteresis_share", h),
        ])
        .step("speed_ratio", x, "-", "speed over reference speed")
        .step_if(
            h > 0.0,
            "hysteresis_part",
            law.reference_w * h * x.powf(law.hysteresis_exponent),
            "W",
            "h P0 x^a",
        )
        .step(
            "eddy_part",
            law.reference_w * (1.0 - h) * x.powf(law.eddy_exponent),
            "W",
            "(1 - h) P0 x^b, b 2",
        )
        .step_if(load > 0.0, "load_factor", 1.0 + load, "-", "1 + growth (T/T0)^2")
        .step_if(law.flux_exponent > 0.0, "flux_factor", flux, "-", "magnet flux to its exponent")
        .scatter("no published figure; as a whole the loss goes with speed to 1.3 to 1.8 (common practice, no source)")
        .source("loss separation after Steinmetz and Bertotti (from memory)")
        .giving(value_w)
}

fn windage(machine: &MachineParameters, point: &DrivePoint) -> Evaluated {
    let speed = point.motor_state.speed_rad_s.abs();
    let law = Written::new("windage", "windage", "W").input("speed_rad_s", speed);
    let law = match &machine.windage {
        Windage::SpeedLaw { reference_w, reference_speed_rad_s, exponent } => law
            .inputs(&[
                ("reference_W", *reference_w),
                ("reference_speed_rad_s", *reference_speed_rad_s),
                ("exponent", *exponent),
            ])
            .step("speed_ratio", speed / reference_speed_rad_s, "-", "speed over reference speed")
            .step(
                "air_density_ratio",
                point.air_density_ratio,
                "-",
                "air of the case over 1.2 kg/m3, that of the law",
            )
            .scatter("no published figure; measure it where it matters")
            .source("P0 x^3, proportional to air density (similarity)"),
        Windage::None | Windage::Given => law,
    };
    law.giving(point.motor.windage_w)
}

fn voltage(machine: &MachineParameters, point: &DrivePoint) -> Evaluated {
    let (state, heat) = (&point.motor_state, &point.motor);
    let back_emf = machine.torque_constant.at(state.magnet_k) * state.speed_rad_s.abs() / 3.0;
    let ratio = heat.required_phase_voltage_v / heat.available_phase_voltage_v;
    Written::new("phase_voltage", "required_phase_voltage", "V")
        .inputs(&[
            ("bus_voltage_V", state.bus_voltage_v),
            ("pole_pairs", f64::from(machine.pole_pairs)),
            ("inductance_H", machine.inductance_h.unwrap_or(0.0)),
        ])
        .step("back_emf", back_emf, "V", "torque constant times speed over 3, rms to neutral")
        .step("available_phase_voltage", heat.available_phase_voltage_v, "V", "bus voltage over sqrt 6")
        .step("modulation_index", heat.modulation_index, "-", "2 sqrt 2 V/U")
        .step("power_factor", heat.power_factor, "-", "active over apparent power")
        .within("required_over_available", ratio, (0.0, 1.005))
        .range("voltage within what the bus gives")
        .scatter("no published figure; a salient machine needs a measured map")
        .source("phasor equations of the synchronous machine (textbook, from memory)")
        .giving(heat.required_phase_voltage_v)
}
