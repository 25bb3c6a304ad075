//! Inverter losses at three levels.

mod junction;

pub use junction::{JunctionPoint, JunctionResistance};

use numerics::{Scalar, constant, hold};

use crate::error::{self, InputError};
use crate::loss::LossSurface;
use crate::motor::{GREATEST_MODULATION_INDEX, MotorHeat};
use crate::smooth::{activity, magnitude, power};

/// Phase current from which a fixed loss is booked in full (A).
const CONDUCTING_A: f64 = 0.5;
/// Width of the rounding of the output power at zero (W).
const POWER_ROUNDING_W: f64 = 1.0;
/// Bus voltage from which gate drive and control are supplied (V).
const AWAKE_V: f64 = 1.0;

/// An inverter: one three-phase two-level bridge feeding one winding set.
#[derive(Clone, Debug, PartialEq)]
pub struct Inverter {
    losses: InverterLosses,
    auxiliary_w: f64,
}

/// What is known about the losses of an inverter.
#[derive(Clone, Debug, PartialEq)]
pub enum InverterLosses {
    /// The loss of one working point, booked whenever the bridge carries current.
    Fixed {
        /// Loss (W).
        loss_w: f64,
    },
    /// An efficiency, the same at every point: `P (1/eta - 1)` of the output power.
    Efficiency {
        /// Output over input power when driving (0-1).
        efficiency: f64,
    },
    /// Measured loss over phase current (A, root mean square) and bus voltage (V).
    Map(LossSurface),
    /// Power devices and carrier frequency.
    Devices(DeviceParameters),
}

/// The power devices of a bridge. Per-switch values of one device; parallel devices share the current equally.
///
/// # Formula
/// Averages over one output period with sinusoidal modulation, `I` peak current of one device, `m` modulation index,
/// `phi` phase angle:
/// ```text
/// transistor   V0 I (1/(2 pi) + m cos(phi)/8) + r I^2 (1/8 + m cos(phi)/(3 pi))
/// diode        the same with minus signs
/// channel that conducts both ways:  r I^2 / 4 per switch
/// switching    f E / pi (I/I_ref)^a (U/U_ref)^b   per switch (turn-on + turn-off) and per diode (recovery)
/// ```
/// `a` = `b` = 1 is the linear scaling of the textbook average; the `1/pi` belongs to `a` = 1 and is kept.
/// Threshold, slope and energies change linearly with junction temperature.
///
/// # Range
/// `m` up to 2/sqrt(3), held there; output frequency high against the thermal time constant of a chip. At standstill under
/// torque one phase carries the peak as direct current: a switch then runs hotter than this average says.
///
/// # Source
/// Textbook averages of the two-level bridge, confirmed by numerical averaging; checked by `tests/data/inverter_loss.csv`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeviceParameters {
    /// Kind of switch and its on-state.
    pub switch: Switch,
    /// Turn-on and turn-off energy of one switch at the reference point (J).
    pub switching_energy_j: f64,
    /// Recovery energy of one diode at the reference point (J); 0 where it is part of the turn-on energy.
    pub recovery_energy_j: f64,
    /// Current of the reference point (A).
    pub reference_current_a: f64,
    /// Voltage of the reference point (V).
    pub reference_voltage_v: f64,
    /// Exponent `a` of the current, 1 for the textbook average.
    pub current_exponent: f64,
    /// Exponent `b` of the voltage, 1 to about 1.4.
    pub voltage_exponent: f64,
    /// Carrier (switching) frequency (Hz).
    pub carrier_frequency_hz: f64,
    /// Parallel devices per switch.
    pub parallel_devices: u32,
    /// Junction temperature all device values belong to (K).
    pub reference_junction_k: f64,
    /// Relative change of slope resistance per kelvin (1/K).
    pub slope_coefficient_per_k: f64,
    /// Change of threshold voltage per kelvin (V/K).
    pub threshold_coefficient_v_k: f64,
    /// Relative change of the energies per kelvin (1/K).
    pub energy_coefficient_per_k: f64,
    /// Series resistance of the bus capacitor at the carrier frequency (ohm); 0 leaves its heat out.
    pub capacitor_resistance_ohm: f64,
}

