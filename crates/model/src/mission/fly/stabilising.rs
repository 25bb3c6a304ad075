//! When a step that waits for stabilised temperatures is over.

use solver::Step;

/// Decides when temperatures count as stabilised.
pub(super) struct Stabilising {
    pub(super) rate_k_s: f64,
    pub(super) window_s: f64,
    pub(super) run_on_s: f64,
    pub(super) min_charge: f64,
    /// Times with the temperatures of the components.
    pub(super) seen: Vec<(f64, Vec<f64>)>,
}

impl Stabilising {
    /// Every component changes slowly over the whole window, or its peak lies behind by the run-on.
    pub(super) fn is_over(&mut self, step: &Step<'_>) -> bool {
        let state = step.end_state();
        if step.network.charge_unknown().is_some_and(|unknown| state[unknown] < self.min_charge) {
            return true;
        }
        let now_s = step.end_s;
        self.seen.push((now_s, state[..step.network.components()].to_vec()));
        let Some(before) = self.seen.iter().rev().find(|(time_s, _)| now_s - time_s >= self.window_s) else {
            return false;
        };
        let latest = &self.seen[self.seen.len() - 1].1;
        (0..latest.len()).all(|component| {
            let change = (latest[component] - before.1[component]).abs() / (now_s - before.0);
            change < self.rate_k_s || now_s - self.peak_s(component) >= self.run_on_s
        })
    }

    fn peak_s(&self, component: usize) -> f64 {
        let hottest = self.seen.iter().max_by(|a, b| a.1[component].total_cmp(&b.1[component]));
        hottest.map_or(0.0, |(time_s, _)| *time_s)
    }
}
