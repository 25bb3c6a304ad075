//! Finding the steady state, way by way, and judging what was found.

use super::options::{Statistics, SteadyOptions};
use super::solution::Solution;
use super::solver::{Attempt, SteadySolver};
use crate::failure::{Failure, Unknown};

/// Rate told for a network that keeps moving, 1/s: it is looked at over windows of ten times the inverse.
const MOVES_1_S: f64 = 2e-3;

impl SteadySolver {
    /// Finds the steady state; [`Solution::growth_1_s`] tells whether the network keeps it.
    ///
    /// # Errors
    /// [`Failure`] names why there is none or why it was not found, with the numbers.
    pub fn solve(&mut self, options: &SteadyOptions) -> Result<Solution, Failure> {
        let mut statistics = Statistics::default();
        let mut attempt = Attempt::Stuck;
        if self.warm {
            self.settle(&mut statistics)?;
            attempt = self.newton(options, &mut statistics)?;
        }
        if !matches!(attempt, Attempt::Converged) || self.network_is_unstable() {
            self.cold_start();
            self.network.first_flows(&mut self.state, &mut self.flows, &mut statistics.flows);
            self.settle(&mut statistics)?;
            attempt = self.newton(options, &mut statistics)?;
            if !matches!(attempt, Attempt::Converged) || self.network_is_unstable() {
                attempt = self.continuation(options, &mut statistics)?;
                if matches!(attempt, Attempt::Stuck) {
                    attempt = self.follow_to_rest(options, &mut statistics)?;
                }
            }
        }
        self.warm = false;
        if matches!(attempt, Attempt::Moves) {
            return Ok(self.moment(statistics));
        }
        self.conclude(attempt, options, statistics)
    }

    fn conclude(
        &mut self,
        attempt: Attempt,
        options: &SteadyOptions,
        statistics: Statistics,
    ) -> Result<Solution, Failure> {
        if let Some(place) = self.not_finite() {
            return Err(Failure::NotFinite { place });
        }
        if !matches!(attempt, Attempt::Converged) {
            let loop_gain = self.network.loop_gain(&self.state);
            let hottest = self.hottest();
            if matches!(attempt, Attempt::RanAway) || loop_gain > 1.0 {
                return Err(Failure::NoEquilibrium {
                    loop_gain,
                    hottest: self.network.name_of(hottest),
                    temperature_k: self.state[hottest],
                });
            }
            return Err(Failure::NotConverged { steps: statistics.jacobians, worst: self.worst() });
        }
        let growth_1_s = self.network.growth_rate(&self.state);
        if growth_1_s.is_some() {
            let loop_gain = self.network.loop_gain(&self.state);
            if loop_gain > 1.0 {
                let hottest = self.hottest();
                return Err(Failure::NoEquilibrium {
                    loop_gain,
                    hottest: self.network.name_of(hottest),
                    temperature_k: self.state[hottest],
                });
            }
        }
        if let Some(n) = (0..self.network.temperatures)
            .find(|&u| !(self.state[u] >= options.lowest_k && self.state[u] <= options.highest_k))
        {
            return Err(Failure::NoEquilibrium {
                loop_gain: self.network.loop_gain(&self.state),
                hottest: self.network.name_of(n),
                temperature_k: self.state[n],
            });
        }
        self.network.check_junctions(&self.state)?;
        if let Some(unknown) = self.network.outside_model(&self.state) {
            return Err(Failure::OutsideModel {
                place: self.network.name_of(unknown),
                ceiling_k: self.network.components[unknown].ceiling_k,
                time_s: None,
            });
        }
        self.network.check_pumps(&self.state)?;
        self.warm = true;
        let ledger = self.network.ledger(&self.state);
        Ok(Solution { state: self.state.clone(), ledger, growth_1_s, statistics })
    }

    /// Where the state, a residual or the heat booked is no finite number.
    fn not_finite(&self) -> Option<Unknown> {
        let bad = self.state[..self.network.unknowns]
            .iter()
            .zip(&self.residual)
            .position(|(value, residual)| !value.is_finite() || !residual.is_finite());
        bad.map(|unknown| self.network.name_of(unknown)).or_else(|| self.network.endless_booking(&self.state))
    }

    /// A moment of a network that keeps moving: what the case is read at, with what its parts store there.
    fn moment(&self, statistics: Statistics) -> Solution {
        let mut ledger = self.network.ledger(&self.state);
        ledger.stored_w = ledger.generated_w - ledger.rejected_w;
        ledger.residual_w = 0.0;
        Solution { state: self.state.clone(), ledger, growth_1_s: Some(MOVES_1_S), statistics }
    }
}
