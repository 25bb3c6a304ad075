//! A quadratic problem with elastic margins, by a conic solver.
//!
//! ```text
//! least   g d + d B d / 2 + mu sum(s)     with   r + G d + s >= 0,  s >= 0,  lower <= d <= upper
//! ```
//! The interior point method of `clarabel`, which always has a point inside here: `s` takes up what is short.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver as _, SolverStatus, SupportedConeT};
use nalgebra::{DMatrix, DVector};

/// The problem.
#[derive(Clone, Debug)]
pub(super) struct Quadratic<'a> {
    /// Slope of what is made least.
    pub(super) slope: &'a DVector<f64>,
    /// Its curvature: symmetric, positive definite.
    pub(super) curvature: &'a DMatrix<f64>,
    /// Reserves, not to be negative.
    pub(super) reserves: &'a [f64],
    /// Slopes of the reserves, a row for each.
    pub(super) slopes: &'a DMatrix<f64>,
    /// Least step.
    pub(super) lower: &'a [f64],
    /// Greatest step.
    pub(super) upper: &'a [f64],
    /// Price of what is short.
    pub(super) price: f64,
}

/// Its solution.
#[derive(Clone, Debug)]
pub(super) struct Step {
    /// Step.
    pub(super) step: DVector<f64>,
    /// Multiplier of each reserve: what one more of it costs.
    pub(super) prices: Vec<f64>,
}

impl Quadratic<'_> {
    /// Solves it with some steps given; none if the solver gives up.
    pub(super) fn solve(&self, given: &[Option<f64>]) -> Option<Step> {
        let free: Vec<usize> = (0..given.len()).filter(|&n| given[n].is_none()).collect();
        let fixed = DVector::from_iterator(given.len(), given.iter().map(|step| step.unwrap_or(0.0)));
        let (rows, columns) = (self.reserves.len(), free.len());
        let shifted = self.slopes * &fixed;
        let pull = self.slope + self.curvature * &fixed;
        let mut linear: Vec<f64> = free.iter().map(|&n| pull[n]).collect();
        linear.extend(std::iter::repeat_n(self.price, rows));
        let mut bounds: Vec<f64> = (0..rows).map(|row| self.reserves[row] + shifted[row]).collect();
        bounds.extend(std::iter::repeat_n(0.0, rows));
        bounds.extend(free.iter().map(|&n| self.upper[n]));
        bounds.extend(free.iter().map(|&n| -self.lower[n]));
        let settings = DefaultSettings { verbose: false, ..DefaultSettings::default() };
        let cones = [SupportedConeT::NonnegativeConeT(bounds.len())];
        let (square, sides) = (self.square(&free, rows), self.sides(&free));
        let mut solver = DefaultSolver::new(&square, &linear, &sides, &bounds, &cones, settings).ok()?;
        solver.solve();
        let found = &solver.solution;
        let usable = matches!(found.status, SolverStatus::Solved | SolverStatus::AlmostSolved);
        if !usable || found.x.iter().any(|x| !x.is_finite()) {
            return None;
        }
        let mut step = fixed;
        for (place, &n) in free.iter().enumerate().take(columns) {
            step[n] = found.x[place].clamp(self.lower[n], self.upper[n]);
        }
        Some(Step { step, prices: found.z[..rows].to_vec() })
    }

    /// Upper triangle of the curvature of free steps, with empty columns for what is short.
    fn square(&self, free: &[usize], rows: usize) -> CscMatrix<f64> {
        let mut starts = vec![0];
        let (mut places, mut values) = (Vec::new(), Vec::new());
        for (column, &n) in free.iter().enumerate() {
            for (row, &m) in free.iter().enumerate().take(column + 1) {
                places.push(row);
                values.push(self.curvature[(m, n)]);
            }
            starts.push(places.len());
        }
        starts.extend(std::iter::repeat_n(places.len(), rows));
        let size = free.len() + rows;
        CscMatrix::new(size, size, starts, places, values)
    }

    /// Rows: `-G d - s <= r`, `-s <= 0`, `d <= upper`, `-d <= -lower`.
    fn sides(&self, free: &[usize]) -> CscMatrix<f64> {
        let (rows, columns) = (self.reserves.len(), free.len());
        let mut starts = vec![0];
        let (mut places, mut values) = (Vec::new(), Vec::new());
        for (column, &n) in free.iter().enumerate() {
            for row in 0..rows {
                places.push(row);
                values.push(-self.slopes[(row, n)]);
            }
            places.extend([2 * rows + column, 2 * rows + columns + column]);
            values.extend([1.0, -1.0]);
            starts.push(places.len());
        }
        for row in 0..rows {
            places.extend([row, rows + row]);
            values.extend([-1.0, -1.0]);
            starts.push(places.len());
        }
        CscMatrix::new(2 * rows + 2 * columns, columns + rows, starts, places, values)
    }
}

#[cfg(test)]
mod tests {
    use super::Quadratic;
    use nalgebra::{DMatrix, DVector};

    /// Least `x^2 + y^2` with `x + y >= 1`: by symmetry x = y = 1/2, and the multiplier is 2 x = 1.
    #[test]
    fn the_nearest_point_of_a_line_is_as_by_hand() {
        let slopes = DMatrix::from_row_slice(1, 2, &[1.0, 1.0]);
        let problem = Quadratic {
            slope: &DVector::zeros(2),
            curvature: &DMatrix::from_diagonal_element(2, 2, 2.0),
            reserves: &[-1.0],
            slopes: &slopes,
            lower: &[-5.0; 2],
            upper: &[5.0; 2],
            price: 100.0,
        };
        let found = problem.solve(&[None, None]).expect("it has a solution");
        assert!((found.step[0] - 0.5).abs() < 1e-6 && (found.step[1] - 0.5).abs() < 1e-6, "{found:?}");
        assert!((found.prices[0] - 1.0).abs() < 1e-5, "{found:?}");
        // with x given as 0.8 the rest is y = 0.2, and its multiplier 2 y
        let found = problem.solve(&[Some(0.8), None]).expect("it has a solution");
        assert!((found.step[1] - 0.2).abs() < 1e-6 && (found.prices[0] - 0.4).abs() < 1e-5, "{found:?}");
        // what cannot be reached is short at the price, not without an answer
        let far = Quadratic { reserves: &[-20.0], ..problem };
        let found = far.solve(&[None, None]).expect("it has a solution");
        assert!((found.step[0] - 5.0).abs() < 1e-5 && (found.step[1] - 5.0).abs() < 1e-5, "{found:?}");
    }
}
