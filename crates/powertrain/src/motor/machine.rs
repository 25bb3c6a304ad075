//! Losses of a permanent-magnet machine from its parameters.

use super::heat::{Losses, MotorHeat};
use super::state::{GapAir, MotorState};
use super::terminals::{
    CURRENT_ROUNDING_A, Drive, available_phase_voltage, check_sets, modulation_index, power_factor,
};
use super::torque_constant::TorqueConstant;
use crate::conductor::COPPER;
use crate::error;
use crate::error::InputError;
use crate::smooth::{ROUNDING, above_floor, magnitude, positive_part, power};
use numerics::{Scalar, constant};

/// The same for the winding resistance.
const RESISTANCE_FLOOR: f64 = 0.2;

/// Current above proportion at high torque: `I = T/k_t (1 + excess (T/T_ref)^2)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saturation {
    /// Torque at which the excess is stated (N m).
    pub torque_nm: f64,
    /// Current above proportion there, as a fraction.
    pub excess: f64,
}

/// Copper loss from alternating current (skin and proximity effect), stated at a frequency and the reference temperature.
///
/// ```text
/// copper = n 3 I^2 R0 [ r + k (f/f0)^2 / r ]      r = R(T)/R0
/// ```
/// Eddy losses in the wires go with frequency squared over resistivity (low-frequency limit of Dowell 1966, Proc. IEE
/// 113, 1387; from memory): they fall as the copper gets hot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AlternatingCopper {
    /// Electrical frequency of the statement (Hz).
    pub frequency_hz: f64,
    /// Extra loss there as a fraction of the direct-current loss.
    pub extra: f64,
}

/// A loss that grows with speed in two parts and with torque.
///
/// ```text
/// P = P0 [ h x^a + (1 - h) x^b ] [ 1 + g (T/T0)^2 ] (flux(Tm)/flux0)^c      x = |omega|/omega0
/// ```
/// Iron: hysteresis part `h` with exponent `a` = 1, eddy part with `b` = 2 (separation after Steinmetz and Bertotti;
/// common practice for the whole: `f^1.3` to `f^1.8`). Magnets: `h` = 0, `b` = 2.
/// `c` = 2 follows the flux density squared; 0, the cautious choice, keeps the loss of the reference temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpeedLoss {
    /// Loss at the reference speed without torque (W).
    pub reference_w: f64,
    /// Reference speed (rad/s).
    pub reference_speed_rad_s: f64,
    /// Hysteresis share `h` at the reference speed (0-1).
    pub hysteresis_share: f64,
    /// Exponent `a` of the hysteresis part, 1 or a little more.
    pub hysteresis_exponent: f64,
    /// Exponent `b` of the eddy part, up to 2.
    pub eddy_exponent: f64,
    /// Growth `g` at the reference torque, as a fraction.
    pub load_growth: f64,
    /// Reference torque of the growth (N m).
    pub reference_torque_nm: f64,
    /// Exponent `c` of the magnet flux.
    pub flux_exponent: f64,
}

impl SpeedLoss {
    /// No loss.
    pub const NONE: Self = Self {
        reference_w: 0.0,
        reference_speed_rad_s: 1.0,
        hysteresis_share: 0.0,
        hysteresis_exponent: 1.0,
        eddy_exponent: 2.0,
        load_growth: 0.0,
        reference_torque_nm: 1.0,
        flux_exponent: 0.0,
    };

    fn check(&self) -> Result<(), InputError> {
        error::not_negative("loss at the reference speed (W)", self.reference_w)?;
        error::positive("reference speed of a loss (rad/s)", self.reference_speed_rad_s)?;
        error::fraction("hysteresis share", self.hysteresis_share)?;
        error::exponent("hysteresis exponent", self.hysteresis_exponent)?;
        error::exponent("eddy exponent", self.eddy_exponent)?;
        error::not_negative("growth of a speed loss with torque", self.load_growth)?;
        error::positive("reference torque of a speed loss (N m)", self.reference_torque_nm)?;
        error::not_negative("exponent of the magnet flux", self.flux_exponent)
    }

