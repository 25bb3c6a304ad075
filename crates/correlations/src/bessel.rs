//! Modified Bessel functions of order 0 and 1, exponentially scaled: `I e^-x` and `K e^x`.
//!
//! Polynomials of Abramowitz & Stegun, Handbook of Mathematical Functions, 9.8.1 to 9.8.8; relative error below 3e-7, the
//! pieces meet within that at x = 2 and 3.75.

use numerics::Scalar;

/// The four functions at one argument.
pub(crate) struct Scaled<S> {
    pub(crate) i0: S,
    pub(crate) i1: S,
    pub(crate) k0: S,
    pub(crate) k1: S,
}

/// All four at `x > 0`.
pub(crate) fn scaled<S: Scalar>(x: S) -> Scaled<S> {
    let (i0, i1) = first_kind(x);
    let (k0, k1) = if x.value() <= 2.0 { second_kind_small(x, i0, i1) } else { second_kind_large(x) };
    Scaled { i0, i1, k0, k1 }
}

fn first_kind<S: Scalar>(x: S) -> (S, S) {
    if x.value() < 3.75 {
        let t = x / 3.75;
        let t = t * t;
        let scale = (-x).exp();
        let i0 = horner(t, &[1.0, 3.5156229, 3.0899424, 1.2067492, 0.2659732, 0.0360768, 0.0045813]);
        let i1 = horner(t, &[0.5, 0.87890594, 0.51498869, 0.15084934, 0.02658733, 0.00301532, 0.00032411]);
        (i0 * scale, i1 * x * scale)
    } else {
        let t = x.recip() * 3.75;
        let root = x.sqrt().recip();
        let i0 = horner(
            t,
            &[
                0.39894228,
                0.01328592,
                0.00225319,
                -0.00157565,
                0.00916281,
                -0.02057706,
                0.02635537,
                -0.01647633,
                0.00392377,
            ],
        );
        let i1 = horner(
            t,
            &[
                0.39894228,
                -0.03988024,
                -0.00362018,
                0.00163801,
                -0.01031555,
                0.02282967,
                -0.02895312,
                0.01787654,
                -0.00420059,
            ],
        );
        (i0 * root, i1 * root)
    }
}

fn second_kind_small<S: Scalar>(x: S, scaled_i0: S, scaled_i1: S) -> (S, S) {
    let t = x * x / 4.0;
    let log = (x / 2.0).ln();
    let grow = x.exp();
    let (i0, i1) = (scaled_i0 * grow, scaled_i1 * grow);
    let k0 = -log * i0
        + horner(t, &[-0.57721566, 0.42278420, 0.23069756, 0.03488590, 0.00262698, 0.00010750, 0.00000740]);
    let k1 = log * i1
        + horner(t, &[1.0, 0.15443144, -0.67278579, -0.18156897, -0.01919402, -0.00110404, -0.00004686]) / x;
    (k0 * grow, k1 * grow)
}

fn second_kind_large<S: Scalar>(x: S) -> (S, S) {
    let t = x.recip() * 2.0;
    let root = x.sqrt().recip();
    let k0 =
        horner(t, &[1.25331414, -0.07832358, 0.02189568, -0.01062446, 0.00587872, -0.00251540, 0.00053208]);
    let k1 =
        horner(t, &[1.25331414, 0.23498619, -0.03655620, 0.01504268, -0.00780353, 0.00325614, -0.00068245]);
    (k0 * root, k1 * root)
}

/// Lowest power first.
fn horner<S: Scalar>(x: S, coefficients: &[f64]) -> S {
    let mut rest = coefficients.iter().rev();
    let last = rest.next().copied().unwrap_or(0.0);
    rest.fold(numerics::constant(last), |sum: S, &c| sum * x + c)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values by SciPy 1.17.1 (`ive`, `kve`).
    #[test]
    fn they_agree_with_a_library_to_single_precision() {
        let known = [
            (0.1, 0.907100925782, 0.0452984468088, 2.68232610226, 10.8901826830),
            (1.0, 0.465759607594, 0.207910415350, 1.14446307981, 1.63615348626),
            (3.0, 0.243000354162, 0.196826713297, 0.697761598044, 0.806563480129),
            (10.0, 0.127833337163, 0.121262681384, 0.391631934437, 0.410766570596),
        ];
        for (x, i0, i1, k0, k1) in known {
            let at = scaled(x);
            for (computed, exact) in [(at.i0, i0), (at.i1, i1), (at.k0, k0), (at.k1, k1)] {
                let error: f64 = computed / exact - 1.0;
                assert!(error.abs() < 4e-7, "x = {x}: {computed} {exact}");
            }
        }
    }
}
