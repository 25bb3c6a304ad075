//! `solve`: steady cases in full.

use crate::arguments::Solve;
use crate::page::{Outcome, Page};
use crate::study::StudyRun;
use model::result::CaseResult;

/// The steady cases that are wanted, all if none is named.
pub(crate) fn solved(study: &StudyRun, wanted: &[String]) -> anyhow::Result<Vec<CaseResult>> {
    let cases = studies::chosen(study.project(), wanted)?;
    study.run(cases.len(), |progress| studies::solve(&cases, &progress.cancel, |_done| progress.one()))
}

/// Cases in full.
pub(crate) fn solve(asked: &Solve) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let results = solved(&study, &asked.cases)?;
    let outcome = Outcome::from(studies::standing(&results));
    if !asked.explain {
        let pages = || {
            let pages = results.iter().map(|result| report::solve::page(result) + "\n");
            study.head() + pages.collect::<String>().trim_end_matches('\n') + "\n"
        };
        return study.page(outcome, |origin| report::json::results(origin, &results), pages);
    }
    let explained: Vec<_> = results
        .into_iter()
        .map(|result| {
            let explanations = report::explain::explanations(study.project(), &result);
            (result, explanations)
        })
        .collect();
    let pages = || {
        let pages = explained.iter().map(|(result, explanations)| {
            report::solve::page(result) + &report::explain::text(explanations) + "\n"
        });
        study.head() + pages.collect::<String>().trim_end_matches('\n') + "\n"
    };
    study.page(outcome, |origin| report::json::explained(origin, &explained), pages)
}