    /// Loss (W); `flux` is the magnet flux over its reference value.
    #[inline]
    pub fn at<S: Scalar>(&self, speed_rad_s: S, torque_nm: S, flux: S) -> S {
        if self.reference_w == 0.0 {
            return constant(0.0);
        }
        let x = magnitude(speed_rad_s / self.reference_speed_rad_s, ROUNDING);
        let h = self.hysteresis_share;
        let by_speed = power(x, self.hysteresis_exponent) * h + power(x, self.eddy_exponent) * (1.0 - h);
        let load = torque_nm / self.reference_torque_nm;
        let loss = by_speed * (load * load * self.load_growth + 1.0) * self.reference_w;
        if self.flux_exponent == 0.0 { loss } else { loss * power(flux, self.flux_exponent) }
    }
}

/// Windage of the rotor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Windage {
    /// None, or part of another loss.
    None,
    /// `P0 (|omega|/omega0)^exponent`, proportional to the air's density.
    SpeedLaw {
        /// Loss at the reference speed (W).
        reference_w: f64,
        /// Reference speed (rad/s).
        reference_speed_rad_s: f64,
        /// Exponent, about 3.
        exponent: f64,
    },
    /// Computed elsewhere from the rotor's geometry and handed in with the air.
    Given,
}

impl Windage {
    fn check(&self) -> Result<(), InputError> {
        if let Self::SpeedLaw { reference_w, reference_speed_rad_s, exponent } = self {
            error::not_negative("windage at the reference speed (W)", *reference_w)?;
            error::positive("reference speed of the windage (rad/s)", *reference_speed_rad_s)?;
            error::exponent("exponent of the windage", *exponent)?;
        }
        Ok(())
    }

    fn at<S: Scalar>(&self, speed_rad_s: S, air: &GapAir<S>) -> S {
        match self {
            Self::None => constant(0.0),
            Self::Given => air.windage_w,
            Self::SpeedLaw { reference_w, reference_speed_rad_s, exponent } => {
                let x = magnitude(speed_rad_s / *reference_speed_rad_s, ROUNDING);
                power(x, *exponent) * air.density_ratio * *reference_w
            }
        }
    }
}

/// Friction of the motor's own bearings: `P = (M0 + c |omega|) |omega|`, booked with the rotor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BearingFriction {
    /// Torque that does not depend on speed (N m).
    pub torque_nm: f64,
    /// Viscous part (N m s).
    pub viscous_nm_s: f64,
}

/// A permanent-magnet synchronous machine with one or two three-phase winding sets.
///
/// # Formula
/// ```text
/// i_q = T / (n k_t(Tm)) (1 + excess (T/T_s)^2)          E = k_t(Tm) |omega| / 3
/// X = p |omega| L                                       V_max = U / sqrt(6)
/// i_d = max(0, E - sqrt(V_max^2 - (X i_q)^2)) / X       I = sqrt(i_q^2 + i_d^2)
/// copper = n 3 I^2 R0 [ r + k (f/f0)^2 / r ]            r = R(Tw)/R0, f = p |omega| / (2 pi)
/// electrical = T omega + all losses
/// V^2 = (E - X i_d + R i_q)^2 + (X i_q + R i_d)^2       m = 2 sqrt(2) V / U
/// ```
/// Root-mean-square phase values of one set; `n` active sets, `p` pole pairs, `U` bus voltage. The back-EMF follows from
/// the power balance `3 E I = k_t I omega`. Field weakening (`i_d`) starts where the bus voltage no longer holds the
/// back-EMF: a sagging bus costs copper loss. Non-salient machine, resistance left out of the weakening condition (textbook
/// phasor equations, from memory); a salient machine needs a measured map.
///
/// Corners are rounded: the phase current over 0.1 A, the start of weakening over 0.2 % of the voltage.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineParameters {
    /// Phase resistance of one winding set at the reference temperature, direct current (ohm).
    pub phase_resistance_ohm: f64,
    /// Reference temperature of the resistance (K).
    pub reference_winding_k: f64,
    /// Torque per phase current.
    pub torque_constant: TorqueConstant,
    /// Pole pairs.
    pub pole_pairs: u32,
    /// Synchronous inductance of one phase (H); `None` leaves field weakening out.
    pub inductance_h: Option<f64>,
    /// Winding sets, 1 or 2, each with its own inverter.
    pub winding_sets: u8,
    /// Current above proportion at high torque.
    pub saturation: Option<Saturation>,
    /// Skin and proximity effect.
    pub alternating_copper: Option<AlternatingCopper>,
    /// Stator iron loss.
    pub iron: SpeedLoss,
    /// Magnet and rotor eddy loss.
    pub magnet: SpeedLoss,
    /// Windage.
    pub windage: Windage,
    /// Bearing friction.
    pub bearing: Option<BearingFriction>,
}

