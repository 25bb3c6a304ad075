//! The command that puts variants side by side.

use crate::arguments::Variants;
use crate::page::{Outcome, Page};
use crate::study::StudyRun;
use aircraft::variant::Varied;
use studies::variants::{CompareOptions, compare};

/// The base design and the variants, all of them or those that are named.
pub(crate) fn variants(asked: &Variants) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, None, asked.json)?;
    let names: Vec<String> = if asked.names.is_empty() {
        study.project().variants.iter().map(|known| known.name.as_str().to_owned()).collect()
    } else {
        asked.names.clone()
    };
    let mut all: Vec<Varied> = vec![study.varied.clone()];
    for name in &names {
        all.push(study.read.varied(Some(name))?.0);
    }
    let options = CompareOptions {
        condition: asked.condition.clone(),
        without_turnaround: asked.no_turnaround,
        ..CompareOptions::default()
    };
    let found = study
        .run(1, |progress| compare(&all, &options, &progress.cancel, |done, of| progress.of(done, of)))?;
    study.page(
        Outcome::Fine,
        |origin| report::variants::json(origin, &found),
        || report::variants::page(study.name(), &found),
    )
}
