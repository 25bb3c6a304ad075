//! Choosing steady cases by name and solving them on all cores.

use super::error::StudyError;
use aircraft::records::project::Project;
use model::assembly::Situation;
use model::case::Beside;
use model::cases;
use model::cases::Case;
use model::result::CaseResult;
use rayon::prelude::*;
use schema::Problem;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Every wanted case, steady or flown, must exist.
///
/// # Errors
/// [`StudyError::UnknownCase`] lists the known names.
pub(crate) fn validate_names(project: &Project, wanted: &[String]) -> Result<(), StudyError> {
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

/// Those of some cases that are wanted (all if none is named), less those that are not.
///
/// # Errors
/// [`StudyError::UnknownCase`] lists the known names.
pub(crate) fn picked<'a>(
    all: Vec<Case<'a>>,
    wanted: &[String],
    without: &[String],
) -> Result<Vec<Case<'a>>, StudyError> {
    if !without.is_empty() {
        named(all.clone(), without)?;
    }
    let wanted = named(all, wanted)?;
    Ok(wanted.into_iter().filter(|case| !without.contains(&case.name().to_string())).collect())
}

/// Full names of the cases that are wanted less those that are not, for studies that take names: none where none is named, which is all.
///
/// # Errors
/// [`StudyError::UnknownCase`]; [`StudyError::Project`] if every case is left out.
pub fn wanted_names(
    project: &Project,
    wanted: &[String],
    without: &[String],
) -> Result<Vec<String>, StudyError> {
    if without.is_empty() {
        return Ok(wanted.to_vec());
    }
    let picked = picked(cases::all(project), wanted, without)?;
    if picked.is_empty() {
        let remedy = "leave fewer cases out";
        return Err(StudyError::Project(Box::new(Problem::error("cases", "no case is left", remedy))));
    }
    Ok(picked.iter().map(|case| case.name().to_string()).collect())
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
