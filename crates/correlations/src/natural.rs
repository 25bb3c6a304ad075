//! Natural convection on outside surfaces. Properties at the film temperature, `Ra = g beta |Ts - T| L^3/(nu a)`.
//!
//! Every function takes the Rayleigh number with either sign and is smooth through zero: powers are of
//! `(Ra^2 + 1e-6)^(1/2)`, which changes nothing at `Ra > 1` and keeps derivatives finite where the temperatures meet.

use crate::{
    Range,
    maths::{larger, power, seam},
};
use numerics::Scalar;

/// Rayleigh numbers of the all-range plate formula.
pub const VERTICAL_PLATE_RAYLEIGH: Range = Range::new(0.1, 1e12);
/// Rayleigh numbers of the laminar plate formula.
pub const LAMINAR_PLATE_RAYLEIGH: Range = Range::new(0.1, 1e9);
/// Rayleigh numbers of the horizontal cylinder.
pub const CYLINDER_RAYLEIGH: Range = Range::new(1e-5, 1e12);
/// Rayleigh numbers of a hot plate facing up.
pub const HOT_FACE_UP_RAYLEIGH: Range = Range::new(1e4, 1e11);
/// Rayleigh numbers of a hot plate facing down.
pub const HOT_FACE_DOWN_RAYLEIGH: Range = Range::new(1e5, 1e10);
/// Rayleigh numbers to which McAdams' fourth root for a hot plate facing down stays within its scatter of later forms.
pub const MCADAMS_DOWN_RAYLEIGH: Range = Range::new(1e5, 1e7);
/// Rounding of the corner of [`plate_hot_face_down`], as a share: it lies below both forms by a quarter of this where they are equal.
const DOWN_BLEND: f64 = 0.05;
/// Band in which [`plate_hot_face_up`] passes from the fourth to the third root.
pub const HOT_FACE_UP_BLEND: Range = Range::new(1e7, 2e7);

/// `Ra^exponent`, rounded at zero.
#[inline]
fn root<S: Scalar>(rayleigh: S, exponent: f64) -> S {
    (rayleigh * rayleigh + 1e-6).powf(0.5 * exponent)
}

/// `1 + (reference/Pr)^(9/16)`.
#[inline]
fn prandtl_sum<S: Scalar>(prandtl: S, reference: f64) -> S {
    (prandtl.recip() * reference).powf(9.0 / 16.0) + 1.0
}

/// Mean Nusselt number of a vertical plate or wide cylinder, laminar and turbulent. Length scale: height.
///
/// # Formula
/// ```text
/// Nu = { 0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27) }^2
/// ```
///
/// # Valid range
/// [`VERTICAL_PLATE_RAYLEIGH`], all Prandtl numbers.
///
/// # Uncertainty
/// Unconfirmed; ±20 % taken. Below 1e9 [`vertical_plate_laminar`] is closer.
///
/// # Source
/// Churchill & Chu 1975, Int. J. Heat Mass Transfer 18, 1323, all-range form. Checked by `natural_convection.csv`.
pub fn vertical_plate<S: Scalar>(rayleigh: S, prandtl: S) -> S {
    let rise = root(rayleigh, 1.0 / 6.0) * 0.387 / prandtl_sum(prandtl, 0.492).powf(8.0 / 27.0) + 0.825;
    rise * rise
}

/// Mean Nusselt number of a vertical plate, laminar. Length scale: height.
///
/// # Formula
/// ```text
/// Nu = 0.68 + 0.670 Ra^(1/4) / [1 + (0.492/Pr)^(9/16)]^(4/9)
/// ```
///
/// # Valid range
/// [`LAMINAR_PLATE_RAYLEIGH`], all Prandtl numbers.
///
/// # Source
/// Churchill & Chu 1975, Int. J. Heat Mass Transfer 18, 1323, laminar form. Checked by `natural_convection.csv`.
pub fn vertical_plate_laminar<S: Scalar>(rayleigh: S, prandtl: S) -> S {
    root(rayleigh, 0.25) * 0.670 / prandtl_sum(prandtl, 0.492).powf(4.0 / 9.0) + 0.68
}

