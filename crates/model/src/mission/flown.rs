//! Missions and what follows a failure, as schedules.

use super::make::{Maker, ids};
use super::plan::{Planned, plan, plan_after};
use super::schedule::{Schedule, StartState};
use super::{MissionCase, SOAK};
use crate::assembly::Assembled;
use aircraft::records::mission::Start;
use schema::{Problem, Severity};

/// Makes the networks of a mission case.
///
/// # Errors
/// The first [`Problem`] that stands in the way. A project that passed [`crate::validate::validate`] fails only for values that
/// contradict each other at this case.
pub fn schedule(case: &MissionCase<'_>) -> Result<Schedule, Problem> {
    let planned = planned(case)?;
    let maker = Maker::of(case);
    let mut schedule = maker.schedule(&planned, &case.path())?;
    schedule.start = start_state(&case.mission.start, &schedule.steps[0].pieces[0].from.assembled);
    Ok(schedule)
}

/// The same for a mission flown from the state that something else left: in a chain, or after a turnaround.
///
/// # Errors
/// As [`schedule`].
pub fn schedule_on(case: &MissionCase<'_>, with_soak: bool) -> Result<Schedule, Problem> {
    let mut planned = planned(case)?;
    if !with_soak {
        planned.retain(|step| step.label != SOAK || step.segment.is_some());
    }
    Maker::of(case).schedule(&planned, &case.path())
}

fn planned(case: &MissionCase<'_>) -> Result<Vec<Planned>, Problem> {
    let (planned, problems) = plan(case.project, case.condition, case.mission);
    match problems.into_iter().find(|problem| problem.severity == Severity::Error) {
        Some(problem) => Err(problem),
        None => Ok(planned),
    }
}

/// When a failure strikes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Number of the step in the schedule of the mission.
    pub step: usize,
    /// Time since the beginning of the step, s.
    pub after_s: f64,
}

/// What is flown once a failure has struck.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Then {
    /// The segments that the failure names, or the rest of the mission; then the soak of the mission, if it has one.
    After,
    /// The same as at the moment, for this time, s: tells how long until a limit if the pilot does nothing.
    Hold(f64),
}

/// Makes the networks of a mission case from the moment on at which its failure strikes. The start is carried: the state of the
/// mission without failure at that moment.
///
/// # Errors
/// As [`schedule`]; also if the mission has no such step.
pub fn aftermath(case: &MissionCase<'_>, moment: Moment, then: Then) -> Result<Schedule, Problem> {
    let planned = planned(case)?;
    let Some(struck) = planned.get(moment.step) else {
        let message = format!("the mission has no step {}", moment.step + 1);
        return Err(Problem::error(case.path(), message, "choose one of its steps"));
    };
    let steps = match then {
        Then::Hold(duration_s) => {
            let at = struck.at(case.condition, moment.after_s)?;
            vec![Planned { from: at, to: at, duration_s, until: None, estimate: None, ..struck.clone() }]
        }
        Then::After => after(case, &planned, struck, moment)?,
    };
    Maker::of(case).schedule(&steps, &case.path())
}

fn after(
    case: &MissionCase<'_>,
    planned: &[Planned],
    struck: &Planned,
    moment: Moment,
) -> Result<Vec<Planned>, Problem> {
    let own = case.failure.filter(|failure| !failure.after.is_empty());
    let (segments, path) = match own {
        Some(failure) => (&failure.after, format!("failures.{}.after", failure.name.as_str())),
        None => {
            (&case.mission.after_failure, format!("missions.{}.after_failure", case.mission.name.as_str()))
        }
    };
    if segments.is_empty() {
        let mut steps = vec![struck.rest(case.condition, moment.after_s)?];
        steps.extend_from_slice(&planned[moment.step + 1..]);
        steps.retain(Planned::takes_time);
        return Ok(steps);
    }
    let at = struck.at(case.condition, moment.after_s)?;
    let (mut steps, problems) = plan_after(case.project, case.condition, segments, &path, at);
    if let Some(problem) = problems.into_iter().find(|problem| problem.severity == Severity::Error) {
        return Err(problem);
    }
    let rest_height_m = steps.last().map_or(0.0, |step| step.to.height_m);
    let soak = planned.iter().filter(|step| step.segment.is_none()).cloned();
    steps.extend(soak.map(|mut soak| {
        (soak.from.height_m, soak.to.height_m) = (rest_height_m, rest_height_m);
        soak
    }));
    Ok(steps)
}

fn start_state(start: &Start, first: &Assembled) -> StartState {
    let air_k = first.outside.inlet_air_k;
    let ids = |name: &str| ids(&first.parts, name);
    match start {
        Start::OutsideAir => StartState::Temperatures { rest_k: air_k, parts: Vec::new() },
        Start::At(temperature) => StartState::Temperatures { rest_k: temperature.si(), parts: Vec::new() },
        Start::Soaked(soaked) => StartState::Temperatures {
            rest_k: air_k + soaked.rise.si(),
            parts: soaked.warmer.iter().map(|part| (ids(&part.component), air_k + part.rise.si())).collect(),
        },
        Start::Stated(stated) => StartState::Temperatures {
            rest_k: stated.rest.as_ref().map_or(air_k, |rest| rest.si()),
            parts: stated.parts.iter().map(|part| (ids(&part.component), part.temperature.si())).collect(),
        },
        Start::Settled => StartState::Settled,
        Start::After(mission) => StartState::After(mission.clone()),
    }
}
