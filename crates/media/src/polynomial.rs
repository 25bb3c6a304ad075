//! Property laws in one variable, temperature, with exact integrals.

use numerics::{Curve, CurveError, Scalar, constant};

/// Most coefficients of a [`Polynomial`].
const MOST: usize = 9;

/// A polynomial in `z = (T - centre)/scale`, with its integral over T.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Polynomial {
    centre_k: f64,
    scale_k: f64,
    coefficients: [f64; MOST],
    /// Coefficients of the integral over `z`, `c_i/(i + 1)`.
    integrated: [f64; MOST],
    length: usize,
}

impl Polynomial {
    /// Coefficients by rising power of `z`.
    ///
    /// # Panics
    /// If there are none, or more than nine: the tables of this crate are fixed.
    pub(crate) const fn new(centre_k: f64, scale_k: f64, rising: &[f64]) -> Self {
        assert!(!rising.is_empty() && rising.len() <= MOST, "one to nine coefficients");
        let (mut coefficients, mut integrated) = ([0.0; MOST], [0.0; MOST]);
        let mut i = 0;
        while i < rising.len() {
            coefficients[i] = rising[i];
            integrated[i] = rising[i] / (i + 1) as f64;
            i += 1;
        }
        Self { centre_k, scale_k, coefficients, integrated, length: rising.len() }
    }

    /// A straight line through `value` at `at_k`.
    pub(crate) fn line(at_k: f64, value: f64, slope_per_k: f64) -> Self {
        Self::new(at_k, 1.0, &[value, slope_per_k])
    }

    #[inline]
    pub(crate) fn at<S: Scalar>(&self, temperature_k: S) -> S {
        let z = (temperature_k - self.centre_k) / self.scale_k;
        let mut sum: S = constant(self.coefficients[self.length - 1]);
        for &coefficient in self.coefficients[..self.length - 1].iter().rev() {
            sum = sum * z + coefficient;
        }
        sum
    }

    /// The integral from the centre: `scale * sum(c_i z^(i+1) / (i+1))`.
    #[inline]
    pub(crate) fn integral<S: Scalar>(&self, temperature_k: S) -> S {
        let from_centre_k = temperature_k - self.centre_k;
        let z = from_centre_k / self.scale_k;
        let mut sum: S = constant(self.integrated[self.length - 1]);
        for &coefficient in self.integrated[..self.length - 1].iter().rev() {
            sum = sum * z + coefficient;
        }
        sum * from_centre_k
    }
}

/// The monotone cubic of a measured table, kept piece by piece so that its integral is exact.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Pieces {
    knots_k: Vec<f64>,
    /// Per piece, rising powers of `t = (T - left)/width`.
    cubic: Vec<[f64; 4]>,
    /// Integral from the first knot to the left end of each piece.
    before: Vec<f64>,
}

impl Pieces {
    /// The pieces of the [`Curve`] through `points`.
    pub(crate) fn new(points: &[(f64, f64)]) -> Result<Self, CurveError> {
        let curve = Curve::new(points)?;
        let knots_k: Vec<f64> = points.iter().map(|p| p.0).collect();
        let mut cubic = Vec::with_capacity(knots_k.len() - 1);
        let mut before = Vec::with_capacity(knots_k.len() - 1);
        let mut total = 0.0;
        for ends in knots_k.windows(2) {
            let width = ends[1] - ends[0];
            let piece =
                cubic_through_thirds([0.0, 1.0, 2.0, 3.0].map(|k| curve.at(ends[0] + width * k / 3.0)));
            before.push(total);
            total += width * piece_integral(&piece, 1.0);
            cubic.push(piece);
        }
        Ok(Self { knots_k, cubic, before })
    }

    #[inline]
    fn locate<S: Scalar>(&self, temperature_k: S) -> (usize, f64, S) {
        let last = self.cubic.len() - 1;
        let i = self.knots_k.partition_point(|&k| k <= temperature_k.value()).saturating_sub(1).min(last);
        let width = self.knots_k[i + 1] - self.knots_k[i];
        (i, width, (temperature_k - self.knots_k[i]) / width)
    }

    #[inline]
    pub(crate) fn at<S: Scalar>(&self, temperature_k: S) -> S {
        let (i, _, t) = self.locate(temperature_k);
        let [a, b, c, d] = self.cubic[i];
        ((t * d + c) * t + b) * t + a
    }

    /// The integral from the first knot.
    #[inline]
    pub(crate) fn integral<S: Scalar>(&self, temperature_k: S) -> S {
        let (i, width, t) = self.locate(temperature_k);
        piece_integral(&self.cubic[i], t) * width + self.before[i]
    }
}

fn piece_integral<S: Scalar>(piece: &[f64; 4], t: S) -> S {
    let [a, b, c, d] = *piece;
    (((t * (d / 4.0) + c / 3.0) * t + b / 2.0) * t + a) * t
}

/// The cubic in `t` through values at 0, 1/3, 2/3 and 1: exact, because the curve is a cubic between its points.
fn cubic_through_thirds([p, q, r, s]: [f64; 4]) -> [f64; 4] {
    [
        p,
        -5.5 * p + 9.0 * q - 4.5 * r + s,
        9.0 * p - 22.5 * q + 18.0 * r - 4.5 * s,
        -4.5 * p + 13.5 * q - 13.5 * r + 4.5 * s,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_integral_of_a_polynomial_is_exact() {
        // 1 + 2 z + 3 z^2 with z = (T - 300)/10, from 300 to 320: 10 (2 + 4 + 8)
        let law = Polynomial::new(300.0, 10.0, &[1.0, 2.0, 3.0]);
        assert!((law.integral(320.0_f64) - 140.0).abs() < 1e-12);
        assert!((law.at(320.0_f64) - 17.0).abs() < 1e-12);
    }

    #[test]
    fn pieces_equal_the_curve_and_integrate_it() {
        let points = [(250.0, 3000.0), (280.0, 3100.0), (330.0, 3400.0), (400.0, 3450.0)];
        let (curve, pieces) = (Curve::new(&points).unwrap(), Pieces::new(&points).unwrap());
        let mut sum = 0.0;
        for k in 0..15000 {
            let middle = 250.0 + (f64::from(k) + 0.5) * 0.01;
            assert!((curve.at(middle) - pieces.at(middle)).abs() < 1e-9);
            sum += 0.01 * curve.at(middle);
        }
        assert!((pieces.integral(400.0_f64) / sum - 1.0).abs() < 1e-9);
    }
}
