//! `margins`: every limit in every steady case and mission.

use crate::arguments::Margins;
use crate::page::Page;
use crate::solve::solved;
use crate::study::{StudyRun, outcome};
use model::mission::FlyOptions;
use studies::missions::{Flown, chosen, flown};

/// Every limit in every case.
pub(crate) fn margins(asked: &Margins) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let results = solved(&study, &[])?;
    let missions = chosen(study.project(), &[])?;
    let flown = study.run(missions.len(), |progress| {
        flown(&missions, &FlyOptions::default(), &progress.cancel, |_done| progress.one())
    })?;
    let lines = studies::all_margins(&results, &flown);
    study.page(
        outcome(studies::holds(&results) && flown.iter().all(Flown::holds)),
        |origin| report::json::margins(origin, &results, &flown, &lines),
        || report::margins::page(study.name(), &study.varied.name, &results, &flown, &lines),
    )
}
