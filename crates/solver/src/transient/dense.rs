//! Values inside a step.

/// `y(s) = (1-s) y0 + s (y1 + (1-s) (d0 + s d1))`: order 3.
#[inline]
pub(super) fn dense_value(
    before: &[f64],
    after: &[f64],
    dense: &[Vec<f64>; 2],
    unknown: usize,
    share: f64,
) -> f64 {
    let rest = 1.0 - share;
    before[unknown] * rest + share * (after[unknown] + rest * (dense[0][unknown] + share * dense[1][unknown]))
}
