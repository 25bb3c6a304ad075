//! Oils: ASTM D341 viscosity, expansion of lubricants, specific heat and conductivity by Cragoe.

use crate::MediaError;
use numerics::{Scalar, blend, ramp};
use std::f64::consts::LN_10;

/// Temperature of the usual first viscosity of a data sheet, 40 degC.
pub const WARM_ANCHOR_K: f64 = 313.15;
/// Temperature of the usual second viscosity of a data sheet, 100 degC.
pub const HOT_ANCHOR_K: f64 = 373.15;
/// From here down the cold pair rules alone, 0 degC; up to [`WARM_ANCHOR_K`] the two pairs are blended.
pub const COLD_BRANCH_K: f64 = 273.15;

/// A kinematic viscosity at a temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Anchor {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Kinematic viscosity, mm2/s.
    pub viscosity_mm2_s: f64,
}

/// The straight line of ASTM D341 through two anchors.
///
/// # Formula
/// ```text
/// log10 log10 Z = A - B log10 T
/// Z = nu + 0.7 + exp(-1.47 - 1.84 nu - 0.51 nu^2)
/// nu = y - exp(-0.7487 - 3.295 y + 0.6119 y^2 - 0.3193 y^3)     y = Z - 0.7
/// ```
/// `nu` in mm2/s, `T` in K. The exponential terms matter below 2 mm2/s only; [`D341::simple`] leaves them out.
///
/// # Source
/// ASTM D341, as transcribed in public worksheets. Checked by `oil_viscosity_temperature.csv`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct D341 {
    /// Constant A (logarithms to base 10).
    pub a: f64,
    /// Constant B (logarithms to base 10).
    pub b: f64,
    full: bool,
}

impl D341 {
    /// Through two anchors, with the terms for low viscosities.
    pub fn full(first: Anchor, second: Anchor) -> Self {
        Self::through(first, second, true)
    }

    /// Through two anchors with `Z = nu + 0.7`.
    pub fn simple(first: Anchor, second: Anchor) -> Self {
        Self::through(first, second, false)
    }

    fn through(first: Anchor, second: Anchor, full: bool) -> Self {
        let ordinate = |anchor: Anchor| {
            let nu = anchor.viscosity_mm2_s;
            let low = if full { (-1.47 - 1.84 * nu - 0.51 * nu * nu).exp() } else { 0.0 };
            (nu + 0.7 + low).log10().log10()
        };
        let (x1, x2) = (first.temperature_k.log10(), second.temperature_k.log10());
        let (w1, w2) = (ordinate(first), ordinate(second));
        let b = (w1 - w2) / (x2 - x1);
        Self { a: w1 + b * x1, b, full }
    }

    /// `log10 log10 Z`.
    #[inline]
    fn ordinate<S: Scalar>(&self, log10_temperature: S) -> S {
        -(log10_temperature * self.b) + self.a
    }

    /// Kinematic viscosity, mm2/s.
    #[inline]
    pub fn kinematic_mm2_s<S: Scalar>(&self, temperature_k: S) -> S {
        kinematic_from_ordinate(self.ordinate(temperature_k.ln() / LN_10), self.full)
    }
}

#[inline]
fn kinematic_from_ordinate<S: Scalar>(ordinate: S, full: bool) -> S {
    let y = ((ordinate * LN_10).exp() * LN_10).exp() - 0.7;
    // above 6 mm2/s the correction is below 1e-25
    if full && y.value() < 6.0 { y - (((-(y * 0.3193) + 0.6119) * y - 3.295) * y - 0.7487).exp() } else { y }
}

/// D341 through 40 and 100 degC, with a cold pair where the oil has a measured cold viscosity.
///
/// The cold pair runs through the cold anchor and the 40 degC anchor. It rules below 0 degC; from 0 to 40 degC
/// the ordinates `log10 log10 Z` of the two pairs, which meet at 40 degC, are blended with `3 x^2 - 2 x^3`, so that
/// value and slope are continuous everywhere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Walther {
    warm: D341,
    cold: Option<D341>,
}

impl Walther {
    /// From the viscosities at 40 and 100 degC and a cold anchor below 0 degC.
    pub(crate) fn new(name: &str, at_40: f64, at_100: f64, cold: Option<Anchor>) -> Result<Self, MediaError> {
        let warm = Anchor { temperature_k: WARM_ANCHOR_K, viscosity_mm2_s: at_40 };
        let hot = Anchor { temperature_k: HOT_ANCHOR_K, viscosity_mm2_s: at_100 };
        falling(name, warm, hot)?;
        if let Some(cold) = cold {
            if !(cold.temperature_k > 0.0 && cold.temperature_k < COLD_BRANCH_K) {
                return Err(MediaError::NotRising {
                    name: name.to_owned(),
                    row: 2,
                    what: "the temperature of the cold anchor must lie below 273.15 K;",
                    value: cold.temperature_k,
                });
            }
            falling(name, cold, warm)?;
        }
        Ok(Self { warm: D341::full(warm, hot), cold: cold.map(|cold| D341::full(cold, warm)) })
    }

