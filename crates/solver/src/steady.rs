//! The steady state: damped Newton steps with the flows solved inside, pseudo-transient continuation where they do
//! not settle, and a check that the state found is a stable one.
//!
//! With losses that grow with temperature, the heat balance may have a root that no real machine would ever reach,
//! such as one below the ambient temperature. A root with a loop gain above one is therefore refused; one that disturbances leave
//! for another reason, such as a film between laminar and turbulent, is marked.

use crate::failure::{Failure, Place, Worst};
use crate::hydraulics::{FlowCount, FlowWork};
use crate::ledger::Ledger;
use crate::network::Network;
use crate::stability::Stability;
use crate::transient::{Stretch, Transient, TransientOptions, Wish};
use std::sync::Arc;

/// How the steady solver works; the defaults suit every network.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteadyOptions {
    /// Newton steps before continuation takes over.
    pub most_newton_steps: u32,
    /// Continuation steps before giving up.
    pub most_continuation_steps: u32,
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
            most_newton_steps: 40,
            most_continuation_steps: 400,
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

/// A solved steady state. It exists only after convergence.
#[derive(Clone, Debug)]
pub struct Solution {
    pub(crate) state: Vec<f64>,
    /// Heat booked at this state.
    pub ledger: Ledger,
    pub(crate) growth_1_s: Option<f64>,
    /// What the solver did.
    pub statistics: Statistics,
}

impl Solution {
    /// How fast the fastest disturbance grows, 1/s; none where the network returns from every disturbance. A state that is not
    /// kept is followed by [`Network::follow_unrest`].
    pub fn growth_1_s(&self) -> Option<f64> {
        self.growth_1_s
    }
}

/// Reusable work space and warm start of one network.
#[derive(Clone, Debug)]
pub struct SteadySolver {
    network: Network,
    state: Vec<f64>,
    residual: Vec<f64>,
    trial: Vec<f64>,
    step: Vec<f64>,
    capacity: Vec<f64>,
    flows: FlowWork,
    warm: bool,
}

/// Capacity given to massless temperatures during continuation, J/K.
const PSEUDO_CAPACITY_J_K: f64 = 5.0;

/// First stretch over which a network is followed to its rest, s; each is twice the one before.
const FIRST_STRETCH_S: f64 = 600.0;
/// Longest of them, s: some five days.
const LONGEST_STRETCH_S: f64 = 4e5;
/// A network has come to rest when no temperature moves by more over a stretch, K.
const AT_REST_K: f64 = 0.02;
/// Steps after which a network that has been followed for [`MOVES_AFTER_S`] is one that keeps moving.
const MOST_STEPS_OVER_TIME: u32 = 3000;
/// See [`MOST_STEPS_OVER_TIME`], s.
const MOVES_AFTER_S: f64 = 1800.0;
/// Rate told for a network that keeps moving, 1/s: it is looked at over windows of ten times the inverse.
const MOVES_1_S: f64 = 2e-3;

#[derive(Clone, Copy)]
enum Attempt {
    Converged,
    Stuck,
    RanAway,
    /// Goes on moving inside the bounds.
    Moves,
}

impl SteadySolver {
    /// Takes a network and sets up everything that solving needs; no memory is taken afterwards.
    pub fn new(network: Network) -> Self {
        let n = network.unknowns;
        let mut state = vec![0.0; n];
        state.extend_from_slice(&network.boundaries);
        let capacity = vec![PSEUDO_CAPACITY_J_K; n];
        let flows = FlowWork::for_network(&network);
        let work = vec![0.0; n];
        Self {
            network,
            trial: state.clone(),
            state,
            residual: work.clone(),
            step: work,
            capacity,
            flows,
            warm: false,
        }
    }

    /// The network being solved.
    pub fn network(&self) -> &Network {
        &self.network
    }

    /// Starts the next solve from an earlier state of a network of the same structure.
    pub fn start_from(&mut self, earlier: &Solution) {
        let n = self.network.unknowns;
        if earlier.state.len() == self.state.len() {
            self.state[..n].copy_from_slice(&earlier.state[..n]);
            self.warm = true;
        }
    }

    /// Finds the steady state; [`Solution::growth_1_s`] tells whether the network keeps it.
    ///
    /// # Errors
    /// [`Failure`] names why there is none or why it was not found, with the numbers.
    pub fn solve(&mut self, options: &SteadyOptions) -> Result<Solution, Failure> {
        let mut statistics = Statistics::default();
        let mut attempt = Attempt::Stuck;
        if self.warm {
            self.settle(&mut statistics)?;
            attempt = self.newton(options, &mut statistics)?;
        }
        if !matches!(attempt, Attempt::Converged) || self.network_is_unstable() {
            self.cold_start();
            self.network.first_flows(&mut self.state, &mut self.flows, &mut statistics.flows);
            self.settle(&mut statistics)?;
            attempt = self.newton(options, &mut statistics)?;
            if !matches!(attempt, Attempt::Converged) || self.network_is_unstable() {
                attempt = self.continuation(options, &mut statistics)?;
                if matches!(attempt, Attempt::Stuck) {
                    attempt = self.follow_to_rest(options, &mut statistics)?;
                }
            }
        }
        self.warm = false;
        if matches!(attempt, Attempt::Moves) {
            return Ok(self.moment(statistics));
        }
        self.conclude(attempt, options, statistics)
    }

