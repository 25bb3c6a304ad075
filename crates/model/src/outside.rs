//! The air around the aircraft at one case.

use aircraft::records::study::Point;
use aircraft::records::surroundings::{Condition, Day};
use media::MediaError;
use media::air;
use media::atmosphere::{self, Air, DayTable};
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

/// Height above the field at which nothing is left of the rise over the ramp, m (assumed).
pub const RAMP_HEIGHT_M: f64 = 30.0;
/// Airspeed at which nothing is left of it, m/s: 20 kt (assumed).
pub const RAMP_AIRSPEED_M_S: f64 = 20.0 * 1852.0 / 3600.0;

/// Where the aircraft is with respect to the field it flies from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Over {
    /// It stands or rolls on it.
    Ground,
    /// It flies at this height above it, m.
    Field {
        /// Height, m.
        height_m: f64,
    },
}

impl Over {
    /// Share of the rise over the ramp that the air at the inlets keeps: whole on the ground; in flight it fades evenly with height and
    /// with airspeed.
    fn ramp_share(self, airspeed_m_s: f64) -> f64 {
        match self {
            Self::Ground => 1.0,
            Self::Field { height_m } => {
                (1.0 - height_m / RAMP_HEIGHT_M).clamp(0.0, 1.0)
                    * (1.0 - airspeed_m_s / RAMP_AIRSPEED_M_S).max(0.0)
            }
        }
    }
}

impl Outside {
    /// The surroundings of a condition; the point may have its own airspeed.
    ///
    /// # Errors
    /// A [`Problem`] for an altitude outside the atmosphere model.
    pub fn of(condition: &Condition, point: &Point) -> Result<Self, Problem> {
        let airspeed_m_s = point.airspeed.as_ref().map_or(condition.airspeed.si(), |airspeed| airspeed.si());
        let over =
            if point.ground { Over::Ground } else { Over::Field { height_m: point.above_ground.si() } };
        Self::at(condition, airspeed_m_s, over)
    }

    /// The surroundings of a condition at an airspeed and a place over the field.
    ///
    /// # Errors
    /// A [`Problem`] for an altitude outside the atmosphere model.
    pub fn at(condition: &Condition, airspeed_m_s: f64, over: Over) -> Result<Self, Problem> {
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
        let inlet_air_k = air.temperature_k + condition.ramp_rise.si() * over.ramp_share(airspeed_m_s);
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

#[cfg(test)]
mod tests {
    use super::*;

    fn condition() -> Condition {
        let text = r#"Project(format: "heatledger", version: 1, name: "p", conditions: [Condition(name: "ramp", day: Fixed("30 degC"), ramp_rise: "6 K", sun: "900 W/m2")],
            points: [Point(name: "any")], cases: [CaseGroup(conditions: ["ramp"], points: ["any"])])"#;
        let (node, problems) = project::parse(text.as_bytes());
        assert!(problems.is_empty(), "{problems}");
        let project = crate::design::decode(&node.expect("a tree")).expect("a valid project");
        project.conditions[0].clone()
    }

    /// 6 K over the ramp: whole on the ground at any speed; at 10 m and rest 6 x (1 - 10/30) = 4 K; on the field at 5 kt
    /// 6 x (1 - 5/20) = 4.5 K; at 15 m and 10 kt 6 x 0.5 x 0.5 = 1.5 K; nothing at 30 m, nor at 20 kt. The sun does not fade.
    #[test]
    fn the_rise_over_the_ramp_fades_with_height_and_airspeed() {
        let knot = 1852.0 / 3600.0;
        let condition = condition();
        let cases = [
            (Over::Ground, 40.0, 6.0),
            (Over::Field { height_m: 0.0 }, 0.0, 6.0),
            (Over::Field { height_m: 10.0 }, 0.0, 4.0),
            (Over::Field { height_m: 0.0 }, 5.0, 4.5),
            (Over::Field { height_m: 15.0 }, 10.0, 1.5),
            (Over::Field { height_m: 30.0 }, 0.0, 0.0),
            (Over::Field { height_m: 0.0 }, 20.0, 0.0),
            (Over::Field { height_m: 900.0 }, 90.0, 0.0),
        ];
        for (over, airspeed_kt, expected_k) in cases {
            let outside = Outside::at(&condition, airspeed_kt * knot, over).expect("at sea level");
            let rise_k = outside.inlet_air_k - outside.air_k;
            assert!((rise_k - expected_k).abs() < 1e-9, "{over:?} {airspeed_kt} kt: {rise_k}");
            assert_eq!(outside.sun_w_m2, 900.0);
        }
    }

    /// A point on the ground keeps the rise at taxi speed, one beside it in the air at 20 m keeps a third of it.
    #[test]
    fn a_point_says_whether_it_is_on_the_ground() {
        let text = r#"Project(format: "heatledger", version: 1, name: "p", conditions: [Condition(name: "isa", day: Standard)],
            points: [Point(name: "roll", airspeed: "40 kt", ground: true), Point(name: "hover", above_ground: "20 m")],
            cases: [CaseGroup(conditions: ["isa"], points: ["roll", "hover"])])"#;
        let (node, problems) = project::parse(text.as_bytes());
        assert!(problems.is_empty(), "{problems}");
        let project = crate::design::decode(&node.expect("a tree")).expect("a valid project");
        for (point, expected_k) in project.points.iter().zip([6.0, 2.0]) {
            let outside = Outside::of(&condition(), point).expect("at sea level");
            assert!(
                (outside.inlet_air_k - outside.air_k - expected_k).abs() < 1e-9,
                "{}",
                point.name.as_str()
            );
        }
    }
}
