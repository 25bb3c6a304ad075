//! Whether a steady state is one that a disturbed network returns to.

mod modes;

use crate::network::Network;
use crate::sparse::SparseLu;
use crate::tally::LossSlopes;

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

    /// Fastest growing mode at a state, 1/s, if any grows. Asked for only when the quick test on the factors does not settle the
    /// matter.
    pub(crate) fn growth_rate(&mut self, state: &[f64]) -> Option<f64> {
        let mut work = vec![0.0; self.unknowns];
        self.linearise_at(state, &mut work);
        if self.stability(&mut work) == Stability::Stable {
            return None;
        }
        let mut capacity = vec![0.0; self.unknowns];
        self.capacities(state, MIN_CAPACITY_J_K, &mut capacity);
        capacity[self.temperatures..].fill(0.0);
        self.fastest_growth(&capacity)
    }

    /// Jacobian at a state, left in the entries.
    fn linearise_at(&mut self, state: &[f64], work: &mut [f64]) {
        let mut lu = std::mem::replace(&mut self.lu, SparseLu::empty());
        self.jacobian(state, work, &mut lu);
        self.lu = lu;
    }

    /// Loop gain of the temperature-dependent losses: the spectral radius of (passive network)^-1 (slope of the
    /// losses). Above one, each round of "warmer, so more loss, so warmer" is larger than the one before.
    ///
    /// Both matrices have entries of one sign, so the largest gain is found by going round: one solve of the passive network a
    /// round, until the ratio of two rounds stands still. The flows and the bus follow within each solve.
    pub(crate) fn loop_gain(&mut self, state: &[f64]) -> f64 {
        let mut work = vec![0.0; self.unknowns];
        self.linearise_at(state, &mut work);
        let slopes = self.loss_slopes(state);
        if slopes.entries.iter().all(|&(_, _, slope)| slope == 0.0) {
            return 0.0;
        }
        for &(row, column, slope) in &slopes.entries {
            let slot = self.lu.slot(row, column);
            self.lu.add(slot, -slope);
        }
        if self.lu.factor().is_err() {
            return f64::INFINITY;
        }
        let mut warming = vec![1.0; self.temperatures];
        let mut gain = 0.0;
        for _ in 0..MAX_ROUNDS {
            work.fill(0.0);
            for &(row, column, slope) in &slopes.entries {
                work[row] -= slope * warming[column];
            }
            self.lu.solve(&mut work);
            let before = gain;
            let greatest = (0..self.temperatures).max_by(|&a, &b| work[a].abs().total_cmp(&work[b].abs()));
            let Some(greatest) = greatest else { return 0.0 };
            gain = work[greatest] / warming[greatest];
            if !gain.is_finite() || work[greatest] == 0.0 {
                return if work[greatest] == 0.0 { 0.0 } else { f64::INFINITY };
            }
            let scale = work[greatest].abs().recip();
            for (warming, next) in warming.iter_mut().zip(&work) {
                *warming = next * scale;
            }
            if (gain - before).abs() <= GAIN_STANDS_STILL * gain.abs() {
                break;
            }
        }
        gain
    }

    /// Derivative of the heat sources with the temperatures.
    fn loss_slopes(&self, state: &[f64]) -> LossSlopes {
        let mut slopes = LossSlopes { temperatures: self.temperatures, entries: Vec::new() };
        for (source, _) in &self.sources {
            let place = source.into.index();
            slopes.entries.push((place, place, source.heat_w * source.slope_1_k));
        }
        if let Some(electric) = &self.electric {
            electric.add_loss_slopes(state, &mut slopes);
        }
        slopes
    }
}

/// Rounds after which the loop gain is taken as it is.
const MAX_ROUNDS: usize = 500;
/// Change of the loop gain in a round that counts as none.
const GAIN_STANDS_STILL: f64 = 1e-8;
/// Massless places respond at once; a small capacity lets them take part in the modes.
const MIN_CAPACITY_J_K: f64 = 1e-3;
