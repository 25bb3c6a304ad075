//! Numbers carried as the unevaluated sum of two `f64` (about 32 digits).
//!
//! A unit conversion in plain `f64` rounds two or three times, so that "-40 degF" becomes 233.14999999999998 K and
//! comes back as -40.00000000000003. With twice the digits in between, only the last step rounds.
//!
//! # Source
//! Error-free sum: Knuth, The Art of Computer Programming, vol. 2, 4.2.2, theorem B. Product, quotient and
//! renormalisation: T. J. Dekker, Numer. Math. 18 (1971) 224-242; the product uses a fused multiply-add.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// `high + low` with `|low|` at most half a unit in the last place of `high`; `high` is the nearest `f64`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct DoubleDouble {
    high: f64,
    low: f64,
}

/// Largest power of ten whose reciprocal still has a normal low part.
pub(crate) const LARGEST_POWER_OF_TEN: i32 = 250;

impl DoubleDouble {
    pub(crate) const ZERO: Self = Self { high: 0.0, low: 0.0 };
    pub(crate) const ONE: Self = Self { high: 1.0, low: 0.0 };
    /// π to 32 digits: the low part is π minus its nearest `f64`.
    pub(crate) const PI: Self = Self { high: std::f64::consts::PI, low: 1.224_646_799_147_353_2e-16 };

    /// An `f64` exactly as it is.
    pub(crate) const fn from_f64(value: f64) -> Self {
        Self { high: value, low: 0.0 }
    }

    /// An integer; exact up to 2^106.
    pub(crate) fn from_integer(value: u128) -> Self {
        let high = value as f64;
        let back = high as u128;
        let low = if back >= value { -((back - value) as f64) } else { (value - back) as f64 };
        fast_two_sum(high, low)
    }

    /// `10^exponent` for exponents up to 250 in magnitude.
    pub(crate) fn power_of_ten(exponent: i32) -> Self {
        Self::from_f64(10.0).powi(exponent)
    }

    /// Whole power by repeated squaring; a negative one is the reciprocal of the positive one.
    pub(crate) fn powi(self, exponent: i32) -> Self {
        let mut result = Self::ONE;
        let mut square = self;
        let mut rest = exponent.unsigned_abs();
        while rest > 0 {
            if rest & 1 == 1 {
                result = result * square;
            }
            rest >>= 1;
            if rest > 0 {
                square = square * square;
            }
        }
        if exponent < 0 { Self::ONE / result } else { result }
    }

    /// Absolute value.
    pub(crate) fn abs(self) -> Self {
        if self.high < 0.0 { -self } else { self }
    }

    /// Nearest integer of a value below 2^100 in magnitude.
    pub(crate) fn round(self) -> i128 {
        let whole = self.high.round();
        whole as i128 + ((self.high - whole) + self.low).round() as i128
    }

    /// The nearest `f64`.
    pub(crate) const fn value(self) -> f64 {
        self.high
    }
}

/// Sum of two `f64` where the first is the larger one or zero.
fn fast_two_sum(large: f64, small: f64) -> DoubleDouble {
    let high = large + small;
    if !high.is_finite() {
        return DoubleDouble::from_f64(high);
    }
    DoubleDouble { high, low: small - (high - large) }
}

/// Sum of two `f64` without loss.
fn two_sum(a: f64, b: f64) -> (f64, f64) {
    let sum = a + b;
    let b_part = sum - a;
    (sum, (a - (sum - b_part)) + (b - b_part))
}

impl Add for DoubleDouble {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let (high, high_error) = two_sum(self.high, other.high);
        if !high.is_finite() {
            return Self::from_f64(high);
        }
        let (low, low_error) = two_sum(self.low, other.low);
        let first = fast_two_sum(high, high_error + low);
        fast_two_sum(first.high, first.low + low_error)
    }
}

impl Neg for DoubleDouble {
    type Output = Self;
    fn neg(self) -> Self {
        Self { high: -self.high, low: -self.low }
    }
}

impl Sub for DoubleDouble {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Mul for DoubleDouble {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let product = self.high * other.high;
        if !product.is_finite() {
            return Self::from_f64(product);
        }
        let error = self.high.mul_add(other.high, -product);
        fast_two_sum(product, error + (self.high * other.low + self.low * other.high))
    }
}

impl Div for DoubleDouble {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let first = self.high / other.high;
        if !first.is_finite() {
            return Self::from_f64(first);
        }
        let rest = self - other * Self::from_f64(first);
        let second = rest.high / other.high;
        let rest = rest - other * Self::from_f64(second);
        let third = rest.high / other.high;
        fast_two_sum(first, second) + Self::from_f64(third)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimal_fractions_are_correctly_rounded() {
        // The compiler's own decimal reader is correctly rounded, so it is the reference here.
        for (numerator, power, expected) in
            [(27315_u128, 2, 273.15), (23315, 2, 233.15), (45359237, 8, 0.45359237), (1, 3, 0.001)]
        {
            let quotient = DoubleDouble::from_integer(numerator) / DoubleDouble::power_of_ten(power);
            assert_eq!(quotient.value(), expected, "{numerator}/10^{power}");
        }
    }

    #[test]
    fn a_third_times_three_is_one() {
        let third = DoubleDouble::ONE / DoubleDouble::from_f64(3.0);
        let error = (third * DoubleDouble::from_f64(3.0) + -DoubleDouble::ONE).value().abs();
        assert!(error < 1e-31, "error {error:e}");
    }

    #[test]
    fn large_integers_are_exact() {
        let value = 745_699_871_582_270_220_000_u128;
        let back = DoubleDouble::from_integer(value) + -DoubleDouble::from_integer(value - 1);
        assert_eq!(back.value(), 1.0);
    }

    #[test]
    fn powers_of_ten_agree_with_the_decimal_reader() {
        for exponent in -250..=250 {
            let expected: f64 = format!("1e{exponent}").parse().unwrap();
            assert_eq!(DoubleDouble::power_of_ten(exponent).value(), expected, "10^{exponent}");
        }
    }

    #[test]
    fn overflow_stays_infinite() {
        let huge = DoubleDouble::from_f64(1e308);
        assert_eq!((huge * DoubleDouble::from_f64(1e3)).value(), f64::INFINITY);
        assert_eq!((huge / DoubleDouble::from_f64(1e-3)).value(), f64::INFINITY);
    }
}