    fn conclude(
        &mut self,
        attempt: Attempt,
        options: &SteadyOptions,
        statistics: Statistics,
    ) -> Result<Solution, Failure> {
        if let Some(place) = self.not_finite() {
            return Err(Failure::NotFinite { place });
        }
        if !matches!(attempt, Attempt::Converged) {
            let loop_gain = self.network.loop_gain(&self.state);
            let hottest = self.hottest();
            if matches!(attempt, Attempt::RanAway) || loop_gain > 1.0 {
                return Err(Failure::NoEquilibrium {
                    loop_gain,
                    hottest: self.network.name_of(hottest),
                    temperature_k: self.state[hottest],
                });
            }
            return Err(Failure::NotConverged { steps: statistics.jacobians, worst: self.worst() });
        }
        let growth_1_s = self.network.growth_rate(&self.state);
        if growth_1_s.is_some() {
            let loop_gain = self.network.loop_gain(&self.state);
            if loop_gain > 1.0 {
                let hottest = self.hottest();
                return Err(Failure::NoEquilibrium {
                    loop_gain,
                    hottest: self.network.name_of(hottest),
                    temperature_k: self.state[hottest],
                });
            }
        }
        if let Some(n) = (0..self.network.temperatures)
            .find(|&u| !(self.state[u] >= options.lowest_k && self.state[u] <= options.highest_k))
        {
            return Err(Failure::NoEquilibrium {
                loop_gain: self.network.loop_gain(&self.state),
                hottest: self.network.name_of(n),
                temperature_k: self.state[n],
            });
        }
        self.network.check_junctions(&self.state)?;
        if let Some(unknown) = self.network.outside_model(&self.state) {
            return Err(Failure::OutsideModel {
                place: self.network.name_of(unknown),
                ceiling_k: self.network.components[unknown].ceiling_k,
                time_s: None,
            });
        }
        self.network.check_pumps(&self.state)?;
        self.warm = true;
        let ledger = self.network.ledger(&self.state);
        Ok(Solution { state: self.state.clone(), ledger, growth_1_s, statistics })
    }

    /// Where the state, a residual or the heat booked is no finite number.
    fn not_finite(&self) -> Option<Place> {
        let bad = self.state[..self.network.unknowns]
            .iter()
            .zip(&self.residual)
            .position(|(value, residual)| !value.is_finite() || !residual.is_finite());
        bad.map(|unknown| self.network.name_of(unknown)).or_else(|| self.network.endless_booking(&self.state))
    }

    fn cold_start(&mut self) {
        let start = self.network.start_temperature();
        let n = self.network.unknowns;
        self.state[..n].fill(0.0);
        self.state[..self.network.temperatures].fill(start);
        self.state[n..].copy_from_slice(&self.network.boundaries);
        if let Some(electric) = &self.network.electric {
            electric.cold_start(&mut self.state);
        }
    }

    /// Flows and electrical unknowns that the temperatures imply.
    fn settle(&mut self, statistics: &mut Statistics) -> Result<(), Failure> {
        self.network.settle_flows(&mut self.state, &mut self.flows, &mut statistics.flows);
        self.network.settle_electric(&mut self.state)
    }

    fn worst_heat(residual: &[f64], temperatures: usize) -> f64 {
        residual[..temperatures].iter().fold(
            0.0,
            |worst: f64, r| {
                if r.is_nan() { f64::INFINITY } else { worst.max(r.abs()) }
            },
        )
    }

