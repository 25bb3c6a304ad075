//! Forced convection on the outside of plates and cylinders. Properties at the film temperature.

use crate::{
    Range,
    maths::{power, seam},
};
use numerics::Scalar;

/// Reynolds numbers of the laminar plate with a smooth leading edge in calm air.
pub const LAMINAR_PLATE_REYNOLDS: Range = Range::new(1e2, 5e5);
/// Reynolds numbers of the plate that is laminar up to 5e5.
pub const MIXED_PLATE_REYNOLDS: Range = Range::new(5e5, 1e8);
/// Reynolds numbers of the fully turbulent (tripped) plate.
pub const TURBULENT_PLATE_REYNOLDS: Range = Range::new(5e5, 1e7);
/// Reynolds numbers of the VDI form.
pub const VDI_PLATE_REYNOLDS: Range = Range::new(10.0, 1e7);
/// Prandtl numbers of the plate formulas.
pub const PLATE_PRANDTL: Range = Range::new(0.6, 60.0);
/// Prandtl numbers of Churchill and Ozoe's laminar plate.
pub const CHURCHILL_OZOE_PRANDTL: Range = Range::new(1e-3, 1e4);
/// Reynolds numbers of the cylinder in crossflow.
pub const CYLINDER_REYNOLDS: Range = Range::new(1.0, 1e7);
/// Prandtl numbers of the cylinder in crossflow; the product `Re Pr` must exceed 0.2.
pub const CYLINDER_PRANDTL: Range = Range::new(1e-2, 1e3);

/// Reynolds number at which the plate formulas take the boundary layer to turn turbulent.
pub const CRITICAL_REYNOLDS: f64 = 5e5;
/// Band in which [`flat_plate_mean`] passes from the laminar to the mixed formula.
pub const PLATE_BLEND: Range = Range::new(5e5, 6e5);

/// Mean Nusselt number of a flat plate: laminar, then turbulent from `Re = 5e5` on.
///
/// # Shape
/// Plate along the flow, smooth leading edge, low free-stream turbulence. Length scale: length in the flow direction.
///
/// # Formula
/// ```text
/// Re < 5e5    0.664 Re^(1/2) Pr^(1/3)
/// Re > 6e5    (0.037 Re^0.8 - 871) Pr^(1/3)
/// ```
/// blended over [`PLATE_BLEND`], inside which it lies below the second formula by up to 8 %. A surface in a propeller's wake or behind
/// a rough edge is turbulent from the start and transfers more: [`flat_plate_vdi`].
///
/// # Valid range
/// Reynolds number to 1e8, [`PLATE_PRANDTL`]. Zero at rest: add natural convection.
///
/// # Uncertainty
/// Laminar exact for a boundary layer, turbulent three forms within 12 %: ±25 % taken (unconfirmed).
///
/// # Source
/// Pohlhausen 1921; Incropera & DeWitt, chapter on external flow. Checked by `external_forced.csv`.
pub fn flat_plate_mean<S: Scalar>(reynolds: S, prandtl: S) -> S {
    seam(
        reynolds,
        PLATE_BLEND.low,
        PLATE_BLEND.high,
        || flat_plate_laminar(reynolds, prandtl),
        || flat_plate_mixed(reynolds, prandtl, CRITICAL_REYNOLDS),
    )
}

/// Mean Nusselt number of the laminar plate, `0.664 Re^(1/2) Pr^(1/3)`. [`LAMINAR_PLATE_REYNOLDS`], `Pr > 0.6`.
///
/// # Source
/// Pohlhausen 1921. Checked by `external_forced.csv`.
#[inline]
pub fn flat_plate_laminar<S: Scalar>(reynolds: S, prandtl: S) -> S {
    power(reynolds, 0.5) * prandtl.cbrt() * 0.664
}

/// Local Nusselt number of the laminar plate, `0.332 Re^(1/2) Pr^(1/3)`. Range and source as [`flat_plate_laminar`].
#[inline]
pub fn flat_plate_laminar_local<S: Scalar>(reynolds: S, prandtl: S) -> S {
    power(reynolds, 0.5) * prandtl.cbrt() * 0.332
}

/// Mean Nusselt number of the laminar plate for all Prandtl numbers.
///
/// # Formula
/// ```text
/// Nu = 0.6774 Re^(1/2) Pr^(1/3) / [1 + (0.0468/Pr)^(2/3)]^(1/4)
/// ```
///
/// # Valid range
/// [`LAMINAR_PLATE_REYNOLDS`], [`CHURCHILL_OZOE_PRANDTL`]; about 2 % of the exact solution.
///
/// # Source
/// Churchill & Ozoe 1973, J. Heat Transfer 95, 416. Checked by `external_forced.csv`.
pub fn flat_plate_churchill_ozoe<S: Scalar>(reynolds: S, prandtl: S) -> S {
    let prandtl_part = ((prandtl.recip() * 0.0468).powf(2.0 / 3.0) + 1.0).powf(-0.25);
    power(reynolds, 0.5) * prandtl.cbrt() * prandtl_part * 0.6774
}

