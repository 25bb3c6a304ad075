//! Single failures over time: when each limit is passed, how hot it gets until touchdown, what the pilot has time to do, and at which
//! temperatures the crew must be warned.
//!
//! Every failure of the project and the loss of every supply strikes every mission at its hottest condition. The worst moment is searched:
//! start, middle and end of every step in the air and the moments of component peaks, then ever closer to the worst of them. From each
//! moment two flights follow: the command of the moment kept, which tells the time to each limit, and what is flown after the failure,
//! which tells the peaks until touchdown. The bare limit counts as passed, not the margin that is asked of it. Freezing is left out: no
//! failure changes the weather.

mod action;
mod alert;
mod search;
mod trace;

pub use action::{Action, TimesToLand};
pub use alert::{AMBER_BELOW_RED_K, Rise, Sensing};

use crate::{StudyError, missions};
use aircraft::records::project::Project;
use aircraft::records::study::{Failed, Failure};
use model::case_name::CaseName;
use model::cases;
use model::mission::{self, FlyOptions, MissionCase};
use model::result::{Margin, MarginKind, Notice, PowerLost, Status};
use model::standing::Standing;
use rayon::prelude::*;
use schema::Name;
use search::{Base, Struck, is_flown, worst_after, worst_hold};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use trace::{Trace, touchdown_s};

/// A limit and the time until it is passed.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitTime {
    /// Component, device, loop or motor; for a flight without solution "command of the moment".
    pub place: String,
    /// Name of the limit, or the outcome.
    pub limit: String,
    /// Kind of limit; none for an outcome.
    pub kind: Option<MarginKind>,
    /// Since the failure, s; none if it is not passed while the command is kept.
    pub time_s: Option<f64>,
    /// The same without the failure, s.
    pub healthy_s: Option<f64>,
}

/// The value nearest to its limit until touchdown.
#[derive(Clone, Debug, PartialEq)]
pub struct PeakUntilTouchdown {
    /// Value, limit and margin.
    pub margin: Margin,
    /// Since the failure, s.
    pub time_s: f64,
}

/// The limit of whose margin the failure takes the greatest share.
#[derive(Clone, Debug, PartialEq)]
pub struct Worsened {
    /// Value, limit and margin after the failure, until touchdown.
    pub margin: Margin,
    /// Since the failure, s.
    pub time_s: f64,
    /// Least margin of the same limit from that moment on without the failure; none if it is not there then.
    pub healthy: Option<f64>,
}

/// Temperatures of one sensor that warn of one failure in time.
#[derive(Clone, Debug, PartialEq)]
pub struct FailureAlert {
    /// Sensor.
    pub sensor: String,
    /// Component or device it sits at.
    pub place: String,
    /// Leaves time to land as soon as possible, K; none if no temperature does.
    pub amber_k: Option<f64>,
    /// Leaves time to land immediately, K; none if no temperature does.
    pub red_k: Option<f64>,
}

/// What a failure leads to in one mission.
#[derive(Clone, Debug, PartialEq)]
pub struct FailureOutcome {
    /// Condition, mission, failure.
    pub case: CaseName,
    /// Solved, or why what is flown after the failure does not reach touchdown.
    pub status: Status,
    /// Things to know about the flights.
    pub notices: Vec<Notice>,
    /// Moment from which a limit is passed soonest, s since the start of the mission.
    pub start_s: f64,
    /// Segment at that moment.
    pub start_segment: String,
    /// Limits that are passed while the command of that moment is kept, first one first.
    pub limits: Vec<LimitTime>,
    /// How long the command was kept, s: a limit that is not passed is not passed for so long.
    pub held_s: f64,
    /// Moment from which the flight until touchdown is worst, s since the start of the mission.
    pub peak_start_s: f64,
    /// Nearest to its limit until touchdown, from that moment.
    pub peak: Option<PeakUntilTouchdown>,
    /// What the failure worsens most in the same flight; none if it worsens nothing.
    pub worsened: Option<Worsened>,
    /// Power that was asked for and not given in the flight after the failure; its time counts from the failure.
    pub power_lost: Option<PowerLost>,
    /// When a limit is first passed before touchdown, s since the failure.
    pub passed_before_touchdown_s: Option<f64>,
    /// From the failure to touchdown, s.
    pub touchdown_s: Option<f64>,
    /// Action of the pilot.
    pub action: Action,
    /// Time to the first limit over the time to land by that action; none if no limit is passed.
    pub time_ratio: Option<f64>,
    /// Warnings of the sensors whose limit is passed.
    pub alerts: Vec<FailureAlert>,
    /// How many moments were flown.
    pub moments: usize,
}

