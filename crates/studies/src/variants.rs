//! Variants of a design side by side: what each weighs and draws, how close it comes to its limits, how soon it flies again.

use crate::missions::fly_case;
use crate::turnaround::{TurnaroundWish, turnarounds};
use crate::{StudyError, solve};
use aircraft::records::project::Project;
use aircraft::variant::Varied;
use model::budget::{self, Equivalent, MassBudget, MissionDraw};
use model::case_name::CaseName;
use model::cases;
use model::mission::{FlyOptions, MissionCase};
use model::result::{CaseResult, Margin, Status};
use model::standing::{Rank, Standing};
use rayon::prelude::*;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// What is compared.
#[derive(Clone, Debug, PartialEq)]
pub struct CompareOptions {
    /// How missions are flown.
    pub fly: FlyOptions,
    /// Condition of the turnaround; none: the first that the project names for it.
    pub condition: Option<String>,
    /// Leaves the turnaround out.
    pub without_turnaround: bool,
}

impl Default for CompareOptions {
    fn default() -> Self {
        let fly = FlyOptions { max_gap_s: 10.0, ..FlyOptions::default() };
        Self { fly, condition: None, without_turnaround: false }
    }
}

/// The limit that a variant comes closest to, or the case in which it has no state.
#[derive(Clone, Debug, PartialEq)]
pub struct Closest {
    /// Case.
    pub case: CaseName,
    /// The margin; none where the case has no state.
    pub margin: Option<Margin>,
    /// When it is least, s; none in a steady case.
    pub time_s: Option<f64>,
    /// Why there is no state.
    pub status: Status,
}

/// What the cooling takes over the mission in which it costs most.
#[derive(Clone, Debug, PartialEq)]
pub struct Costliest {
    /// Case.
    pub case: CaseName,
    /// Mean power and drag.
    pub taken: MissionDraw,
    /// All of it as mass.
    pub equivalent: Equivalent,
}

/// The quickest way from landing to ready.
#[derive(Clone, Debug, PartialEq)]
pub struct Ready {
    /// Option of the turnaround.
    pub option: String,
    /// Condition.
    pub condition: String,
    /// From landing, s.
    pub time_s: f64,
}

/// What the limits say about several cases.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// Number of cases.
    pub cases: usize,
    /// How many of them have a margin below the required one, or no state.
    pub short: usize,
    /// How they stand: as the worst of them.
    pub standing: Standing,
    /// The closest limit.
    pub closest: Option<Closest>,
}

impl Verdict {
    fn of(judged: &[Judged]) -> Self {
        let closest = judged.iter().filter_map(|one| one.closest.clone());
        Self {
            cases: judged.len(),
            short: judged.iter().filter(|one| !one.standing.holds()).count(),
            standing: judged.iter().map(|one| one.standing).min().unwrap_or(Standing::Holds),
            closest: closest.min_by_key(Closest::rank),
        }
    }
}

/// One variant.
#[derive(Clone, Debug, PartialEq)]
pub struct VariantResult {
    /// Name.
    pub name: String,
    /// Masses.
    pub masses: MassBudget,
    /// The steady cases. A pack that lives from its heat capacity is not judged by them.
    pub steady: Verdict,
    /// The missions.
    pub flown: Verdict,
    /// The mission without failure that has the greatest equivalent mass; none if nothing is flown.
    pub costliest: Option<Costliest>,
    /// The quickest turnaround; none if there is none, or no option gets ready.
    pub ready: Option<Ready>,
}

/// Compares variants, in the order given; `progress` is told how many of how many solves and flights are done.
///
/// # Errors
/// [`StudyError::Assembly`] and [`StudyError::Project`] for the first variant that cannot be judged, [`StudyError::Cancelled`].
pub fn compare(
    variants: &[Varied],
    options: &CompareOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize, usize) + Sync,
) -> Result<Vec<VariantResult>, StudyError> {
    let jobs = |project: &Project| 2 + cases::missions(project).len();
    let total = variants.iter().map(|varied| jobs(&varied.project)).sum();
    let done = AtomicUsize::new(0);
    let tick = || progress(done.fetch_add(1, Ordering::Relaxed) + 1, total);
    variants.iter().map(|varied| of_variant(varied, options, cancel, &tick)).collect()
}

