//! The number type of the physics: a plain `f64`, or a dual number that carries derivatives.

use num_dual::DualNum;

/// A real number, or a dual number whose real part is `f64`.
///
/// Comparisons look at the real part only. Constants go on the right of an operator
/// (`x * 2.0`, never `2.0 * x`); lift a constant with [`constant`] where that cannot be.
pub trait Scalar: DualNum<Primitive = f64> + Copy {
    /// The value without its derivatives.
    fn value(self) -> f64;
}

impl<T: DualNum<Primitive = f64> + Copy> Scalar for T {
    #[inline]
    fn value(self) -> f64 {
        self.re()
    }
}

/// A constant as a scalar: its derivatives are zero.
#[inline]
pub fn constant<S: Scalar>(value: f64) -> S {
    S::from(value)
}
