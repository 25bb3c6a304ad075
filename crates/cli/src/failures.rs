//! `failures`: every single failure over time.

use crate::arguments::Failures;
use crate::page::Page;
use crate::study::{StudyRun, outcome};
use model::mission::FlyOptions;
use studies::failures::{hottest_cases, run, single_failures};

/// What each failure leads to, and what the pilot does.
pub(crate) fn failures(asked: &Failures) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let cases = hottest_cases(study.project(), asked.mission.as_deref())
        .map_err(|error| study.read.failed(&study.varied, error))?;
    let single = single_failures(study.project());
    let found = study.run(cases.len() * single.len(), |progress| {
        run(&cases, &single, &FlyOptions::default(), &progress.cancel, |_done| progress.one())
    })?;
    study.page(
        outcome(found.standing().holds()),
        |origin| report::failures::json(origin, &found),
        || report::failures::page(study.name(), &study.varied.name, &found),
    )
}
