//! Pseudo-transient continuation: the warming up of the network with growing steps.

use super::options::{Statistics, SteadyOptions};
use super::solver::{Attempt, PSEUDO_CAPACITY_J_K, SteadySolver};
use crate::failure::Failure;

/// First step, s: small beside the time in which anything with a heat capacity warms up.
const FIRST_STEP_S: f64 = 1.0;
/// Step below which a large change is taken as it is, s: the network jumps there.
const SHORTEST_STEP_S: f64 = 1e-3;
/// Step from which a longer one changes nothing, s: the capacities have left the equations.
const LONGEST_STEP_S: f64 = 1e9;
/// What a refused step is shortened by.
const REFUSED: f64 = 0.25;
/// Greatest change of a temperature in a step, over that of a Newton step: a path is followed, not a root sought.
const LARGEST_CHANGE: f64 = 0.5;
/// Greatest change of a temperature, K, after which the next step may grow faster.
const CALM_K: f64 = 5.0;
/// What a step grows by then.
const CALM_GROWTH: f64 = 3.0;
/// What it grows by otherwise.
const GROWTH: f64 = 1.4;
/// Residual over the tolerance that is enough here: the steps are those of a slow approach, and what is left is far below any margin.
const ENOUGH: f64 = 1e2;

impl SteadySolver {
    /// Follows the warming up of the network from its start with growing steps.
    pub(super) fn continuation(
        &mut self,
        options: &SteadyOptions,
        statistics: &mut Statistics,
    ) -> Result<Attempt, Failure> {
        self.cold_start();
        self.network.first_flows(&mut self.state, &mut self.flows, &mut statistics.flows);
        self.settle(statistics)?;
        self.network.capacities(&self.state, PSEUDO_CAPACITY_J_K, &mut self.capacity);
        let scale = self.network.heat_scale(&self.state);
        if !scale.is_finite() {
            return Ok(Attempt::Stuck);
        }
        let mut time_step_s = FIRST_STEP_S;
        for _ in 0..options.max_continuation_steps {
            statistics.continuation_steps += 1;
            let error = self.linearise(statistics);
            if error <= ENOUGH * options.tolerance * scale {
                return Ok(Attempt::Converged);
            }
            if !error.is_finite() {
                return Ok(Attempt::Stuck);
            }
            if self.state[..self.network.temperatures].iter().any(|&t| t > options.highest_k) {
                return Ok(Attempt::RanAway);
            }
            if !self.newton_step(Some(time_step_s))? {
                time_step_s *= REFUSED;
                continue;
            }
            let largest =
                self.step[..self.network.temperatures].iter().fold(0.0_f64, |worst, s| worst.max(s.abs()));
            if largest > LARGEST_CHANGE * options.largest_change_k && time_step_s > SHORTEST_STEP_S {
                time_step_s *= REFUSED;
                continue;
            }
            for (unknown, step) in self.step.iter().enumerate() {
                self.state[unknown] += step;
            }
            self.settle(statistics)?;
            time_step_s =
                (time_step_s * if largest < CALM_K { CALM_GROWTH } else { GROWTH }).min(LONGEST_STEP_S);
        }
        Ok(Attempt::Stuck)
    }
}
