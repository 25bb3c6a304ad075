//! Sizing of one loop: the lightest core with pump and fan that holds every required margin in every chosen case.
//!
//! A core of free dimensions is searched inside its room, a listed one is taken as it is; every pump and fan that may be chosen is
//! tried with it. Cases that decide are found on the way: a design is searched with those that were closest so far, then judged by
//! all, and what is short joins them until nothing is. Limits that no size of this loop moves are not its business, and cases that no
//! choice makes hold are infeasible: both are told first, and the loop is sized for the rest.

mod combination;
pub(crate) mod judge;
pub(crate) mod plan;
mod probe;
mod relax;
mod search;

#[cfg(test)]
mod tests;

use crate::StudyError;
use crate::infeasible::Infeasible;
use aircraft::records::core::Core;
use aircraft::records::project::Project;
use combination::{closest, combination};
use judge::{Judge, Terms};
use model::mission::FlyOptions;
use probe::{Probes, first_cases, probe, widest};
use schema::Change;
use search::{Held, Search};
use std::sync::atomic::AtomicBool;

pub use crate::limit_name::LimitName;
pub use judge::Binding;
pub(crate) use plan::face;
pub use plan::{CoreChoice, Design, Plan, Range, Room};
pub use relax::Relaxation;
pub use search::SearchScope;

/// How a loop is sized.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeOptions {
    /// How far the search goes.
    pub reach: SearchScope,
    /// Whether to look at what looser limits and more room would save.
    pub relax: bool,
    /// How missions are flown.
    pub fly: FlyOptions,
    /// Full names of the cases that must hold; none named: those of the sizing, or all.
    pub cases: Vec<String>,
    /// Full names of cases that do not count.
    pub without: Vec<String>,
}

impl Default for SizeOptions {
    fn default() -> Self {
        Self {
            reach: SearchScope::Free,
            relax: true,
            fly: FlyOptions::default(),
            cases: Vec::new(),
            without: Vec::new(),
        }
    }
}

/// A loop with its lightest design.
#[derive(Clone, Debug, PartialEq)]
pub struct Sized {
    /// Design.
    pub design: Design,
    /// Core of it.
    pub core: Core,
    /// Dry core, its coolant, pumps of the loop and fans of its duct, kg.
    pub mass_kg: f64,
    /// Dry mass of the core, kg.
    pub core_dry_kg: f64,
    /// Whether no smaller core is searched: even less might do.
    pub is_smallest: bool,
    /// What is closest to its limit.
    pub binding: Binding,
    /// The closest limits in all cases, closest first.
    pub close: Vec<Binding>,
    /// What would save mass.
    pub relaxations: Vec<Relaxation>,
    /// Changes that make this design of the project.
    pub changes: Vec<Change>,
}

/// One combination that was tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// Core in words.
    pub core: String,
    /// Pump, if they are listed.
    pub pump: Option<String>,
    /// Fan, if they are listed.
    pub fan: Option<String>,
    /// Mass, if it holds, kg.
    pub mass_kg: Option<f64>,
    /// What is closest to its limit, or shortest.
    pub binding: Binding,
}

/// Result of sizing.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeResult {
    /// What was sized.
    pub circuit: String,
    /// Core as it is in the project.
    pub present: Core,
    /// Mass of the present design, kg.
    pub present_kg: f64,
    /// Room, for a core of free dimensions.
    pub room: Option<Room>,
    /// Number of cases.
    pub cases: usize,
    /// The lightest design; none if nothing holds.
    pub sized: Option<Sized>,
    /// Cases that no choice makes hold: they were set apart.
    pub infeasible: Vec<Infeasible>,
    /// Limits that are short whatever the size of this loop: they were set aside.
    pub beyond: Vec<Binding>,
    /// Without a design: what is short with the largest core, shortest first.
    pub short: Vec<Binding>,
    /// Combinations, lightest first, then those that do not hold.
    pub tried: Vec<Tried>,
    /// What is missing because the study was stopped, in words; empty if it is whole.
    pub missing: String,
}

impl SizeResult {
    /// Whether everything was worked out.
    pub fn is_whole(&self) -> bool {
        self.missing.is_empty()
    }

    /// Whether a design holds every margin of every case.
    pub fn holds(&self) -> bool {
        self.sized.is_some() && self.beyond.is_empty() && self.infeasible.is_empty() && self.is_whole()
    }
}

