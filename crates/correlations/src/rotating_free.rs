//! Cylinders and discs turning in still, open air. Buoyancy is neglected: near rest combine with
//! [`natural::combined`](crate::natural::combined).

use crate::{
    Range,
    maths::{power, seam},
    windage::FREE_DISC_BLEND,
};
use numerics::{Scalar, hold};

/// Reynolds numbers `w D^2/(2 nu)` of the rotating cylinder (unconfirmed).
pub const CYLINDER_REYNOLDS: Range = Range::new(1e3, 1e5);
/// Reynolds numbers `w R^2/nu` of the laminar disc.
pub const LAMINAR_DISC_REYNOLDS: Range = Range::new(1e2, 2.4e5);
/// Reynolds numbers `w R^2/nu` of the turbulent disc.
pub const TURBULENT_DISC_REYNOLDS: Range = Range::new(3e5, 1e7);
/// Prandtl numbers over which the exact laminar disc was fitted; held outside.
pub const DISC_PRANDTL: Range = Range::new(0.5, 1000.0);

/// Nusselt number on the diameter of a horizontal cylinder turning in still fluid.
///
/// # Formula
/// ```text
/// Nu_D = 0.133 Re_D^(2/3) Pr^(1/3)      Re_D = w D^2/(2 nu)
/// ```
///
/// # Valid range
/// [`CYLINDER_REYNOLDS`]. Zero at rest.
///
/// # Uncertainty
/// Unconfirmed; 19 % above [`cylinder_anderson_saunders`] in air, so ±25 % taken.
///
/// # Source
/// Becker 1963, Int. J. Heat Mass Transfer 6, 1053. Checked by `rotating_free_convection.csv`.
pub fn cylinder<S: Scalar>(reynolds: S, prandtl: S) -> S {
    power(reynolds, 2.0 / 3.0) * prandtl.cbrt() * 0.133
}

/// Nusselt number on the diameter of a cylinder turning in still air, `0.10 Re_D^(2/3)`. Air only.
///
/// # Source
/// Anderson & Saunders 1953, Proc. R. Soc. A 217, 555 (the paper is known, its constant is unconfirmed). Checked by `rotating_free_convection.csv`.
pub fn cylinder_anderson_saunders<S: Scalar>(reynolds: S) -> S {
    power(reynolds, 2.0 / 3.0) * 0.10
}

/// Nusselt number on the radius of an isothermal laminar disc, local and mean alike, `K(Pr) Re_R^0.5`.
///
/// # Formula
/// ```text
/// 1/K = integral over 0..inf of exp( Pr integral of H ) d eta      H the axial velocity of von Karman's disc
/// ```
/// `ln K` by a polynomial of degree 6 in `ln Pr` through an own numerical solution, within 3e-4.
///
/// # Valid range
/// [`LAMINAR_DISC_REYNOLDS`], [`DISC_PRANDTL`] (held outside).
///
/// # Source
/// Similarity solution of von Karman 1921 with the energy equation (Wagner 1948, Millsaps & Pohlhausen 1952). Checked by
/// `rotating_free_convection.csv`.
pub fn disc_laminar<S: Scalar>(reynolds: S, prandtl: S) -> S {
    const LN_K: [f64; 7] =
        [-0.9257255, 0.5485771, -0.05946953, 0.0111127, -0.00132105, 8.725335e-05, -2.382864e-06];
    let x = hold(prandtl, DISC_PRANDTL.low, DISC_PRANDTL.high).ln();
    let ln_k = LN_K.iter().rev().fold(x * 0.0, |sum, &c| sum * x + c);
    ln_k.exp() * power(reynolds, 0.5)
}

/// Local Nusselt number on the radius of an isothermal turbulent disc, `0.0197 2.6^0.2 Pr^0.6 Re_r^0.8`.
///
/// # Valid range
/// [`TURBULENT_DISC_REYNOLDS`]; gases.
///
/// # Source
/// Dorfman 1963, Hydrodynamic Resistance and the Heat Loss of Rotating Solids (text not seen; the constant agrees within 0.03 % with the analogy
/// to von Karman's friction at Pr 1, the power of Pr is unconfirmed). Checked by `rotating_free_convection.csv`.
pub fn disc_turbulent_local<S: Scalar>(reynolds: S, prandtl: S) -> S {
    power(reynolds, 0.8) * prandtl.powf(0.6) * (0.0197 * 2.6_f64.powf(0.2))
}

/// Mean of [`disc_turbulent_local`] over a disc turbulent from its centre: 2/2.6 of the value at the rim.
pub fn disc_turbulent<S: Scalar>(reynolds: S, prandtl: S) -> S {
    disc_turbulent_local(reynolds, prandtl) * (2.0 / 2.6)
}

/// Mean Nusselt number on the radius of an isothermal disc, laminar or turbulent.
///
/// [`disc_laminar`] below and [`disc_turbulent`] above the change-over at 3e5, where the second is twice the first; blended over
/// the band of the disc friction, [`FREE_DISC_BLEND`], because the same boundary layer carries both.
///
/// # Uncertainty
/// Laminar exact, turbulent ±25 % taken (unconfirmed), a factor of 2 at the change-over.
///
/// # Source
/// Of the two parts.
pub fn disc<S: Scalar>(reynolds: S, prandtl: S) -> S {
    seam(
        reynolds,
        FREE_DISC_BLEND.low,
        FREE_DISC_BLEND.high,
        || disc_laminar(reynolds, prandtl),
        || disc_turbulent(reynolds, prandtl),
    )
}