/// Kind of switch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Switch {
    /// A transistor with an antiparallel diode.
    TransistorDiode {
        /// Threshold voltage of the transistor (V).
        threshold_v: f64,
        /// Slope resistance of the transistor (ohm).
        slope_ohm: f64,
        /// Threshold voltage of the diode (V).
        diode_threshold_v: f64,
        /// Slope resistance of the diode (ohm).
        diode_slope_ohm: f64,
    },
    /// A channel that conducts in both directions (synchronous rectification; dead time neglected).
    Channel {
        /// On-state resistance (ohm).
        resistance_ohm: f64,
    },
}

/// The working point of an inverter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InverterState<S> {
    /// Phase current, root mean square (A).
    pub phase_current_rms_a: S,
    /// Voltage of the direct-current side (V); 0 with open contactors.
    pub bus_voltage_v: S,
    /// Peak phase voltage over half the bus voltage.
    pub modulation_index: S,
    /// Active over apparent power, negative when braking.
    pub power_factor: S,
    /// Junction temperature of the switches, or that of the nearest modelled component (K).
    pub junction_k: S,
    /// The same of the diodes (K).
    pub diode_k: S,
}

impl<S: Scalar> InverterState<S> {
    /// The working point of the inverter of one winding set of a motor.
    pub fn from_motor(motor: &MotorHeat<S>, bus_voltage_v: S, junction_k: S) -> Self {
        Self {
            phase_current_rms_a: motor.phase_current_rms_a,
            bus_voltage_v,
            modulation_index: motor.modulation_index,
            power_factor: motor.power_factor,
            junction_k,
            diode_k: junction_k,
        }
    }
}

/// Heat of an inverter by cause.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InverterHeat<S> {
    /// Conduction loss of all devices (W).
    pub conduction_w: S,
    /// Switching and recovery loss of all devices (W).
    pub switching_w: S,
    /// Loss known only as a total: fixed, efficiency and map (W).
    pub undivided_w: S,
    /// Heat of the bus capacitor (W).
    pub capacitor_w: S,
    /// Gate drive and control (W).
    pub auxiliary_w: S,
}

impl<S: Scalar> InverterHeat<S> {
    /// All losses (W).
    pub fn total(&self) -> S {
        self.conduction_w + self.switching_w + self.undivided_w + self.capacitor_w + self.auxiliary_w
    }
}

/// Losses of one transistor or channel with its diode (W), see [`DeviceParameters::position_loss`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PositionLoss<S> {
    /// Conduction loss of the transistor or channel (W).
    pub transistor_conduction_w: S,
    /// Conduction loss of the diode (W).
    pub diode_conduction_w: S,
    /// Turn-on and turn-off loss (W).
    pub transistor_switching_w: S,
    /// Recovery loss of the diode (W).
    pub diode_recovery_w: S,
}

impl Inverter {
    /// An inverter with a constant consumption of gate drive and control (W) while the bus is alive.
    ///
    /// # Errors
    /// [`InputError`] names the first number that is not physical.
    pub fn new(losses: InverterLosses, auxiliary_w: f64) -> Result<Self, InputError> {
        error::not_negative("gate drive and control power (W)", auxiliary_w)?;
        match &losses {
            InverterLosses::Fixed { loss_w } => error::not_negative("fixed inverter loss (W)", *loss_w)?,
            InverterLosses::Efficiency { efficiency } => {
                error::efficiency("inverter efficiency", *efficiency)?;
            }
            InverterLosses::Map(_) => {}
            InverterLosses::Devices(devices) => devices.check()?,
        }
        Ok(Self { losses, auxiliary_w })
    }

    /// What is known about the losses.
    pub fn losses(&self) -> &InverterLosses {
        &self.losses
    }

    /// Whether a working point lies inside what the losses were measured for; true where no range is known.
    pub fn is_in_range(&self, phase_current_rms_a: f64, bus_voltage_v: f64) -> bool {
        match &self.losses {
            InverterLosses::Map(map) => map.contains(phase_current_rms_a, bus_voltage_v),
            _ => true,
        }
    }

