//! The hottest cell of a group: an allowance on top of the mean temperature.

use numerics::Scalar;

use crate::cell::Cell;
use crate::error::{self, InputError};

/// How the hottest cell of a group differs from the mean one.
///
/// # Formula
/// ```text
/// extra heat = x I^2 R      extra rise, steady = x I^2 R R_th      lag = m c R_th
/// ```
/// `x` excess of the Joule heat; `R_th` thermal resistance from the cell to what cools it, neighbours included.
///
/// **Series and parallel.** In series all cells carry the same current and `x` is the excess of resistance. Side by side they
/// share a voltage drop, and the cell with the *lowest* resistance is the hottest: its heat is `1/(1 - d)` of the mean for a
/// deficit `d`; state `x = d/(1 - d)`.
///
/// The extra rise is proportional to the loss, not a fixed number: it is gone at rest and grows with the square of the
/// current. That a warmer cell has less resistance is left out, which is on the safe side. Spread along the coolant comes from
/// the segments of the cold plate and is not part of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HotCell {
    excess: f64,
    thermal_resistance_k_w: f64,
}

/// What to add to the mean temperature of a group.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HotCellAllowance<S> {
    /// Rise above the mean cell once it has settled (K).
    pub steady_rise_k: S,
    /// Lag with which it settles (s).
    pub lag_s: f64,
}

impl HotCell {
    /// The excess of Joule heat of the hottest cell (0.1 for 10 %; production spread and ageing give 0.05-0.3, common practice,
    /// no source) and its thermal resistance to what cools it (K/W).
    ///
    /// # Errors
    /// [`InputError::Value`] for a negative excess or a thermal resistance that is not positive.
    pub fn new(excess: f64, thermal_resistance_k_w: f64) -> Result<Self, InputError> {
        error::not_negative("excess heat of the hottest cell", excess)?;
        error::positive("thermal resistance of a cell (K/W)", thermal_resistance_k_w)?;
        Ok(Self { excess, thermal_resistance_k_w })
    }

    /// Extra heat of the hottest cell (W) where the mean one has this Joule heat (W). The heat balance of the group already
    /// holds the mean: this one is for the allowance only.
    #[inline]
    pub fn extra_heat_w<S: Scalar>(&self, joule_heat_w: S) -> S {
        joule_heat_w * self.excess
    }

    /// Extra rise, steady, and its lag, from the Joule heat of one mean cell (W).
    #[inline]
    pub fn allowance<S: Scalar>(&self, cell: &Cell, joule_heat_w: S) -> HotCellAllowance<S> {
        HotCellAllowance {
            steady_rise_k: self.extra_heat_w(joule_heat_w) * self.thermal_resistance_k_w,
            lag_s: cell.heat_capacity_j_k() * self.thermal_resistance_k_w,
        }
    }
}

impl<S: Scalar> HotCellAllowance<S> {
    /// Rate (K/s) at which an extra rise follows: `(steady - rise)/lag`.
    #[inline]
    pub fn rate_k_s(&self, extra_rise_k: S) -> S {
        (self.steady_rise_k - extra_rise_k) / self.lag_s
    }
}
