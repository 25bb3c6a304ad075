//! `turnaround`: from landing to ready, and the tables for the ground team.

use crate::arguments::Turnaround;
use crate::page::{Outcome, Page};
use crate::study::StudyRun;
use studies::turnaround::{TurnaroundWish, turnarounds};
use units::{Kind, Quantity};

/// Every turnaround by each of its options.
pub(crate) fn turnaround(wanted: &Turnaround) -> anyhow::Result<Page> {
    let study = StudyRun::open(&wanted.file, wanted.variant.as_deref(), wanted.json)?;
    let outside_k = match &wanted.outside {
        Some(text) => Some(Quantity::parse(text.trim(), Kind::Temperature)?.si()),
        None => None,
    };
    let wish = TurnaroundWish {
        condition: wanted.condition.clone(),
        outside_k,
        without_tables: wanted.no_tables,
        ..TurnaroundWish::default()
    };
    let results = study.run(0, |progress| {
        turnarounds(study.project(), &wish, &progress.cancel, |done, all| progress.of(done, all))
    })?;
    study.page(
        Outcome::Fine,
        |origin| report::turnaround::json(origin, &results),
        || report::turnaround::page(study.name(), &study.varied.name, &results),
    )
}