impl FailureOutcome {
    /// Time to the first limit with the command of the moment, s.
    pub fn time_to_limit_s(&self) -> Option<f64> {
        self.limits.first().and_then(|limit| limit.time_s)
    }

    /// Whether every limit is kept until touchdown.
    pub fn is_kept(&self) -> bool {
        self.passed_before_touchdown_s.is_none() && is_flown(self.status)
    }
}

/// Warning temperatures of one sensor over all failures.
#[derive(Clone, Debug, PartialEq)]
pub struct Alert {
    /// Sensor.
    pub sensor: String,
    /// Component or device it sits at.
    pub place: String,
    /// Lowest maximum there, K.
    pub limit_k: f64,
    /// Highest reading without failure, K.
    pub normal_k: f64,
    /// Plan the landing, K.
    pub amber_k: f64,
    /// Act, K.
    pub red_k: f64,
    /// A failure sets amber and red; otherwise they stand at their usual distance below the limit.
    pub is_derived: bool,
    /// Amber could come up, or stay on, without failure.
    pub is_nuisance: bool,
    /// Failures of which no temperature here warns in time for an immediate landing: flow, level or pressure must.
    pub too_late: Vec<String>,
}

/// All failures.
#[derive(Clone, Debug, PartialEq)]
pub struct FailureStudy {
    /// Failures in the order of the project, mission by mission.
    pub failures: Vec<FailureOutcome>,
    /// Warnings in the order of the sensors.
    pub alerts: Vec<Alert>,
    /// Times to land that were compared with.
    pub landing: TimesToLand,
}

impl FailureStudy {
    /// Whether every failure keeps every limit until touchdown.
    pub fn holds(&self) -> bool {
        self.failures.iter().all(FailureOutcome::is_kept)
    }
}

/// Failures of a project and the loss of each supply that none of them is.
pub fn single_failures(project: &Project) -> Vec<Failure> {
    let mut all = project.failures.clone();
    for supply in &project.supplies {
        let name = supply.name.as_str();
        let is_known = all.iter().any(|f| matches!(&f.what, Failed::SupplyLost(lost) if lost == name));
        let unused = |name: &String| all.iter().all(|failure| failure.name.as_str() != name);
        let named = [format!("{name} lost"), format!("supply {name} lost")].into_iter().find(unused);
        if let (false, Some(Ok(named))) = (is_known, named.map(Name::new)) {
            let what = Failed::SupplyLost(name.to_owned());
            all.push(Failure { name: named, what, after: Vec::new(), rating: None, note: None });
        }
    }
    all
}

/// Missions without failure, each at the hottest of its conditions.
///
/// # Errors
/// [`StudyError::Assembly`], and [`StudyError::UnknownCase`] for a mission that is in no case.
pub fn hottest_cases<'a>(
    project: &'a Project,
    wanted: Option<&str>,
) -> Result<Vec<MissionCase<'a>>, StudyError> {
    let mut with_air: Vec<(MissionCase<'a>, f64)> = Vec::new();
    for case in cases::missions(project).into_iter().filter(|case| case.failure.is_none()) {
        let schedule = mission::schedule(&case)
            .map_err(|problem| StudyError::Assembly { case: case.name(), problem: Box::new(problem) })?;
        with_air.push((case, schedule.steps[0].pieces[0].from.assembled.outside.inlet_air_k));
    }
    let hottest_k = |mission: &str| {
        let same = with_air.iter().filter(|(case, _)| case.mission.name.as_str() == mission);
        same.map(|(_, air_k)| *air_k).fold(f64::NEG_INFINITY, f64::max)
    };
    let hottest = with_air.iter().filter(|(case, air_k)| *air_k >= hottest_k(&case.mission.name) - 1e-9);
    let all: Vec<MissionCase<'a>> = hottest.map(|(case, _)| *case).collect();
    let chosen: Vec<MissionCase<'a>> = all
        .iter()
        .filter(|case| wanted.is_none_or(|wanted| case.mission.name.as_str() == wanted))
        .copied()
        .collect();
    match wanted {
        Some(wanted) if chosen.is_empty() => Err(StudyError::UnknownCase {
            wanted: wanted.to_owned(),
            known: all.iter().map(|case| case.mission.name.as_str().to_owned()).collect(),
        }),
        _ => Ok(chosen),
    }
}

