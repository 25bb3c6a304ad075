//! The 1976 standard atmosphere and the days flown in it.
//!
//! Altitudes are pressure altitudes, which equal geopotential altitudes of the standard atmosphere: the pressure is
//! always the standard one, a day replaces the temperature only (common practice, no source).

mod days;
mod standard;

use crate::air::GAS_CONSTANT;
use crate::{MediaError, air};
use standard::{EXPONENT, scale_height_m};

pub use days::{Day, DayTable, SURFACE_EXTREMES, SurfaceExtreme};
pub use standard::{
    ALTITUDE_RANGE_M, LAPSE_K_M, SEA_LEVEL_PRESSURE_PA, SEA_LEVEL_TEMPERATURE_K, STRATOSPHERE_TEMPERATURE_K,
    TROPOPAUSE_M, standard_pressure_pa, standard_temperature_k,
};

/// Ratio of the specific heats of the standard atmosphere.
const HEAT_RATIO: f64 = 1.4;
/// Nominal radius of the earth of the standard, m.
const EARTH_RADIUS_M: f64 = 6_356_766.0;

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
