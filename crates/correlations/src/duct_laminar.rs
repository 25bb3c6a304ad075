//! Fully developed laminar flow in ducts: Fanning `f Re` and Nusselt numbers on the hydraulic diameter.
//!
//! `h1`: heat flux constant along the duct, wall temperature uniform around it. `t`: one wall temperature throughout.
//! A cooling plate of metal lies between the two, nearer to `h1`.

mod exact;

pub use exact::{
    rectangle_fanning_f_re as exact_fanning_f_re, rectangle_nusselt_h1 as exact_nusselt_h1,
    rectangle_nusselt_t as exact_nusselt_t,
};

use crate::Range;

/// Short over long side of a rectangle: 0 is a pair of parallel plates, 1 a square.
pub const ASPECT: Range = Range::new(0.0, 1.0);

/// Circle: Fanning `f Re`, Nusselt H1, Nusselt T. Exact (the last to the digits given).
pub const CIRCLE: DuctConstants =
    DuctConstants { fanning_f_re: 16.0, nusselt_h1: 48.0 / 11.0, nusselt_t: 3.6568 };

/// Equilateral triangle: 40/3 and 28/9 are exact, 2.4953 is an own solution (by Galerkin's method in the tests, and by finite elements);
/// older tables have 2.47, 1 % lower.
pub const EQUILATERAL_TRIANGLE: DuctConstants =
    DuctConstants { fanning_f_re: 40.0 / 3.0, nusselt_h1: 28.0 / 9.0, nusselt_t: 2.4953 };

/// Parallel plates: 24, 140/17, 7.5407.
pub const PARALLEL_PLATES: DuctConstants =
    DuctConstants { fanning_f_re: 24.0, nusselt_h1: 140.0 / 17.0, nusselt_t: 7.5407 };

/// The three constants of developed laminar flow in a duct of one shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DuctConstants {
    /// Fanning friction factor times Reynolds number; the Darcy product is four times this.
    pub fanning_f_re: f64,
    /// Nusselt number at constant flux along, uniform temperature around.
    pub nusselt_h1: f64,
    /// Nusselt number at uniform wall temperature.
    pub nusselt_t: f64,
}

/// The constants of a rectangle by the published fits.
pub fn rectangle(aspect: f64) -> DuctConstants {
    DuctConstants {
        fanning_f_re: fanning_f_re(aspect),
        nusselt_h1: nusselt_h1(aspect),
        nusselt_t: nusselt_t(aspect),
    }
}

/// Fanning friction factor times Reynolds number of a rectangular duct.
///
/// # Formula
/// ```text
/// f Re = 24 (1 - 1.3553 a + 1.9467 a^2 - 1.7012 a^3 + 0.9564 a^4 - 0.2537 a^5)      a = short side/long side
/// ```
///
/// # Valid range
/// [`ASPECT`]; laminar, developed.
///
/// # Uncertainty
/// Within 0.08 % of the exact solution.
///
/// # Source
/// Shah & London 1978, Laminar Flow Forced Convection in Ducts. Checked by `duct_laminar.csv`.
pub fn fanning_f_re(aspect: f64) -> f64 {
    24.0 * polynomial(aspect, [1.0, -1.3553, 1.9467, -1.7012, 0.9564, -0.2537])
}

/// Nusselt number H1 of a rectangular duct.
///
/// # Formula
/// ```text
/// Nu = 8.235 (1 - 2.0421 a + 3.0853 a^2 - 2.4765 a^3 + 1.0578 a^4 - 0.1861 a^5)
/// ```
///
/// # Valid range
/// [`ASPECT`]; laminar, developed.
///
/// # Uncertainty
/// Within 0.08 % of the exact solution.
///
/// # Source
/// Shah & London 1978, Laminar Flow Forced Convection in Ducts. Checked by `duct_laminar.csv`.
pub fn nusselt_h1(aspect: f64) -> f64 {
    8.235 * polynomial(aspect, [1.0, -2.0421, 3.0853, -2.4765, 1.0578, -0.1861])
}

/// Nusselt number T of a rectangular duct.
///
/// # Formula
/// ```text
/// Nu = 7.541 (1 - 2.610 a + 4.970 a^2 - 5.119 a^3 + 2.702 a^4 - 0.548 a^5)
/// ```
///
/// # Valid range
/// [`ASPECT`]; laminar, developed.
///
/// # Uncertainty
/// Within 0.3 % of the exact solution (worst near 0.75).
///
/// # Source
/// Shah & London 1978, Laminar Flow Forced Convection in Ducts. Checked by `duct_laminar.csv`.
pub fn nusselt_t(aspect: f64) -> f64 {
    7.541 * polynomial(aspect, [1.0, -2.610, 4.970, -5.119, 2.702, -0.548])
}

fn polynomial(x: f64, coefficients: [f64; 6]) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}
