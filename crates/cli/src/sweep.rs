//! The command that runs inputs over a grid.

use crate::arguments::Sweep;
use crate::new::existing;
use crate::page::{Outcome, Page};
use crate::study::StudyRun;
use project::OutputKind;
use serde_json::Value;
use std::path::Path;
use studies::sweep::{Axis, Shard, Watch, points, sweep as run, watches};

/// Rows of a sweep, or of one shard of it.
pub(crate) fn sweep(asked: &Sweep) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let varied = &study.varied;
    if let Some(file) = asked.csv.as_ref().or(asked.parquet.as_ref()) {
        project::may_write(file, OutputKind::Other, existing(asked.overwrite))?;
    }
    let axes: Vec<Axis> =
        asked.axes.iter().map(|text| Axis::parse(&varied.node, text)).collect::<Result<_, _>>()?;
    let shard = asked.shard.as_deref().map_or(Ok(Shard::WHOLE), Shard::parse)?;
    let own = shard.range(points(&axes)?).len();
    let all = study.run(0, |progress| watches(study.project(), &progress.cancel))?;
    let watched: Vec<Watch> =
        asked.results.iter().map(|name| Watch::parse(&all, name)).collect::<Result<_, _>>()?;
    let found = study.run(own, |progress| {
        run(&varied.node, &axes, &watched, &asked.cases, shard, &progress.cancel, |_done| progress.one())
    })?;
    let text = if let (Some(file), false) = (&asked.csv, asked.json) {
        save(asked, file, &report::sweep::csv(&found)?, own)?
    } else if let (Some(file), false) = (&asked.parquet, asked.json) {
        save(asked, file, &columnar(&study.origin(), &found)?, own)?
    } else {
        let json = if asked.json { report::sweep::json(&study.origin(), &found)? } else { Value::Null };
        let sheet = || report::sweep::page(study.name(), &varied.name, &found);
        return study.page(Outcome::Fine, |_origin| json, sheet);
    };
    Ok(Page { text, outcome: Outcome::Fine })
}

fn save(asked: &Sweep, file: &Path, bytes: &[u8], rows: usize) -> anyhow::Result<String> {
    project::write_output(file, bytes, OutputKind::Other, existing(asked.overwrite))?;
    Ok(format!("{}: {rows} rows\n", file.display()))
}

#[cfg(feature = "parquet")]
fn columnar(origin: &report::json::Origin<'_>, found: &studies::sweep::Sweep) -> anyhow::Result<Vec<u8>> {
    Ok(report::sweep::parquet(origin, found)?)
}

#[cfg(not(feature = "parquet"))]
fn columnar(_origin: &report::json::Origin<'_>, _found: &studies::sweep::Sweep) -> anyhow::Result<Vec<u8>> {
    anyhow::bail!("this build writes no Parquet: build it with the feature `parquet`, or take --csv")
}
