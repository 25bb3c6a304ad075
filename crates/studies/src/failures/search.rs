//! Search for the worst moment of a failure.

use super::trace::{Trace, Watched, rank};
use crate::StudyError;
use model::mission::{self, Flight, FlyOptions, MissionCase, Moment, Phase, Schedule, Then};
use model::result::Status;
use model::standing::{Rank, Standing};
use std::sync::atomic::{AtomicBool, Ordering};

/// How often the moments beside the worst one are halved.
const ROUNDS: usize = 4;
/// Moments closer than this are not told apart, s.
const CLOSE_S: f64 = 5.0;

/// A mission without failure.
#[derive(Debug)]
pub(super) struct Base<'a> {
    pub(super) case: MissionCase<'a>,
    pub(super) flight: Flight,
    pub(super) trace: Trace,
}

/// A failure at one moment.
#[derive(Debug)]
pub(super) struct Struck {
    /// Sample of the mission without failure.
    pub(super) sample: usize,
    /// The command stays as it was.
    pub(super) hold: Trace,
    /// What is flown after the failure, until touchdown.
    pub(super) after: Trace,
    /// From the failure to touchdown, s; none if it is not reached.
    pub(super) touchdown_s: Option<f64>,
    /// The same command without failure, flown where it may be to blame.
    pub(super) healthy: Option<Trace>,
}

/// Whether a flight went all the way.
pub(super) fn is_flown(status: Status) -> bool {
    status.can_be_judged()
}

/// Samples at which a failure is tried first: start, middle and end of every step in the air, and the peaks of the components there.
pub(super) fn moments(flight: &Flight) -> Vec<usize> {
    let in_air = |step: usize| {
        let step = &flight.schedule.steps[step];
        step.phase == Phase::Segment && !step.ground
    };
    let airborne: Vec<usize> = (0..flight.times_s.len()).filter(|&k| in_air(flight.step_of[k])).collect();
    let mut found = Vec::new();
    for step in airborne.chunk_by(|&a, &b| flight.step_of[a] == flight.step_of[b]) {
        let (first, last) = (step[0], step[step.len() - 1]);
        let middle_s = 0.5 * (flight.times_s[first] + flight.times_s[last]);
        let middle = step.partition_point(|&k| flight.times_s[k] < middle_s).min(step.len() - 1);
        found.extend([first, step[middle], last]);
    }
    for (name, _) in &flight.schedule.parts().components {
        let temperatures_k = flight.component_k(name);
        found.extend(
            airborne.iter().copied().max_by(|&a, &b| temperatures_k[a].total_cmp(&temperatures_k[b])),
        );
    }
    found.sort_unstable();
    found.dedup();
    // nothing is left to fly after the last moment of all
    found.retain(|&sample| sample + 1 < flight.times_s.len());
    found
}

