//! Power that flight takes at a mass: hover away from and near the ground, level flight at the speed of least power, climb at that speed.

use super::{Estimate, GRAVITY_M_S2};
use crate::outside::Outside;
use aircraft::records::craft::{Craft, EstimatedPower};
use media::air;
use schema::{Input, InputKind, Problem};

/// Halvings of the golden section: the speed is found to a hundred-thousandth of its range, the least power to its square.
const SECTIONS: u32 = 24;
/// Shorter part of a golden section.
const GOLDEN: f64 = 0.381_966_011_250_105_1;
/// Advance ratio up to which the speed of least power of a rotor is looked for.
const MOST_ADVANCE: f64 = 0.45;
/// The same for a wing, over its stalling speed.
const MOST_OVER_STALL: f64 = 4.0;
/// Steepest path that is looked at: rate of climb over airspeed, 45 degrees.
const STEEPEST: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Halvings of a rate of climb.
const HALVINGS: u32 = 50;

/// Level flight at the speed of least power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// True airspeed, m/s.
    pub speed_m_s: f64,
    /// Power at the output shaft, W.
    pub power_w: f64,
}

/// What flight takes at a mass in some air.
#[derive(Clone, Debug)]
pub struct FlightNeeds {
    away: Estimate,
    near: Option<Estimate>,
    density_kg_m3: f64,
    slowest_m_s: f64,
    fastest_m_s: f64,
}

fn input<K: InputKind>(si: f64, unit: &str, path: &str) -> Result<Input<K>, Problem> {
    Input::from_si(si, unit).map_err(|error| Problem::error(path, error.to_string(), "give a finite number"))
}

impl FlightNeeds {
    /// What a craft takes at a mass, without a tow.
    ///
    /// # Errors
    /// A [`Problem`] at the craft record for numbers that no craft can have, and for a mass that is not above zero.
    pub fn new(craft: &Craft, mass_kg: f64, outside: &Outside) -> Result<Self, Problem> {
        if !(mass_kg > 0.0) {
            return Err(Problem::error(
                "craft.mass",
                format!("{mass_kg} kg is no mass"),
                "give a mass above zero",
            ));
        }
        let of = |near_ground| -> Result<Estimate, Problem> {
            let power = EstimatedPower {
                mass: Some(input(mass_kg, "kg", "craft.mass")?),
                near_ground,
                tow: None,
                extra_drag: input(0.0, "m2", "craft")?,
                factor: Input::parse("1").map_err(|error| Problem::error("craft", error.to_string(), ""))?,
            };
            Estimate::new(craft, &power, 0.0, "craft")
        };
        let density_kg_m3 = air::density(outside.air_k, outside.pressure_pa);
        let (near, slowest_m_s, fastest_m_s) = match craft {
            Craft::Rotorcraft(rotor) => (Some(of(true)?), 0.0, MOST_ADVANCE * rotor.tip_speed.si()),
            Craft::Aeroplane(wing) => {
                let lifting = 0.5 * density_kg_m3 * wing.area.si() * wing.lift_max.si();
                let stall_m_s = (GRAVITY_M_S2 * mass_kg / lifting).sqrt();
                (None, stall_m_s, MOST_OVER_STALL * stall_m_s)
            }
        };
        Ok(Self { away: of(false)?, near, density_kg_m3, slowest_m_s, fastest_m_s })
    }

    /// Power of a hover in still air away from the ground, W; none for an aeroplane.
    pub fn hover_out_of_ground_w(&self) -> Option<f64> {
        self.near.is_some().then(|| self.away.watts(self.density_kg_m3, 0.0, 0.0))
    }

    /// The same near the ground, with the disc at the height at which the craft stands, W.
    pub fn hover_near_ground_w(&self) -> Option<f64> {
        self.near.as_ref().map(|near| near.watts(self.density_kg_m3, 0.0, 0.0))
    }

    /// Level flight at the speed of least power. The power over speed has one least value: induced power falls, drag rises.
    pub fn level(&self) -> Level {
        let power = |speed_m_s: f64| self.away.watts(self.density_kg_m3, speed_m_s, 0.0);
        let (mut low, mut high) = (self.slowest_m_s, self.fastest_m_s);
        let mut left = low + GOLDEN * (high - low);
        let mut right = high - GOLDEN * (high - low);
        let (mut at_left, mut at_right) = (power(left), power(right));
        for _ in 0..SECTIONS {
            if at_left <= at_right {
                (high, right, at_right) = (right, left, at_left);
                left = low + GOLDEN * (high - low);
                at_left = power(left);
            } else {
                (low, left, at_left) = (left, right, at_right);
                right = high - GOLDEN * (high - low);
                at_right = power(right);
            }
        }
        if at_left <= at_right {
            Level { speed_m_s: left, power_w: at_left }
        } else {
            Level { speed_m_s: right, power_w: at_right }
        }
    }

    /// Power of a climb at the speed of level flight, W.
    pub fn climb_w(&self, level: Level, climb_m_s: f64) -> f64 {
        self.away.watts(self.density_kg_m3, level.speed_m_s, climb_m_s)
    }

    /// Rate of climb, negative in a descent, that a power sustains at the speed of level flight, m/s. None where even a descent of 45 degrees
    /// takes more: an autorotation is not modelled.
    pub fn rate_of_climb_m_s(&self, level: Level, power_w: f64) -> Option<f64> {
        let (mut low, mut high) = (-STEEPEST * level.speed_m_s, STEEPEST * level.speed_m_s);
        let holds = |climb_m_s: f64| self.climb_w(level, climb_m_s) <= power_w;
        if holds(high) {
            return Some(high);
        }
        if !holds(low) {
            return None;
        }
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if holds(middle) { low = middle } else { high = middle }
        }
        Some(low)
    }
}
