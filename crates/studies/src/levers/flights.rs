//! Levers of missions: differences of flights.
//!
//! The least margin over a flight is no smooth function of the state at one time, so that nothing better than differences is at hand. Each
//! input is raised by its step (1 %, 1 K, one more) and the mission is flown again, with a tenth of the usual error; the strongest are
//! flown again from both sides with the step and with half of it, and marked where these do not agree.

use super::{
    LOOKED_AT, Lever, LeverInput, LeverOptions, LimitName, MarginLevers, Measure, agree, list, same_mission,
    sort, with_moved,
};
use crate::StudyError;
use crate::missions::{chosen, fly_case};
use aircraft::records::project::Project;
use model::mission::{FlyOptions, MissionCase};
use model::result::Margin;
use rayon::prelude::*;
use schema::Node;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use units::Kind;

/// Error of a flight over the usual one.
const CLOSER: f64 = 0.1;
/// Differences of a margin below this share of the accuracy are those of the steps, not of the input.
const NOISE: f64 = 0.5;

/// Levers of the worst margins of missions; `options.cases` names mission cases, all if empty. `progress` is told how many flights are
/// done and how many there are at least.
///
/// # Errors
/// [`StudyError::UnknownCase`], [`StudyError::Assembly`], and [`StudyError::Cancelled`] once the flag is set.
pub fn mission_levers(
    node: &Node,
    project: &Project,
    options: &LeverOptions,
    fly: &FlyOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize, usize) + Sync,
) -> Result<Vec<MarginLevers>, StudyError> {
    let fly = FlyOptions { accuracy_k: CLOSER * fly.accuracy_k, ..*fly };
    let wanted = wanted(project, options, &fly)?;
    let all = list(node, project);
    let jobs: Vec<(usize, &LeverInput)> = wanted
        .iter()
        .enumerate()
        .flat_map(|(index, of)| all.iter().filter(|input| covers(&of.case, input)).map(move |i| (index, i)))
        .collect();
    let done = AtomicUsize::new(0);
    let study = Study { fly: &fly, cancel };
    let changed = jobs
        .par_iter()
        .map_init(
            || project.clone(),
            |moved, &(index, input)| {
                let found = study.margins(moved, &wanted[index], input, first_step_si(input))?;
                progress(done.fetch_add(1, Ordering::Relaxed) + 1, jobs.len());
                Ok((index, input, found))
            },
        )
        .collect::<Result<Vec<_>, StudyError>>()?;
    let mut found = Vec::new();
    for (index, of) in wanted.iter().enumerate() {
        for (place, (margin, time_s)) in of.limits.iter().enumerate() {
            let mut levers: Vec<Lever> = (changed.iter().filter(|(of, _, _)| *of == index))
                .filter_map(|(_, input, after)| {
                    let after = *after.as_ref()?.get(place)?;
                    lever(input, margin, after, fly.accuracy_k)
                })
                .collect();
            sort(&mut levers);
            let limit = LimitName::of(margin);
            let looked = levers.into_par_iter().enumerate().map_init(
                || project.clone(),
                |moved, (rank, mut lever)| {
                    if rank < LOOKED_AT && !lever.input.is_count() {
                        study.look_closer(moved, of, &limit, &mut lever)?;
                    }
                    Ok(lever)
                },
            );
            let mut levers = looked.collect::<Result<Vec<_>, StudyError>>()?;
            sort(&mut levers);
            let (case, margin, time_s) = (of.case.name(), margin.clone(), Some(*time_s));
            found.push(MarginLevers { case, margin, time_s, levers, without: None });
        }
    }
    found.sort_by(|a, b| Margin::worst_first(&a.margin, &b.margin));
    Ok(found)
}

/// A mission with the margins that are looked at and their times.
struct Wanted<'a> {
    case: MissionCase<'a>,
    limits: Vec<(Margin, f64)>,
}

/// The worst mission of each limit, worst first.
fn wanted<'a>(
    project: &'a Project,
    options: &LeverOptions,
    fly: &FlyOptions,
) -> Result<Vec<Wanted<'a>>, StudyError> {
    let cases = chosen(project, &options.cases)?;
    let flown = cases
        .par_iter()
        .map(|case| Ok((*case, fly_case(case, fly)?.margins(project))))
        .collect::<Result<Vec<_>, StudyError>>()?;
    let mut lines: Vec<(usize, Margin, f64)> = Vec::new();
    for (index, (_, margins)) in flown.iter().enumerate() {
        lines.extend(margins.iter().map(|timed| (index, timed.margin.clone(), timed.time_s)));
    }
    lines.sort_by(|a, b| Margin::worst_first(&a.1, &b.1));
    let mut limits: Vec<LimitName> = Vec::new();
    lines.retain(|(_, margin, _)| {
        let limit = LimitName::of(margin);
        let is_new = !limits.contains(&limit) && options.limit.as_ref().is_none_or(|only| *only == limit);
        if is_new {
            limits.push(limit);
        }
        is_new
    });
    lines.truncate(options.most);
    let of = |index: usize| lines.iter().filter(move |line| line.0 == index);
    let all = flown.iter().enumerate().map(|(index, (case, _))| Wanted {
        case: *case,
        limits: of(index).map(|(_, margin, time_s)| (margin.clone(), *time_s)).collect(),
    });
    Ok(all.filter(|wanted| !wanted.limits.is_empty()).collect())
}

