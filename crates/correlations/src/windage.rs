//! Friction of rotating cylinders and discs: moment coefficients and powers.
//!
//! Moment coefficients grow without bound at rest; the power functions are zero there and smooth.

use crate::{
    Range,
    maths::{larger, power, seam},
};
use numerics::{Scalar, constant};
use std::f64::consts::PI;

/// Couette Reynolds numbers of the cylinder in a gap (upper end unconfirmed).
pub const COUETTE_REYNOLDS: Range = Range::new(0.0, 1e6);
/// Gap over radius of the cylinder in a gap (unconfirmed).
pub const GAP_OVER_RADIUS: Range = Range::new(0.0, 0.25);
/// Gaps over radius between which [`cylinder_any_gap_times_reynolds`] passes from the exact laminar law to the printed lines: the printed line with
/// vortices is for gaps above 0.07 only.
pub const NARROW_GAP_BLEND: Range = Range::new(0.06, 0.08);
/// Taylor number `Re (d/R)^0.5` at which laminar flow in a narrow gap breaks into vortices: `sqrt(1708)`.
pub const CRITICAL_TAYLOR: f64 = 41.3;
/// Band around the printed change of formula at 64.
pub const LAMINAR_BLEND: Range = Range::new(58.2, 70.4);
/// Band around the printed change of formula at 500.
pub const VORTEX_BLEND: Range = Range::new(455.0, 550.0);
/// Band around the printed change of formula at 1e4.
pub const TURBULENT_BLEND: Range = Range::new(9e3, 1.1e4);

/// Rotational Reynolds number `w R^2/nu` up to which a free disc is laminar.
pub const FREE_DISC_CHANGE: f64 = 3e5;
/// Band around [`FREE_DISC_CHANGE`] in which the disc formulas are blended.
pub const FREE_DISC_BLEND: Range = Range::new(2.4e5, 3.75e5);
/// Rotational Reynolds numbers of the free disc.
pub const FREE_DISC_REYNOLDS: Range = Range::new(1e2, 1e7);
/// Rotational Reynolds numbers of the enclosed disc.
pub const ENCLOSED_DISC_REYNOLDS: Range = Range::new(1e3, 1e7);
/// Axial gap over radius of the enclosed disc.
pub const ENCLOSED_DISC_GAP: Range = Range::new(0.0127, 0.217);
/// The largest of the four regimes is rounded where two of them differ by less than a factor `exp` of this.
pub const REGIME_BLEND: f64 = 0.05;

/// Couette Reynolds number `rho w R d/mu` of a cylinder in a gap `d`.
#[inline]
pub fn couette_reynolds<S: Scalar>(
    speed_rad_s: S,
    radius_m: f64,
    gap_m: f64,
    density_kg_m3: S,
    viscosity_pa_s: S,
) -> S {
    density_kg_m3 * speed_rad_s / viscosity_pa_s * (radius_m * gap_m)
}

/// Moment coefficient of a smooth cylinder turning in a concentric housing, `C_M = T/(0.5 pi rho w^2 R^4 L)`.
///
/// # Formula
/// ```text
/// C_M (d/R)^-0.3 = 10/Re             Re < 64          Re = rho w R d/mu
///                  2 Re^-0.6         to 500
///                  1.03 Re^-0.5      to 1e4
///                  0.065 Re^-0.2     above
/// ```
/// The printed lines step by 6 %, 4 % and 0.03 %; blended over [`LAMINAR_BLEND`], [`VORTEX_BLEND`], [`TURBULENT_BLEND`]. Outside these
/// bands the printed value is returned. A transcription with 10 in place of the 2 exists and is wrong (not continuous).
///
/// # Valid range
/// [`COUETTE_REYNOLDS`], [`GAP_OVER_RADIUS`]; no axial flow. The regime depends on the gap too: below Re 500 the lines are for gaps above 0.07 R
/// only, and in narrow ones they miss the exact laminar torque by -49 to +36 %: [`cylinder_any_gap_times_reynolds`] does not.
///
/// # Uncertainty
/// The authors' figure is unconfirmed, ±20 % taken; slotted or rough surfaces more by a factor of up to 2 to 4.
///
/// # Source
/// Bilgen & Boulos 1973, J. Fluids Eng. 95, 122 (abstract, and two transcriptions). Checked by `rotating_windage.csv`.
pub fn cylinder_in_gap_coefficient<S: Scalar>(couette_reynolds: S, gap_over_radius: f64) -> S {
    cylinder_in_gap_times_reynolds(couette_reynolds, gap_over_radius) / couette_reynolds
}

