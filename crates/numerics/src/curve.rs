//! Measured tables: a curve of one input and a surface of two.

use crate::{Scalar, constant};
use thiserror::Error;

/// Why points are not a curve.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum CurveError {
    /// Fewer than two points.
    #[error("a curve needs at least two points, {0} given")]
    TooFewPoints(usize),
    /// Abscissas do not rise strictly.
    #[error("point {index} at {value} does not lie above the one before it")]
    NotRising {
        /// Position of the offending point, counted from 1.
        index: usize,
        /// Its abscissa.
        value: f64,
    },
    /// NaN or infinity.
    #[error("point {0} is not a finite number")]
    NotFinite(usize),
    /// The table of a surface is not (rows x columns).
    #[error("a surface of {rows} by {columns} needs {} values, {given} given", rows * columns)]
    Shape {
        /// Number of abscissas of the first input.
        rows: usize,
        /// Number of abscissas of the second input.
        columns: usize,
        /// Values given.
        given: usize,
    },
}

/// How a table is read between its points.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Interpolation {
    /// Straight lines: above a truth that sags between the points, below one that bulges. The slope jumps at the points.
    Linear,
    /// Piecewise cubic, monotone wherever the points are; value and slope are continuous.
    #[default]
    Monotone,
}

/// A curve through points. Unless lines are asked for it is piecewise cubic, monotone wherever the points are (Fritsch & Carlson
/// 1980, SIAM J. Numer. Anal. 17, 238; slopes by the weighted harmonic mean of Fritsch & Butland 1984), with value and slope
/// continuous.
///
/// Outside the points the value is held and the slope is zero: callers ask [`Curve::contains`] and flag the result.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    x: Vec<f64>,
    y: Vec<f64>,
    /// Slopes at the points; none where lines join them.
    slope: Vec<f64>,
}

impl Curve {
    /// A smooth curve through `(x, y)` points with strictly rising `x`.
    ///
    /// # Errors
    /// [`CurveError`] names the first point that breaks a rule.
    pub fn new(points: &[(f64, f64)]) -> Result<Self, CurveError> {
        Self::through(points, Interpolation::Monotone)
    }

    /// A curve through `(x, y)` points with strictly rising `x`, lines or cubics between them.
    ///
    /// # Errors
    /// As [`Curve::new`].
    pub fn through(points: &[(f64, f64)], interpolation: Interpolation) -> Result<Self, CurveError> {
        if points.len() < 2 {
            return Err(CurveError::TooFewPoints(points.len()));
        }
        for (index, (x, y)) in points.iter().enumerate() {
            if !(x.is_finite() && y.is_finite()) {
                return Err(CurveError::NotFinite(index + 1));
            }
            if index > 0 && *x <= points[index - 1].0 {
                return Err(CurveError::NotRising { index: index + 1, value: *x });
            }
        }
        let x: Vec<f64> = points.iter().map(|p| p.0).collect();
        let y: Vec<f64> = points.iter().map(|p| p.1).collect();
        let slope = match interpolation {
            Interpolation::Linear => Vec::new(),
            Interpolation::Monotone => monotone_slopes(&x, &y),
        };
        Ok(Self { x, y, slope })
    }

    /// First and last abscissa.
    pub fn range(&self) -> (f64, f64) {
        (self.x[0], self.x[self.x.len() - 1])
    }

    /// Whether `x` lies between the first and the last point.
    pub fn contains(&self, x: f64) -> bool {
        let (low, high) = self.range();
        low <= x && x <= high
    }

    /// Slopes at the first and the last point.
    pub fn end_slopes(&self) -> (f64, f64) {
        if let (Some(first), Some(last)) = (self.slope.first(), self.slope.last()) {
            return (*first, *last);
        }
        let last = self.x.len() - 2;
        let secant = |i: usize| (self.y[i + 1] - self.y[i]) / (self.x[i + 1] - self.x[i]);
        (secant(0), secant(last))
    }

    /// Values at the first and the last point.
    pub fn end_values(&self) -> (f64, f64) {
        (self.y[0], self.y[self.y.len() - 1])
    }

