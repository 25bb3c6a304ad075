//! Heat of a motor by place, and how a loss is split.

use super::terminals::Drive;
use crate::error;
use crate::error::InputError;
use numerics::Scalar;

/// Where a total loss goes. The parts add up to 1.
///
/// Common practice, no source: copper 0.55-0.80 and iron 0.15-0.35 at rated torque, the rest 0.05-0.12 together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LossSplit {
    /// Share of the winding.
    pub copper: f64,
    /// Share of the stator iron.
    pub iron: f64,
    /// Share of magnets, rotor and bearings.
    pub magnet: f64,
    /// Share of the windage.
    pub windage: f64,
}

impl LossSplit {
    /// Checks that the parts are fractions that add up to 1.
    ///
    /// # Errors
    /// [`InputError`] for a part outside 0-1 or a sum that misses 1 by more than 1e-6.
    pub fn check(&self) -> Result<(), InputError> {
        let parts = [self.copper, self.iron, self.magnet, self.windage];
        parts.iter().try_for_each(|&part| error::fraction("part of the motor loss", part))?;
        let sum: f64 = parts.iter().sum();
        if (sum - 1.0).abs() <= 1e-6 { Ok(()) } else { Err(InputError::SplitSum(sum)) }
    }
}

/// Heat of a motor by place, and what it asks from its inverters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MotorHeat<S> {
    /// Copper loss of all active winding sets (W).
    pub copper_w: S,
    /// Copper loss in one active winding set (W): the hot spot follows this, not the total.
    pub copper_per_set_w: S,
    /// Stator iron loss (W).
    pub iron_w: S,
    /// Magnet and rotor loss with bearing friction (W).
    pub magnet_w: S,
    /// Windage, heat to the air in the gap (W).
    pub windage_w: S,
    /// Phase current of one active winding set, root mean square (A).
    pub phase_current_rms_a: S,
    /// Part of it that weakens the field, root mean square (A); 0 below the base speed.
    pub weakening_current_rms_a: S,
    /// Electrical input of all sets: shaft power plus losses (W); negative when braking feeds back.
    pub electrical_power_w: S,
    /// Voltage from phase to neutral that the working point needs, root mean square (V).
    pub required_phase_voltage_v: S,
    /// The most the bus gives, `U / sqrt(6)` (V).
    pub available_phase_voltage_v: S,
    /// Peak phase voltage over half the bus voltage.
    pub modulation_index: S,
    /// Active over apparent power at the terminals, -1 to 1.
    pub power_factor: S,
}

impl<S: Scalar> MotorHeat<S> {
    /// All losses (W).
    pub fn total(&self) -> S {
        self.copper_w + self.iron_w + self.magnet_w + self.windage_w
    }

    /// Whether the bus voltage is too low for the working point, by more than half a per cent.
    pub fn is_voltage_short(&self) -> bool {
        self.required_phase_voltage_v.value() > 1.005 * self.available_phase_voltage_v.value()
    }
}

/// Losses by place, before the terminals are known.
#[derive(Clone, Copy, Debug)]
#[expect(clippy::struct_field_names, reason = "the unit stays in the name")]
pub(super) struct Losses<S> {
    pub(super) copper_w: S,
    pub(super) iron_w: S,
    pub(super) magnet_w: S,
    pub(super) windage_w: S,
}

impl<S: Scalar> Losses<S> {
    pub(super) fn from_split(total_w: S, split: &LossSplit) -> Self {
        Self {
            copper_w: total_w * split.copper,
            iron_w: total_w * split.iron,
            magnet_w: total_w * split.magnet,
            windage_w: total_w * split.windage,
        }
    }

    pub(super) fn total(&self) -> S {
        self.copper_w + self.iron_w + self.magnet_w + self.windage_w
    }

    pub(super) fn with_drive(self, electrical_power_w: S, active_sets: u8, drive: Drive<S>) -> MotorHeat<S> {
        MotorHeat {
            copper_w: self.copper_w,
            copper_per_set_w: self.copper_w / f64::from(active_sets.max(1)),
            iron_w: self.iron_w,
            magnet_w: self.magnet_w,
            windage_w: self.windage_w,
            phase_current_rms_a: drive.phase_current_rms_a,
            weakening_current_rms_a: drive.weakening_current_rms_a,
            electrical_power_w,
            required_phase_voltage_v: drive.required_phase_voltage_v,
            available_phase_voltage_v: drive.available_phase_voltage_v,
            modulation_index: drive.modulation_index,
            power_factor: drive.power_factor,
        }
    }
}