fn of_variant(
    varied: &Varied,
    options: &CompareOptions,
    cancel: &AtomicBool,
    tick: &(impl Fn() + Sync),
) -> Result<VariantResult, StudyError> {
    let project = &varied.project;
    let masses = budget::masses(project).map_err(|problem| StudyError::Project(Box::new(problem)))?;
    let steady = solve(&cases::steady(project), cancel, |_| ())?;
    tick();
    let all = cases::missions(project);
    let flown: Vec<Judged> = all
        .par_iter()
        .map(|case| {
            if cancel.load(Ordering::Relaxed) {
                return Err(StudyError::Cancelled);
            }
            let flown = of_mission(case, &masses, options)?;
            tick();
            Ok(flown)
        })
        .collect::<Result<_, StudyError>>()?;
    let ready = if options.without_turnaround { None } else { quickest(project, options, cancel)? };
    tick();
    let steady: Vec<Judged> = steady.iter().map(of_steady).collect();
    let costliest = flown.iter().filter_map(|one| one.costs.clone());
    Ok(VariantResult {
        name: varied.name.clone(),
        steady: Verdict::of(&steady),
        flown: Verdict::of(&flown),
        costliest: costliest.max_by(|a, b| a.equivalent.total_kg().total_cmp(&b.equivalent.total_kg())),
        masses,
        ready,
    })
}

impl Closest {
    /// Its place in the ranking.
    fn rank(&self) -> Rank {
        self.margin.as_ref().map_or(Rank::NO_RESULT, Margin::rank)
    }
}

struct Judged {
    closest: Option<Closest>,
    standing: Standing,
    costs: Option<Costliest>,
}

/// A case by its status and its margins, each with its time.
fn judged_case(
    case: CaseName,
    status: Status,
    margins: &[(&Margin, Option<f64>)],
    costs: Option<Costliest>,
) -> Judged {
    if !status.can_be_judged() {
        let closest = Some(Closest { case, margin: None, time_s: None, status });
        return Judged { closest, standing: Standing::of_case(status, None), costs };
    }
    let least = margins.iter().min_by(|a, b| Margin::worst_first(a.0, b.0));
    let closest = least.map(|(margin, time_s)| Closest {
        case,
        margin: Some((*margin).clone()),
        time_s: *time_s,
        status,
    });
    Judged { closest, standing: Standing::of_case(status, least.map(|(margin, _)| *margin)), costs }
}

fn of_steady(result: &CaseResult) -> Judged {
    let margins: Vec<_> = result.margins.iter().map(|margin| (margin, None)).collect();
    judged_case(result.case.clone(), result.status, &margins, None)
}

fn of_mission(
    case: &MissionCase<'_>,
    masses: &MassBudget,
    options: &CompareOptions,
) -> Result<Judged, StudyError> {
    let flight = fly_case(case, &options.fly)?;
    let timed = flight.margins(case.project);
    let margins: Vec<_> = timed.iter().map(|timed| (&timed.margin, Some(timed.time_s))).collect();
    let costs = if flight.status.can_be_judged() && case.failure.is_none() {
        let taken = budget::mission_draw(case.project, &flight)
            .map_err(|problem| StudyError::Assembly { case: case.name(), problem: Box::new(problem) })?;
        let equivalent = budget::equivalent(case.project, masses, &taken);
        Some(Costliest { case: case.name(), taken, equivalent })
    } else {
        None
    };
    Ok(judged_case(case.name(), flight.status, &margins, costs))
}

fn quickest(
    project: &Project,
    options: &CompareOptions,
    cancel: &AtomicBool,
) -> Result<Option<Ready>, StudyError> {
    let first = || project.turnarounds.first().and_then(|t| t.conditions.first()).cloned();
    let known = |name: &String| project.conditions.iter().any(|c| c.name.as_str() == name);
    let Some(condition) = options.condition.clone().filter(known).or_else(first) else { return Ok(None) };
    let wish = TurnaroundWish {
        fly: options.fly,
        condition: Some(condition.clone()),
        without_tables: true,
        ..TurnaroundWish::default()
    };
    let found = turnarounds(project, &wish, cancel, |_, _| ())?;
    let ready = found.iter().flat_map(|one| &one.options).filter_map(|option| {
        Some(Ready { option: option.name.clone(), condition: condition.clone(), time_s: option.ready_s? })
    });
    Ok(ready.min_by(|a, b| a.time_s.total_cmp(&b.time_s)))
}

#[cfg(test)]
mod tests;
