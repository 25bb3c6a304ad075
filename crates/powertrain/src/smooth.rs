//! Small functions with a continuous slope that stay finite, value and derivative, at zero.

use numerics::{Scalar, constant};

/// Width of the rounding at zero, as a fraction of the reference value of the law.
pub(crate) const ROUNDING: f64 = 1e-4;

/// A smooth stand-in for `|x|`: exactly 0 at 0, too low by `width^2 / (2 |x|)` far away.
///
/// ```text
/// x^2 / sqrt(x^2 + width^2)
/// ```
#[inline]
pub(crate) fn magnitude<S: Scalar>(x: S, width: f64) -> S {
    let square = x * x;
    square / (square + width * width).sqrt()
}

/// `x^exponent` for `x >= 0`, 0 for `x <= 0`; the derivative at 0 is taken as 0.
///
/// The dual-number power forms `x^(n-3)`, which is NaN at 0: hence the branch.
#[inline]
pub(crate) fn power<S: Scalar>(x: S, exponent: f64) -> S {
    if x.value() <= 0.0 { constant(0.0) } else { x.powf(exponent) }
}

/// A smooth stand-in for `max(x, 0)`: exactly 0 below `-width/2`, exactly `x` above `width/2`, a parabola between
/// (`width`/8 at 0).
#[inline]
pub(crate) fn positive_part<S: Scalar>(x: S, width: f64) -> S {
    let half = 0.5 * width;
    if x.value() <= -half {
        constant(0.0)
    } else if x.value() >= half {
        x
    } else {
        let above = x + half;
        above * above / (2.0 * width)
    }
}

/// Whether something turns or carries current: 0 at rest, 1 from `full` on, smooth between.
#[inline]
pub(crate) fn activity<S: Scalar>(x: S, full: f64) -> S {
    numerics::ramp(x * x, 0.0, full * full)
}

/// Holds a factor that falls with temperature above `floor`, smoothly: the exact value above 1.5 floors, and no
/// division by zero when a solver tries an absurd temperature.
#[inline]
pub(crate) fn above_floor<S: Scalar>(factor: S, floor: f64) -> S {
    positive_part(factor - floor, floor) + floor
}

#[cfg(test)]
mod tests {
    use super::*;
    use num_dual::first_derivative;

    #[test]
    fn magnitude_is_zero_at_rest_and_exact_far_away() {
        assert_eq!(magnitude(0.0_f64, 0.1), 0.0);
        assert!((magnitude(-50.0_f64, 0.1) - 50.0).abs() < 0.1 * 0.1 / 50.0);
        let (_, slope) = first_derivative(|x| magnitude(x, 0.1), 0.0);
        assert_eq!(slope, 0.0);
    }

    #[test]
    fn power_has_a_finite_slope_at_zero() {
        let (value, slope) = first_derivative(|x| power(x, 1.6), 0.0);
        assert_eq!((value, slope), (0.0, 0.0));
        assert!((power(2.0_f64, 1.5) - 2.828427).abs() < 1e-6);
    }

    #[test]
    fn the_positive_part_is_exact_outside_its_corner() {
        assert_eq!(positive_part(-0.6_f64, 1.0), 0.0);
        assert_eq!(positive_part(0.6_f64, 1.0), 0.6);
        for x in [-0.5_f64, -0.2, 0.0, 0.3, 0.5] {
            let (_, slope) = first_derivative(|x| positive_part(x, 1.0), x);
            let (low, high) = (positive_part(x - 1e-7, 1.0), positive_part(x + 1e-7, 1.0));
            assert!((slope - (high - low) / 2e-7).abs() < 1e-6, "x = {x}");
        }
    }

    #[test]
    fn a_factor_never_falls_below_its_floor() {
        assert!((above_floor(0.9_f64, 0.2) - 0.9).abs() < 1e-15);
        assert_eq!(above_floor(-3.0_f64, 0.2), 0.2);
        assert!(above_floor(0.25_f64, 0.2) >= 0.2);
    }
}
