//! What became of a schedule: samples over time, events, heat book, and the margins over the whole of it.

mod power;

use super::end_state::{EndState, ids};
use super::schedule::{Instant, Piece, Schedule};
use crate::assembly::Situation;
use crate::case::AtInstant;
use crate::cushion_range::CushionRange;
use crate::margin::StartBound;
use crate::pressure_trouble::WorstOverTime;
use crate::rating::RatingClock;
use crate::result::{CaseResult, Margin, MarginKind, Notice, Status};
use aircraft::records::component::Component;
use aircraft::records::project::Project;
use solver::{HeatOverTime, Network, Reading, Transient, TransientStatistics};
use std::borrow::Cow;

/// What kind of thing happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EventKind {
    /// A step of the schedule begins.
    Step,
    /// A charge runs, or is done.
    Charge,
    /// A charge waits for the cells.
    ChargeWaits,
    /// The pack was swapped.
    Swap,
    /// A machine goes on or off.
    Switch,
    /// A limit is passed, or kept again.
    Limit,
}

/// Something that happened.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// When, s.
    pub time_s: f64,
    /// Kind.
    pub kind: EventKind,
    /// What.
    pub what: String,
}

/// How a step ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepEnd {
    /// Its time was up.
    TimeUp,
    /// What it waited for was reached.
    Reached,
    /// The temperatures were stabilised.
    Stabilised,
    /// Its longest time was up before what it waited for.
    NotReached,
}

/// A step as it was flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlownStep {
    /// Number in the schedule.
    pub step: usize,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// How it ended.
    pub ended: StepEnd,
}

/// A margin and when it was least.
#[derive(Clone, Debug, PartialEq)]
pub struct TimedMargin {
    /// Margin.
    pub margin: Margin,
    /// When, s.
    pub time_s: f64,
}

/// What limits and loops say about a flight.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// The least reserve of every limit with its time.
    pub margins: Vec<TimedMargin>,
    /// Things to know.
    pub notices: Vec<Notice>,
    /// How far the gas cushion of each loop goes.
    pub cushions: Vec<CushionRange>,
}

/// One kept state.
#[derive(Clone, Debug)]
pub(super) struct Sample {
    pub(super) time_s: f64,
    pub(super) place: (usize, usize),
    pub(super) share: f64,
    pub(super) state: Vec<f64>,
    pub(super) positions: Vec<bool>,
    /// Rise of the hot spot of each component, K; empty if none lags.
    pub(super) rises_k: Vec<f64>,
}

/// A schedule as it was flown.
#[derive(Clone, Debug)]
pub struct Flight {
    /// What was flown.
    pub schedule: Schedule,
    /// Solved, or why the flight could not go on.
    pub status: Status,
    /// Things to know.
    pub notices: Vec<Notice>,
    /// Times of the samples, s, not falling: a jump has two samples at one time.
    pub times_s: Vec<f64>,
    /// Number of the schedule step of each sample.
    pub step_of: Vec<usize>,
    /// Steps that were finished.
    pub steps: Vec<FlownStep>,
    /// What happened, in order.
    pub events: Vec<Event>,
    /// Heat book since the start.
    pub heat: HeatOverTime,
    /// What the stepper did.
    pub statistics: TransientStatistics,
    /// State at the end.
    pub end: EndState,
    samples: Vec<Sample>,
}

impl Flight {
    #[expect(clippy::too_many_arguments, reason = "the one constructor of a plain record")]
    pub(super) fn new(
        schedule: Schedule,
        status: Status,
        notices: Vec<Notice>,
        mut samples: Vec<Sample>,
        steps: Vec<FlownStep>,
        events: Vec<Event>,
        run: &Transient,
        end: EndState,
    ) -> Self {
        // positions are known where a run ended; the samples before it had those of the switches at that time, or the same
        let mut known: Vec<bool> = end.positions.clone();
        for sample in samples.iter_mut().rev() {
            if sample.positions.is_empty() {
                sample.positions.clone_from(&known);
            } else {
                known.clone_from(&sample.positions);
            }
        }
        for change in run.switchings().iter().rev() {
            let element = change.element.index();
            for sample in samples.iter_mut().filter(|sample| sample.time_s < change.time_s) {
                if let Some(position) = sample.positions.get_mut(element) {
                    *position = !change.is_on;
                }
            }
        }
        Self {
            schedule,
            status,
            notices,
            times_s: samples.iter().map(|sample| sample.time_s).collect(),
            step_of: samples.iter().map(|sample| sample.place.0).collect(),
            steps,
            events,
            heat: run.heat(),
            statistics: run.statistics(),
            end,
            samples,
        }
    }