impl MachineParameters {
    /// A machine of which resistance and torque constant are known, the rest without loss: a base to fill in.
    pub fn new(phase_resistance_ohm: f64, reference_winding_k: f64, torque_constant: TorqueConstant) -> Self {
        Self {
            phase_resistance_ohm,
            reference_winding_k,
            torque_constant,
            pole_pairs: 1,
            inductance_h: None,
            winding_sets: 1,
            saturation: None,
            alternating_copper: None,
            iron: SpeedLoss::NONE,
            magnet: SpeedLoss::NONE,
            windage: Windage::None,
            bearing: None,
        }
    }

    pub(super) fn check(&self) -> Result<(), InputError> {
        error::positive("phase resistance (ohm)", self.phase_resistance_ohm)?;
        error::positive("reference temperature of the winding (K)", self.reference_winding_k)?;
        self.torque_constant.check()?;
        error::positive("number of pole pairs", f64::from(self.pole_pairs))?;
        if let Some(inductance) = self.inductance_h {
            error::positive("synchronous inductance (H)", inductance)?;
        }
        check_sets(self.winding_sets)?;
        if let Some(saturation) = &self.saturation {
            error::positive("torque of the saturation statement (N m)", saturation.torque_nm)?;
            error::not_negative("excess current of the saturation statement", saturation.excess)?;
        }
        if let Some(copper) = &self.alternating_copper {
            error::positive("frequency of the alternating copper loss (Hz)", copper.frequency_hz)?;
            error::not_negative("alternating copper loss over direct-current loss", copper.extra)?;
        }
        self.iron.check()?;
        self.magnet.check()?;
        self.windage.check()?;
        if let Some(bearing) = &self.bearing {
            error::not_negative("bearing friction (N m)", bearing.torque_nm)?;
            error::not_negative("viscous bearing friction (N m s)", bearing.viscous_nm_s)?;
        }
        Ok(())
    }

    #[inline]
    pub(super) fn heat<S: Scalar>(
        &self,
        state: &MotorState<S>,
        air: &GapAir<S>,
        active_sets: u8,
    ) -> MotorHeat<S> {
        let point = self.phasors(state, active_sets);
        let losses = self.losses(state, air, active_sets, &point);
        let electrical_w = if active_sets == 0 {
            constant(0.0)
        } else {
            state.torque_nm * state.speed_rad_s + losses.total()
        };
        let drive = self.drive(state, active_sets, &point, electrical_w);
        losses.with_drive(electrical_w, active_sets, drive)
    }

    /// Currents and voltages of one set before the resistive drop.
    #[inline]
    fn phasors<S: Scalar>(&self, state: &MotorState<S>, active_sets: u8) -> Phasors<S> {
        let constant_nm_a = self.torque_constant.at(state.magnet_k);
        let speed = state.speed_rad_s;
        let resistance_ratio = warm(self, state.winding_k);
        let mut phasors = Phasors {
            torque_current: constant(0.0),
            weakening_current: constant(0.0),
            back_emf: constant_nm_a * speed / 3.0,
            reactance: speed * (f64::from(self.pole_pairs) * self.inductance_h.unwrap_or(0.0)),
            resistance_ratio,
            frequency_hz: speed * (f64::from(self.pole_pairs) / std::f64::consts::TAU),
        };
        if active_sets > 0 {
            phasors.torque_current =
                state.torque_nm * self.excess(state.torque_nm) / (constant_nm_a * f64::from(active_sets));
            phasors.weakening_current = phasors.weakening(available_phase_voltage(state.bus_voltage_v));
        }
        phasors
    }

    fn excess<S: Scalar>(&self, torque_nm: S) -> S {
        match &self.saturation {
            None => constant(1.0),
            Some(saturation) => {
                let load = torque_nm / saturation.torque_nm;
                load * load * saturation.excess + 1.0
            }
        }
    }

