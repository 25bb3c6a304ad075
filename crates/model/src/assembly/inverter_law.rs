//! From the records of an inverter to its loss law and the resistance of its junctions.

use super::checked::{count, refused, si, surface};
use aircraft::records::powertrain::{BipolarDevices, InverterLosses, JunctionResistance, Motor};
use powertrain::inverter::{self as law, DeviceParameters, Switch};
use schema::Problem;

fn bipolar(devices: &BipolarDevices) -> DeviceParameters {
    DeviceParameters {
        switch: Switch::TransistorDiode {
            threshold_v: devices.threshold.si(),
            slope_ohm: devices.slope.si(),
            diode_threshold_v: devices.diode_threshold.si(),
            diode_slope_ohm: devices.diode_slope.si(),
        },
        switching_energy_j: devices.switching_energy.si(),
        recovery_energy_j: devices.recovery_energy.si(),
        reference_current_a: devices.reference_current.si(),
        reference_voltage_v: devices.reference_voltage.si(),
        current_exponent: 1.0,
        voltage_exponent: 1.0,
        carrier_frequency_hz: devices.carrier.si(),
        parallel_devices: count(devices.parallel),
        reference_junction_k: devices.junction_at.si(),
        slope_coefficient_per_k: devices.slope_growth.si(),
        threshold_coefficient_v_k: devices.threshold_growth.si(),
        energy_coefficient_per_k: devices.energy_growth.si(),
        capacitor_resistance_ohm: 0.0,
    }
}

/// Thermal resistance of the junctions of a motor's inverter; none where it is not stated.
///
/// # Errors
/// A [`Problem`] at `path` for a resistance by device without devices, or a number that is not physical.
pub fn junction_law(motor: &Motor, path: &str) -> Result<Option<law::JunctionResistance>, Problem> {
    let Some(junction) = &motor.junction else { return Ok(None) };
    let resistance = match &junction.resistance {
        JunctionResistance::Whole(whole) => law::JunctionResistance::Whole(whole.si()),
        JunctionResistance::PerSwitch(one) => {
            law::JunctionResistance::PerSwitch { switch_k_w: one.switch.si(), diode_k_w: one.diode.si() }
        }
    };
    let inverter = inverter_law(motor, path)?;
    resistance
        .check(inverter.losses())
        .map_err(|error| refused(format!("{path}.junction.resistance"), &error))?;
    Ok(Some(resistance))
}

/// The loss law of one inverter.
///
/// # Errors
/// A [`Problem`] at `path` that names the number that is not physical.
pub fn inverter_law(motor: &Motor, path: &str) -> Result<powertrain::inverter::Inverter, Problem> {
    let at = format!("{path}.inverter_losses");
    let losses = match &motor.inverter_losses {
        InverterLosses::Fixed(loss) => powertrain::inverter::InverterLosses::Fixed { loss_w: loss.si() },
        InverterLosses::Efficiency(efficiency) => {
            powertrain::inverter::InverterLosses::Efficiency { efficiency: efficiency.si() }
        }
        InverterLosses::Map(map) => powertrain::inverter::InverterLosses::Map(surface(
            &si(&map.current),
            &si(&map.voltage),
            &si(&map.loss),
            &at,
        )?),
        InverterLosses::Devices(devices) => powertrain::inverter::InverterLosses::Devices(DeviceParameters {
            switch: Switch::Channel { resistance_ohm: devices.resistance.si() },
            switching_energy_j: devices.switching_energy.si(),
            recovery_energy_j: devices.recovery_energy.si(),
            reference_current_a: devices.reference_current.si(),
            reference_voltage_v: devices.reference_voltage.si(),
            current_exponent: 1.0,
            voltage_exponent: 1.0,
            carrier_frequency_hz: devices.carrier.si(),
            parallel_devices: count(devices.parallel),
            reference_junction_k: devices.junction_at.si(),
            slope_coefficient_per_k: devices.resistance_growth.si(),
            threshold_coefficient_v_k: 0.0,
            energy_coefficient_per_k: devices.energy_growth.si(),
            capacitor_resistance_ohm: 0.0,
        }),
        InverterLosses::Bipolar(devices) => powertrain::inverter::InverterLosses::Devices(bipolar(devices)),
    };
    powertrain::inverter::Inverter::new(losses, 0.0).map_err(|error| refused(at, &error))
}