/// Flies every failure in every given case on all cores; `progress` is told how many are done. The same bits on any number of threads.
///
/// # Errors
/// [`StudyError::Assembly`] for the first flight that cannot be put together, [`StudyError::Cancelled`] once the flag is set. A flight that
/// cannot go on is a result.
pub fn run(
    cases: &[MissionCase<'_>],
    failures: &[Failure],
    options: &FlyOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize) + Sync,
) -> Result<FailureStudy, StudyError> {
    let Some(project) = cases.first().map(|case| case.project) else {
        let landing = TimesToLand { at_once_s: 0.0, soon_s: 0.0, practicable_s: 0.0 };
        return Ok(FailureStudy { failures: Vec::new(), alerts: Vec::new(), landing });
    };
    let landing = TimesToLand::of(&project.policy.landing);
    let bases = cases.par_iter().map(|case| base(case, options)).collect::<Result<Vec<_>, _>>()?;
    let pairs: Vec<(&Base<'_>, &Failure)> =
        bases.iter().flat_map(|base| failures.iter().map(move |failure| (base, failure))).collect();
    let done = AtomicUsize::new(0);
    let outcomes = pairs
        .par_iter()
        .map(|(base, failure)| {
            let outcome = outcome(base, failure, landing, options, cancel)?;
            progress(done.fetch_add(1, Ordering::Relaxed) + 1);
            Ok(outcome)
        })
        .collect::<Result<Vec<FailureOutcome>, StudyError>>()?;
    let alerts = alerts(project, &bases, &outcomes);
    Ok(FailureStudy { failures: outcomes, alerts, landing })
}

fn base<'a>(case: &MissionCase<'a>, options: &FlyOptions) -> Result<Base<'a>, StudyError> {
    let flight = missions::fly_case(case, options)?;
    let trace = Trace::of(&flight, case.project, touchdown_s(&flight).unwrap_or(f64::INFINITY));
    Ok(Base { case: *case, flight, trace })
}

fn outcome(
    base: &Base<'_>,
    failure: &Failure,
    landing: TimesToLand,
    options: &FlyOptions,
    cancel: &AtomicBool,
) -> Result<FailureOutcome, StudyError> {
    let case = MissionCase { failure: Some(failure), ..base.case };
    let tried = if is_flown(base.flight.status) {
        base.search(&case, landing.practicable_s, options, cancel)?
    } else {
        Vec::new()
    };
    let (Some(soonest), Some(worst)) = (worst_hold(&tried), worst_after(&tried)) else {
        return Ok(not_flown(base, &case, landing));
    };
    let (held, flown) = (&tried[soonest], &tried[worst]);
    let passed_s = tried.iter().filter_map(Struck::passed_after_s).min_by(f64::total_cmp);
    let limits = limit_times(held);
    let first_s = limits.first().and_then(|limit| limit.time_s);
    let min_s = first_s.into_iter().chain(passed_s).min_by(f64::total_cmp);
    let action = landing.action(min_s, passed_s.is_none());
    let is_down = flown.touchdown_s.is_some();
    let is_whole = is_down || is_flown(flown.after.status);
    let mut notices = flown.after.notices.clone();
    if limits.first().is_some_and(|limit| limit.kind.is_none()) {
        notices.extend(held.hold.notices.iter().cloned());
    }
    Ok(FailureOutcome {
        case: case.name(),
        status: if is_down { Status::Solved } else { flown.after.status },
        notices,
        start_s: base.flight.times_s[held.sample],
        start_segment: base.flight.schedule.steps[base.flight.step_of[held.sample]].label.clone(),
        limits,
        held_s: held.hold.end_s(),
        peak_start_s: base.flight.times_s[flown.sample],
        // of a flight that broke off only what was past its limit by then is known
        peak: flown
            .after
            .worst()
            .filter(|worst| is_whole || worst.worst.standing() <= Standing::PastLimit)
            .map(|worst| PeakUntilTouchdown { margin: worst.worst.clone(), time_s: worst.worst_s }),
        worsened: worsened(base, flown)
            .filter(|worst| is_whole || worst.margin.standing() <= Standing::PastLimit),
        power_lost: flown.after.power_lost,
        passed_before_touchdown_s: passed_s,
        touchdown_s: flown.touchdown_s,
        action,
        time_ratio: min_s.map(|limit| limit / landing.time_s(action)),
        alerts: failure_alerts(base, &tried, landing),
        moments: tried.len(),
    })
}

