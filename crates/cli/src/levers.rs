//! The commands that tell what moves the margins, and how sure they are.

use crate::arguments::{Levers, Spread};
use crate::commands::{json_text, origin};
use crate::{Outcome, Page, input, output};
use model::cases;
use model::mission::FlyOptions;
use session::CaseNames;
use std::sync::atomic::AtomicBool;
use studies::levers::{LeverOptions, levers as find, mission_levers};
use studies::spread::{Shape, SpreadOptions, flights, spread as sample};

/// What moves the worst margins.
pub(crate) fn levers(asked: &Levers) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    let (varied, hash) = read.varied(asked.variant.as_deref())?;
    let CaseNames { steady, missions: flown } = CaseNames::of(&varied.project, &asked.cases);
    let options = LeverOptions { cases: steady.clone(), most: asked.margins, limit: None };
    let bar = output::progress(0);
    let found = if steady.is_empty() && !flown.is_empty() {
        Ok(Vec::new())
    } else {
        find(&varied.node, &varied.project, &options, &AtomicBool::new(false), |done, all| {
            bar.set_length(all as u64);
            bar.set_position(done as u64);
        })
    };
    bar.finish_and_clear();
    let mut margins = found.map_err(|error| read.failed(&varied, error))?;
    if asked.missions || !flown.is_empty() {
        let options = LeverOptions { cases: flown, ..options };
        let bar = output::progress(0);
        let progress = |done: usize, all: usize| {
            bar.set_length(all as u64);
            bar.set_position(done as u64);
        };
        let (node, project, cancel) = (&varied.node, &varied.project, AtomicBool::new(false));
        let flown = mission_levers(node, project, &options, &FlyOptions::default(), &cancel, progress);
        bar.finish_and_clear();
        margins.extend(flown.map_err(|error| read.failed(&varied, error))?);
    }
    let text = if asked.json {
        json_text(&report::levers::json(&origin(&varied, &hash), &margins))?
    } else {
        let sheet = report::levers::page(varied.project.name.as_str(), &varied.name, &margins);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome: Outcome::Fine })
}

/// How sure the margins are.
pub(crate) fn spread(asked: &Spread) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    let (varied, hash) = read.varied(asked.variant.as_deref())?;
    let (node, project) = (&varied.node, &varied.project);
    let stated = if asked.normal { Shape::Normal } else { Shape::Uniform };
    let CaseNames { steady: steady_cases, missions: flown_cases } = CaseNames::of(project, &asked.cases);
    let only_flown = steady_cases.is_empty() && !flown_cases.is_empty();
    let options = SpreadOptions { samples: asked.samples, seed: asked.seed, cases: steady_cases, stated };
    let cancel = AtomicBool::new(false);
    let bar = output::progress(options.samples);
    let found = if only_flown {
        Ok(studies::spread::Spread {
            samples: asked.samples,
            seed: asked.seed,
            inputs: Vec::new(),
            margins: Vec::new(),
        })
    } else {
        sample(node, project, &options, &cancel, |_done| bar.inc(1))
    };
    bar.finish_and_clear();
    let steady = found.map_err(|error| read.failed(&varied, error))?;
    let flown = if asked.missions || !flown_cases.is_empty() {
        let missions =
            if flown_cases.is_empty() { cases::missions(project).len() } else { flown_cases.len() };
        let options = SpreadOptions { cases: flown_cases, ..options };
        let bar = output::progress(options.samples * missions);
        let found = flights(node, project, &options, &FlyOptions::default(), &cancel, |_done| bar.inc(1));
        bar.finish_and_clear();
        Some(found.map_err(|error| read.failed(&varied, error))?)
    } else {
        None
    };
    let text = if asked.json {
        json_text(&report::spread::json(&origin(&varied, &hash), &steady, flown.as_deref()))?
    } else {
        let name = varied.project.name.as_str();
        let mut sheet = String::new();
        if !only_flown {
            sheet.push_str(&report::spread::page(name, &varied.name, &steady));
            sheet.push('\n');
        }
        if let Some(flown) = &flown {
            sheet.push_str(&report::spread::flights_page(name, &varied.name, asked.seed, flown));
        }
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome: Outcome::Fine })
}
