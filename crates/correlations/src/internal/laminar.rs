//! Laminar tube flow, developed and developing, in the Graetz number `Gz = Re Pr D/L`.

use crate::{
    Range,
    maths::{power, tanh_over},
};
use numerics::{Scalar, constant, ramp};

/// Reynolds numbers of laminar flow in tubes.
pub const LAMINAR_REYNOLDS: Range = Range::new(0.0, 2300.0);
/// Graetz numbers over which Hausen's formula stays within 2 % of the exact series.
pub const HAUSEN_GRAETZ: Range = Range::new(0.0, 100.0);
/// Prandtl numbers of Sieder and Tate's formula.
pub const SIEDER_TATE_PRANDTL: Range = Range::new(0.48, 16_700.0);
/// Graetz numbers over which [`laminar_developing`] lets the entry term set in.
pub const ENTRY_ONSET: Range = Range::new(0.0, 1.0);

/// Developed laminar flow in a round tube, constant wall temperature: half the square of Graetz' first eigenvalue.
pub const NUSSELT_CONSTANT_TEMPERATURE: f64 = 3.6568;
/// The same as the VDI Heat Atlas rounds it.
pub const VDI_NUSSELT_CONSTANT_TEMPERATURE: f64 = 3.66;
/// Developed laminar flow in a round tube, constant heat flux: exactly 48/11.
pub const NUSSELT_CONSTANT_FLUX: f64 = 48.0 / 11.0;

/// Graetz number `Re Pr D/L`.
#[inline]
pub fn graetz_number<S: Scalar>(reynolds: S, prandtl: S, length_over_diameter: f64) -> S {
    reynolds * prandtl / length_over_diameter
}

/// Mean Nusselt number with thermal entry, constant wall temperature.
///
/// # Formula
/// ```text
/// Nu = 3.66 + 0.0668 Gz/(1 + 0.04 Gz^(2/3))
/// ```
///
/// # Valid range
/// [`LAMINAR_REYNOLDS`]; [`HAUSEN_GRAETZ`] against the exact series (7 % high at `Gz = 400`).
///
/// # Source
/// Hausen 1943, Z. VDI Beih. Verfahrenstechnik 4, 91. Checked by `nusselt_internal.csv`.
pub fn laminar_hausen<S: Scalar>(graetz: S) -> S {
    graetz * 0.0668 / (power(graetz, 2.0 / 3.0) * 0.04 + 1.0) + 3.66
}

/// Mean Nusselt number with thermal entry, constant wall temperature.
///
/// # Formula
/// ```text
/// Nu = (3.66^3 + 0.7^3 + (1.615 Gz^(1/3) - 0.7)^3)^(1/3)
/// ```
/// Rises with infinite slope from rest; [`laminar_developing`] is the form for solvers.
///
/// # Valid range
/// [`LAMINAR_REYNOLDS`], any Graetz number.
///
/// # Uncertainty
/// Within 1 % of the exact series for a parabolic profile.
///
/// # Source
/// VDI Heat Atlas, section G1 (Gnielinski). Checked by `nusselt_internal.csv`, also against the exact series.
pub fn laminar_vdi<S: Scalar>(graetz: S) -> S {
    (entry_term(graetz) + VDI_NUSSELT_CONSTANT_TEMPERATURE.powi(3)).cbrt()
}

/// `0.7^3 + (1.615 Gz^(1/3) - 0.7)^3`, expanded: no cancellation at small Graetz numbers.
fn entry_term<S: Scalar>(graetz: S) -> S {
    let a = power(graetz, 1.0 / 3.0) * 1.615;
    a * ((a - 2.1) * a + 1.47)
}

/// Mean Nusselt number with thermal entry for a duct of any shape and wall condition, smooth down to rest.
///
/// # Shape
/// Tube or duct; the developed value `laminar_nusselt` carries shape and wall condition: 3.66 or 48/11 for a tube,
/// [`duct_laminar`](crate::duct_laminar) for rectangles. Length scale: hydraulic diameter.
///
/// # Formula
/// ```text
/// Nu = (laminar_nusselt^3 + s(Gz) [0.7^3 + (1.615 Gz^(1/3) - 0.7)^3])^(1/3)      s = 3 Gz^2 - 2 Gz^3 below Gz = 1, else 1
/// ```
/// With 3.66 and `Gz >= 1` it is the VDI form [`laminar_vdi`]. `s` is ours: it removes the infinite slope at rest and costs
/// less than 0.5 % of Nu. The entry term is that of the tube at constant wall temperature: low by up to 13 % far upstream
/// in a flat duct, by 17 % at constant flux.
///
/// # Valid range
/// [`LAMINAR_REYNOLDS`], any Graetz number from 0.
///
/// # Source
/// VDI Heat Atlas, section G1. Checked by `nusselt_internal.csv`.
#[inline]
pub fn laminar_developing<S: Scalar>(graetz: S, laminar_nusselt: f64) -> S {
    if graetz.value() <= ENTRY_ONSET.low {
        return constant(laminar_nusselt);
    }
    let onset = ramp(graetz, ENTRY_ONSET.low, ENTRY_ONSET.high);
    (entry_term(graetz) * onset + laminar_nusselt.powi(3)).cbrt()
}

/// Mean Nusselt number with thermal and velocity entry, constant wall temperature.
///
/// # Formula
/// ```text
/// Nu = [ 3.657/tanh(2.264 Gz^(-1/3) + 1.7 Gz^(-2/3)) + 0.0499 Gz tanh(1/Gz) ] / tanh(2.432 (Pr/Gz)^(1/6))
/// ```
///
/// # Valid range
/// [`LAMINAR_REYNOLDS`]; `Pr > 0.1`.
///
/// # Source
/// Baehr & Stephan, Heat and Mass Transfer, section on the entry region of tubes. Checked by `nusselt_internal.csv`.
pub fn laminar_baehr_stephan<S: Scalar>(graetz: S, prandtl: S) -> S {
    let inverse = graetz.recip();
    let third = inverse.cbrt();
    let tanh = |x: S| x * tanh_over(x);
    let thermal = tanh(third * 2.264 + third * third * 1.7).recip() * 3.657;
    let entry = tanh_over(inverse) * 0.0499; // Gz tanh(1/Gz)
    let velocity = tanh((prandtl * inverse).powf(1.0 / 6.0) * 2.432);
    (thermal + entry) / velocity
}

/// Mean Nusselt number far upstream in the entry, with the wall-viscosity correction.
///
/// # Formula
/// ```text
/// Nu = 1.86 Gz^(1/3) (mu_bulk/mu_wall)^0.14
/// ```
///
/// # Valid range
/// [`LAMINAR_REYNOLDS`], [`SIEDER_TATE_PRANDTL`]; short tubes only: `Gz^(1/3) (mu_b/mu_w)^0.14 > 2`. Falls to zero for long ones.
///
/// # Uncertainty
/// Unconfirmed; ±25 % taken.
///
/// # Source
/// Sieder & Tate 1936, Ind. Eng. Chem. 28, 1429. Checked by `nusselt_internal.csv`.
pub fn laminar_sieder_tate<S: Scalar>(graetz: S, viscosity_ratio_bulk_over_wall: S) -> S {
    power(graetz, 1.0 / 3.0) * super::wall_viscosity_factor(viscosity_ratio_bulk_over_wall) * 1.86
}
