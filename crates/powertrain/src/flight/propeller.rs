//! Propellers: from thrust and airspeed to shaft power.

use super::momentum::{induced_climb_m_s, induced_hover_m_s};
use crate::error::{self, InputError};

/// How a propeller turns shaft power into thrust.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Propeller {
    /// One efficiency for a phase of flight: 0.75-0.88 in cruise, 0.55-0.75 in a slow climb (from memory). Gives no power at
    /// rest, so it is not for the take-off run.
    Fixed {
        /// Useful over shaft power.
        efficiency: f64,
    },
    /// Actuator disc with losses, from standstill to cruise.
    Disc(DiscPropeller),
}

impl Propeller {
    /// A propeller of one efficiency.
    ///
    /// # Errors
    /// [`InputError::Value`] for an efficiency that is not above 0 and at most 1.
    pub fn fixed(efficiency: f64) -> Result<Self, InputError> {
        error::efficiency("propeller efficiency", efficiency)?;
        Ok(Self::Fixed { efficiency })
    }

    /// Shaft power (W) for a thrust (N) at an airspeed; 0 without thrust.
    #[inline]
    pub fn shaft_power_w(&self, thrust_n: f64, airspeed_m_s: f64, density_kg_m3: f64) -> f64 {
        if !(thrust_n > 0.0) {
            return 0.0;
        }
        match self {
            Self::Fixed { efficiency } => thrust_n * airspeed_m_s / efficiency,
            Self::Disc(disc) => disc.shaft_power_w(thrust_n, airspeed_m_s, density_kg_m3),
        }
    }
}

/// A propeller as an actuator disc, with what is lost beyond it.
///
/// # Formula
/// ```text
/// P = T (V + v_i)/k       v_i = -V/2 + sqrt(V^2/4 + T/(2 rho A))
/// k = FM s + k_c (1 - s)       s = v_i/(V + v_i)
/// ```
/// At rest `s = 1` and `P = T v_h/FM`, the static figure of merit (0.6-0.75, from memory); at speed `s` goes to 0 and the
/// efficiency to the ideal one times `k_c`. The blend over `s` is ours: exact at rest and at the stated cruise point.
/// Blade drag without thrust (idling, braking) is not modelled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiscPropeller {
    disc_area_m2: f64,
    static_figure_of_merit: f64,
    cruise_factor: f64,
}

/// A point of cruise at which the efficiency of a propeller is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CruisePoint {
    /// Air density (kg/m3).
    pub density_kg_m3: f64,
    /// True airspeed (m/s).
    pub airspeed_m_s: f64,
    /// Thrust (N) of the whole disc area.
    pub thrust_n: f64,
    /// Useful over shaft power.
    pub efficiency: f64,
}

impl DiscPropeller {
    /// A propeller from its disc area (m2, of all propellers together), static figure of merit and the factor `k_c` of
    /// actual over ideal efficiency in cruise.
    ///
    /// # Errors
    /// [`InputError::Value`] names the first number that is not physical.
    pub fn new(
        disc_area_m2: f64,
        static_figure_of_merit: f64,
        cruise_factor: f64,
    ) -> Result<Self, InputError> {
        error::positive("propeller disc area (m2)", disc_area_m2)?;
        error::efficiency("static figure of merit of the propeller", static_figure_of_merit)?;
        error::efficiency("propeller efficiency in cruise over the ideal one", cruise_factor)?;
        Ok(Self { disc_area_m2, static_figure_of_merit, cruise_factor })
    }

    /// A propeller whose efficiency at one point of cruise is known: `k_c` is chosen to meet it.
    ///
    /// # Errors
    /// As [`DiscPropeller::new`]; an efficiency at or above that of the ideal disc at that point is refused.
    pub fn from_cruise(
        disc_area_m2: f64,
        static_figure_of_merit: f64,
        cruise: &CruisePoint,
    ) -> Result<Self, InputError> {
        error::positive("propeller disc area (m2)", disc_area_m2)?;
        error::efficiency("static figure of merit of the propeller", static_figure_of_merit)?;
        error::positive("air density of the cruise point (kg/m3)", cruise.density_kg_m3)?;
        error::positive("airspeed of the cruise point (m/s)", cruise.airspeed_m_s)?;
        error::positive("thrust of the cruise point (N)", cruise.thrust_n)?;
        error::efficiency("propeller efficiency in cruise", cruise.efficiency)?;
        let hover = induced_hover_m_s(cruise.thrust_n, cruise.density_kg_m3, disc_area_m2);
        let induced = induced_climb_m_s(hover, cruise.airspeed_m_s);
        let share = induced / (cruise.airspeed_m_s + induced);
        // the ideal efficiency is 1 - s
        let wanted = cruise.efficiency / (1.0 - share);
        let factor = (wanted - static_figure_of_merit * share) / (1.0 - share);
        Self::new(disc_area_m2, static_figure_of_merit, factor)
    }

    /// Actual over ideal efficiency in cruise, `k_c`.
    pub fn cruise_factor(&self) -> f64 {
        self.cruise_factor
    }

    fn shaft_power_w(&self, thrust_n: f64, airspeed_m_s: f64, density_kg_m3: f64) -> f64 {
        let hover = induced_hover_m_s(thrust_n, density_kg_m3, self.disc_area_m2);
        let through = airspeed_m_s + induced_climb_m_s(hover, airspeed_m_s);
        let share = (through - airspeed_m_s) / through;
        let kept = self.static_figure_of_merit * share + self.cruise_factor * (1.0 - share);
        thrust_n * through / kept
    }
}
