//! Similarity laws of pumps and fans, and what their losses do.
//!
//! Valid for the same machine or a geometrically similar one at equal efficiency; Reynolds number effects (cold coolant, small
//! machines, large steps in speed) are not in them: a few per cent for a factor of 2 in speed (common practice, no source).

use numerics::Scalar;

/// Volume flow at another speed and size, `Q ~ N D^3`. Ratios are new over old.
///
/// # Source
/// Similarity laws (ISO 5801 for fans; pump affinity). Checked by `pump_fan_affinity.csv`.
#[inline]
pub fn scaled_volume_flow<S: Scalar>(volume_flow_m3_s: S, speed_ratio: S, diameter_ratio: f64) -> S {
    volume_flow_m3_s * speed_ratio * diameter_ratio.powi(3)
}

/// Pressure rise at another speed, size and density, `dp ~ rho N^2 D^2`. Source as [`scaled_volume_flow`].
#[inline]
pub fn scaled_pressure_rise<S: Scalar>(
    pressure_rise_pa: S,
    speed_ratio: S,
    diameter_ratio: f64,
    density_ratio: S,
) -> S {
    pressure_rise_pa * density_ratio * speed_ratio * speed_ratio * diameter_ratio.powi(2)
}

/// Shaft power at another speed, size and density, `P ~ rho N^3 D^5`, at equal efficiency. Source as [`scaled_volume_flow`].
#[inline]
pub fn scaled_shaft_power<S: Scalar>(
    shaft_power_w: S,
    speed_ratio: S,
    diameter_ratio: f64,
    density_ratio: S,
) -> S {
    shaft_power_w * density_ratio * speed_ratio * speed_ratio * speed_ratio * diameter_ratio.powi(5)
}

/// Power that reaches the fluid as flow and pressure, W: `Q dp`.
#[inline]
pub fn hydraulic_power<S: Scalar>(volume_flow_m3_s: S, pressure_rise_pa: S) -> S {
    volume_flow_m3_s * pressure_rise_pa
}

/// Power taken in, W: `Q dp/efficiency`. With the overall efficiency it is the electrical power.
#[inline]
pub fn input_power<S: Scalar>(volume_flow_m3_s: S, pressure_rise_pa: S, efficiency: S) -> S {
    hydraulic_power(volume_flow_m3_s, pressure_rise_pa) / efficiency
}

/// Heat released inside the machine, W: `(1/efficiency - 1) Q dp`. The hydraulic power itself turns to heat along the circuit.
#[inline]
pub fn internal_heat<S: Scalar>(volume_flow_m3_s: S, pressure_rise_pa: S, efficiency: S) -> S {
    (efficiency.recip() - 1.0) * hydraulic_power(volume_flow_m3_s, pressure_rise_pa)
}
