//! Sizing from the present design to the lightest that holds.

use super::apart::infeasible;
use super::closest::{closest, closest_limits};
use super::look::Field;
use super::options::{OptimumOptions, Progress};
use super::probe::{first_cases, probe};
use super::result::{LoopDesign, Optimum, OptimumStudy, Priced, Tightened, Weighed};
use super::search::{Finished, Found, Search};
use super::space::{Point, Space};

use crate::StudyError;
use crate::infeasible::Infeasible;
use crate::size::judge::{Judge, Terms};
use crate::size::{Binding, CoreChoice, LimitName, lean};
use aircraft::records::project::Project;
use model::budget::{MassBudget, masses};
use schema::Problem;
use std::sync::atomic::AtomicBool;

/// What is short at the best that was found, all limits together, from which a search around it does not help, K.
const GIVEN_UP_K: f64 = 5.0;

/// Limits that are told.
const MAX_CLOSE: usize = 10;

/// Sizes all loops of an aircraft at once; `progress` is told how far it is.
///
/// # Errors
/// [`StudyError::Project`] if nothing can be chosen or no case is named, [`StudyError::UnknownCase`], [`StudyError::Assembly`] for a case
/// that cannot be put together, [`StudyError::Cancelled`] if the flag was set before a design was looked for. Later, what there is by then
/// is the result, and it says what is missing.
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
    progress(Progress { stage: "cases", done: 0, of: 1 });
    let mut judge = Judge::new(&bare, &options.cases, &options.without, options.fly, cancel);
    validate_cases(&judge, project, options)?;
    let mut field = Field {
        project: &bare,
        space: &space,
        judge: &judge,
        aside: Vec::new(),
        unmoved: Vec::new(),
        left_over_k: options.left_over_k,
    };
    let probes = probe(&mut field)?;
    let apart = infeasible(&field, &probes, |done, of| progress(Progress { stage: "cases", done, of }))?;
    let (aside, unmoved) = (field.aside, field.unmoved);
    judge.set_apart(apart.iter().map(|(number, _)| *number));
    let field = Field {
        project: &bare,
        space: &space,
        judge: &judge,
        aside,
        unmoved,
        left_over_k: options.left_over_k,
    };
    let counted = counted_mission(&field, options)?;
    let mut whole = OptimumStudy {
        mission: counted.map(|case| judge.name(case).clone()),
        cases: judge.len(),
        present: weighed(&field, &bare, counted)?,
        optimum: None,
        left: space.left.clone(),
        infeasible: Vec::new(),
        beyond: probes.beyond.clone(),
        short: Vec::new(),
        starts: Vec::new(),
        neighbours: 0,
        missing: String::new(),
    };
    let mut point = None;
    let search = Search { field: &field, counted, progress };
    if !judge.all().is_empty() {
        let points = match known_design {
            Some(point) => vec![point.clone()],
            None => search.points(options.starts),
        };
        point = searched(&search, project, options, points, &first_cases(&field, &probes), &mut whole)?;
    }
    whole.infeasible = still_infeasible(&field, point.as_ref(), apart);
    if whole.optimum.is_none() && whole.short.is_empty() {
        whole.short = probes.short;
    }
    Ok((whole, point))
}

/// The search itself; what there is of it by the time it is stopped is kept.
fn searched<P: Fn(Progress) + Sync>(
    search: &Search<'_, P>,
    project: &Project,
    options: &OptimumOptions,
    points: Vec<Point>,
    cases: &[usize],
    whole: &mut OptimumStudy,
) -> Result<Option<Point>, StudyError> {
    let field = search.field;
    let (starts, found) = match search.starts(points, cases) {
        Err(StudyError::Cancelled) => {
            "every design: stopped before one was followed to its end".clone_into(&mut whole.missing);
            return Ok(None);
        }
        other => other?,
    };
    whole.starts = starts;
    let is_stopped = field.judge.is_cancelled();
    let is_usable = |found: &Found| !is_stopped || found.place.short_k() <= GIVEN_UP_K;
    let Some(found) = found.filter(is_usable) else {
        if is_stopped {
            "every design: stopped before one that holds was found".clone_into(&mut whole.missing);
        }
        return Ok(None);
    };
    if is_stopped {
        return stopped(field, project, found, search.counted, whole);
    }
    if found.place.short_k() > GIVEN_UP_K {
        // nothing that was found holds: what is short at the best of it, instead of a search around it
        whole.short = search.short(&found.place.point)?;
        return Ok(None);
    }
    let known = found.clone();
    match search.finish(found, options.neighbours) {
        Ok(Some(finished)) => {
            let point = finished.place.point.clone();
            whole.neighbours = finished.neighbours;
            whole.optimum = Some(optimum(field, project, finished, search.counted)?);
            Ok(Some(point))
        }
        Ok(None) => {
            whole.short = search.short(&known.place.point)?;
            Ok(None)
        }
        Err(StudyError::Cancelled) => stopped(field, project, known, search.counted, whole),
        Err(other) => Err(other),
    }
}

/// The best design by the time the study was stopped, judged by every case, if it holds them.
fn stopped(
    field: &Field<'_>,
    project: &Project,
    found: Found,
    counted: Option<usize>,
    whole: &mut OptimumStudy,
) -> Result<Option<Point>, StudyError> {
    "lighter designs beside this one".clone_into(&mut whole.missing);
    let judge = field.judge.to_the_end();
    let (aside, unmoved) = (field.aside.clone(), field.unmoved.clone());
    let field = Field { judge: &judge, aside, unmoved, ..*field };
    let place = found.place;
    let verdicts = judge.verdicts(&field.space.applied(field.project, &place.point), &judge.all())?;
    if closest(&field, &verdicts).first().is_some_and(|binding| binding.reserve < 0.0) {
        "a design that holds: the best so far does not quite".clone_into(&mut whole.missing);
        return Ok(None);
    }
    let point = place.point.clone();
    let finished = Finished { place, verdicts, tightened: Vec::new(), neighbours: 0 };
    whole.optimum = Some(optimum(&field, project, finished, counted)?);
    Ok(Some(point))
}

/// Cases that were set apart, less those that the lightest design happens to hold.
fn still_infeasible(
    field: &Field<'_>,
    point: Option<&Point>,
    apart: Vec<(usize, Infeasible)>,
) -> Vec<Infeasible> {
    let applied = point.map(|point| field.space.applied(field.project, point));
    let holds = |number: usize| {
        let verdict = applied.as_ref().map(|project| field.judge.verdict(project, number));
        verdict.is_some_and(|found| found.is_ok_and(|verdict| verdict.obstacle(&Terms::default()).is_none()))
    };
    apart.into_iter().filter(|(number, _)| !holds(*number)).map(|(_, one)| one).collect()
}

fn validate_cases(judge: &Judge<'_>, project: &Project, options: &OptimumOptions) -> Result<(), StudyError> {
    crate::solving::validate_names(project, &options.cases)?;
    crate::solving::validate_names(project, &options.without)?;
    if judge.len() == 0 {
        return Err(crate::size::judge::nothing_to_judge());
    }
    let known: Vec<String> = judge.all().into_iter().map(|case| judge.name(case).to_string()).collect();
    match options.mission.iter().find(|wanted| !known.contains(wanted)) {
        Some(wanted) => Err(StudyError::UnknownCase { wanted: wanted.clone(), known }),
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
