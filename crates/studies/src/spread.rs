//! Spread: how sure the margins are.
//!
//! Every input with a stated tolerance, and the factor of every family of published relations, is moved at once, many times over, and
//! the cases are solved again. A stated tolerance is taken as a uniform band of its half-width (or, if asked for, as a normal law of
//! which it is two standard deviations); published scatter is taken as normal, its half-width two standard deviations. Normal laws are
//! cut at three standard deviations. All inputs are taken as independent of each other.
//!
//! The samples are a scrambled Sobol sequence (Owen's scrambling by hashing, Burley 2020): they fill the space of the inputs more evenly
//! than random numbers, so that quantiles settle faster. The same seed gives the same bits on any number of threads.

mod flights;
mod law;
mod measure;

use crate::StudyError;
use crate::levers::{LeverOptions, LimitName, situated, worst_of_each_limit};
use aircraft::records::project::Project;
use law::Sampler;
use measure::Sampled;
use model::assembly::Situation;
use model::case::Linearization;
use model::case_name::CaseName;
use model::result::{CaseResult, Margin};
use rayon::prelude::*;
use schema::{Node, Problem};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

pub use flights::{Band, FlightSpread, flights};
pub use law::{Distribution, SpreadInput};
pub use measure::{Contribution, Joint, MarginSpread, Quantiles, upper_bound};

/// Most samples: the sequence has no more.
pub const MAX_SAMPLES: usize = 1 << 16;

/// What is sampled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpreadOptions {
    /// How many samples, at most [`MAX_SAMPLES`]; powers of two fill the space best.
    pub samples: usize,
    /// Chooses the scrambling.
    pub seed: u32,
    /// Every limit of these cases, by full name; if empty, the worst case of each limit.
    pub cases: Vec<String>,
    /// How stated tolerances are taken.
    pub stated: Distribution,
}

impl Default for SpreadOptions {
    fn default() -> Self {
        Self { samples: 2048, seed: 1, cases: Vec::new(), stated: Distribution::Uniform }
    }
}

/// Result of a study of spread.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// How many samples.
    pub samples: usize,
    /// Seed.
    pub seed: u32,
    /// What was moved, with its law.
    pub inputs: Vec<SpreadInput>,
    /// Margins, those that are most often short first.
    pub margins: Vec<MarginSpread>,
    /// How often any of these margins is not kept.
    pub joint: Joint,
}

/// A case that is sampled, with the limits that are looked at.
struct Sampling<'a> {
    case: Situation<'a>,
    name: CaseName,
    limits: Vec<Margin>,
    linearization: Linearization,
}

/// Spread of steady margins. `node` is the tree that `project` was decoded from, variant applied; `progress` is told how many samples
/// are done.
///
/// # Errors
/// [`StudyError::UnknownCase`]; [`StudyError::Project`] for too many samples or a tolerance that reaches values which are refused;
/// [`StudyError::Assembly`]; [`StudyError::Cancelled`] once the flag is set.
pub fn spread(
    node: &Node,
    project: &Project,
    options: &SpreadOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize) + Sync,
) -> Result<Spread, StudyError> {
    check_samples(options.samples)?;
    let all = crate::chosen(project, &options.cases)?;
    let results = crate::solve(&all, cancel, |_| ())?;
    let cases = sampled_cases(&all, &results, options)?;
    let sampler = Sampler::new(node, project, options.stated, options.seed, |input| {
        cases.iter().any(|sampled| crate::levers::covers(&sampled.case, input))
    })?;
    let done = AtomicUsize::new(0);
    let rows = (0..options.samples)
        .into_par_iter()
        .with_min_len(8)
        .map_init(
            || project.clone(),
            |moved, sample| {
                if cancel.load(Ordering::Relaxed) {
                    return Err(StudyError::Cancelled);
                }
                let values = sampler.values_si(sample);
                sampler.move_to(moved, &values);
                let row = cases.iter().flat_map(|case| margins_of(case, moved)).collect();
                progress(done.fetch_add(1, Ordering::Relaxed) + 1);
                Ok(Sampled { values, margins: row })
            },
        )
        .collect::<Result<Vec<_>, _>>()?;
    let names = cases.iter().flat_map(|case| case.limits.iter().map(|margin| (&case.name, margin)));
    let mut margins: Vec<MarginSpread> = names
        .enumerate()
        .map(|(column, (case, margin))| measure::margin(case, margin, &sampler, &rows, column))
        .collect();
    short_first(&mut margins);
    let limits: Vec<&Margin> = cases.iter().flat_map(|case| &case.limits).collect();
    let joint = Joint::of(&rows, &limits);
    Ok(Spread { samples: options.samples, seed: options.seed, inputs: sampler.inputs, margins, joint })
}

fn short_first(margins: &mut [MarginSpread]) {
    margins.sort_by(|a, b| {
        let short = b.quantiles.probability_short.total_cmp(&a.quantiles.probability_short);
        short.then(Margin::worst_first(&a.margin, &b.margin))
    });
}

fn check_samples(samples: usize) -> Result<(), StudyError> {
    if (2..=MAX_SAMPLES).contains(&samples) {
        return Ok(());
    }
    Err(StudyError::Project(Box::new(Problem::error(
        "samples",
        format!("{samples} samples cannot be taken"),
        format!("take 2 to {MAX_SAMPLES}"),
    ))))
}

/// The cases that are sampled: those that keep a steady state at the base design.
fn sampled_cases<'a>(
    all: &[Situation<'a>],
    results: &[CaseResult],
    options: &SpreadOptions,
) -> Result<Vec<Sampling<'a>>, StudyError> {
    let wanted: Vec<(CaseName, Margin)> = if options.cases.is_empty() {
        worst_of_each_limit(results, &LeverOptions { most: usize::MAX, ..LeverOptions::default() })
    } else {
        let lines = results.iter().map(|r| r.margins.iter().map(|margin| (r.case.clone(), margin.clone())));
        lines.flatten().collect()
    };
    let mut found: Vec<Sampling<'_>> = Vec::new();
    for (name, margin) in wanted {
        if let Some(known) = found.iter_mut().find(|known| known.name == name) {
            known.limits.push(margin);
            continue;
        }
        let Some(case) = all.iter().find(|case| case.name() == name) else { continue };
        let failed = |problem| StudyError::Assembly { case: name.clone(), problem: Box::new(problem) };
        let (_, linearization) = Linearization::of(case).map_err(failed)?;
        if let Some(linearization) = linearization {
            found.push(Sampling { case: *case, name, limits: vec![margin], linearization });
        }
    }
    Ok(found)
}

/// The margins of a case in a moved project; NaN where it has no state.
fn margins_of(case: &Sampling<'_>, moved: &Project) -> Vec<f64> {
    let result = situated(moved, &case.case).and_then(|situation| case.linearization.solve(&situation).ok());
    let judged = result.filter(|result| result.status.can_be_judged());
    let margin = |wanted: &Margin| {
        let found = judged.as_ref().and_then(|result| LimitName::of(wanted).find(&result.margins));
        found.map_or(f64::NAN, |margin| margin.margin)
    };
    case.limits.iter().map(margin).collect()
}

#[cfg(test)]
mod tests;