    /// The points the curve was made from.
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.x.iter().copied().zip(self.y.iter().copied())
    }

    /// Whether every value lies below the one before it.
    pub fn is_falling(&self) -> bool {
        self.y.windows(2).all(|pair| pair[1] < pair[0])
    }

    /// Whether every value lies above the one before it.
    pub fn is_rising(&self) -> bool {
        self.y.windows(2).all(|pair| pair[1] > pair[0])
    }

    /// The value at `x`, held at the ends. At the first point itself the slope is that of the curve, so that a law that begins at
    /// zero flow has one there. What is not a number stays so.
    #[inline]
    pub fn at<S: Scalar>(&self, x: S) -> S {
        let last = self.x.len() - 1;
        let position = x.value();
        if position.is_nan() {
            return x;
        }
        if position < self.x[0] {
            return constant(self.y[0]);
        }
        if position >= self.x[last] {
            return constant(self.y[last]);
        }
        let i = self.x.partition_point(|&known| known <= position) - 1;
        let width = self.x[i + 1] - self.x[i];
        let t = (x - self.x[i]) / width;
        let rise = self.y[i + 1] - self.y[i];
        if self.slope.is_empty() {
            return t * rise + self.y[i];
        }
        let (a, b) = (self.slope[i] * width, self.slope[i + 1] * width);
        // Hermite form in powers of t
        let cubic = t * (a + b - 2.0 * rise) + (3.0 * rise - 2.0 * a - b);
        t * (t * cubic + a) + self.y[i]
    }

    /// The local exponent `d ln y / d ln x` at `x`, held at the ends; 1 where the value is not above zero.
    #[inline]
    pub fn exponent<S: Scalar>(&self, x: S) -> S {
        let last = self.x.len() - 1;
        let position = x.value();
        let at_point = |i: usize| {
            let exponent = self.x[i] * self.slope[i] / self.y[i];
            constant(if self.y[i] > 0.0 { exponent } else { 1.0 })
        };
        if !(position > self.x[0]) {
            return at_point(0);
        }
        if position >= self.x[last] {
            return at_point(last);
        }
        let i = self.x.partition_point(|&known| known <= position) - 1;
        let width = self.x[i + 1] - self.x[i];
        let t = (x - self.x[i]) / width;
        let rise = self.y[i + 1] - self.y[i];
        let (a, b) = (self.slope[i] * width, self.slope[i + 1] * width);
        let (third, second) = (a + b - 2.0 * rise, 3.0 * rise - 2.0 * a - b);
        let value = t * (t * (t * third + second) + a) + self.y[i];
        let slope = (t * (t * (3.0 * third) + 2.0 * second) + a) / width;
        if value.value() > 0.0 { x * slope / value } else { constant(1.0) }
    }
}

fn monotone_slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let n = x.len();
    let width: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
    let secant: Vec<f64> = y.windows(2).zip(&width).map(|(w, h)| (w[1] - w[0]) / h).collect();
    let mut slope = vec![0.0; n];
    for i in 1..n - 1 {
        if secant[i - 1] * secant[i] > 0.0 {
            let (w1, w2) = (2.0 * width[i] + width[i - 1], width[i] + 2.0 * width[i - 1]);
            slope[i] = (w1 + w2) / (w1 / secant[i - 1] + w2 / secant[i]);
        }
    }
    if n == 2 {
        return vec![secant[0]; 2];
    }
    slope[0] = end_slope(width[0], width[1], secant[0], secant[1]);
    slope[n - 1] = end_slope(width[n - 2], width[n - 3], secant[n - 2], secant[n - 3]);
    slope
}

/// One-sided three-point slope, limited so that the end piece stays monotone.
fn end_slope(near: f64, next: f64, secant_near: f64, secant_next: f64) -> f64 {
    let slope = ((2.0 * near + next) * secant_near - near * secant_next) / (near + next);
    if slope * secant_near <= 0.0 {
        0.0
    } else if secant_near * secant_next <= 0.0 && slope.abs() > 3.0 * secant_near.abs() {
        3.0 * secant_near
    } else {
        slope
    }
}

/// A table over two inputs: monotone cubic along the first, linear along the second.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    second: Vec<f64>,
    curves: Vec<Curve>,
}

impl Surface {
    /// A surface with `values[row * second.len() + column]` at `(first[row], second[column])`.
    ///
    /// # Errors
    /// [`CurveError`] for a wrong shape, unordered abscissas or values that are not finite.
    pub fn new(first: &[f64], second: &[f64], values: &[f64]) -> Result<Self, CurveError> {
        if values.len() != first.len() * second.len() || second.is_empty() {
            return Err(CurveError::Shape { rows: first.len(), columns: second.len(), given: values.len() });
        }
        for (index, pair) in second.windows(2).enumerate() {
            if !(pair[1] > pair[0]) {
                return Err(CurveError::NotRising { index: index + 2, value: pair[1] });
            }
        }
        let curves = (0..second.len())
            .map(|column| {
                let points: Vec<(f64, f64)> = first
                    .iter()
                    .enumerate()
                    .map(|(row, &x)| (x, values[row * second.len() + column]))
                    .collect();
                Curve::new(&points)
            })
            .collect::<Result<_, _>>()?;
        Ok(Self { second: second.to_vec(), curves })
    }

    /// Whether both inputs lie inside the table.
    pub fn contains(&self, first: f64, second: f64) -> bool {
        let high = self.second[self.second.len() - 1];
        self.curves[0].contains(first)
            && (self.second.len() == 1 || (self.second[0] <= second && second <= high))
    }

