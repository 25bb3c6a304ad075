//! The commands that search for a limit: outside air, and cell resistance for uncooled flight.

use crate::arguments::Margins;
use crate::page::{Outcome, Page};
use crate::study::StudyRun;
use studies::oat_limit::{OatOptions, oat_limit as search};
use studies::uncooled::{UncooledOptions, uncooled as boundaries, ways};

/// Highest outside air against pressure altitude.
pub(crate) fn oat_limit(asked: &Margins) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let options = OatOptions::default();
    let points = study.run(options.searched_m().len(), |progress| {
        search(study.project(), &options, &progress.cancel, |_done| progress.one())
    })?;
    study.page(
        Outcome::Fine,
        |origin| report::oat_limit::json(origin, &points),
        || report::oat_limit::page(study.name(), &study.varied.name, &points),
    )
}

/// Largest cell resistance for uncooled flight against outside air and age.
pub(crate) fn uncooled(asked: &Margins) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let options = UncooledOptions::default();
    let (node, project) = (&study.varied.node, study.project());
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
