//! The standard atmosphere: temperature and pressure against pressure altitude.

use crate::air::GAS_CONSTANT;

/// Sea-level temperature, K.
pub const SEA_LEVEL_TEMPERATURE_K: f64 = 288.15;

/// Sea-level pressure, Pa.
pub const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;

/// Lapse of temperature below the tropopause, K/m of geopotential altitude.
pub const LAPSE_K_M: f64 = 0.0065;

/// Tropopause, m of geopotential altitude.
pub const TROPOPAUSE_M: f64 = 11_000.0;

/// Temperature from the tropopause to 20 km, K.
pub const STRATOSPHERE_TEMPERATURE_K: f64 = 216.65;

/// Covered pressure altitudes, m.
pub const ALTITUDE_RANGE_M: (f64, f64) = (-2000.0, 20_000.0);

/// Standard acceleration of free fall, m/s2.
const GRAVITY: f64 = 9.80665;

/// Exponent of the pressure law, g/(R L).
pub(super) const EXPONENT: f64 = GRAVITY / (GAS_CONSTANT * LAPSE_K_M);

/// Standard temperature at a geopotential altitude up to 20 km, K.
///
/// # Source
/// US Standard Atmosphere 1976 = ISO 2533 = ICAO Doc 7488 to this altitude. Checked by `standard_atmosphere.csv`.
pub fn standard_temperature_k(altitude_m: f64) -> f64 {
    if altitude_m < TROPOPAUSE_M {
        SEA_LEVEL_TEMPERATURE_K - LAPSE_K_M * altitude_m
    } else {
        STRATOSPHERE_TEMPERATURE_K
    }
}

/// Standard pressure at a geopotential altitude up to 20 km, Pa.
///
/// ```text
/// p = p0 (T/T0)^(g/(R L))                     below 11 km
/// p = p11 exp(-g (h - 11 km)/(R T11))         to 20 km
/// ```
///
/// # Source
/// As [`standard_temperature_k`].
pub fn standard_pressure_pa(altitude_m: f64) -> f64 {
    let temperature = standard_temperature_k(altitude_m);
    let below = SEA_LEVEL_PRESSURE_PA * (temperature / SEA_LEVEL_TEMPERATURE_K).powf(EXPONENT);
    below * (-(altitude_m - TROPOPAUSE_M).max(0.0) / scale_height_m()).exp()
}

/// R T/g of the lower stratosphere, m.
pub(super) fn scale_height_m() -> f64 {
    GAS_CONSTANT * STRATOSPHERE_TEMPERATURE_K / GRAVITY
}
