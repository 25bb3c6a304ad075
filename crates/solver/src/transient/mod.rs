//! Temperatures over time: stiff implicit steps of order 4 with error control, exact stops, located events.
//!
//! A run is a sequence of [`Stretch`]es. Inside a stretch every number of the network is constant or changes linearly in
//! time; a jump is simply the next stretch. Flows and electrical unknowns are algebraic unknowns of the same system.
//! Switches with hysteresis ([`Signal::Switched`]) and watched thresholds are found on the dense output and end a step.

mod energy;
mod options;
mod rodas;
mod settle;
mod step;
mod trickle;
mod watch;

#[cfg(test)]
mod idle_ducts;
#[cfg(test)]
mod tests;

use crate::blend::Changes;
use crate::electric::Electric;
use crate::failure::{Failure, Place};
use crate::ids::ElementId;
use crate::network::Network;
use crate::reading::Reading;
use crate::signal::Signal;
use energy::Energy;
use powertrain::charge::ChargeState;
use settle::SettleWork;
use std::sync::Arc;
use step::{Broken, Course, Heats, Ramp, Start, StepWork};

use trickle::Trickles;

pub use options::{SOFT_CAPACITY_J_K, TransientOptions, TransientStatistics};
pub use watch::{Direction, Watch, Watched};

/// A stretch of time over which the network is constant, or changes linearly into another of the same parts.
#[derive(Clone, Debug)]
pub struct Stretch {
    /// Duration, s.
    pub duration_s: f64,
    /// Network at the start.
    pub from: Arc<Network>,
    /// Network at the end, if it changes.
    pub to: Option<Arc<Network>>,
}

impl Stretch {
    /// The network at a share (0 to 1) of the duration.
    pub fn at(&self, share: f64) -> Network {
        let mut network = Network::clone(&self.from);
        if let Some(to) = &self.to {
            let mut state = vec![0.0; network.unknowns + network.boundaries.len()];
            network.blend(&Changes::between(&self.from, to), &self.from, to, share, &mut state);
        }
        network
    }
}

/// How a stretch ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// Its duration was over.
    Duration,
    /// The watch of this number crossed its threshold.
    Watch(usize),
    /// The charge went over into this state.
    Charge(ChargeState),
    /// The observer asked for it.
    Observer,
}

/// What an observer wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// Go on.
    GoOn,
    /// End the stretch here.
    End,
}

/// A switch that changed its position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Switching {
    /// Element whose setting changed.
    pub element: ElementId,
    /// Time, s.
    pub time_s: f64,
    /// New position.
    pub is_on: bool,
}

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
    energy: &'a Energy,
    ramp: Option<(&'a Network, &'a Network, f64, f64)>,
    full_s: f64,
    before: &'a [f64],
    after: &'a [f64],
    dense: &'a [Vec<f64>; 2],
    state: &'a [f64],
    is_on: &'a [bool],
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

/// `y(s) = (1-s) y0 + s (y1 + (1-s) (d0 + s d1))`: order 3.
#[inline]
fn dense_value(before: &[f64], after: &[f64], dense: &[Vec<f64>; 2], unknown: usize, share: f64) -> f64 {
    let rest = 1.0 - share;
    before[unknown] * rest + share * (after[unknown] + rest * (dense[0][unknown] + share * dense[1][unknown]))
}

/// State of a network over time.
#[derive(Clone, Debug)]
pub struct Transient {
    time_s: f64,
    state: Vec<f64>,
    content: Vec<f64>,
    /// Heat capacities of the last stretch, J/K; empty before the first.
    mass: Vec<f64>,
    /// Position of the switch of every element.
    is_on: Vec<bool>,
    switchings: Vec<Switching>,
    heat: HeatOverTime,
    statistics: TransientStatistics,
    work: StepWork,
    settle: SettleWork,
    trickles: Trickles,
    /// Whether the last step was good only because of what the trickles do not carry.
    has_uneasy_trickle: bool,
    dense: [Vec<f64>; 2],
    before: Vec<f64>,
}