/// `C_M Re` of [`cylinder_in_gap_coefficient`], finite at rest.
pub fn cylinder_in_gap_times_reynolds<S: Scalar>(couette_reynolds: S, gap_over_radius: f64) -> S {
    let re = couette_reynolds;
    let vortices = || re.powf(0.4) * 2.0;
    let mixed = || re.sqrt() * 1.03;
    let product = if re.value() < 200.0 {
        seam(re, LAMINAR_BLEND.low, LAMINAR_BLEND.high, || constant(10.0), vortices)
    } else if re.value() < 2e3 {
        seam(re, VORTEX_BLEND.low, VORTEX_BLEND.high, vortices, mixed)
    } else {
        seam(re, TURBULENT_BLEND.low, TURBULENT_BLEND.high, mixed, || re.powf(0.8) * 0.065)
    };
    product * gap_over_radius.powf(0.3)
}

/// `C_M Re` of a smooth cylinder in a housing at any gap, finite at rest.
///
/// # Formula
/// ```text
/// laminar      L = 8 (1 + g)^2/(2 + g)                          g = d/R, exact; Ta = Re g^0.5 below 41.3
/// vortices     L [1 + 1.4472 (1 - (41.3/Ta)^2)]                 to Re 500, for g below 0.07
/// above        the printed lines, and never below L
/// ```
/// For gaps above 0.07 R the printed lines rule below Re 500 too, and never below `L`: up to half too high where the flow is still laminar
/// (more heat, less power left). Blended over [`NARROW_GAP_BLEND`] in the gap and [`VORTEX_BLEND`] in Re; the corner at 41.3 is one in the slope of
/// nature, rounded over 2 %.
///
/// # Source
/// Couette's solution; onset and growth of vortices (Taylor 1923, Davey 1962) as a public script after Bilgen & Boulos 1973 has them, which
/// writes `2 + g` for `L/2`: 4 g lower.
pub fn cylinder_any_gap_times_reynolds<S: Scalar>(couette_reynolds: S, gap_over_radius: f64) -> S {
    let (re, g) = (couette_reynolds, gap_over_radius);
    let laminar = 8.0 * (1.0 + g) * (1.0 + g) / (2.0 + g);
    let printed = larger(cylinder_in_gap_times_reynolds(re, g), constant(laminar), REGIME_BLEND);
    let is_wide = numerics::ramp(g, NARROW_GAP_BLEND.low, NARROW_GAP_BLEND.high);
    if is_wide >= 1.0 || re.value() >= VORTEX_BLEND.high {
        return printed;
    }
    let growth = || {
        let beyond = (re * re * (g / (CRITICAL_TAYLOR * CRITICAL_TAYLOR))).recip();
        (-beyond + 1.0) * 1.4472 + 1.0
    };
    let onset = CRITICAL_TAYLOR / g.sqrt();
    let narrow = seam(re, onset, 1.02 * onset, || constant(1.0), growth) * laminar;
    let narrow = seam(re, VORTEX_BLEND.low, VORTEX_BLEND.high, || narrow, || printed);
    numerics::blend(narrow, printed, constant(is_wide))
}

/// Friction power of a smooth cylinder turning in a concentric housing at any gap, W. Relation: [`cylinder_any_gap_times_reynolds`].
pub fn cylinder_any_gap_power<S: Scalar>(
    speed_rad_s: S,
    radius_m: f64,
    gap_m: f64,
    length_m: f64,
    density_kg_m3: S,
    viscosity_pa_s: S,
) -> S {
    let re = couette_reynolds(speed_rad_s, radius_m, gap_m, density_kg_m3, viscosity_pa_s);
    cylinder_any_gap_times_reynolds(re, gap_m / radius_m)
        * viscosity_pa_s
        * speed_rad_s
        * speed_rad_s
        * (0.5 * PI * radius_m.powi(3) * length_m / gap_m)
}

