//! A table over two inputs that is read alike along both.

use crate::{Curve, CurveError, Interpolation, Scalar, constant};

/// A table over two inputs: lines along both, or monotone cubics along both. Outside it is held at the edge:
/// callers ask [`Grid::contains`] and flag the result.
///
/// The cubics are those of [`Curve`], first along the first input for the columns at hand, then along the second through what they
/// give; a value between four points never leaves their range.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    second: Vec<f64>,
    /// One curve over the first input for each value of the second.
    columns: Vec<Curve>,
    interpolation: Interpolation,
}

impl Grid {
    /// A grid with `values[row * second.len() + column]` at `(first[row], second[column])`.
    ///
    /// # Errors
    /// [`CurveError`] for a wrong shape, fewer than two points along an input, inputs that do not rise, values that are not finite.
    pub fn new(
        first: &[f64],
        second: &[f64],
        values: &[f64],
        interpolation: Interpolation,
    ) -> Result<Self, CurveError> {
        let (rows, columns) = (first.len(), second.len());
        if rows < 2 || columns < 2 {
            return Err(CurveError::TooFewPoints(rows.min(columns)));
        }
        if values.len() != rows * columns {
            return Err(CurveError::Shape { rows, columns, given: values.len() });
        }
        if let Some(index) = second.iter().position(|value| !value.is_finite()) {
            return Err(CurveError::NotFinite(index + 1));
        }
        if let Some(index) = (1..columns).find(|&index| !(second[index] > second[index - 1])) {
            return Err(CurveError::NotRising { index: index + 1, value: second[index] });
        }
        let column = |column: usize| {
            let points: Vec<(f64, f64)> =
                first.iter().enumerate().map(|(row, &x)| (x, values[row * columns + column])).collect();
            Curve::through(&points, interpolation)
        };
        let curves = (0..columns).map(column).collect::<Result<_, _>>()?;
        Ok(Self { second: second.to_vec(), columns: curves, interpolation })
    }

    /// First and last value of the first input.
    pub fn first_range(&self) -> (f64, f64) {
        self.columns[0].range()
    }

    /// First and last value of the second input.
    pub fn second_range(&self) -> (f64, f64) {
        (self.second[0], self.second[self.second.len() - 1])
    }

    /// Whether both inputs lie inside the table.
    pub fn contains(&self, first: f64, second: f64) -> bool {
        let (low, high) = self.second_range();
        self.columns[0].contains(first) && low <= second && second <= high
    }

    /// How it is read between its points.
    pub fn interpolation(&self) -> Interpolation {
        self.interpolation
    }

    /// The value at `(first, second)`, held at the edges.
    #[inline]
    pub fn at<S: Scalar>(&self, first: S, second: S) -> S {
        let last = self.second.len() - 1;
        let position = second.value();
        if !(position > self.second[0]) {
            return self.columns[0].at(first);
        }
        if position >= self.second[last] {
            return self.columns[last].at(first);
        }
        let j = self.second.partition_point(|&known| known <= position) - 1;
        let width = self.second[j + 1] - self.second[j];
        let t = (second - self.second[j]) / width;
        let (low, high) = (self.columns[j].at(first), self.columns[j + 1].at(first));
        let rise = high - low;
        if self.interpolation == Interpolation::Linear {
            return t * rise + low;
        }
        let (a, b) = (self.slope(j, first) * width, self.slope(j + 1, first) * width);
        // Hermite form in powers of t, as in a curve
        let cubic = t * (a + b - rise * 2.0) + (rise * 3.0 - a * 2.0 - b);
        t * (t * cubic + a) + low
    }

    /// Slope along the second input at one of its points.
    fn slope<S: Scalar>(&self, j: usize, first: S) -> S {
        let last = self.second.len() - 1;
        let secant = |from: usize| {
            let width = self.second[from + 1] - self.second[from];
            (width, (self.columns[from + 1].at(first) - self.columns[from].at(first)) / width)
        };
        if last == 1 {
            return secant(0).1;
        }
        if j == 0 {
            return end_slope(secant(0), secant(1));
        }
        if j == last {
            return end_slope(secant(last - 1), secant(last - 2));
        }
        let ((before, falls), (after, rises)) = (secant(j - 1), secant(j));
        if falls.value() * rises.value() <= 0.0 {
            return constant(0.0);
        }
        let (w1, w2) = (2.0 * after + before, after + 2.0 * before);
        falls * rises * (w1 + w2) / (rises * w1 + falls * w2)
    }
}

