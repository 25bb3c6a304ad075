//! Data of a rotor and of its flight.

use super::rotor_data::{RotorData, RotorFlight, check_hover};
use super::rotor_power;
use super::rotor_power::RotorPower;
use crate::error;
use crate::error::InputError;

/// A rotor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rotor {
    data: RotorData,
}

impl Rotor {
    /// A rotor from its data.
    ///
    /// # Errors
    /// [`InputError::Value`] names the first number that is not physical, among them a figure of merit above
    /// `1/induced_factor`, which leaves no profile power.
    pub fn new(data: RotorData) -> Result<Self, InputError> {
        error::positive("rotor radius (m)", data.radius_m)?;
        error::positive("tip speed (m/s)", data.tip_speed_m_s)?;
        if !(data.induced_factor >= 1.0 && data.induced_factor.is_finite()) {
            let (what, rule) = ("induced factor of the rotor", "1 or greater");
            return Err(InputError::Value { what, value: data.induced_factor, rule });
        }
        check_hover(&data)?;
        error::not_negative("drag area of the airframe (m2)", data.drag_area_m2)?;
        error::fraction("down-load over weight", data.down_load)?;
        error::fraction("tail-rotor power over main-rotor power in hover", data.tail_rotor_hover)?;
        error::fraction("tail-rotor power over main-rotor power at speed", data.tail_rotor_cruise)?;
        error::not_negative("least rotor power (W)", data.min_power_w)?;
        Ok(Self { data })
    }

    /// The data of the rotor.
    pub fn data(&self) -> &RotorData {
        &self.data
    }

    /// Power at the rotor mast and the tail-rotor shaft, with its parts; see [`RotorPower`] for the equations.
    ///
    /// # Errors
    /// [`InputError::Value`] for a density, weight or height that is not positive, a negative airspeed, and NaN.
    pub fn power(&self, flight: &RotorFlight) -> Result<RotorPower, InputError> {
        flight.check()?;
        Ok(rotor_power::power(&self.data, flight))
    }
}