/// Friction power of a smooth cylinder turning in a concentric housing, W: `0.5 C_M pi rho w^3 R^4 L`.
///
/// Written with `C_M Re`, so zero speed gives zero. Relation: [`cylinder_in_gap_coefficient`].
pub fn cylinder_in_gap_power<S: Scalar>(
    speed_rad_s: S,
    radius_m: f64,
    gap_m: f64,
    length_m: f64,
    density_kg_m3: S,
    viscosity_pa_s: S,
) -> S {
    let re = couette_reynolds(speed_rad_s, radius_m, gap_m, density_kg_m3, viscosity_pa_s);
    cylinder_in_gap_times_reynolds(re, gap_m / radius_m)
        * viscosity_pa_s
        * speed_rad_s
        * speed_rad_s
        * (0.5 * PI * radius_m.powi(3) * length_m / gap_m)
}

/// Friction power of laminar flow between concentric cylinders, inner one turning, W. Exact.
///
/// # Formula
/// ```text
/// P = 4 pi mu w^2 L R1^2 R2^2/(R2^2 - R1^2)
/// ```
///
/// # Source
/// Couette's solution. Checked by `rotating_windage.csv`.
pub fn concentric_cylinders_laminar_power<S: Scalar>(
    speed_rad_s: S,
    radius_m: f64,
    gap_m: f64,
    length_m: f64,
    viscosity_pa_s: S,
) -> S {
    let outer = radius_m + gap_m;
    let geometry = (radius_m * outer).powi(2) / (gap_m * (outer + radius_m));
    viscosity_pa_s * speed_rad_s * speed_rad_s * (4.0 * PI * length_m * geometry)
}

/// Rotational Reynolds number `rho w R^2/mu` of a disc.
#[inline]
pub fn rotational_reynolds<S: Scalar>(
    speed_rad_s: S,
    radius_m: f64,
    density_kg_m3: S,
    viscosity_pa_s: S,
) -> S {
    density_kg_m3 * speed_rad_s / viscosity_pa_s * (radius_m * radius_m)
}

/// Moment coefficient of a laminar free disc, both faces, `3.870 Re^-0.5`; `C_M = T/(0.5 rho w^2 R^5)`.
///
/// # Source
/// von Karman 1921, Cochran 1934: `2 pi 0.61592`. Exact for a large disc. Checked by `rotating_windage.csv`.
#[inline]
pub fn free_disc_laminar<S: Scalar>(reynolds: S) -> S {
    reynolds.powf(-0.5) * 3.870
}

/// Moment coefficient of a turbulent free disc, both faces, `0.146 Re^-0.2`.
///
/// # Source
/// von Karman 1921. Checked by `rotating_windage.csv`.
#[inline]
pub fn free_disc_turbulent<S: Scalar>(reynolds: S) -> S {
    reynolds.powf(-0.2) * 0.146
}

/// Moment coefficient of a free disc, both faces, laminar or turbulent; `C_M = T/(0.5 rho w^2 R^5)`.
///
/// # Formula
/// ```text
/// 3.870 Re^-0.5  to 3e5        0.146 Re^-0.2  above        Re = w R^2/nu
/// ```
/// The second is 1.66 times the first at the change-over; a real disc passes gradually as the turbulent rim grows. Blended over
/// [`FREE_DISC_BLEND`], the printed values outside.
///
/// # Valid range
/// [`FREE_DISC_REYNOLDS`].
///
/// # Uncertainty
/// Laminar exact; turbulent unconfirmed, ±10 % to 1e6 and ±20 % at 1e7 taken; up to 60 % at the change-over.
///
/// # Source
/// von Karman 1921, Cochran 1934. Checked by `rotating_windage.csv`.
pub fn free_disc_both_faces<S: Scalar>(reynolds: S) -> S {
    seam(
        reynolds,
        FREE_DISC_BLEND.low,
        FREE_DISC_BLEND.high,
        || free_disc_laminar(reynolds),
        || free_disc_turbulent(reynolds),
    )
}

/// Friction power of a free disc, both faces, W: `0.5 C_M rho w^3 R^5`; zero at rest. Relation: [`free_disc_both_faces`].
pub fn free_disc_power<S: Scalar>(speed_rad_s: S, radius_m: f64, density_kg_m3: S, viscosity_pa_s: S) -> S {
    let re = rotational_reynolds(speed_rad_s, radius_m, density_kg_m3, viscosity_pa_s);
    let times_reynolds = seam(
        re,
        FREE_DISC_BLEND.low,
        FREE_DISC_BLEND.high,
        || power(re, 0.5) * 3.870,
        || re.powf(0.8) * 0.146,
    );
    disc_power(times_reynolds, speed_rad_s, radius_m, viscosity_pa_s)
}

