//! Damped Newton steps, with the flows solved inside.

use super::options::{Statistics, SteadyOptions};
use super::solver::{Attempt, SteadySolver};
use crate::failure::Failure;

/// Residual over the tolerance from which a Newton step that gains nothing ends the search: rounding sets the floor of a network with
/// large heats and small ones.
const FLOOR: f64 = 1e3;
/// Residual over the one before from which a step gained nothing.
const STANDS_STILL: f64 = 0.5;
/// Times that a step is shortened.
const MAX_SHORTENINGS: usize = 7;
/// By which factor.
const SHORTENING: f64 = 0.4;
/// Share of a step that its residual has to fall by, over the fall that a straight line promises.
const MIN_FALL: f64 = 0.1;
/// Residual that counts as none, W: below it there is nothing to fall.
const NOTHING_LEFT_W: f64 = 1e-9;
/// Share of a step from which a residual that does not fall is put down to a kink, and taken.
const SHORTEST: f64 = 1e-4;
/// How far a Newton step may look beyond the bounds of the solver, over its lowest and its highest temperature: laws stay defined.
const BEYOND: (f64, f64) = (0.5, 2.0);

impl SteadySolver {
    pub(super) fn newton(
        &mut self,
        options: &SteadyOptions,
        statistics: &mut Statistics,
    ) -> Result<Attempt, Failure> {
        let scale = self.network.heat_scale(&self.state);
        if !scale.is_finite() {
            // any residual is small beside no bound at all
            return Ok(Attempt::Stuck);
        }
        let mut before = f64::INFINITY;
        for _ in 0..options.max_newton_steps {
            let error = self.linearise(statistics);
            if error <= options.tolerance * scale {
                return Ok(Attempt::Converged);
            }
            // at the floor set by rounding a further step gains nothing
            if error <= FLOOR * options.tolerance * scale && error >= STANDS_STILL * before {
                return Ok(Attempt::Converged);
            }
            if !error.is_finite() {
                return Ok(Attempt::Stuck);
            }
            before = error;
            if !self.newton_step(None)? {
                return Ok(Attempt::Stuck);
            }
            if !self.accept_step(options, error, statistics)? {
                return Ok(Attempt::Stuck);
            }
            // without an equilibrium the steps lead away for good: the continuation tells so sooner
            if self.state[..self.network.temperatures].iter().any(|&t| t > options.highest_k) {
                return Ok(Attempt::Stuck);
            }
        }
        Ok(Attempt::Stuck)
    }

    /// Newton step into `self.step`; with a time step it becomes a linearly implicit Euler step.
    pub(super) fn newton_step(&mut self, time_step_s: Option<f64>) -> Result<bool, Failure> {
        if let Some(time_step_s) = time_step_s {
            for unknown in 0..self.network.temperatures {
                self.network.lu.add_diagonal(unknown, -self.capacity[unknown] / time_step_s);
            }
        }
        if let Err(vanishing) = self.network.lu.factor() {
            if time_step_s.is_some() {
                return Err(Failure::Undetermined { place: self.network.name_of(vanishing.unknown) });
            }
            return Ok(false);
        }
        for (step, residual) in self.step.iter_mut().zip(&self.residual) {
            *step = -residual;
        }
        self.network.lu.solve(&mut self.step);
        Ok(self.step.iter().all(|s| s.is_finite()))
    }

    /// Takes the step, shortened until the residual falls; false if it never does.
    fn accept_step(
        &mut self,
        options: &SteadyOptions,
        error: f64,
        statistics: &mut Statistics,
    ) -> Result<bool, Failure> {
        let temperatures = self.network.temperatures;
        let largest = self.step[..temperatures].iter().fold(0.0_f64, |worst, s| worst.max(s.abs()));
        let mut factor = (options.largest_change_k / largest.max(1e-300)).min(1.0);
        self.trial.copy_from_slice(&self.state);
        for _ in 0..MAX_SHORTENINGS {
            for (unknown, step) in self.step.iter().enumerate() {
                self.state[unknown] = self.trial[unknown] + factor * step;
            }
            for value in &mut self.state[..temperatures] {
                *value = value.clamp(BEYOND.0 * options.lowest_k, BEYOND.1 * options.highest_k);
            }
            self.settle(statistics)?;
            self.network.residual(&self.state, &mut self.residual);
            statistics.residuals += 1;
            let after = Self::worst_heat(&self.residual, temperatures);
            if after < error * (1.0 - MIN_FALL * factor) || after < NOTHING_LEFT_W {
                return Ok(true);
            }
            factor *= SHORTENING;
        }
        // a kink may hold the error up for a step: go on with a short one
        Ok(factor > SHORTEST)
    }
}