/// The mission itself has no solution, or never leaves the ground.
fn not_flown(base: &Base<'_>, case: &MissionCase<'_>, landing: TimesToLand) -> FailureOutcome {
    let is_ground_only = is_flown(base.flight.status);
    let mut notices = base.flight.notices.clone();
    if is_ground_only {
        notices.push(Notice {
            about: "",
            kind: "not_airborne",
            place: case.mission.name.as_str().to_owned(),
            message: "no segment of the mission is in the air: no failure in flight to judge".to_owned(),
        });
    }
    FailureOutcome {
        case: case.name(),
        status: base.flight.status,
        notices,
        start_s: base.flight.duration_s(),
        start_segment: String::new(),
        limits: Vec::new(),
        held_s: 0.0,
        peak_start_s: base.flight.duration_s(),
        peak: None,
        worsened: None,
        power_lost: None,
        passed_before_touchdown_s: None,
        touchdown_s: None,
        action: landing.action((!is_ground_only).then_some(0.0), is_ground_only),
        time_ratio: None,
        alerts: Vec::new(),
        moments: 0,
    }
}

/// The limit that loses the greatest share of its margin against the mission without failure, from the same moment on.
fn worsened(base: &Base<'_>, flown: &Struck) -> Option<Worsened> {
    let lost = flown.after.limits.iter().map(|watched| {
        let healthy = base.trace.of_limit(&watched.worst).map(|known| known.min_from(flown.sample));
        let healthy = healthy.filter(|margin| margin.is_finite());
        let margin = watched.worst.margin;
        let share = match healthy {
            Some(healthy) if healthy > 0.0 => (healthy - margin) / healthy,
            Some(healthy) if margin >= healthy => 0.0,
            // a rating that is used only after the failure: what of it is used
            None if margin >= 0.0 && watched.worst.limit_value > 0.0 => {
                1.0 - margin / watched.worst.limit_value
            }
            // without a margin to lose, what is passed counts most
            _ => f64::INFINITY,
        };
        (share, watched, healthy)
    });
    // what is less than a thousandth is accuracy, not failure
    let most = lost.filter(|(share, ..)| *share > 1e-3).max_by(|a, b| a.0.total_cmp(&b.0))?;
    let (_, watched, healthy) = most;
    Some(Worsened { margin: watched.worst.clone(), time_s: watched.worst_s, healthy })
}

fn limit_times(held: &Struck) -> Vec<LimitTime> {
    let healthy_s = |margin: &Margin| {
        let trace = held.healthy.as_ref()?;
        trace.of_limit(margin).and_then(|watched| trace.passed_s(watched))
    };
    let passed = held.hold.limits.iter().filter_map(|watched| {
        let time_s = held.hold.passed_s(watched)?;
        let margin = &watched.worst;
        Some(LimitTime {
            place: margin.place.clone(),
            limit: margin.limit.clone(),
            kind: Some(margin.kind),
            time_s: Some(time_s),
            healthy_s: healthy_s(margin),
        })
    });
    let no_way_on = held.no_way_on().map(|(status, time_s)| LimitTime {
        place: "command of the moment".to_owned(),
        limit: if status == Status::OutOfRange { "outside the model" } else { status.word() }.to_owned(),
        kind: None,
        time_s: Some(time_s),
        healthy_s: held.healthy.as_ref().filter(|t| !is_flown(t.status)).map(Trace::end_s),
    });
    let mut all: Vec<LimitTime> = passed.chain(no_way_on).collect();
    all.sort_by(|a, b| {
        let time_s = |limit: &LimitTime| limit.time_s.unwrap_or(f64::INFINITY);
        time_s(a).total_cmp(&time_s(b))
    });
    all
}

