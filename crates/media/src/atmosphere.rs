//! The 1976 standard atmosphere and the days flown in it.
//!
//! Altitudes are pressure altitudes, which equal geopotential altitudes of the standard atmosphere: the pressure is
//! always the standard one, a day replaces the temperature only (common practice, no source).

mod days;

pub use days::{Day, DayTable, SURFACE_EXTREMES, SurfaceExtreme};

use crate::air::GAS_CONSTANT;
use crate::{MediaError, air};

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
/// Ratio of the specific heats of the standard atmosphere.
const HEAT_RATIO: f64 = 1.4;
/// Nominal radius of the earth of the standard, m.
const EARTH_RADIUS_M: f64 = 6_356_766.0;
/// Exponent of the pressure law, g/(R L).
const EXPONENT: f64 = GRAVITY / (GAS_CONSTANT * LAPSE_K_M);

/// The air outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Absolute pressure, Pa.
    pub pressure_pa: f64,
    /// Density, kg/m3 (dry air, ideal gas).
    pub density_kg_m3: f64,
    /// Speed of sound, m/s (ratio of specific heats 1.4).
    pub speed_of_sound_m_s: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
}

impl Air {
    /// Air of a temperature and an absolute pressure.
    ///
    /// # Errors
    /// [`MediaError::Temperature`] outside 100 to 500 K, [`MediaError::Pressure`] if not positive.
    pub fn new(temperature_k: f64, pressure_pa: f64) -> Result<Self, MediaError> {
        if !(100.0 <= temperature_k && temperature_k <= 500.0) {
            return Err(MediaError::Temperature { temperature_k });
        }
        if !(pressure_pa > 0.0 && pressure_pa.is_finite()) {
            return Err(MediaError::Pressure { pressure_pa });
        }
        Ok(Self {
            temperature_k,
            pressure_pa,
            density_kg_m3: air::density(temperature_k, pressure_pa),
            speed_of_sound_m_s: (HEAT_RATIO * GAS_CONSTANT * temperature_k).sqrt(),
            viscosity_pa_s: air::viscosity(temperature_k),
        })
    }

    /// Altitude at which the standard atmosphere has this density, m.
    pub fn density_altitude_m(&self) -> f64 {
        density_altitude_m(self.density_kg_m3)
    }
}

/// The outside air of a day at a pressure altitude.
///
/// # Errors
/// [`MediaError::AltitudeOutOfRange`] outside [`ALTITUDE_RANGE_M`] or the day's own table, and
/// [`MediaError::Temperature`] if an offset or a fixed temperature is not physical.
///
/// ```
/// use media::atmosphere::{Day, at};
/// let air = at(&Day::HotDay27_1043, 0.0).unwrap();
/// assert!((air.density_kg_m3 - 1.1353).abs() < 1e-4); // 14 CFR 27.1043(b), 100 degF at sea level
/// ```
pub fn at(day: &Day, pressure_altitude_m: f64) -> Result<Air, MediaError> {
    let (low_m, high_m) = day.altitude_range_m();
    if !(low_m <= pressure_altitude_m && pressure_altitude_m <= high_m) {
        let day = day.name();
        return Err(MediaError::AltitudeOutOfRange { day, altitude_m: pressure_altitude_m, low_m, high_m });
    }
    Air::new(day.temperature_k(pressure_altitude_m), standard_pressure_pa(pressure_altitude_m))
}

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
fn scale_height_m() -> f64 {
    GAS_CONSTANT * STRATOSPHERE_TEMPERATURE_K / GRAVITY
}

/// Altitude at which the standard atmosphere has this pressure, m (-2 to 20 km).
///
/// # Errors
/// [`MediaError::Pressure`] if not positive, [`MediaError::AltitudeOutOfRange`] outside [`ALTITUDE_RANGE_M`].
pub fn pressure_altitude_m(pressure_pa: f64) -> Result<f64, MediaError> {
    if !(pressure_pa > 0.0 && pressure_pa.is_finite()) {
        return Err(MediaError::Pressure { pressure_pa });
    }
    let altitude_m = inverse(pressure_pa / SEA_LEVEL_PRESSURE_PA, EXPONENT);
    let (low_m, high_m) = ALTITUDE_RANGE_M;
    if low_m <= altitude_m && altitude_m <= high_m {
        Ok(altitude_m)
    } else {
        let day = Day::Standard { offset_k: 0.0 }.name();
        Err(MediaError::AltitudeOutOfRange { day, altitude_m, low_m, high_m })
    }
}

/// Altitude at which the standard atmosphere has this density, m. The closed forms of troposphere and lower
/// stratosphere are continued beyond their ends.
pub fn density_altitude_m(density_kg_m3: f64) -> f64 {
    let sea_level = air::density(SEA_LEVEL_TEMPERATURE_K, SEA_LEVEL_PRESSURE_PA);
    inverse(density_kg_m3 / sea_level, EXPONENT - 1.0)
}

/// Altitude where `(T/T0)^exponent`, continued exponentially above the tropopause, has a value.
fn inverse(ratio: f64, exponent: f64) -> f64 {
    let tropopause = (STRATOSPHERE_TEMPERATURE_K / SEA_LEVEL_TEMPERATURE_K).powf(exponent);
    if ratio > tropopause {
        SEA_LEVEL_TEMPERATURE_K / LAPSE_K_M * (1.0 - ratio.powf(exponent.recip()))
    } else {
        TROPOPAUSE_M - scale_height_m() * (ratio / tropopause).ln()
    }
}

/// Geopotential altitude from geometric altitude, m: `r Z/(r + Z)` with r 6 356 766 m.
pub fn geopotential_from_geometric_m(geometric_m: f64) -> f64 {
    EARTH_RADIUS_M * geometric_m / (EARTH_RADIUS_M + geometric_m)
}

/// Geometric altitude from geopotential altitude, m.
pub fn geometric_from_geopotential_m(geopotential_m: f64) -> f64 {
    EARTH_RADIUS_M * geopotential_m / (EARTH_RADIUS_M - geopotential_m)
}