/// Sizes a loop; `progress` is told how many steps are done, and how many there are: the search for infeasible cases, every combination,
/// the closest limits. Once the flag is set, the combinations that were searched by then are the result, and it says what is missing.
///
/// # Errors
/// [`StudyError::Project`] if nothing of the loop can be chosen or no case is named, [`StudyError::Assembly`] for a case that
/// cannot be put together, [`StudyError::Cancelled`] if the flag was set before infeasible cases were known.
pub fn size(
    project: &Project,
    circuit: &str,
    options: &SizeOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize, usize) + Sync,
) -> Result<SizeResult, StudyError> {
    let plan = Plan::of(project, circuit)?;
    crate::solving::validate_names(project, &options.cases)?;
    crate::solving::validate_names(project, &options.without)?;
    let project = &lean(project);
    let wanted = if options.cases.is_empty() { &plan.sizing.cases } else { &options.cases };
    let combinations = combinations(&plan, options.reach);
    let step = |done: usize| progress(done, combinations.len() + 2);
    step(0);
    let mut judge = Judge::new(project, wanted, &options.without, options.fly, cancel);
    if judge.len() == 0 {
        return Err(judge::nothing_to_judge());
    }
    let (terms, probes) = begun(project, &plan, &judge, options.reach)?;
    judge.set_apart(probes.infeasible.iter().map(|(number, _)| *number));
    step(1);
    let mut result = SizeResult {
        circuit: circuit.to_owned(),
        present: plan.present.clone(),
        present_kg: present_kg(&plan, project)?,
        room: plan.room.clone(),
        cases: judge.len(),
        sized: None,
        infeasible: Vec::new(),
        beyond: probes.beyond.clone(),
        short: Vec::new(),
        tried: Vec::new(),
        missing: String::new(),
    };
    let mut best = None;
    if !judge.all().is_empty() {
        let mut search =
            Search { project, plan: &plan, judge: &judge, active: Vec::new(), terms, reach: options.reach };
        search.active = first_cases(&search, &probes);
        best = choose(&mut search, &combinations, &mut result, &step)?;
        if let Some(held) = &best {
            finish(&search, held, options.relax, &mut result)?;
        }
    }
    result.infeasible = still_infeasible(project, &plan, &judge, best.as_ref(), probes.infeasible);
    if best.is_none() {
        result.short = probes.short;
    }
    step(combinations.len() + 2);
    Ok(result)
}

/// What the designs tried before the search say, with the limits that are set aside.
fn begun(
    project: &Project,
    plan: &Plan,
    judge: &Judge<'_>,
    reach: SearchScope,
) -> Result<(Terms, Probes), StudyError> {
    let mut search = Search { project, plan, judge, active: judge.all(), terms: Terms::default(), reach };
    let probes = probe(&mut search)?;
    Ok((search.terms, probes))
}

/// Cases that were set apart, less those that the lightest design happens to hold.
fn still_infeasible(
    project: &Project,
    plan: &Plan,
    judge: &Judge<'_>,
    best: Option<&Held>,
    apart: Vec<(usize, Infeasible)>,
) -> Vec<Infeasible> {
    let applied = best.map(|held| plan.applied(project, &held.design));
    let holds = |number: usize| {
        let verdict = applied.as_ref().map(|project| judge.verdict(project, number));
        verdict.is_some_and(|found| found.is_ok_and(|verdict| verdict.obstacle(&Terms::default()).is_none()))
    };
    apart.into_iter().filter(|(number, _)| !holds(*number)).map(|(_, one)| one).collect()
}

/// The project without what no case is made of, so that its copies are cheap.
pub(crate) fn lean(project: &Project) -> Project {
    Project { variants: Vec::new(), turnarounds: Vec::new(), sizings: Vec::new(), ..project.clone() }
}

fn present_kg(plan: &Plan, project: &Project) -> Result<f64, StudyError> {
    let book = model::budget::masses(project).map_err(|problem| StudyError::Project(Box::new(problem)))?;
    let own = |line: &&model::budget::MassLine| {
        let is_machine = matches!(line.kind, "pump" | "fan");
        line.name == plan.present.name.as_str()
            || (is_machine && (line.circuit == plan.circuit || Some(&line.circuit) == plan.duct.as_ref()))
    };
    // pumps are booked without the coolant in them, as in the mass of a design
    let mass = |line: &model::budget::MassLine| {
        if matches!(line.kind, "pump" | "fan") { line.dry_kg } else { line.total_kg() }
    };
    Ok(book.lines.iter().filter(own).map(mass).sum())
}

