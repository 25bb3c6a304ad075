//! Missions over time: one case with whatever must be flown before it, and all of them in parallel.

use crate::StudyError;
use aircraft::records::project::Project;
use model::case_name::CaseName;
use model::cases::{self, Case};
use model::cushion_range::CushionRange;
use model::mission::{
    self, EndState, Flight, FlyOptions, Judged, MissionCase, Schedule, StartState, TimedMargin,
};
use model::result::{Notice, PowerLost, Status};
use model::standing::CaseStanding;
use rayon::prelude::*;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Missions that may begin at the end of one another before that counts as a mistake.
const MAX_BEFORE: usize = 16;

/// Flies one mission case; a mission that begins where another one ended flies that one first, at the same condition.
///
/// # Errors
/// [`StudyError::Assembly`] names what stands in the way. A flight that cannot go on is a result.
pub fn fly_case(case: &MissionCase<'_>, options: &FlyOptions) -> Result<Flight, StudyError> {
    let schedule = scheduled(case)?;
    let before = state_before(case, &schedule.start, options, MAX_BEFORE)?;
    Ok(mission::fly(case.project, schedule, before.as_ref(), options))
}

fn scheduled(case: &MissionCase<'_>) -> Result<Schedule, StudyError> {
    mission::schedule(case)
        .map_err(|problem| StudyError::Assembly { case: case.name(), problem: Box::new(problem) })
}

/// The state that a schedule begins with, where another mission leaves it.
///
/// # Errors
/// As [`fly_case`].
pub fn state_before(
    case: &MissionCase<'_>,
    start: &StartState,
    options: &FlyOptions,
    most: usize,
) -> Result<Option<EndState>, StudyError> {
    let (name, with_soak) = match start {
        StartState::After(name) => (name, true),
        StartState::AfterSegments(name) => (name, false),
        StartState::Temperatures { .. } | StartState::Settled | StartState::Carried => return Ok(None),
    };
    let earlier = case.project.missions.iter().find(|mission| mission.name.as_str() == name);
    let (Some(mission), true) = (earlier, most > 0) else { return Ok(None) };
    let earlier = MissionCase { mission, failure: None, ..*case };
    let mut schedule = scheduled(&earlier)?;
    if !with_soak && schedule.steps.len() > 1 {
        schedule.steps.retain(|step| step.segment.is_some());
    }
    let before = state_before(&earlier, &schedule.start, options, most - 1)?;
    Ok(Some(mission::fly(case.project, schedule, before.as_ref(), options).end))
}

/// Flies cases on all cores; they come back in order, with the same bits on any number of threads.
///
/// # Errors
/// The first [`StudyError`]; [`StudyError::Cancelled`] once the flag is set.
pub fn fly(
    cases: &[MissionCase<'_>],
    options: &FlyOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize) + Sync,
) -> Result<Vec<Flight>, StudyError> {
    let done = AtomicUsize::new(0);
    cases
        .par_iter()
        .map(|case| {
            if cancel.load(Ordering::Relaxed) {
                return Err(StudyError::Cancelled);
            }
            let flight = fly_case(case, options);
            progress(done.fetch_add(1, Ordering::Relaxed) + 1);
            flight
        })
        .collect()
}

/// The mission cases whose full name is wanted; all if none is named.
///
/// # Errors
/// [`StudyError::UnknownCase`] lists the known names.
pub fn chosen<'a>(project: &'a Project, wanted: &[String]) -> Result<Vec<MissionCase<'a>>, StudyError> {
    let flown = cases::all(project).into_iter().filter(|case| case.flown().is_some()).collect();
    Ok(crate::solving::named(flown, wanted)?.into_iter().filter_map(Case::flown).collect())
}

/// What the limits say about a mission case.
#[derive(Clone, Debug, PartialEq)]
pub struct Flown {
    /// Case.
    pub case: CaseName,
    /// Solved, or why the flight could not go on.
    pub status: Status,
    /// Things to know.
    pub notices: Vec<Notice>,
    /// The least reserve of every limit with its time.
    pub margins: Vec<TimedMargin>,
    /// How far the gas cushion of each loop goes.
    pub cushions: Vec<CushionRange>,
    /// Power that was asked for and not given.
    pub power_lost: Option<PowerLost>,
}

impl Flown {
    /// How it stands.
    pub fn standing(&self) -> CaseStanding<'_> {
        let margins = self.margins.iter().map(|timed| (&timed.margin, Some(timed.time_s)));
        CaseStanding::of(&self.case, self.status, &self.notices, margins)
    }
}

/// Flies cases on all cores and keeps what the limits say, in order.
///
/// # Errors
/// As [`fly`].
pub fn flown(
    cases: &[MissionCase<'_>],
    options: &FlyOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize) + Sync,
) -> Result<Vec<Flown>, StudyError> {
    let done = AtomicUsize::new(0);
    cases
        .par_iter()
        .map(|case| {
            if cancel.load(Ordering::Relaxed) {
                return Err(StudyError::Cancelled);
            }
            let flight = fly_case(case, options)?;
            let Judged { margins, notices, cushions } = flight.judged(case.project);
            progress(done.fetch_add(1, Ordering::Relaxed) + 1);
            let power_lost = flight.power_lost();
            Ok(Flown { case: case.name(), status: flight.status, notices, margins, cushions, power_lost })
        })
        .collect()
}
