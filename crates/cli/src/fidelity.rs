//! `fidelity`: what the laws of devices and machines give as a value, as measurements and by dimensions.

use crate::arguments::Fidelity;
use crate::input::Read;
use crate::page::Page;
use crate::study::StudyRun;
use aircraft::records::device::devices;
use aircraft::variant::Varied;
use anyhow::{Context as _, anyhow};
use model::levels::{Law, laws_of};
use model::result::CaseResult;
use std::sync::atomic::AtomicBool;

/// The laws at one steady case.
pub(crate) fn fidelity(asked: &Fidelity) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let (result, mut laws) = laws(&study.read, &study.varied, asked.case.as_deref())?;
    if !asked.owners.is_empty() {
        laws.retain(|law| asked.owners.iter().any(|owner| owner == law.owner()));
        if let Some(unknown) = asked.owners.iter().find(|owner| laws.iter().all(|law| law.owner() != *owner))
        {
            return Err(anyhow!(
                "nothing called {unknown:?} has a law whose fidelity can be chosen; leave --of out for all"
            ));
        }
    }
    let case = result.case.to_string();
    study.page(
        studies::standing(&[result]).into(),
        |origin| report::levels::json(origin, &case, &laws),
        || study.head() + report::levels::page(&case, &laws).trim_end_matches('\n') + "\n",
    )
}

/// A solved case and the laws of everything in it: devices in the order of loops and ducts, then machines.
pub(crate) fn laws(
    read: &Read,
    varied: &Varied,
    case: Option<&str>,
) -> anyhow::Result<(CaseResult, Vec<Law>)> {
    let cases: Vec<String> = case.map(str::to_owned).into_iter().collect();
    let project = &varied.project;
    let chosen = studies::chosen(project, &cases)?;
    let one = chosen.first().context("the project has no steady case")?;
    let results = studies::solve(std::slice::from_ref(one), &AtomicBool::new(false), |_done| ())
        .map_err(|error| read.failed(varied, error))?;
    let result = results.into_iter().next().context("the case was not solved")?;
    let situation = one;
    let paths = project.loops.iter().map(|l| &l.path).chain(project.ducts.iter().map(|d| &d.path));
    let mut names: Vec<&str> = Vec::new();
    for name in paths.flat_map(|path| devices(path)).map(|device| device.name()) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let mut all = Vec::new();
    for name in names {
        all.extend(laws_of(*situation, &result, name).map_err(|problem| anyhow!("{problem}"))?);
    }
    let machines = model::curves::machines(project, &result).map_err(|problem| anyhow!("{problem}"))?;
    all.extend(machines.iter().filter_map(Law::of_machine));
    Ok((result, all))
}
