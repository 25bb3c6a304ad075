//! `simulate`: missions over time.

use crate::arguments::Simulate;
use crate::new::existing;
use crate::output;
use crate::page::Page;
use crate::study::{StudyRun, outcome};
use aircraft::records::project::Project;
use anyhow::Context as _;
use model::mission::{FlyOptions, MissionCase};
use project::{Existing, Output, OutputKind};
use report::history::History;
use report::json::Origin;
use report::simulate::Story;
use std::fmt::Write as _;
use std::path::Path;
use studies::StudyError;
use studies::chains::{ChainCase, ChainResult};

/// Missions flown, as tables, JSON or time histories in files.
pub(crate) fn simulate(simulate: &Simulate) -> anyhow::Result<Page> {
    let study = StudyRun::open(&simulate.file, simulate.variant.as_deref(), simulate.json)?;
    let (cases, chain_cases) = chosen(study.project(), &simulate.cases)?;
    let folder = simulate.csv.as_deref().or(simulate.parquet.as_deref());
    if let Some(folder) = folder.filter(|folder| folder.exists() && !folder.is_dir()) {
        anyhow::bail!("{} is a file: name a folder", folder.display());
    }
    let days = chain_cases.iter().map(|case| case.chain.most.max(1)).sum::<usize>();
    // histories are written of missions only
    let chain_cases = if folder.is_some() { Vec::new() } else { chain_cases };
    let options = FlyOptions::default();
    let (flights, chains) = study.run(cases.len() + days, |progress| {
        let flights = studies::missions::fly(&cases, &options, &progress.cancel, |_done| progress.one())?;
        let chains = studies::chains::fly(&chain_cases, &options, &progress.cancel, || progress.one())?;
        Ok::<_, StudyError>((flights, chains))
    })?;
    let stories: Vec<Story> = cases
        .iter()
        .zip(&flights)
        .map(|(case, flight)| Story::of(study.project(), case.name(), flight))
        .collect();
    let holds = stories.iter().all(|story| story.standing().standing.holds())
        && chains.iter().all(ChainResult::holds);
    let outcome = outcome(holds);
    if study.is_json() {
        // arrays over time: a line, not a page
        let value = report::simulate::results(&study.origin(), &stories, &chains);
        let text = serde_json::to_string(&value).context("results cannot be written as JSON")? + "\n";
        return Ok(Page { text, outcome });
    }
    let text = if let Some(folder) = folder {
        let format = if simulate.csv.is_some() { Format::Csv } else { Format::Parquet };
        write(folder, existing(simulate.overwrite), format, &study.origin(), &stories)?
    } else {
        output::coloured(study.head() + &sheets(&stories, &chains) + report::CAUTIONS + "\n")
    };
    Ok(Page { text, outcome })
}

/// Missions and chains by their full names; all if none is named.
fn chosen<'a>(
    project: &'a Project,
    wanted: &[String],
) -> anyhow::Result<(Vec<MissionCase<'a>>, Vec<ChainCase<'a>>)> {
    let all = studies::chains::cases(project);
    let is_chain = |name: &String| all.iter().any(|case| case.name().to_string() == *name);
    let (chains, missions): (Vec<String>, Vec<String>) = wanted.iter().cloned().partition(is_chain);
    if wanted.is_empty() {
        return Ok((studies::missions::chosen(project, &[])?, all));
    }
    let cases = if missions.is_empty() { Vec::new() } else { studies::missions::chosen(project, &missions)? };
    let chosen = all.into_iter().filter(|case| chains.contains(&case.name().to_string()));
    Ok((cases, chosen.collect()))
}

fn sheets(stories: &[Story], chains: &[ChainResult]) -> String {
    if stories.is_empty() && chains.is_empty() {
        return "No case group contains a mission: nothing to fly\n\n".to_owned();
    }
    let stories = stories.iter().map(|story| report::simulate::page(story) + "\n");
    stories.chain(chains.iter().map(|chain| report::simulate::chain_page(chain) + "\n")).collect()
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Format {
    Csv,
    Parquet,
}

/// Writes a file for each case; the page lists them with the status of their cases.
fn write(
    folder: &Path,
    existing: Existing,
    format: Format,
    origin: &Origin<'_>,
    stories: &[Story],
) -> anyhow::Result<String> {
    let mut outputs = Vec::new();
    let mut text = String::new();
    let mut used: Vec<String> = Vec::new();
    let ending = if format == Format::Csv { "csv" } else { "parquet" };
    for story in stories {
        let case = story.case.to_string();
        let mut name = report::simulate::file_name(&case, ending);
        // names that differ only in what a file name cannot hold
        for number in 2.. {
            if !used.contains(&name) {
                break;
            }
            name = report::simulate::file_name(&format!("{case}-{number}"), ending);
        }
        let table = report::simulate::table(story).with_context(|| format!("case {case}"))?;
        let history = History { origin: *origin, case: &case, table: &table };
        let bytes = match format {
            Format::Csv => {
                let described = report::history::csv_metadata(&history, &name);
                let path = folder.join(format!("{name}-metadata.json"));
                outputs.push(Output { path, bytes: format!("{described:#}\n").into_bytes() });
                report::history::csv(&table)?
            }
            Format::Parquet => columnar(&history)?,
        };
        let path = folder.join(&name);
        outputs.push(Output { path: path.clone(), bytes });
        let standing = story.standing().standing.words();
        let _infallible = writeln!(text, "{}: {case}, {}, {standing}", path.display(), story.status.word());
        used.push(name);
    }
    project::write_outputs(Some(folder), &outputs, OutputKind::Other, existing)?;
    Ok(text)
}

#[cfg(feature = "parquet")]
fn columnar(history: &History<'_>) -> anyhow::Result<Vec<u8>> {
    Ok(report::history::parquet(history)?)
}

#[cfg(not(feature = "parquet"))]
fn columnar(_history: &History<'_>) -> anyhow::Result<Vec<u8>> {
    anyhow::bail!("this build writes no Parquet: build it with the feature `parquet`, or take --csv")
}
