//! Loss coefficients of bends, entrances, exits and changes of area: `dp = K rho u^2/2`.
//!
//! All are for turbulent flow. Laminar losses are higher and depend on the Reynolds number; for cold, viscous coolant the
//! friction of the straight runs dominates, but a fitting that matters should be measured.

use crate::{Range, friction};
use numerics::Scalar;

/// Bend radius over diameter covered by [`bend`].
pub const BEND_RADIUS: Range = Range::new(0.5, 20.0);
/// Bend radius over diameter covered by [`bend_crane`].
pub const CRANE_BEND_RADIUS: Range = Range::new(1.0, 20.0);
/// Bend angles, in degrees.
pub const BEND_ANGLE_DEG: Range = Range::new(0.0, 180.0);

/// Sharp-edged entrance flush with a wall, on the velocity in the pipe.
///
/// Rennels & Hudson 2012, Pipe Flow; Crane and Idelchik quote 0.5. Checked by `minor_losses.csv`.
pub const SHARP_ENTRANCE: f64 = 0.57;

/// Exit into a large space, on the velocity in the pipe: the whole velocity head is lost.
pub const EXIT: f64 = 1.0;

/// Sudden expansion, on the velocity upstream: `(1 - A1/A2)^2`.
///
/// `area_ratio` is the smaller over the larger area, 0 to 1. Exact for uniform turbulent profiles (momentum balance).
///
/// # Source
/// Borda 1766, Carnot. Checked by `minor_losses.csv`.
pub fn sudden_expansion(area_ratio: f64) -> f64 {
    (1.0 - area_ratio).powi(2)
}

/// Sharp-edged sudden contraction, on the velocity in the smaller pipe.
///
/// # Formula
/// ```text
/// b = sqrt(A2/A1)     l = 1 + 0.622 (1 - 0.215 b^2 - 0.785 b^5)
/// K = 0.0696 (1 - b^5) l^2 + (l - 1)^2
/// ```
/// `area_ratio` is the smaller over the larger area, 0 to 1.
///
/// # Source
/// Rennels & Hudson 2012, Pipe Flow, chapter on contractions. Checked by `minor_losses.csv`.
pub fn sudden_contraction(area_ratio: f64) -> f64 {
    let b2 = area_ratio;
    let b5 = area_ratio.powf(2.5);
    let jet = 1.0 + 0.622 * (1.0 - 0.215 * b2 - 0.785 * b5);
    0.0696 * (1.0 - b5) * jet * jet + (jet - 1.0).powi(2)
}

/// Sudden contraction by the textbook rule `K = 0.5 (1 - A2/A1)`, on the velocity in the smaller pipe.
///
/// `area_ratio` is the smaller over the larger area, 0 to 1. Up to 30 % below [`sudden_contraction`].
///
/// # Source
/// Common textbook rule. Checked by `minor_losses.csv`.
pub fn sudden_contraction_half_rule(area_ratio: f64) -> f64 {
    0.5 * (1.0 - area_ratio)
}

/// Smooth bend of round pipe, wall friction along the bend included.
///
/// # Formula
/// ```text
/// K = f a r/d + (0.10 + 2.4 f) sin(a/2) + 6.6 f ( sqrt(sin(a/2)) + sin(a/2) ) / (r/d)^(4 a/pi)
/// ```
/// `f` Darcy friction factor of the straight pipe, `a` angle in radians, `r/d` centreline radius over inside diameter.
///
/// # Valid range
/// [`BEND_ANGLE_DEG`], [`BEND_RADIUS`]; turbulent flow.
///
/// # Uncertainty
/// About ±20 %: sources of bend losses differ by that much (unconfirmed).
///
/// # Source
/// Rennels & Hudson 2012, Pipe Flow, chapter on bends. Checked by `minor_losses.csv`.
pub fn bend<S: Scalar>(darcy: S, angle_deg: f64, radius_over_diameter: f64) -> S {
    let angle = angle_deg.to_radians();
    let half_sine = (0.5 * angle).sin();
    let turning =
        6.6 * (half_sine.sqrt() + half_sine) / radius_over_diameter.powf(4.0 * angle / std::f64::consts::PI);
    darcy * (angle * radius_over_diameter + 2.4 * half_sine + turning) + 0.10 * half_sine
}

/// Friction factor of fully rough flow in clean commercial steel pipe, as Crane TP 410 tabulates it by diameter.
///
/// Colebrook's equation at `Re = 7.5e6 D`, `e/D = 3.4127e-5 D^-1.0112` (`D` in m): a fit of the table.
///
/// # Source
/// Crane TP 410, table of friction factors for clean commercial steel pipe; fit as in the `fluids` library 1.3.1.
pub fn crane_friction(diameter_m: f64) -> f64 {
    friction::darcy_colebrook(7.5e6 * diameter_m, 3.412_682_535_292_5e-5 * diameter_m.powf(-1.0112))
}

/// Bend of commercial steel pipe by equivalent lengths, wall friction along the bend included.
///
/// # Formula
/// ```text
/// K90 = f_T (L/D)(r/d)      K = K90 + (n - 1)(0.25 pi f_T r/d + 0.5 K90)      n = angle/90 deg
/// ```
/// `f_T` from [`crane_friction`]; `(L/D)` is 20, 14, 12, 12, 14, 17, 24, 30, 34, 38, 42, 50 at `r/d` of 1, 1.5, 2, 3, 4, 6, 8,
/// 10, 12, 14, 16, 20, here through a polynomial that follows the table within 1.1 %. A table of round numbers.
///
/// # Valid range
/// [`CRANE_BEND_RADIUS`], held at its ends; [`BEND_ANGLE_DEG`].
///
/// # Source
/// Crane TP 410, 90 degree bends; polynomial as in the `fluids` library 1.3.1. Checked by `minor_losses.csv`.
pub fn bend_crane(fully_rough_friction: f64, angle_deg: f64, radius_over_diameter: f64) -> f64 {
    let ratio = radius_over_diameter.clamp(CRANE_BEND_RADIUS.low, CRANE_BEND_RADIUS.high);
    let x = (ratio - 10.5) / 9.5;
    let equivalent_length = CRANE_BEND.iter().fold(0.0, |sum, c| sum * x + c);
    let quarter_turn = fully_rough_friction * equivalent_length;
    let more_turns = angle_deg / 90.0 - 1.0;
    let straight = 0.25 * std::f64::consts::PI * fully_rough_friction * ratio;
    quarter_turn + more_turns * (straight + 0.5 * quarter_turn)
}

/// Highest power first, in `(r/d - 10.5)/9.5`.
const CRANE_BEND: [f64; 17] = [
    111.75011378177442,
    -331.89911345404107,
    -27.841951521656483,
    1066.8916917931147,
    -857.8702190626232,
    -1151.4621655498092,
    1775.2416673594603,
    216.37911821941805,
    -1458.1661519377653,
    447.169127650163,
    515.361158769082,
    -322.58377486107577,
    -38.38349416327068,
    71.12796602489138,
    -16.198233745350535,
    19.377150177339015,
    31.107110520349494,
];
