//! Heat transfer across the air gap between a turning rotor and its housing, smooth surfaces, no axial flow.
//!
//! **Mind the length scale**: the Nusselt number is on twice the gap, `h = Nu k/(2 d)` from surface to surface, so that
//! `Nu = 2` is pure conduction `k/d`. Sources that write `h = Nu k/d` double the value.

use crate::{Range, maths::seam};
use numerics::{Scalar, constant};
use std::f64::consts::PI;

/// Taylor numbers covered.
pub const TAYLOR: Range = Range::new(0.0, 1e7);
/// Taylor number below which the gap conducts, as printed.
pub const CRITICAL_TAYLOR: f64 = 1700.0;
/// Gap over rotor radius to which the geometry factor holds within 1 %: radius ratio 0.8.
pub const GEOMETRY_FACTOR_GAP: Range = Range::new(0.0, 0.25);
/// Band in which conduction passes into the vortex regime.
pub const ONSET_BLEND: Range = Range::new(1790.0, 2090.0);
/// Band around the printed change of power law at 1e4.
pub const POWER_LAW_BLEND: Range = Range::new(9e3, 1.1e4);

/// Taylor number `w^2 r_m d^3/nu^2`, with `r_m` the mid-gap radius; without the geometry factor.
///
/// # Source
/// Becker & Kaye 1962, J. Heat Transfer 84, 97. Checked by `rotating_gap_heat.csv`.
pub fn taylor_number<S: Scalar>(
    speed_rad_s: S,
    rotor_radius_m: f64,
    gap_m: f64,
    kinematic_viscosity_m2_s: S,
) -> S {
    let ratio = speed_rad_s / kinematic_viscosity_m2_s;
    ratio * ratio * ((rotor_radius_m + 0.5 * gap_m) * gap_m.powi(3))
}

/// Geometry factor by which the Taylor number is divided for a gap that is not narrow: 0.9955 for a vanishing gap.
///
/// # Formula
/// ```text
/// Fg = pi^4/[1697 P (1 - d/2rm)^2]    P = 0.0571 X + 0.00056/X    X = 1 - 0.652 (d/rm)/(1 - d/2rm)
/// ```
///
/// # Source
/// Becker & Kaye 1962; no text with it was found, so it was checked against the linear stability of the flow between cylinders (own spectral
/// solution; critical Reynolds numbers 185.0, 131.6 and 68.2 at radius ratios 0.95, 0.9 and 0.5): within 1 % to a ratio of 0.8,
/// +2 % at 0.75, +46 % at 0.5: [`GEOMETRY_FACTOR_GAP`]. Checked by `rotating_gap_heat.csv`.
pub fn geometry_factor(rotor_radius_m: f64, gap_m: f64) -> f64 {
    let ratio = gap_m / (rotor_radius_m + 0.5 * gap_m);
    let inner = 1.0 - 0.5 * ratio;
    let x = 1.0 - 0.652 * ratio / inner;
    let p = 0.0571 * x + 0.00056 / x;
    PI.powi(4) / (1697.0 * p * inner * inner)
}

/// Nusselt number on twice the gap.
///
/// # Formula
/// ```text
/// 2                    Ta < 1700
/// 0.128 Ta^0.367       to 1e4
/// 0.409 Ta^0.241       to 1e7
/// ```
/// The printed second line is 1.96 at 1700, below conduction; it crosses 2 at 1790. So 2 is kept to there and blended over
/// [`ONSET_BLEND`] (at most 2 % from print); the second change is blended over [`POWER_LAW_BLEND`] (at most 2 %). Rises throughout.
///
/// # Valid range
/// [`TAYLOR`]; smooth surfaces (slots and magnets raise it), no axial flow.
///
/// # Uncertainty
/// Unconfirmed; ±20 % taken.
///
/// # Source
/// Becker & Kaye 1962, J. Heat Transfer 84, 97-105. Checked by `rotating_gap_heat.csv`.
pub fn nusselt_on_two_delta<S: Scalar>(taylor: S) -> S {
    if taylor.value() < 6e3 {
        seam(taylor, ONSET_BLEND.low, ONSET_BLEND.high, || constant(2.0), || taylor.powf(0.367) * 0.128)
    } else {
        seam(
            taylor,
            POWER_LAW_BLEND.low,
            POWER_LAW_BLEND.high,
            || taylor.powf(0.367) * 0.128,
            || taylor.powf(0.241) * 0.409,
        )
    }
}

/// Surface-to-surface heat transfer coefficient `Nu k/(2 d)`, W/(m² K).
#[inline]
pub fn heat_transfer_coefficient<S: Scalar>(nusselt_on_two_delta: S, conductivity_w_mk: S, gap_m: f64) -> S {
    nusselt_on_two_delta * conductivity_w_mk / (2.0 * gap_m)
}
