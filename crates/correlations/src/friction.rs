//! Darcy friction factor of pipes and ducts (four times the Fanning factor).
//!
//! Pressure drop of a straight run: `dp = f (L/D) rho u^2/2`, `Re = rho u D/mu`, `D` the (hydraulic) diameter, `u`
//! the mean velocity. Written with `f Re` the drop is `f Re mu u L/(2 D^2)`, which stays finite at rest.

use crate::{Range, maths::seam};
use numerics::{Scalar, constant};

/// Reynolds numbers for which [`darcy_churchill`] is meant.
pub const CHURCHILL_REYNOLDS: Range = Range::new(0.0, 1e8);
/// Reynolds numbers of Colebrook and White's and of Haaland's equation.
pub const COLEBROOK_REYNOLDS: Range = Range::new(4e3, 1e8);
/// Relative roughness for which the turbulent equations hold.
pub const RELATIVE_ROUGHNESS: Range = Range::new(0.0, 0.05);
/// Reynolds numbers of laminar pipe flow.
pub const LAMINAR_REYNOLDS: Range = Range::new(0.0, 2300.0);
/// Reynolds numbers of Petukhov's smooth-tube friction.
pub const PETUKHOV_REYNOLDS: Range = Range::new(3e3, 5e6);
/// Reynolds numbers of Blasius' smooth-tube friction.
pub const BLASIUS_REYNOLDS: Range = Range::new(4e3, 1e5);
/// Band in which [`darcy_laminar_colebrook`] passes from laminar to turbulent.
pub const BRIDGE_REYNOLDS: Range = Range::new(2000.0, 4000.0);

/// Product `f Re` of laminar flow in a round tube.
pub const LAMINAR_TUBE: f64 = 64.0;

/// Below this Reynolds number `f Re` is its laminar limit to the last bit.
const AT_REST: f64 = 1e-3;

/// Darcy friction factor in all regimes: laminar, transition, turbulent, smooth or rough.
///
/// # Shape
/// Straight tube, fully developed flow. Length scale: inside diameter.
///
/// # Formula
/// ```text
/// f = 8 [ (8/Re)^12 + (A + B)^-1.5 ]^(1/12)          one equation, continuous with all derivatives
/// A = { 2.457 ln[ 1/((7/Re)^0.9 + 0.27 e/D) ] }^16     B = (37530/Re)^16
/// ```
///
/// # Valid range
/// [`CHURCHILL_REYNOLDS`], [`RELATIVE_ROUGHNESS`]. Grows without bound at `Re = 0`: use [`darcy_times_reynolds`] there.
///
/// # Uncertainty
/// Within about 3 % of Colebrook's equation above `Re = 4000`; the transition, roughly 2000 to 4000, is not repeatable in
/// nature and no formula is better than some tens of per cent there.
///
/// # Source
/// Churchill 1977, Chem. Eng. 84(24), 91-92. Checked by `friction_factor.csv`.
#[inline]
pub fn darcy_churchill<S: Scalar>(reynolds: S, relative_roughness: f64) -> S {
    darcy_times_reynolds(reynolds, relative_roughness, LAMINAR_TUBE) / reynolds
}

/// Darcy friction factor times Reynolds number in all regimes, finite at rest.
///
/// # Shape
/// Tube (`laminar_f_re` = 64) or duct (`laminar_f_re` = 4 times the Fanning product of
/// [`duct_laminar::fanning_f_re`](crate::duct_laminar::fanning_f_re)). Length scale: hydraulic diameter.
///
/// # Formula
/// ```text
/// f Re = 8 [ (laminar_f_re/8)^12 + Re^12 (A + B)^-1.5 ]^(1/12)     A, B as in darcy_churchill
/// ```
/// With 64 this is Churchill's equation times `Re`. The laminar constant of another shape is our extension; the turbulent
/// part of a non-circular duct then rests on the hydraulic diameter alone (about ±10 %, more for sharp corners).
///
/// # Valid range
/// [`CHURCHILL_REYNOLDS`], [`RELATIVE_ROUGHNESS`]; magnitude of the Reynolds number, the sign is the caller's. At or below
/// zero it is `laminar_f_re` with slope zero.
///
/// # Uncertainty
/// As [`darcy_churchill`].
///
/// # Source
/// Churchill 1977, Chem. Eng. 84(24), 91-92. Checked by `friction_factor.csv`.
#[inline]
pub fn darcy_times_reynolds<S: Scalar>(reynolds: S, relative_roughness: f64, laminar_f_re: f64) -> S {
    if reynolds.value() < AT_REST {
        return constant(laminar_f_re);
    }
    let argument = (reynolds.recip() * 7.0).powf(0.9) + 0.27 * relative_roughness;
    let a = (argument.ln() * -2.457).powi(16);
    // (A + B)^-1.5 with B = r^-16, multiplied through by r^24 so that nothing overflows at small Re
    let r16 = (reynolds / 37530.0).powi(16);
    let inverse_sum = r16 / (a * r16 + 1.0);
    let turbulent = reynolds.powi(12) * inverse_sum * inverse_sum.sqrt();
    (turbulent + (laminar_f_re / 8.0).powi(12)).sqrt().sqrt().cbrt() * 8.0
}

