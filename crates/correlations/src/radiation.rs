//! Grey diffuse radiation between surfaces. Absolute temperatures in K.

use numerics::Scalar;

/// Stefan-Boltzmann constant, W/(m² K⁴), CODATA 2018.
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

/// Radiative heat transfer coefficient of a small grey surface in a large enclosure, W/(m² K), exact.
///
/// # Formula
/// ```text
/// h = e sigma (T1^2 + T2^2)(T1 + T2)      q = h (T1 - T2)
/// ```
///
/// # Source
/// Stefan-Boltzmann law. Checked by `radiation.csv`.
#[inline]
pub fn coefficient<S: Scalar>(emissivity: f64, temperature_1_k: S, temperature_2_k: S) -> S {
    (temperature_1_k * temperature_1_k + temperature_2_k * temperature_2_k)
        * (temperature_1_k + temperature_2_k)
        * (emissivity * STEFAN_BOLTZMANN)
}

/// The coefficient linearised at the mean temperature, `4 e sigma Tm^3`, W/(m² K): low by `(dT/2Tm)^2`.
///
/// # Source
/// First term of [`coefficient`]. Checked by `radiation.csv`.
#[inline]
pub fn coefficient_linearised<S: Scalar>(emissivity: f64, temperature_1_k: S, temperature_2_k: S) -> S {
    let mean = (temperature_1_k + temperature_2_k) * 0.5;
    mean * mean * mean * (4.0 * emissivity * STEFAN_BOLTZMANN)
}

/// Heat flux from a small grey surface into a large enclosure, W/m², positive away from surface 1.
#[inline]
pub fn heat_flux<S: Scalar>(emissivity: f64, temperature_1_k: S, temperature_2_k: S) -> S {
    coefficient(emissivity, temperature_1_k, temperature_2_k) * (temperature_1_k - temperature_2_k)
}

/// Emissivity that turns [`heat_flux`] into the exchange between two concentric grey surfaces, per area of the inner one.
///
/// # Formula
/// ```text
/// 1/e = 1/e1 + (A1/A2)(1/e2 - 1)
/// ```
/// `area_ratio` is inner over outer area: 1 for close parallel plates, 0 for a large enclosure.
///
/// # Source
/// Two-surface enclosure of radiosity theory. Checked by `radiation.csv`.
pub fn effective_emissivity(emissivity_1: f64, emissivity_2: f64, area_ratio: f64) -> f64 {
    1.0 / (1.0 / emissivity_1 + area_ratio * (1.0 / emissivity_2 - 1.0))
}