    fn newton(&mut self, options: &SteadyOptions, statistics: &mut Statistics) -> Result<Attempt, Failure> {
        let scale = self.network.heat_scale(&self.state);
        if !scale.is_finite() {
            // any residual is small beside no bound at all
            return Ok(Attempt::Stuck);
        }
        let mut before = f64::INFINITY;
        for _ in 0..options.most_newton_steps {
            let error = self.linearise(statistics);
            if error <= options.tolerance * scale {
                return Ok(Attempt::Converged);
            }
            // at the floor set by rounding a further step gains nothing
            if error <= 1e3 * options.tolerance * scale && error >= 0.5 * before {
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

    /// Residual and Jacobian at the state; returns the worst heat residual, W.
    fn linearise(&mut self, statistics: &mut Statistics) -> f64 {
        statistics.jacobians += 1;
        let mut lu = std::mem::replace(&mut self.network.lu, crate::sparse::SparseLu::empty());
        self.network.jacobian(&self.state, &mut self.residual, &mut lu);
        self.network.lu = lu;
        Self::worst_heat(&self.residual, self.network.temperatures)
    }

    /// Newton step into `self.step`; with a time step it becomes a linearly implicit Euler step.
    fn newton_step(&mut self, time_step_s: Option<f64>) -> Result<bool, Failure> {
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
        for _ in 0..7 {
            for (unknown, step) in self.step.iter().enumerate() {
                self.state[unknown] = self.trial[unknown] + factor * step;
            }
            for value in &mut self.state[..temperatures] {
                *value = value.clamp(0.5 * options.lowest_k, 2.0 * options.highest_k);
            }
            self.settle(statistics)?;
            self.network.residual(&self.state, &mut self.residual);
            statistics.residuals += 1;
            let after = Self::worst_heat(&self.residual, temperatures);
            if after < error * (1.0 - 0.1 * factor) || after < 1e-9 {
                return Ok(true);
            }
            factor *= 0.4;
        }
        // a kink may hold the error up for a step: go on with a short one
        Ok(factor > 1e-4)
    }

    /// Follows the warming up of the network from its start with growing steps.
    fn continuation(
        &mut self,
        options: &SteadyOptions,
        statistics: &mut Statistics,
    ) -> Result<Attempt, Failure> {
        self.cold_start();
        self.network.first_flows(&mut self.state, &mut self.flows, &mut statistics.flows);
        self.settle(statistics)?;
        self.network.capacities(&self.state, PSEUDO_CAPACITY_J_K, &mut self.capacity);
        let scale = self.network.heat_scale(&self.state);
        if !scale.is_finite() {
            return Ok(Attempt::Stuck);
        }
        let mut time_step_s = 1.0;
        for _ in 0..options.most_continuation_steps {
            statistics.continuation_steps += 1;
            let error = self.linearise(statistics);
            if error <= 1e2 * options.tolerance * scale {
                return Ok(Attempt::Converged);
            }
            if !error.is_finite() {
                return Ok(Attempt::Stuck);
            }
            if self.state[..self.network.temperatures].iter().any(|&t| t > options.highest_k) {
                return Ok(Attempt::RanAway);
            }
            if !self.newton_step(Some(time_step_s))? {
                time_step_s *= 0.25;
                continue;
            }
            let largest =
                self.step[..self.network.temperatures].iter().fold(0.0_f64, |worst, s| worst.max(s.abs()));
            if largest > 0.5 * options.largest_change_k && time_step_s > 1e-3 {
                time_step_s *= 0.25;
                continue;
            }
            for (unknown, step) in self.step.iter().enumerate() {
                self.state[unknown] += step;
            }
            self.settle(statistics)?;
            time_step_s = (time_step_s * if largest < 5.0 { 3.0 } else { 1.4 }).min(1e9);
        }
        Ok(Attempt::Stuck)
    }

    /// Follows the network over time from its start until nothing moves any more, and closes the balance from there: what the
    /// real aircraft would do. For the few networks in which flows turn round, or valves open and shut, between one Newton step
    /// and the next. Switches stay where they came to rest.
    fn follow_to_rest(
        &mut self,
        options: &SteadyOptions,
        statistics: &mut Statistics,
    ) -> Result<Attempt, Failure> {
        let over_time = TransientOptions {
            holds_charge: true,
            lowest_k: options.lowest_k,
            highest_k: options.highest_k,
            most_steps: MOST_STEPS_OVER_TIME,
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
            if is_long && run.statistics().accepted > MOST_STEPS_OVER_TIME || stretch_s > LONGEST_STRETCH_S {
                return Ok(Attempt::Moves);
            }
            stretch_s *= 2.0;
        }
    }

    /// A moment of a network that keeps moving: what the case is read at, with what its parts store there.
    fn moment(&self, statistics: Statistics) -> Solution {
        let mut ledger = self.network.ledger(&self.state);
        ledger.stored_w = ledger.generated_w - ledger.rejected_w;
        ledger.residual_w = 0.0;
        Solution { state: self.state.clone(), ledger, growth_1_s: Some(MOVES_1_S), statistics }
    }

    fn network_is_unstable(&mut self) -> bool {
        matches!(self.network.stability(&mut self.step), Stability::Unstable)
    }

    fn hottest(&self) -> usize {
        (0..self.network.temperatures).max_by(|&a, &b| self.state[a].total_cmp(&self.state[b])).unwrap_or(0)
    }

    fn worst(&self) -> Worst {
        let unknown = (0..self.network.unknowns)
            .max_by(|&a, &b| self.residual[a].abs().total_cmp(&self.residual[b].abs()))
            .unwrap_or(0);
        Worst {
            place: self.network.name_of(unknown),
            residual_w: self.residual[unknown],
            temperature_k: self.state[unknown],
        }
    }
}
