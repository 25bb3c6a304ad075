//! What the cooling costs the aircraft: masses, power and drag, and all of it as mass of cells over each mission.

use crate::StudyError;
use crate::missions::fly_case;
use model::assembly::Situation;
use model::budget::{self, Draw, Equivalent, MassBudget, MissionDraw};
use model::case;
use model::case_name::CaseName;
use model::mission::{FlyOptions, MissionCase};
use model::result::Status;
use rayon::prelude::*;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// What the cooling takes in one case.
#[derive(Clone, Debug, PartialEq)]
pub enum CaseDraw {
    /// A steady case.
    Steady(Draw),
    /// A mission, with its equivalent mass.
    Flown(MissionDraw, Equivalent),
    /// There is no state, or the flight could not go on.
    None,
}

/// A case and what the cooling takes in it.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseBudget {
    /// Case.
    pub case: CaseName,
    /// How it was solved.
    pub status: Status,
    /// What is taken.
    pub draw: CaseDraw,
}

/// Masses of a project, and what its cooling takes in cases.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    /// Masses.
    pub masses: MassBudget,
    /// Cases in the order asked: steady ones, then missions.
    pub cases: Vec<CaseBudget>,
}

/// Masses, and what the cooling takes in steady cases and missions of one project; `progress` is told how many cases are done.
///
/// # Errors
/// [`StudyError::Project`] for a mass that cannot be worked out, [`StudyError::Assembly`] for the first case that cannot be put
/// together, [`StudyError::Cancelled`] once the flag is set.
pub fn budget(
    project: &aircraft::records::project::Project,
    steady: &[Situation<'_>],
    missions: &[MissionCase<'_>],
    options: &FlyOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize) + Sync,
) -> Result<Budget, StudyError> {
    let masses = budget::masses(project).map_err(|problem| StudyError::Project(Box::new(problem)))?;
    let done = AtomicUsize::new(0);
    let watch = |result: Result<CaseBudget, StudyError>| {
        progress(done.fetch_add(1, Ordering::Relaxed) + 1);
        result
    };
    let stopped = || cancel.load(Ordering::Relaxed);
    let solved: Result<Vec<_>, _> = steady
        .par_iter()
        .map(|one| if stopped() { Err(StudyError::Cancelled) } else { watch(of_steady(one)) })
        .collect();
    let flown: Result<Vec<_>, _> =
        missions
            .par_iter()
            .map(|one| {
                if stopped() { Err(StudyError::Cancelled) } else { watch(of_mission(one, &masses, options)) }
            })
            .collect();
    let mut cases = solved?;
    cases.extend(flown?);
    Ok(Budget { masses, cases })
}

fn of_steady(one: &Situation<'_>) -> Result<CaseBudget, StudyError> {
    let failed = |problem| StudyError::Assembly { case: one.name(), problem: Box::new(problem) };
    let result = case::solve(one).map_err(failed)?;
    let draw = if result.status.can_be_judged() {
        let failed = |problem| StudyError::Assembly { case: one.name(), problem: Box::new(problem) };
        CaseDraw::Steady(budget::draw(one, &result, false).map_err(failed)?)
    } else {
        CaseDraw::None
    };
    Ok(CaseBudget { case: one.name(), status: result.status, draw })
}

fn of_mission(
    one: &MissionCase<'_>,
    masses: &MassBudget,
    options: &FlyOptions,
) -> Result<CaseBudget, StudyError> {
    let flight = fly_case(one, options)?;
    let draw = if flight.status.can_be_judged() {
        let taken = budget::mission_draw(one.project, &flight)
            .map_err(|problem| StudyError::Assembly { case: one.name(), problem: Box::new(problem) })?;
        let equivalent = budget::equivalent(one.project, masses, &taken);
        CaseDraw::Flown(taken, equivalent)
    } else {
        CaseDraw::None
    };
    Ok(CaseBudget { case: one.name(), status: flight.status, draw })
}
