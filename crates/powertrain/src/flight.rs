//! Shaft power that flight asks for: rotors by momentum theory, wings by their drag and a propeller.
//!
//! Equations, sources and what is left out: `docs/theory/flight.md`. Plain `f64`: airspeed, climb and weight are given by
//! the mission, not solved for. Every function is continuous in them.
//!
//! **Where the power is taken.** [`Rotor::power`] is the power at the main-rotor mast and the tail-rotor shaft,
//! [`Wing::power`] that at the propeller flange. Loss of a gearbox (2-4 %) and accessories (1-3 %; both common practice, no
//! source) come on top: [`crate::gearbox`] and the bus loads book them, so they must not be added to these numbers as well.
//!
//! Estimates for sizing: certification wants the power measured in flight.

mod momentum;
mod propeller;
mod rotor;
mod rotor_data;
mod rotor_power;
mod wing;
mod wing_data;
mod wing_power;

#[cfg(test)]
mod tests;

use std::fmt;

pub use momentum::{
    GROUND_FADE, GROUND_LOWEST, disc_area_m2, ground_power_factor, ground_power_factor_by_thrust,
    ground_share, ground_thrust_ratio, hover_share, induced_climb_m_s, induced_hover_m_s, induced_m_s,
    vertical_climb_m_s,
};
pub use propeller::{CruisePoint, DiscPropeller, Propeller};
pub use rotor::Rotor;
pub use rotor_data::{HoverLoss, RotorData, RotorFlight};
pub use rotor_power::RotorPower;
pub use wing::Wing;
pub use wing_data::{DragLaw, Tow, WingData, WingFlight};
pub use wing_power::WingPower;

/// A step on the way to a power, to be printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// What it is.
    pub quantity: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit; `-` for none.
    pub unit: &'static str,
    /// How it was obtained.
    pub by: &'static str,
}

impl Step {
    const fn new(quantity: &'static str, value: f64, unit: &'static str, by: &'static str) -> Self {
        Self { quantity, value, unit, by }
    }
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({}) = {}", self.quantity, self.by, self.value)?;
        if self.unit == "-" { Ok(()) } else { write!(f, " {}", self.unit) }
    }
}

/// What a reader of a power must know before using it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flag {
    /// The rotor is nearer to the ground than the ground-effect relation holds; its effect is held.
    GroundTooNear,
    /// The advance ratio is above that of the profile-power relation.
    AdvanceRatio,
    /// The blades are loaded beyond the usual onset of stall.
    BladeLoading,
    /// The stated figure of merit is better than blades of the stated drag allow.
    HoverFormsDisagree,
    /// A slow or steep descent, where momentum theory does not hold: no power is credited for what cannot be relied on.
    SlowDescent,
    /// The descent asks for less than the least power; autorotation is not modelled.
    LeastPower,
    /// The lift coefficient is above its maximum: the wing cannot carry the weight at this speed.
    Stall,
    /// The lift coefficient lies outside the measured polar, which is held at its end.
    PolarHeld,
    /// The descent gives more power than the drag takes: no shaft power, and the surplus goes into speed or brakes.
    Glide,
}

impl Flag {
    const ALL: [Self; 9] = [
        Self::GroundTooNear,
        Self::AdvanceRatio,
        Self::BladeLoading,
        Self::HoverFormsDisagree,
        Self::SlowDescent,
        Self::LeastPower,
        Self::Stall,
        Self::PolarHeld,
        Self::Glide,
    ];

    const fn bit(self) -> u16 {
        1 << self as u16
    }

    /// What it means, in a sentence without a full stop.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::GroundTooNear => {
                "the rotor is lower than half its radius: the ground-effect relation is held there"
            }
            Self::AdvanceRatio => "the advance ratio is above 0.5: profile power is extrapolated",
            Self::BladeLoading => {
                "the blade loading is above 0.12: blade stall is near, profile power too low"
            }
            Self::HoverFormsDisagree => {
                "the figure of merit is better than the stated blade drag allows: check both"
            }
            Self::SlowDescent => {
                "slow or steep descent: momentum theory does not hold (vortex-ring state), no full credit is taken for it"
            }
            Self::LeastPower => {
                "the descent asks for less than the least power; autorotation is not modelled"
            }
            Self::Stall => "the lift coefficient is above its maximum: the wing cannot carry the weight",
            Self::PolarHeld => "the lift coefficient is outside the measured polar, which is held at its end",
            Self::Glide => "the descent gives more power than the drag takes: glide without shaft power",
        }
    }
}

impl fmt::Display for Flag {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.meaning())
    }
}

/// A set of [`Flag`]s.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Flags(u16);

impl Flags {
    /// Adds a flag where something holds.
    fn raise(&mut self, flag: Flag, holds: bool) {
        if holds {
            self.0 |= flag.bit();
        }
    }

    /// Whether a flag is raised.
    pub const fn contains(self, flag: Flag) -> bool {
        self.0 & flag.bit() != 0
    }

    /// Whether none is raised.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The flags that are raised.
    pub fn iter(self) -> impl Iterator<Item = Flag> {
        Flag::ALL.into_iter().filter(move |flag| self.contains(*flag))
    }
}