/// Warnings of one failure: the lowest over all moments that were tried.
fn failure_alerts(base: &Base<'_>, tried: &[Struck], landing: TimesToLand) -> Vec<FailureAlert> {
    let mut alerts = Vec::new();
    for (index, sensor) in base.case.project.sensors.iter().enumerate() {
        let sensing = Sensing::of(sensor);
        let normal = readings_k(base, index, &sensing);
        let mut found: Option<(Option<f64>, Option<f64>)> = None;
        for struck in tried {
            let Some((passed_s, limit_k)) = struck.hold.passed_at(&sensor.at) else { continue };
            let first_k = normal.get(struck.sample).copied().unwrap_or(struck.hold.sensors_k[index][0]);
            let times_s = &struck.hold.times_s;
            let readings_k = sensing.readings_k(times_s, &struck.hold.sensors_k[index], first_k);
            let rise = Rise { times_s, readings_k: &readings_k, passed_s, limit_k };
            let here =
                (sensing.warning_k(&rise, landing.soon_s), sensing.warning_k(&rise, landing.at_once_s));
            let (amber, red) = found.unwrap_or(here);
            found = Some((lower(amber, here.0), lower(red, here.1)));
        }
        if let Some((amber_k, red_k)) = found {
            let (sensor, place) = (sensor.name.as_str().to_owned(), sensor.at.clone());
            alerts.push(FailureAlert { sensor, place, amber_k, red_k });
        }
    }
    alerts
}

/// The lower of two; a moment of which nothing warns in time leaves nothing.
fn lower(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    Some(a?.min(b?))
}

/// What a sensor reads in the mission without failure; it begins settled.
fn readings_k(base: &Base<'_>, sensor: usize, sensing: &Sensing) -> Vec<f64> {
    let true_k = &base.trace.sensors_k[sensor];
    true_k.first().map_or_else(Vec::new, |first| sensing.readings_k(&base.trace.times_s, true_k, *first))
}

fn alerts(project: &Project, bases: &[Base<'_>], outcomes: &[FailureOutcome]) -> Vec<Alert> {
    let mut all = Vec::new();
    for (index, sensor) in project.sensors.iter().enumerate() {
        let sensing = Sensing::of(sensor);
        let limits = bases.iter().filter_map(|base| base.trace.limit_at(&sensor.at));
        let Some(limit_k) = limits.min_by(f64::total_cmp) else { continue };
        let normal = bases.iter().flat_map(|base| readings_k(base, index, &sensing));
        let normal_k = normal.fold(f64::NEG_INFINITY, f64::max);
        let own = || {
            let named =
                outcomes.iter().map(|o| (o, o.alerts.iter().find(|a| a.sensor == sensor.name.as_str())));
            named.filter_map(|(outcome, alert)| alert.map(|alert| (outcome, alert)))
        };
        let (plain_red_k, plain_amber_k) = sensing.plain_k(limit_k);
        let red_k = own().filter_map(|(_, alert)| alert.red_k).fold(plain_red_k, f64::min);
        let amber_k = own().filter_map(|(_, alert)| alert.amber_k).fold(plain_amber_k, f64::min).min(red_k);
        let too_late = own().filter(|(_, alert)| alert.red_k.is_none());
        all.push(Alert {
            sensor: sensor.name.as_str().to_owned(),
            place: sensor.at.clone(),
            limit_k,
            normal_k,
            amber_k,
            red_k,
            is_derived: own().any(|(_, alert)| alert.red_k.is_some()),
            is_nuisance: sensing.is_nuisance(amber_k, normal_k),
            too_late: too_late.map(|(outcome, _)| outcome.case.to_string()).collect(),
        });
    }
    all
}

#[cfg(test)]
mod tests;
