//! Sizing of the whole aircraft: the least equivalent mass over the free cores, pumps and fans of all loops at once, subject to every
//! required margin of every case.
//!
//! Equivalent mass is that of the mass and power book ([`model::book::equivalent`]) over one mission: what the cooling weighs, and the
//! cells that its pumps, fans, drag and weight need. Cores that share a duct are solved together, so the warm air of one reaches the
//! next.
//!
//! # Method
//! From the present design and from the points of a fixed low-discrepancy sequence, `descent` goes down to a design that no small
//! step makes lighter. Steady limits enter with their slopes by the implicit function theorem; what missions take, and their limits,
//! to first order around a flown design that is flown again until nothing moves. Then every neighbour in a whole number (a tube more
//! or less) and in a list (other fins, core, pump, fan) of the lightest design is searched as well, until none is lighter: the result
//! is the lightest of all starts and of all its neighbours. At last all cases are solved from cold and all missions flown; what is short
//! in a mission is held further away by as much, and the search goes on.

mod compare;
mod descent;
mod flown;
mod front;
mod look;
mod quadratic;
mod space;
#[cfg(test)]
mod tests;

pub use compare::{Compared, Comparison, compare};
pub use flown::Worth;
pub use front::{FrontPoint, front};
pub use space::LeftAsIs;

use crate::StudyError;
use crate::size::judge::{Judge, Terms, Verdict};
use crate::size::{Binding, CoreChoice, LimitName, Room, lean};
use aircraft::records::core::Core;
use aircraft::records::project::Project;
use descent::{Descent, Place};
use flown::Tangent;
use look::Field;
use model::book::{MassBook, masses};
use model::case_name::CaseName;
use model::mission::FlyOptions;
use rayon::prelude::*;
use schema::{Change, Problem};
use space::{Point, Space};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// A limit is moved by the sizes if its reserve differs by more than this between small and large, K.
const MOVED: f64 = 0.02;
/// Cases that decide at first, of each design that is tried before the search.
const FIRST_CASES: usize = 4;
/// Starts that are followed to the end.
const FOLLOWED: usize = 2;
/// Rounds of flying and searching.
const MOST_ROUNDS: usize = 8;
/// Rounds of flying and searching around one design.
const MOST_FLOWN: usize = 24;
/// How far a search goes from a flown design at first, as a share of every range, and where it is given up.
const REACH: (f64, f64) = (0.25, 1e-3);
/// What a reach shrinks by.
const SHRINK: f64 = 0.35;
/// What a kelvin that is missing counts when two flown designs are compared, kg.
const SHORT_KG_K: f64 = 5.0;
/// Change of the equivalent mass below which a round was the last, kg.
const SETTLED_KG: f64 = 1e-3;
/// Trust region of a search that begins near a design that was found, as a share of every range.
const NEAR: f64 = 0.05;
/// Reserve that a solve from cold cannot turn into a shortage, K.
const SOLVED_K: f64 = 1e-6;
/// Limits that are told.
const MOST_CLOSE: usize = 10;
/// Scramble of the sequence of starts.
const SEED: u32 = 5;

/// How a whole aircraft is sized.
#[derive(Clone, Debug, PartialEq)]
pub struct WholeOptions {
    /// Only these cases, by full name; all if empty.
    pub cases: Vec<String>,
    /// Mission that mass is counted over, by full name; none: of those without failure the one over which the present design has the
    /// greatest equivalent mass.
    pub mission: Option<String>,
    /// Starts beside the present design.
    pub starts: usize,
    /// Whether the neighbours of the lightest design are searched too.
    pub neighbours: bool,
    /// What is to be left over the required margin of every temperature that sizes move, K.
    pub left_over_k: f64,
    /// How missions are flown.
    pub fly: FlyOptions,
}

impl Default for WholeOptions {
    fn default() -> Self {
        Self {
            cases: Vec::new(),
            mission: None,
            starts: 7,
            neighbours: true,
            left_over_k: 0.0,
            fly: FlyOptions::default(),
        }
    }
}

/// How far a search is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// What is done: `starts`, `rounds` or `neighbours`.
    pub stage: &'static str,
    /// Done of it.
    pub done: usize,
    /// How much there is; of rounds, the most.
    pub of: usize,
}

/// A design with its mass and what it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// Masses, line by line.
    pub masses: MassBook,
    /// What the mission takes and the equivalent mass; none without a mission.
    pub worth: Option<Worth>,
}

