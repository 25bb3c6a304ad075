//! Small functions that stay accurate and differentiable where the textbook form divides zero by zero.

use numerics::{Scalar, blend, constant, ramp};

/// Below this a power is taken as zero: dual numbers form `x^(n - 3)` on the way, which must not overflow.
const VANISHING: f64 = 1e-90;

/// `x^exponent` for a positive exponent and `x >= 0`; zero, with zero slope, at the origin.
#[inline]
pub(crate) fn power<S: Scalar>(x: S, exponent: f64) -> S {
    if x.value() < VANISHING { constant(0.0) } else { x.powf(exponent) }
}

/// `below` up to `low`, `above` from `high` on, blended smoothly in between.
#[inline]
pub(crate) fn seam<S: Scalar>(
    x: S,
    low: f64,
    high: f64,
    below: impl FnOnce() -> S,
    above: impl FnOnce() -> S,
) -> S {
    if x.value() <= low {
        below()
    } else if x.value() >= high {
        above()
    } else {
        blend(below(), above(), ramp(x, low, high))
    }
}

/// `(1 - e^-x)/x`, which is 1 at zero; also serves as `(e^y - 1)/y` with `x = -y`.
#[inline]
pub(crate) fn decay_mean<S: Scalar>(x: S) -> S {
    if x.value().abs() < 0.02 {
        let horner = x / -7.0 + 1.0;
        let horner = x / -6.0 * horner + 1.0;
        let horner = x / -5.0 * horner + 1.0;
        let horner = x / -4.0 * horner + 1.0;
        let horner = x / -3.0 * horner + 1.0;
        x / -2.0 * horner + 1.0
    } else {
        -(-x).exp_m1() / x
    }
}

/// `tanh(x)/x` for `x >= 0`, which is 1 at zero.
#[inline]
pub(crate) fn tanh_over<S: Scalar>(x: S) -> S {
    if x.value() < 0.1 {
        let y = x * x;
        ((((y * (-1382.0 / 155_925.0) + 62.0 / 2835.0) * y - 17.0 / 315.0) * y + 2.0 / 15.0) * y - 1.0 / 3.0)
            * y
            + 1.0
    } else {
        let decay = (x * -2.0).exp();
        (-decay + 1.0) / ((decay + 1.0) * x)
    }
}

/// The larger of two positive numbers, with the corner rounded where they differ by less than a factor `e^width`.
///
/// Exact outside that band; at equality it is too high by a factor `e^(width/4)`. Value and slope are continuous.
#[inline]
pub(crate) fn larger<S: Scalar>(a: S, b: S, width: f64) -> S {
    if a.value() >= b.value() * width.exp() {
        return a;
    }
    if b.value() >= a.value() * width.exp() {
        return b;
    }
    let apart = a.ln() - b.ln() + width;
    b * (apart * apart / (4.0 * width)).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_at_zero_join_the_closed_forms() {
        for x in [0.0199_f64, 0.0201, -0.0199, -0.0201] {
            assert!((decay_mean(x) + (-x).exp_m1() / x).abs() < 1e-15, "x = {x}");
        }
        for x in [0.0999_f64, 0.1001] {
            assert!((tanh_over(x) - x.tanh() / x).abs() < 1e-14, "x = {x}");
        }
        assert_eq!(decay_mean(0.0), 1.0);
        assert_eq!(tanh_over(0.0), 1.0);
    }

    #[test]
    fn the_larger_is_exact_outside_its_band() {
        assert_eq!(larger(2.0, 1.0, 0.05), 2.0);
        assert_eq!(larger(1.0, 2.0, 0.05), 2.0);
        assert!((larger(1.0_f64, 1.0, 0.05) - 0.0125_f64.exp()).abs() < 1e-15);
    }
}
