//! The search from several starts, and for lighter neighbours.

use super::closest::closest;
use super::descent::{Descent, Place};
use super::flown::Tangent;
use super::look::Field;
use super::options::Progress;
use super::result::StartOutcome;

use super::space::Point;
use crate::StudyError;
use crate::size::judge::CaseVerdict;
use crate::size::{Binding, LimitName};
use rayon::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Starts that are followed to the end.
const FOLLOWED: usize = 2;

/// Rounds of flying and searching.
const MAX_ROUNDS: usize = 8;

/// Rounds of flying and searching around one design.
const MAX_FLOWN: usize = 24;

/// How far a search goes from a flown design at first, as a share of every range, and where it is given up.
const REACH: (f64, f64) = (0.25, 1e-3);

/// What a reach shrinks by.
pub(super) const SHRINK: f64 = 0.35;

/// What a kelvin that is missing counts when two flown designs are compared, kg.
const SHORT_KG_K: f64 = 5.0;

/// Change of the equivalent mass below which a round was the last, kg.
pub(super) const SETTLED_KG: f64 = 1e-3;

/// Trust region of a search that begins near a design that was found, as a share of every range.
const NEAR: f64 = 0.05;

/// Reserve that a solve from cold cannot turn into a shortage, K.
const SOLVED_K: f64 = 1e-6;

/// Scramble of the sequence of starts.
const SEED: u32 = 5;

/// Cases that decide at first, of each design that is tried before the search.
pub(super) const FIRST_CASES: usize = 4;

/// A design that was found, with the steady cases that decided.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub(super) place: Place,
    pub(super) cases: Vec<usize>,
    /// Missions as they were last flown.
    pub(super) tangent: Tangent,
}

/// A design that holds in every case, solved from cold and flown.
pub(super) struct Finished {
    pub(super) place: Place,
    pub(super) verdicts: Vec<CaseVerdict>,
    pub(super) tightened: Vec<(usize, LimitName, f64)>,
    pub(super) neighbours: usize,
}

pub(super) struct Search<'a, P> {
    pub(super) field: &'a Field<'a>,
    pub(super) counted: Option<usize>,
    pub(super) progress: &'a P,
}

