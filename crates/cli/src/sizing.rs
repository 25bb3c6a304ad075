//! The commands about mass and size.

use crate::arguments::{Budget, Size};
use crate::commands::{json_text, origin};
use crate::input::{self, Read};
use crate::new::existing;
use crate::{Outcome, Page, output};
use aircraft::variant;
use anyhow::anyhow;
use model::design;
use model::mission::FlyOptions;
use model::result::Status;
use schema::Change;
use session::CaseNames;
use std::sync::atomic::AtomicBool;
use studies::size::{Reach, SizeOptions};
use studies::whole::{self, WholeOptions};

/// The mass and power book: of the missions without failure, or of the cases that are named.
pub(crate) fn budget(asked: &Budget) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    let (varied, hash) = read.varied(asked.variant.as_deref())?;
    let project = &varied.project;
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
    let bar = output::progress(steady.len() + missions.len());
    let (options, cancel) = (FlyOptions::default(), AtomicBool::new(false));
    let found = studies::burden::burden(project, &steady, &missions, &options, &cancel, |_done| bar.inc(1));
    bar.finish_and_clear();
    let burden = found.map_err(|error| read.failed(&varied, error))?;
    let solved = |status: Status| status.can_be_judged();
    let outcome =
        if burden.cases.iter().all(|case| solved(case.status)) { Outcome::Fine } else { Outcome::Short };
    let text = if asked.json {
        json_text(&report::burden::json(&origin(&varied, &hash), &burden))?
    } else {
        let sheet = report::burden::page(project, &varied.name, &burden);
        format!("{sheet}\n{}\n", report::CAUTIONS)
    };
    Ok(Page { text, outcome })
}

/// The lightest core, pump and fan of a loop, or those of all loops.
pub(crate) fn size(asked: &Size) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    if let Some(file) = &asked.output {
        // a name that is taken must not cost the time of the search
        project::may_write(file, project::Sort::Project, existing(asked.overwrite))?;
    }
    match &asked.circuit {
        Some(circuit) => size_loop(&read, asked, circuit),
        None if !asked.compare.is_empty() => compare(&read, asked),
        None if !asked.front.is_empty() => front(&read, asked),
        None => size_all(&read, asked),
    }
}

fn whole_options(asked: &Size) -> WholeOptions {
    WholeOptions { mission: asked.mission.clone(), ..WholeOptions::default() }
}

fn size_all(read: &Read, asked: &Size) -> anyhow::Result<Page> {
    let (varied, hash) = read.varied(asked.variant.as_deref())?;
    for warning in read.warnings(&varied) {
        output::tell(&warning);
    }
    let bar = output::progress(1);
    let found = whole::size_all(&varied.project, &whole_options(asked), &AtomicBool::new(false), |how_far| {
        bar.set_length(how_far.of as u64);
        bar.set_position(how_far.done as u64);
    });
    bar.finish_and_clear();
    let result = found.map_err(|error| read.failed(&varied, error))?;
    let changes = result.optimum.as_ref().map_or(&[][..], |optimum| &optimum.changes);
    if let (Some(file), Some(name), true) = (&asked.output, &asked.name, !changes.is_empty()) {
        write_variant(read, asked, file, name, "all loops sized", changes)?;
    }
    let text = if asked.json {
        json_text(&report::whole::json(&origin(&varied, &hash), &result))?
    } else {
        let mut sheet = report::whole::page(varied.project.name.as_str(), &varied.name, &result);
        push_changes(asked, changes, &mut sheet);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome: if result.holds() { Outcome::Fine } else { Outcome::Short } })
}

fn compare(read: &Read, asked: &Size) -> anyhow::Result<Page> {
    let (varied, hash) = read.varied(None)?;
    for name in asked.compare.iter().filter(|name| *name != variant::BASE) {
        // one that contradicts the project is told as it is elsewhere, before anything is searched
        read.varied(Some(name))?;
    }
    let node = read.node()?;
    let bar = output::progress(asked.compare.len());
    let cancel = AtomicBool::new(false);
    let found = whole::compare(node, &asked.compare, &whole_options(asked), &cancel, |number, _how_far| {
        bar.set_position(number as u64);
    });
    bar.finish_and_clear();
    let found = found.map_err(|error| read.failed(&varied, error))?;
    let holds = found.rows.iter().all(|row| row.whole.holds());
    let text = if asked.json {
        json_text(&report::whole::comparison_json(&origin(&varied, &hash), &found))?
    } else {
        let sheet = report::whole::comparison_page(varied.project.name.as_str(), &found);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome: if holds { Outcome::Fine } else { Outcome::Short } })
}

fn front(read: &Read, asked: &Size) -> anyhow::Result<Page> {
    let (varied, hash) = read.varied(asked.variant.as_deref())?;
    if let Some(odd) = asked.front.iter().find(|k| !(k.is_finite() && **k >= 0.0)) {
        return Err(anyhow!("a reserve of {odd} K cannot be asked for: give kelvins from 0 on"));
    }
    let (bar, cancel) = (output::progress(asked.front.len()), AtomicBool::new(false));
    let options = whole_options(asked);
    let found = whole::front(&varied.project, &asked.front, &options, &cancel, |number, _how_far| {
        bar.set_position(number as u64);
    });
    bar.finish_and_clear();
    let points = found.map_err(|error| read.failed(&varied, error))?;
    let holds = points.iter().all(|point| point.whole.holds());
    let text = if asked.json {
        json_text(&report::whole::front_json(&origin(&varied, &hash), &points))?
    } else {
        let sheet = report::whole::front_page(varied.project.name.as_str(), &varied.name, &points);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome: if holds { Outcome::Fine } else { Outcome::Short } })
}

/// The changes of a result, where they are not written into a file.
fn push_changes(asked: &Size, changes: &[Change], sheet: &mut String) {
    if !changes.is_empty() && asked.output.is_none() {
        sheet.push_str("\nAs changes of a variant (-o FILE --name NAME writes them):\n");
        for node in report::size::change_nodes(changes) {
            sheet.push_str(project::write(&node).trim_end());
            sheet.push_str(",\n");
        }
    }
}

fn size_loop(read: &Read, asked: &Size, circuit: &str) -> anyhow::Result<Page> {
    let (varied, hash) = read.varied(asked.variant.as_deref())?;
    for warning in read.warnings(&varied) {
        output::tell(&warning);
    }
    let reach = if asked.height_only { Reach::Height } else { Reach::Free };
    let (relax, cases) = (!asked.no_relaxations, asked.cases.clone());
    let options = SizeOptions { reach, relax, cases, ..SizeOptions::default() };
    let bar = output::progress(1);
    let found =
        studies::size::size(&varied.project, circuit, &options, &AtomicBool::new(false), |done, of| {
            bar.set_length(of as u64);
            bar.set_position(done as u64);
        });
    bar.finish_and_clear();
    let result = found.map_err(|error| read.failed(&varied, error))?;
    let changes = result.sized.as_ref().map_or(&[][..], |sized| &sized.changes);
    if let (Some(file), Some(name), true) = (&asked.output, &asked.name, !changes.is_empty()) {
        write_variant(read, asked, file, name, &format!("loop {circuit} sized"), changes)?;
    }
    let text = if asked.json {
        json_text(&report::size::json(&origin(&varied, &hash), &result))?
    } else {
        let mut sheet = report::size::page(varied.project.name.as_str(), &varied.name, &result);
        push_changes(asked, changes, &mut sheet);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome: if result.holds() { Outcome::Fine } else { Outcome::Short } })
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