    /// Heat of one bridge at a working point: a motor with two winding sets has two of them.
    #[inline]
    pub fn heat<S: Scalar>(&self, state: &InverterState<S>) -> InverterHeat<S> {
        let none = constant(0.0);
        let mut heat = InverterHeat {
            conduction_w: none,
            switching_w: none,
            undivided_w: none,
            capacitor_w: none,
            auxiliary_w: activity(state.bus_voltage_v, AWAKE_V) * self.auxiliary_w,
        };
        match &self.losses {
            InverterLosses::Fixed { loss_w } => {
                heat.undivided_w = activity(state.phase_current_rms_a, CONDUCTING_A) * *loss_w;
            }
            InverterLosses::Efficiency { efficiency } => {
                let output_w = magnitude(output_power_w(state), POWER_ROUNDING_W);
                heat.undivided_w = output_w * (1.0 / efficiency - 1.0);
            }
            InverterLosses::Map(map) => {
                heat.undivided_w = map.at(state.phase_current_rms_a, state.bus_voltage_v);
            }
            InverterLosses::Devices(devices) => devices.add_bridge(state, &mut heat),
        }
        heat
    }
}

/// Power to the motor (W): `3 V I cos(phi)` with `V = m U / (2 sqrt 2)`.
#[inline]
pub fn output_power_w<S: Scalar>(state: &InverterState<S>) -> S {
    state.modulation_index
        * state.bus_voltage_v
        * state.phase_current_rms_a
        * state.power_factor
        * (3.0 / (2.0 * 2.0_f64.sqrt()))
}

/// Root-mean-square current of the bus capacitor of a three-phase two-level bridge (A).
///
/// # Formula
/// ```text
/// I_C = I sqrt( 2 m [ sqrt(3)/(4 pi) + cos(phi)^2 (sqrt(3)/pi - 9 m/16) ] )
/// ```
/// Ripple of the supply side and of the phase current neglected; `m` up to 2/sqrt(3), held there.
///
/// # Source
/// Kolar & Round 2006, IEE Proc. Electr. Power Appl. 153, 535 (from memory); confirmed by numerical averaging of the
/// switching states in the tests.
#[inline]
pub fn capacitor_current_rms<S: Scalar>(phase_current_rms_a: S, modulation_index: S, power_factor: S) -> S {
    phase_current_rms_a * (capacitor_share(modulation_index, power_factor) + 1e-18).sqrt()
}

/// Square of capacitor over phase current.
fn capacitor_share<S: Scalar>(modulation_index: S, power_factor: S) -> S {
    let root3 = 3.0_f64.sqrt();
    let pi = std::f64::consts::PI;
    let m = hold(modulation_index, 0.0, GREATEST_MODULATION_INDEX);
    let cosine = hold(power_factor, -1.0, 1.0);
    m * (cosine * cosine * (m * (-9.0 / 16.0) + root3 / pi) + root3 / (4.0 * pi)) * 2.0
}

impl DeviceParameters {
    /// Checks the numbers.
    ///
    /// # Errors
    /// [`InputError::Value`] names the first one that is not physical.
    pub fn check(&self) -> Result<(), InputError> {
        match &self.switch {
            Switch::TransistorDiode { threshold_v, slope_ohm, diode_threshold_v, diode_slope_ohm } => {
                error::not_negative("threshold voltage (V)", *threshold_v)?;
                error::not_negative("slope resistance (ohm)", *slope_ohm)?;
                error::not_negative("diode threshold voltage (V)", *diode_threshold_v)?;
                error::not_negative("diode slope resistance (ohm)", *diode_slope_ohm)?;
            }
            Switch::Channel { resistance_ohm } => {
                error::positive("channel resistance (ohm)", *resistance_ohm)?;
            }
        }
        error::not_negative("switching energy (J)", self.switching_energy_j)?;
        error::not_negative("recovery energy (J)", self.recovery_energy_j)?;
        error::positive("reference current of the energies (A)", self.reference_current_a)?;
        error::positive("reference voltage of the energies (V)", self.reference_voltage_v)?;
        error::positive("current exponent of the energies", self.current_exponent)?;
        error::positive("voltage exponent of the energies", self.voltage_exponent)?;
        error::positive("carrier frequency (Hz)", self.carrier_frequency_hz)?;
        error::positive("parallel devices", f64::from(self.parallel_devices))?;
        error::positive("reference junction temperature (K)", self.reference_junction_k)?;
        error::finite("slope coefficient (1/K)", self.slope_coefficient_per_k)?;
        error::finite("threshold coefficient (V/K)", self.threshold_coefficient_v_k)?;
        error::finite("energy coefficient (1/K)", self.energy_coefficient_per_k)?;
        error::not_negative("capacitor series resistance (ohm)", self.capacitor_resistance_ohm)
    }