impl Transient {
    /// Starts at time 0 with the unknowns of a state: temperatures, flows, electrical unknowns.
    pub fn new(network: &Network, start: &[f64]) -> Self {
        let n = network.unknowns;
        let mut state = vec![0.0; n];
        state[..n.min(start.len())].copy_from_slice(&start[..n.min(start.len())]);
        state.extend_from_slice(&network.boundaries);
        Self {
            time_s: 0.0,
            content: vec![0.0; n],
            mass: Vec::new(),
            state,
            is_on: vec![false; network.elements.len()],
            switchings: Vec::new(),
            heat: HeatOverTime::default(),
            statistics: TransientStatistics::default(),
            work: StepWork::new(network),
            settle: SettleWork::new(network),
            trickles: Trickles::default(),
            has_uneasy_trickle: false,
            dense: std::array::from_fn(|_| vec![0.0; n]),
            before: vec![0.0; n],
        }
    }

    /// Starts with every temperature the same and the pack at the state of charge of the network.
    pub fn uniform(network: &Network, temperature_k: f64) -> Self {
        Self::new(network, &network.uniform_state(temperature_k))
    }

    /// Positions of the switches of all elements.
    pub fn positions(&self) -> &[bool] {
        &self.is_on
    }

    /// Takes over the positions of switches, as a run that goes on from another one does.
    pub fn set_positions(&mut self, positions: &[bool]) {
        if positions.len() == self.is_on.len() {
            self.is_on.copy_from_slice(positions);
        }
    }

    /// Time reached, s.
    pub fn time_s(&self) -> f64 {
        self.time_s
    }

    /// Unknowns followed by boundaries at the time reached.
    pub fn state(&self) -> &[f64] {
        &self.state
    }

    /// Sets a temperature, as swapping a pack does. The change of heat content is booked as stored and rejected.
    pub fn set_component_k(
        &mut self,
        network: &Network,
        component: crate::ids::ComponentId,
        temperature_k: f64,
    ) {
        let unknown = component.index();
        let capacity_j_k = match self.mass.get(unknown) {
            Some(&flown) => flown,
            None => Energy::of(network, 0.0).mass[unknown],
        };
        let taken_j = capacity_j_k * (self.state[unknown] - temperature_k);
        self.state[unknown] = temperature_k;
        self.heat.rejected_j += taken_j;
        self.heat.stored_j -= taken_j;
        self.heat.turnover_j += taken_j.abs();
    }

    /// Sets the state of charge.
    pub fn set_state_of_charge(&mut self, network: &Network, charge: f64) {
        if let Some(electric) = &network.electric {
            self.state[electric.charge()] = charge;
        }
    }

    /// State of charge, if there is an electric drive.
    pub fn state_of_charge(&self, network: &Network) -> Option<f64> {
        network.electric.as_ref().map(|electric| self.state[electric.charge()])
    }

    /// Heat since the start.
    pub fn heat(&self) -> HeatOverTime {
        self.heat
    }

    /// What the stepper did since the start.
    pub fn statistics(&self) -> TransientStatistics {
        self.statistics
    }

    /// Switches that changed since the start.
    pub fn switchings(&self) -> &[Switching] {
        &self.switchings
    }

