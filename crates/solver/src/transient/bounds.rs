//! Where a run has to end without a state to go on with.

use super::options::TransientOptions;
use super::rodas::STAGES;
use super::state::Transient;
use super::step::Course;
use crate::failure::{Failure, Unknown};
use crate::network::Network;

impl Transient {
    pub(super) fn outside_model(&self, network: &Network, unknown: usize) -> Failure {
        Failure::OutsideModel {
            place: network.name_of(unknown),
            ceiling_k: network.components[unknown].ceiling_k,
            time_s: Some(self.time_s),
        }
    }

    pub(super) fn out_of_bounds(&self, network: &Network, options: &TransientOptions) -> Option<Failure> {
        if !self.heat.turnover_j.is_finite() {
            return Some(Failure::NotFinite {
                place: network.endless_booking(&self.state).unwrap_or(Unknown::Electric),
            });
        }
        if let Some(unknown) = (0..network.unknowns).find(|&u| !self.state[u].is_finite()) {
            return Some(Failure::NotFinite { place: network.name_of(unknown) });
        }
        if let Err(Failure::NoEquilibrium { hottest, temperature_k, .. }) =
            network.check_junctions(&self.state)
        {
            return Some(Failure::LeftBounds { place: hottest, temperature_k, time_s: self.time_s });
        }
        let unknown = (0..network.temperatures)
            .find(|&u| !(options.lowest_k <= self.state[u] && self.state[u] <= options.highest_k))?;
        Some(Failure::LeftBounds {
            place: network.name_of(unknown),
            temperature_k: self.state[unknown],
            time_s: self.time_s,
        })
    }

    /// Why the steps became too short: impossible power has its own name.
    pub(super) fn stuck(&mut self, course: &mut Course<'_>, steps: u32) -> Failure {
        if let Err(failure) = course.network.settle_electric(&mut self.state) {
            return failure;
        }
        if let Some(place) = course.network.endless_booking(&self.state) {
            return Failure::NotFinite { place };
        }
        let last = &self.work.stages[STAGES - 1];
        let worst = self.statistics.last_broken.unwrap_or_else(|| {
            (0..last.len()).max_by(|&a, &b| last[a].abs().total_cmp(&last[b].abs())).unwrap_or(0)
        });
        Failure::StepsTooShort { time_s: self.time_s, steps, worst: course.network.name_of(worst) }
    }
}
