//! `edit`: inputs, tables and the fidelity of laws of a project are changed as in the window, and written to another file.

use crate::arguments::Edit;
use crate::fidelity::laws;
use crate::input;
use crate::new::existing;
use crate::page::{Outcome, Page};
use aircraft::revise::revise;
use aircraft::tables;
use aircraft::variant;
use anyhow::{Context as _, anyhow};
use model::design;
use schema::{Node, Path, list_tables, set_input_text};
use std::fmt::Write as _;

/// Changes the project step by step in the order: fidelity, tables, inputs.
pub(crate) fn edit(asked: &Edit) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    let mut node = read.varied(None)?.0.node;
    let mut done = Vec::new();
    for wish in &asked.fidelity {
        done.push(level(&read, &mut node, wish, asked.case.as_deref())?);
    }
    for wish in &asked.tables {
        done.push(table(&mut node, wish)?);
    }
    for wish in &asked.inputs {
        let (path, text) = parts(wish, "--set")?;
        let path = Path::parse(path)?;
        if let Some(name) = &asked.variant {
            let varied = design::apply(&node, Some(name)).map_err(|problems| anyhow!("{problems}"))?;
            node = variant::set_own(&node, &varied, &path, text)?;
            done.push(format!("{path} = {text} in {name}"));
        } else {
            set_input_text(&mut node, variant::project_shape(), &path, text)?;
            done.push(format!("{path} = {text}"));
        }
    }
    if done.is_empty() {
        return Err(anyhow!("nothing to change; give --set, --table or --fidelity"));
    }
    checked(&node)?;
    read.write(&asked.output, &node, existing(asked.overwrite))?;
    let mut text = format!("{} is written.\n", asked.output.display());
    for line in done {
        writeln!(text, "  {line}")?;
    }
    Ok(Page { text, outcome: Outcome::Fine })
}

/// A path and what follows the first equals sign.
fn parts<'a>(wish: &'a str, option: &str) -> anyhow::Result<(&'a str, &'a str)> {
    let (path, value) =
        wish.split_once('=').with_context(|| format!("{option} {wish:?} has no =; write PATH=VALUE"))?;
    Ok((path.trim(), value.trim()))
}

fn level(read: &input::Read, node: &mut Node, wish: &str, case: Option<&str>) -> anyhow::Result<String> {
    let (path, name) = parts(wish, "--fidelity")?;
    let varied = checked(node)?;
    let (_, all) = laws(read, &varied, case)?;
    let law = all.iter().find(|law| law.path == path).with_context(|| {
        format!(
            "{path:?} is not a law whose fidelity can be chosen; `heatledger fidelity` lists the path of each"
        )
    })?;
    let known = || law.levels.iter().map(|level| level.name).collect::<Vec<_>>().join(", ");
    let level = law
        .levels
        .iter()
        .find(|level| level.name == name)
        .with_context(|| format!("{path} has no fidelity {name:?}; write one of {}", known()))?;
    let revision = law.switch(level).with_context(|| {
        if level.is_used { format!("{path} is given as {name} already") } else { too_little(path, name) }
    })?;
    *node = revise(node, &revision)?;
    Ok(format!("{path} is given as {name}: {}", law.result(level)))
}

/// Takes a table over from a file; every mistake is told with its row and column.
fn table(node: &mut Node, wish: &str) -> anyhow::Result<String> {
    let (path, file) = parts(wish, "--table")?;
    let known = || {
        let all = list_tables(node, variant::project_shape());
        all.iter().map(|entry| entry.path.to_string()).collect::<Vec<_>>().join("\n  ")
    };
    let mut table = tables::read(node, path)
        .with_context(|| format!("{path:?} is not a measured table of the project; it has\n  {}", known()))?;
    let bytes = std::fs::read(file).with_context(|| format!("cannot read the table {file}"))?;
    let cells = project::delimited::cells(&bytes).with_context(|| format!("cannot read the table {file}"))?;
    table.replace_all(&cells).with_context(|| format!("{file} does not fit {path}"))?;
    let revision = design::put_table(node, &table).map_err(|problems| {
        let told = problems.iter().map(|problem| match problem.cell {
            Some((row, at)) => format!("  {}: {}", table.place_of(row, at), problem.text()),
            None => format!("  {}", problem.text()),
        });
        anyhow!("{file} cannot be used for {path}:\n{}", told.collect::<Vec<_>>().join("\n"))
    })?;
    *node = revise(node, &revision)?;
    Ok(revision.title())
}

fn too_little(path: &str, name: &str) -> String {
    format!(
        "not enough is known in this case to give {path} as {name}; choose another with --case, or write it into the file"
    )
}

/// The project of a tree, all of whose variants hold.
fn checked(node: &Node) -> anyhow::Result<variant::Varied> {
    let held = |name: Option<&str>| {
        design::apply(node, name).map_err(|problems| anyhow!("the changed project is not valid:\n{problems}"))
    };
    let base = held(None)?;
    for variant in &base.project.variants {
        held(Some(variant.name.as_str()))?;
    }
    Ok(base)
}