    /// The value at `(first, second)`, held at the edges.
    #[inline]
    pub fn at<S: Scalar>(&self, first: S, second: S) -> S {
        let last = self.second.len() - 1;
        if last == 0 || !(second.value() > self.second[0]) {
            return self.curves[0].at(first);
        }
        if second.value() >= self.second[last] {
            return self.curves[last].at(first);
        }
        let j = self.second.partition_point(|&known| known <= second.value()) - 1;
        let weight = (second - self.second[j]) / (self.second[j + 1] - self.second[j]);
        let (low, high) = (self.curves[j].at(first), self.curves[j + 1].at(first));
        low + (high - low) * weight
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use num_dual::Dual64;

    #[test]
    fn it_passes_through_its_points_and_holds_outside() {
        let curve = Curve::new(&[(0.0, 10.0), (1.0, 8.0), (3.0, 0.0)]).unwrap();
        assert!((curve.at(1.0_f64) - 8.0).abs() < 1e-15);
        assert_eq!(curve.at(-5.0), 10.0);
        assert_eq!(curve.at(9.0), 0.0);
        assert!(curve.is_falling() && !curve.contains(3.1));
    }

    #[test]
    fn it_reproduces_a_straight_line_and_stays_monotone() {
        let line = Curve::new(&[(0.0, 1.0), (1.0, 3.0), (4.0, 9.0)]).unwrap();
        for k in 0..40 {
            let x = f64::from(k) * 0.1;
            assert!((line.at(x) - (1.0 + 2.0 * x)).abs() < 1e-12, "x = {x}");
        }
        let step = Curve::new(&[(0.0, 0.0), (1.0, 0.0), (1.1, 5.0), (2.0, 5.0)]).unwrap();
        for k in 0..200 {
            let y = step.at(f64::from(k) * 0.01);
            assert!((0.0..=5.0).contains(&y), "overshoot to {y}");
        }
    }

    #[test]
    fn the_dual_slope_equals_a_central_difference() {
        let curve = Curve::new(&[(0.0, 10.0), (1.0, 8.0), (3.0, 0.0), (4.0, -3.0)]).unwrap();
        for x in [0.3_f64, 1.7, 3.5] {
            let exact = curve.at(Dual64::from_re(x).derivative()).eps;
            let approximate = (curve.at(x + 1e-6) - curve.at(x - 1e-6)) / 2e-6;
            assert!((exact - approximate).abs() < 1e-7, "{exact} {approximate}");
        }
    }

    #[test]
    fn the_local_exponent_is_that_of_a_power_and_continuous_between_points() {
        let points: Vec<(f64, f64)> =
            (1..=12).map(|k| (f64::from(k), 3.0 * f64::from(k).powf(0.6))).collect();
        let power = Curve::new(&points).unwrap();
        for k in 15..115 {
            let x = 0.1 * f64::from(k);
            let exponent = power.exponent(x);
            assert!((exponent - 0.6).abs() < 0.02, "{x}: {exponent}");
            let by_difference =
                ((power.at(x + 1e-5) / power.at(x - 1e-5)).ln()) / ((x + 1e-5) / (x - 1e-5)).ln();
            assert!((exponent - by_difference).abs() < 1e-4, "{x}: {exponent} {by_difference}");
        }
        assert!((power.exponent(0.5_f64) - power.exponent(1.0 + 1e-9)).abs() < 1e-6);
        assert!((power.exponent(99.0_f64) - power.exponent(12.0 - 1e-9)).abs() < 1e-6);
        assert_eq!(Curve::new(&[(0.0, 0.0), (1.0, 2.0)]).unwrap().exponent(0.0), 1.0);
    }

    #[test]
    fn bad_points_are_named() {
        assert_eq!(Curve::new(&[(0.0, 1.0)]), Err(CurveError::TooFewPoints(1)));
        assert_eq!(
            Curve::new(&[(0.0, 1.0), (0.0, 2.0)]),
            Err(CurveError::NotRising { index: 2, value: 0.0 })
        );
        assert_eq!(Curve::new(&[(0.0, f64::NAN), (1.0, 2.0)]), Err(CurveError::NotFinite(1)));
    }

    #[test]
    fn a_surface_is_bilinear_on_a_bilinear_table() {
        let surface =
            Surface::new(&[0.0, 1.0, 2.0], &[0.0, 10.0], &[0.0, 10.0, 1.0, 11.0, 2.0, 12.0]).unwrap();
        assert!((surface.at(1.5_f64, 5.0) - 6.5).abs() < 1e-12);
        assert!(!surface.contains(1.0, 11.0));
        assert!(Surface::new(&[0.0, 1.0], &[0.0, 1.0], &[1.0]).is_err());
    }
}
