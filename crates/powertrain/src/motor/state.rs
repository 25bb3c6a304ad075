//! State of a motor, and the air in its gap.

use numerics::Scalar;

/// The working point of a motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MotorState<S> {
    /// Shaft torque, positive when driving in the direction of rotation (N m).
    pub torque_nm: S,
    /// Shaft speed (rad/s).
    pub speed_rad_s: S,
    /// Voltage at the inverter's direct-current side (V).
    pub bus_voltage_v: S,
    /// Average winding temperature (K).
    pub winding_k: S,
    /// Magnet temperature (K).
    pub magnet_k: S,
    /// Winding sets that carry current: all in normal operation, 0 for a machine that is switched off and only turns.
    pub active_sets: u8,
}

/// The air round the rotor, where it is modelled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GapAir<S> {
    /// Windage computed elsewhere from the rotor's geometry (W); read by [`Windage::Given`](crate::motor::Windage::Given) only.
    pub windage_w: S,
    /// Density of the air over the density the windage law was made at; read by [`Windage::SpeedLaw`](crate::motor::Windage::SpeedLaw) only.
    pub density_ratio: S,
}

impl<S: Scalar> MotorState<S> {
    /// A point with all winding sets in use.
    pub fn new(torque_nm: S, speed_rad_s: S, bus_voltage_v: S, winding_k: S, magnet_k: S) -> Self {
        Self { torque_nm, speed_rad_s, bus_voltage_v, winding_k, magnet_k, active_sets: u8::MAX }
    }
}
