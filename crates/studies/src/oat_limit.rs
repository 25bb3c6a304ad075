//! The outside-air limit: the highest outside-air temperature, over pressure altitude, at which every required margin holds.
//!
//! Every steady case and every mission of the project is judged with the outside air held at one temperature. A mission that
//! climbs keeps that temperature all the way up, which is the careful reading of a limit in a flight manual: the air aloft is
//! taken to be as warm as below. Of the conditions of the project only airspeed, ramp rise, sun and humidity count. Limits on the
//! cold side (least temperatures, freezing) bound the temperature from below and are not judged here.
//!
//! Cases without and with a failure have curves of their own, and so have limits of cooling, which are limitations, and limits of rating,
//! which are performance. A case that holds at no temperature at any altitude is infeasible: it is named and left out of its curve.

mod hot_day;
mod judged;
mod options;
mod result;
mod search;

#[cfg(test)]
mod tests;

use crate::StudyError;
use aircraft::records::project::Project;
use judged::set_of;
use model::cases::Case;
use rayon::prelude::*;
use search::{Altitude, CLOSE_K, Scanned, scanned};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

pub use hot_day::hot_day_k;
pub(crate) use judged::air_at;
pub use options::{CaseSet, OatOptions};
pub use result::{HighestAir, HotDay, LimitOf, OatBinding, OatCurve, OatPoint, OatStudy};

/// A curve that is to be found, with the numbers of its cases.
struct Wanted<'a> {
    of: LimitOf,
    cases: Vec<(usize, Case<'a>)>,
}

/// The limit at every altitude of the options, half-way altitudes included, for each set of cases; `progress` is told how much is done,
/// and of how much. Once the flag is set, the points that were found by then are the result, and it says what is missing.
///
/// # Errors
/// [`StudyError::UnknownCase`]; [`StudyError::Cancelled`] if the flag was set before infeasible cases were known. A case that cannot be put
/// together at an altitude limits the curve there.
pub fn oat_limit(
    project: &Project,
    options: &OatOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize, usize) + Sync,
) -> Result<OatStudy, StudyError> {
    let judged = judged::judged_cases(project, options)?;
    let altitudes = options.searched_m();
    let (done, of) = (AtomicUsize::new(0), judged.len() + altitudes.len() + 1);
    let step = || progress(done.fetch_add(1, Ordering::Relaxed) + 1, of);
    progress(0, of);
    let scan: Result<Vec<Scanned>, StudyError> = judged
        .par_iter()
        .map(|case| {
            let found = scanned(case, options, cancel);
            step();
            found
        })
        .collect();
    let (mut curves, wanted) = begun(&judged, &scan?, options);
    let found: Vec<Option<Vec<OatPoint>>> = altitudes
        .par_iter()
        .map(|&(altitude_m, on_curve)| {
            let altitude = Altitude::new(altitude_m, options, cancel);
            let points = wanted.iter().map(|one| altitude.point(&one.cases, one.of, on_curve));
            // only a cancelled search is an error here
            let points: Result<Vec<OatPoint>, StudyError> = points.collect();
            step();
            points.ok()
        })
        .collect();
    let finished = found.iter().flatten().count();
    for points in found.into_iter().flatten() {
        // without a case there is no limit, which is not the same as none found
        for (curve, point) in curves.iter_mut().zip(points).filter(|(curve, _)| curve.cases > 0) {
            curve.points.push(point);
        }
    }
    let mut missing = String::new();
    if finished < altitudes.len() {
        missing = format!("{finished} of {} altitudes were searched", altitudes.len());
    } else {
        for (curve, one) in curves.iter_mut().zip(&wanted) {
            match hot_day::met(&one.cases, one.of, &curve.points, options, cancel) {
                Ok(met) => curve.hot_day = met,
                Err(_cancelled) => "the altitude up to which the hot day is met".clone_into(&mut missing),
            }
        }
        step();
    }
    Ok(OatStudy { curves, missing })
}

/// The curves that are asked for, with what is infeasible set apart, and the cases that are left of each.
fn begun<'a>(
    judged: &[Case<'a>],
    scan: &[Scanned],
    options: &OatOptions,
) -> (Vec<OatCurve>, Vec<Wanted<'a>>) {
    let (mut curves, mut wanted) = (Vec::new(), Vec::new());
    for &set in &options.sets {
        let of_set = || judged.iter().zip(scan).enumerate().filter(|(_, (case, _))| set_of(case) == set);
        for of in [LimitOf::Cooling, LimitOf::Rating] {
            let is_asked = match of {
                LimitOf::Cooling => of_set().next().is_some(),
                LimitOf::Rating => of_set().any(|(_, (_, scanned))| scanned.has_rating),
            };
            if !is_asked {
                continue;
            }
            let infeasible = of_set().filter_map(|(_, (_, scanned))| scanned.of(of).cloned()).collect();
            let feasible = of_set().filter(|(_, (_, scanned))| scanned.of(of).is_none());
            let cases: Vec<_> = feasible.map(|(number, (case, _))| (number, *case)).collect();
            curves.push(OatCurve {
                set,
                of,
                cases: cases.len(),
                points: Vec::new(),
                infeasible,
                hot_day: None,
            });
            wanted.push(Wanted { of, cases });
        }
    }
    (curves, wanted)
}

/// Half-way altitudes at which the limit lies below the straight line between its neighbours: there the line must not be used.
pub fn dips(points: &[OatPoint]) -> Vec<&OatPoint> {
    let below = |three: &[OatPoint]| {
        let [before, here, after] = [0, 1, 2].map(|index| three[index].reach.oat_k());
        match (before, here, after) {
            (Some(before), Some(here), Some(after)) => here < f64::midpoint(before, after) - CLOSE_K,
            (Some(_), None, Some(_)) => true,
            _ => false,
        }
    };
    // of a search that was stopped neighbours may be missing
    let is_half_way = |three: &[OatPoint]| {
        let [before_m, here_m, after_m] = [0, 1, 2].map(|index| three[index].pressure_altitude_m);
        !three[1].on_curve && (f64::midpoint(before_m, after_m) - here_m).abs() < 1e-6
    };
    points.windows(3).filter(|three| is_half_way(three) && below(three)).map(|three| &three[1]).collect()
}