    #[inline]
    pub(crate) fn kinematic_mm2_s<S: Scalar>(&self, temperature_k: S) -> S {
        let log10_temperature = temperature_k.ln() / LN_10;
        let warm = self.warm.ordinate(log10_temperature);
        let ordinate = match &self.cold {
            Some(pair) if temperature_k.value() < WARM_ANCHOR_K => blend(
                pair.ordinate(log10_temperature),
                warm,
                ramp(temperature_k, COLD_BRANCH_K, WARM_ANCHOR_K),
            ),
            _ => warm,
        };
        kinematic_from_ordinate(ordinate, true)
    }
}

/// Whether two anchors make a falling line with `Z > 1`.
fn falling(name: &str, colder: Anchor, warmer: Anchor) -> Result<(), MediaError> {
    let (high, low) = (colder.viscosity_mm2_s, warmer.viscosity_mm2_s);
    for (row, value) in [(1, high), (2, low)] {
        if !(value > 0.2 && value.is_finite()) {
            let what = "the kinematic viscosity (mm2/s, above 0.2)";
            return Err(MediaError::NotPositive { name: name.to_owned(), row, what, value });
        }
    }
    if high > low {
        Ok(())
    } else {
        Err(MediaError::ViscosityNotFalling { name: name.to_owned(), colder: high, warmer: low })
    }
}

/// Density of a lubricating oil from its density at 15 degC.
///
/// ```text
/// rho = rho15 exp(-alpha dT (1 + 0.8 alpha dT))      alpha = 0.6278/rho15, dT = t - 15 degC
/// ```
///
/// # Source
/// API MPMS chapter 11.1, lubricating oils (one public transcription). Checked by `oil_thermal.csv`.
#[inline]
pub fn lubricant_density<S: Scalar>(density_at_15_c_kg_m3: f64, temperature_k: S) -> S {
    let expansion = (temperature_k - 288.15) * (0.6278 / density_at_15_c_kg_m3);
    (-(expansion * (expansion * 0.8 + 1.0))).exp() * density_at_15_c_kg_m3
}

/// Specific heat of a petroleum oil, J/(kg K), by relative density `s` (60/60 degF).
///
/// ```text
/// cp = (0.388 + 0.00045 t_F)/sqrt(s) Btu/(lb F)
/// ```
/// Good to 2-4 % for petroleum oils.
///
/// # Source
/// Cragoe 1929, NBS Misc. Publ. 97. Checked by `oil_thermal.csv`.
#[inline]
pub fn cragoe_specific_heat<S: Scalar>(relative_density: f64, temperature_k: S) -> S {
    (fahrenheit(temperature_k) * 0.00045 + 0.388) * (BTU_LB_F / relative_density.sqrt())
}

/// Thermal conductivity of a petroleum oil, W/(m K), by relative density `s` (60/60 degF).
///
/// ```text
/// k = 0.813 (1 - 0.0003 (t_F - 32))/s Btu in/(h ft2 F)
/// ```
/// Good to about 10 % for petroleum oils; 20-30 % low for polyol esters (from memory).
///
/// # Source
/// Cragoe 1929, NBS Misc. Publ. 97. Checked by `oil_thermal.csv`.
#[inline]
pub fn cragoe_conductivity<S: Scalar>(relative_density: f64, temperature_k: S) -> S {
    (-((fahrenheit(temperature_k) - 32.0) * 0.0003) + 1.0) * (0.813 * BTU_IN_H_FT2_F / relative_density)
}

/// J/(kg K) in one Btu/(lb F).
const BTU_LB_F: f64 = 4186.8;
/// W/(m K) in one Btu in/(h ft2 F).
const BTU_IN_H_FT2_F: f64 = 0.144_227_889;

#[inline]
fn fahrenheit<S: Scalar>(temperature_k: S) -> S {
    temperature_k * 1.8 - 459.67
}

/// Relative density 60/60 degF of an oil from its density at 15 degC.
pub fn relative_density(density_at_15_c_kg_m3: f64) -> f64 {
    /// Water at 60 degF (15.56 degC), kg/m3.
    const WATER: f64 = 999.016;
    lubricant_density(density_at_15_c_kg_m3, 288.705_555_6) / WATER
}
