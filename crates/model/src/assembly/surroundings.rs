//! The air around the aircraft at one case.

use aircraft::records::study::Point;
use aircraft::records::surroundings::{Condition, Day};
use media::atmosphere::{Air, DayTable};
use media::{MediaError, air, atmosphere};
use schema::Problem;

/// Surroundings of a case in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outside {
    /// Pressure altitude, m.
    pub pressure_altitude_m: f64,
    /// Outside-air temperature, K.
    pub air_k: f64,
    /// Temperature of the air at inlets and around the aircraft: outside air plus the rise over the ramp, K.
    pub inlet_air_k: f64,
    /// Static pressure, Pa.
    pub pressure_pa: f64,
    /// Density of the air at the inlets, kg/m3.
    pub density_kg_m3: f64,
    /// True airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Sun, W/m2.
    pub sun_w_m2: f64,
    /// Dew point of the outside air, K, where the humidity is stated.
    pub dew_point_k: Option<f64>,
}

impl Outside {
    /// The surroundings of a condition; the point may have its own airspeed.
    ///
    /// # Errors
    /// A [`Problem`] for an altitude outside the atmosphere model.
    pub fn of(condition: &Condition, point: &Point) -> Result<Self, Problem> {
        Self::at(condition, point.airspeed.as_ref().map_or(condition.airspeed.si(), |airspeed| airspeed.si()))
    }

    /// The surroundings of a condition at an airspeed.
    ///
    /// # Errors
    /// A [`Problem`] for an altitude outside the atmosphere model.
    pub fn at(condition: &Condition, airspeed_m_s: f64) -> Result<Self, Problem> {
        let altitude = condition.pressure_altitude.si();
        let day = match &condition.day {
            Day::Standard => atmosphere::Day::Standard { offset_k: 0.0 },
            Day::Offset(offset) => atmosphere::Day::Standard { offset_k: offset.si() },
            Day::Fixed(temperature) => atmosphere::Day::Fixed { temperature_k: temperature.si() },
            Day::HotDay => atmosphere::Day::HotDay27_1043,
            Day::Hot => atmosphere::Day::Table(DayTable::MilStd210AHot),
            Day::Tropical => atmosphere::Day::Table(DayTable::MilStd210ATropical),
            Day::Cold => atmosphere::Day::Table(DayTable::MilStd210ACold),
            Day::Polar => atmosphere::Day::Table(DayTable::MilStd210APolar),
        };
        let air = atmosphere::at(&day, altitude)
            .and_then(|air| warmer(air, condition.offset.si()))
            .map_err(|error| refused(condition, &error))?;
        let inlet_air_k = air.temperature_k + condition.ramp_rise.si();
        Ok(Self {
            pressure_altitude_m: altitude,
            air_k: air.temperature_k,
            inlet_air_k,
            pressure_pa: air.pressure_pa,
            density_kg_m3: air::density(inlet_air_k, air.pressure_pa),
            airspeed_m_s,
            sun_w_m2: condition.sun.si(),
            dew_point_k: condition
                .humidity
                .as_ref()
                .and_then(|humidity| media::dew_point_k(air.temperature_k, humidity.si())),
        })
    }

    /// Dynamic pressure of the onset flow, Pa.
    pub fn dynamic_pressure_pa(&self) -> f64 {
        0.5 * self.density_kg_m3 * self.airspeed_m_s * self.airspeed_m_s
    }
}

/// The air of a day with an offset; without one, the same bits.
fn warmer(air: Air, offset_k: f64) -> Result<Air, MediaError> {
    if offset_k == 0.0 { Ok(air) } else { Air::new(air.temperature_k + offset_k, air.pressure_pa) }
}

/// Why a condition has no air.
fn refused(condition: &Condition, error: &MediaError) -> Problem {
    let (field, remedy) = match error {
        MediaError::Temperature { .. } => ("offset", "choose a day and an offset that make air of a flight"),
        _ => ("pressure_altitude", "choose an altitude that the atmosphere covers"),
    };
    Problem::error(format!("conditions.{}.{field}", condition.name.as_str()), error.to_string(), remedy)
}
