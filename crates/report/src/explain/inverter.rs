//! Inverters.

use super::explanation::edges;
use super::explanation::{Explanation, Fidelity, kw, sources};
use super::written::Written;
use aircraft::records::powertrain::{InverterLosses, Motor};
use correlations::Evaluated;
use model::result::DrivePoint;
use powertrain::inverter::{self, DeviceParameters, InverterState, Switch, output_power_w};
use powertrain::motor::GREATEST_MODULATION_INDEX;

/// Explanation of the loss of the inverters of a motor.
pub(super) fn loss(motor: &Motor, solved: bool, point: Option<&DrivePoint>) -> Explanation {
    let (level, law, source) = words(&motor.inverter_losses);
    let line = Explanation::new(motor.name.as_str(), "inverter loss", level, law).stated(source);
    let Some(point) = point else {
        return if solved { line.giving("takes no share: no loss is booked".to_owned()) } else { line };
    };
    let Ok(law) = model::assembly::inverter_law(motor, "powertrain.motors") else { return line };
    let one = point.bridge.total();
    line.by(Some(relation(law.losses(), motor, point))).giving(format!(
        "{} in all: {} in each of {}; {:.1} A rms and {:.1} V, {:.1} degC",
        kw(one * f64::from(point.active_sets)),
        kw(one),
        if point.active_sets == 1 { "1 bridge".to_owned() } else { format!("{} bridges", point.active_sets) },
        point.bridge_state.phase_current_rms_a,
        point.bridge_state.bus_voltage_v,
        crate::celsius(point.bridge_state.junction_k)
    ))
}

fn words(losses: &InverterLosses) -> (Fidelity, &'static str, Option<String>) {
    match losses {
        InverterLosses::Fixed(loss) => {
            (Fidelity::Fixed, "one value whenever it carries current", sources(&[("loss", loss.source())]))
        }
        InverterLosses::Efficiency(value) => {
            (Fidelity::Fixed, "one efficiency", sources(&[("efficiency", value.source())]))
        }
        InverterLosses::Map(map) => (
            Fidelity::Measured,
            "loss map over phase current and bus voltage",
            sources(&[("loss", map.loss.iter().find_map(|loss| loss.source()))]),
        ),
        InverterLosses::Devices(devices) => (
            Fidelity::Geometry,
            "conduction and switching of its power devices at the bus voltage",
            sources(&[
                ("resistance", devices.resistance.source()),
                ("switching energy", devices.switching_energy.source()),
                ("recovery energy", devices.recovery_energy.source()),
            ]),
        ),
        InverterLosses::Bipolar(devices) => (
            Fidelity::Geometry,
            "conduction and switching of its bipolar switches and diodes at the bus voltage",
            sources(&[
                ("threshold", devices.threshold.source()),
                ("slope", devices.slope.source()),
                ("diode threshold", devices.diode_threshold.source()),
                ("diode slope", devices.diode_slope.source()),
                ("switching energy", devices.switching_energy.source()),
                ("recovery energy", devices.recovery_energy.source()),
            ]),
        ),
    }
}

fn relation(law: &inverter::InverterLosses, motor: &Motor, point: &DrivePoint) -> Evaluated {
    let (state, heat) = (&point.bridge_state, &point.bridge);
    let written = |name| {
        Written::new(name, "bridge_loss", "W")
            .inputs(&[("phase_current_A", state.phase_current_rms_a), ("bus_voltage_V", state.bus_voltage_v)])
    };
    match law {
        inverter::InverterLosses::Fixed { loss_w } => written("fixed_inverter_loss")
            .input("loss_W", *loss_w)
            .range("from 0.5 A on; nothing without current")
            .source("value of the project")
            .giving(heat.total()),
        inverter::InverterLosses::Efficiency { efficiency } => {
            let output_w = output_power_w(state);
            written("inverter_efficiency")
                .inputs(&[
                    ("modulation_index", state.modulation_index),
                    ("power_factor", state.power_factor),
                    ("efficiency", *efficiency),
                ])
                .step("output_power", output_w, "W", "3 V I cos(phi), V = m U/(2 sqrt 2)")
                .source("output power (1/efficiency - 1)")
                .giving(heat.total())
        }
        inverter::InverterLosses::Map(_) => {
            let mut law = written("inverter_loss_map")
                .range("inside the map; held at its edges")
                .source("map of the project: monotone cubic along current, straight along voltage");
            if let InverterLosses::Map(typed) = &motor.inverter_losses {
                let current = edges(typed.current.iter().map(|q| q.si()));
                let voltage = edges(typed.voltage.iter().map(|q| q.si()));
                law = law.within("phase_current_A", state.phase_current_rms_a, current);
                if typed.voltage.len() > 1 {
                    law = law.within("bus_voltage_V", state.bus_voltage_v, voltage);
                }
            }
            law.giving(heat.total())
        }
        inverter::InverterLosses::Devices(devices) => {
            bridge(written("bridge_devices"), devices, state, point)
        }
    }
}