/// `0.5 C_M rho w^3 R^5 = 0.5 (C_M Re) mu w^2 R^3`.
fn disc_power<S: Scalar>(times_reynolds: S, speed_rad_s: S, radius_m: f64, viscosity_pa_s: S) -> S {
    times_reynolds * viscosity_pa_s * speed_rad_s * speed_rad_s * (0.5 * radius_m.powi(3))
}

/// The four regimes of an enclosed disc.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DiscRegime {
    /// I: laminar, boundary layers merged. Exact: Couette flow.
    LaminarMerged,
    /// II: laminar, boundary layers separate.
    LaminarSeparate,
    /// III: turbulent, boundary layers merged.
    TurbulentMerged,
    /// IV: turbulent, boundary layers separate.
    TurbulentSeparate,
}

/// `C_M Re` of one regime of an enclosed disc, both faces; `gap_over_radius` is the axial gap on each side over the radius.
///
/// # Formula
/// ```text
/// C_M = 2 pi/(g Re)  I     3.70 g^0.1 Re^-0.5  II     0.080 g^(-1/6) Re^-0.25  III     0.102 g^0.1 Re^-0.2  IV
/// ```
///
/// # Source
/// Daily & Nece 1960, J. Basic Eng. 82, 217; coefficients as in a public transcription (Poncet et al., arXiv 1305.2882, eq. 38-42), I exact. Checked by `rotating_windage.csv`.
pub fn enclosed_disc_regime_times_reynolds<S: Scalar>(
    regime: DiscRegime,
    reynolds: S,
    gap_over_radius: f64,
) -> S {
    let g = gap_over_radius;
    match regime {
        DiscRegime::LaminarMerged => constant(2.0 * PI / g),
        DiscRegime::LaminarSeparate => power(reynolds, 0.5) * (3.70 * g.powf(0.1)),
        DiscRegime::TurbulentMerged => power(reynolds, 0.75) * (0.080 * g.powf(-1.0 / 6.0)),
        DiscRegime::TurbulentSeparate => power(reynolds, 0.8) * (0.102 * g.powf(0.1)),
    }
}

/// Moment coefficient of a disc in a close housing, both faces; `C_M = T/(0.5 rho w^2 R^5)`.
///
/// # Formula
/// The largest of the four regimes of [`enclosed_disc_regime_times_reynolds`]. Where two of them differ by less than
/// [`REGIME_BLEND`] the corner is rounded, adding at most 1.3 % (2.5 % where three meet); elsewhere it is exactly the largest.
///
/// # Valid range
/// [`ENCLOSED_DISC_REYNOLDS`], [`ENCLOSED_DISC_GAP`].
///
/// # Uncertainty
/// Unconfirmed; ±20 % taken. The choice of regime alone makes 19 %: by the listed border `0.2112 Re^(-3/16)` between III and IV the disc is in IV
/// up to `g = 0.402 Re^(-3/16)`, where III is still the larger; the largest errs towards more heat.
///
/// # Source
/// Daily & Nece 1960, J. Basic Eng. 82, 217. Checked by `rotating_windage.csv`.
pub fn enclosed_disc<S: Scalar>(reynolds: S, gap_over_radius: f64) -> S {
    enclosed_disc_times_reynolds(reynolds, gap_over_radius) / reynolds
}

/// `C_M Re` of [`enclosed_disc`], finite at rest.
pub fn enclosed_disc_times_reynolds<S: Scalar>(reynolds: S, gap_over_radius: f64) -> S {
    let of = |regime| enclosed_disc_regime_times_reynolds(regime, reynolds, gap_over_radius);
    let merged = larger(of(DiscRegime::LaminarMerged), of(DiscRegime::TurbulentMerged), REGIME_BLEND);
    let separate = larger(of(DiscRegime::LaminarSeparate), of(DiscRegime::TurbulentSeparate), REGIME_BLEND);
    larger(merged, separate, REGIME_BLEND)
}

/// Friction power of an enclosed disc, both faces, W; zero at rest. Relation: [`enclosed_disc`].
pub fn enclosed_disc_power<S: Scalar>(
    speed_rad_s: S,
    radius_m: f64,
    gap_m: f64,
    density_kg_m3: S,
    viscosity_pa_s: S,
) -> S {
    let re = rotational_reynolds(speed_rad_s, radius_m, density_kg_m3, viscosity_pa_s);
    disc_power(enclosed_disc_times_reynolds(re, gap_m / radius_m), speed_rad_s, radius_m, viscosity_pa_s)
}