    /// Time at the end, s.
    pub fn duration_s(&self) -> f64 {
        self.times_s.last().copied().unwrap_or(0.0)
    }

    fn series(&self, of: impl Fn(&Sample) -> f64) -> Vec<f64> {
        self.samples.iter().map(of).collect()
    }

    /// Hottest segment of a component at each sample, K; empty if there is no such component.
    pub fn component_k(&self, name: &str) -> Vec<f64> {
        let Some(ids) = ids(self.schedule.parts(), name) else { return Vec::new() };
        self.series(|sample| ids.iter().map(|&id| sample.state[id]).fold(f64::NEG_INFINITY, f64::max))
    }

    /// Hottest segment of a component with its hot-spot rise at each sample, K; not a number if there is no such component.
    pub fn hot_spot_k(&self, project: &Project, name: &str) -> Vec<f64> {
        let Some(index) = project.components.iter().position(|c| c.name.as_str() == name) else {
            return vec![f64::NAN; self.samples.len()];
        };
        let rise_k = |sample: &Sample| match sample.rises_k.get(index) {
            Some(rise_k) => *rise_k,
            None => self.read(project, sample, |at| at.lasting_rises_k())[index],
        };
        self.component_k(name).iter().zip(&self.samples).map(|(k, sample)| k + rise_k(sample)).collect()
    }

    /// Lets the hot spots that lag follow their heat. `before`: their rises at the beginning; if it is empty, the first heat has
    /// lasted.
    pub(super) fn follow_hot_spots(&mut self, project: &Project, before: &[f64]) {
        let lag_s = |component: &Component| component.hot_spot.as_ref().map_or(0.0, |spot| spot.lag.si());
        let lags_s: Vec<f64> = project.components.iter().map(lag_s).collect();
        if lags_s.iter().all(|lag_s| *lag_s == 0.0) {
            return;
        }
        let lasting_k = |sample| self.read(project, sample, |at| at.lasting_rises_k());
        let lasting_k: Vec<Vec<f64>> = self.samples.iter().map(lasting_k).collect();
        let Some(first) = lasting_k.first() else { return };
        let mut rises_k = if before.is_empty() { first.clone() } else { before.to_vec() };
        for index in 0..self.samples.len() {
            let before = index.saturating_sub(1);
            let elapsed_s = self.times_s[index] - self.times_s[before];
            for (component, (rise_k, lag_s)) in rises_k.iter_mut().zip(&lags_s).enumerate() {
                let ends_k = [lasting_k[before][component], lasting_k[index][component]];
                *rise_k = lagged(*rise_k, ends_k, elapsed_s, *lag_s);
            }
            self.samples[index].rises_k.clone_from(&rises_k);
        }
        self.end.rises_k = rises_k;
    }

    /// State of charge at each sample.
    pub fn state_of_charge(&self) -> Vec<f64> {
        let network = &self.schedule.steps[0].pieces[0].from.assembled.network;
        let Some(unknown) = network.charge_unknown() else { return Vec::new() };
        self.series(|sample| sample.state[unknown])
    }

    /// Bus current at each sample, A; negative while charging.
    pub fn pack_current_a(&self) -> Vec<f64> {
        self.electric(|network, state| Reading::of(network, state).electric().map(|e| e.bus_current_a))
    }

    /// Bus voltage at each sample, V.
    pub fn bus_voltage_v(&self) -> Vec<f64> {
        self.electric(|network, state| Reading::of(network, state).electric().map(|e| e.bus_voltage_v))
    }

    fn electric(&self, of: impl Fn(&Network, &[f64]) -> Option<f64>) -> Vec<f64> {
        let network = &self.schedule.steps[0].pieces[0].from.assembled.network;
        self.samples.iter().filter_map(|sample| of(network, &sample.state)).collect()
    }

    fn piece(&self, sample: &Sample) -> &Piece {
        &self.schedule.steps[sample.place.0].pieces[sample.place.1]
    }

    /// Power at the output shaft that is asked for at each sample, W.
    pub fn shaft_power_w(&self) -> Vec<f64> {
        self.series(|sample| {
            let piece = self.piece(sample);
            let from = piece.from.commanded;
            match &piece.to {
                Some(to) => from.towards(&to.commanded, sample.share).shaft_power_w,
                None => from.shaft_power_w,
            }
        })
    }

    /// The state at the last sample up to a time, s.
    pub fn state_at(&self, time_s: f64) -> EndState {
        let last = self.samples.iter().rev().find(|sample| sample.time_s <= time_s + 1e-9);
        let Some(sample) = last.or(self.samples.first()) else { return self.end.clone() };
        EndState {
            unknowns: sample.state[..self.end.unknowns.len()].to_vec(),
            positions: sample.positions.clone(),
            charge: self.end.charge,
            rises_k: sample.rises_k.clone(),
        }
    }