/// Every combination of core, pump and fan.
fn combinations(plan: &Plan, reach: SearchScope) -> Vec<(usize, Option<usize>, Option<usize>)> {
    let cores = match (plan.sizing.cores.len(), &plan.room) {
        (0, Some(room)) if reach == SearchScope::Free => room.fins_m.len(),
        (0, _) => 1,
        (listed, _) => listed,
    };
    let mut all = Vec::new();
    for core in 0..cores {
        for pump in plan.pumps() {
            all.extend(plan.fans().into_iter().map(|fan| (core, pump, fan)));
        }
    }
    all
}

/// Searches every combination; the lightest design that holds in all cases. A study that is stopped keeps those it has.
fn choose(
    search: &mut Search<'_>,
    combinations: &[(usize, Option<usize>, Option<usize>)],
    result: &mut SizeResult,
    step: &impl Fn(usize),
) -> Result<Option<Held>, StudyError> {
    let mut all: Vec<(Option<Held>, Tried)> = Vec::new();
    for (number, &(core, pump, fan)) in combinations.iter().enumerate() {
        let tried = combination(search, core, (pump, fan), None)
            .and_then(|held| Ok((tried(search, core, (pump, fan), held.as_ref())?, held)));
        match tried {
            Ok((tried, held)) => all.push((held, tried)),
            Err(StudyError::Cancelled) => {
                result.missing = format!("{number} of {} combinations were searched", combinations.len());
                break;
            }
            Err(other) => return Err(other),
        }
        step(number + 2);
    }
    let mass = |tried: &Tried| tried.mass_kg.unwrap_or(f64::INFINITY);
    all.sort_by(|(_, a), (_, b)| mass(a).total_cmp(&mass(b)).then(b.binding.rank().cmp(&a.binding.rank())));
    let best = all.first().and_then(|(held, _)| held.clone());
    result.tried = all.into_iter().map(|(_, tried)| tried).collect();
    Ok(best)
}

fn tried(
    search: &Search<'_>,
    core: usize,
    (pump, fan): (Option<usize>, Option<usize>),
    held: Option<&Held>,
) -> Result<Tried, StudyError> {
    let plan = search.plan;
    let sizing = &plan.sizing;
    let words = if let Some(listed) = sizing.cores.get(core) {
        listed.name.as_str().to_owned()
    } else {
        match &plan.room {
            Some(room) => format!("fins {}", plan::written_mm(room.fins_m[core])),
            None => "conductance".to_owned(),
        }
    };
    let binding = match held {
        Some(held) => held.binding.clone(),
        None => largest(search, core, pump, fan)?,
    };
    Ok(Tried {
        core: words,
        pump: pump.map(|number| sizing.pumps[number].name.as_str().to_owned()),
        fan: fan.map(|number| sizing.fans[number].name.as_str().to_owned()),
        mass_kg: held.map(|held| held.mass_kg),
        binding,
    })
}

/// What is shortest with the largest core of a combination.
fn largest(
    search: &Search<'_>,
    core: usize,
    pump: Option<usize>,
    fan: Option<usize>,
) -> Result<Binding, StudyError> {
    let plan = search.plan;
    let design = if plan.sizing.cores.is_empty() {
        search.design(widest(search, search.present(core, pump, fan)), 1.0)
    } else {
        Design { core: CoreChoice::Listed(core), pump, fan }
    };
    search.judge_design(design).map(|held| held.binding)
}

/// Everything about the lightest design; of a study that is stopped, what there is.
fn finish(search: &Search<'_>, held: &Held, relax: bool, result: &mut SizeResult) -> Result<(), StudyError> {
    let plan = search.plan;
    let project = plan.applied(search.project, &held.design);
    let core = plan.core(&held.design);
    let (core_dry_kg, _) =
        model::budget::core_dry_kg(&core).map_err(|problem| StudyError::Project(Box::new(problem)))?;
    let mut sized = Sized {
        design: held.design,
        core,
        mass_kg: held.mass_kg,
        core_dry_kg,
        is_smallest: search.is_smallest(&held.design),
        binding: held.binding.clone(),
        close: Vec::new(),
        relaxations: Vec::new(),
        changes: plan.changes(search.project, &held.design),
    };
    // once more without the help of the search
    let told = search.judge.cold().verdicts(&project, &search.judge.all()).and_then(|verdicts| {
        sized.close = closest(search, &verdicts).into_iter().take(5).collect();
        if relax { relax::relaxations(search, held, &verdicts) } else { Ok(Vec::new()) }
    });
    match told {
        Ok(relaxations) => sized.relaxations = relaxations,
        Err(StudyError::Cancelled) if result.is_whole() => {
            "what looser limits and more room would save".clone_into(&mut result.missing);
        }
        Err(StudyError::Cancelled) => {}
        Err(other) => return Err(other),
    }
    result.sized = Some(sized);
    Ok(())
}
