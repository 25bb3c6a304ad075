//! Studies made of many solves: the cases of a project and the margins over all of them.
//!
//! # Invariant
//! Knows nothing of the file format. Owns parallelism and the cancel flag: cases are solved on all cores and come back in the
//! order of the project, with the same bits on any number of threads.

pub mod burden;
pub mod chains;
pub mod failures;
pub mod levers;
pub mod missions;
pub mod oat_limit;
pub mod size;
pub mod spread;
pub mod sweep;
pub mod turnaround;
pub mod uncooled;
pub mod variants;
pub mod whole;

use aircraft::records::project::Project;
use model::assembly::Situation;
use model::case::Beside;
use model::case_name::CaseName;
use model::cases::{self, Case};
use model::result::{CaseResult, Margin};
use rayon::prelude::*;
use schema::Problem;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use thiserror::Error;

/// Why a study gave no result.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum StudyError {
    /// A case could not be put together.
    #[error("{case}: {}; {}", problem.message, problem.remedy)]
    Assembly {
        /// Case.
        case: CaseName,
        /// What stands in the way.
        problem: Box<Problem>,
    },
    /// A wanted case does not exist.
    #[error("no case is called {wanted:?}; the cases are: {}", known.join(", "))]
    UnknownCase {
        /// Name as given.
        wanted: String,
        /// All names.
        known: Vec<String>,
    },
    /// The project has no answer to what is asked.
    #[error("{}: {}; {}", .0.path, .0.message, .0.remedy)]
    Project(Box<Problem>),
    /// Cancelled before the end.
    #[error("cancelled")]
    Cancelled,
}

/// Leaves one core to whatever else the program does, such as drawing a window: studies begun from now on take all others. On a
/// machine with one core, and where studies have begun already, nothing changes.
pub fn leave_a_core() {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(cores.saturating_sub(1).max(1));
    // Only the first caller decides; results are the same on any number of threads.
    drop(pool.build_global());
}

/// Does something with each of some items, on all cores.
pub fn on_all_cores<T: Sync>(items: &[T], work: impl Fn(&T) + Sync + Send) {
    items.par_iter().for_each(work);
}

/// Every wanted case, steady or flown, must exist.
///
/// # Errors
/// [`StudyError::UnknownCase`] lists the known names.
pub(crate) fn all_known(project: &Project, wanted: &[String]) -> Result<(), StudyError> {
    named(cases::all(project), wanted).map(|_| ())
}

/// The steady points whose full name is wanted; all if none is named.
///
/// # Errors
/// [`StudyError::UnknownCase`] lists the known names.
pub fn chosen<'a>(project: &'a Project, wanted: &[String]) -> Result<Vec<Situation<'a>>, StudyError> {
    let steady = cases::all(project).into_iter().filter(|case| case.steady().is_some()).collect();
    Ok(named(steady, wanted)?.into_iter().filter_map(Case::steady).collect())
}

/// Those of some cases whose full name is wanted; all if none is named.
pub(crate) fn named<'a>(all: Vec<Case<'a>>, wanted: &[String]) -> Result<Vec<Case<'a>>, StudyError> {
    if wanted.is_empty() {
        return Ok(all);
    }
    let known: Vec<String> = all.iter().map(|case| case.name().to_string()).collect();
    if let Some(stranger) = wanted.iter().find(|name| !known.contains(name)) {
        return Err(StudyError::UnknownCase { wanted: stranger.clone(), known });
    }
    let is_wanted = |(case, name): (Case<'a>, String)| wanted.contains(&name).then_some(case);
    Ok(all.into_iter().zip(known).filter_map(is_wanted).collect())
}

/// Solves steady points on all cores; `progress` is told how many are done.
///
/// # Errors
/// [`StudyError::Assembly`] for the first case that cannot be put together, [`StudyError::Cancelled`] once the flag is set.
pub fn solve(
    cases: &[Situation<'_>],
    cancel: &AtomicBool,
    progress: impl Fn(usize) + Sync,
) -> Result<Vec<CaseResult>, StudyError> {
    solve_each(cases, cancel, progress)?.into_iter().collect()
}

/// The same for those who go on where a case cannot be put together.
///
/// # Errors
/// [`StudyError::Cancelled`] once the flag is set; [`StudyError::Assembly`] in the place of a case.
pub fn solve_each(
    cases: &[Situation<'_>],
    cancel: &AtomicBool,
    progress: impl Fn(usize) + Sync,
) -> Result<Vec<Result<CaseResult, StudyError>>, StudyError> {
    let done = AtomicUsize::new(0);
    let beside = Beside::default();
    cases
        .par_iter()
        .map(|one| {
            if cancel.load(Ordering::Relaxed) {
                return Err(StudyError::Cancelled);
            }
            let result = beside
                .solve(one)
                .map_err(|problem| StudyError::Assembly { case: one.name(), problem: Box::new(problem) });
            progress(done.fetch_add(1, Ordering::Relaxed) + 1);
            Ok(result)
        })
        .collect()
}

/// A margin and the case it belongs to.
#[derive(Clone, Copy, Debug)]
pub struct CaseMargin<'a> {
    /// Case.
    pub case: &'a CaseName,
    /// Margin.
    pub margin: &'a Margin,
    /// When it is least, s; none in a steady case.
    pub time_s: Option<f64>,
}

/// Margins of all solved cases, least reserve over the required margin first; one that is no number comes before all others.
pub fn margins(results: &[CaseResult]) -> Vec<CaseMargin<'_>> {
    let all = results.iter().flat_map(|result| {
        result.margins.iter().map(move |margin| CaseMargin { case: &result.case, margin, time_s: None })
    });
    worst_first(all.collect())
}

/// Margins of steady cases and of missions over time, in the order of [`margins`].
pub fn all_margins<'a>(results: &'a [CaseResult], flown: &'a [missions::Flown]) -> Vec<CaseMargin<'a>> {
    let over_time = flown.iter().flat_map(|flown| {
        flown.margins.iter().map(move |timed| CaseMargin {
            case: &flown.case,
            margin: &timed.margin,
            time_s: Some(timed.time_s),
        })
    });
    worst_first(margins(results).into_iter().chain(over_time).collect())
}

fn worst_first(mut all: Vec<CaseMargin<'_>>) -> Vec<CaseMargin<'_>> {
    all.sort_by(|a, b| Margin::worst_first(a.margin, b.margin));
    all
}

/// Whether every case has a state and keeps every required margin.
pub fn holds(results: &[CaseResult]) -> bool {
    results.iter().all(|r| r.status.can_be_judged() && r.margins.iter().all(|m| !m.is_short()))
}

#[cfg(test)]
mod cancel_tests;
#[cfg(test)]
mod tests;
