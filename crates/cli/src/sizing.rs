//! The commands about mass and size.

use crate::arguments::{Budget, Size};
use crate::input::{self, Read};
use crate::new::existing;
use crate::page::Page;
use crate::study::{StudyRun, outcome};
use aircraft::variant;
use anyhow::anyhow;
use model::design;
use model::mission::FlyOptions;
use schema::Change;
use session::CaseNames;
use studies::optimum::{self, OptimumOptions};
use studies::size::{SearchScope, SizeOptions};

/// The mass and power book: of the missions without failure, or of the cases that are named.
pub(crate) fn budget(asked: &Budget) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let project = study.project();
    let (mut steady, mut missions) = (Vec::new(), model::cases::missions(project));
    if asked.cases.is_empty() {
        missions.retain(|case| case.failure.is_none());
    } else {
        let names = CaseNames::of(project, &asked.cases);
        if !names.steady.is_empty() {
            steady = studies::chosen(project, &names.steady)?;
        }
        missions.retain(|case| names.missions.contains(&case.name().to_string()));
    }
    let budget = study.run(steady.len() + missions.len(), |progress| {
        let watch = |_done| progress.one();
        studies::budget::budget(project, &steady, &missions, &FlyOptions::default(), &progress.cancel, watch)
    })?;
    study.page(
        outcome(budget.cases.iter().all(|case| case.status.can_be_judged())),
        |origin| report::budget::json(origin, &budget),
        || report::budget::page(project, &study.varied.name, &budget),
    )
}

/// The lightest core, pump and fan of a loop, or those of all loops.
pub(crate) fn size(asked: &Size) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    if let Some(file) = &asked.output {
        // a name that is taken must not cost the time of the search
        project::may_write(file, project::OutputKind::Project, existing(asked.overwrite))?;
    }
    let is_compared = asked.circuit.is_none() && !asked.compare.is_empty();
    let variant = asked.variant.as_deref().filter(|_| !is_compared);
    let study = StudyRun::of(read, variant, asked.json)?;
    match &asked.circuit {
        Some(circuit) => size_loop(&study, asked, circuit),
        None if is_compared => compare(&study, asked),
        None if !asked.front.is_empty() => front(&study, asked),
        None => size_all(&study, asked),
    }
}

fn optimum_options(asked: &Size) -> OptimumOptions {
    OptimumOptions {
        mission: asked.mission.clone(),
        cases: asked.cases.clone(),
        without: asked.without.clone(),
        ..OptimumOptions::default()
    }
}

fn size_all(study: &StudyRun, asked: &Size) -> anyhow::Result<Page> {
    let result = study.run(1, |progress| {
        optimum::size_all(study.project(), &optimum_options(asked), &progress.cancel, |how_far| {
            progress.of(how_far.done, how_far.of);
        })
    })?;
    let changes = result.optimum.as_ref().map_or(&[][..], |optimum| &optimum.changes);
    if let (Some(file), Some(name), true) = (&asked.output, &asked.name, !changes.is_empty()) {
        write_variant(&study.read, asked, file, name, "all loops sized", changes)?;
    }
    study.page(
        outcome(result.holds()),
        |origin| report::optimum::json(origin, &result),
        || {
            let sheet = report::optimum::page(study.name(), &study.varied.name, &result);
            sheet + &as_changes(asked, changes)
        },
    )
}

fn compare(study: &StudyRun, asked: &Size) -> anyhow::Result<Page> {
    for name in asked.compare.iter().filter(|name| *name != variant::BASE) {
        // one that contradicts the project is told as it is elsewhere, before anything is searched
        study.read.varied(Some(name))?;
    }
    let node = study.read.node()?;
    let found = study.run(asked.compare.len(), |progress| {
        let watch = |number: usize, _how_far: _| progress.of(number, asked.compare.len());
        optimum::compare(node, &asked.compare, &optimum_options(asked), &progress.cancel, watch)
    })?;
    study.page(
        outcome(found.rows.iter().all(|row| row.whole.holds())),
        |origin| report::optimum::comparison_json(origin, &found),
        || report::optimum::comparison_page(study.name(), &found),
    )
}

fn front(study: &StudyRun, asked: &Size) -> anyhow::Result<Page> {
    if let Some(odd) = asked.front.iter().find(|k| !(k.is_finite() && **k >= 0.0)) {
        return Err(anyhow!("a reserve of {odd} K is not possible: give values in kelvin, 0 or more"));
    }
    let options = optimum_options(asked);
    let points = study.run(asked.front.len(), |progress| {
        let watch = |number: usize, _how_far: _| progress.of(number, asked.front.len());
        optimum::front(study.project(), &asked.front, &options, &progress.cancel, watch)
    })?;
    study.page(
        outcome(points.iter().all(|point| point.whole.holds())),
        |origin| report::optimum::front_json(origin, &points),
        || report::optimum::front_page(study.name(), &study.varied.name, &points),
    )
}

/// The changes of a result, where they are not written into a file.
fn as_changes(asked: &Size, changes: &[Change]) -> String {
    if changes.is_empty() || asked.output.is_some() {
        return String::new();
    }
    let mut text = "\nAs changes of a variant (-o FILE --name NAME writes them):\n".to_owned();
    for node in report::size::change_nodes(changes) {
        text.push_str(project::write(&node).trim_end());
        text.push_str(",\n");
    }
    text
}

fn size_loop(study: &StudyRun, asked: &Size, circuit: &str) -> anyhow::Result<Page> {
    let reach = if asked.height_only { SearchScope::Height } else { SearchScope::Free };
    let (relax, cases, without) = (!asked.no_relaxations, asked.cases.clone(), asked.without.clone());
    let options = SizeOptions { reach, relax, cases, without, ..SizeOptions::default() };
    let result = study.run(1, |progress| {
        let watch = |done: usize, of: usize| progress.of(done, of);
        studies::size::size(study.project(), circuit, &options, &progress.cancel, watch)
    })?;
    let changes = result.sized.as_ref().map_or(&[][..], |sized| &sized.changes);
    if let (Some(file), Some(name), true) = (&asked.output, &asked.name, !changes.is_empty()) {
        write_variant(&study.read, asked, file, name, &format!("loop {circuit} sized"), changes)?;
    }
    study.page(
        outcome(result.holds()),
        |origin| report::size::json(origin, &result),
        || {
            let sheet = report::size::page(study.name(), &study.varied.name, &result);
            sheet + &as_changes(asked, changes)
        },
    )
}

/// Writes the project with one variant more: the changes of the variant that was sized, then those of the result.
fn write_variant(
    read: &Read,
    asked: &Size,
    file: &std::path::Path,
    name: &str,
    note: &str,
    changes: &[Change],
) -> anyhow::Result<()> {
    let node = read.node()?;
    let from = asked.variant.as_deref().unwrap_or(variant::BASE);
    let tree = design::with_variant(node, from, name, note, changes)?;
    read.write(file, &tree, existing(asked.overwrite))
}