impl Base<'_> {
    /// Moment of a sample.
    pub(super) fn moment(&self, sample: usize) -> Moment {
        let step = self.flight.step_of[sample];
        let start_s = self.flight.steps.iter().find(|flown| flown.step == step).map(|flown| flown.start_s);
        let start_s = start_s.unwrap_or_else(|| {
            let first = self.flight.step_of.partition_point(|&k| k < step);
            self.flight.times_s[first]
        });
        Moment { step, after_s: self.flight.times_s[sample] - start_s }
    }

    /// Flies what follows a moment.
    pub(super) fn fly(
        &self,
        case: &MissionCase<'_>,
        sample: usize,
        then: Then,
        options: &FlyOptions,
    ) -> Result<Flight, StudyError> {
        let mut schedule = mission::aftermath(case, self.moment(sample), then)
            .map_err(|problem| StudyError::Assembly { case: case.name(), problem: Box::new(problem) })?;
        if then == Then::After {
            // what follows touchdown is not judged
            let down = last_in_air(&schedule).map_or(1, |last| last + 1);
            schedule.steps.truncate(down);
        }
        let from = self.flight.state_at(self.flight.times_s[sample]);
        Ok(mission::fly(case.project, schedule, Some(&from), options))
    }

    fn strike(
        &self,
        case: &MissionCase<'_>,
        sample: usize,
        hold_s: f64,
        options: &FlyOptions,
        unjudged: &[String],
    ) -> Result<Struck, StudyError> {
        let (project, bound) = (case.project, self.trace.bound_at(sample));
        let held = self.fly(case, sample, Then::Hold(hold_s), options)?;
        let mut hold = Trace::of(&held, project, f64::INFINITY, bound);
        hold.leave_out(unjudged);
        let flown = self.fly(case, sample, Then::After, options)?;
        let touchdown_s = touchdown(&flown);
        let mut after = Trace::of(&flown, project, touchdown_s.unwrap_or(f64::INFINITY), bound);
        after.leave_out(unjudged);
        after.tell_films(&flown, project);
        let healthy = if hold.first_passed().is_some() || !is_flown(hold.status) {
            let healthy = MissionCase { failure: None, ..*case };
            let flight = self.fly(&healthy, sample, Then::Hold(hold_s), options)?;
            Some(Trace::of(&flight, project, f64::INFINITY, bound))
        } else {
            None
        };
        Ok(Struck { sample, hold, after, touchdown_s, healthy })
    }

    /// Flies a failure from all moments, and ever closer to the worst ones; in the order of time. Limits at the places that are not
    /// judged are left out.
    pub(super) fn search(
        &self,
        case: &MissionCase<'_>,
        hold_s: f64,
        options: &FlyOptions,
        unjudged: &[String],
        cancel: &AtomicBool,
    ) -> Result<Vec<Struck>, StudyError> {
        let strike = |sample: usize| {
            if cancel.load(Ordering::Relaxed) {
                return Err(StudyError::Cancelled);
            }
            self.strike(case, sample, hold_s, options, unjudged)
        };
        let mut tried = moments(&self.flight).into_iter().map(strike).collect::<Result<Vec<_>, _>>()?;
        for _ in 0..ROUNDS {
            let mut wanted = Vec::new();
            for worst in [worst_hold(&tried), worst_after(&tried)].into_iter().flatten() {
                wanted.extend(self.between(&tried, worst));
            }
            wanted.sort_unstable();
            wanted.dedup();
            for sample in wanted {
                let at = tried.partition_point(|struck| struck.sample < sample);
                tried.insert(at, strike(sample)?);
            }
        }
        Ok(tried)
    }

    /// Untried samples halfway to the neighbours of a tried one, inside the same step.
    fn between(&self, tried: &[Struck], worst: usize) -> Vec<usize> {
        let here = tried[worst].sample;
        let neighbours = [worst.checked_sub(1), Some(worst + 1)];
        let beside =
            neighbours.into_iter().flatten().filter_map(|k| tried.get(k)).map(|struck| struck.sample);
        beside
            .filter_map(|there| {
                let (a, b) = (here.min(there), here.max(there));
                let (times_s, steps) = (&self.flight.times_s, &self.flight.step_of);
                if times_s[b] - times_s[a] < CLOSE_S || steps[a] != steps[b] {
                    return None;
                }
                let middle_s = 0.5 * (times_s[a] + times_s[b]);
                let middle = a + times_s[a..=b].partition_point(|time| *time < middle_s);
                (middle > a && middle < b).then_some(middle)
            })
            .collect()
    }
}

/// Number of the last step in the air.
fn last_in_air(schedule: &Schedule) -> Option<usize> {
    schedule.steps.iter().rposition(|step| step.phase == Phase::Segment && !step.ground)
}

/// From the failure to touchdown, s: at once if nothing is left in the air; none if the flight does not come that far.
fn touchdown(flown: &Flight) -> Option<f64> {
    let Some(last) = last_in_air(&flown.schedule) else { return Some(0.0) };
    flown.steps.iter().find(|step| step.step == last).map(|step| step.end_s)
}

/// Worst moment for a pilot who changes nothing: earliest limit, then earliest loss of a required margin, then least reserve.
pub(super) fn worst_hold(tried: &[Struck]) -> Option<usize> {
    let key = |struck: &Struck| {
        let times_s = [struck.time_to_limit_s(), struck.time_to_required_s()];
        let rank = struck.hold.worst().map_or(Rank::NO_LIMITS, rank);
        (times_s.map(|time_s| time_s.unwrap_or(f64::INFINITY)), rank)
    };
    least(tried, key)
}

