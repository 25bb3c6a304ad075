//! `margins`: every limit over all steady cases and missions.

use crate::arguments::AllMargins;
use crate::page::Page;
use crate::solve::solved;
use crate::study::StudyRun;
use model::mission::FlyOptions;
use report::margins::Extent;
use studies::missions::{chosen, flown};

/// Every limit at its worst case, or in every case.
pub(crate) fn margins(asked: &AllMargins) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let results = solved(&study, &[])?;
    let missions = chosen(study.project(), &[])?;
    let flown = study.run(missions.len(), |progress| {
        flown(&missions, &FlyOptions::default(), &progress.cancel, |_done| progress.one())
    })?;
    let lines = studies::all_margins(&results, &flown);
    let filling = studies::filling(&results, &flown);
    let of_flights = flown.iter().map(|flown| flown.standing().standing);
    let standing = of_flights.chain([studies::standing(&results)]).min().unwrap_or_default();
    let extent = if asked.all { Extent::All } else { Extent::Worst };
    study.page(
        standing.into(),
        |origin| report::json::margins(origin, &results, &flown, &lines, &filling),
        || {
            report::margins::page(
                study.name(),
                &study.varied.name,
                &results,
                &flown,
                &lines,
                &filling,
                extent,
            )
        },
    )
}
