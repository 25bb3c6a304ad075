//! The torque constant, which falls as the magnets warm up.

use crate::error;
use crate::error::InputError;
use crate::smooth::above_floor;
use numerics::Scalar;

/// Below this share of its reference value the magnet flux is not followed further down: only a solver on its way passes there.
pub(super) const FLUX_FLOOR: f64 = 0.2;

/// Torque per phase current of one winding set, falling as the magnets get hot.
///
/// ```text
/// k_t(T) = k_t0 (1 + b (T - T0))
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueConstant {
    /// Torque per root-mean-square phase current in one winding set, at the reference temperature (N m/A). A
    /// machine with two sets gives twice this for the same current in both.
    pub nm_per_a_rms: f64,
    /// Reference magnet temperature (K).
    pub reference_magnet_k: f64,
    /// Relative change per kelvin of magnet temperature (1/K): -0.0010 to -0.0012 for NdFeB (vendor tables),
    /// about -0.0003 to -0.0005 for SmCo (from memory).
    pub magnet_coefficient_per_k: f64,
}

impl TorqueConstant {
    /// Checks the numbers.
    ///
    /// # Errors
    /// [`InputError::Value`] names the first one that is not physical.
    pub fn check(&self) -> Result<(), InputError> {
        error::positive("torque constant (N m/A)", self.nm_per_a_rms)?;
        error::positive("reference magnet temperature (K)", self.reference_magnet_k)?;
        let coefficient = self.magnet_coefficient_per_k;
        if (-0.01..=0.0).contains(&coefficient) {
            Ok(())
        } else {
            let what = "temperature coefficient of the magnets (1/K)";
            Err(InputError::Value { what, value: coefficient, rule: "between -0.01 and 0" })
        }
    }

    /// Magnet flux over its value at the reference temperature.
    #[inline]
    pub fn flux_factor<S: Scalar>(&self, magnet_k: S) -> S {
        (magnet_k - self.reference_magnet_k) * self.magnet_coefficient_per_k + 1.0
    }

    /// Torque constant at a magnet temperature (N m/A).
    #[inline]
    pub fn at<S: Scalar>(&self, magnet_k: S) -> S {
        above_floor(self.flux_factor(magnet_k), FLUX_FLOOR) * self.nm_per_a_rms
    }
}
