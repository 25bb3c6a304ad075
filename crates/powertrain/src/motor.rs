//! Motor losses at three levels, the phase current and the voltage that goes with it.
//!
//! [`Motor::heat`] turns a working point into heat by place (copper, iron, magnet, windage) and into what
//! the inverter sees (phase current, modulation index, power factor).

mod dragged;
mod heat;
mod machine;
mod map;
mod state;
mod terminals;
mod torque_constant;

use crate::error;
use crate::error::InputError;
use crate::smooth::{activity, magnitude};
use heat::Losses;
use numerics::{Scalar, constant};
use terminals::drive_from_terminals;

pub use dragged::{DragHeat, ShortCircuit};
pub use heat::{LossSplit, MotorHeat};
pub use machine::{AlternatingCopper, BearingFriction, MachineParameters, Saturation, SpeedLoss, Windage};
pub use map::MotorMap;
pub use state::{GapAir, MotorState};
pub use terminals::{GREATEST_MODULATION_INDEX, PhaseCurrent, Terminals};
pub use torque_constant::TorqueConstant;

/// Speed from which fixed losses are booked in full (rad/s).
const TURNING_RAD_S: f64 = 1.0;
/// Torque from which fixed copper loss is booked in full (N m).
const PULLING_NM: f64 = 0.1;
/// Width of the rounding of `|power|` at zero (W).
const POWER_ROUNDING_W: f64 = 1.0;

/// A motor: what is known about its losses.
#[derive(Clone, Debug, PartialEq)]
pub struct Motor {
    losses: MotorLosses,
}

/// What is known about the losses of a motor.
#[derive(Clone, Debug, PartialEq)]
pub enum MotorLosses {
    /// Losses of one working point, used at every point.
    Fixed(FixedLosses),
    /// An efficiency, the same at every point, with a split of the loss by place.
    Efficiency(EfficiencyLosses),
    /// Measured total loss over torque, speed and bus voltage, with a split of the loss by place.
    Map(MotorMap),
    /// Machine parameters: resistance, torque constant, iron, magnet and windage laws.
    Machine(Box<MachineParameters>),
}

/// Losses of one working point.
///
/// Copper loss is booked while there is torque, the others while the shaft turns: a machine at rest makes no heat,
/// or the after-shutdown soak would never end. With one winding set out the copper loss grows by sets / active sets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FixedLosses {
    /// Copper loss of all winding sets (W).
    pub copper_w: f64,
    /// Iron loss (W).
    pub iron_w: f64,
    /// Magnet and rotor loss with bearing friction (W).
    pub magnet_w: f64,
    /// Windage (W).
    pub windage_w: f64,
    /// Winding sets and phase current.
    pub terminals: Terminals,
}

/// An efficiency with a split.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EfficiencyLosses {
    /// Shaft power over electrical power when driving (0-1).
    pub efficiency: f64,
    /// Where the loss goes.
    pub split: LossSplit,
    /// Winding sets and phase current.
    pub terminals: Terminals,
}

impl Motor {
    /// A motor from what is known about it.
    ///
    /// # Errors
    /// [`InputError`] names the first number that is not physical.
    pub fn new(losses: MotorLosses) -> Result<Self, InputError> {
        match &losses {
            MotorLosses::Fixed(fixed) => {
                let values = [fixed.copper_w, fixed.iron_w, fixed.magnet_w, fixed.windage_w];
                values.iter().try_for_each(|&w| error::not_negative("fixed motor loss (W)", w))?;
                fixed.terminals.check()?;
            }
            MotorLosses::Efficiency(law) => {
                error::efficiency("motor efficiency", law.efficiency)?;
                law.split.check()?;
                law.terminals.check()?;
            }
            // checked when it was made
            MotorLosses::Map(_) => {}
            MotorLosses::Machine(machine) => machine.check()?,
        }
        Ok(Self { losses })
    }

    /// What is known about the losses.
    pub fn losses(&self) -> &MotorLosses {
        &self.losses
    }

