//! Levers: how much each input of the project moves a margin.
//!
//! A steady margin is a function of the inputs by way of `R(x, p) = 0`. Its slope follows from the implicit function theorem: the
//! state moves by `-J^-1 dR`, where `J` is the Jacobian of the solved case and `dR` the change of the heat balances, pressures and
//! powers when one input moves by a small step (1e-5 of its value, 1 mK for a temperature). The margin is read at the moved state. The
//! largest levers of each margin are looked at again from both sides, and where the two sides differ, by solving the case twice on
//! either side, with a step and with half of it: a lever whose slopes do not agree is marked ([`Lever::checked`]); where the margin
//! jumps, as when a core gets one tube more, the slope is that beside the jump. Counts, which have no slope, are changed by one and
//! the case is solved again. Inputs that a margin does not depend on are left out, and so is an input of zero without a tolerance, which
//! has no percent of itself.

mod flights;
mod inputs;

pub use crate::limit_name::LimitName;
pub use flights::mission_levers;
pub use inputs::{LeverInput, Measure, TolerancePedigree};

use crate::{StudyError, margins};
use aircraft::records::project::Project;
use inputs::Affects;
pub(crate) use inputs::list;
use model::assembly::Situation;
use model::case::Linearization;
use model::case_name::CaseName;
use model::mission::MissionCase;
use model::result::{CaseResult, Margin};
use rayon::prelude::*;
use schema::{self, Node, Problem};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Which margins are looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeverOptions {
    /// Only these cases, by full name; all if empty.
    pub cases: Vec<String>,
    /// How many margins, worst first.
    pub most: usize,
    /// Only this limit.
    pub limit: Option<LimitName>,
}

impl Default for LeverOptions {
    fn default() -> Self {
        Self { cases: Vec::new(), most: 10, limit: None }
    }
}

/// What moves one margin.
#[derive(Clone, Debug, PartialEq)]
pub struct MarginLevers {
    /// Case.
    pub case: CaseName,
    /// The margin as it is.
    pub margin: Margin,
    /// Time of the worst moment of a mission, s.
    pub time_s: Option<f64>,
    /// Levers, strongest first.
    pub levers: Vec<Lever>,
    /// Why there are none, for a case without slopes.
    pub without: Option<String>,
}

impl MarginLevers {
    /// The strongest levers by step, then those among the others that move the margin most over their tolerance; `least` is the
    /// smallest such change that counts, in the unit of the margin.
    pub fn listed(&self, first: usize, uncertain: usize, least: f64) -> Vec<&Lever> {
        let (strongest, rest) = self.levers.split_at(first.min(self.levers.len()));
        let width = |lever: &Lever| lever.per_tolerance().unwrap_or(0.0).abs();
        let mut others: Vec<&Lever> = rest.iter().filter(|lever| width(lever) >= least).collect();
        others.sort_by(|a, b| width(b).total_cmp(&width(a)));
        strongest.iter().chain(others.into_iter().take(uncertain)).collect()
    }
}

/// How one input moves a margin.
#[derive(Clone, Debug, PartialEq)]
pub struct Lever {
    /// The input.
    pub input: LeverInput,
    /// Change of the margin for each SI unit of the input: for a count, for each one more.
    pub slope: f64,
    /// The same towards smaller and towards larger values, where both were looked at.
    pub sides: Option<[f64; 2]>,
    /// False where slopes of two step sizes or of the two sides do not agree: the margin has a corner here, such as another place that
    /// becomes the hottest.
    pub checked: bool,
}

impl Lever {
    /// Change of the margin when the input grows by 1 % of its size; none for temperatures and gauge pressures, whose zero is a
    /// convention.
    pub fn per_percent(&self) -> Option<f64> {
        self.input.percent_si().map(|step| step * self.slope)
    }

    /// Change of the margin for one kelvin, for temperatures and temperature differences.
    pub fn per_kelvin(&self) -> Option<f64> {
        (self.input.measure == Measure::Kelvin).then_some(self.slope)
    }

    /// Change of the margin when the input grows by the half-width of its tolerance.
    pub fn per_tolerance(&self) -> Option<f64> {
        self.input.tolerance_si.map(|width| width * self.slope)
    }

    /// Change of the margin by which levers are ranked: that of 1 %, of 1 K, of 1 kPa gauge, or of one.
    pub fn effect(&self) -> f64 {
        self.input.step_si() * self.slope
    }
}

