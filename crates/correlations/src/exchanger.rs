//! Heat exchanger effectiveness against number of transfer units.
//!
//! `effectiveness = q/(C_min (T_hot,in - T_cold,in))`, `ntu = UA/C_min`, `capacity_ratio = C_min/C_max` (0 to 1), with
//! `C = m cp`. At zero capacity ratio every arrangement gives `1 - exp(-NTU)`. All are exact for constant properties and uniform
//! UA; real cores lose to maldistribution.

mod crossflow;
mod difference;
mod ranges;
mod rows;

use crate::Range;
use crate::maths::decay_mean;
use numerics::Scalar;

pub use crossflow::{
    LARGEST_NTU, crossflow_max_mixed, crossflow_min_mixed, crossflow_unmixed, crossflow_unmixed_approximate,
    crossflow_unmixed_ntu_for,
};
pub use difference::log_mean_temperature_difference;
pub use ranges::CAPACITY_RATIO;
pub use rows::{
    Rows, air_side_counter, air_side_single_pass, crossflow_rows, crossflow_rows_counter,
    crossflow_rows_counter_tube_min, crossflow_rows_tube_min,
};

/// Effectiveness of counterflow.
///
/// # Formula
/// ```text
/// e = (1 - exp(-N (1 - C)))/(1 - C exp(-N (1 - C)))       N/(1 + N) at C = 1
/// ```
/// Evaluated as `N g/(1 + C N g)`, `g = (1 - exp(-x))/x`, `x = N (1 - C)`: no division of zero by zero at `C = 1`.
///
/// # Source
/// Kays & London, Compact Heat Exchangers. Checked by `hx_effectiveness.csv`.
#[inline]
pub fn counterflow<S: Scalar>(ntu: S, capacity_ratio: S) -> S {
    let driven = ntu * decay_mean(ntu * (-capacity_ratio + 1.0));
    driven / (capacity_ratio * driven + 1.0)
}

/// Effectiveness of parallel flow, `(1 - exp(-N (1 + C)))/(1 + C)`.
///
/// # Source
/// Kays & London, Compact Heat Exchangers. Checked by `hx_effectiveness.csv`.
#[inline]
pub fn parallel<S: Scalar>(ntu: S, capacity_ratio: S) -> S {
    ntu * decay_mean(ntu * (capacity_ratio + 1.0))
}

/// Number of transfer units a counterflow exchanger needs; none if that effectiveness is out of reach.
///
/// Inverse of [`counterflow`]: `N = ln((1 - e C)/(1 - e))/(1 - C)`, `e/(1 - e)` at `C = 1`.
pub fn counterflow_ntu_for(effectiveness: f64, capacity_ratio: f64) -> Option<f64> {
    if !(0.0..1.0).contains(&effectiveness) || !CAPACITY_RATIO.contains(capacity_ratio) {
        return None;
    }
    // ln(1 + x)/x with x = e (1 - C)/(1 - e)
    let x = effectiveness * (1.0 - capacity_ratio) / (1.0 - effectiveness);
    let mean = if x < 1e-8 { 1.0 - 0.5 * x } else { x.ln_1p() / x };
    Some(effectiveness / (1.0 - effectiveness) * mean)
}

/// Number of transfer units.
pub const NTU: Range = Range::new(0.0, LARGEST_NTU);