/// Mean Nusselt number of a plate that is laminar to `critical_reynolds` and turbulent after it.
///
/// # Formula
/// ```text
/// Nu = (0.037 Re^0.8 - a) Pr^(1/3)      a = 871 (0.037 Rec^0.8 - 0.664 Rec^0.5)/(0.037 5e5^0.8 - 0.664 5e5^0.5)
/// ```
/// The constant is the printed 871 at `Rec = 5e5` and scales as the matching of the two layers demands elsewhere.
///
/// # Valid range
/// [`MIXED_PLATE_REYNOLDS`], [`PLATE_PRANDTL`]; only above `critical_reynolds`.
///
/// # Source
/// Incropera & DeWitt, chapter on external flow. Checked by `external_forced.csv`.
pub fn flat_plate_mixed<S: Scalar>(reynolds: S, prandtl: S, critical_reynolds: f64) -> S {
    let deficit = |re: f64| 0.037 * re.powf(0.8) - 0.664 * re.sqrt();
    let a = 871.0 * deficit(critical_reynolds) / deficit(CRITICAL_REYNOLDS);
    (power(reynolds, 0.8) * 0.037 - a) * prandtl.cbrt()
}

/// Mean Nusselt number of a plate turbulent from its edge, `0.037 Re^0.8 Pr^(1/3)`.
///
/// [`TURBULENT_PLATE_REYNOLDS`], [`PLATE_PRANDTL`]. Source as [`flat_plate_mixed`].
#[inline]
pub fn flat_plate_turbulent<S: Scalar>(reynolds: S, prandtl: S) -> S {
    power(reynolds, 0.8) * prandtl.cbrt() * 0.037
}

/// Mean Nusselt number of a plate turbulent from its edge, in the form of Petukhov and Popov.
///
/// # Formula
/// ```text
/// Nu = 0.037 Re^0.8 Pr / [1 + 2.443 Re^-0.1 (Pr^(2/3) - 1)]
/// ```
/// `Re^-0.1` is taken at `(Re^2 + 10^2)^(1/2)`: no pole below the range; a change of 5e-8 at 1e4.
///
/// # Valid range
/// [`TURBULENT_PLATE_REYNOLDS`], Prandtl number 0.6 to 2000.
///
/// # Source
/// Schlichting; Petukhov & Popov 1963; VDI Heat Atlas G4. Checked by `external_forced.csv`.
pub fn flat_plate_schlichting<S: Scalar>(reynolds: S, prandtl: S) -> S {
    let third = prandtl.cbrt();
    let slow = (reynolds * reynolds + VDI_PLATE_REYNOLDS.low * VDI_PLATE_REYNOLDS.low).powf(-0.05);
    power(reynolds, 0.8) * prandtl * 0.037 / (slow * (third * third - 1.0) * 2.443 + 1.0)
}

/// Mean Nusselt number of a plate in the disturbed flow of practice, laminar and turbulent in one.
///
/// # Formula
/// ```text
/// Nu = sqrt(Nu_laminar^2 + Nu_turbulent^2)      flat_plate_laminar, flat_plate_schlichting
/// ```
///
/// # Valid range
/// [`VDI_PLATE_REYNOLDS`], Prandtl number 0.6 to 2000.
///
/// # Source
/// Gnielinski 1975; VDI Heat Atlas, section G4. Checked by `external_forced.csv`.
pub fn flat_plate_vdi<S: Scalar>(reynolds: S, prandtl: S) -> S {
    let laminar = flat_plate_laminar(reynolds, prandtl);
    let turbulent = flat_plate_schlichting(reynolds, prandtl);
    power(laminar * laminar + turbulent * turbulent, 0.5)
}

/// Mean Nusselt number of a cylinder in crossflow, in one smooth formula.
///
/// # Shape
/// Long cylinder across a uniform stream. Length scale: diameter.
///
/// # Formula
/// ```text
/// Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3) [1 + (0.4/Pr)^(2/3)]^(-1/4) [1 + (Re/282000)^(5/8)]^(4/5)
/// ```
///
/// # Valid range
/// [`CYLINDER_REYNOLDS`], [`CYLINDER_PRANDTL`], `Re Pr > 0.2`. 0.3 at rest.
///
/// # Uncertainty
/// One-sided: seven other forms lie -10 to +17 % about it at Re 1e3, +7 to +36 % at 1e4, -6 to +39 % at 1e5; a lower bound above `Re Pr = 0.4`.
///
/// # Source
/// Churchill & Bernstein 1977, J. Heat Transfer 99, 300. Checked by `external_forced.csv`.
pub fn cylinder<S: Scalar>(reynolds: S, prandtl: S) -> S {
    let prandtl_part = ((prandtl.recip() * 0.4).powf(2.0 / 3.0) + 1.0).powf(-0.25);
    let wake = (power(reynolds / 282_000.0, 0.625) + 1.0).powf(0.8);
    power(reynolds, 0.5) * prandtl.cbrt() * prandtl_part * wake * 0.62 + 0.3
}
