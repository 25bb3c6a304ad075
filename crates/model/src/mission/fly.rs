//! Follows a schedule over time: runs its stretches, ends its steps, keeps samples.

mod recorder;
mod stabilising;
mod standing;

use super::end_state::EndState;
use super::flight::{Event, EventKind, Flight, FlownStep, Sample, StepEnd};
use super::schedule::{Ending, Schedule, ScheduleStep, StartState};
use crate::assembly::Parts;
use crate::case;
use crate::result::{Notice, Status};
use aircraft::records::project::Project;
use powertrain::charge::ChargeState;
use recorder::Recorder;
use solver::{
    ActiveCharge, ComponentId, Direction, Ended, Failure, Network, Node, SteadyOptions, SteadySolver,
    Stretch, Transient, TransientOptions, Watch, Watched, Wish,
};
use stabilising::Stabilising;
use standing::StandingCoolant;
use std::sync::Arc;

/// What is left of a stretch over its duration when it counts as over: rounding.
const OVER: f64 = 1e-12;
/// What the clock of a run tells apart, s.
const CLOCK_S: f64 = 1e-6;
/// A watch stops within rounding of its threshold, K.
const NEAR_K: f64 = 1e-6;
/// The same for a state of charge.
const NEAR_CHARGE: f64 = 1e-9;

/// How a flight is computed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlyOptions {
    /// Accuracy of every temperature, K.
    pub accuracy_k: f64,
    /// Longest time between two samples, s.
    pub max_gap_s: f64,
}

impl Default for FlyOptions {
    fn default() -> Self {
        Self { accuracy_k: 0.05, max_gap_s: 10.0 }
    }
}

/// Longest step while a step waits to be stabilised, s: that is seen at the end of a step.
const WATCHFUL_STEP_S: f64 = 5.0;
/// Longest step while a charge runs, s: its limits meet in corners, which a long step would round.
const CHARGE_STEP_S: f64 = 60.0;
/// A charge that was stopped does not begin again before this, s: cells of little heat capacity would stop and start it without end.
const CHARGE_REST_S: f64 = 10.0;
/// A switch that changes more often than this in one step, at less than this mean interval, hunts.
const HUNTING: (usize, f64) = (8, 60.0);

/// Follows a schedule. `from` is the state that something else left; a schedule with stated temperatures does not look at it. A
/// flight that cannot go on ends there and says why in its status. One that has no state to go on with, because air follows at once
/// what would have to come before it, is flown again with a little heat capacity everywhere, and a notice says so.
pub fn fly(project: &Project, schedule: Schedule, from: Option<&EndState>, options: &FlyOptions) -> Flight {
    let over_time = TransientOptions { accuracy_k: options.accuracy_k, ..TransientOptions::default() };
    let begun = begin(&schedule.steps[0].pieces[0].from.assembled.network, &schedule, from);
    let (mut flier, mut outcome) = Flier::follow(&schedule, from, &begun, over_time, options);
    if let Err((number, failure)) = outcome
        && begun.is_ok()
        && failure.is_of_the_search()
    {
        (flier, outcome) = Flier::follow(&schedule, from, &begun, over_time.softened(), options);
        flier.notices.push(softened(project, &schedule, number, &failure));
    }
    let rises_k = match (&schedule.start, begun) {
        // what has one temperature all over has no hotter spot
        (StartState::Temperatures { .. }, _) => vec![0.0; project.components.len()],
        (_, Ok(state)) => state.rises_k,
        (_, Err(_)) => Vec::new(),
    };
    let mut flight = flier.conclude(project, schedule, outcome);
    flight.follow_hot_spots(project, &rises_k);
    flight
}

