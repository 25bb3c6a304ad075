//! Designs that are judged before the search: what no size moves is set aside, and cases that no choice makes hold are found.

use super::combination::{FIRST_CASES, closest};
use super::judge::{Binding, CaseVerdict, Terms};
use super::plan::{CoreChoice, Design, grained_up_m};
use super::search::{Line, Search, SearchScope};
use crate::StudyError;
use crate::infeasible::{Infeasible, Obstacle, obstacle_of};
use crate::limit_name::LimitName;
use rayon::prelude::*;

/// A limit is moved by the size if its reserve differs by more than this between small and large, K (or the unit of the limit).
const MOVED: f64 = 0.02;

/// What the designs tried before the search say.
pub(super) struct Probes {
    /// Limits that are short whatever the size of this loop.
    pub(super) beyond: Vec<Binding>,
    /// What is short with the largest core.
    pub(super) short: Vec<Binding>,
    /// Cases that no choice makes hold, by number.
    pub(super) infeasible: Vec<(usize, Infeasible)>,
    /// Verdicts on every case, design by design; the largest comes last.
    verdicts: Vec<Vec<CaseVerdict>>,
}

/// Judges the smallest, the middle and the largest core by every case: sets aside what no size moves, and finds what is infeasible.
pub(super) fn probe(search: &mut Search<'_>) -> Result<Probes, StudyError> {
    let (judge, plan) = (search.judge, search.plan);
    let mut all: Vec<Vec<CaseVerdict>> = Vec::new();
    for design in probes(search) {
        all.push(judge.verdicts(&plan.applied(search.project, &design), &judge.all())?);
    }
    let mut beyond = Vec::new();
    for verdict in all.last().into_iter().flatten() {
        for (margin, time_s) in verdict.margins.iter().filter(|(margin, _)| margin.is_short()) {
            let limit = LimitName::of(margin);
            let reserves: Vec<f64> = all
                .iter()
                .filter_map(|verdicts| {
                    let same = &verdicts[verdict.case].margins;
                    same.iter().find(|(m, _)| LimitName::of(m) == limit).map(|(m, _)| m.reserve())
                })
                .collect();
            let spread = |f: fn(f64, f64) -> f64| reserves.iter().copied().reduce(f).unwrap_or(0.0);
            if spread(f64::max) - spread(f64::min) < MOVED {
                search.terms.aside.push((verdict.case, limit));
                let alone = CaseVerdict { margins: vec![(margin.clone(), *time_s)], ..verdict.clone() };
                beyond.push(judge.binding(&alone, &Terms::default()));
            }
        }
    }
    let largest = all.last().map_or(&[][..], Vec::as_slice);
    let short = closest(search, largest).into_iter().filter(|binding| binding.reserve < 0.0).collect();
    let infeasible = infeasible(search, &all)?;
    Ok(Probes { beyond, short, infeasible, verdicts: all })
}

/// The cases that decide at first: the closest of each design that was judged.
pub(super) fn first_cases(search: &Search<'_>, probes: &Probes) -> Vec<usize> {
    let (judged, steady) = (search.judge.all(), search.judge.steady());
    // a flight costs as much as fifty steady cases: missions join once one is short
    let is_first = |binding: &Binding| {
        judged.contains(&binding.number) && (steady.is_empty() || steady.contains(&binding.number))
    };
    let mut active: Vec<usize> = Vec::new();
    for verdicts in &probes.verdicts {
        for binding in closest(search, verdicts).into_iter().filter(is_first).take(FIRST_CASES) {
            if !active.contains(&binding.number) {
                active.push(binding.number);
            }
        }
    }
    active.sort_unstable();
    active
}

/// The smallest, the middle and the largest core, with the first pump and fan; listed cores all.
fn probes(search: &Search<'_>) -> Vec<Design> {
    let plan = search.plan;
    let (pump, fan) = (plan.pumps()[0], plan.fans()[0]);
    if !plan.sizing.cores.is_empty() {
        return (0..plan.sizing.cores.len())
            .map(|number| Design { core: CoreChoice::Listed(number), pump, fan })
            .collect();
    }
    let present = search.present(0, pump, fan);
    let largest = widest(search, present);
    [(present, 0.0), (present, 0.5), (largest, 1.0)].map(|(line, share)| search.design(line, share)).to_vec()
}

/// The line with the greatest width and depth that are searched.
pub(super) fn widest(search: &Search<'_>, line: Line) -> Line {
    match (&search.plan.room, search.reach) {
        (Some(room), SearchScope::Free) => {
            Line { layers: search.plan.layers().1, depth_m: room.depth.max_m, ..line }
        }
        _ => line,
    }
}

