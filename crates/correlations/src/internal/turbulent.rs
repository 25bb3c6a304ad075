//! Turbulent tube flow.

use crate::Range;
use numerics::Scalar;

/// Reynolds numbers of Gnielinski's equation.
pub const GNIELINSKI_REYNOLDS: Range = Range::new(3e3, 5e6);
/// Prandtl numbers of Gnielinski's equation.
pub const GNIELINSKI_PRANDTL: Range = Range::new(0.5, 2000.0);
/// Reynolds numbers of the Dittus-Boelter equation.
pub const DITTUS_BOELTER_REYNOLDS: Range = Range::new(1e4, 1e6);
/// Prandtl numbers of the Dittus-Boelter equation.
pub const DITTUS_BOELTER_PRANDTL: Range = Range::new(0.6, 160.0);
/// Reynolds numbers of the turbulent form of Gnielinski 2013.
pub const GNIELINSKI_2013_REYNOLDS: Range = Range::new(4e3, 1e6);
/// Reynolds numbers of the VDI Heat Atlas form: below, the atlas has a line of its own.
pub const VDI_TURBULENT_REYNOLDS: Range = Range::new(1e4, 1e6);
/// Prandtl numbers of the VDI Heat Atlas form, and of Gnielinski 2013.
pub const VDI_TURBULENT_PRANDTL: Range = Range::new(0.6, 1000.0);

/// Nusselt number of developed turbulent tube flow with a given Darcy friction factor.
///
/// # Formula
/// ```text
/// Nu = (f/8)(Re - 1000) Pr / (1 + 12.7 sqrt(f/8) (Pr^(2/3) - 1))
/// ```
/// `f` from [`darcy_petukhov`](crate::friction::darcy_petukhov) for a smooth tube. With the friction of a rough one it tends to
/// overstate the gain at high Prandtl numbers.
///
/// # Valid range
/// [`GNIELINSKI_REYNOLDS`], [`GNIELINSKI_PRANDTL`]. Falls to zero at `Re = 1000`: use
/// [`nusselt_developing_laminar_turbulent`](super::nusselt_developing_laminar_turbulent) where the regime may change.
///
/// # Uncertainty
/// The authors' own figure is unconfirmed. Other published smooth-tube forms lie -16 to +14 % about it at Re 1e4, -2 to +1 % at 1e5, and
/// +6 to +28 % at 4000 (compared through an open library): ±20 % is taken below 1e4, ±10 % above.
///
/// # Source
/// Gnielinski 1976, Int. Chem. Eng. 16, 359-368. Checked by `nusselt_internal.csv`.
#[inline]
pub fn gnielinski<S: Scalar>(reynolds: S, prandtl: S, darcy: S) -> S {
    let eighth = darcy / 8.0;
    eighth * (reynolds - 1000.0) * prandtl / friction_analogy(eighth, prandtl)
}

/// `1 + 12.7 sqrt(f/8) (Pr^(2/3) - 1)`.
#[inline]
fn friction_analogy<S: Scalar>(eighth: S, prandtl: S) -> S {
    let third = prandtl.cbrt();
    eighth.sqrt() * (third * third - 1.0) * 12.7 + 1.0
}

/// Dittus-Boelter equation for a fluid being heated, `0.023 Re^0.8 Pr^0.4`.
///
/// # Valid range
/// [`DITTUS_BOELTER_REYNOLDS`], [`DITTUS_BOELTER_PRANDTL`], `L/D > 10`, small wall-to-bulk differences.
///
/// # Uncertainty
/// ±25 %; [`gnielinski`] is better throughout.
///
/// # Source
/// Dittus & Boelter 1930 in the form of McAdams. Checked by `nusselt_internal.csv`.
#[inline]
pub fn dittus_boelter_heating<S: Scalar>(reynolds: S, prandtl: S) -> S {
    reynolds.powf(0.8) * prandtl.powf(0.4) * 0.023
}

/// Dittus-Boelter equation for a fluid being cooled, `0.023 Re^0.8 Pr^0.3`. Range, scatter and source as
/// [`dittus_boelter_heating`].
#[inline]
pub fn dittus_boelter_cooling<S: Scalar>(reynolds: S, prandtl: S) -> S {
    reynolds.powf(0.8) * prandtl.powf(0.3) * 0.023
}

/// Turbulent Darcy friction as the VDI form wants it: Konakov's `(1.8 log10 Re - 1.5)^-2` for a smooth wall.
///
/// # Formula
/// ```text
/// 1/sqrt f = -1.8 log10( ((e/D)/3.7)^1.11 + 10^(1.5/1.8)/Re )
/// ```
/// Haaland's equation with its 6.9 replaced by 6.813, so that a smooth wall gives Konakov's equation exactly (a change
/// of 0.7 % of f; the combination is ours).
///
/// # Source
/// Konakov 1946 (VDI Heat Atlas G1); Haaland 1983, J. Fluids Eng. 105, 89-90.
#[inline]
pub fn darcy_konakov_rough<S: Scalar>(reynolds: S, relative_roughness: f64) -> S {
    let inside = reynolds.recip() * 6.812_920_690_579_613 + (relative_roughness / 3.7).powf(1.11);
    (inside.log10() * -1.8).powi(-2)
}

