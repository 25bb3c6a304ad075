//! Samples of a flight.

use super::standing::StandingCoolant;
use crate::mission::flight::Sample;
use solver::Step;

/// Keeps samples of the accepted steps.
pub(super) struct Recorder<'a> {
    pub(super) samples: &'a mut Vec<Sample>,
    pub(super) max_gap_s: f64,
    pub(super) place: (usize, usize),
    pub(super) began_s: f64,
    pub(super) duration_s: f64,
    pub(super) is_first: bool,
    pub(super) standing: &'a mut StandingCoolant,
}

impl Recorder<'_> {
    pub(super) fn record(&mut self, step: &Step<'_>) {
        let gaps = ((step.end_s - step.start_s) / self.max_gap_s).ceil().max(1.0);
        let first = usize::from(!self.is_first);
        self.is_first = false;
        self.standing.look(step);
        for k in first..=(gaps as usize) {
            let time_s = step.start_s + (step.end_s - step.start_s) * k as f64 / gaps;
            let mut state = Vec::new();
            step.state_at(time_s, &mut state);
            self.samples.push(Sample {
                time_s,
                place: self.place,
                share: ((time_s - self.began_s) / self.duration_s).clamp(0.0, 1.0),
                state,
                positions: Vec::new(),
                rises_k: Vec::new(),
            });
        }
    }
}
