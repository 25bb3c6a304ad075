//! The commands that search for a limit: outside air, and cell resistance for uncooled flight.

use crate::arguments::{OatLimit, Uncooled};
use crate::page::{Outcome, Page};
use crate::study::StudyRun;
use studies::oat_limit::{CaseSet, OatOptions, oat_limit as search};
use studies::uncooled::{UncooledOptions, uncooled as boundaries, ways};

/// Highest outside air against pressure altitude.
pub(crate) fn oat_limit(asked: &OatLimit) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let sets = match (asked.normal, asked.failed) {
        (true, _) => vec![CaseSet::Normal],
        (_, true) => vec![CaseSet::Failed],
        _ => vec![CaseSet::Normal, CaseSet::Failed],
    };
    let (cases, without) = (asked.cases.clone(), asked.without.clone());
    let options = OatOptions { sets, cases, without, ..OatOptions::default() };
    let found = study.run(1, |progress| {
        search(study.project(), &options, &progress.cancel, |done, of| progress.of(done, of))
    })?;
    study.page(
        Outcome::Fine,
        |origin| report::oat_limit::json(origin, &found),
        || report::oat_limit::page(study.name(), &study.varied.name, &found),
    )
}

/// Largest cell resistance for uncooled flight against outside air and age.
pub(crate) fn uncooled(asked: &Uncooled) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let (node, project) = (&study.varied.node, study.project());
    let cases = studies::wanted_names(project, &asked.cases, &asked.without)?;
    let options = UncooledOptions { cases, ..UncooledOptions::default() };
    let ways = ways(node, project).map_err(|error| study.read.failed(&study.varied, error))?;
    let pieces = ways.len() * options.oat_k.len() * options.life_used.len();
    let result = study.run(pieces, |progress| {
        boundaries(node, project, &ways, &options, &progress.cancel, |_done| progress.one())
    })?;
    study.page(
        Outcome::Fine,
        |origin| report::uncooled::json(origin, &result),
        || report::uncooled::page(study.name(), &study.varied.name, &result),
    )
}
