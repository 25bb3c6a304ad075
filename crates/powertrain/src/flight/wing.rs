//! Data of an aeroplane, of what it tows and of its flight.

use super::propeller::Propeller;
use super::wing_data::{WingData, WingFlight};
use super::wing_power;
use super::wing_power::WingPower;
use crate::error;
use crate::error::InputError;

/// An aeroplane.
#[derive(Clone, Debug, PartialEq)]
pub struct Wing {
    data: WingData,
}

impl Wing {
    /// An aeroplane from its data.
    ///
    /// # Errors
    /// [`InputError::Value`] names the first number that is not physical.
    pub fn new(data: WingData) -> Result<Self, InputError> {
        error::positive("wing area (m2)", data.area_m2)?;
        error::positive("greatest lift coefficient", data.lift_coefficient_max)?;
        data.drag.check()?;
        Ok(Self { data })
    }

    /// The data of the aeroplane.
    pub fn data(&self) -> &WingData {
        &self.data
    }

    /// Power at the propeller flange, with its parts; see [`WingPower`] for the equations.
    ///
    /// # Errors
    /// [`InputError::Value`] for a density or weight that is not positive, a negative airspeed or drag, a climb or descent
    /// faster than the airspeed, and NaN.
    pub fn power(&self, flight: &WingFlight, propeller: &Propeller) -> Result<WingPower, InputError> {
        flight.check()?;
        Ok(wing_power::power(&self.data, flight, propeller))
    }

    /// Rate of sink (m/s) of a glide without power at the airspeed of `flight`, whose climb is not looked at; at most the
    /// airspeed. Without drag of a stopped or idling propeller: state it as extra drag area.
    ///
    /// # Errors
    /// As [`Wing::power`].
    pub fn glide_sink_m_s(&self, flight: &WingFlight) -> Result<f64, InputError> {
        let level = WingFlight { climb_m_s: 0.0, ..*flight };
        level.check()?;
        Ok(wing_power::glide_sink_m_s(&self.data, &level))
    }

    /// Stalling speed (m/s, true) in level flight: `sqrt(2 W/(rho S C_Lmax))`.
    pub fn stall_speed_m_s(&self, weight_n: f64, density_kg_m3: f64) -> f64 {
        (2.0 * weight_n / (density_kg_m3 * self.data.area_m2 * self.data.lift_coefficient_max)).sqrt()
    }
}
