//! Gearbox losses at three levels: mesh, churning and bearing heat.

mod geometry;
mod point;

use crate::error;
use crate::error::InputError;
use crate::loss::{Loss, LossSurface};
use crate::smooth::{activity, magnitude};
use numerics::{Scalar, constant};
use point::{POWER_ROUNDING_W, torque_nm};

pub use geometry::{
    Bearing, ChurningWheel, GearGeometry, Mesh, bearing_drag_nm, churning_power_w, drag_coefficient,
    immersed_area_m2, mesh_loss_factor,
};
pub use point::{GearHeat, GearPoint};

/// Speed from which fixed losses are booked in full (rad/s).
const TURNING_RAD_S: f64 = 1.0;
/// Substitutions for the input power from the output power; each gains a factor of about 50.
const SUBSTITUTIONS: usize = 8;

/// What is known about the losses of a gearbox.
#[derive(Clone, Debug, PartialEq)]
pub enum GearLosses {
    /// Direct drive: no gearbox, no loss.
    None,
    /// Losses of one working point, booked while the box turns.
    Fixed {
        /// Mesh loss (W).
        mesh_w: f64,
        /// Churning, windage and bearing loss (W).
        churning_w: f64,
    },
    /// An efficiency for the load-dependent part and a law of input speed (rad/s) for the drag of the idling box.
    Efficiency {
        /// Output over input power of the meshes (0-1).
        efficiency: f64,
        /// Drag loss over input speed.
        drag: Loss,
    },
    /// Measured total loss over input torque (N m) and input speed (rad/s).
    Map(LossSurface),
    /// Meshes, wheels in oil and bearings.
    Geometry(GearGeometry),
}

/// A gearbox.
#[derive(Clone, Debug, PartialEq)]
pub struct Gearbox {
    ratio: f64,
    losses: GearLosses,
}

impl Gearbox {
    /// A gearbox with a reduction ratio (input over output speed).
    ///
    /// # Errors
    /// [`InputError`] names the first number that is not physical.
    pub fn new(ratio: f64, losses: GearLosses) -> Result<Self, InputError> {
        error::positive("gear ratio (input over output speed)", ratio)?;
        match &losses {
            GearLosses::None | GearLosses::Map(_) => {}
            GearLosses::Fixed { mesh_w, churning_w } => {
                error::not_negative("fixed mesh loss (W)", *mesh_w)?;
                error::not_negative("fixed churning loss (W)", *churning_w)?;
            }
            GearLosses::Efficiency { efficiency, drag } => {
                error::efficiency("gear efficiency", *efficiency)?;
                drag.check()?;
            }
            GearLosses::Geometry(geometry) => geometry.check()?,
        }
        Ok(Self { ratio, losses })
    }

    /// Direct drive.
    pub fn none() -> Self {
        Self { ratio: 1.0, losses: GearLosses::None }
    }

    /// Input speed over output speed.
    pub fn ratio(&self) -> f64 {
        self.ratio
    }

    /// What is known about the losses.
    pub fn losses(&self) -> &GearLosses {
        &self.losses
    }

    /// Whether a working point lies inside what the losses were measured for; true where no range is known.
    pub fn is_in_range(&self, input_power_w: f64, input_speed_rad_s: f64) -> bool {
        match &self.losses {
            GearLosses::Map(map) => {
                map.contains(torque_nm(input_power_w, input_speed_rad_s), input_speed_rad_s.abs())
            }
            _ => true,
        }
    }

    /// Heat at a working point.
    #[inline]
    pub fn heat<S: Scalar>(&self, point: &GearPoint<S>) -> GearHeat<S> {
        let none = constant(0.0);
        let mut heat = GearHeat { mesh_w: none, churning_w: none, bearing_w: none, undivided_w: none };
        let speed = point.input_speed_rad_s.abs();
        match &self.losses {
            GearLosses::None => {}
            GearLosses::Fixed { mesh_w, churning_w } => {
                let turning = activity(speed, TURNING_RAD_S);
                heat.mesh_w = constant(mesh_w * turning);
                heat.churning_w = constant(churning_w * turning);
            }
            GearLosses::Efficiency { efficiency, drag } => {
                heat.mesh_w = magnitude(point.input_power_w, POWER_ROUNDING_W) * (1.0 - efficiency);
                heat.churning_w = constant(drag.at(speed, 0.0));
            }
            GearLosses::Map(map) => {
                heat.undivided_w = map.at(torque_nm(point.input_power_w, speed), constant(speed));
            }
            GearLosses::Geometry(geometry) => geometry.add_heat(point, &mut heat),
        }
        heat
    }

    /// Power into the box for a power at its output (W), and the heat there: `P_in = P_out + loss(P_in)`.
    ///
    /// The `input_power_w` of the point is ignored. Repeated substitution, a fixed number of times: the loss is a small
    /// and slowly growing part of the power, so the remainder is below 1e-12 of the power for losses that grow by less than
    /// 3 % of it.
    pub fn from_output<S: Scalar>(&self, output_power_w: S, point: &GearPoint<S>) -> (S, GearHeat<S>) {
        let mut input_power_w = output_power_w;
        for _ in 0..SUBSTITUTIONS {
            let heat = self.heat(&GearPoint { input_power_w, ..*point });
            input_power_w = output_power_w + heat.total();
        }
        (input_power_w, self.heat(&GearPoint { input_power_w, ..*point }))
    }
}

#[cfg(test)]
mod tests;
