//! Offset strip fins of rectangular section.

use super::{GeometryError, all_positive, tangent_below};
use crate::Range;
use numerics::Scalar;

/// Reynolds numbers on the hydraulic diameter.
pub const REYNOLDS: Range = Range::new(120.0, 1e4);
/// Prandtl numbers; the data are air, liquids are an extension.
pub const PRANDTL: Range = Range::new(0.5, 15.0);
/// Spacing over height of the data (unconfirmed).
pub const ALPHA: Range = Range::new(0.134, 0.997);
/// Thickness over strip length of the data (unconfirmed).
pub const DELTA: Range = Range::new(0.012, 0.048);
/// Thickness over spacing of the data (unconfirmed).
pub const GAMMA: Range = Range::new(0.041, 0.121);

/// An offset strip fin and what follows from its dimensions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Geometry {
    hydraulic_diameter_m: f64,
    alpha: f64,
    delta: f64,
    gamma: f64,
    j_factor: f64,
    j_bracket: f64,
    f_factor: f64,
    f_bracket: f64,
}

impl Geometry {
    /// A fin of clear spacing `s`, clear height `h`, strip length `l` along the flow and thickness `t`, all in m.
    ///
    /// # Errors
    /// [`GeometryError`] names the first dimension that is not positive.
    pub fn new(
        spacing_m: f64,
        height_m: f64,
        strip_length_m: f64,
        thickness_m: f64,
    ) -> Result<Self, GeometryError> {
        all_positive(&[
            ("fin spacing", spacing_m),
            ("fin height", height_m),
            ("strip length", strip_length_m),
            ("fin thickness", thickness_m),
        ])?;
        let (s, h, l, t) = (spacing_m, height_m, strip_length_m, thickness_m);
        let (alpha, delta, gamma) = (s / h, t / l, t / s);
        Ok(Self {
            hydraulic_diameter_m: 4.0 * s * h * l / (2.0 * (s * l + h * l + t * h) + t * s),
            alpha,
            delta,
            gamma,
            j_factor: 0.6522 * alpha.powf(-0.1541) * delta.powf(0.1499) * gamma.powf(-0.0678),
            j_bracket: 5.269e-5 * alpha.powf(0.504) * delta.powf(0.456) * gamma.powf(-1.055),
            f_factor: 9.6243 * alpha.powf(-0.1856) * delta.powf(0.3053) * gamma.powf(-0.2659),
            f_bracket: 7.669e-8 * alpha.powf(0.920) * delta.powf(3.767) * gamma.powf(0.236),
        })
    }

    /// Hydraulic diameter, m: the length scale of the Reynolds number.
    pub fn hydraulic_diameter_m(&self) -> f64 {
        self.hydraulic_diameter_m
    }

    /// Spacing over height, thickness over strip length, thickness over spacing.
    pub fn ratios(&self) -> (f64, f64, f64) {
        (self.alpha, self.delta, self.gamma)
    }

    /// Whether the three ratios lie inside the data base.
    pub fn in_range(&self) -> bool {
        ALPHA.contains(self.alpha) && DELTA.contains(self.delta) && GAMMA.contains(self.gamma)
    }
}

/// Colburn factor of an offset strip fin.
///
/// # Formula
/// ```text
/// j = 0.6522 Re^-0.5403 alpha^-0.1541 delta^0.1499 gamma^-0.0678
///     [1 + 5.269e-5 Re^1.340 alpha^0.504 delta^0.456 gamma^-1.055]^0.1
/// ```
/// `alpha = s/h`, `delta = t/l`, `gamma = t/s`; smooth through the transition by construction.
///
/// # Valid range
/// [`REYNOLDS`], [`PRANDTL`], [`ALPHA`], [`DELTA`], [`GAMMA`]. Below the Reynolds range: see [`colburn_j_times_reynolds`].
///
/// # Uncertainty
/// About ±20 %.
///
/// # Source
/// Manglik & Bergles 1995, Exp. Thermal Fluid Sci. 10, 171-180. Checked by `compact_offset_strip.csv`.
#[inline]
pub fn colburn_j<S: Scalar>(reynolds: S, geometry: &Geometry) -> S {
    colburn_j_times_reynolds(reynolds, geometry) / reynolds
}

/// `j Re`, finite at rest: tangent of the published curve below the Reynolds range. Range and source as [`colburn_j`].
#[inline]
pub fn colburn_j_times_reynolds<S: Scalar>(reynolds: S, geometry: &Geometry) -> S {
    if reynolds.value() >= REYNOLDS.low {
        return reynolds.powf(1.0 - 0.5403)
            * ((reynolds.powf(1.340) * geometry.j_bracket) + 1.0).powf(0.1)
            * geometry.j_factor;
    }
    let low = REYNOLDS.low;
    let turbulent = low.powf(1.340) * geometry.j_bracket;
    let at_low = low.powf(1.0 - 0.5403) * (1.0 + turbulent).powf(0.1) * geometry.j_factor;
    let exponent = 1.0 - 0.5403 + 0.1340 * turbulent / (1.0 + turbulent);
    tangent_below(reynolds, low, at_low, exponent)
}

/// Fanning friction factor of an offset strip fin.
///
/// # Formula
/// ```text
/// f = 9.6243 Re^-0.7422 alpha^-0.1856 delta^0.3053 gamma^-0.2659
///     [1 + 7.669e-8 Re^4.429 alpha^0.920 delta^3.767 gamma^0.236]^0.1
/// ```
///
/// # Valid range
/// [`REYNOLDS`], [`ALPHA`], [`DELTA`], [`GAMMA`]. Below the Reynolds range: see [`fanning_f_times_reynolds`].
///
/// # Uncertainty
/// About ±20 %.
///
/// # Source
/// Manglik & Bergles 1995, Exp. Thermal Fluid Sci. 10, 171-180. Checked by `compact_offset_strip.csv`.
#[inline]
pub fn fanning_f<S: Scalar>(reynolds: S, geometry: &Geometry) -> S {
    fanning_f_times_reynolds(reynolds, geometry) / reynolds
}

/// `f Re`, finite at rest: tangent of the published curve below the Reynolds range. Range and source as [`fanning_f`].
#[inline]
pub fn fanning_f_times_reynolds<S: Scalar>(reynolds: S, geometry: &Geometry) -> S {
    if reynolds.value() >= REYNOLDS.low {
        return reynolds.powf(1.0 - 0.7422)
            * ((reynolds.powf(4.429) * geometry.f_bracket) + 1.0).powf(0.1)
            * geometry.f_factor;
    }
    let low = REYNOLDS.low;
    let turbulent = low.powf(4.429) * geometry.f_bracket;
    let at_low = low.powf(1.0 - 0.7422) * (1.0 + turbulent).powf(0.1) * geometry.f_factor;
    let exponent = 1.0 - 0.7422 + 0.4429 * turbulent / (1.0 + turbulent);
    tangent_below(reynolds, low, at_low, exponent)
}