fn bridge(
    law: Written,
    devices: &DeviceParameters,
    state: &InverterState<f64>,
    point: &DrivePoint,
) -> Evaluated {
    let heat = &point.bridge;
    let parallel = f64::from(devices.parallel_devices);
    let peak = state.phase_current_rms_a * 2.0_f64.sqrt() / parallel;
    let one = devices.position_loss(peak, state);
    let rise = state.junction_k - devices.reference_junction_k;
    let on_state = match &devices.switch {
        Switch::Channel { resistance_ohm } => law.input("on_state_ohm", *resistance_ohm),
        Switch::TransistorDiode { threshold_v, slope_ohm, diode_threshold_v, diode_slope_ohm } => {
            law.inputs(&[
                ("threshold_V", *threshold_v),
                ("slope_ohm", *slope_ohm),
                ("diode_threshold_V", *diode_threshold_v),
                ("diode_slope_ohm", *diode_slope_ohm),
            ])
        }
    };
    let scale = devices.carrier_frequency_hz / std::f64::consts::PI
        * (peak / devices.reference_current_a).powf(devices.current_exponent)
        * (state.bus_voltage_v / devices.reference_voltage_v).powf(devices.voltage_exponent)
        * (1.0 + rise * devices.energy_coefficient_per_k);
    on_state
        .inputs(&[
            ("junction_K", state.junction_k),
            ("diode_K", state.diode_k),
            ("junction_at_K", devices.reference_junction_k),
            ("modulation_index", state.modulation_index),
            ("power_factor", state.power_factor),
            ("switching_energy_J", devices.switching_energy_j),
            ("recovery_energy_J", devices.recovery_energy_j),
            ("reference_current_A", devices.reference_current_a),
            ("reference_voltage_V", devices.reference_voltage_v),
            ("carrier_Hz", devices.carrier_frequency_hz),
            ("parallel", parallel),
        ])
        .step("device_peak_current", peak, "A", "sqrt 2 I over parallel devices")
        .step("resistance_factor", 1.0 + rise * devices.slope_coefficient_per_k, "-", "1 + growth (Tj - T0)")
        .step("switch_conduction", one.transistor_conduction_w, "W", "channel: R I^2/4; bipolar: V0 I (1/(2 pi) + m cos(phi)/8) + r I^2 (1/8 + m cos(phi)/(3 pi)), I the peak current")
        .step_if(one.diode_conduction_w > 0.0, "diode_conduction", one.diode_conduction_w, "W", "the same with minus signs")
        .step("switching_rate", scale, "1/s", "f/pi times current and voltage over their references")
        .step("switch_switching", one.transistor_switching_w, "W", "rate times turn-on and turn-off energy")
        .step("diode_recovery", one.diode_recovery_w, "W", "rate times recovery energy")
        .step("conduction", heat.conduction_w, "W", "six positions times parallel devices")
        .step("switching", heat.switching_w, "W", "six positions times parallel devices, recovery included")
        .step_if(heat.capacitor_w > 0.0, "capacitor", heat.capacitor_w, "W", "series resistance of the bus capacitor")
        .step_if(heat.auxiliary_w > 0.0, "gate_drive", heat.auxiliary_w, "W", "while the bus is alive")
        .within("modulation_index", state.modulation_index, (0.0, GREATEST_MODULATION_INDEX + 1e-9))
        .range("modulation index to 1.155, held above; output frequency high against the chip; without a resistance the junctions are taken at the temperature of their component")
        .scatter("no published figure; dead time neglected")
        .source("averages of the two-level bridge over an output period (textbook)")
        .giving(heat.total())
}
