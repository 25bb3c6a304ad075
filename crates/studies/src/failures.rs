//! Single failures over time: when each limit is passed, how hot it gets until touchdown, what the pilot has time to do, and at which
//! temperatures the crew must be warned.
//!
//! Every failure of the project and the loss of every supply strikes every mission at its hottest condition. The worst moment is searched:
//! start, middle and end of every step in the air and the moments of component peaks, then ever closer to the worst of them. From each
//! moment two flights follow: the command of the moment kept, which tells the time to each limit, and what is flown after the failure,
//! which tells the peaks until touchdown. A failure stands as its worst margin until touchdown does against the margin that is required of
//! it; the times to the required margin and to the bare limit are told beside each other, and the action hangs on the former. Freezing is
//! left out: no failure changes the weather.

mod action;
mod alert;
mod hazard;
mod outcome;
mod search;
mod trace;
mod warn;

pub use action::{Action, Reason, TimesToLand};
pub use alert::{AMBER_BELOW_RED_K, Rise, Sensing};
pub use outcome::{
    Alert, FailureAlert, FailureOutcome, FailureStudy, LimitTime, PeakUntilTouchdown, RequiredTime, Worsened,
};

use crate::{StudyError, missions};
use action::{Asked, Left, most_pressing};
use aircraft::records::powertrain::Bus;
use aircraft::records::project::Project;
use aircraft::records::study::{Failed, Failure};
use hazard::{LostOil, hazards, liquids_lost, lost_oil, redundancy_lost};
use model::cases;
use model::mission::{self, FlyOptions, MissionCase};
use model::result::{Margin, Notice, Status};
use model::standing::Standing;
use rayon::prelude::*;
use schema::Name;
use search::{Base, Struck, is_flown, soonest_short, worst_after, worst_hold};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use trace::{Trace, touchdown_s};
use warn::{alerts, failure_alerts};

/// What a drive without oil is judged by.
const RUN_DRY: &str = "demonstrated run-dry time";

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
            all.push(Failure {
                name: named,
                what,
                after: Vec::new(),
                rating: None,
                hazard: None,
                note: None,
            });
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
    let until_s = touchdown_s(&flight).unwrap_or(f64::INFINITY);
    let trace = Trace::of(&flight, case.project, until_s, flight.start_bound(case.project));
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
    let project = case.project;
    let oil = lost_oil(project, failure);
    let unjudged: Vec<String> = oil.iter().flat_map(|lost| lost.places.iter().cloned()).collect();
    let tried = if is_flown(base.flight.status) {
        base.search(&case, landing.practicable_s, options, &unjudged, cancel)?
    } else {
        Vec::new()
    };
    let (Some(soonest), Some(worst)) = (worst_hold(&tried), worst_after(&tried)) else {
        return Ok(not_flown(base, &case, landing));
    };
    let (held, flown) = (&tried[soonest], &tried[worst]);
    let passed_s = least(tried.iter().map(Struck::passed_after_s)).into_iter().chain(dry_s(&oil, &tried));
    let passed_s = passed_s.min_by(f64::total_cmp);
    let short_s = least([least(tried.iter().map(Struck::short_after_s)), passed_s]);
    let limits = limit_times(held, &oil);
    let first_s = limits.first().and_then(|limit| limit.time_s);
    let required = required_time(base, &tried, &limits);
    let standing = tried.iter().map(Struck::standing).chain(oil_standing(&oil, &tried)).min();
    let standing = standing.unwrap_or_default();
    let min_s = least([first_s, passed_s]);
    let left = Left {
        required_s: least([required.as_ref().map(|required| required.time_s), short_s]),
        limit_s: min_s,
        flown: standing,
        is_rest: failure.after.is_empty() && case.mission.after_failure.is_empty(),
    };
    let asked = asked(&case, failure, &tried, landing.asked(&left));
    let (action, action_reason) = most_pressing(&asked);
    let is_whole = is_flown(flown.status());
    let mut notices = flown.after.notices.clone();
    if limits.first().is_some_and(|limit| limit.kind.is_none()) {
        notices.extend(held.hold.notices.iter().cloned());
    }
    let liquids = liquids_lost(project, failure).into_iter();
    Ok(FailureOutcome {
        case: case.name(),
        status: flown.status(),
        standing,
        notices,
        start_s: base.flight.times_s[held.sample],
        start_segment: base.flight.schedule.steps[base.flight.step_of[held.sample]].label.clone(),
        limits,
        required,
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
        short_before_touchdown_s: short_s,
        touchdown_s: flown.touchdown_s,
        action,
        action_reason,
        action_notes: liquids
            .chain(asked.into_iter().map(|asked| asked.note))
            .filter(|note| !note.is_empty())
            .collect(),
        time_ratio: min_s.zip(landing.time_s(action)).map(|(limit_s, land_s)| limit_s / land_s),
        alerts: failure_alerts(base, &tried, landing),
        moments: tried.len(),
    })
}