impl Weighed {
    /// Equivalent mass, kg; without a mission the mass.
    pub fn equivalent_kg(&self) -> f64 {
        self.worth.as_ref().map_or(self.masses.total_kg(), |worth| worth.equivalent.total_kg())
    }
}

/// A loop as it is sized.
#[derive(Clone, Debug, PartialEq)]
pub struct LoopDesign {
    /// Loop.
    pub circuit: String,
    /// Core.
    pub core: Core,
    /// Name in the list of cores, if it was picked from one.
    pub picked: Option<String>,
    /// Pump, if it was picked from a list.
    pub pump: Option<String>,
    /// Fan, if it was picked from a list.
    pub fan: Option<String>,
    /// Dry mass of the core and its liquid, kg.
    pub core_kg: f64,
    /// The same as it is in the project, kg.
    pub present_core_kg: f64,
    /// Room, for a core of free dimensions.
    pub room: Option<Room>,
}

/// A limit that is close, and what it costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// The limit.
    pub binding: Binding,
    /// Equivalent mass that one kelvin of this limit costs, kg/K; none where it does not bind.
    pub kg_per_k: Option<f64>,
}

/// A mission limit that was held further away so that the flight keeps it.
#[derive(Clone, Debug, PartialEq)]
pub struct Tightened {
    /// Mission.
    pub case: CaseName,
    /// Limit.
    pub limit: LimitName,
    /// By how much, K.
    pub by_k: f64,
}

/// The lightest design.
#[derive(Clone, Debug, PartialEq)]
pub struct Optimum {
    /// Mass and what it takes.
    pub weighed: Weighed,
    /// Loops in the order of the project.
    pub loops: Vec<LoopDesign>,
    /// The closest limits, closest first: solved from cold, and flown.
    pub close: Vec<Priced>,
    /// Mission limits that were tightened.
    pub tightened: Vec<Tightened>,
    /// Changes that make this design of the project.
    pub changes: Vec<Change>,
}

/// Where a start has led.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// Equivalent mass to first order in what missions take, kg; none if it led to no design that holds.
    pub equivalent_kg: Option<f64>,
}

/// A sized aircraft.
#[derive(Clone, Debug, PartialEq)]
pub struct Whole {
    /// Mission that mass is counted over.
    pub mission: Option<CaseName>,
    /// Number of cases, missions among them.
    pub cases: usize,
    /// The project as it is.
    pub present: Weighed,
    /// The lightest design; none if nothing was found that holds.
    pub optimum: Option<Optimum>,
    /// Loops that are not sized.
    pub left: Vec<LeftAsIs>,
    /// Limits that are short whatever the sizes: they were set aside.
    pub beyond: Vec<Binding>,
    /// Without a design: what is short with the largest cores, shortest first.
    pub short: Vec<Binding>,
    /// Where the starts have led, the present design first.
    pub starts: Vec<Start>,
    /// Neighbours that were searched: none of them is lighter.
    pub neighbours: usize,
}

impl Whole {
    /// Whether a design holds every margin of every case.
    pub fn holds(&self) -> bool {
        self.optimum.is_some() && self.beyond.is_empty()
    }
}

/// Sizes all loops of an aircraft at once; `progress` is told how far it is.
///
/// # Errors
/// [`StudyError::Project`] if nothing can be chosen or no case is named, [`StudyError::UnknownCase`], [`StudyError::Assembly`] for a case
/// that cannot be put together, [`StudyError::Cancelled`].
pub fn size_all(
    project: &Project,
    options: &WholeOptions,
    cancel: &AtomicBool,
    progress: impl Fn(Progress) + Sync,
) -> Result<Whole, StudyError> {
    size_from(project, options, None, cancel, &progress).map(|(whole, _)| whole)
}