/// The unknowns at the beginning.
fn begin(network: &Network, schedule: &Schedule, from: Option<&EndState>) -> Result<EndState, Failure> {
    let mut rises_k = Vec::new();
    let mut unknowns = match (&schedule.start, from) {
        (StartState::Temperatures { rest_k, parts }, _) => {
            let mut state = network.uniform_state(*rest_k);
            for (components, temperature_k) in parts {
                for component in components {
                    state[component.index()] = *temperature_k;
                }
            }
            state
        }
        (StartState::Carried, Some(from)) => return Ok(from.clone()),
        (StartState::After(_) | StartState::AfterSegments(_), Some(from)) => {
            rises_k.clone_from(&from.rises_k);
            from.unknowns.clone()
        }
        // without an earlier state the settled one is the fair beginning
        _ => SteadySolver::new(network.clone()).solve(&SteadyOptions::default())?.state().to_vec(),
    };
    if let (Some(unknown), false) =
        (network.charge_unknown(), matches!(schedule.start, StartState::AfterSegments(_)))
    {
        unknowns[unknown] = schedule.state_of_charge;
    }
    Ok(EndState { unknowns, positions: Vec::new(), charge: network.charge_unknown(), rises_k })
}

/// The charge of a step.
struct Charging {
    active: ActiveCharge,
    is_begun: bool,
    /// Time before which a stopped charge does not begin again, s.
    rests_until_s: f64,
    /// How often it was stopped at an end of its window.
    stops: usize,
}

struct Flier {
    run: Transient,
    options: TransientOptions,
    max_gap_s: f64,
    samples: Vec<Sample>,
    steps: Vec<FlownStep>,
    events: Vec<Event>,
    notices: Vec<Notice>,
    standing: StandingCoolant,
}

impl Flier {
    /// Follows the steps of a schedule as far as that goes; an error comes with the number of its step.
    fn follow(
        schedule: &Schedule,
        from: Option<&EndState>,
        begun: &Result<EndState, Failure>,
        over_time: TransientOptions,
        options: &FlyOptions,
    ) -> (Self, Result<(), (usize, Failure)>) {
        let first = &schedule.steps[0].pieces[0].from.assembled.network;
        let start = begun.as_ref().map_or(&[][..], |state| &state.unknowns);
        let mut flier = Self {
            run: Transient::new(first, start),
            options: over_time,
            max_gap_s: options.max_gap_s,
            samples: Vec::new(),
            steps: Vec::new(),
            events: Vec::new(),
            notices: Vec::new(),
            standing: StandingCoolant::default(),
        };
        if let Some(from) = from {
            flier.run.set_positions(&from.positions);
        }
        let outcome = match begun {
            Ok(_) => schedule.steps.iter().enumerate().try_for_each(|(number, step)| {
                flier.step(schedule, number, step).map_err(|failure| (number, failure))
            }),
            Err(failure) => Err((0, *failure)),
        };
        (flier, outcome)
    }

    fn step(&mut self, schedule: &Schedule, number: usize, step: &ScheduleStep) -> Result<(), Failure> {
        let start_s = self.run.time_s();
        self.events.push(Event {
            time_s: start_s,
            kind: EventKind::Step,
            what: format!("{} begins", step.label),
        });
        let switchings = self.run.switchings().len();
        let mut charge = step.charge.as_ref().map(|limiter| Charging {
            active: step.active_charge(limiter),
            is_begun: false,
            rests_until_s: f64::NEG_INFINITY,
            stops: 0,
        });
        let mut stabilising = match &step.ending {
            Ending::Stabilised { rate_k_s, window_s, run_on_s, min_charge } => Some(Stabilising {
                rate_k_s: *rate_k_s,
                window_s: *window_s,
                run_on_s: *run_on_s,
                min_charge: *min_charge,
                seen: Vec::new(),
            }),
            _ => None,
        };
        let mut ended = if self.is_reached(step) { Some(StepEnd::Reached) } else { None };
        for (piece_number, piece) in step.pieces.iter().enumerate() {
            if ended.is_some() {
                break;
            }
            let place = (number, piece_number);
            let found = self.piece(place, step, &piece.stretch(), &mut charge, stabilising.as_mut());
            ended = found?;
        }
        if let Some(swap) = step.swap {
            self.swap(schedule, step, swap);
        }
        self.look_for_hunting(schedule.parts(), step, start_s, switchings);
        if let Some(charging) = &charge {
            self.look_at_stops(step, charging.stops, start_s);
        }
        let ended = ended.unwrap_or(match step.ending {
            Ending::Time => StepEnd::TimeUp,
            _ => StepEnd::NotReached,
        });
        self.steps.push(FlownStep { step: number, start_s, end_s: self.run.time_s(), ended });
        Ok(())
    }