/// All that asks something of the pilot, in the order in which it is told: dangers, time that runs out, what stood by; last that a landing
/// is all that was shown to hold.
fn asked(case: &MissionCase<'_>, failure: &Failure, tried: &[Struck], by_time: Option<Asked>) -> Vec<Asked> {
    let project = case.project;
    let cells = match project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
        Some(Bus::Pack(pack)) => Some(pack.cells.as_str()),
        _ => None,
    };
    let is_above_onset = tried.iter().any(|struck| {
        let is_of_cells = |notice: &Notice| Some(notice.place.as_str()) == cells;
        struck.status() == Status::OutOfRange
            && struck.after.notices.iter().any(|n| n.kind == Status::OutOfRange.word() && is_of_cells(n))
    });
    let hazards = hazards(project, failure, is_above_onset).into_iter();
    let is_running_out = tried.is_empty() || tried.iter().any(Struck::is_running_out);
    let (now, rest) = if is_running_out { (by_time, None) } else { (None, by_time) };
    hazards.chain(now).chain(redundancy_lost(project, failure)).chain(rest).collect()
}

fn least(times_s: impl IntoIterator<Item = Option<f64>>) -> Option<f64> {
    times_s.into_iter().flatten().min_by(f64::total_cmp)
}

/// The demonstrated run-dry times that end before touchdown from some moment, s.
fn dry_s(oil: &[LostOil], tried: &[Struck]) -> Option<f64> {
    let stated = least(oil.iter().map(|lost| lost.run_dry.as_ref().map(|(time_s, _)| *time_s)))?;
    let is_late = |struck: &Struck| struck.touchdown_s.is_none_or(|down_s| down_s > stated);
    tried.iter().any(is_late).then_some(stated)
}

/// A drive without its oil stands by its demonstrated run-dry time until touchdown; without one there is no result.
fn oil_standing(oil: &[LostOil], tried: &[Struck]) -> Option<Standing> {
    if oil.iter().any(|lost| lost.run_dry.is_none()) {
        return Some(Standing::NoResult);
    }
    dry_s(oil, tried).map(|_| Standing::PastLimit)
}

/// The required margin that is lost first, from the moment at which that is soonest.
fn required_time(base: &Base<'_>, tried: &[Struck], limits: &[LimitTime]) -> Option<RequiredTime> {
    let found = soonest_short(tried).and_then(|index| {
        let struck = &tried[index];
        let start_s = base.flight.times_s[struck.sample];
        let (time_s, short) = (struck.time_to_required_s()?, struck.hold.first_short());
        let (place, limit) = match short.filter(|(_, short_s)| *short_s <= time_s) {
            Some((watched, _)) => (watched.worst.place.clone(), watched.worst.limit.clone()),
            None => no_way_words(struck.no_way_on()?.0),
        };
        Some(RequiredTime { place, limit, time_s, start_s })
    });
    // a run-dry time has no margin above it
    let dry = limits.iter().find(|limit| limit.limit == RUN_DRY).and_then(|limit| {
        let (place, limit, time_s) = (limit.place.clone(), limit.limit.clone(), limit.time_s?);
        let start_s = base.flight.times_s[tried[worst_hold(tried)?].sample];
        Some(RequiredTime { place, limit, time_s, start_s })
    });
    found.into_iter().chain(dry).min_by(|a, b| a.time_s.total_cmp(&b.time_s))
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
    let at_once = (!is_ground_only).then_some(0.0);
    let (required_s, limit_s) = (at_once, at_once);
    let by_time = landing.asked(&Left { required_s, limit_s, flown: Standing::NoResult, is_rest: true });
    let asked = case.failure.map_or_else(Vec::new, |failure| match by_time {
        // without a flight nothing can strike
        None => Vec::new(),
        by_time => asked(case, failure, &[], by_time),
    });
    let (action, action_reason) = most_pressing(&asked);
    FailureOutcome {
        case: case.name(),
        status: base.flight.status,
        standing: if is_ground_only { Standing::Holds } else { Standing::NoResult },
        notices,
        start_s: base.flight.duration_s(),
        start_segment: String::new(),
        limits: Vec::new(),
        required: None,
        held_s: 0.0,
        peak_start_s: base.flight.duration_s(),
        peak: None,
        worsened: None,
        power_lost: None,
        passed_before_touchdown_s: None,
        short_before_touchdown_s: None,
        touchdown_s: None,
        action,
        action_reason,
        action_notes: asked.into_iter().map(|asked| asked.note).filter(|note| !note.is_empty()).collect(),
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

/// What is passed where the command of the moment has no solution.
fn no_way_words(status: Status) -> (String, String) {
    let limit = if status == Status::OutOfRange { "outside the model" } else { status.word() };
    ("command of the moment".to_owned(), limit.to_owned())
}

fn limit_times(held: &Struck, oil: &[LostOil]) -> Vec<LimitTime> {
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
    let no_way_on = held.no_way_on().map(|(status, time_s)| {
        let (place, limit) = no_way_words(status);
        let healthy_s = held.healthy.as_ref().filter(|t| !is_flown(t.status)).map(Trace::end_s);
        LimitTime { place, limit, kind: None, time_s: Some(time_s), healthy_s }
    });
    let dry = oil.iter().filter_map(|lost| {
        let (time_s, _) = lost.run_dry.as_ref()?;
        let (place, limit) = (lost.drive.clone(), RUN_DRY.to_owned());
        Some(LimitTime { place, limit, kind: None, time_s: Some(*time_s), healthy_s: None })
    });
    let mut all: Vec<LimitTime> = passed.chain(no_way_on).chain(dry).collect();
    all.sort_by(|a, b| {
        let time_s = |limit: &LimitTime| limit.time_s.unwrap_or(f64::INFINITY);
        time_s(a).total_cmp(&time_s(b))
    });
    all
}

#[cfg(test)]
mod tests;
