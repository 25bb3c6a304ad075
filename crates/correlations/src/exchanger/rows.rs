//! Tube rows across an air stream: air unmixed throughout, tube fluid mixed inside each row.

use crate::maths::decay_mean;
use numerics::Scalar;

/// Number of tube rows for which the closed forms are known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rows {
    /// One row.
    One,
    /// Two rows.
    Two,
    /// Three rows.
    Three,
    /// Four rows; more rows are close to unmixed crossflow (single pass) or counterflow.
    Four,
}

impl Rows {
    /// One to four rows; none for another number.
    pub fn new(rows: u32) -> Option<Self> {
        match rows {
            1 => Some(Self::One),
            2 => Some(Self::Two),
            3 => Some(Self::Three),
            4 => Some(Self::Four),
            _ => None,
        }
    }

    /// The number.
    pub fn count(self) -> u32 {
        match self {
            Self::One => 1,
            Self::Two => 2,
            Self::Three => 3,
            Self::Four => 4,
        }
    }
}

/// Air-side temperature effectiveness of rows fed in parallel (one pass).
///
/// # Formula
/// ```text
/// P = [1 - exp(-n K C) B]/C      K = 1 - exp(-N/n)      N = UA/C_air, C = C_air/C_tube, any size
/// B = 1                                                                 n = 1
///     1 + C K^2                                                         n = 2
///     1 + C K^2 (3 - K) + 3/2 C^2 K^4                                   n = 3
///     1 + C K^2 (6 - 4 K + K^2) + 4 C^2 K^4 (2 - K) + 8/3 C^3 K^6       n = 4
/// ```
/// Rearranged so that `C = 0` is regular.
///
/// # Source
/// ESDU 86018. Checked by `hx_multirow.csv`.
pub fn air_side_single_pass<S: Scalar>(rows: Rows, ntu_air: S, air_over_tube: S) -> S {
    let n = f64::from(rows.count());
    let (k, c) = (-(ntu_air / -n).exp_m1(), air_over_tube);
    let k2 = k * k;
    // (B - 1)/C
    let rest = match rows {
        Rows::One => k * 0.0,
        Rows::Two => k2,
        Rows::Three => k2 * (-k + 3.0) + c * k2 * k2 * 1.5,
        Rows::Four => {
            k2 * (k2 - k * 4.0 + 6.0) + c * k2 * k2 * (-k + 2.0) * 4.0 + c * c * k2 * k2 * k2 * (8.0 / 3.0)
        }
    };
    let x = k * c * n;
    k * decay_mean(x) * n - (-x).exp() * rest
}

/// Air-side temperature effectiveness of rows passed one after the other, overall counterflow.
///
/// # Formula
/// ```text
/// P = (1 - 1/x)/R      R = C_air/C_tube, K as above
/// x = K/2 + (1 - K/2) e^(2KR)                                                                       n = 2
///     K [1 - K/4 - R K (1 - K/2)] e^(KR) + (1 - K/2)^2 e^(3KR)                                      n = 3
///     K/2 (1 - K/2 + K^2/4) + K (1 - K/2)[1 - 2 R K (1 - K/2)] e^(2KR) + (1 - K/2)^3 e^(4KR)        n = 4
/// ```
/// One row is the single pass. Rearranged so that `R = 0` is regular. A four-row form in use elsewhere falls below the three-row
/// result and is wrong.
///
/// # Source
/// Nicole 1972; ESDU 86018. Checked by `hx_multirow.csv` (own integration of the temperature field).
pub fn air_side_counter<S: Scalar>(rows: Rows, ntu_air: S, air_over_tube: S) -> S {
    let n = f64::from(rows.count());
    let (k, r) = (-(ntu_air / -n).exp_m1(), air_over_tube);
    let y = k * r;
    if y.value() > 150.0 {
        return r.recip(); // x is beyond e^150
    }
    let half = -k * 0.5 + 1.0;
    // (e^(m y) - 1)/R
    let grown = |m: f64| k * decay_mean(y * -m) * m;
    let (over_r, x) = match rows {
        Rows::One => return air_side_single_pass(rows, ntu_air, air_over_tube),
        Rows::Two => {
            let over_r = half * grown(2.0);
            (over_r, r * over_r + 1.0)
        }
        Rows::Three => {
            let over_r =
                k * (-k * 0.25 + 1.0) * grown(1.0) - k * k * half * y.exp() + half * half * grown(3.0);
            (over_r, r * over_r + 1.0)
        }
        Rows::Four => {
            let over_r = k * half * grown(2.0) - k * k * half * half * (y * 2.0).exp() * 2.0
                + half * half * half * grown(4.0);
            (over_r, r * over_r + 1.0)
        }
    };
    over_r / x
}

/// Effectiveness of rows in one pass when the air has the smaller capacity. Formula: [`air_side_single_pass`].
pub fn crossflow_rows<S: Scalar>(rows: Rows, ntu: S, capacity_ratio: S) -> S {
    air_side_single_pass(rows, ntu, capacity_ratio)
}

/// Effectiveness of rows in one pass when the tube fluid has the smaller capacity (capacity ratio above 0).
pub fn crossflow_rows_tube_min<S: Scalar>(rows: Rows, ntu: S, capacity_ratio: S) -> S {
    air_side_single_pass(rows, ntu * capacity_ratio, capacity_ratio.recip()) / capacity_ratio
}

/// Effectiveness of rows passed in overall counterflow when the air has the smaller capacity. Formula: [`air_side_counter`].
pub fn crossflow_rows_counter<S: Scalar>(rows: Rows, ntu: S, capacity_ratio: S) -> S {
    air_side_counter(rows, ntu, capacity_ratio)
}

/// Effectiveness of rows passed in overall counterflow when the tube fluid has the smaller capacity (ratio above 0).
pub fn crossflow_rows_counter_tube_min<S: Scalar>(rows: Rows, ntu: S, capacity_ratio: S) -> S {
    air_side_counter(rows, ntu * capacity_ratio, capacity_ratio.recip()) / capacity_ratio
}