/// The same from a design that is known, instead of the starts.
fn size_from(
    project: &Project,
    options: &WholeOptions,
    known_design: Option<&Point>,
    cancel: &AtomicBool,
    progress: &(impl Fn(Progress) + Sync),
) -> Result<(Whole, Option<Point>), StudyError> {
    let space = Space::of(project)?;
    let bare = lean(project);
    let judge = Judge::new(&bare, &options.cases, options.fly, cancel);
    known(&judge, options)?;
    let mut field = Field {
        project: &bare,
        space: &space,
        judge: &judge,
        aside: Vec::new(),
        unmoved: Vec::new(),
        left_over_k: options.left_over_k,
    };
    let counted = counted(&field, options)?;
    let present = weighed(&field, &bare, counted)?;
    let probes = probe(&mut field)?;
    let search = Search { field: &field, counted, progress };
    let points = match known_design {
        Some(point) => vec![point.clone()],
        None => search.points(options.starts),
    };
    let (starts, found) = search.starts(points, &probes.cases)?;
    let mut whole = Whole {
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

fn known(judge: &Judge<'_>, options: &WholeOptions) -> Result<(), StudyError> {
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
fn counted(field: &Field<'_>, options: &WholeOptions) -> Result<Option<usize>, StudyError> {
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

/// What the designs tried before the search say.
struct Probes {
    /// Steady cases that decide at first.
    cases: Vec<usize>,
    beyond: Vec<Binding>,
    short: Vec<Binding>,
}

/// Judges the present, the middle and the largest design by every case: sets aside what no size moves.
fn probe(field: &mut Field<'_>) -> Result<Probes, StudyError> {
    let (judge, space) = (field.judge, field.space);
    let present = space.present();
    let middle = space.at(&vec![0.5; space.variables.len() + space.lists.len()]);
    let points = [middle, present.clone(), space.largest(&present)];
    let mut all: Vec<Vec<Verdict>> = Vec::new();
    for point in &points {
        all.push(judge.verdicts(&space.applied(field.project, point), &judge.all())?);
    }
    let mut beyond = Vec::new();
    for verdict in all.last().into_iter().flatten() {
        for (margin, time_s) in &verdict.margins {
            let limit = LimitName::of(margin);
            let reserves: Vec<f64> = all
                .iter()
                .filter_map(|verdicts| {
                    let same = &verdicts[verdict.case].margins;
                    same.iter().find(|(m, _)| LimitName::of(m) == limit).map(|(m, _)| m.reserve())
                })
                .collect();
            let spread = |f: fn(f64, f64) -> f64| reserves.iter().copied().reduce(f).unwrap_or(0.0);
            if spread(f64::max) - spread(f64::min) >= MOVED {
                continue;
            }
            field.unmoved.push((verdict.case, limit.clone()));
            if margin.is_short() {
                field.aside.push((verdict.case, limit));
                let alone = Verdict { margins: vec![(margin.clone(), *time_s)], ..verdict.clone() };
                beyond.push(judge.binding(&alone, &Terms::default()));
            }
        }
    }
    let steady = judge.steady();
    let mut cases: Vec<usize> = Vec::new();
    for verdicts in &all {
        let closest = closest(field, verdicts);
        for binding in closest.iter().filter(|b| steady.contains(&b.number)).take(FIRST_CASES) {
            if !cases.contains(&binding.number) {
                cases.push(binding.number);
            }
        }
    }
    cases.sort_unstable();
    let largest = all.last().map_or(&[][..], Vec::as_slice);
    let short = closest(field, largest).into_iter().filter(|binding| binding.reserve < 0.0).collect();
    Ok(Probes { cases, beyond, short })
}

/// The closest limit of every case, closest first; reserves are over all that is asked.
fn closest(field: &Field<'_>, verdicts: &[Verdict]) -> Vec<Binding> {
    let terms = Terms { relaxed: None, aside: field.aside.clone() };
    let of = |verdict: &Verdict| {
        let binding = field.judge.binding(verdict, &terms);
        if field.left_over_k == 0.0 || !verdict.status.can_be_judged() {
            return binding;
        }
        let judged = verdict.margins.iter().filter(|(margin, _)| !field.is_aside(verdict.case, margin));
        let reserve = |margin: &model::result::Margin| {
            Some(field.reserve(verdict.case, margin)).filter(|r| !r.is_nan()).unwrap_or(f64::NEG_INFINITY)
        };
        match judged.min_by(|a, b| reserve(&a.0).total_cmp(&reserve(&b.0))) {
            Some((margin, time_s)) => {
                Binding { margin: Some(margin.clone()), time_s: *time_s, reserve: reserve(margin), ..binding }
            }
            None => binding,
        }
    };
    let mut all: Vec<Binding> = verdicts.iter().map(of).collect();
    all.sort_by(|a, b| a.reserve.total_cmp(&b.reserve));
    all
}

/// Every limit where it is closest over all cases, closest first.
fn closest_limits(field: &Field<'_>, verdicts: &[Verdict]) -> Vec<Binding> {
    let mut all: Vec<Binding> = Vec::new();
    for verdict in verdicts {
        for (margin, time_s) in verdict.margins.iter().filter(|(m, _)| !field.is_aside(verdict.case, m)) {
            let limit = LimitName::of(margin);
            let known = all.iter_mut().find(|b| b.margin.as_ref().is_some_and(|m| LimitName::of(m) == limit));
            if known.as_ref().is_some_and(|known| known.reserve <= margin.reserve()) {
                continue;
            }
            let alone = Verdict { margins: vec![(margin.clone(), *time_s)], ..verdict.clone() };
            let binding = field.judge.binding(&alone, &Terms::default());
            match known {
                Some(known) => *known = binding,
                None => all.push(binding),
            }
        }
    }
    let scaled = |b: &Binding| b.margin.as_ref().map_or(b.reserve, |m| look::scaled(m, b.reserve));
    all.sort_by(|a, b| scaled(a).total_cmp(&scaled(b)));
    all
}

/// A design that was found, with the steady cases that decided.
#[derive(Clone, Debug)]
struct Found {
    place: Place,
    cases: Vec<usize>,
    /// Missions as they were last flown.
    tangent: Tangent,
}

/// A design that holds in every case, solved from cold and flown.
struct Finished {
    place: Place,
    verdicts: Vec<Verdict>,
    tightened: Vec<(usize, LimitName, f64)>,
    neighbours: usize,
}

struct Search<'a, P> {
    field: &'a Field<'a>,
    counted: Option<usize>,
    progress: &'a P,
}

impl<P: Fn(Progress) + Sync> Search<'_, P> {
    /// The present design, and points of a sequence that fills the space evenly.
    fn points(&self, count: usize) -> Vec<Point> {
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

    /// Searches from several starts; the lightest of those that are followed to where flying again changes nothing.
    fn starts(&self, points: Vec<Point>, cases: &[usize]) -> Result<(Vec<Start>, Option<Found>), StudyError> {
        let done = AtomicUsize::new(0);
        let of = points.len();
        let found: Result<Vec<Option<Found>>, StudyError> = points
            .into_par_iter()
            .map(|point| {
                let found = self.begin(point, cases);
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
        let starts = found.iter().map(|one| Start { equivalent_kg: kg(one) }).collect();
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
            if followed >= FOLLOWED && best.as_ref().is_some_and(|best| best.place.holds()) {
                break;
            }
            let settled = self.settled(Found { cases: cases.clone(), ..one }, &[])?;
            if best.as_ref().is_none_or(|best| key(&settled) < key(best)) {
                best = Some(settled);
            }
        }
        Ok((starts, best))
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
        for _ in 0..MOST_ROUNDS {
            let descent = Descent { field: self.field, tangent, cases: &cases, reach };
            let Some(place) = descent.from(start, trust)? else { return Ok(None) };
            let project = self.field.space.applied(self.field.project, &place.point);
            let verdicts = self.field.judge.verdicts(&project, &self.field.judge.steady())?;
            let strangers: Vec<usize> = closest(self.field, &verdicts)
                .into_iter()
                .filter(|binding| binding.reserve < SOLVED_K && !cases.contains(&binding.number))
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
        for round in 0..MOST_FLOWN {
            (self.progress)(Progress { stage: "rounds", done: round + 1, of: MOST_FLOWN });
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
    fn finish(&self, found: Found, with_neighbours: bool) -> Result<Option<Finished>, StudyError> {
        let mut best = found;
        let mut tightened: Vec<(usize, LimitName, f64)> = Vec::new();
        let mut neighbours = 0;
        for _ in 0..MOST_ROUNDS {
            if with_neighbours {
                (best, neighbours) = self.beside(best, &tightened)?;
            }
            let project = self.field.space.applied(self.field.project, &best.place.point);
            let verdicts = self.field.judge.cold().verdicts(&project, &self.field.judge.all())?;
            let short: Vec<Binding> =
                closest(self.field, &verdicts).into_iter().filter(|b| b.reserve < 0.0).collect();
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
            let reserve = look::scaled(margin, binding.reserve);
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
        for _ in 0..MOST_ROUNDS {
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
        let kg = |book: &MassBook| {
            let own = book.lines.iter().find(|line| line.name == core.name.as_str());
            own.map_or(0.0, model::book::MassLine::total_kg)
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
        close: closest_limits(field, &verdicts).into_iter().take(MOST_CLOSE).map(priced).collect(),
        tightened: tightened
            .into_iter()
            .map(|(case, limit, by_k)| Tightened { case: field.judge.name(case).clone(), limit, by_k })
            .collect(),
        changes: space.changes(project, &place.point),
    })
}
