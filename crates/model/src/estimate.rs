//! Shaft power from the craft record.

mod needs;

use crate::outside::Outside;
use aircraft::records::craft::{
    Aeroplane, Craft, EstimatedPower, HoverLoss, Propeller, Rotorcraft, WingDrag,
};
use aircraft::records::study::{Point, PointPower};
use media::air;
use powertrain::flight;
use powertrain::flight::{
    DiscPropeller, DragLaw, Flags, Rotor, RotorData, RotorFlight, Step, Tow, Wing, WingData, WingFlight,
};
use schema::{Input, InputKind, Problem};

pub use needs::{FlightNeeds, Level};

/// Standard acceleration of gravity, m/s2.
const GRAVITY_M_S2: f64 = 9.80665;

/// Step of the weight in a derivative, as a share: small against the curvature of power over weight, large against rounding.
const WEIGHT_STEP: f64 = 0.01;

/// An estimated power with the way it was obtained.
#[derive(Clone, Debug, PartialEq)]
pub struct PowerEstimate {
    /// Power at the output shaft, W.
    pub shaft_power_w: f64,
    /// Steps on the way, to be printed.
    pub chain: Vec<Step>,
    /// What the reader must know.
    pub flags: Flags,
}

/// What the estimate of a segment follows.
#[derive(Clone, Debug)]
pub struct Estimate {
    law: Law,
    weight_n: f64,
    climb_m_s: f64,
    factor: f64,
    path: String,
}

#[derive(Clone, Debug)]
enum Law {
    Rotor { rotor: Rotor, height_m: Option<f64> },
    Wing { wing: Box<Wing>, propeller: flight::Propeller, extra_drag_m2: f64, tow: Option<Tow> },
}

impl Estimate {
    /// The estimate of a segment at a rate of climb.
    ///
    /// # Errors
    /// A [`Problem`] at the craft record or the segment, for numbers that no craft can have.
    pub fn new(craft: &Craft, power: &EstimatedPower, climb_m_s: f64, path: &str) -> Result<Self, Problem> {
        let own_mass = match craft {
            Craft::Rotorcraft(rotorcraft) => &rotorcraft.mass,
            Craft::Aeroplane(aeroplane) => &aeroplane.mass,
        };
        let weight_n = GRAVITY_M_S2 * power.mass.as_ref().unwrap_or(own_mass).si();
        let law = match craft {
            Craft::Rotorcraft(rotorcraft) => Law::Rotor {
                rotor: rotor(rotorcraft)?,
                height_m: power.near_ground.then(|| rotorcraft.disc_height.si()),
            },
            Craft::Aeroplane(aeroplane) => {
                let (wing, propeller) = wing(aeroplane)?;
                let tow = power
                    .tow
                    .as_ref()
                    .map(|tow| Tow::from_glide_ratio(GRAVITY_M_S2 * tow.mass.si(), tow.glide_ratio.si()));
                let tow = tow.transpose().map_err(|error| refused(path, &error))?;
                Law::Wing { wing: Box::new(wing), propeller, extra_drag_m2: power.extra_drag.si(), tow }
            }
        };
        Ok(Self { law, weight_n, climb_m_s, factor: power.factor.si(), path: path.to_owned() })
    }

    /// The estimate of a craft as its record states it, at a rate of climb.
    ///
    /// # Errors
    /// As [`Estimate::new`].
    pub fn of_craft(craft: &Craft, climb_m_s: f64) -> Result<Self, Problem> {
        let plain = EstimatedPower {
            mass: None,
            near_ground: false,
            tow: None,
            extra_drag: input(0.0, "m2"),
            factor: input(1.0, ""),
        };
        Self::new(craft, &plain, climb_m_s, "craft")
    }