/// One-sided three-point slope, limited so that the end piece stays monotone: `(width, secant)` of the end piece and the next.
fn end_slope<S: Scalar>((near, secant_near): (f64, S), (next, secant_next): (f64, S)) -> S {
    let slope = (secant_near * (2.0 * near + next) - secant_next * near) / (near + next);
    if slope.value() * secant_near.value() <= 0.0 {
        constant(0.0)
    } else if secant_near.value() * secant_next.value() <= 0.0
        && slope.value().abs() > 3.0 * secant_near.value().abs()
    {
        secant_near * 3.0
    } else {
        slope
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use num_dual::Dual64;

    const FIRST: [f64; 3] = [0.0, 0.5, 1.0];
    const SECOND: [f64; 4] = [0.0, 10.0, 25.0, 45.0];
    const VALUES: [f64; 12] = [8.0, 5.0, 3.0, 2.5, 4.0, 2.5, 1.5, 1.2, 3.6, 2.2, 1.4, 1.1];

    fn grid(interpolation: Interpolation) -> Grid {
        Grid::new(&FIRST, &SECOND, &VALUES, interpolation).unwrap()
    }

    #[test]
    fn both_ways_pass_through_the_points_and_hold_outside() {
        for way in [Interpolation::Linear, Interpolation::Monotone] {
            let grid = grid(way);
            for (row, &x) in FIRST.iter().enumerate() {
                for (column, &y) in SECOND.iter().enumerate() {
                    assert!((grid.at(x, y) - VALUES[row * 4 + column]).abs() < 1e-12, "{way:?} {x} {y}");
                }
            }
            let (low, high): (f64, f64) = (grid.at(0.5, -40.0), grid.at(0.5, 90.0));
            assert!((low - 4.0).abs() < 1e-12 && (high - 1.2).abs() < 1e-12);
            assert!(grid.contains(0.2, 30.0) && !grid.contains(0.2, 46.0) && !grid.contains(1.1, 30.0));
        }
    }

    #[test]
    fn cubics_along_the_second_input_are_those_of_a_curve() {
        // along a row of points the grid must be the curve through that row
        let grid = grid(Interpolation::Monotone);
        let row: Vec<(f64, f64)> = SECOND.iter().copied().zip(VALUES[4..8].iter().copied()).collect();
        let curve = Curve::new(&row).unwrap();
        for step in 0..90 {
            let y = 0.5 * f64::from(step);
            assert!((grid.at(0.5, y) - curve.at(y)).abs() < 1e-12, "{y}");
        }
    }

    #[test]
    fn lines_by_hand_and_duals_equal_differences() {
        // middle of 8, 5, 4, 2.5: 19.5/4 = 4.875
        let middle: f64 = grid(Interpolation::Linear).at(0.25, 5.0);
        assert!((middle - 4.875).abs() < 1e-12);
        for way in [Interpolation::Linear, Interpolation::Monotone] {
            let grid = grid(way);
            for (x, y) in [(0.2, 3.0), (0.7, 17.0), (0.9, 40.0)] {
                let first = grid.at(Dual64::from_re(x).derivative(), Dual64::from_re(y)).eps;
                let second = grid.at(Dual64::from_re(x), Dual64::from_re(y).derivative()).eps;
                let (dx, dy) = (
                    (grid.at(x + 1e-6, y) - grid.at(x - 1e-6, y)) / 2e-6,
                    (grid.at(x, y + 1e-6) - grid.at(x, y - 1e-6)) / 2e-6,
                );
                assert!((first - dx).abs() < 1e-6 && (second - dy).abs() < 1e-6, "{way:?} {x} {y}");
            }
        }
    }

    #[test]
    fn a_broken_table_is_named() {
        let way = Interpolation::Linear;
        assert!(matches!(Grid::new(&FIRST, &SECOND, &VALUES[1..], way), Err(CurveError::Shape { .. })));
        assert!(matches!(
            Grid::new(&FIRST[..1], &SECOND, &VALUES[..4], way),
            Err(CurveError::TooFewPoints(1))
        ));
        let falls = [0.0, 10.0, 5.0, 45.0];
        assert!(matches!(
            Grid::new(&FIRST, &falls, &VALUES, way),
            Err(CurveError::NotRising { index: 3, .. })
        ));
    }
}