/// Cases that are short with every design that was judged, and with every other choice that is tried for them alone.
fn infeasible(search: &Search<'_>, all: &[Vec<CaseVerdict>]) -> Result<Vec<(usize, Infeasible)>, StudyError> {
    let is_short = |verdict: &CaseVerdict| verdict.obstacle(&search.terms).is_some();
    let is_short_in_all = |case: &usize| {
        all.iter().all(|verdicts| verdicts.iter().any(|verdict| verdict.case == *case && is_short(verdict)))
    };
    let suspects: Vec<usize> = search.judge.all().into_iter().filter(is_short_in_all).collect();
    let corners = corners(search);
    let found: Result<Vec<Option<(usize, Infeasible)>>, StudyError> =
        suspects.into_par_iter().map(|case| alone(search, case, &corners, all.len())).collect();
    Ok(found?.into_iter().flatten().collect())
}

/// One case alone: every pump, fan and fin with the largest core, then every size with the best of these.
fn alone(
    search: &Search<'_>,
    case: usize,
    corners: &[Design],
    judged_before: usize,
) -> Result<Option<(usize, Infeasible)>, StudyError> {
    let mut tried: Vec<(Obstacle, Design)> = Vec::new();
    let mut trial = |design: Design| {
        let verdict = search.judge.verdict(&search.plan.applied(search.project, &design), case)?;
        let found = verdict.obstacle(&search.terms);
        tried.extend(found.clone().map(|found| (found, design)));
        Ok(found)
    };
    if obstacle_of(corners.iter().copied(), &mut trial)?.is_none() {
        return Ok(None);
    }
    let best =
        |tried: &[(Obstacle, Design)]| tried.iter().max_by(|a, b| Obstacle::worst_first(&a.0, &b.0)).cloned();
    let Some((_, beside)) = best(&tried) else { return Ok(None) };
    for design in sizes(search, &beside) {
        let verdict = search.judge.verdict(&search.plan.applied(search.project, &design), case)?;
        let Some(found) = verdict.obstacle(&search.terms) else { return Ok(None) };
        tried.push((found, design));
    }
    let Some((obstacle, _)) = best(&tried) else { return Ok(None) };
    let count = tried.len() + judged_before;
    let tried = format!("{count} designs over the whole room, every pump and fan");
    Ok(Some((case, Infeasible { case: search.judge.name(case).clone(), obstacle, tried })))
}

/// The largest core with every fin, pump and fan; listed cores all.
fn corners(search: &Search<'_>) -> Vec<Design> {
    let plan = search.plan;
    let fins =
        plan.room.as_ref().filter(|_| search.reach == SearchScope::Free).map_or(1, |room| room.fins_m.len());
    let mut all = Vec::new();
    for pump in plan.pumps() {
        for fan in plan.fans() {
            if plan.sizing.cores.is_empty() {
                let line = |fin| widest(search, search.present(fin, pump, fan));
                all.extend((0..fins).map(|fin| search.design(line(fin), 1.0)));
            } else {
                let listed = (0..plan.sizing.cores.len()).map(CoreChoice::Listed);
                all.extend(listed.map(|core| Design { core, pump, fan }));
            }
        }
    }
    all
}

/// Sizes over the whole room beside a design; none of a listed core.
fn sizes(search: &Search<'_>, beside: &Design) -> Vec<Design> {
    let plan = search.plan;
    let shares = [1.0, 0.75, 0.5, 0.25, 0.0];
    let (pump, fan) = (beside.pump, beside.fan);
    let mut all = Vec::new();
    match (beside.core, &plan.room, search.reach) {
        (CoreChoice::Listed(_), ..) => {}
        (CoreChoice::Fins { fin, .. }, Some(room), SearchScope::Free) => {
            let (least, most) = plan.layers();
            for layers in [most, u32::midpoint(least, most), least] {
                for share in [1.0, 0.5, 0.0] {
                    let depth_m = grained_up_m(room.depth.at(share)).min(room.depth.max_m);
                    let line = Line { layers, depth_m, fin, pump, fan };
                    all.extend([1.0, 0.5, 0.0].map(|share| search.design(line, share)));
                }
            }
        }
        (CoreChoice::Fins { fin, .. }, ..) => {
            let line = search.present(fin, pump, fan);
            all.extend(shares.map(|share| search.design(line, share)));
        }
        (CoreChoice::Conductance(_), ..) => {
            let line = Line { layers: 1, depth_m: 0.0, fin: 0, pump, fan };
            all.extend(shares.map(|share| search.design(line, share)));
        }
    }
    let mut distinct: Vec<Design> = Vec::new();
    for design in all.into_iter().filter(|design| design != beside) {
        if !distinct.contains(&design) {
            distinct.push(design);
        }
    }
    distinct
}
