//! Cases that no design makes hold: each is given every choice for itself alone, and set apart if none helps.

use super::look::Field;
use super::probe::Probes;
use super::space::Point;
use crate::StudyError;
use crate::infeasible::{Infeasible, Obstacle};
use crate::size::judge::{CaseVerdict, Terms};
use rayon::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Passes over all free numbers and lists.
const MAX_PASSES: usize = 2;

/// Shares of a range that are tried of each free number.
const SHARES: [f64; 3] = [0.0, 0.5, 1.0];

/// The cases that are short in every design that was judged, and stay so whatever is chosen for them alone; `progress` is told how many
/// of how many suspects are done.
///
/// # Errors
/// Those of a verdict; [`StudyError::Cancelled`].
pub(super) fn infeasible(
    field: &Field<'_>,
    probes: &Probes,
    progress: impl Fn(usize, usize) + Sync,
) -> Result<Vec<(usize, Infeasible)>, StudyError> {
    let terms = Terms { relaxed: None, aside: field.aside.clone() };
    let obstacle = |verdict: &CaseVerdict| verdict.obstacle(&terms);
    let mut suspects: Vec<(usize, Point, Obstacle)> = Vec::new();
    for case in field.judge.all() {
        let own = |(point, verdicts): &(Point, Vec<CaseVerdict>)| {
            let verdict = verdicts.iter().find(|verdict| verdict.case == case)?;
            Some((point.clone(), obstacle(verdict)))
        };
        let judged: Vec<(Point, Option<Obstacle>)> = probes.judged.iter().filter_map(own).collect();
        if judged.iter().any(|(_, obstacle)| obstacle.is_none()) {
            continue;
        }
        let short = judged.into_iter().filter_map(|(point, obstacle)| Some((point, obstacle?)));
        // the last of equals is the largest
        let best = short.max_by(|a, b| Obstacle::worst_first(&a.1, &b.1));
        suspects.extend(best.map(|(point, obstacle)| (case, point, obstacle)));
    }
    let (done, of) = (AtomicUsize::new(0), suspects.len());
    let found: Result<Vec<Option<(usize, Infeasible)>>, StudyError> = suspects
        .into_par_iter()
        .map(|(case, point, at_best)| {
            let found = alone(field, &terms, case, (point, at_best));
            progress(done.fetch_add(1, Ordering::Relaxed) + 1, of);
            Ok(found?.map(|one| (case, one)))
        })
        .collect();
    Ok(found?.into_iter().flatten().collect())
}

/// One case alone: every free number to either end and the middle, every entry of every list, going on from what is least short.
fn alone(
    field: &Field<'_>,
    terms: &Terms,
    case: usize,
    (mut point, mut at_best): (Point, Obstacle),
) -> Result<Option<Infeasible>, StudyError> {
    let space = field.space;
    let mut count = 0_usize;
    for _ in 0..MAX_PASSES {
        let before = point.clone();
        for place in 0..space.variables.len() + space.lists.len() {
            for other in choices(field, &point, place) {
                count += 1;
                let verdict = field.judge.verdict(&space.applied(field.project, &other), case)?;
                let Some(found) = verdict.obstacle(terms) else { return Ok(None) };
                if Obstacle::worst_first(&at_best, &found).is_lt() {
                    (point, at_best) = (other, found);
                }
            }
        }
        if point == before {
            break;
        }
    }
    let tried = format!("{count} designs for this case alone, over every range and list");
    Ok(Some(Infeasible { case: field.judge.name(case).clone(), obstacle: at_best, tried }))
}

/// A point with one number or pick changed.
fn choices(field: &Field<'_>, point: &Point, place: usize) -> Vec<Point> {
    let space = field.space;
    let mut all = Vec::new();
    if let Some(variable) = space.variables.get(place) {
        for share in SHARES {
            let mut other = point.clone();
            other.numbers[place] = variable.at(share);
            all.push(other);
        }
    } else {
        let list = place - space.variables.len();
        for pick in 0..space.lists[list].count {
            let mut other = point.clone();
            other.picks[list] = pick;
            all.push(other);
        }
    }
    all.retain(|other| other != point);
    all
}