    /// Losses of one device position: a transistor or channel, with its diode.
    ///
    /// `peak_current_a` is the peak phase current through this device.
    #[inline]
    pub fn position_loss<S: Scalar>(&self, peak_current_a: S, state: &InverterState<S>) -> PositionLoss<S> {
        let pi = std::f64::consts::PI;
        let rise = state.junction_k - self.reference_junction_k;
        let diode_rise = state.diode_k - self.reference_junction_k;
        let slope_factor = rise * self.slope_coefficient_per_k + 1.0;
        let diode_slope_factor = diode_rise * self.slope_coefficient_per_k + 1.0;
        let i2 = peak_current_a * peak_current_a;
        let (transistor, diode) = match &self.switch {
            Switch::Channel { resistance_ohm } => {
                (i2 * slope_factor * (resistance_ohm * 0.25), constant(0.0))
            }
            Switch::TransistorDiode { threshold_v, slope_ohm, diode_threshold_v, diode_slope_ohm } => {
                let m = hold(state.modulation_index, 0.0, GREATEST_MODULATION_INDEX);
                let drive = m * hold(state.power_factor, -1.0, 1.0);
                let shift = rise * self.threshold_coefficient_v_k;
                let transistor = (shift + *threshold_v) * peak_current_a * (drive / 8.0 + 0.5 / pi)
                    + slope_factor * i2 * (drive / (3.0 * pi) + 0.125) * *slope_ohm;
                let diode_shift = diode_rise * self.threshold_coefficient_v_k;
                let diode = (diode_shift + *diode_threshold_v) * peak_current_a * (-drive / 8.0 + 0.5 / pi)
                    + diode_slope_factor * i2 * (-drive / (3.0 * pi) + 0.125) * *diode_slope_ohm;
                (transistor, diode)
            }
        };
        let per_joule = power(peak_current_a / self.reference_current_a, self.current_exponent)
            * power(state.bus_voltage_v / self.reference_voltage_v, self.voltage_exponent)
            * (self.carrier_frequency_hz / pi);
        let energy_factor = |rise: S| rise * self.energy_coefficient_per_k + 1.0;
        PositionLoss {
            transistor_conduction_w: transistor,
            diode_conduction_w: diode,
            transistor_switching_w: per_joule * energy_factor(rise) * self.switching_energy_j,
            diode_recovery_w: per_joule * energy_factor(diode_rise) * self.recovery_energy_j,
        }
    }

    /// Six positions of parallel devices and the capacitor.
    fn add_bridge<S: Scalar>(&self, state: &InverterState<S>, heat: &mut InverterHeat<S>) {
        let parallel = f64::from(self.parallel_devices);
        let peak = state.phase_current_rms_a * (2.0_f64.sqrt() / parallel);
        let one = self.position_loss(peak, state);
        let positions = 6.0 * parallel;
        heat.conduction_w = (one.transistor_conduction_w + one.diode_conduction_w) * positions;
        heat.switching_w = (one.transistor_switching_w + one.diode_recovery_w) * positions;
        let i = state.phase_current_rms_a;
        heat.capacitor_w = i
            * i
            * capacitor_share(state.modulation_index, state.power_factor)
            * self.capacitor_resistance_ohm;
    }
}

#[cfg(test)]
mod tests;
