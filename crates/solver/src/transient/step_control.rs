//! How long a step may be.

use super::options::TransientOptions;
use super::rodas::STAGES;
use super::state::Transient;
use super::step::Course;

/// Share of the step that the estimate would allow: with it one step in a few dozen is refused.
const SAFETY: f64 = 0.9;
/// Power of the error in the next step: the estimate is that of order 3, which grows with the fourth power of the step.
const ERROR_POWER: f64 = -0.25;
/// Shortest and longest next step over the present one: one estimate is not trusted further, and a long step that grows eightfold is
/// as good as free.
const NEXT_STEP: (f64, f64) = (0.15, 8.0);
/// Longest step after a refused one over it: the same error must not come back.
const AFTER_REFUSAL: f64 = 0.9;
/// Step after one that gave no finite error over it: nothing tells how far it was off.
pub(super) const AFTER_BROKEN: f64 = 0.2;
/// Least error that counts, over the tolerance: keeps the next step finite where nothing moves.
const MIN_ERROR: f64 = 1e-10;
/// Tolerances by which the first step moves the fastest temperature.
const FIRST_TOLERANCES: f64 = 20.0;
/// Rate below which nothing moves, K/s.
const MIN_RATE_K_S: f64 = 1e-9;
/// Shortest and longest first step, s: the rate at the start says nothing of what comes later.
const FIRST_STEP_S: (f64, f64) = (1e-3, 10.0);

/// Relative error of a flow or electrical unknown that counts as much as a kelvin: heats are carried over some 50 K.
const RELATIVE_PER_K: f64 = 0.02;
/// Flow, kg/s, and other unknown below which errors count absolutely. Flows are brought into balance after every step, and
/// the temperatures answer for what they do inside it; a check valve that is about to lift may be wrong by a hundredth of a
/// gram in a second.
const MIN_FLOW: f64 = 0.2;

/// How long the next step should be over the last one, by the error of the last over its tolerance.
pub(super) fn next_over_last(error: f64) -> f64 {
    (SAFETY * error.powf(ERROR_POWER)).clamp(NEXT_STEP.0, NEXT_STEP.1)
}

/// How long a refused step is tried again over what it was.
pub(super) fn again_over_refused(next_over_last: f64) -> f64 {
    if next_over_last.is_finite() { next_over_last.min(AFTER_REFUSAL) } else { AFTER_BROKEN }
}

impl Transient {
    /// A first step that changes the fastest temperature by a small multiple of the tolerance.
    pub(super) fn first_step(&self, course: &Course<'_>, options: &TransientOptions) -> f64 {
        let fastest = self.work.fastest(course.energy, course.network.temperatures);
        let tolerance = options.tolerance_k();
        (FIRST_TOLERANCES * tolerance / fastest.max(MIN_RATE_K_S)).clamp(FIRST_STEP_S.0, FIRST_STEP_S.1)
    }

    /// Largest error of the last step over its tolerance.
    pub(super) fn error(&mut self, temperatures: usize, options: &TransientOptions) -> f64 {
        let tolerance = options.tolerance_k();
        let last = &self.work.stages[STAGES - 1];
        let mut worst: f64 = 0.0;
        for error in &last[..temperatures] {
            worst = worst.max(error.abs() / tolerance);
        }
        self.has_uneasy_trickle = worst > 1.0;
        if worst > 1.0 {
            worst = self.trickles.worst_without(&last[..temperatures], &self.state, &self.work.content)
                / tolerance;
        }
        let relative = tolerance * RELATIVE_PER_K;
        for (error, value) in last[temperatures..].iter().zip(&self.work.content[temperatures..]) {
            worst = worst.max(error.abs() / (relative * (value.abs() + MIN_FLOW)));
        }
        if last.iter().any(|error| !error.is_finite()) { f64::INFINITY } else { worst.max(MIN_ERROR) }
    }
}