    fn network(&self, sample: &Sample) -> Cow<'_, Network> {
        let piece = self.piece(sample);
        let mut network = match &piece.to {
            Some(_) => Cow::Owned(piece.stretch().at(sample.share)),
            None => Cow::Borrowed(piece.from.assembled.network.as_ref()),
        };
        if network.has_switches() {
            network.to_mut().fix_switches(&sample.positions);
        }
        network
    }

    /// What is flown at a sample: condition, point, failure.
    ///
    /// # Panics
    /// If there is no such sample.
    pub fn situation_at<'a>(&'a self, project: &'a Project, sample: usize) -> Situation<'a> {
        self.instant(&self.samples[sample]).situation(project)
    }

    fn instant(&self, sample: &Sample) -> &Instant {
        let piece = self.piece(sample);
        match &piece.to {
            Some(to) if sample.share > 0.5 => to,
            _ => &piece.from,
        }
    }

    /// Everything about one sample, with the names of the aircraft.
    ///
    /// # Panics
    /// If there is no such sample.
    pub fn case_at(&self, project: &Project, sample: usize) -> CaseResult {
        self.read(project, &self.samples[sample], |at| at.result())
    }

    /// The margins of [`Flight::case_at`] with the components, loops and electric drive they judge, at a fraction of its cost; the
    /// rest is left empty, and heats of components are not booked.
    ///
    /// # Panics
    /// If there is no such sample.
    pub fn judged_at(&self, project: &Project, sample: usize) -> CaseResult {
        self.read(project, &self.samples[sample], |at| at.judged())
    }

    fn read<R>(&self, project: &Project, sample: &Sample, into: impl FnOnce(AtInstant<'_>) -> R) -> R {
        let instant = self.instant(sample);
        let network = self.network(sample);
        into(AtInstant {
            situation: &instant.situation(project),
            parts: self.schedule.parts(),
            outside: instant.assembled.outside,
            reading: Reading::of(&network, &sample.state),
            rises_k: &sample.rises_k,
        })
    }

    /// What bounds the minimum limits before the flight; none where its start temperatures are no inputs.
    pub fn start_bound(&self, project: &Project) -> Option<StartBound> {
        self.schedule.start.coldest_k().map(|coldest_k| StartBound::new(project, coldest_k))
    }

    /// Sets what is asked of the minimum limits at a sample, one after the other. A flight that goes on from another takes its bound on.
    ///
    /// # Panics
    /// If there is no such sample.
    pub fn ask(&self, bound: &mut StartBound, result: &mut CaseResult, sample: usize) {
        let sample = &self.samples[sample];
        let piece = self.piece(sample);
        let air_k = |instant: &Instant| instant.assembled.outside.air_k;
        let coldest_k = air_k(&piece.from).min(piece.to.as_ref().map_or(f64::INFINITY, air_k));
        bound.ask(result, coldest_k, !self.schedule.steps[sample.place.0].carts.is_empty());
    }

    /// The least reserve over time of every limit. A limit with a duration is passed only by what lasts that long: the value
    /// judged is the greatest (for a minimum the least) that is kept up over the duration. Of a flight that broke off only the limits
    /// are told that were short by then: the others are no result.
    pub fn margins(&self, project: &Project) -> Vec<TimedMargin> {
        self.margins_beside(project, |_, _| ())
    }

    /// The margins with all that is to be told: what [`Flight::told`] tells, and the pressures of the loops.
    pub fn judged(&self, project: &Project) -> Judged {
        let mut pressures = WorstOverTime::default();
        let mut cushions = Vec::new();
        let margins = self.margins_beside(project, |sample, result| {
            let ambient_pa = self.instant(sample).assembled.outside.pressure_pa;
            pressures.look(&result.loops, ambient_pa, sample.time_s);
            CushionRange::take(&mut cushions, &result.loops, Some(sample.time_s));
        });
        let mut notices = self.told(project, &margins);
        notices.extend(pressures.notices());
        Judged { margins, notices, cushions }
    }

    /// The margins; `look` sees the state of each sample on the way.
    fn margins_beside(
        &self,
        project: &Project,
        mut look: impl FnMut(&Sample, &CaseResult),
    ) -> Vec<TimedMargin> {
        let mut tracks: Vec<Track> = Vec::new();
        let mut clock = RatingClock::default();
        let mut bound = self.start_bound(project);
        for (index, sample) in self.samples.iter().enumerate() {
            let mut result = self.judged_at(project, index);
            if let Some(bound) = &mut bound {
                self.ask(bound, &mut result, index);
            }
            look(sample, &result);
            result.margins.extend(clock.overrun(&self.situation_at(project, index), &result, sample.time_s));
            for margin in result.margins {
                if let Some(track) = tracks.iter_mut().find(|track| track.is_of(&margin)) {
                    track.seen.push((sample.time_s, margin));
                } else {
                    let lasting_s = lasting_s(project, &margin);
                    tracks.push(Track { lasting_s, seen: vec![(sample.time_s, margin)] });
                }
            }
        }
        let mut worst: Vec<TimedMargin> = tracks.iter().filter_map(Track::worst).collect();
        if !self.status.can_be_judged() {
            // what was short before the flight broke off stays so; what still held might not have, had it gone on
            worst.retain(|timed| timed.margin.is_short());
        }
        worst.sort_by(|a, b| Margin::worst_first(&a.margin, &b.margin));
        worst
    }
}

