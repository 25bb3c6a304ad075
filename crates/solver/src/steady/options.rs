//! What the steady solver may be asked, and what it tells of itself.

use crate::hydraulics::FlowCount;

/// How the steady solver works; the defaults suit every network.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteadyOptions {
    /// Newton steps before continuation takes over.
    pub max_newton_steps: u32,
    /// Continuation steps before giving up.
    pub max_continuation_steps: u32,
    /// Largest change of a temperature in one step, K.
    pub largest_change_k: f64,
    /// Temperatures below this are not looked at, K.
    pub lowest_k: f64,
    /// A state that passes this temperature counts as running away, K.
    pub highest_k: f64,
    /// Residual of every heat balance, as a share of the heat turned over.
    pub tolerance: f64,
}

impl Default for SteadyOptions {
    fn default() -> Self {
        Self {
            max_newton_steps: 40,
            max_continuation_steps: 400,
            largest_change_k: 80.0,
            lowest_k: 150.0,
            highest_k: 1200.0,
            tolerance: 1e-10,
        }
    }
}

/// What the solver did, for benches and regression tests.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Statistics {
    /// Jacobians evaluated and factored.
    pub jacobians: u32,
    /// Residuals evaluated beside them.
    pub residuals: u32,
    /// Continuation steps taken.
    pub continuation_steps: u32,
    /// Flow solves.
    pub flows: FlowCount,
}
