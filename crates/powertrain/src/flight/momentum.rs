//! Momentum theory of a disc that carries thrust: induced speed in hover, climb and forward flight, near the ground.

use numerics::ramp;

/// Lowest height of the rotor over its radius for which the ground-effect relation holds (Cheeseman & Bennett).
pub const GROUND_LOWEST: f64 = 0.5;

/// Heights over the radius between which the ground effect is faded out; above the second it is neglected
/// (usual in textbooks, unconfirmed).
pub const GROUND_FADE: (f64, f64) = (1.5, 2.0);

const MAX_STEPS: u32 = 40;

/// Area of a disc (m2).
pub fn disc_area_m2(radius_m: f64) -> f64 {
    std::f64::consts::PI * radius_m * radius_m
}

/// Induced speed in hover (m/s): `v_h = sqrt(T/(2 rho A))`, momentum theory.
pub fn induced_hover_m_s(thrust_n: f64, density_kg_m3: f64, disc_area_m2: f64) -> f64 {
    (thrust_n / (2.0 * density_kg_m3 * disc_area_m2)).sqrt()
}

/// Induced speed in vertical climb (m/s): `v_i = -V_c/2 + sqrt((V_c/2)^2 + v_h^2)`, momentum theory, for `V_c >= 0`. The
/// same equation gives that of a propeller at the airspeed `V_c`.
pub fn induced_climb_m_s(hover_m_s: f64, climb_m_s: f64) -> f64 {
    let half = 0.5 * climb_m_s;
    let root = half.hypot(hover_m_s);
    // the form that loses no digits for a fast climb
    if half > 0.0 { hover_m_s * hover_m_s / (half + root) } else { root - half }
}

/// Rate of vertical climb (m/s) that a useful power sustains: `V_c = P/T - v_h^2 T/P`, the inverse of momentum theory.
/// Below the ideal hover power the result is negative and not to be used.
pub fn vertical_climb_m_s(useful_power_w: f64, thrust_n: f64, hover_m_s: f64) -> f64 {
    let through = useful_power_w / thrust_n;
    through - hover_m_s * hover_m_s / through
}

/// Induced speed of level flight over that of hover, 1 at rest and falling as `v_h/V`:
///
/// ```text
/// v_i/v_h = sqrt( -a/2 + sqrt(a^2/4 + 1) )      a = (V/v_h)^2
/// ```
/// The closed solution of `v_i = v_h^2/sqrt(V^2 + v_i^2)` (Glauert). Also used as the share of hover in a flight.
pub fn hover_share(airspeed_m_s: f64, hover_m_s: f64) -> f64 {
    let half = 0.5 * (airspeed_m_s / hover_m_s).powi(2);
    // 1/(a/2 + sqrt(..)) is the same without loss of digits at speed
    (half + half.hypot(1.0)).recip().sqrt()
}

/// Induced speed (m/s) in forward flight with climb.
///
/// # Formula
/// ```text
/// v_i sqrt(V^2 + (V_c + v_i)^2) = v_h^2
/// ```
/// `V` along and `V_c` through the disc. Glauert's assumption; for `V = 0` momentum theory of the climb, for `V_c = 0` of
/// level flight. Solved by Newton's method from above, to the last digits.
///
/// # Valid range
/// `V_c >= -V`: callers limit a steeper descent.
///
/// # Source
/// Textbooks (Leishman, Principles of Helicopter Aerodynamics; Johnson, Helicopter Theory), from memory.
pub fn induced_m_s(hover_m_s: f64, airspeed_m_s: f64, climb_m_s: f64) -> f64 {
    let target = hover_m_s * hover_m_s;
    let level = hover_m_s * hover_share(airspeed_m_s, hover_m_s);
    // either closed form leaves one of the two speeds out and so is too high, except in descent
    let mut induced =
        if climb_m_s > 0.0 { level.min(induced_climb_m_s(hover_m_s, climb_m_s)) } else { level };
    for _ in 0..MAX_STEPS {
        let through = climb_m_s + induced;
        let speed = airspeed_m_s.hypot(through);
        let slope = speed + induced * through / speed;
        let step = (induced * speed - target) / slope;
        induced = (induced - step).max(0.0);
        if step.abs() <= 1e-14 * hover_m_s {
            break;
        }
    }
    induced
}

/// Thrust near the ground over that far from it, at the same power.
///
/// # Formula
/// ```text
/// T_IGE/T_OGE = 1/(1 - s)      s = (R/4z)^2 / (1 + (V/v_i)^2)
/// ```
/// `z` height of the rotor, `s` from [`ground_share`], which fades the effect out between [`GROUND_FADE`] radii.
///
/// # Valid range
/// `z/R` from [`GROUND_LOWEST`]; lower values are held there.
///
/// # Source
/// Cheeseman & Bennett 1955, The effect of the ground on a helicopter rotor in forward flight, ARC R&M 3021 (as in three public texts).
pub fn ground_thrust_ratio(height_over_radius: f64, airspeed_over_induced: f64) -> f64 {
    (1.0 - ground_share(height_over_radius, airspeed_over_induced)).recip()
}

/// Induced power near the ground over that far from it, at the same thrust: `1 - s`.
///
/// Sources disagree. A public text after the same paper lowers the induced speed, and with it the power, by `1 - s` at equal thrust; the thrust ratio at
/// equal power with ideal power as `T^(3/2)` gives [`ground_power_factor_by_thrust`], 13 % of the induced part lower at `z = 0.5 R`, 3 % at `1 R`. The one
/// that asks for more power is used; the paper itself was not seen.
pub fn ground_power_factor(height_over_radius: f64, airspeed_over_induced: f64) -> f64 {
    1.0 - ground_share(height_over_radius, airspeed_over_induced)
}

/// The other reading of [`ground_power_factor`], `(1 - s)^(3/2)`: less power. Not used; shown beside it.
pub fn ground_power_factor_by_thrust(height_over_radius: f64, airspeed_over_induced: f64) -> f64 {
    ground_power_factor(height_over_radius, airspeed_over_induced).powf(1.5)
}

/// The share `s` of [`ground_thrust_ratio`]: 0 without ground effect.
pub fn ground_share(height_over_radius: f64, airspeed_over_induced: f64) -> f64 {
    let height = height_over_radius.max(GROUND_LOWEST);
    let fade = 1.0 - ramp(height, GROUND_FADE.0, GROUND_FADE.1);
    fade * (4.0 * height).powi(-2) / (1.0 + airspeed_over_induced * airspeed_over_induced)
}