impl Flight {
    /// What the run itself has to tell, then what is known only beside its margins ([`Flight::margins`]): a film or hose between laminar and turbulent flow at the moment at which a limit that it feeds has its least
    /// reserve, and a wall much colder than its liquid there.
    pub fn told(&self, project: &Project, margins: &[TimedMargin]) -> Vec<Notice> {
        let mut told = self.notices.clone();
        told.extend(self.power_notices(project, margins));
        let mut seen: Vec<f64> = Vec::new();
        for least in margins {
            if seen.contains(&least.time_s) {
                continue;
            }
            seen.push(least.time_s);
            let Some(sample) = self.samples.iter().find(|sample| sample.time_s == least.time_s) else {
                continue;
            };
            let now: Vec<Margin> = margins
                .iter()
                .filter(|timed| timed.time_s == least.time_s)
                .map(|timed| timed.margin.clone())
                .collect();
            for notice in self.read(project, sample, |at| at.film_notices(&now)) {
                if !told.iter().any(|known| known.kind == notice.kind && known.place == notice.place) {
                    let message = format!("at {:.0} s: {}", least.time_s, notice.message);
                    told.push(Notice { message, ..notice });
                }
            }
        }
        told
    }
}

/// A first-order lag over a time in which what it follows goes evenly from one end to the other: exact. Without a lag it is there at
/// once.
fn lagged(rise_k: f64, [from_k, to_k]: [f64; 2], elapsed_s: f64, lag_s: f64) -> f64 {
    if lag_s <= 0.0 {
        return to_k;
    }
    if elapsed_s <= 0.0 {
        return rise_k;
    }
    let lags = elapsed_s / lag_s;
    let (left, mean) = ((-lags).exp(), -(-lags).exp_m1() / lags);
    rise_k * left + from_k * (mean - left) + to_k * (1.0 - mean)
}

/// One limit over time.
struct Track {
    lasting_s: Option<f64>,
    seen: Vec<(f64, Margin)>,
}

impl Track {
    fn is_of(&self, margin: &Margin) -> bool {
        let known = &self.seen[0].1;
        known.place == margin.place && known.limit == margin.limit && known.kind == margin.kind
    }

    fn worst(&self) -> Option<TimedMargin> {
        let rank = |index: usize| self.seen[index].1.rank();
        let judged = |index: usize| match self.lasting_s {
            None => Some(index),
            Some(lasting_s) => {
                // the best margin inside the window that ends here; a window cut off by the start does not count
                let (end_s, start_s) = (self.seen[index].0, self.seen[0].0);
                if end_s - start_s < lasting_s {
                    return None;
                }
                let inside = (0..=index).rev().take_while(|&k| self.seen[k].0 >= end_s - lasting_s - 1e-9);
                inside.max_by_key(|&k| rank(k))
            }
        };
        let worst = (0..self.seen.len()).filter_map(judged).min_by_key(|&k| rank(k));
        // shorter than its duration throughout: never passed, shown with its best value
        let index = worst.or_else(|| (0..self.seen.len()).max_by_key(|&k| rank(k)))?;
        let (time_s, margin) = &self.seen[index];
        Some(TimedMargin { margin: margin.clone(), time_s: *time_s })
    }
}

/// Duration of a short-time limit, s.
fn lasting_s(project: &Project, margin: &Margin) -> Option<f64> {
    if !matches!(margin.kind, MarginKind::Maximum | MarginKind::Minimum) {
        return None;
    }
    let component = project.components.iter().find(|c| c.name.as_str() == margin.place)?;
    let limit = component.limits.iter().find(|l| l.name.as_str() == margin.limit)?;
    limit.duration.as_ref().map(|duration| duration.si())
}