    /// Follows the network over a stretch. The observer sees every accepted step and may end the stretch; watches end it
    /// where they cross.
    ///
    /// # Errors
    /// [`Failure`] names why there is no state to go on with, with the time.
    pub fn run(
        &mut self,
        stretch: &Stretch,
        watches: &[Watch],
        options: &TransientOptions,
        mut observer: impl FnMut(&Step<'_>) -> Wish,
    ) -> Result<Ended, Failure> {
        let ends_fit = stretch.to.as_ref().is_none_or(|to| stretch.from.has_layout_of(to));
        if !ends_fit
            || self.content.len() != stretch.from.unknowns
            || self.is_on.len() != stretch.from.elements.len()
        {
            return Err(Failure::OtherLayout);
        }
        let mut network = Network::clone(&stretch.from);
        self.enter(&mut network, options.holds_charge);
        let energy = Energy::of(&network, options.least_capacity_j_k);
        self.book_lost_mass(&network, &energy);
        let ramp = stretch.to.as_ref().and_then(|to| {
            let changes = Changes::between(&stretch.from, to);
            let ramp = Ramp { changes, from: &stretch.from, to, duration_s: stretch.duration_s };
            (!ramp.changes.is_empty()).then_some(ramp)
        });
        let mut course = Course { network: &mut network, energy: &energy, ramp };
        self.follow(&mut course, stretch, watches, options, &mut observer)
    }

    /// What left with the liquid that a stretch no longer has, as after a leak: its heat above the surroundings is rejected.
    fn book_lost_mass(&mut self, network: &Network, energy: &Energy) {
        let lost_mass = std::mem::replace(&mut self.mass, energy.mass.clone());
        if lost_mass.len() != energy.mass.len() || lost_mass == energy.mass {
            return;
        }
        energy.content(network, &self.state, &mut self.content);
        let surroundings_k = network.start_temperature();
        let temperatures = network.temperatures;
        let lost_j: f64 = (0..temperatures)
            .map(|u| (lost_mass[u] - energy.mass[u]) * (self.content[u] - surroundings_k))
            .sum();
        self.heat.rejected_j += lost_j;
        self.heat.stored_j -= lost_j;
        self.heat.turnover_j += lost_j.abs();
    }

    /// Takes over the boundaries, switch positions and the pattern of the network of a new stretch.
    fn enter(&mut self, network: &mut Network, holds_charge: bool) {
        let n = network.unknowns;
        self.state[n..].copy_from_slice(&network.boundaries);
        if let Some(electric) = &mut network.electric {
            Electric::hold_charge(electric, holds_charge);
        }
        self.work.adopt(network);
        self.settle.adopt(network);
        self.trickles.adopt(network);
        for index in 0..network.elements.len() {
            if let Signal::Switched { on_k, off_k, .. } = network.elements[index].signal {
                let sensed = self.state[network.placed[index].sensed];
                if sensed >= on_k {
                    self.is_on[index] = true;
                } else if sensed <= off_k {
                    self.is_on[index] = false;
                }
            }
        }
    }

    fn follow(
        &mut self,
        course: &mut Course<'_>,
        stretch: &Stretch,
        watches: &[Watch],
        options: &TransientOptions,
        observer: &mut impl FnMut(&Step<'_>) -> Wish,
    ) -> Result<Ended, Failure> {
        let mut switches = watch::switches(course.network, &self.is_on);
        watch::apply(course.network, &switches);
        let began_s = self.time_s;
        let mut since_s = 0.0;
        let (mut steps, mut in_a_row) = (0_u32, 0_u32);
        let mut corner: Option<(f64, f64)> = None;
        self.restart(course, since_s)?;
        if let Some(failure) = self.out_of_bounds(course.network, options) {
            return Err(failure);
        }
        self.work.linearise(course, Start { since_s, content: &self.content, state: &self.state });
        let mut step_s = self.first_step(course, options);
        while since_s < stretch.duration_s * (1.0 - 1e-14) {
            let left_s = stretch.duration_s - since_s;
            step_s = step_s.min(options.longest_step_s);
            let is_last = step_s >= left_s * (1.0 - 1e-9);
            let try_s = if is_last {
                left_s
            } else if 2.0 * step_s > left_s {
                0.5 * left_s
            } else {
                step_s
            };
            steps += 1;
            let is_last_bit = in_a_row > 0 && left_s <= LAST_BIT_S;
            let is_too_short = try_s < options.shortest_step_s.min(0.5 * left_s) && !is_last_bit;
            if is_too_short || steps > options.most_steps {
                return Err(self.stuck(course, steps));
            }
            if in_a_row >= CORNER_AFTER || is_last_bit {
                in_a_row = 0;
                // a corner that comes back as soon as it is crossed is one that the network stays at
                let is_back = corner.is_some_and(|(end_s, _)| since_s - end_s < 2.0 * CORNER_STEP_S);
                let longest_s = corner.filter(|_| is_back).map_or(CORNER_STEP_S, |(_, long_s)| long_s);
                let cross_s = longest_s.min(left_s);
                let end_s = if cross_s >= left_s { stretch.duration_s } else { since_s + cross_s };
                self.cross(course, since_s, cross_s, began_s + end_s, observer)?;
                since_s = end_s;
                let is_calm = self.moved_k(course.network.temperatures) <= options.tolerance_k();
                corner = Some((
                    end_s,
                    if is_calm { (2.0 * cross_s).min(LONGEST_CORNER_STEP_S) } else { CORNER_STEP_S },
                ));
                self.work.linearise(course, Start { since_s, content: &self.content, state: &self.state });
                step_s = cross_s;
                if let Some(failure) = self.out_of_bounds(course.network, options) {
                    return Err(failure);
                }
                continue;
            }
            let start = Start { since_s, content: &self.content, state: &self.state };
            let error = match self.work.attempt(course, start, try_s) {
                Ok(()) => self.error(course.network.temperatures, options),
                Err(broken) => {
                    in_a_row += 1;
                    self.statistics.rejected += 1;
                    self.statistics.last_broken = Some(match broken {
                        Broken::Pivot(unknown) | Broken::Value(unknown) => unknown,
                    });
                    step_s = 0.2 * try_s;
                    continue;
                }
            };
            let factor = (0.9 * error.powf(-0.25)).clamp(0.15, 8.0);
            if !(error <= 1.0) {
                in_a_row += 1;
                self.statistics.rejected += 1;
                step_s = try_s * if factor.is_finite() { factor.min(0.9) } else { 0.2 };
                continue;
            }
            in_a_row = 0;
            self.statistics.accepted += 1;
            self.work.dense(&mut self.dense);
            std::mem::swap(&mut self.before, &mut self.content);
            self.content.copy_from_slice(&self.work.content);
            let found = watch::first_crossing(
                &watch::Scene { course, before: &self.before, after: &self.content, dense: &self.dense },
                &switches,
                watches,
            );
            let share = found.map_or(1.0, |(share, _)| share);
            self.accept(course, since_s, try_s, share);
            // the method leaves a flow its tolerance; at rest even that would carry heat
            self.settle.settle_flows(course.network, &mut self.state, &mut self.statistics.flows);
            let (flows, electric) = (course.network.temperatures, course.network.unknowns);
            self.content[flows..electric].copy_from_slice(&self.state[flows..electric]);
            if self.has_uneasy_trickle {
                // a resting place may be wrong by any amount: it is brought back into balance before anything flows from there
                self.restart(course, since_s + share * try_s)?;
            }
            since_s = if found.is_none() && is_last { stretch.duration_s } else { since_s + share * try_s };
            self.time_s = began_s + since_s;
            let step = Step {
                start_s: self.time_s - share * try_s,
                end_s: self.time_s,
                network: course.network,
                energy: course.energy,
                ramp: course.ramp.as_ref().map(|r| (r.from, r.to, since_s - share * try_s, r.duration_s)),
                full_s: try_s,
                before: &self.before,
                after: &self.work.content,
                dense: &self.dense,
                state: &self.state,
                is_on: &self.is_on,
            };
            let wish = observer(&step);
            if let Some(failure) = self.out_of_bounds(course.network, options) {
                return Err(failure);
            }
            match found {
                Some((_, watch::Found::Ceiling(unknown))) => {
                    return Err(self.outside_model(course.network, unknown));
                }
                Some((_, watch::Found::Watch(number))) => return Ok(Ended::Watch(number)),
                Some((_, watch::Found::Charge(state))) => return Ok(Ended::Charge(state)),
                Some((_, watch::Found::Switch(number))) => {
                    let switch = &mut switches[number];
                    switch.is_on = !switch.is_on;
                    self.is_on[switch.element] = switch.is_on;
                    let element = ElementId(switch.element);
                    self.switchings.push(Switching { element, time_s: self.time_s, is_on: switch.is_on });
                    watch::apply(course.network, &switches);
                    self.restart(course, since_s)?;
                    self.work
                        .linearise(course, Start { since_s, content: &self.content, state: &self.state });
                    step_s = self.first_step(course, options);
                }
                None => {
                    self.work
                        .linearise(course, Start { since_s, content: &self.content, state: &self.state });
                    self.statistics.jacobians += 1;
                    step_s = if is_last { step_s.max(try_s * factor) } else { try_s * factor };
                }
            }
            if wish == Wish::End {
                return Ok(Ended::Observer);
            }
        }
        Ok(Ended::Duration)
    }

    /// Crosses a corner of a flow law by a short step with the flows solved afresh at its end. Thresholds are not looked for
    /// inside it: whatever crossed one is seen at the next step.
    fn cross(
        &mut self,
        course: &mut Course<'_>,
        since_s: f64,
        step_s: f64,
        end_s: f64,
        observer: &mut impl FnMut(&Step<'_>) -> Wish,
    ) -> Result<(), Failure> {
        let start = Start { since_s, content: &self.content, state: &self.state };
        if self.work.cross(course, start, step_s).is_err() {
            return Err(self.stuck(course, CORNER_AFTER));
        }
        self.statistics.corners += 1;
        self.work.dense(&mut self.dense);
        std::mem::swap(&mut self.before, &mut self.content);
        self.content.copy_from_slice(&self.work.content);
        self.accept(course, since_s, step_s, 1.0);
        self.time_s = end_s;
        self.restart(course, since_s + step_s)?;
        let _wish = observer(&Step {
            start_s: end_s - step_s,
            end_s,
            network: course.network,
            energy: course.energy,
            ramp: course.ramp.as_ref().map(|r| (r.from, r.to, since_s, r.duration_s)),
            full_s: step_s,
            before: &self.before,
            after: &self.work.content,
            dense: &self.dense,
            state: &self.state,
            is_on: &self.is_on,
        });
        Ok(())
    }

    /// Greatest change of a temperature with heat capacity in the last step, K.
    fn moved_k(&self, temperatures: usize) -> f64 {
        let changes = self.before[..temperatures].iter().zip(&self.content).zip(&self.mass);
        changes.filter(|(_, mass)| **mass > 0.0).fold(0.0, |most: f64, ((b, a), _)| most.max((a - b).abs()))
    }

    /// Books the accepted step up to a share of it and moves the state there.
    fn accept(&mut self, course: &mut Course<'_>, since_s: f64, step_s: f64, share: f64) {
        let full = self.work.heats;
        let heats = if share < 1.0 {
            let [d0, d1] = self.work.dense_heats();
            let rest = 1.0 - share;
            let part = |end: f64, d0: f64, d1: f64| share * (end + rest * (d0 + share * d1));
            for unknown in 0..self.content.len() {
                self.content[unknown] =
                    dense_value(&self.before, &self.work.content, &self.dense, unknown, share);
            }
            self.state.copy_from_slice(&self.work.state);
            course.set_time(since_s + share * step_s, &mut self.state);
            course.energy.temperatures(course.network, &self.content, &mut self.state);
            Heats {
                generated_j: part(full.generated_j, d0.generated_j, d1.generated_j),
                rejected_j: part(full.rejected_j, d0.rejected_j, d1.rejected_j),
            }
        } else {
            self.state.copy_from_slice(&self.work.state);
            full
        };
        let temperatures = course.network.temperatures;
        let stored = course.energy.stored_j(&self.content, temperatures)
            - course.energy.stored_j(&self.before, temperatures);
        self.heat.generated_j += heats.generated_j;
        self.heat.rejected_j += heats.rejected_j;
        self.heat.stored_j += stored;
        self.heat.turnover_j += heats.generated_j.abs() + heats.rejected_j.abs();
        self.heat.residual_j = self.heat.generated_j - self.heat.stored_j - self.heat.rejected_j;
    }

    /// Brings flows, electrical unknowns and massless temperatures into balance after a jump.
    fn restart(&mut self, course: &mut Course<'_>, since_s: f64) -> Result<(), Failure> {
        self.statistics.restarts += 1;
        course.set_time(since_s, &mut self.state);
        self.settle.settle(course.network, course.energy, &mut self.state, &mut self.statistics.flows)?;
        course.energy.content(course.network, &self.state, &mut self.content);
        match course.network.outside_model(&self.state) {
            Some(unknown) => Err(self.outside_model(course.network, unknown)),
            None => Ok(()),
        }
    }

    /// A first step that changes the fastest temperature by a small multiple of the tolerance.
    fn first_step(&self, course: &Course<'_>, options: &TransientOptions) -> f64 {
        let fastest = self.work.fastest(course.energy, course.network.temperatures);
        let tolerance = options.tolerance_k();
        (20.0 * tolerance / fastest.max(1e-9)).clamp(1e-3, 10.0)
    }

    /// Largest error of the last step over its tolerance.
    fn error(&mut self, temperatures: usize, options: &TransientOptions) -> f64 {
        let tolerance = options.tolerance_k();
        let last = &self.work.stages[step_stages() - 1];
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
            worst = worst.max(error.abs() / (relative * (value.abs() + LEAST_FLOW)));
        }
        if last.iter().any(|error| !error.is_finite()) { f64::INFINITY } else { worst.max(1e-10) }
    }

    fn outside_model(&self, network: &Network, unknown: usize) -> Failure {
        Failure::OutsideModel {
            place: network.name_of(unknown),
            ceiling_k: network.components[unknown].ceiling_k,
            time_s: Some(self.time_s),
        }
    }

    fn out_of_bounds(&self, network: &Network, options: &TransientOptions) -> Option<Failure> {
        if !self.heat.turnover_j.is_finite() {
            return Some(Failure::NotFinite {
                place: network.endless_booking(&self.state).unwrap_or(Place::Electric),
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
    fn stuck(&mut self, course: &mut Course<'_>, steps: u32) -> Failure {
        if let Err(failure) = course.network.settle_electric(&mut self.state) {
            return failure;
        }
        if let Some(place) = course.network.endless_booking(&self.state) {
            return Failure::NotFinite { place };
        }
        let last = &self.work.stages[step_stages() - 1];
        let worst = self.statistics.last_broken.unwrap_or_else(|| {
            (0..last.len()).max_by(|&a, &b| last[a].abs().total_cmp(&last[b].abs())).unwrap_or(0)
        });
        Failure::StepsTooShort { time_s: self.time_s, steps, worst: course.network.name_of(worst) }
    }

    /// Reads the state reached, with the network it belongs to.
    pub fn read<'a>(&'a self, network: &'a Network) -> Reading<'a> {
        Reading::of(network, &self.state)
    }
}

/// Relative error of a flow or electrical unknown that counts as much as a kelvin: heats are carried over some 50 K.
const RELATIVE_PER_K: f64 = 0.02;
/// Flow, kg/s, and other unknown below which errors count absolutely. Flows are brought into balance after every step, and
/// the temperatures answer for what they do inside it; a check valve that is about to lift may be wrong by a hundredth of a
/// gram in a second.
const LEAST_FLOW: f64 = 0.2;

/// Refused steps in a row after which a corner of a flow law is taken to be the reason.
const CORNER_AFTER: u32 = 6;
/// Length of a step across such a corner, s.
const CORNER_STEP_S: f64 = 0.1;
/// Length that steps at a corner may grow to where the network stays at it and no temperature moves, s.
const LONGEST_CORNER_STEP_S: f64 = 5.0;
/// What is left of a stretch, s, that is crossed like a corner once a step in it was refused. Where a ramp ends at rest, the
/// temperatures of the last trickle of air change on ever shorter times, and nothing depends on them. The error of such a
/// step on a junction that swings by 20 K in half a second is 4e-5 K.
const LAST_BIT_S: f64 = 1e-3;

const fn step_stages() -> usize {
    rodas::STAGES
}

impl Network {
    /// Unknowns with every temperature the same, nothing flowing, and the pack at the state of charge of the network.
    pub fn uniform_state(&self, temperature_k: f64) -> Vec<f64> {
        let mut state = vec![0.0; self.unknowns];
        state[..self.temperatures].fill(temperature_k);
        if let Some(electric) = &self.electric {
            electric.cold_start(&mut state);
        }
        state
    }

    /// Position of the state of charge among the unknowns.
    pub fn charge_unknown(&self) -> Option<usize> {
        self.electric.as_ref().map(Electric::charge)
    }

    /// Number of unknowns and boundaries of a state.
    pub fn state_length(&self) -> usize {
        self.unknowns + self.boundaries.len()
    }

    /// Whether any element has a switch.
    pub fn has_switches(&self) -> bool {
        self.elements.iter().any(|element| matches!(element.signal, Signal::Switched { .. }))
    }

    /// Number of components; they are the first unknowns.
    pub fn components(&self) -> usize {
        self.components.len()
    }

    /// Sets every switch to a position.
    pub fn fix_switches(&mut self, positions: &[bool]) {
        let switches = watch::switches(self, positions);
        watch::apply(self, &switches);
    }

    /// Elements whose switch would have to stand between on and off at a state: it hunts between the two.
    pub fn hunting_switches(&self, state: &[f64]) -> Vec<ElementId> {
        let elements = self.elements.iter().zip(&self.placed).enumerate();
        elements
            .filter(|(_, (element, placed))| match element.signal {
                Signal::Switched { on_k, off_k, .. } => {
                    let sensed = state[placed.sensed];
                    off_k < sensed && sensed < on_k
                }
                _ => false,
            })
            .map(|(index, _)| ElementId(index))
            .collect()
    }
}

impl Stretch {
    /// The stretch up to a time since its start, s.
    #[must_use]
    pub fn until(&self, since_s: f64) -> Self {
        if since_s >= self.duration_s {
            return self.clone();
        }
        let to = self.to.as_ref().map(|_| Arc::new(self.at(since_s / self.duration_s)));
        Self { duration_s: since_s, from: Arc::clone(&self.from), to }
    }

    /// What is left of the stretch after a time since its start, s.
    #[must_use]
    pub fn rest(&self, since_s: f64) -> Self {
        let from = match &self.to {
            Some(_) if since_s > 0.0 => Arc::new(self.at(since_s / self.duration_s)),
            _ => Arc::clone(&self.from),
        };
        Self { duration_s: self.duration_s - since_s, from, to: self.to.clone() }
    }
}
