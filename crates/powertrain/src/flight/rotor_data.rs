//! What is known of a rotorcraft, and how it flies.

use crate::error;
use crate::error::InputError;

/// What a hover costs beyond ideal induced power: stated by one of three sets of data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HoverLoss {
    /// Figure of merit in hover, ideal over actual power: 0.60-0.80, light helicopters 0.65-0.75 (from memory, Leishman).
    /// The same at every density and thrust: cautious high up, where real profile power falls with density.
    FigureOfMerit {
        /// Figure of merit.
        figure_of_merit: f64,
    },
    /// Blades: profile power `sigma Cd0/8 rho A (Omega R)^3`; the figure of merit follows.
    Blades {
        /// Solidity, blade over disc area.
        solidity: f64,
        /// Mean profile drag coefficient, 0.010-0.012 (from memory).
        drag_coefficient: f64,
    },
    /// A measured figure of merit in hover with blades for forward flight. What hover costs beyond the blades and the
    /// induced factor fades with the induced speed.
    Measured {
        /// Figure of merit.
        figure_of_merit: f64,
        /// Solidity, blade over disc area.
        solidity: f64,
        /// Mean profile drag coefficient.
        drag_coefficient: f64,
    },
}

/// Data of a single main rotor with a tail rotor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RotorData {
    /// Radius (m).
    pub radius_m: f64,
    /// Tip speed (m/s).
    pub tip_speed_m_s: f64,
    /// Actual over ideal induced power, at least 1; 1.15 is usual (from memory).
    pub induced_factor: f64,
    /// Losses in hover.
    pub hover_loss: HoverLoss,
    /// Equivalent flat-plate area of the airframe (m2): drag over dynamic pressure; 0.5-1.2 for a light helicopter (from
    /// memory).
    pub drag_area_m2: f64,
    /// Down-load of the wake on the airframe in hover as a part of the weight, 0.02-0.05 (from memory); 0 where the stated
    /// figure of merit holds it already.
    pub down_load: f64,
    /// Tail-rotor power in hover over that of the main rotor, 0.05-0.10 (common practice, no source).
    pub tail_rotor_hover: f64,
    /// The same at speed, where a fin carries the side force.
    pub tail_rotor_cruise: f64,
    /// Least power at the rotors (W) in a descent, such as that which keeps the drive engaged; 0 where unknown.
    pub min_power_w: f64,
}

/// A moment of flight of a rotor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RotorFlight {
    /// Air density (kg/m3).
    pub density_kg_m3: f64,
    /// Weight (N).
    pub weight_n: f64,
    /// Horizontal part of the true airspeed (m/s).
    pub airspeed_m_s: f64,
    /// Rate of climb (m/s), negative in descent.
    pub climb_m_s: f64,
    /// Height of the rotor disc above the ground (m); `None` away from it.
    pub rotor_height_m: Option<f64>,
}

impl RotorFlight {
    pub(super) fn check(&self) -> Result<(), InputError> {
        error::positive("air density (kg/m3)", self.density_kg_m3)?;
        error::positive("weight (N)", self.weight_n)?;
        error::not_negative("airspeed (m/s)", self.airspeed_m_s)?;
        error::finite("rate of climb (m/s)", self.climb_m_s)?;
        self.rotor_height_m.map_or(Ok(()), |height| error::positive("rotor height (m)", height))
    }
}

pub(super) fn check_hover(data: &RotorData) -> Result<(), InputError> {
    let merit = |value: f64| error::efficiency("figure of merit", value);
    let blades = |solidity: f64, drag: f64| {
        error::efficiency("solidity of the rotor", solidity)?;
        error::positive("profile drag coefficient of the blades", drag)
    };
    match data.hover_loss {
        HoverLoss::FigureOfMerit { figure_of_merit } => {
            merit(figure_of_merit)?;
            if figure_of_merit * data.induced_factor > 1.0 {
                let rule = "at most 1 over the induced factor, or there is no profile power";
                return Err(InputError::Value { what: "figure of merit", value: figure_of_merit, rule });
            }
            Ok(())
        }
        HoverLoss::Blades { solidity, drag_coefficient } => blades(solidity, drag_coefficient),
        HoverLoss::Measured { figure_of_merit, solidity, drag_coefficient } => {
            merit(figure_of_merit)?;
            blades(solidity, drag_coefficient)
        }
    }
}