    /// Number of winding sets, 1 or 2.
    pub fn winding_sets(&self) -> u8 {
        match &self.losses {
            MotorLosses::Fixed(fixed) => fixed.terminals.winding_sets,
            MotorLosses::Efficiency(law) => law.terminals.winding_sets,
            MotorLosses::Map(map) => map.terminals().winding_sets,
            MotorLosses::Machine(machine) => machine.winding_sets,
        }
    }

    /// Whether a working point lies inside what the losses were measured for; true where no range is known.
    pub fn is_in_range(&self, torque_nm: f64, speed_rad_s: f64, bus_voltage_v: f64) -> bool {
        match &self.losses {
            MotorLosses::Map(map) => map.contains(torque_nm, speed_rad_s, bus_voltage_v),
            _ => true,
        }
    }

    /// Losses by place, phase current and voltage at a working point.
    ///
    /// With fewer active sets than the machine has, the active ones carry the whole current: with one of two left, twice
    /// the current, four times the copper loss per set, twice the copper loss in all. `active_sets` 0 books no copper loss
    /// and no electrical power: torque must be 0 then, and iron, magnet loss and windage come from the shaft that turns it.
    ///
    /// Windage is that of the law's own air density, and none for [`Windage::Given`]: see [`Motor::heat_in_air`].
    ///
    /// Equations and sources: [`MachineParameters`], [`MotorMap`], [`Terminals`].
    #[inline]
    pub fn heat<S: Scalar>(&self, state: &MotorState<S>) -> MotorHeat<S> {
        self.heat_in_air(state, &GapAir { windage_w: constant(0.0), density_ratio: constant(1.0) })
    }

    /// [`Motor::heat`] with the air round the rotor known.
    #[inline]
    pub fn heat_in_air<S: Scalar>(&self, state: &MotorState<S>, air: &GapAir<S>) -> MotorHeat<S> {
        let sets = self.winding_sets();
        let active = state.active_sets.min(sets);
        // all copper carries sets/active times its current, in active/sets of the volume
        let crowding = if active == 0 { 0.0 } else { f64::from(sets) / f64::from(active) };
        let (losses, terminals) = match &self.losses {
            MotorLosses::Machine(machine) => return machine.heat(state, air, active),
            MotorLosses::Fixed(fixed) => (fixed.at(state, crowding), &fixed.terminals),
            MotorLosses::Efficiency(law) => (law.at(state, crowding), &law.terminals),
            MotorLosses::Map(map) => (map.at(state, crowding), map.terminals()),
        };
        let shaft_w = state.torque_nm * state.speed_rad_s;
        let electrical_w = if active == 0 { constant(0.0) } else { shaft_w + losses.total() };
        let drive = drive_from_terminals(terminals, state, electrical_w, active);
        losses.with_drive(electrical_w, active, drive)
    }
}

impl FixedLosses {
    fn at<S: Scalar>(&self, state: &MotorState<S>, crowding: f64) -> Losses<S> {
        let pulling = activity(state.torque_nm, PULLING_NM);
        let turning = activity(state.speed_rad_s, TURNING_RAD_S);
        Losses {
            copper_w: pulling * (self.copper_w * crowding),
            iron_w: turning * self.iron_w,
            magnet_w: turning * self.magnet_w,
            windage_w: turning * self.windage_w,
        }
    }
}

impl EfficiencyLosses {
    /// `P (1/eta - 1)` when driving; the same for the same shaft power when braking.
    fn at<S: Scalar>(&self, state: &MotorState<S>, crowding: f64) -> Losses<S> {
        let shaft_w = magnitude(state.torque_nm * state.speed_rad_s, POWER_ROUNDING_W);
        let mut losses = Losses::from_split(shaft_w * (1.0 / self.efficiency - 1.0), &self.split);
        losses.copper_w *= crowding;
        losses
    }
}

#[cfg(test)]
mod tests;
