//! What an observer sees of an accepted step.

use super::dense::dense_value;
use super::energy::Energy;
use crate::network::Network;

/// Heat over time, J. Generated = stored + rejected.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct HeatOverTime {
    /// Generated: sources, pumps, fans, friction, losses of the electric drive.
    pub generated_j: f64,
    /// Increase of the heat content.
    pub stored_j: f64,
    /// Passed to the surroundings, less what the air brought along by being brought to rest.
    pub rejected_j: f64,
    /// Generated minus stored minus rejected.
    pub residual_j: f64,
    /// Sum of the sizes of what was generated and rejected in every step: the residual is judged against this.
    pub turnover_j: f64,
}

/// An accepted step.
#[derive(Debug)]
pub struct Step<'a> {
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// Network at the end.
    pub network: &'a Network,
    pub(super) energy: &'a Energy,
    pub(super) ramp: Option<(&'a Network, &'a Network, f64, f64)>,
    pub(super) full_s: f64,
    pub(super) before: &'a [f64],
    pub(super) after: &'a [f64],
    pub(super) dense: &'a [Vec<f64>; 2],
    pub(super) state: &'a [f64],
    pub(super) is_on: &'a [bool],
}

impl Step<'_> {
    /// State at the end: unknowns followed by boundaries.
    pub fn end_state(&self) -> &[f64] {
        self.state
    }

    /// Positions of the switches of all elements during the step.
    pub fn positions(&self) -> &[bool] {
        self.is_on
    }

    /// Writes the state at a time inside the step; its length is that of [`Self::end_state`].
    pub fn state_at(&self, time_s: f64, state: &mut Vec<f64>) {
        state.clear();
        state.extend_from_slice(self.state);
        if time_s >= self.end_s {
            return;
        }
        let share = ((time_s - self.start_s) / self.full_s).clamp(0.0, 1.0);
        let mut content: Vec<f64> = Vec::with_capacity(self.before.len());
        content.extend(
            (0..self.before.len()).map(|u| dense_value(self.before, self.after, self.dense, u, share)),
        );
        if let Some((from, to, since_s, duration_s)) = self.ramp {
            let along = ((since_s + time_s - self.start_s) / duration_s).clamp(0.0, 1.0);
            let unknowns = self.before.len();
            for (i, (a, b)) in from.boundaries.iter().zip(&to.boundaries).enumerate() {
                state[unknowns + i] = a + along * (b - a);
            }
        }
        self.energy.temperatures(self.network, &content, state);
    }
}