/// Change of a margin by a percent or a kelvin below which it counts as independent of an input, over the size of the limit.
const NEGLIGIBLE: f64 = 1e-9;
/// How many levers of each margin are looked at from both sides.
const LOOKED_AT: usize = 24;
/// Difference of the slopes of both sides that asks for a closer look.
const SUSPECT: f64 = 0.02;

/// Margins whose levers are asked for: the worst of each limit over the steady cases, worst first.
pub fn worst_of_each_limit(results: &[CaseResult], options: &LeverOptions) -> Vec<(CaseName, Margin)> {
    let mut found: Vec<(CaseName, Margin)> = Vec::new();
    for line in margins(results) {
        let limit = LimitName::of(line.margin);
        let is_wanted = options.limit.as_ref().is_none_or(|wanted| *wanted == limit);
        if is_wanted && found.iter().all(|(_, known)| LimitName::of(known) != limit) {
            found.push((line.case.clone(), line.margin.clone()));
        }
    }
    found.truncate(options.most);
    found
}

/// A wanted margin with the case it is found in.
struct Wanted<'a> {
    case: Situation<'a>,
    name: CaseName,
    margins: Vec<Margin>,
    linearization: Option<Linearization>,
    /// All margins of the case, read as those nearby are.
    here: Vec<Margin>,
    status: &'static str,
}

/// Levers of the worst margins of the steady cases. `node` is the tree that `project` was decoded from, variant applied; `progress` is
/// told how many inputs are done and how many there are.
///
/// # Errors
/// [`StudyError::UnknownCase`], [`StudyError::Assembly`], and [`StudyError::Cancelled`] once the flag is set.
pub fn levers(
    node: &Node,
    project: &Project,
    options: &LeverOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize, usize) + Sync,
) -> Result<Vec<MarginLevers>, StudyError> {
    let all = crate::chosen(project, &options.cases)?;
    let results = crate::solve(&all, cancel, |_| ())?;
    let worst = worst_of_each_limit(&results, options);
    let mut wanted: Vec<Wanted<'_>> = Vec::new();
    for (name, margin) in worst {
        match wanted.iter_mut().find(|known| known.name == name) {
            Some(known) => known.margins.push(margin),
            None => wanted.extend(
                all.iter()
                    .find(|case| case.name() == name)
                    .map(|case| begun(*case, name, margin))
                    .transpose()?,
            ),
        }
    }
    let list = list(node, project);
    let jobs: Vec<(usize, usize)> = (wanted.iter().enumerate())
        .filter(|(_, case)| case.linearization.is_some())
        .flat_map(|(index, case)| {
            let affects = Affects::of(&case.case);
            let numbers = list
                .iter()
                .enumerate()
                .filter(move |(_, input)| affects.covers(input) && input.can_be_ranked());
            numbers.map(move |(number, _)| (index, number))
        })
        .collect();
    let slopes = all_slopes(project, &wanted, &list, &jobs, cancel, progress)?;
    let mut found = Vec::new();
    for (index, case) in wanted.iter().enumerate() {
        let of_case: Vec<_> = slopes.iter().filter(|(of, _, _)| *of == index).collect();
        let looked = case
            .margins
            .par_iter()
            .enumerate()
            .map(|(place, margin)| {
                let levers = (of_case.iter())
                    .filter_map(|(_, number, slopes)| first(&list[*number], slopes.get(place).copied()?))
                    .collect();
                ranked(project, case, margin, levers, cancel)
            })
            .collect::<Result<Vec<_>, _>>()?;
        found.extend(looked);
    }
    found.sort_by(|a, b| Margin::worst_first(&a.margin, &b.margin));
    Ok(found)
}

