//! The commands that run inputs over a grid, and put the parts of such a run together.

use crate::arguments::{Join, Sweep};
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
    let cases = studies::wanted_names(study.project(), &asked.cases, &asked.without)?;
    let found = study.run(own, |progress| {
        run(&varied.node, &axes, &watched, &cases, shard, &progress.cancel, |_done| progress.one())
    })?;
    let which = which(&study.origin(), asked);
    let text = if let (Some(file), false) = (&asked.csv, asked.json) {
        save(asked, file, &report::sweep::csv(&found, &which)?, own)?
    } else if let (Some(file), false) = (&asked.parquet, asked.json) {
        save(asked, file, &columnar(&study.origin(), &found, &which)?, own)?
    } else {
        let json =
            if asked.json { report::sweep::json(&study.origin(), &found, &which)? } else { Value::Null };
        let sheet = || report::sweep::page(study.name(), &varied.name, &found);
        return study.page(Outcome::Fine, |_origin| json, sheet);
    };
    Ok(Page { text, outcome: Outcome::Fine })
}

fn save(asked: &Sweep, file: &Path, bytes: &[u8], rows: usize) -> anyhow::Result<String> {
    project::write_output(file, bytes, OutputKind::Other, existing(asked.overwrite))?;
    Ok(format!("{}: {rows} rows\n", file.display()))
}

/// Which sweep it is: a hash of the project, the variant, the version of the program and what is asked for. Parts of one sweep have it
/// in common.
fn which(origin: &report::json::Origin<'_>, asked: &Sweep) -> String {
    let asked_for = [("set", &asked.axes), ("show", &asked.results), ("case", &asked.cases)];
    let asked_for = asked_for
        .iter()
        .flat_map(|(sort, texts)| std::iter::once(*sort).chain(texts.iter().map(|text| text.trim())));
    let texts = [origin.input_hash, origin.variant, origin.program].into_iter().chain(asked_for);
    project::InputHash::of_texts(texts).to_string()
}

/// Parts of a sweep as one table.
pub(crate) fn join(asked: &Join) -> anyhow::Result<Page> {
    project::may_write(&asked.output, OutputKind::Other, existing(asked.overwrite))?;
    let read = |part: &std::path::PathBuf| -> anyhow::Result<(String, Vec<u8>)> {
        let name = part.display().to_string();
        let bytes = std::fs::read(part).map_err(|error| anyhow::anyhow!("{name} cannot be read: {error}"))?;
        Ok((name, bytes))
    };
    let parts: Vec<(String, Vec<u8>)> = asked.parts.iter().map(read).collect::<Result<_, _>>()?;
    let bytes = report::sweep::join(&parts)?;
    project::write_output(&asked.output, &bytes, OutputKind::Other, existing(asked.overwrite))?;
    let text = format!("{}: {} parts put together, none missing\n", asked.output.display(), parts.len());
    Ok(Page { text, outcome: Outcome::Fine })
}

#[cfg(feature = "parquet")]
fn columnar(
    origin: &report::json::Origin<'_>,
    found: &studies::sweep::Sweep,
    which: &str,
) -> anyhow::Result<Vec<u8>> {
    Ok(report::sweep::parquet(origin, found, which)?)
}

#[cfg(not(feature = "parquet"))]
fn columnar(
    _origin: &report::json::Origin<'_>,
    _found: &studies::sweep::Sweep,
    _which: &str,
) -> anyhow::Result<Vec<u8>> {
    anyhow::bail!("this build writes no Parquet: build it with the feature `parquet`, or take --csv")
}
