//! Sizing from the present design to the lightest that holds.

use super::closest::closest_limits;
use super::look::Field;
use super::options::{OptimumOptions, Progress};
use super::probe::probe;
use super::result::{LoopDesign, Optimum, OptimumStudy, Priced, Tightened, Weighed};
use super::search::{Finished, Search};
use super::space::{Point, Space};

use crate::StudyError;
use crate::size::judge::Judge;
use crate::size::{Binding, CoreChoice, LimitName, lean};
use aircraft::records::project::Project;
use model::budget::{MassBudget, masses};
use schema::Problem;
use std::sync::atomic::AtomicBool;

/// Limits that are told.
const MAX_CLOSE: usize = 10;

/// Sizes all loops of an aircraft at once; `progress` is told how far it is.
///
/// # Errors
/// [`StudyError::Project`] if nothing can be chosen or no case is named, [`StudyError::UnknownCase`], [`StudyError::Assembly`] for a case
/// that cannot be put together, [`StudyError::Cancelled`].
pub fn size_all(
    project: &Project,
    options: &OptimumOptions,
    cancel: &AtomicBool,
    progress: impl Fn(Progress) + Sync,
) -> Result<OptimumStudy, StudyError> {
    size_from(project, options, None, cancel, &progress).map(|(whole, _)| whole)
}

/// The same from a design that is known, instead of the starts.
pub(super) fn size_from(
    project: &Project,
    options: &OptimumOptions,
    known_design: Option<&Point>,
    cancel: &AtomicBool,
    progress: &(impl Fn(Progress) + Sync),
) -> Result<(OptimumStudy, Option<Point>), StudyError> {
    let space = Space::of(project)?;
    let bare = lean(project);
    let judge = Judge::new(&bare, &options.cases, options.fly, cancel);
    validate_cases(&judge, options)?;
    let mut field = Field {
        project: &bare,
        space: &space,
        judge: &judge,
        aside: Vec::new(),
        unmoved: Vec::new(),
        left_over_k: options.left_over_k,
    };
    let counted = counted_mission(&field, options)?;
    let present = weighed(&field, &bare, counted)?;
    let probes = probe(&mut field)?;
    let search = Search { field: &field, counted, progress };
    let points = match known_design {
        Some(point) => vec![point.clone()],
        None => search.points(options.starts),
    };
    let (starts, found) = search.starts(points, &probes.cases)?;
    let mut whole = OptimumStudy {
        mission: counted.map(|case| judge.name(case).clone()),
        cases: judge.len(),
        present,
        optimum: None,
        left: space.left.clone(),
        beyond: probes.beyond,
        short: Vec::new(),
        starts,
        neighbours: 0,
    };
    let finished = match found {
        Some(found) => search.finish(found, options.neighbours)?,
        None => None,
    };
    let point = finished.as_ref().map(|finished| finished.place.point.clone());
    match finished {
        Some(finished) => {
            whole.neighbours = finished.neighbours;
            whole.optimum = Some(optimum(&field, project, finished, counted)?);
        }
        None => whole.short = probes.short,
    }
    Ok((whole, point))
}

fn validate_cases(judge: &Judge<'_>, options: &OptimumOptions) -> Result<(), StudyError> {
    let names = || judge.all().into_iter().map(|case| judge.name(case).to_string());
    if judge.len() == 0 {
        return Err(crate::size::judge::nothing_to_judge());
    }
    match options.cases.iter().chain(&options.mission).find(|wanted| names().all(|name| name != **wanted)) {
        Some(wanted) => Err(StudyError::UnknownCase { wanted: wanted.clone(), known: names().collect() }),
        None => Ok(()),
    }
}

/// The mission that mass is counted over.
fn counted_mission(field: &Field<'_>, options: &OptimumOptions) -> Result<Option<usize>, StudyError> {
    let judge = field.judge;
    let mut missions = judge.flown();
    match &options.mission {
        Some(wanted) => missions.retain(|&case| judge.name(case).to_string() == *wanted),
        None => missions.retain(|&case| judge.name(case).failure.is_none()),
    }
    let mut heaviest: Option<(f64, usize)> = None;
    for case in missions {
        let legs = field.fly(field.project, &[case], Some(case), judge.fly_options())?;
        let Some(worth) = legs.into_iter().find_map(|leg| leg.worth) else { continue };
        let kg = worth.equivalent.total_kg();
        if heaviest.is_none_or(|(known, _)| kg > known) {
            heaviest = Some((kg, case));
        }
    }
    Ok(heaviest.map(|(_, case)| case))
}

fn weighed(field: &Field<'_>, project: &Project, counted: Option<usize>) -> Result<Weighed, StudyError> {
    let masses = masses(project).map_err(|problem| StudyError::Project(Box::new(problem)))?;
    let missions: Vec<usize> = counted.into_iter().collect();
    let legs = field.fly(project, &missions, counted, field.judge.fly_options())?;
    Ok(Weighed { masses, worth: legs.into_iter().find_map(|leg| leg.worth) })
}

fn problem(problem: Problem) -> StudyError {
    StudyError::Project(Box::new(problem))
}

fn optimum(
    field: &Field<'_>,
    project: &Project,
    finished: Finished,
    counted: Option<usize>,
) -> Result<Optimum, StudyError> {
    let Finished { place, verdicts, tightened, .. } = finished;
    let space = field.space;
    let changed = space.applied(field.project, &place.point);
    let weighed = weighed(field, &changed, counted)?;
    let present = masses(project).map_err(problem)?;
    let mut loops = Vec::new();
    for (number, plan) in space.plans.iter().enumerate() {
        let design = space.design(&place.point, number);
        let core = plan.core(&design);
        let kg = |book: &MassBudget| {
            let own = book.lines.iter().find(|line| line.name == core.name.as_str());
            own.map_or(0.0, model::budget::MassLine::total_kg)
        };
        let sizing = &plan.sizing;
        loops.push(LoopDesign {
            circuit: plan.circuit.clone(),
            picked: match design.core {
                CoreChoice::Listed(number) => Some(sizing.cores[number].name.as_str().to_owned()),
                CoreChoice::Fins { .. } | CoreChoice::Conductance(_) => None,
            },
            pump: design.pump.map(|number| sizing.pumps[number].name.as_str().to_owned()),
            fan: design.fan.map(|number| sizing.fans[number].name.as_str().to_owned()),
            core_kg: kg(&weighed.masses),
            present_core_kg: kg(&present),
            room: plan.room.clone(),
            core,
        });
    }
    let priced = |binding: Binding| {
        let limit = binding.margin.as_ref().map(LimitName::of);
        let row = place.rows.iter().position(|row| limit.as_ref().is_some_and(|l| row.is(binding.number, l)));
        let price = row.and_then(|row| place.price(row));
        Priced { binding, kg_per_k: price }
    };
    Ok(Optimum {
        weighed,
        loops,
        close: closest_limits(field, &verdicts).into_iter().take(MAX_CLOSE).map(priced).collect(),
        tightened: tightened
            .into_iter()
            .map(|(case, limit, by_k)| Tightened { case: field.judge.name(case).clone(), limit, by_k })
            .collect(),
        changes: space.changes(project, &place.point),
    })
}