impl<P: Fn(Progress) + Sync> Search<'_, P> {
    /// The present design, and points of a sequence that fills the space evenly.
    pub(super) fn points(&self, count: usize) -> Vec<Point> {
        let space = self.field.space;
        let dimensions = space.variables.len() + space.lists.len();
        let point = |sample: u32| {
            let share = |dimension: u32| f64::from(sobol_burley::sample(sample, dimension, SEED));
            space.at(&(0..dimensions as u32).map(share).collect::<Vec<_>>())
        };
        let mut points = vec![space.present()];
        points.extend((0..count as u32).map(point));
        points
    }

    /// Searches from several starts; the lightest of those that are followed to where flying again changes nothing. Once it is stopped,
    /// the best of those that were searched.
    pub(super) fn starts(
        &self,
        points: Vec<Point>,
        cases: &[usize],
    ) -> Result<(Vec<StartOutcome>, Option<Found>), StudyError> {
        let done = AtomicUsize::new(0);
        let of = points.len();
        (self.progress)(Progress { stage: "starts", done: 0, of });
        let found: Result<Vec<Option<Found>>, StudyError> = points
            .into_par_iter()
            .map(|point| {
                let found = kept(self.begin(point, cases));
                let done = done.fetch_add(1, Ordering::Relaxed) + 1;
                (self.progress)(Progress { stage: "starts", done, of });
                found
            })
            .collect();
        let found = found?;
        let kg = |found: &Option<Found>| {
            let holds = found.as_ref().filter(|found| found.place.holds());
            holds.map(|found| found.place.kg)
        };
        let starts = found.iter().map(|one| StartOutcome { equivalent_kg: kg(one) }).collect();
        let mut cases: Vec<usize> = found.iter().flatten().flat_map(|one| one.cases.clone()).collect();
        cases.sort_unstable();
        cases.dedup();
        let mut ranked: Vec<Found> = found.into_iter().flatten().collect();
        // what holds comes first, the lightest of it; then what is least short
        let key = |found: &Found| {
            if found.place.holds() { (0.0, found.place.kg) } else { (found.place.short_k(), 0.0) }
        };
        ranked.sort_by(|a, b| key(a).0.total_cmp(&key(b).0).then(key(a).1.total_cmp(&key(b).1)));
        let mut best: Option<Found> = None;
        for (followed, one) in ranked.into_iter().enumerate() {
            // further ones are followed only while none has led to a design that holds
            let is_found = best.as_ref().is_some_and(|best| best.place.holds());
            if followed >= FOLLOWED && is_found {
                break;
            }
            let begun = Found { cases: cases.clone(), ..one };
            let settled = kept(self.settled(begun.clone(), &[]).map(Some))?.unwrap_or(begun);
            if best.as_ref().is_none_or(|best| key(&settled) < key(best)) {
                best = Some(settled);
            }
        }
        Ok((starts, best))
    }

    /// What is short at a design, shortest first.
    pub(super) fn short(&self, point: &Point) -> Result<Vec<Binding>, StudyError> {
        let project = self.field.space.applied(self.field.project, point);
        let verdicts = self.field.judge.verdicts(&project, &self.field.judge.all())?;
        Ok(closest(self.field, &verdicts).into_iter().filter(|binding| binding.reserve < 0.0).collect())
    }

    /// Goes down from a start; one without a state, or that cannot be flown, is moved towards the largest design.
    fn begin(&self, mut point: Point, cases: &[usize]) -> Result<Option<Found>, StudyError> {
        let space = self.field.space;
        for _ in 0..4 {
            if let Some(tangent) = self.field.tangent(&point, self.counted, None)? {
                let found = self.down(point.clone(), cases.to_vec(), &tangent, 1.0, 1.0)?;
                if found.is_some() {
                    return Ok(found);
                }
            }
            let largest = space.largest(&point);
            for (n, variable) in space.variables.iter().enumerate() {
                point.numbers[n] = variable.grained(0.5 * (point.numbers[n] + largest.numbers[n]));
            }
        }
        Ok(None)
    }

    /// Goes down with the cases that decide: steady ones that are short beyond them join.
    fn down(
        &self,
        mut start: Point,
        mut cases: Vec<usize>,
        tangent: &Tangent,
        trust: f64,
        reach: f64,
    ) -> Result<Option<Found>, StudyError> {
        for _ in 0..MAX_ROUNDS {
            let descent = Descent { field: self.field, tangent, cases: &cases, reach };
            let Some(place) = descent.from(start, trust)? else { return Ok(None) };
            let project = self.field.space.applied(self.field.project, &place.point);
            let verdicts = self.field.judge.verdicts(&project, &self.field.judge.steady())?;
            let strangers: Vec<usize> = closest(self.field, &verdicts)
                .into_iter()
                .filter(|binding| binding.scaled() < SOLVED_K && !cases.contains(&binding.number))
                .map(|binding| binding.number)
                .take(FIRST_CASES)
                .collect();
            if strangers.is_empty() {
                return Ok(Some(Found { place, cases, tangent: tangent.clone() }));
            }
            cases.extend(strangers);
            cases.sort_unstable();
            start = place.point;
        }
        Ok(None)
    }

    /// Flies and searches until flying again changes nothing. What missions say is straight lines around a flown design, so a search goes
    /// no further from it than a reach that shrinks whenever the flight at its end is no better than that at its begin.
    fn settled(&self, found: Found, tightened: &[(usize, LimitName, f64)]) -> Result<Found, StudyError> {
        let mut reach = REACH.0;
        let Some(mut kept) = self.flown(&found, tightened)? else { return Ok(found) };
        for round in 0..MAX_FLOWN {
            (self.progress)(Progress { stage: "rounds", done: round + 1, of: MAX_FLOWN });
            let tangent = kept.tangent.tightened(tightened);
            let start = kept.place.point.clone();
            let Some(next) = self.down(start, kept.cases.clone(), &tangent, NEAR.min(reach), reach)? else {
                return Ok(kept);
            };
            let gain = kept.place.kg - next.place.kg;
            if next.place.point == kept.place.point || (kept.place.holds() && gain < SETTLED_KG) {
                return Ok(Found { tangent: kept.tangent, ..next });
            }
            match self.flown(&Found { tangent: kept.tangent.clone(), ..next }, tightened)? {
                Some(there) if there.place.merit_kg(SHORT_KG_K) < kept.place.merit_kg(SHORT_KG_K) => {
                    kept = there;
                }
                _ if reach < REACH.1 => break,
                _ => {
                    reach *= SHRINK;
                    // slopes from elsewhere may be what misled
                    let fresh = self.field.tangent(&kept.place.point, self.counted, None)?;
                    kept.tangent = fresh.unwrap_or(kept.tangent);
                }
            }
        }
        Ok(kept)
    }

    /// The same design, counted as it is flown; none if it cannot be.
    fn flown(
        &self,
        found: &Found,
        tightened: &[(usize, LimitName, f64)],
    ) -> Result<Option<Found>, StudyError> {
        let flown = self.field.tangent(&found.place.point, self.counted, Some(&found.tangent))?;
        let Some(flown) = flown else { return Ok(None) };
        let tangent = flown.tightened(tightened);
        let descent = Descent { field: self.field, tangent: &tangent, cases: &found.cases, reach: 1.0 };
        let here = descent.place(found.place.point.clone())?;
        Ok(here.map(|place| Found { place, cases: found.cases.clone(), tangent: flown }))
    }

    /// The neighbours of a design, until none is lighter; then every case from cold and every mission flown, until all hold.
    pub(super) fn finish(&self, found: Found, with_neighbours: bool) -> Result<Option<Finished>, StudyError> {
        let mut best = found;
        let mut tightened: Vec<(usize, LimitName, f64)> = Vec::new();
        let mut neighbours = 0;
        for _ in 0..MAX_ROUNDS {
            if with_neighbours {
                (best, neighbours) = self.beside(best, &tightened)?;
            }
            let project = self.field.space.applied(self.field.project, &best.place.point);
            let verdicts = self.field.judge.cold().verdicts(&project, &self.field.judge.all())?;
            let short: Vec<Binding> =
                closest(self.field, &verdicts).into_iter().filter(Binding::is_short).collect();
            if short.is_empty() {
                return Ok(Some(Finished { place: best.place, verdicts, tightened, neighbours }));
            }
            self.hold_further(&mut best, &short, &mut tightened)?;
            best = self.settled(best, &tightened)?;
        }
        Ok(None)
    }

    /// What is short joins the cases that decide; a limit of a mission is held further away by what the flight that the search sees tells
    /// too much about it at this very design, or by what is still missing once that is known.
    fn hold_further(
        &self,
        best: &mut Found,
        short: &[Binding],
        tightened: &mut Vec<(usize, LimitName, f64)>,
    ) -> Result<(), StudyError> {
        let steady = self.field.judge.steady();
        let seen = self.field.tangent(&best.place.point, self.counted, Some(&best.tangent))?;
        for binding in short {
            let Some(margin) = &binding.margin else { continue };
            if steady.contains(&binding.number) {
                if !best.cases.contains(&binding.number) {
                    best.cases.push(binding.number);
                    best.cases.sort_unstable();
                }
                continue;
            }
            let limit = LimitName::of(margin);
            let reserve = binding.scaled();
            let seen = seen.as_ref().and_then(|seen| seen.reserve(binding.number, &limit));
            let by = seen.map_or(0.0, |seen| (seen - reserve).max(0.0)) + SOLVED_K;
            match tightened.iter_mut().find(|(case, of, _)| *case == binding.number && *of == limit) {
                Some((_, _, known)) if by > *known => *known = by,
                Some((_, _, known)) => *known += SOLVED_K - reserve,
                None => tightened.push((binding.number, limit, by)),
            }
        }
        Ok(())
    }

    /// Searches every neighbour in whole numbers and lists; goes on from a lighter one until there is none.
    fn beside(
        &self,
        found: Found,
        tightened: &[(usize, LimitName, f64)],
    ) -> Result<(Found, usize), StudyError> {
        let mut best = found;
        let mut searched = 0;
        for _ in 0..MAX_ROUNDS {
            let flown = self.field.tangent(&best.place.point, self.counted, Some(&best.tangent))?;
            let Some(flown) = flown else { break };
            let tangent = flown.tightened(tightened);
            let points = self.neighbours(&best.place.point);
            let done = AtomicUsize::new(0);
            let of = points.len();
            searched = of;
            let all: Result<Vec<Option<Found>>, StudyError> = points
                .into_par_iter()
                .map(|point| {
                    let found = self.down(point, best.cases.clone(), &tangent, NEAR, 1.0);
                    let done = done.fetch_add(1, Ordering::Relaxed) + 1;
                    (self.progress)(Progress { stage: "neighbours", done, of });
                    found
                })
                .collect();
            let lightest = all?
                .into_iter()
                .flatten()
                .filter(|one| one.place.holds())
                .reduce(|a, b| if b.place.kg < a.place.kg { b } else { a });
            let Some(next) = lightest.filter(|next| next.place.kg < best.place.kg - SETTLED_KG) else {
                break;
            };
            // counted anew where it is flown: it has to be lighter there as well
            let next = self.settled(Found { tangent: flown, ..next }, tightened)?;
            if !next.place.holds() || next.place.kg >= best.place.kg - SETTLED_KG {
                break;
            }
            best = next;
        }
        Ok((best, searched))
    }

    fn neighbours(&self, point: &Point) -> Vec<Point> {
        let space = self.field.space;
        let mut all = Vec::new();
        for n in (0..space.variables.len()).filter(|&n| space.variables[n].is_whole()) {
            let both = [-1.0, 1.0].map(|by| space.moved(point, n, by));
            all.extend(both.into_iter().filter(|moved| moved != point));
        }
        for (n, list) in space.lists.iter().enumerate() {
            for pick in (0..list.count).filter(|&pick| pick != point.picks[n]) {
                let mut other = point.clone();
                other.picks[n] = pick;
                all.push(other);
            }
        }
        all
    }
}

/// What there is of a search; one that was stopped has found nothing.
fn kept(found: Result<Option<Found>, StudyError>) -> Result<Option<Found>, StudyError> {
    match found {
        Err(StudyError::Cancelled) => Ok(None),
        other => other,
    }
}
