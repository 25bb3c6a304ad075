//! Air sides of compact cores. Friction factors here are **Fanning** (Darcy = 4 x Fanning).
//!
//! `j = Nu/(Re Pr^(1/3))`, so the film coefficient is `h = j G cp Pr^(-2/3)` with `G` the mass flux through the smallest
//! free-flow area; `dp = 4 f (L/D_h) G^2/(2 rho)` for the core itself.
//!
//! Both `j` and `f` grow without bound at rest. The `..._times_reynolds` forms stay finite: below the fitted range they continue
//! along the tangent at its lower end. That continuation is ours and is an extrapolation; value and slope are continuous.

pub mod louver;
pub mod offset_strip;

use numerics::Scalar;
use thiserror::Error;

/// Why dimensions do not describe a core.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum GeometryError {
    /// A dimension is zero, negative or not a number.
    #[error("the {dimension} must be positive, {value} given")]
    NotPositive {
        /// Which dimension.
        dimension: &'static str,
        /// Its value in its own unit.
        value: f64,
    },
    /// Two dimensions contradict each other.
    #[error("the {smaller} ({smaller_value} m) must be less than the {larger} ({larger_value} m)")]
    NotLess {
        /// The dimension that must be smaller.
        smaller: &'static str,
        /// Its value.
        smaller_value: f64,
        /// The dimension that must be larger.
        larger: &'static str,
        /// Its value.
        larger_value: f64,
    },
    /// The fin is too thin for its pitch: a logarithm of the friction relation would leave its domain.
    #[error("fin thickness over fin pitch is {ratio}; the louver friction relation needs more than {least}")]
    TooThin {
        /// Thickness over pitch.
        ratio: f64,
        /// Smallest ratio for which the relation is defined.
        least: f64,
    },
}

/// The first dimension that is not positive, as an error.
fn all_positive(dimensions: &[(&'static str, f64)]) -> Result<(), GeometryError> {
    match dimensions.iter().find(|(_, value)| !(*value > 0.0 && value.is_finite())) {
        Some(&(dimension, value)) => Err(GeometryError::NotPositive { dimension, value }),
        None => Ok(()),
    }
}

/// `at_low` scaled along the tangent of a power law with the given exponent: used below the fitted range.
fn tangent_below<S: Scalar>(reynolds: S, low: f64, at_low: f64, exponent: f64) -> S {
    (reynolds * (exponent / low) + (1.0 - exponent)) * at_low
}
