//! The other published set for tubes: how far it lies from what the walls use.

use super::{
    LAMINAR_END_BLEND, graetz_number, laminar_developing, nusselt_developing_laminar_turbulent, turbulent_vdi,
};
use crate::{Range, maths::larger};
use numerics::{Scalar, blend, constant, ramp};

/// Reynolds numbers between which the Heat Atlas interpolates.
pub const HEAT_ATLAS_TRANSITION: Range = Range::new(2300.0, 1e4);
/// Band in which the turbulent form takes over from the line of the Heat Atlas; the corner rounded here is ours.
pub const HEAT_ATLAS_BLEND: Range = Range::new(9600.0, 1e4);
/// Rounding of the lesser and the greater of two published values, as a share: the lesser errs low, the greater high, by a quarter of it.
const ENDS_BLEND: f64 = 0.03;

/// The line of the Heat Atlas as published, without rounded corners, for a smooth tube: 2300 to 1e4 only.
///
/// # Source
/// VDI Heat Atlas 2010, section G1 (Gnielinski). Checked by `nusselt_internal.csv`.
pub fn heat_atlas_transition_linear(reynolds: f64, prandtl: f64, length_over_diameter: f64) -> f64 {
    let (low, high) = (HEAT_ATLAS_TRANSITION.low, HEAT_ATLAS_TRANSITION.high);
    let laminar = super::laminar_vdi(graetz_number(low, prandtl, length_over_diameter));
    let turbulent = turbulent_vdi(high, prandtl, length_over_diameter, 0.0);
    blend(laminar, turbulent, (reynolds - low) / (high - low))
}

/// Mean Nusselt number in all regimes as the Heat Atlas has it: arguments and laminar part of [`nusselt_developing_laminar_turbulent`], then
/// a line to 1e4, then [`turbulent_vdi`]. Its corners are rounded over [`LAMINAR_END_BLEND`] and [`HEAT_ATLAS_BLEND`].
///
/// # Source
/// VDI Heat Atlas 2010, section G1 (Gnielinski). Checked by `nusselt_internal.csv`.
pub fn heat_atlas<S: Scalar>(
    reynolds: S,
    prandtl: S,
    length_over_diameter: f64,
    relative_roughness: f64,
    laminar_nusselt: f64,
) -> S {
    let laminar =
        |re: S| laminar_developing(graetz_number(re, prandtl, length_over_diameter), laminar_nusselt);
    let turbulent = |re: S| turbulent_vdi(re, prandtl, length_over_diameter, relative_roughness);
    let (low, high) = (HEAT_ATLAS_TRANSITION.low, HEAT_ATLAS_TRANSITION.high);
    if reynolds.value() <= low {
        return laminar(reynolds);
    }
    if reynolds.value() >= high {
        return turbulent(reynolds);
    }
    let line = blend(laminar(constant(low)), turbulent(constant(high)), (reynolds - low) / (high - low));
    if reynolds.value() < LAMINAR_END_BLEND.high {
        blend(laminar(reynolds), line, ramp(reynolds, LAMINAR_END_BLEND.low, LAMINAR_END_BLEND.high))
    } else if reynolds.value() > HEAT_ATLAS_BLEND.low {
        blend(line, turbulent(reynolds), ramp(reynolds, HEAT_ATLAS_BLEND.low, HEAT_ATLAS_BLEND.high))
    } else {
        line
    }
}

/// [`heat_atlas`] over [`nusselt_developing_laminar_turbulent`]: the published spread at a wall. 1 in laminar flow, about 0.8 at 4000, 1.11 at
/// 1e4, towards 1 far above.
pub fn heat_atlas_ratio<S: Scalar>(
    reynolds: S,
    prandtl: S,
    length_over_diameter: f64,
    relative_roughness: f64,
    laminar_nusselt: f64,
) -> S {
    if reynolds.value() <= HEAT_ATLAS_TRANSITION.low {
        return constant(1.0);
    }
    heat_atlas(reynolds, prandtl, length_over_diameter, relative_roughness, laminar_nusselt)
        / nusselt_developing_laminar_turbulent(
            reynolds,
            prandtl,
            length_over_diameter,
            relative_roughness,
            laminar_nusselt,
        )
}

/// Factor on the film of a wall at a place between what is published: 1 at 0, the worst end at 1, the best end at -1, carried on beyond both
/// by the same ratio.
///
/// The worst end is the lesser of both published sets times the factor of a cold wall; the best end the greater of both sets.
/// `heat_atlas_ratio` is that of the wall; `wall_factor` is [`wall_prandtl_factor`](super::wall_prandtl_factor), which counts only below 1.
pub fn published_factor<S: Scalar>(place: f64, heat_atlas_ratio: S, wall_factor: S) -> S {
    if place > 0.0 {
        let lesser = larger(heat_atlas_ratio.recip(), constant(1.0), ENDS_BLEND).recip();
        let cold = larger(wall_factor.recip(), constant(1.0), ENDS_BLEND).recip();
        (lesser * cold).powf(place)
    } else if place < 0.0 {
        larger(heat_atlas_ratio, constant(1.0), ENDS_BLEND).powf(-place)
    } else {
        constant(1.0)
    }
}