/// `1 + (D/L)^(2/3)`: the mean over the length with its thermal entry over the developed value.
#[inline]
fn entry_factor(length_over_diameter: f64) -> f64 {
    1.0 + length_over_diameter.powf(-2.0 / 3.0)
}

/// Mean Nusselt number of turbulent tube flow with thermal entry, smooth or rough, as Gnielinski gave it last: what every wetted wall uses
/// above `Re = 4000`.
///
/// # Formula
/// ```text
/// Nu = (f/8)(Re - 1000) Pr / (1 + 12.7 sqrt(f/8) (Pr^(2/3) - 1)) [1 + (D/L)^(2/3)]      f = (1.8 log10 Re - 1.5)^-2
/// ```
/// `f` from [`darcy_konakov_rough`].
///
/// # Valid range
/// [`GNIELINSKI_2013_REYNOLDS`], [`VDI_TURBULENT_PRANDTL`], `D/L <= 1`.
///
/// # Uncertainty
/// The authors' figure is unconfirmed; other published forms lie +6 to +28 % about it at Re 4000, within 16 % at 1e4, 2 % at 1e5.
/// [`turbulent_vdi`], the other published set, is `Re/(Re - 1000)` times this: +11 % at 1e4. Roughness is our addition.
///
/// # Source
/// Gnielinski 2013, Int. J. Heat Mass Transfer 63, 134-140, corrigendum 81 (2015), 638 (read in transcriptions; the page itself was
/// not seen). Checked by `nusselt_internal.csv`.
#[inline]
pub fn turbulent_gnielinski_2013<S: Scalar>(
    reynolds: S,
    prandtl: S,
    length_over_diameter: f64,
    relative_roughness: f64,
) -> S {
    let darcy = darcy_konakov_rough(reynolds, relative_roughness);
    gnielinski(reynolds, prandtl, darcy) * entry_factor(length_over_diameter)
}

/// Mean Nusselt number of turbulent tube flow with thermal entry, smooth or rough, as the Heat Atlas prints it: published spread beside
/// [`turbulent_gnielinski_2013`], no law of a wall.
///
/// # Formula
/// ```text
/// Nu = (f/8) Re Pr / (1 + 12.7 sqrt(f/8) (Pr^(2/3) - 1)) [1 + (D/L)^(2/3)]
/// ```
/// `f` from [`darcy_konakov_rough`].
///
/// # Valid range
/// [`VDI_TURBULENT_REYNOLDS`], [`VDI_TURBULENT_PRANDTL`], `D/L <= 1`.
///
/// # Uncertainty
/// ±10 % for smooth tubes above Re 2e4 (unconfirmed); roughness is our addition.
///
/// # Source
/// VDI Heat Atlas 2002, p. Ga 5, eq. 26; 2010, section G1 (Gnielinski). Checked by `nusselt_internal.csv`.
#[inline]
pub fn turbulent_vdi<S: Scalar>(
    reynolds: S,
    prandtl: S,
    length_over_diameter: f64,
    relative_roughness: f64,
) -> S {
    let eighth = darcy_konakov_rough(reynolds, relative_roughness) / 8.0;
    eighth * reynolds * prandtl / friction_analogy(eighth, prandtl) * entry_factor(length_over_diameter)
}

/// Factor `(mu_bulk/mu_wall)^0.14` on a Nusselt number for viscosity that varies across the tube.
///
/// # Valid range
/// Ratio 0.0044 to 9.75.
///
/// # Source
/// Sieder & Tate 1936, Ind. Eng. Chem. 28, 1429.
#[inline]
pub fn wall_viscosity_factor<S: Scalar>(viscosity_ratio_bulk_over_wall: S) -> S {
    viscosity_ratio_bulk_over_wall.powf(0.14)
}

/// Factor `(Pr_bulk/Pr_wall)^0.11` on a Nusselt number of a liquid for properties that vary across the tube. Below 1 where the wall is
/// colder than the liquid: a cooled oil. It is told, and enters the worst end of the published spread; no film is raised by it.
///
/// # Source
/// Gnielinski 2013, Int. J. Heat Mass Transfer 63, 134-140; VDI Heat Atlas, section G1 (exponent 0.11; range of the ratio unconfirmed).
#[inline]
pub fn wall_prandtl_factor<S: Scalar>(prandtl_bulk: S, prandtl_wall: S) -> S {
    (prandtl_bulk / prandtl_wall).powf(0.11)
}
