//! The command that runs inputs over a grid.

use crate::arguments::Sweep;
use crate::commands::{json_text, origin};
use crate::new::existing;
use crate::{Outcome, Page, input, output};
use project::Sort;
use std::path::Path;
use std::sync::atomic::AtomicBool;
use studies::sweep::{Axis, Shard, Watch, points, sweep as run, watches};

/// Rows of a sweep, or of one shard of it.
pub(crate) fn sweep(asked: &Sweep) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    let (varied, hash) = read.varied(asked.variant.as_deref())?;
    for warning in read.warnings(&varied) {
        output::tell(&warning);
    }
    if let Some(file) = asked.csv.as_ref().or(asked.parquet.as_ref()) {
        project::may_write(file, Sort::Other, existing(asked.overwrite))?;
    }
    let axes: Vec<Axis> =
        asked.axes.iter().map(|text| Axis::parse(&varied.node, text)).collect::<Result<_, _>>()?;
    let shard = asked.shard.as_deref().map_or(Ok(Shard::WHOLE), Shard::parse)?;
    let own = shard.range(points(&axes)?).len();
    let cancel = AtomicBool::new(false);
    let all = watches(&varied.project, &cancel).map_err(|error| read.failed(&varied, error))?;
    let watched: Vec<Watch> =
        asked.results.iter().map(|name| Watch::parse(&all, name)).collect::<Result<_, _>>()?;
    let bar = output::progress(own);
    let found = run(&varied.node, &axes, &watched, &asked.cases, shard, &cancel, |_done| bar.inc(1));
    bar.finish_and_clear();
    let found = found?;
    let origin = origin(&varied, &hash);
    let text = if asked.json {
        json_text(&report::sweep::json(&origin, &found)?)?
    } else if let Some(file) = &asked.csv {
        save(asked, file, &report::sweep::csv(&found)?, own)?
    } else if let Some(file) = &asked.parquet {
        save(asked, file, &columnar(&origin, &found)?, own)?
    } else {
        let sheet = report::sweep::page(varied.project.name.as_str(), &varied.name, &found);
        format!("{sheet}\n{}\n", report::CAUTIONS)
    };
    Ok(Page { text, outcome: Outcome::Fine })
}

fn save(asked: &Sweep, file: &Path, bytes: &[u8], rows: usize) -> anyhow::Result<String> {
    project::write_output(file, bytes, Sort::Other, existing(asked.overwrite))?;
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