    /// Exponent with which the power grows with the weight, (W/P) dP/dW, by the difference between 1 % less and 1 % more weight. None
    /// where such a flight cannot be, or takes no power.
    pub fn weight_exponent(&self, outside: &Outside, airspeed_m_s: f64) -> Option<f64> {
        let power_w = |share: f64| {
            let other = Self { weight_n: share * self.weight_n, ..self.clone() };
            other
                .power(outside, airspeed_m_s)
                .ok()
                .map(|estimate| estimate.shaft_power_w)
                .filter(|&w| w > 0.0)
        };
        let (less_w, more_w) = (power_w(1.0 - WEIGHT_STEP)?, power_w(1.0 + WEIGHT_STEP)?);
        Some((more_w / less_w).ln() / ((1.0 + WEIGHT_STEP) / (1.0 - WEIGHT_STEP)).ln())
    }

    /// Power at an air density, an airspeed along the path and a rate of climb, W; no number for a flight that cannot be.
    fn watts(&self, density_kg_m3: f64, airspeed_m_s: f64, climb_m_s: f64) -> f64 {
        let weight_n = self.weight_n;
        let power = match &self.law {
            Law::Rotor { rotor, height_m } => {
                let horizontal = (airspeed_m_s * airspeed_m_s - climb_m_s * climb_m_s).max(0.0).sqrt();
                let flight = RotorFlight {
                    density_kg_m3,
                    weight_n,
                    airspeed_m_s: horizontal,
                    climb_m_s,
                    rotor_height_m: *height_m,
                };
                rotor.power(&flight).map(|power| power.total_w())
            }
            Law::Wing { wing, propeller, extra_drag_m2, tow } => {
                let extra_drag_area_m2 = *extra_drag_m2;
                let flight = WingFlight {
                    density_kg_m3,
                    weight_n,
                    airspeed_m_s,
                    climb_m_s,
                    extra_drag_area_m2,
                    tow: *tow,
                };
                wing.power(&flight, propeller).map(|power| power.total_w())
            }
        };
        power.map_or(f64::NAN, |power_w| self.factor * power_w)
    }

    /// Power at an airspeed in these surroundings.
    ///
    /// # Errors
    /// A [`Problem`] for a flight that cannot be, such as a climb faster than the airspeed of an aeroplane.
    pub fn power(&self, outside: &Outside, airspeed_m_s: f64) -> Result<PowerEstimate, Problem> {
        let density_kg_m3 = air::density(outside.air_k, outside.pressure_pa);
        let (weight_n, climb_m_s) = (self.weight_n, self.climb_m_s);
        let (power_w, chain, flags) = match &self.law {
            Law::Rotor { rotor, height_m } => {
                let horizontal = (airspeed_m_s * airspeed_m_s - climb_m_s * climb_m_s).max(0.0).sqrt();
                let flight = RotorFlight {
                    density_kg_m3,
                    weight_n,
                    airspeed_m_s: horizontal,
                    climb_m_s,
                    rotor_height_m: *height_m,
                };
                let power = rotor.power(&flight).map_err(|error| refused(&self.path, &error))?;
                (power.total_w(), power.chain().to_vec(), power.flags)
            }
            Law::Wing { wing, propeller, extra_drag_m2, tow } => {
                let flight = WingFlight {
                    density_kg_m3,
                    weight_n,
                    airspeed_m_s,
                    climb_m_s,
                    extra_drag_area_m2: *extra_drag_m2,
                    tow: *tow,
                };
                let power = wing.power(&flight, propeller).map_err(|error| refused(&self.path, &error))?;
                (power.total_w(), power.chain().to_vec(), power.flags)
            }
        };
        Ok(PowerEstimate { shaft_power_w: self.factor * power_w, chain, flags })
    }
}

/// Power at the output shaft at a steady point in these surroundings: stated, or estimated with the way it was obtained.
#[derive(Clone, Debug, PartialEq)]
pub enum PointShaftPower {
    /// Stated, W.
    Stated(f64),
    /// Estimated.
    Estimated(PowerEstimate),
}

