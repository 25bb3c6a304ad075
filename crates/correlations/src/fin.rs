//! Fins: efficiency is mean over root excess temperature; one-dimensional conduction, uniform film coefficient.

use crate::{Range, bessel, maths::tanh_over};
use numerics::{Scalar, constant};

/// Tip over root radius for which [`annular_efficiency`] keeps five digits.
pub const RADIUS_RATIO: Range = Range::new(1.01, 100.0);

/// Fin parameter `m = sqrt(2 h/(k t))`, 1/m: film coefficient h W/(m² K), conductivity k W/(m K), thickness t m.
///
/// Both faces wetted, thin fin. Zero where the film coefficient is zero.
#[inline]
pub fn parameter<S: Scalar>(film_coefficient_w_m2k: S, conductivity_w_mk: f64, thickness_m: f64) -> S {
    crate::maths::power(film_coefficient_w_m2k * (2.0 / (conductivity_w_mk * thickness_m)), 0.5)
}

/// Efficiency of a straight fin of constant thickness with an adiabatic tip, `tanh(m L)/(m L)`.
///
/// `m_length` is [`parameter`] times the length (half the distance between two tubes; or the length plus half the thickness, to
/// count heat through the tip: Harper & Brown 1922). 1 at zero, positive always.
///
/// # Source
/// Murray 1938, Gardner 1945. Checked by `fin_efficiency.csv`.
#[inline]
pub fn straight_efficiency<S: Scalar>(m_length: S) -> S {
    tanh_over(m_length)
}

/// Efficiency of an annular fin of constant thickness with an adiabatic tip.
///
/// # Formula
/// ```text
/// eta = 2 r1/[m (r2^2 - r1^2)] [K1(a) I1(b) - I1(a) K1(b)]/[K0(a) I1(b) + I0(a) K1(b)]      a = m r1, b = m r2
/// ```
/// `m_root_radius` is `a`, `radius_ratio` is `r2/r1`. Modified Bessel functions by Abramowitz & Stegun 9.8 (2e-7).
///
/// # Valid range
/// [`RADIUS_RATIO`]. 1 at `m = 0`.
///
/// # Source
/// Gardner 1945; Kern & Kraus 1972. Checked by `fin_efficiency.csv`.
pub fn annular_efficiency<S: Scalar>(m_root_radius: S, radius_ratio: f64) -> S {
    if m_root_radius.value() < 1e-4 {
        return constant(1.0); // 1 - O(m^2), below the accuracy of the Bessel functions
    }
    let (a, b) = (m_root_radius, m_root_radius * radius_ratio);
    let (at_root, at_tip) = (bessel::scaled(a), bessel::scaled(b));
    // scaled functions: the factors exp(b - a) are common to numerator and denominator, exp(-2 (b - a)) is not
    let decay = ((b - a) * -2.0).exp();
    let numerator = at_root.k1 * at_tip.i1 - at_root.i1 * at_tip.k1 * decay;
    let denominator = at_root.k0 * at_tip.i1 + at_root.i0 * at_tip.k1 * decay;
    numerator / denominator / a * (2.0 / (radius_ratio * radius_ratio - 1.0))
}

/// Efficiency of a whole finned surface, `1 - (A_fin/A)(1 - eta_fin)`; `fin_area_share` is the fins' part of the total area.
#[inline]
pub fn overall_efficiency<S: Scalar>(fin_efficiency: S, fin_area_share: f64) -> S {
    -((-fin_efficiency + 1.0) * fin_area_share) + 1.0
}