/// Whether a mission can depend on an input, by where it stands. An input of zero has no percent and is left out.
fn covers(case: &MissionCase<'_>, input: &LeverInput) -> bool {
    let mut steps = input.path.split('.');
    let (top, second) = (steps.next().unwrap_or_default(), steps.next().unwrap_or_default());
    let stands = match top {
        "conditions" => second == case.condition.name.as_str(),
        "failures" => case.failure.is_some(),
        "chains" => false,
        _ => true,
    };
    stands && (input.measure != Measure::Percent || input.si != 0.0)
}

/// The step in SI: down for a share of one, which could be a fraction that nothing exceeds.
fn first_step_si(input: &LeverInput) -> f64 {
    let is_whole_share = input.kind == Kind::Ratio && input.measure == Measure::Percent && input.si == 1.0;
    if is_whole_share { -input.step_si() } else { input.step_si() }
}

fn lever(input: &LeverInput, margin: &Margin, after: f64, accuracy_k: f64) -> Option<Lever> {
    let step = first_step_si(input);
    let change = after - margin.margin;
    let is_seen = change.abs() > NOISE * accuracy_k * margin.limit_value.abs().max(300.0) / 300.0;
    let slope = change / step;
    (slope.is_finite() && is_seen).then(|| Lever { input: input.clone(), slope, sides: None, checked: true })
}

struct Study<'a> {
    fly: &'a FlyOptions,
    cancel: &'a AtomicBool,
}

impl Study<'_> {
    /// The margins of a mission with an input moved; none where it cannot be flown to its end.
    fn margins(
        &self,
        moved: &mut Project,
        of: &Wanted<'_>,
        input: &LeverInput,
        by_si: f64,
    ) -> Result<Option<Vec<f64>>, StudyError> {
        if self.cancel.load(Ordering::Relaxed) {
            return Err(StudyError::Cancelled);
        }
        Ok(with_moved(moved, input, by_si, |project| {
            let flight = fly_case(&same_mission(project, &of.case)?, self.fly).ok()?;
            if !flight.status.can_be_judged() {
                return None;
            }
            let found: Vec<Margin> = flight.margins(project).into_iter().map(|timed| timed.margin).collect();
            let margin = |(wanted, _): &(Margin, f64)| {
                LimitName::of(wanted).find(&found).map_or(f64::NAN, |margin| margin.margin)
            };
            Some(of.limits.iter().map(margin).collect())
        }))
    }

    /// Slopes from both sides, and from the step and half of it.
    fn look_closer(
        &self,
        moved: &mut Project,
        of: &Wanted<'_>,
        limit: &LimitName,
        lever: &mut Lever,
    ) -> Result<(), StudyError> {
        let Some(place) = of.limits.iter().position(|(margin, _)| LimitName::of(margin) == *limit) else {
            return Ok(());
        };
        let here = of.limits[place].0.margin;
        let step = first_step_si(&lever.input);
        let mut at = |by: f64| -> Result<Option<f64>, StudyError> {
            let found = self.margins(moved, of, &lever.input, by)?;
            Ok(found.and_then(|margins| margins.get(place).copied()).filter(|margin| margin.is_finite()))
        };
        let (Some(below), Some(near), Some(above)) = (at(-step)?, at(0.5 * step)?, at(step)?) else {
            return Ok(());
        };
        let sides = [(here - below) / step, (above - here) / step];
        lever.sides = Some(if step < 0.0 { [sides[1], sides[0]] } else { sides });
        lever.slope = 0.5 * (sides[0] + sides[1]);
        let half = (near - here) / (0.5 * step);
        // what the steps of the flights leave in a slope counts for nothing
        let noise = 4.0 * NOISE * self.fly.accuracy_k / step.abs();
        let same = |a: f64, b: f64| agree(a, b) || (a - b).abs() <= noise + 0.1 * a.abs().max(b.abs());
        lever.checked = same(sides[0], sides[1]) && same(half, sides[1]);
        Ok(())
    }
}