/// Moment from which a required margin is lost soonest while the pilot changes nothing; none if none ever is.
pub(super) fn soonest_short(tried: &[Struck]) -> Option<usize> {
    let lost = |index: usize| tried[index].time_to_required_s();
    (0..tried.len()).filter(|&index| lost(index).is_some()).min_by(|&a, &b| {
        let time_s = |index| lost(index).unwrap_or(f64::INFINITY);
        time_s(a).total_cmp(&time_s(b))
    })
}

/// Worst moment for what is flown after the failure: no way to touchdown first, then least reserve.
pub(super) fn worst_after(tried: &[Struck]) -> Option<usize> {
    let key = |struck: &Struck| {
        let flown = if is_flown(struck.status()) { 1.0 } else { 0.0 };
        let passed = struck.after.first_passed().map_or(1.0, |_| 0.0);
        ([flown + passed, 0.0], struck.after.worst().map_or(Rank::NO_LIMITS, rank))
    };
    least(tried, key)
}

/// The first of the least.
fn least(tried: &[Struck], key: impl Fn(&Struck) -> ([f64; 2], Rank)) -> Option<usize> {
    (0..tried.len()).min_by(|&a, &b| {
        let (a, b) = (key(&tried[a]), key(&tried[b]));
        let [first, second] = [0, 1].map(|k: usize| a.0[k].total_cmp(&b.0[k]));
        first.then(second).then(a.1.cmp(&b.1))
    })
}

impl Struck {
    /// The command of the moment cannot be flown for so long, though it could without failure: status and time, s.
    pub(super) fn no_way_on(&self) -> Option<(Status, f64)> {
        if is_flown(self.hold.status) {
            return None;
        }
        let end_s = self.hold.end_s();
        let is_to_blame = self
            .healthy
            .as_ref()
            .is_none_or(|healthy| is_flown(healthy.status) || healthy.end_s() > end_s + CLOSE_S);
        is_to_blame.then_some((self.hold.status, end_s))
    }

    /// Time until a limit is passed, or the flight has no solution, with the command of the moment, s.
    pub(super) fn time_to_limit_s(&self) -> Option<f64> {
        let passed_s = self.hold.first_passed().map(|(_, time_s)| time_s);
        passed_s.into_iter().chain(self.no_way_on().map(|(_, time_s)| time_s)).min_by(f64::total_cmp)
    }

    /// Time until a required margin is lost, or the flight has no solution, with the command of the moment, s.
    pub(super) fn time_to_required_s(&self) -> Option<f64> {
        let short_s = self.hold.first_short().map(|(_, time_s)| time_s);
        short_s.into_iter().chain(self.time_to_limit_s()).min_by(f64::total_cmp)
    }

    /// Whether a required margin is lost in either flight.
    pub(super) fn is_running_out(&self) -> bool {
        self.time_to_required_s().is_some() || self.short_after_s().is_some()
    }

    /// How what is flown after the failure ended: what breaks off after touchdown is none of its business.
    pub(super) fn status(&self) -> Status {
        if self.touchdown_s.is_some() { Status::Solved } else { self.after.status }
    }

    /// How what is flown after the failure stands until touchdown.
    pub(super) fn standing(&self) -> Standing {
        self.after.standing(self.status())
    }

    /// Time until a limit is passed, or the flight has no solution, with what is flown after the failure, s.
    pub(super) fn passed_after_s(&self) -> Option<f64> {
        self.until(self.after.first_passed())
    }

    /// Time until a required margin is lost, or the flight has no solution, with what is flown after the failure, s.
    pub(super) fn short_after_s(&self) -> Option<f64> {
        self.until(self.after.first_short())
    }

    fn until(&self, lost: Option<(&Watched, f64)>) -> Option<f64> {
        lost.map(|(_, time_s)| time_s).or_else(|| (!is_flown(self.status())).then(|| self.after.end_s()))
    }
}
