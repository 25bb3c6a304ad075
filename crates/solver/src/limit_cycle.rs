//! What a network does that does not stay at its steady state.
//!
//! A balance of heat can exist that no machine keeps: a film that passes from laminar to turbulent as its liquid warms sheds
//! the heat of its wall, cools the liquid again, and so on without end; a switch that would have to stand half-way does the
//! same. Such a network is followed over time until it settles elsewhere or repeats itself.

use crate::failure::Failure;
use crate::network::Network;
use crate::steady::{Solution, SteadyOptions, SteadySolver};
use crate::transient::{Stretch, Transient, TransientOptions, Wish};
use std::sync::Arc;

/// Where a network goes that leaves its steady state.
#[derive(Clone, Debug)]
pub enum LimitCycle {
    /// To a steady state that it keeps.
    Settles {
        /// The state.
        solution: Box<Solution>,
        /// Positions of the switches of all elements there.
        positions: Vec<bool>,
    },
    /// Around and around.
    Swings(Swing),
}

/// A movement that repeats itself, or goes on too long to be followed further.
#[derive(Clone, Debug)]
pub struct Swing {
    /// Time from one warmest moment to the next, s; none if no two were seen.
    pub period_s: Option<f64>,
    /// The last period, or all of the last window where there is none.
    pub instants: Vec<SwingInstant>,
}

/// A moment of a swing.
#[derive(Clone, Debug)]
pub struct SwingInstant {
    /// Time, s.
    pub time_s: f64,
    /// Unknowns followed by boundaries.
    pub state: Vec<f64>,
    /// Positions of the switches of all elements.
    pub positions: Vec<bool>,
}

/// Temperature by which the components are moved off the steady state, K.
const PUSH_K: f64 = 0.5;
/// A network whose temperatures stay inside this over a window has settled, K.
const REST_K: f64 = 0.02;
/// Two windows with the same extremes within this are one swing, K.
const SAME_K: f64 = 0.1;
/// Windows followed at most.
const MAX_WINDOWS: usize = 12;
/// Length of a window in multiples of the time in which a disturbance grows by e, and its bounds, s.
const WINDOW: (f64, f64, f64) = (10.0, 900.0, 20_000.0);
/// Steps of one window; a network that takes more does not keep still.
const MAX_STEPS: u32 = 6000;
/// Time that has to be seen of such a window, s.
const MIN_SEEN_S: f64 = 60.0;
/// Moments looked at in one step.
const LOOKS: u32 = 3;

impl Network {
    /// Follows the network from beside a steady state that it does not keep: because disturbances of it grow, or because a
    /// switch would have to stand between its two positions. The state of charge stays what it is.
    ///
    /// # Errors
    /// [`Failure`] where the network leaves all sensible temperatures or cannot be followed.
    pub fn follow_limit_cycle(&self, from: &Solution) -> Result<LimitCycle, Failure> {
        let options =
            TransientOptions { max_steps: MAX_STEPS, holds_charge: true, ..TransientOptions::default() };
        match self.follow_from(from, &options) {
            Err(failure) if failure.is_of_the_search() => self.follow_from(from, &options.softened()),
            found => found,
        }
    }

    fn follow_from(&self, from: &Solution, options: &TransientOptions) -> Result<LimitCycle, Failure> {
        let mut start = from.state().to_vec();
        for temperature in &mut start[..self.components()] {
            *temperature += PUSH_K;
        }
        let mut run = Transient::new(self, &start);
        let growth_1_s = from.growth_1_s().unwrap_or(0.0);
        let window_s = (WINDOW.0 / growth_1_s.max(1e-9)).clamp(WINDOW.1, WINDOW.2);
        let mut before = Window::default();
        for _ in 0..MAX_WINDOWS {
            let window = Window::run(self, &mut run, window_s, options)?;
            if window.widest().is_none_or(|(_, width_k)| width_k < REST_K) {
                return self.rest_at(from, &run, window);
            }
            if window.is_cut_short || window.is_like(&before) {
                return Ok(LimitCycle::Swings(window.into_swing()));
            }
            before = window;
        }
        Ok(LimitCycle::Swings(before.into_swing()))
    }

