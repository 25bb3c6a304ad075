//! One smooth function from rest to fully turbulent: the form the solver uses.

use super::{graetz_number, laminar_developing, turbulent_gnielinski_2013};
use crate::Range;
use numerics::{Scalar, blend, constant, ramp};

/// Reynolds numbers between which Gnielinski interpolates.
pub const TRANSITION_REYNOLDS: Range = Range::new(2300.0, 4000.0);
/// Band in which the interpolation line takes over from the laminar value.
pub const LAMINAR_END_BLEND: Range = Range::new(2300.0, 2500.0);
/// Band in which the turbulent value takes over from the interpolation line.
pub const TURBULENT_START_BLEND: Range = Range::new(3800.0, 4000.0);

/// Mean Nusselt number in all regimes: laminar with thermal entry, transition, turbulent with entry, smooth or rough.
///
/// # Shape
/// Tube or duct on its hydraulic diameter; `laminar_nusselt` is the developed laminar value of the shape (tube 3.66).
///
/// # Formula
/// ```text
/// Re < 2300           laminar_developing
/// 2300 to 4000        linear in Re between laminar at 2300 and turbulent_gnielinski_2013 at 4000
/// Re > 4000           turbulent_gnielinski_2013
/// ```
/// The two corners are rounded inside the transition, over [`LAMINAR_END_BLEND`] and [`TURBULENT_START_BLEND`]; outside these bands
/// the published values are returned unchanged. Inside them the result is below the line by up to 25 % of its rise over 200 in Re (2 to 15 % of Nu)
/// at the laminar end, and above it by up to 1.7 % at the turbulent end. It rises throughout.
///
/// # Valid range
/// Reynolds number 0 to 1e6, Prandtl number 0.6 to 1000, `L/D >= 1`. At rest it is `laminar_nusselt` with slope zero.
/// No wall-viscosity correction.
///
/// # Uncertainty
/// Laminar ±10 %, turbulent ±20 % to Re 1e4 and ±10 % above (unconfirmed); in the transition ±30 % or more: entrance shape and vibration
/// decide (unconfirmed). The other published set, [`heat_atlas`](super::heat_atlas), lies 20 % lower at 4000 and 11 % higher at 1e4.
///
/// # Source
/// Gnielinski 2013, Int. J. Heat Mass Transfer 63, 134-140, corrigendum 81 (2015), 638; laminar part VDI Heat Atlas, section G1.
/// Checked by `nusselt_internal.csv`.
pub fn nusselt_developing_laminar_turbulent<S: Scalar>(
    reynolds: S,
    prandtl: S,
    length_over_diameter: f64,
    relative_roughness: f64,
    laminar_nusselt: f64,
) -> S {
    let laminar =
        |re: S| laminar_developing(graetz_number(re, prandtl, length_over_diameter), laminar_nusselt);
    let turbulent = |re: S| turbulent_gnielinski_2013(re, prandtl, length_over_diameter, relative_roughness);
    if reynolds.value() <= TRANSITION_REYNOLDS.low {
        return laminar(reynolds);
    }
    if reynolds.value() >= TRANSITION_REYNOLDS.high {
        return turbulent(reynolds);
    }
    let line = blend(
        laminar(constant(TRANSITION_REYNOLDS.low)),
        turbulent(constant(TRANSITION_REYNOLDS.high)),
        (reynolds - TRANSITION_REYNOLDS.low) / (TRANSITION_REYNOLDS.high - TRANSITION_REYNOLDS.low),
    );
    if reynolds.value() < LAMINAR_END_BLEND.high {
        blend(laminar(reynolds), line, ramp(reynolds, LAMINAR_END_BLEND.low, LAMINAR_END_BLEND.high))
    } else if reynolds.value() > TURBULENT_START_BLEND.low {
        let weight = ramp(reynolds, TURBULENT_START_BLEND.low, TURBULENT_START_BLEND.high);
        blend(line, turbulent(reynolds), weight)
    } else {
        line
    }
}

/// Gnielinski's interpolation as published, without rounded corners, for a smooth tube: 2300 to 4000 only.
///
/// # Source
/// Gnielinski 2013, Int. J. Heat Mass Transfer 63, 134-140: the limits 2300 and 4000 in its abstract, the form at 4000 in transcriptions.
/// Checked by `nusselt_internal.csv`.
pub fn nusselt_transition_linear(reynolds: f64, prandtl: f64, length_over_diameter: f64) -> f64 {
    let (low, high) = (TRANSITION_REYNOLDS.low, TRANSITION_REYNOLDS.high);
    let laminar = super::laminar_vdi(graetz_number(low, prandtl, length_over_diameter));
    let turbulent = turbulent_gnielinski_2013(high, prandtl, length_over_diameter, 0.0);
    blend(laminar, turbulent, (reynolds - low) / (high - low))
}
