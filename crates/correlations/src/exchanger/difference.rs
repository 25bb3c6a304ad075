//! The mean temperature difference that drives an exchanger.

use numerics::Scalar;

/// Logarithmic mean of the temperature differences at the two ends, K; both positive.
///
/// # Formula
/// ```text
/// (d1 - d2)/ln(d1/d2)      d at equal ends
/// ```
/// Evaluated as the arithmetic mean times `u/artanh(u)`, `u = (d1 - d2)/(d1 + d2)`: regular at equal ends. Zero if either is zero.
///
/// # Source
/// Definition. Checked by `hx_lmtd.csv`.
pub fn log_mean_temperature_difference<S: Scalar>(first_k: S, second_k: S) -> S {
    let sum = first_k + second_k;
    let difference = first_k - second_k;
    let u = difference / sum;
    let u2 = u * u;
    if u2.value() < 1e-3 {
        let tail = (u2 * (428.0 / 14_175.0) + 44.0 / 945.0) * u2 + 4.0 / 45.0;
        let factor = -((tail * u2 + 1.0 / 3.0) * u2) + 1.0;
        return sum * 0.5 * factor;
    }
    if first_k.value() == 0.0 || second_k.value() == 0.0 {
        return sum * 0.0;
    }
    difference / (first_k / second_k).ln()
}