    fn rest_at(&self, from: &Solution, run: &Transient, window: Window) -> Result<LimitCycle, Failure> {
        let mut network = self.clone();
        network.fix_switches(run.positions());
        let mut steady = SteadySolver::new(network);
        steady.start_from(&Solution { state: run.state().to_vec(), ..from.clone() });
        let solution = steady.solve(&SteadyOptions::default())?;
        let is_kept = solution.growth_1_s().is_none();
        Ok(if is_kept {
            LimitCycle::Settles { solution: Box::new(solution), positions: run.positions().to_vec() }
        } else {
            LimitCycle::Swings(window.into_swing())
        })
    }
}

/// What was seen over some time.
#[derive(Default)]
struct Window {
    instants: Vec<SwingInstant>,
    /// Whether it moved so fast that it was not followed to its end.
    is_cut_short: bool,
    /// Least and greatest of every temperature, K.
    extremes_k: Vec<(f64, f64)>,
}

impl Window {
    fn run(
        network: &Network,
        run: &mut Transient,
        window_s: f64,
        options: &TransientOptions,
    ) -> Result<Self, Failure> {
        let mut seen = Self {
            instants: Vec::new(),
            is_cut_short: false,
            extremes_k: vec![(f64::INFINITY, f64::NEG_INFINITY); network.temperatures],
        };
        let stretch = Stretch { duration_s: window_s, from: Arc::new(network.clone()), to: None };
        let options = TransientOptions { longest_step_s: 0.02 * window_s, ..*options };
        let began_s = run.time_s();
        let ended = run.run(&stretch, &[], &options, |step| {
            for look in 1..=LOOKS {
                let share = f64::from(look) / f64::from(LOOKS);
                let time_s = step.start_s + share * (step.end_s - step.start_s);
                let mut state = Vec::new();
                step.state_at(time_s, &mut state);
                for (extreme, &value) in seen.extremes_k.iter_mut().zip(&state) {
                    *extreme = (extreme.0.min(value), extreme.1.max(value));
                }
                seen.instants.push(SwingInstant { time_s, state, positions: step.positions().to_vec() });
            }
            Wish::GoOn
        });
        match ended {
            Err(Failure::StepsTooShort { steps, time_s, .. })
                if steps > MAX_STEPS && time_s - began_s > MIN_SEEN_S =>
            {
                seen.is_cut_short = true;
            }
            Err(failure) => return Err(failure),
            Ok(_) => {}
        }
        Ok(seen)
    }

    /// Temperature that moves most, with its width, K.
    fn widest(&self) -> Option<(usize, f64)> {
        let widths = self.extremes_k.iter().map(|(least, greatest)| greatest - least);
        widths.enumerate().max_by(|a, b| a.1.total_cmp(&b.1))
    }

    fn is_like(&self, other: &Self) -> bool {
        self.extremes_k.len() == other.extremes_k.len()
            && self.extremes_k.iter().zip(&other.extremes_k).all(|(mine, theirs)| {
                (mine.0 - theirs.0).abs() < SAME_K && (mine.1 - theirs.1).abs() < SAME_K
            })
    }

    /// Keeps the last period of the temperature that moves most.
    fn into_swing(mut self) -> Swing {
        let Some((unknown, _)) = self.widest() else {
            return Swing { period_s: None, instants: self.instants };
        };
        let (least, greatest) = self.extremes_k[unknown];
        let middle = f64::midpoint(least, greatest);
        let rises =
            |pair: &[SwingInstant]| pair[0].state[unknown] < middle && pair[1].state[unknown] >= middle;
        let risings: Vec<usize> =
            (1..self.instants.len()).filter(|&i| rises(&self.instants[i - 1..=i])).collect();
        let [.., first, last] = risings[..] else {
            return Swing { period_s: None, instants: self.instants };
        };
        let period_s = self.instants[last].time_s - self.instants[first].time_s;
        self.instants.truncate(last + 1);
        Swing { period_s: Some(period_s), instants: self.instants.split_off(first) }
    }
}