impl PointShaftPower {
    /// The power of a point.
    ///
    /// # Errors
    /// A [`Problem`] at the point or the craft record, for a flight that cannot be.
    pub fn of(craft: Option<&Craft>, point: &Point, outside: &Outside) -> Result<Self, Problem> {
        let power = match &point.shaft_power {
            PointPower::Fixed(power) => return Ok(Self::Stated(power.si())),
            PointPower::Estimated(power) => power,
        };
        let path = format!("points.{}.shaft_power", point.name.as_str());
        let craft = craft.ok_or_else(|| {
            Problem::error(
                path.clone(),
                "no craft record tells how much power flight takes",
                "add `craft` to the project, or give the power",
            )
        })?;
        let estimate = Estimate::new(craft, power, point.climb_rate.si(), &path)?;
        estimate.power(outside, outside.airspeed_m_s).map(Self::Estimated)
    }

    /// Power, W.
    pub fn shaft_power_w(&self) -> f64 {
        match self {
            Self::Stated(power_w) => *power_w,
            Self::Estimated(estimate) => estimate.shaft_power_w,
        }
    }
}

/// A number of ours as an input.
fn input<K: InputKind>(si: f64, unit: &str) -> Input<K> {
    Input::from_si(si, unit).expect("a finite number in a unit of its kind")
}

fn refused(path: &str, error: &impl std::fmt::Display) -> Problem {
    Problem::error(path, error.to_string(), "correct the number, or give the power of the segment instead")
}

/// Checks a craft record.
///
/// # Errors
/// The first number that no craft can have.
pub fn check_craft(craft: &Craft) -> Result<(), Problem> {
    match craft {
        Craft::Rotorcraft(rotorcraft) => rotor(rotorcraft).map(drop),
        Craft::Aeroplane(aeroplane) => wing(aeroplane).map(drop),
    }
}

fn rotor(craft: &Rotorcraft) -> Result<Rotor, Problem> {
    let hover_loss = match &craft.hover {
        HoverLoss::FigureOfMerit(merit) => flight::HoverLoss::FigureOfMerit { figure_of_merit: merit.si() },
        HoverLoss::Blades(blades) => flight::HoverLoss::Blades {
            solidity: blades.solidity.si(),
            drag_coefficient: blades.drag_coefficient.si(),
        },
        HoverLoss::Measured(measured) => flight::HoverLoss::Measured {
            figure_of_merit: measured.figure_of_merit.si(),
            solidity: measured.solidity.si(),
            drag_coefficient: measured.drag_coefficient.si(),
        },
    };
    Rotor::new(RotorData {
        radius_m: craft.radius.si(),
        tip_speed_m_s: craft.tip_speed.si(),
        induced_factor: craft.induced_factor.si(),
        hover_loss,
        drag_area_m2: craft.drag_area.si(),
        down_load: craft.down_load.si(),
        tail_rotor_hover: craft.tail_rotor_hover.si(),
        tail_rotor_cruise: craft.tail_rotor_cruise.si(),
        min_power_w: craft.least_power.si(),
    })
    .map_err(|error| refused("craft", &error))
}

fn wing(craft: &Aeroplane) -> Result<(Wing, flight::Propeller), Problem> {
    let drag = match &craft.drag {
        WingDrag::Polar(polar) => DragLaw::Parabolic {
            zero_lift_drag: polar.zero_lift.si(),
            oswald: polar.oswald.si(),
            span_m: polar.span.si(),
        },
        WingDrag::Glide(glide) => DragLaw::lift_to_drag_from_airspeeds(
            &glide.points.si(),
            GRAVITY_M_S2 * glide.mass.si(),
            glide.density.si(),
            craft.area.si(),
        )
        .map_err(|error| refused("craft.drag", &error))?,
    };
    let wing =
        Wing::new(WingData { area_m2: craft.area.si(), lift_coefficient_max: craft.lift_max.si(), drag })
            .map_err(|error| refused("craft", &error))?;
    let propeller = match &craft.propeller {
        Propeller::Fixed(efficiency) => flight::Propeller::fixed(efficiency.si()),
        Propeller::Disc(disc) => {
            let area_m2 = disc.count.max(1) as f64 * flight::disc_area_m2(0.5 * disc.diameter.si());
            DiscPropeller::new(area_m2, disc.static_merit.si(), disc.cruise_factor.si())
                .map(flight::Propeller::Disc)
        }
    };
    Ok((wing, propeller.map_err(|error| refused("craft.propeller", &error))?))
}
