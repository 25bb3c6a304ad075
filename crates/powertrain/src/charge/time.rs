//! Charge times in closed form, for estimates and checks.

/// Time (s) of a charge at constant current: `capacity (SOC_2 - SOC_1)/I`, exact, without loss of charge.
pub fn constant_current_time_s(from_soc: f64, to_soc: f64, capacity_ah: f64, current_a: f64) -> f64 {
    3600.0 * capacity_ah * (to_soc - from_soc) / current_a
}

/// Time (s) at constant voltage from one current down to another, for a constant resistance and an open-circuit voltage that
/// rises in proportion to the charge by `slope_v` from empty to full.
///
/// # Formula
/// ```text
/// I = I_1 exp(-t/tau)      tau = R C/k      t = tau ln(I_1/I_2)
/// ```
/// From `I = (V - U)/R`, `dU/dt = k I/C`; `C` capacity in A s, `k` the slope. Real cells taper more slowly than their pulse
/// resistance tells, since concentration has to even out.
pub fn constant_voltage_time_s(
    from_a: f64,
    to_a: f64,
    resistance_ohm: f64,
    capacity_ah: f64,
    slope_v: f64,
) -> f64 {
    resistance_ohm * 3600.0 * capacity_ah / slope_v * (from_a / to_a).ln()
}

/// Mean current (A) of that taper: `(I_1 - I_2)/ln(I_1/I_2)`.
pub fn mean_current_of_taper_a(from_a: f64, to_a: f64) -> f64 {
    (from_a - to_a) / (from_a / to_a).ln()
}