    #[inline]
    fn losses<S: Scalar>(
        &self,
        state: &MotorState<S>,
        air: &GapAir<S>,
        active_sets: u8,
        point: &Phasors<S>,
    ) -> Losses<S> {
        let r = point.resistance_ratio;
        let mut copper_ratio = r;
        if let Some(law) = &self.alternating_copper {
            let f = point.frequency_hz / law.frequency_hz;
            copper_ratio += f * f * law.extra / r;
        }
        let scale = 3.0 * f64::from(active_sets) * self.phase_resistance_ohm;
        let flux = self.torque_constant.at(state.magnet_k) / self.torque_constant.nm_per_a_rms;
        let bearing_w = self.bearing.as_ref().map_or(constant(0.0), |bearing| {
            let speed = magnitude(state.speed_rad_s, 1e-3);
            (speed * bearing.viscous_nm_s + bearing.torque_nm) * speed
        });
        Losses {
            copper_w: point.current_squared() * copper_ratio * scale,
            iron_w: self.iron.at(state.speed_rad_s, state.torque_nm, flux),
            magnet_w: self.magnet.at(state.speed_rad_s, state.torque_nm, flux) + bearing_w,
            windage_w: self.windage.at(state.speed_rad_s, air),
        }
    }

    #[inline]
    fn drive<S: Scalar>(
        &self,
        state: &MotorState<S>,
        active_sets: u8,
        point: &Phasors<S>,
        electrical_power_w: S,
    ) -> Drive<S> {
        let resistance = point.resistance_ratio * self.phase_resistance_ohm;
        let (i_q, i_d, x) = (point.torque_current, point.weakening_current, point.reactance);
        let in_phase = point.back_emf - x * i_d + resistance * i_q;
        let across = x * i_q + resistance * i_d;
        let voltage = (in_phase * in_phase + across * across + 1e-12).sqrt();
        // the sign of rotation cancels: only the square of the reactive power is used
        let reactive = (x * point.current_squared() - point.back_emf * i_d) * (3.0 * f64::from(active_sets));
        let squared = point.current_squared();
        Drive {
            phase_current_rms_a: squared / (squared + CURRENT_ROUNDING_A * CURRENT_ROUNDING_A).sqrt(),
            weakening_current_rms_a: i_d,
            required_phase_voltage_v: voltage,
            available_phase_voltage_v: available_phase_voltage(state.bus_voltage_v),
            modulation_index: modulation_index(voltage, state.bus_voltage_v),
            power_factor: power_factor(electrical_power_w, reactive),
        }
    }
}

/// Winding resistance over its reference value.
#[inline]
pub(super) fn warm<S: Scalar>(machine: &MachineParameters, winding_k: S) -> S {
    above_floor(COPPER.factor(winding_k, machine.reference_winding_k), RESISTANCE_FLOOR)
}

/// One set's phase values; back-EMF, reactance and frequency carry the sign of the rotation.
#[derive(Clone, Copy, Debug)]
struct Phasors<S> {
    torque_current: S,
    weakening_current: S,
    back_emf: S,
    reactance: S,
    resistance_ratio: S,
    frequency_hz: S,
}

impl<S: Scalar> Phasors<S> {
    fn current_squared(&self) -> S {
        self.torque_current * self.torque_current + self.weakening_current * self.weakening_current
    }

    /// The current that keeps the voltage within the bus; exactly 0 below the base speed.
    fn weakening(&self, available_v: S) -> S {
        let reactance = magnitude(self.reactance, 1e-9);
        if reactance.value() <= 0.0 {
            return constant(0.0);
        }
        let across = reactance * self.torque_current;
        // widths follow the voltage, and so must their derivative; the small terms keep a dead bus finite
        let square = available_v * available_v + 1.0;
        let room = numerics::soft_positive((available_v * available_v - across * across) / square, 1e-3);
        let volts = square.sqrt();
        let shortage = magnitude(self.back_emf, 1e-6) / volts - (room + 1e-9).sqrt();
        let weakened = positive_part(shortage, 2e-3) * volts;
        if weakened.value() <= 0.0 { constant(0.0) } else { weakened / reactance }
    }
}
