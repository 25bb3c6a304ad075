//! What a run over time may be asked, and what it tells of itself.

use crate::hydraulics::FlowCount;

/// How the stepper works; the defaults suit every network.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransientOptions {
    /// Accuracy wanted of every temperature, K.
    pub accuracy_k: f64,
    /// Longest step, s.
    pub longest_step_s: f64,
    /// Shortest step before giving up, s.
    pub shortest_step_s: f64,
    /// Steps in one stretch before giving up.
    pub max_steps: u32,
    /// Temperatures outside these bounds end the run, K.
    pub lowest_k: f64,
    /// Temperatures outside these bounds end the run, K.
    pub highest_k: f64,
    /// Whether the pack keeps its state of charge, whatever it gives.
    pub holds_charge: bool,
    /// Heat capacity that every temperature has at least, J/K. Zero lets air in ducts, junctions and massless components follow at
    /// once, which is what they do but for seconds; [`TransientOptions::softened`] is for networks that have no such state.
    pub min_capacity_j_k: f64,
}

impl Default for TransientOptions {
    fn default() -> Self {
        Self {
            accuracy_k: 0.05,
            longest_step_s: 300.0,
            shortest_step_s: 1e-9,
            max_steps: 200_000,
            lowest_k: 150.0,
            highest_k: 1200.0,
            holds_charge: false,
            min_capacity_j_k: 0.0,
        }
    }
}

/// Least capacity of a softened run, J/K: that of 5 L of air, or of 5 g of sheet metal. A duct that carries 0.1 kg/s of air follows
/// it within 0.05 s, one that lets 1 g/s through within 5 s.
pub const SOFT_CAPACITY_J_K: f64 = 5.0;

/// Error allowed in one step over the accuracy wanted of the whole run.
const STEP_SHARE: f64 = 0.2;

impl TransientOptions {
    /// Error allowed in one step, K.
    pub(crate) fn tolerance_k(&self) -> f64 {
        STEP_SHARE * self.accuracy_k
    }

    /// The same with a little heat capacity everywhere. Air beside a fan that works against a shut flap, or in branches whose flow
    /// turns round, may have several balances with the parts around it or none: then it depends on how it came there, and only
    /// what has a capacity can be followed.
    #[must_use]
    pub fn softened(self) -> Self {
        Self { min_capacity_j_k: SOFT_CAPACITY_J_K, ..self }
    }
}

/// What the stepper did, for benches and regression tests.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TransientStatistics {
    /// Steps accepted.
    pub accepted: u32,
    /// Steps tried again with a shorter one.
    pub rejected: u32,
    /// Jacobians beside those of restarts.
    pub jacobians: u32,
    /// Restarts after jumps and switches.
    pub restarts: u32,
    /// Short steps across corners of flow laws.
    pub corners: u32,
    /// Flow solves at restarts.
    pub flows: FlowCount,
    /// Unknown that broke a step last.
    pub(crate) last_broken: Option<usize>,
}
