//! Turnarounds: every option from landing to ready side by side, and the two tables the ground team works from.
//!
//! A turnaround begins with the state in which the mission before it landed; the next mission is flown from the state in which an
//! option leaves the aircraft.

mod result;
mod setup;
mod tables;

use crate::StudyError;
use aircraft::records::powertrain::Bus;
use aircraft::records::project::Project;
use rayon::prelude::*;
use setup::TurnaroundSetup;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

pub use result::{
    DepartureLimit, NextFlight, OptionResult, PhaseTimes, TurnaroundResult, TurnaroundWish, WaitCell,
};

/// Looks at every turnaround of a project; `progress` is told how many of how many flights are done.
///
/// # Errors
/// [`StudyError::UnknownCase`] for a condition that does not exist, [`StudyError::Assembly`] for what stands in the way,
/// [`StudyError::Cancelled`] once the flag is set.
pub fn turnarounds(
    project: &Project,
    wish: &TurnaroundWish,
    cancel: &AtomicBool,
    progress: impl Fn(usize, usize) + Sync,
) -> Result<Vec<TurnaroundResult>, StudyError> {
    let grounds = grounds(project, wish)?;
    let total = grounds.iter().map(TurnaroundSetup::jobs).sum();
    let done = AtomicUsize::new(0);
    let tick = || {
        progress(done.fetch_add(1, Ordering::Relaxed) + 1, total);
        if cancel.load(Ordering::Relaxed) { Err(StudyError::Cancelled) } else { Ok(()) }
    };
    grounds.par_iter().map(|ground| ground.result(&tick)).collect()
}

fn grounds<'a>(project: &'a Project, wish: &TurnaroundWish) -> Result<Vec<TurnaroundSetup<'a>>, StudyError> {
    let known = || project.conditions.iter().map(|c| c.name.as_str().to_owned()).collect();
    let is_strange =
        |wanted: &&String| project.conditions.iter().all(|condition| condition.name.as_str() != *wanted);
    if let Some(wanted) = wish.condition.as_ref().filter(is_strange) {
        return Err(StudyError::UnknownCase { wanted: wanted.clone(), known: known() });
    }
    let Some(Bus::Pack(pack)) = project.powertrain.as_ref().map(|powertrain| &powertrain.bus) else {
        return Ok(Vec::new());
    };
    let mut all = Vec::new();
    for turnaround in &project.turnarounds {
        let wanted = |name: &str| match &wish.condition {
            Some(wanted) => name == wanted,
            None => turnaround.conditions.iter().any(|known| known == name),
        };
        for condition in project.conditions.iter().filter(|condition| wanted(&condition.name)) {
            let stated = TurnaroundSetup {
                project,
                turnaround,
                condition: condition.clone(),
                pack,
                fly: wish.fly,
                without_tables: wish.without_tables,
            };
            all.push(match wish.outside_k {
                Some(outside_k) => stated.at_outside(outside_k)?,
                None => stated,
            });
        }
    }
    Ok(all)
}

#[cfg(test)]
mod tests;
