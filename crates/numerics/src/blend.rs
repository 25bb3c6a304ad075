//! Smooth transitions, so that no relation has a kink where a solver could step over it.

use crate::{Scalar, constant};

/// `3 x^2 - 2 x^3` between 0 and 1, flat outside: value and slope are continuous.
#[inline]
pub fn smoothstep<S: Scalar>(x: S) -> S {
    if x.value() <= 0.0 {
        constant(0.0)
    } else if x.value() >= 1.0 {
        constant(1.0)
    } else {
        x * x * (-x * 2.0 + 3.0)
    }
}

/// A smooth ramp: 0 below `from`, 1 above `to` (`from < to`).
#[inline]
pub fn ramp<S: Scalar>(x: S, from: f64, to: f64) -> S {
    smoothstep((x - from) / (to - from))
}

/// `low` at weight 0, `high` at weight 1.
#[inline]
pub fn blend<S: Scalar>(low: S, high: S, weight: S) -> S {
    low + (high - low) * weight
}

/// `x` held at the edges of `[low, high]`: the derivative outside is zero.
#[inline]
pub fn hold<S: Scalar>(x: S, low: f64, high: f64) -> S {
    if x.value() < low {
        constant(low)
    } else if x.value() > high {
        constant(high)
    } else {
        x
    }
}

/// A positive, smooth stand-in for `max(x, 0)`: too high by `width`/2 at 0, by `width^2`/(4 x) far away.
#[inline]
pub fn soft_positive<S: Scalar>(x: S, width: f64) -> S {
    ((x * x + width * width).sqrt() + x) * 0.5
}

/// `x` limited to `[low, high]` with rounded corners of the given width.
#[inline]
pub fn clamp_smooth<S: Scalar>(x: S, low: f64, high: f64, width: f64) -> S {
    let above_low = soft_positive(x - low, width) + low;
    -(soft_positive(-(above_low - high), width)) + high
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ramp_is_flat_outside_and_half_in_the_middle() {
        assert_eq!(ramp(1.0, 2.0, 4.0), 0.0);
        assert_eq!(ramp(3.0, 2.0, 4.0), 0.5);
        assert_eq!(ramp(5.0, 2.0, 4.0), 1.0);
    }

    #[test]
    fn the_soft_positive_part_approaches_the_hard_one() {
        assert!((soft_positive(10.0_f64, 0.1) - 10.0).abs() < 1e-3);
        assert!(soft_positive(-10.0, 0.1) < 1e-3);
        assert!((clamp_smooth(0.5_f64, 0.0, 1.0, 1e-6) - 0.5).abs() < 1e-6);
        assert!((clamp_smooth(7.0_f64, 0.0, 1.0, 1e-6) - 1.0).abs() < 1e-6);
    }
}