    /// Runs one piece to its end or to the end of its step.
    fn piece(
        &mut self,
        place: (usize, usize),
        step: &ScheduleStep,
        whole: &Stretch,
        charge: &mut Option<Charging>,
        mut stabilising: Option<&mut Stabilising>,
    ) -> Result<Option<StepEnd>, Failure> {
        let watches = watches(&step.ending);
        let began_s = self.run.time_s();
        loop {
            let since_s = self.run.time_s() - began_s;
            if since_s >= whole.duration_s * (1.0 - OVER) {
                return Ok(None);
            }
            let mut stretch = whole.rest(since_s);
            if let Some(charging) = charge.as_mut() {
                let rest_s = charging.rests_until_s - self.run.time_s();
                // what is shorter than the clock tells is no rest
                charging.active.is_resting = rest_s > CLOCK_S;
                if charging.active.is_resting {
                    stretch = stretch.until(rest_s);
                }
            }
            let is_cut = stretch.duration_s < (whole.duration_s - since_s) * (1.0 - OVER);
            let entered = charge.as_mut().map(|charging| self.enter_charge(&mut stretch, charging, step));
            if let Some(Some(end)) = entered {
                return Ok(Some(end));
            }
            let options = self.options_for(stabilising.as_deref(), charge.as_ref());
            let mut recorder = Recorder {
                samples: &mut self.samples,
                max_gap_s: self.max_gap_s,
                place,
                began_s,
                duration_s: whole.duration_s,
                is_first: true,
                standing: &mut self.standing,
            };
            let mut seen_end = false;
            let ended = self.run.run(&stretch, &watches, &options, |at| {
                recorder.record(at);
                if let Some(stabilising) = stabilising.as_mut() {
                    seen_end = stabilising.is_over(at);
                    if seen_end {
                        return Wish::End;
                    }
                }
                Wish::GoOn
            })?;
            let positions = self.run.positions().to_vec();
            if let Some(last) = self.samples.last_mut() {
                last.positions = positions;
            }
            match ended {
                Ended::Duration if is_cut => {}
                Ended::Duration => return Ok(None),
                Ended::Watch(_) if self.is_reached(step) => return Ok(Some(StepEnd::Reached)),
                Ended::Watch(_) => {}
                Ended::Observer => return Ok(seen_end.then_some(StepEnd::Stabilised)),
                Ended::Charge(state) => {
                    if let Some(charging) = charge.as_mut() {
                        self.charge_goes_over(charging, state);
                    }
                }
            }
        }
    }

    /// Sets the charge in the network of a stretch; an ended one ends the step if the step waits for it.
    fn enter_charge(
        &mut self,
        stretch: &mut Stretch,
        charging: &mut Charging,
        step: &ScheduleStep,
    ) -> Option<StepEnd> {
        Arc::make_mut(&mut stretch.from).set_charge(Some(charging.active.clone()));
        if !charging.is_begun {
            charging.is_begun = true;
            if let Some(condition) = stretch.from.pack_condition(self.run.state()) {
                // a charge begins only inside the limits for a start
                charging.active.state = charging.active.limiter.start(&condition);
                self.tell_charge(charging.active.state);
                Arc::make_mut(&mut stretch.from).set_charge(Some(charging.active.clone()));
            }
        }
        let is_over = charging.active.state == ChargeState::Done && step.ending == Ending::Charged;
        is_over.then_some(StepEnd::Reached)
    }

