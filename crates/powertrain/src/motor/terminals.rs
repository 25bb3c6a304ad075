//! Phase current, voltage, modulation index and power factor at a motor's terminals.

use super::state::MotorState;
use super::torque_constant::TorqueConstant;
use crate::error;
use crate::error::InputError;
use crate::smooth::magnitude;
use numerics::{Scalar, constant};

/// Width of the rounding of a phase current at zero (A).
pub(super) const CURRENT_ROUNDING_A: f64 = 0.1;
/// Peak phase voltage over half the bus voltage at the end of the linear range with space-vector modulation, 2/sqrt(3).
pub const GREATEST_MODULATION_INDEX: f64 = 1.154_700_538_379_251_5;

/// Winding sets and phase current of a motor whose parameters are not known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Terminals {
    /// Winding sets with an inverter each, 1 or 2.
    pub winding_sets: u8,
    /// How the phase current follows from the working point.
    pub phase_current: PhaseCurrent,
}

/// How the phase current follows from the working point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PhaseCurrent {
    /// From torque. The voltage is the back-EMF; resistance, inductance and field weakening are left out.
    ///
    /// ```text
    /// I = T / (n k_t)      E = k_t omega / 3
    /// ```
    TorqueConstant(TorqueConstant),
    /// From electrical power at an assumed modulation index and power factor (0.9 and 0.95: common practice, no source).
    ///
    /// ```text
    /// I = P / (3 n V cos(phi))      V = m U / (2 sqrt 2)
    /// ```
    Power {
        /// Peak phase voltage over half the bus voltage, up to 2/sqrt(3).
        modulation_index: f64,
        /// Active over apparent power.
        power_factor: f64,
    },
}

impl Terminals {
    /// Checks the numbers.
    ///
    /// # Errors
    /// [`InputError::Value`] names the first one that is not physical.
    pub fn check(&self) -> Result<(), InputError> {
        check_sets(self.winding_sets)?;
        match &self.phase_current {
            PhaseCurrent::TorqueConstant(law) => law.check(),
            PhaseCurrent::Power { modulation_index, power_factor } => {
                error::positive("modulation index", *modulation_index)?;
                if *modulation_index > GREATEST_MODULATION_INDEX + 1e-3 {
                    let rule = "at most 1.155, the end of linear modulation";
                    return Err(InputError::Value {
                        what: "modulation index",
                        value: *modulation_index,
                        rule,
                    });
                }
                error::efficiency("power factor", *power_factor)
            }
        }
    }
}

pub(super) fn check_sets(winding_sets: u8) -> Result<(), InputError> {
    if winding_sets == 1 || winding_sets == 2 {
        Ok(())
    } else {
        Err(InputError::Value {
            what: "number of winding sets",
            value: f64::from(winding_sets),
            rule: "1 or 2",
        })
    }
}

/// What the terminals see.
#[derive(Clone, Copy, Debug)]
pub(super) struct Drive<S> {
    pub(super) phase_current_rms_a: S,
    pub(super) weakening_current_rms_a: S,
    pub(super) required_phase_voltage_v: S,
    pub(super) available_phase_voltage_v: S,
    pub(super) modulation_index: S,
    pub(super) power_factor: S,
}

/// The most a bridge gives from phase to neutral, root mean square (V): space-vector modulation, `U / sqrt(6)`.
#[inline]
pub(super) fn available_phase_voltage<S: Scalar>(bus_voltage_v: S) -> S {
    bus_voltage_v / 6.0_f64.sqrt()
}

/// `2 sqrt(2) V / U`, finite for a dead bus.
#[inline]
pub(super) fn modulation_index<S: Scalar>(phase_voltage_v: S, bus_voltage_v: S) -> S {
    phase_voltage_v * (2.0 * 2.0_f64.sqrt()) / (bus_voltage_v * bus_voltage_v + 1e-6).sqrt()
}

/// `P / sqrt(P^2 + Q^2)`, 0 at no power.
#[inline]
pub(super) fn power_factor<S: Scalar>(active_w: S, reactive_var: S) -> S {
    active_w / (active_w * active_w + reactive_var * reactive_var + 1e-6).sqrt()
}

#[inline]
pub(super) fn drive_from_terminals<S: Scalar>(
    terminals: &Terminals,
    state: &MotorState<S>,
    electrical_power_w: S,
    active_sets: u8,
) -> Drive<S> {
    let available = available_phase_voltage(state.bus_voltage_v);
    let sets = f64::from(active_sets.max(1));
    let off = active_sets == 0;
    match &terminals.phase_current {
        PhaseCurrent::TorqueConstant(law) => {
            let constant_nm_a = law.at(state.magnet_k);
            let current = if off {
                constant(0.0)
            } else {
                magnitude(state.torque_nm / (constant_nm_a * sets), CURRENT_ROUNDING_A)
            };
            let back_emf = constant_nm_a * magnitude(state.speed_rad_s, 1e-3) / 3.0;
            Drive {
                phase_current_rms_a: current,
                weakening_current_rms_a: constant(0.0),
                required_phase_voltage_v: back_emf,
                available_phase_voltage_v: available,
                modulation_index: modulation_index(back_emf, state.bus_voltage_v),
                power_factor: power_factor(electrical_power_w, constant(0.0)),
            }
        }
        PhaseCurrent::Power { modulation_index, power_factor } => {
            let phase_voltage = state.bus_voltage_v * (modulation_index / (2.0 * 2.0_f64.sqrt()));
            // a dead bus gives no current: P V / (V^2 + small)
            let current = electrical_power_w * phase_voltage
                / (phase_voltage * phase_voltage + 1e-6)
                / (3.0 * sets * power_factor);
            Drive {
                phase_current_rms_a: magnitude(current, CURRENT_ROUNDING_A),
                weakening_current_rms_a: constant(0.0),
                required_phase_voltage_v: phase_voltage,
                available_phase_voltage_v: available,
                modulation_index: constant(*modulation_index),
                power_factor: constant(power_factor * electrical_power_w.value().signum()),
            }
        }
    }
}
