//! Following a network over time until it rests.

use super::options::{Statistics, SteadyOptions};
use super::solver::{Attempt, SteadySolver};
use crate::failure::Failure;
use crate::transient::{Stretch, Transient, TransientOptions, Wish};
use std::sync::Arc;

/// First stretch over which a network is followed to its rest, s; each is twice the one before.
const FIRST_STRETCH_S: f64 = 600.0;
/// Longest of them, s: some five days.
const LONGEST_STRETCH_S: f64 = 4e5;
/// A network has come to rest when no temperature moves by more over a stretch, K.
const AT_REST_K: f64 = 0.02;
/// Steps after which a network that has been followed for [`MOVES_AFTER_S`] is one that keeps moving.
const MAX_STEPS_OVER_TIME: u32 = 3000;
/// See [`MAX_STEPS_OVER_TIME`], s.
const MOVES_AFTER_S: f64 = 1800.0;

impl SteadySolver {
    /// Follows the network over time from its start until nothing moves any more, and closes the balance from there: what the
    /// real aircraft would do. For the few networks in which flows turn round, or valves open and shut, between one Newton step
    /// and the next. Switches stay where they came to rest.
    pub(super) fn follow_to_rest(
        &mut self,
        options: &SteadyOptions,
        statistics: &mut Statistics,
    ) -> Result<Attempt, Failure> {
        let over_time = TransientOptions {
            holds_charge: true,
            lowest_k: options.lowest_k,
            highest_k: options.highest_k,
            max_steps: MAX_STEPS_OVER_TIME,
            longest_step_s: f64::INFINITY,
            ..TransientOptions::default()
        };
        match self.follow_over_time(&over_time, options, statistics)? {
            Attempt::Stuck => self.follow_over_time(&over_time.softened(), options, statistics),
            ended => Ok(ended),
        }
    }

    /// See [`Self::follow_to_rest`].
    fn follow_over_time(
        &mut self,
        over_time: &TransientOptions,
        options: &SteadyOptions,
        statistics: &mut Statistics,
    ) -> Result<Attempt, Failure> {
        let network = Arc::new(self.network.clone());
        let mut run = Transient::uniform(&network, network.start_temperature());
        let n = self.network.unknowns;
        let mut stretch_s = FIRST_STRETCH_S;
        loop {
            let stretch = Stretch { duration_s: stretch_s, from: Arc::clone(&network), to: None };
            self.trial.copy_from_slice(run.state());
            let ended = run.run(&stretch, &[], over_time, |_| Wish::GoOn);
            self.state[..n].copy_from_slice(&run.state()[..n]);
            let is_long = run.time_s() > MOVES_AFTER_S;
            match ended {
                Ok(_) => {}
                Err(Failure::LeftBounds { .. }) => return Ok(Attempt::RanAway),
                Err(Failure::StepsTooShort { .. }) if is_long => return Ok(Attempt::Moves),
                Err(Failure::OutsideModel { place, ceiling_k, .. }) => {
                    return Err(Failure::OutsideModel { place, ceiling_k, time_s: None });
                }
                Err(failure @ (Failure::InsufficientPackPower { .. } | Failure::NotFinite { .. })) => {
                    return Err(failure);
                }
                Err(_) => return Ok(Attempt::Stuck),
            }
            let before = &self.trial[..self.network.temperatures];
            let moved_k =
                before.iter().zip(run.state()).fold(0.0_f64, |most, (a, b)| most.max((a - b).abs()));
            if moved_k < AT_REST_K {
                self.network.fix_switches(run.positions());
                self.settle(statistics)?;
                return self.newton(options, statistics);
            }
            if is_long && run.statistics().accepted > MAX_STEPS_OVER_TIME || stretch_s > LONGEST_STRETCH_S {
                return Ok(Attempt::Moves);
            }
            stretch_s *= 2.0;
        }
    }
}