/// Mean Nusselt number of a long horizontal cylinder. Length scale: diameter.
///
/// # Formula
/// ```text
/// Nu = { 0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27) }^2
/// ```
///
/// # Valid range
/// [`CYLINDER_RAYLEIGH`], all Prandtl numbers.
///
/// # Uncertainty
/// Three forms lie -16 to +11 % about it; ±16 % taken (authors' figure unconfirmed).
///
/// # Source
/// Churchill & Chu 1975, Int. J. Heat Mass Transfer 18, 1049. Checked by `natural_convection.csv`.
pub fn horizontal_cylinder<S: Scalar>(rayleigh: S, prandtl: S) -> S {
    let rise = root(rayleigh, 1.0 / 6.0) * 0.387 / prandtl_sum(prandtl, 0.559).powf(8.0 / 27.0) + 0.60;
    rise * rise
}

/// Mean Nusselt number of a horizontal plate, hot face up or cold face down. Length scale: area over perimeter.
///
/// # Formula
/// ```text
/// Nu = 0.54 Ra^(1/4)  to 1e7      0.15 Ra^(1/3)  from 1e7
/// ```
/// The two differ by 6 % at 1e7; blended over [`HOT_FACE_UP_BLEND`].
///
/// # Valid range
/// [`HOT_FACE_UP_RAYLEIGH`]; gases and liquids.
///
/// # Uncertainty
/// Three forms lie -18 to +19 % about it at 1e6, -6 to +36 % from 1e8 (authors' figure unconfirmed).
///
/// # Source
/// McAdams 1954; Lloyd & Moran 1974 for the length scale. Checked by `natural_convection.csv`.
pub fn plate_hot_face_up<S: Scalar>(rayleigh: S) -> S {
    seam(
        rayleigh,
        HOT_FACE_UP_BLEND.low,
        HOT_FACE_UP_BLEND.high,
        || root(rayleigh, 0.25) * 0.54,
        || root(rayleigh, 1.0 / 3.0) * 0.15,
    )
}

/// Mean Nusselt number of a horizontal plate, hot face down or cold face up, old form `0.27 Ra^(1/4)`.
///
/// Length scale: area over perimeter. [`MCADAMS_DOWN_RAYLEIGH`]: later forms lie 10 to 12 % lower in air at 1e6, 29 to 37 % at 1e8, 43 to 52 %
/// at 1e10, so it cools too well there; [`plate_hot_face_down`] does not.
///
/// # Source
/// McAdams, as in the library ht 1.2.0; not in the check tables.
pub fn plate_hot_face_down_mcadams<S: Scalar>(rayleigh: S) -> S {
    root(rayleigh, 0.25) * 0.27
}

/// The same by a later handbook, with the thick boundary layer of a small plate.
///
/// # Formula
/// ```text
/// Nu_T = 0.527 Ra^(1/5)/[1 + (1.9/Pr)^(9/10)]^(2/9)      Nu = 2.5/ln(1 + 2.5/Nu_T)
/// ```
///
/// # Source
/// Rohsenow, Hartnett & Cho 1998, Handbook of Heat Transfer, 3rd ed., as in the library ht 1.2.0.
pub fn plate_hot_face_down_later<S: Scalar>(rayleigh: S, prandtl: S) -> S {
    let thin = root(rayleigh, 0.2) * 0.527 / ((prandtl.recip() * 1.9).powf(0.9) + 1.0).powf(2.0 / 9.0);
    ((thin.recip() * 2.5).ln_1p() / 2.5).recip()
}

/// Mean Nusselt number of a horizontal plate, hot face down or cold face up: the lesser of [`plate_hot_face_down_mcadams`] and
/// [`plate_hot_face_down_later`], its corner rounded downwards over 5 %. Never above either.
///
/// Length scale: area over perimeter. [`HOT_FACE_DOWN_RAYLEIGH`]. The VDI Heat Atlas 2010 lies 2 to 18 % above it in air from Ra 1e6 to 1e10.
pub fn plate_hot_face_down<S: Scalar>(rayleigh: S, prandtl: S) -> S {
    let (old, later) = (plate_hot_face_down_mcadams(rayleigh), plate_hot_face_down_later(rayleigh, prandtl));
    larger(old.recip(), later.recip(), DOWN_BLEND).recip()
}

/// Natural and forced convection together, aiding or across: `Nu^3 = Nu_forced^3 + Nu_natural^3`.
///
/// # Source
/// Churchill's blending rule with exponent 3, as in Incropera & DeWitt, chapter on free convection; unconfirmed. Opposing
/// flows subtract and are not covered.
pub fn combined<S: Scalar>(forced: S, natural: S) -> S {
    power(forced * forced * forced + natural * natural * natural, 1.0 / 3.0)
}
