//! Whether a steady state is one that a disturbed network returns to.

use crate::network::Network;
use crate::sparse::SparseLu;
use nalgebra::{DMatrix, Schur};

/// Verdict of the quick test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stability {
    Stable,
    Unstable,
}

impl Network {
    /// Quick test on the factors at a converged state, one solve.
    ///
    /// The Jacobian of a passive thermal network has positive off-diagonal terms: warming one place never cools
    /// another. For such a matrix all modes decay exactly if heating every place by one watt warms every place.
    /// Feedback through flows and the bus breaks the sign pattern only weakly; where the quick test fails, the
    /// modes themselves decide ([`Network::growth_rate`]).
    pub(crate) fn stability(&mut self, work: &mut [f64]) -> Stability {
        if self.lu.factor().is_err() {
            return Stability::Unstable;
        }
        work.fill(0.0);
        work[..self.temperatures].fill(-1.0);
        self.lu.solve(work);
        let all_warm = work[..self.temperatures].iter().all(|&rise| rise > 0.0);
        if all_warm && self.lu.all_pivots_negative() { Stability::Stable } else { Stability::Unstable }
    }

    /// Fastest growing mode at a state, 1/s, if any grows. Dense and slow: asked for only when the quick test on
    /// the factors does not settle the matter.
    pub(crate) fn growth_rate(&mut self, state: &[f64]) -> Option<f64> {
        let mut work = vec![0.0; self.unknowns];
        let mut lu = std::mem::replace(&mut self.lu, SparseLu::empty());
        self.jacobian(state, &mut work, &mut lu);
        self.lu = lu;
        if self.stability(&mut work) == Stability::Stable {
            return None;
        }
        let reduced = self.reduced_jacobian();
        let mut capacity = vec![0.0; self.unknowns];
        self.capacities(state, LEAST_CAPACITY_J_K, &mut capacity);
        let size = self.temperatures;
        let rates = DMatrix::from_fn(size, size, |r, c| reduced[(r, c)] / capacity[r]);
        largest_real_part(rates).filter(|&fastest| fastest > 0.0)
    }

    /// Derivative of the net heats with the temperatures, flows and electrical unknowns following.
    fn reduced_jacobian(&self) -> DMatrix<f64> {
        let (t, n) = (self.temperatures, self.unknowns);
        let part = |rows: std::ops::Range<usize>, columns: std::ops::Range<usize>| {
            DMatrix::from_fn(rows.len(), columns.len(), |r, c| {
                self.lu.entry(rows.start + r, columns.start + c)
            })
        };
        let heats = part(0..t, 0..t);
        if n == t {
            return heats;
        }
        match part(t..n, t..n).lu().solve(&part(t..n, 0..t)) {
            Some(following) => heats - part(0..t, t..n) * following,
            None => heats,
        }
    }

    /// Loop gain of the temperature-dependent losses: the spectral radius of (passive network)^-1 (slope of the
    /// losses). Above one, each round of "warmer, so more loss, so warmer" is larger than the one before.
    pub(crate) fn loop_gain(&mut self, state: &[f64]) -> f64 {
        let mut work = vec![0.0; self.unknowns];
        let mut lu = std::mem::replace(&mut self.lu, SparseLu::empty());
        self.jacobian(state, &mut work, &mut lu);
        self.lu = lu;
        let total = self.reduced_jacobian();
        let slopes = self.loss_slopes(state);
        if slopes.iter().all(|&slope| slope == 0.0) {
            return 0.0;
        }
        let size = self.temperatures;
        let passive = DMatrix::from_fn(size, size, |r, c| slopes[(r, c)] - total[(r, c)]);
        let Some(gain) = passive.lu().solve(&slopes) else { return f64::INFINITY };
        largest_real_part(gain).unwrap_or(f64::INFINITY)
    }

    /// Derivative of the heat sources with the temperatures, W/K.
    fn loss_slopes(&self, state: &[f64]) -> DMatrix<f64> {
        let mut slopes = DMatrix::zeros(self.temperatures, self.temperatures);
        for (source, _) in &self.sources {
            slopes[(source.into.index(), source.into.index())] += source.heat_w * source.slope_1_k;
        }
        if let Some(electric) = &self.electric {
            electric.add_loss_slopes(state, &mut slopes);
        }
        slopes
    }
}

/// Largest real part of the eigenvalues; none if the iteration for them does not end.
fn largest_real_part(matrix: DMatrix<f64>) -> Option<f64> {
    if matrix.iter().any(|entry| !entry.is_finite()) {
        return None;
    }
    let schur = Schur::try_new(matrix, 1e-13, 10_000)?;
    Some(schur.complex_eigenvalues().iter().fold(f64::NEG_INFINITY, |most, e| most.max(e.re)))
}

/// Massless places respond at once; a small capacity lets them take part in the modes.
const LEAST_CAPACITY_J_K: f64 = 1e-3;