    fn tell_charge(&mut self, state: ChargeState) {
        let what = match state {
            ChargeState::Charging => "charge runs",
            ChargeState::TooHot => "charge waits: a cell is too hot",
            ChargeState::TooCold => "charge waits: a cell is too cold",
            ChargeState::Done => "charge is done",
        };
        let waits = matches!(state, ChargeState::TooHot | ChargeState::TooCold);
        let kind = if waits { EventKind::ChargeWaits } else { EventKind::Charge };
        self.events.push(Event { time_s: self.run.time_s(), kind, what: what.to_owned() });
    }

    /// How a stretch is followed: what is looked at from step to step needs short ones.
    fn options_for(&self, stabilising: Option<&Stabilising>, charge: Option<&Charging>) -> TransientOptions {
        let mut options = self.options;
        if stabilising.is_some() {
            options.longest_step_s = WATCHFUL_STEP_S;
        } else if charge.is_some() {
            options.longest_step_s = CHARGE_STEP_S;
        }
        options
    }

    /// Takes over a state of the charge; one that stops waits for a while.
    fn charge_goes_over(&mut self, charging: &mut Charging, state: ChargeState) {
        charging.active.state = state;
        if matches!(state, ChargeState::TooHot | ChargeState::TooCold) {
            charging.rests_until_s = self.run.time_s() + CHARGE_REST_S;
            charging.stops += 1;
        }
        self.tell_charge(state);
    }

    /// Whether the ending of a step is met by the present state.
    fn is_reached(&self, step: &ScheduleStep) -> bool {
        let state = self.run.state();
        let network = &step.pieces[0].from.assembled.network;
        let charge = self.run.state_of_charge(network).unwrap_or(0.0);
        match &step.ending {
            Ending::AllBelow(ids, limit_k) => ids.iter().all(|id| state[id.index()] <= limit_k + NEAR_K),
            Ending::AnyAbove(ids, limit_k) => ids.iter().any(|id| state[id.index()] >= limit_k - NEAR_K),
            Ending::ChargeAbove(limit) => charge >= limit - NEAR_CHARGE,
            Ending::ChargeBelow(limit) => charge <= limit + NEAR_CHARGE,
            Ending::Time | Ending::Charged | Ending::Stabilised { .. } => false,
        }
    }

    fn swap(&mut self, schedule: &Schedule, step: &ScheduleStep, swap: super::Swap) {
        let Some(pack) = &schedule.pack else { return };
        let last = &step.pieces[step.pieces.len() - 1].from.assembled;
        let temperature_k = swap.temperature_k.unwrap_or(last.outside.inlet_air_k);
        for &cells in &pack.cells {
            self.run.set_component_k(&last.network, cells, temperature_k);
        }
        self.run.set_state_of_charge(&last.network, swap.state_of_charge);
        let what = "pack swapped".to_owned();
        self.events.push(Event { time_s: self.run.time_s(), kind: EventKind::Swap, what });
    }

    /// A charge that stops and starts again and again is no charge that was planned.
    fn look_at_stops(&mut self, step: &ScheduleStep, stops: usize, start_s: f64) {
        let lasted_s = self.run.time_s() - start_s;
        if stops > HUNTING.0 && lasted_s / (stops as f64) < HUNTING.1 {
            self.notices.push(Notice {
                about: "",
                kind: Status::Hunting.word(),
                place: "pack".to_owned(),
                message: format!(
                    "the charge stops at an end of its window {stops} times in {lasted_s:.0} s of {}; cool the cells better, charge \
                     more slowly, or set the limits for a start further inside",
                    step.label
                ),
            });
        }
    }

    fn look_for_hunting(&mut self, parts: &Parts, step: &ScheduleStep, start_s: f64, before: usize) {
        let changes = &self.run.switchings()[before..];
        for change in changes {
            let name = device_name(parts, change.element);
            let what = format!("{name} {}", if change.is_on { "on" } else { "off" });
            self.events.push(Event { time_s: change.time_s, kind: EventKind::Switch, what });
        }
        let lasted_s = self.run.time_s() - start_s;
        let mut elements: Vec<_> = changes.iter().map(|change| change.element).collect();
        elements.sort();
        elements.dedup();
        for element in elements {
            let count = changes.iter().filter(|change| change.element == element).count();
            if count > HUNTING.0 && lasted_s / (count as f64) < HUNTING.1 {
                self.notices.push(Notice {
                    about: "",
                    kind: Status::Hunting.word(),
                    place: device_name(parts, element),
                    message: format!(
                        "switches {count} times in {:.0} s of {}; set its two temperatures further apart",
                        lasted_s, step.label
                    ),
                });
            }
        }
    }

