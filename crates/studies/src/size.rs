//! Sizing of one loop: the lightest core with pump and fan that holds every required margin in every chosen case.
//!
//! A core of free dimensions is searched inside its room, a listed one is taken as it is; every pump and fan that may be chosen is
//! tried with it. Cases that decide are found on the way: a design is searched with those that were closest so far, then judged by
//! all, and what is short joins them until nothing is. Limits that no size of this loop moves are not its business: those that are
//! short are told, and the loop is sized for the rest.

mod combination;
pub(crate) mod judge;
pub(crate) mod plan;
mod relax;
mod search;

#[cfg(test)]
mod tests;

use crate::StudyError;
use aircraft::records::core::Core;
use aircraft::records::project::Project;
use combination::{FIRST_CASES, closest, combination};
use judge::{CaseVerdict, Judge, Terms};
use model::mission::FlyOptions;
use schema::Change;
use search::{Held, Search};
use std::sync::atomic::AtomicBool;

pub use crate::limit_name::LimitName;
pub use judge::Binding;
pub(crate) use plan::face;
pub use plan::{CoreChoice, Design, Plan, Range, Room};
pub use relax::Relaxation;
pub use search::SearchScope;

/// A limit is moved by the size if its reserve differs by more than this between small and large, K (or the unit of the limit).
const MOVED: f64 = 0.02;

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
}

impl Default for SizeOptions {
    fn default() -> Self {
        Self { reach: SearchScope::Free, relax: true, fly: FlyOptions::default(), cases: Vec::new() }
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
    /// Limits that are short whatever the size of this loop: they were set aside.
    pub beyond: Vec<Binding>,
    /// Without a design: what is short with the largest core, shortest first.
    pub short: Vec<Binding>,
    /// Combinations, lightest first, then those that do not hold.
    pub tried: Vec<Tried>,
}

impl SizeResult {
    /// Whether a design holds every margin of every case.
    pub fn holds(&self) -> bool {
        self.sized.is_some() && self.beyond.is_empty()
    }
}

/// Sizes a loop; `progress` is told how many combinations are done, and how many there are.
///
/// # Errors
/// [`StudyError::Project`] if nothing of the loop can be chosen or no case is named, [`StudyError::Assembly`] for a case that
/// cannot be put together, [`StudyError::Cancelled`].
pub fn size(
    project: &Project,
    circuit: &str,
    options: &SizeOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize, usize) + Sync,
) -> Result<SizeResult, StudyError> {
    let plan = Plan::of(project, circuit)?;
    crate::solving::validate_names(project, &options.cases)?;
    let project = &lean(project);
    let wanted = if options.cases.is_empty() { &plan.sizing.cases } else { &options.cases };
    let judge = Judge::new(project, wanted, options.fly, cancel);
    let mut search = Search {
        project,
        plan: &plan,
        judge: &judge,
        active: judge.all(),
        terms: Terms::default(),
        reach: options.reach,
    };
    let probes = probe(&mut search)?;
    let (best, tried) = choose(&mut search, &progress)?;
    let mut result = SizeResult {
        circuit: circuit.to_owned(),
        present: plan.present.clone(),
        present_kg: present_kg(&plan, project)?,
        room: plan.room.clone(),
        cases: judge.len(),
        sized: None,
        beyond: probes.beyond,
        short: Vec::new(),
        tried,
    };
    match best {
        Some(held) => result.sized = Some(finish(&search, held, options.relax)?),
        None => result.short = probes.short,
    }
    Ok(result)
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

/// What the designs tried before the search say.
struct Probes {
    beyond: Vec<Binding>,
    /// What is short with the largest core.
    short: Vec<Binding>,
}

/// Judges the smallest, the middle and the largest core by every case: sets aside what no size moves, and picks the cases that
/// decide at first.
fn probe(search: &mut Search<'_>) -> Result<Probes, StudyError> {
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
                let terms = Terms::default();
                let mut binding = judge.binding(
                    &CaseVerdict { margins: vec![(margin.clone(), *time_s)], ..verdict.clone() },
                    &terms,
                );
                binding.time_s = *time_s;
                beyond.push(binding);
            }
        }
    }
    // a flight costs as much as fifty steady cases: missions join once one is short
    let steady = judge.steady();
    let is_first = |binding: &Binding| steady.is_empty() || steady.contains(&binding.number);
    let mut active: Vec<usize> = Vec::new();
    for verdicts in &all {
        for binding in closest(search, verdicts).into_iter().filter(is_first).take(FIRST_CASES) {
            if !active.contains(&binding.number) {
                active.push(binding.number);
            }
        }
    }
    active.sort_unstable();
    search.active = active;
    let largest = all.last().map_or(&[][..], Vec::as_slice);
    let short = closest(search, largest).into_iter().filter(|binding| binding.reserve < 0.0).collect();
    Ok(Probes { beyond, short })
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
    let largest = match (&plan.room, search.reach) {
        (Some(room), SearchScope::Free) => {
            search::Line { layers: plan.layers().1, depth_m: room.depth.max_m, ..present }
        }
        _ => present,
    };
    [(present, 0.0), (present, 0.5), (largest, 1.0)].map(|(line, share)| search.design(line, share)).to_vec()
}