/// Slopes of the margins of each job, a case and an input by their numbers, from one side.
fn all_slopes(
    project: &Project,
    wanted: &[Wanted<'_>],
    list: &[LeverInput],
    jobs: &[(usize, usize)],
    cancel: &AtomicBool,
    progress: impl Fn(usize, usize) + Sync,
) -> Result<Vec<(usize, usize, Vec<f64>)>, StudyError> {
    let done = AtomicUsize::new(0);
    jobs.par_iter()
        .with_min_len(32)
        .map_init(
            || Bench {
                project: project.clone(),
                linearizations: wanted.iter().map(|w| w.linearization.clone()).collect(),
            },
            |bench, &(case, number)| {
                if cancel.load(Ordering::Relaxed) {
                    return Err(StudyError::Cancelled);
                }
                let found = bench.first_slopes(&wanted[case], case, &list[number]);
                progress(done.fetch_add(1, Ordering::Relaxed) + 1, jobs.len());
                Ok((case, number, found))
            },
        )
        .collect()
}

fn begun(case: Situation<'_>, name: CaseName, margin: Margin) -> Result<Wanted<'_>, StudyError> {
    let failed = |problem: Problem| StudyError::Assembly { case: case.name(), problem: Box::new(problem) };
    let (result, mut linearization) = Linearization::of(&case).map_err(failed)?;
    let here = match &mut linearization {
        Some(linearization) => linearization.margins_near(&case).map_err(failed)?.unwrap_or_default(),
        None => Vec::new(),
    };
    Ok(Wanted { case, name, margins: vec![margin], linearization, here, status: result.status.word() })
}

fn first(input: &LeverInput, slope: f64) -> Option<Lever> {
    slope.is_finite().then(|| Lever { input: input.clone(), slope, sides: None, checked: true })
}

/// The levers of one margin in order, the largest looked at from both sides.
fn ranked(
    project: &Project,
    case: &Wanted<'_>,
    margin: &Margin,
    mut levers: Vec<Lever>,
    cancel: &AtomicBool,
) -> Result<MarginLevers, StudyError> {
    let least = NEGLIGIBLE * margin.limit_value.abs().max(1.0);
    levers.retain(|lever| lever.effect().abs().max(lever.per_tolerance().unwrap_or(0.0).abs()) > least);
    sort(&mut levers);
    let limit = LimitName::of(margin);
    if let Some(linearization) = &case.linearization {
        let mut bench = Bench { project: project.clone(), linearizations: vec![Some(linearization.clone())] };
        for lever in levers.iter_mut().take(LOOKED_AT) {
            if cancel.load(Ordering::Relaxed) {
                return Err(StudyError::Cancelled);
            }
            bench.look_closer(case, &limit, lever);
        }
        sort(&mut levers);
    }
    let without = case
        .linearization
        .is_none()
        .then(|| format!("the case keeps no steady state ({}): its margins have no slopes", case.status));
    Ok(MarginLevers { case: case.name.clone(), margin: margin.clone(), time_s: None, levers, without })
}

fn sort(levers: &mut [Lever]) {
    levers.sort_by(|a, b| b.effect().abs().total_cmp(&a.effect().abs()));
}

/// A project whose numbers are moved, with the solved cases.
struct Bench {
    project: Project,
    linearizations: Vec<Option<Linearization>>,
}

impl Bench {
    /// One slope for each margin of the case, NaN where the input cannot be moved.
    fn first_slopes(&mut self, wanted: &Wanted<'_>, case: usize, input: &LeverInput) -> Vec<f64> {
        let limits: Vec<LimitName> = wanted.margins.iter().map(LimitName::of).collect();
        if input.is_count() {
            return limits.iter().map(|limit| self.slope_of_count(wanted, case, limit, input)).collect();
        }
        let step = input.small_step_si();
        // an input at the upper end of its range can still be lowered
        let moved = [step, -step].into_iter().find_map(|by| Some((by, self.near(wanted, case, input, by)?)));
        let Some((by, there)) = moved else { return vec![f64::NAN; limits.len()] };
        limits.iter().map(|limit| difference(limit, &wanted.here, &there) / by).collect()
    }

    /// Margins with an input moved, to first order.
    fn near(
        &mut self,
        wanted: &Wanted<'_>,
        case: usize,
        input: &LeverInput,
        by_si: f64,
    ) -> Option<Vec<Margin>> {
        let Self { project, linearizations } = self;
        let linearization = linearizations.get_mut(case)?.as_mut()?;
        with_moved(project, input, by_si, |project| {
            linearization.margins_near(&situated(project, &wanted.case)?).ok().flatten()
        })
    }

    /// The margin of one limit with an input moved, solved.
    fn solved(
        &mut self,
        wanted: &Wanted<'_>,
        case: usize,
        limit: &LimitName,
        input: &LeverInput,
        by_si: f64,
    ) -> Option<f64> {
        let Self { project, linearizations } = self;
        let linearization = linearizations.get(case)?.as_ref()?;
        with_moved(project, input, by_si, |project| {
            let result = linearization.solve(&situated(project, &wanted.case)?).ok()?;
            limit.find(&result.margins).map(|margin| margin.margin)
        })
    }

    /// A count one lower and one higher, where both can be solved.
    fn slope_of_count(
        &mut self,
        wanted: &Wanted<'_>,
        case: usize,
        limit: &LimitName,
        input: &LeverInput,
    ) -> f64 {
        let mut at = |by| self.solved(wanted, case, limit, input, by);
        let here = limit.find(&wanted.here).map(|margin| margin.margin);
        match (at(-1.0), here, at(1.0)) {
            (Some(less), _, Some(more)) => 0.5 * (more - less),
            (None, Some(here), Some(more)) => more - here,
            (Some(less), Some(here), None) => here - less,
            _ => f64::NAN,
        }
    }

    /// Both sides of a lever; where they differ, solved with a larger step and with half of that.
    fn look_closer(&mut self, wanted: &Wanted<'_>, limit: &LimitName, lever: &mut Lever) {
        if lever.input.is_count() {
            return;
        }
        let step = lever.input.small_step_si();
        let mut near = |by| self.near(wanted, 0, &lever.input, by);
        let [Some(below), Some(above)] = [-step, step].map(&mut near) else {
            // one side cannot be looked at: the input is at the end of its range
            return;
        };
        let sides = [difference(limit, &below, &wanted.here), difference(limit, &wanted.here, &above)];
        let sides = sides.map(|difference| difference / step);
        lever.sides = Some(sides);
        lever.slope = 0.5 * (sides[0] + sides[1]);
        if agree(sides[0], sides[1]) {
            return;
        }
        let wide = 100.0 * step;
        let mut slope = |by: f64| {
            let [below, above] = [-by, by].map(|by| self.solved(wanted, 0, limit, &lever.input, by));
            Some((above? - below?) / (2.0 * by))
        };
        let (full, half) = (slope(wide), slope(0.5 * wide));
        lever.checked = false;
        match (full, half) {
            (Some(full), Some(half)) if agree(full, half) => {
                lever.checked = agree(half, lever.slope);
                lever.slope = half;
            }
            // a difference that does not shrink with the step is a jump, as of a number of tubes: the slope is that beside it
            _ => lever.slope = if sides[0].abs() < sides[1].abs() { sides[0] } else { sides[1] },
        }
    }
}

fn agree(a: f64, b: f64) -> bool {
    (a - b).abs() <= SUSPECT * a.abs().max(b.abs())
}

fn difference(limit: &LimitName, from: &[Margin], to: &[Margin]) -> f64 {
    match (limit.find(from), limit.find(to)) {
        (Some(from), Some(to)) => to.margin - from.margin,
        _ => f64::NAN,
    }
}

/// Works with an input moved, and puts it back.
fn with_moved<T>(
    project: &mut Project,
    input: &LeverInput,
    by_si: f64,
    work: impl FnOnce(&Project) -> Option<T>,
) -> Option<T> {
    let found = schema::move_number(project, input.index, input.si + by_si).then(|| work(project)).flatten();
    // every value that was read can be set again
    let _back = schema::move_number(project, input.index, input.si);
    found
}

/// Whether a steady case can depend on an input, by where it stands.
pub(crate) fn covers(case: &Situation<'_>, input: &LeverInput) -> bool {
    Affects::of(case).covers(input)
}

/// The same case of another copy of the project.
pub(crate) fn situated<'a>(project: &'a Project, case: &Situation<'_>) -> Option<Situation<'a>> {
    let Situation { condition, point, failure, .. } = case;
    let failure = match failure {
        Some(wanted) => Some(project.failures.iter().find(|f| f.name == wanted.name)?),
        None => None,
    };
    Some(Situation {
        project,
        condition: project.conditions.iter().find(|c| c.name == condition.name)?,
        point: project.points.iter().find(|p| p.name == point.name)?,
        failure,
    })
}

/// The same mission of another copy of the project.
pub(crate) fn same_mission<'a>(project: &'a Project, case: &MissionCase<'_>) -> Option<MissionCase<'a>> {
    let failure = match case.failure {
        Some(wanted) => Some(project.failures.iter().find(|f| f.name == wanted.name)?),
        None => None,
    };
    Some(MissionCase {
        project,
        condition: project.conditions.iter().find(|c| c.name == case.condition.name)?,
        mission: project.missions.iter().find(|m| m.name == case.mission.name)?,
        failure,
    })
}

#[cfg(test)]
mod tests;
