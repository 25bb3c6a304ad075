//! Working point and heat of a gearbox.

use numerics::Scalar;

/// Width of the rounding of `|power|` at zero (W).
pub(super) const POWER_ROUNDING_W: f64 = 1.0;

/// The working point of a gearbox.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GearPoint<S> {
    /// Power into the box from the motor side (W), negative when the output drives.
    pub input_power_w: S,
    /// Input (motor side) speed (rad/s).
    pub input_speed_rad_s: f64,
    /// Oil density (kg/m3).
    pub oil_density_kg_m3: S,
    /// Oil kinematic viscosity (m2/s).
    pub oil_kinematic_viscosity_m2_s: S,
}

/// Heat of a gearbox by cause.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GearHeat<S> {
    /// Sliding in the meshes (W).
    pub mesh_w: S,
    /// Churning and windage (W).
    pub churning_w: S,
    /// Bearings (W).
    pub bearing_w: S,
    /// Loss known only as a total (W).
    pub undivided_w: S,
}

impl<S: Scalar> GearHeat<S> {
    /// All losses (W).
    pub fn total(&self) -> S {
        self.mesh_w + self.churning_w + self.bearing_w + self.undivided_w
    }
}

/// Torque (N m) of a power, 0 at rest.
pub(super) fn torque_nm<S: Scalar>(power_w: S, speed_rad_s: f64) -> S {
    power_w * (speed_rad_s / (speed_rad_s * speed_rad_s + 1e-6))
}