/// Every combination, and the lightest of them that holds in all cases.
fn choose(
    search: &mut Search<'_>,
    progress: &(impl Fn(usize, usize) + Sync),
) -> Result<(Option<Held>, Vec<Tried>), StudyError> {
    let plan = search.plan;
    let cores = match (plan.sizing.cores.len(), &plan.room) {
        (0, Some(room)) if search.reach == SearchScope::Free => room.fins_m.len(),
        (0, _) => 1,
        (listed, _) => listed,
    };
    let mut combinations = Vec::new();
    for core in 0..cores {
        for pump in plan.pumps() {
            combinations.extend(plan.fans().into_iter().map(|fan| (core, pump, fan)));
        }
    }
    let mut all: Vec<(Option<Held>, Tried)> = Vec::new();
    for (number, &(core, pump, fan)) in combinations.iter().enumerate() {
        let held = combination(search, core, (pump, fan), None)?;
        let tried = tried(search, core, (pump, fan), held.as_ref())?;
        all.push((held, tried));
        progress(number + 1, combinations.len());
    }
    let mass = |tried: &Tried| tried.mass_kg.unwrap_or(f64::INFINITY);
    all.sort_by(|(_, a), (_, b)| {
        mass(a).total_cmp(&mass(b)).then(b.binding.reserve.total_cmp(&a.binding.reserve))
    });
    let best = all.first().and_then(|(held, _)| held.clone());
    Ok((best, all.into_iter().map(|(_, tried)| tried).collect()))
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
        let present = search.present(core, pump, fan);
        let line = match (&plan.room, search.reach) {
            (Some(room), SearchScope::Free) => {
                search::Line { layers: plan.layers().1, depth_m: room.depth.max_m, ..present }
            }
            _ => present,
        };
        search.design(line, 1.0)
    } else {
        Design { core: CoreChoice::Listed(core), pump, fan }
    };
    search.judge_design(design).map(|held| held.binding)
}

/// Everything about the lightest design.
fn finish(search: &Search<'_>, held: Held, relax: bool) -> Result<Sized, StudyError> {
    let plan = search.plan;
    let project = plan.applied(search.project, &held.design);
    // once more without the help of the search
    let verdicts = search.judge.cold().verdicts(&project, &search.judge.all())?;
    let close: Vec<Binding> = closest(search, &verdicts).into_iter().take(5).collect();
    let core = plan.core(&held.design);
    let (core_dry_kg, _) =
        model::budget::core_dry_kg(&core).map_err(|problem| StudyError::Project(Box::new(problem)))?;
    let relaxations = if relax { relax::relaxations(search, &held, &verdicts)? } else { Vec::new() };
    Ok(Sized {
        design: held.design,
        core,
        mass_kg: held.mass_kg,
        core_dry_kg,
        is_smallest: search.is_smallest(&held.design),
        binding: held.binding,
        close,
        relaxations,
        changes: plan.changes(search.project, &held.design),
    })
}