/// Laminar Darcy friction factor of a round tube, `64/Re`.
///
/// # Valid range
/// [`LAMINAR_REYNOLDS`]; exact for developed flow of constant viscosity.
///
/// # Source
/// Hagen 1839, Poiseuille 1840. Checked by `friction_factor.csv`.
#[inline]
pub fn darcy_laminar<S: Scalar>(reynolds: S) -> S {
    reynolds.recip() * LAMINAR_TUBE
}

/// Turbulent Darcy friction factor, smooth or rough: the implicit reference equation, solved exactly.
///
/// # Formula
/// ```text
/// 1/sqrt f = -2 log10( (e/D)/3.7 + 2.51/(Re sqrt f) )
/// ```
/// Newton's method in plain numbers; one further step in `S` gives the derivative at the root.
///
/// # Valid range
/// [`COLEBROOK_REYNOLDS`], [`RELATIVE_ROUGHNESS`]; finite for every `Re > 0`.
///
/// # Uncertainty
/// ±10 to 15 % against commercial pipe, mostly from the roughness.
///
/// # Source
/// Colebrook 1939, J. Inst. Civ. Eng. 11, 133. Checked by `friction_factor.csv`.
pub fn darcy_colebrook<S: Scalar>(reynolds: S, relative_roughness: f64) -> S {
    let rough = relative_roughness / 3.7;
    let slope = 2.51 / reynolds.value();
    // the start only has to be positive: the function is rising and concave, so the steps come from below
    let mut x = (-1.8 * (rough.powf(1.11) + 6.9 / reynolds.value()).log10()).max(0.1);
    for _ in 0..8 {
        let inside = rough + slope * x;
        let residual = x + 2.0 * inside.log10();
        let rise = 1.0 + 2.0 * std::f64::consts::LOG10_E * slope / inside;
        x = (x - residual / rise).max(0.1 * x);
    }
    let rise = 1.0 + 2.0 * std::f64::consts::LOG10_E * slope / (rough + slope * x);
    let residual = (reynolds.recip() * (2.51 * x) + rough).log10() * 2.0 + x;
    let inverse_root = -residual / rise + x;
    (inverse_root * inverse_root).recip()
}

/// Turbulent Darcy friction factor, smooth or rough, explicit.
///
/// # Formula
/// ```text
/// 1/sqrt f = -1.8 log10( ((e/D)/3.7)^1.11 + 6.9/Re )
/// ```
///
/// # Valid range
/// [`COLEBROOK_REYNOLDS`], [`RELATIVE_ROUGHNESS`]; singular at `Re = 6.9`, far below it.
///
/// # Uncertainty
/// Within 2 % of Colebrook's equation.
///
/// # Source
/// Haaland 1983, J. Fluids Eng. 105, 89-90. Checked by `friction_factor.csv`.
#[inline]
pub fn darcy_haaland<S: Scalar>(reynolds: S, relative_roughness: f64) -> S {
    let inside = reynolds.recip() * 6.9 + (relative_roughness / 3.7).powf(1.11);
    (inside.log10() * -1.8).powi(-2)
}

/// Turbulent Darcy friction factor of a smooth tube, `(0.790 ln Re - 1.64)^-2`.
///
/// # Valid range
/// [`PETUKHOV_REYNOLDS`]; singular at `Re = 8`, far below it.
///
/// # Uncertainty
/// Within 2 % of the smooth-pipe law.
///
/// # Source
/// Petukhov 1970, Adv. Heat Transfer 6, 503. Checked by `friction_factor.csv`.
#[inline]
pub fn darcy_petukhov<S: Scalar>(reynolds: S) -> S {
    (reynolds.ln() * 0.790 - 1.64).powi(-2)
}

/// Turbulent Darcy friction factor of a smooth tube, `0.3164 Re^-0.25`.
///
/// # Valid range
/// [`BLASIUS_REYNOLDS`].
///
/// # Source
/// Blasius 1913, Forschungsheft VDI 131. Checked by `friction_factor.csv`.
#[inline]
pub fn darcy_blasius<S: Scalar>(reynolds: S) -> S {
    reynolds.powf(-0.25) * 0.3164
}

/// Laminar `64/Re` up to 2000, Colebrook's equation from 4000 on, blended over [`BRIDGE_REYNOLDS`].
///
/// The two ends are the published equations; the bridge is ours and as uncertain as the transition itself. For solvers
/// prefer [`darcy_times_reynolds`]: one formula, finite at rest.
///
/// # Source
/// Ends as [`darcy_laminar`] and [`darcy_colebrook`]. Checked by `pipe_pressure_drop.csv`.
pub fn darcy_laminar_colebrook<S: Scalar>(reynolds: S, relative_roughness: f64) -> S {
    seam(
        reynolds,
        BRIDGE_REYNOLDS.low,
        BRIDGE_REYNOLDS.high,
        || darcy_laminar(reynolds),
        || darcy_colebrook(reynolds, relative_roughness),
    )
}