    fn conclude(
        mut self,
        project: &Project,
        schedule: Schedule,
        outcome: Result<(), (usize, Failure)>,
    ) -> Flight {
        let mut status = Status::Solved;
        if self.notices.iter().any(|notice| notice.kind == Status::Hunting.word()) {
            status = Status::Hunting;
        }
        if let Err((number, failure)) = outcome {
            let instant = &schedule.steps[number].pieces[0].from;
            let failed = case::failed(&instant.situation(project), &instant.assembled.parts, &failure);
            status = failed.status;
            let label = &schedule.steps[number].label;
            self.notices.extend(failed.notices.into_iter().map(|notice| Notice {
                about: "",
                message: format!("in {label}, at {:.0} s: {}", self.run.time_s(), notice.message),
                ..notice
            }));
        }
        self.notices.extend(self.standing.notices(schedule.parts()));
        let first = &schedule.steps[0].pieces[0].from;
        self.notices.extend(case::standing_notices(&first.situation(project), schedule.parts()));
        self.events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        let network = &schedule.steps[0].pieces[0].from.assembled.network;
        let end = EndState {
            unknowns: self.run.state()[..network.unknowns()].to_vec(),
            positions: self.run.positions().to_vec(),
            charge: network.charge_unknown(),
            rises_k: Vec::new(),
        };
        Flight::new(schedule, status, self.notices, self.samples, self.steps, self.events, &self.run, end)
    }
}

/// Tells that a flight was followed with a little heat capacity everywhere, and which place asked for it.
fn softened(project: &Project, schedule: &Schedule, number: usize, failure: &Failure) -> Notice {
    let instant = &schedule.steps[number].pieces[0].from;
    let failed = case::failed(&instant.situation(project), &instant.assembled.parts, failure);
    let place = failed.notices.into_iter().next().map_or_else(|| "flight".to_owned(), |notice| notice.place);
    Notice {
        about: "",
        kind: "air_capacity",
        place,
        message: format!(
            "has no balance of its own with the flow through it in {}, as beside a fan that works against a shut flap or where \
             flow turns round; the flight was followed with {:.0} J/K in air, junctions and parts of no heat capacity, whose \
             temperatures come seconds later for it",
            schedule.steps[number].label,
            solver::SOFT_CAPACITY_J_K
        ),
    }
}

fn device_name(parts: &Parts, element: solver::ElementId) -> String {
    parts
        .loops
        .iter()
        .chain(&parts.ducts)
        .flat_map(crate::assembly::CircuitPart::devices)
        .find(|device| device.element == element)
        .map_or_else(|| "a device".to_owned(), |device| device.name.clone())
}

/// Thresholds at which the ending of a step may be met.
fn watches(ending: &Ending) -> Vec<Watch> {
    let at = |ids: &[ComponentId], threshold, direction| {
        let watch =
            |id: &ComponentId| Watch { of: Watched::Temperature(Node::Component(*id)), threshold, direction };
        ids.iter().map(watch).collect()
    };
    match ending {
        Ending::AllBelow(ids, limit_k) => at(ids, *limit_k, Direction::Falling),
        Ending::AnyAbove(ids, limit_k) => at(ids, *limit_k, Direction::Rising),
        Ending::ChargeAbove(limit) => {
            vec![Watch { of: Watched::StateOfCharge, threshold: *limit, direction: Direction::Rising }]
        }
        Ending::ChargeBelow(limit) => {
            vec![Watch { of: Watched::StateOfCharge, threshold: *limit, direction: Direction::Falling }]
        }
        Ending::Time | Ending::Charged | Ending::Stabilised { .. } => Vec::new(),
    }
}
