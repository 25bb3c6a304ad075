//! The commands that tell what moves the margins, and how sure they are.

use crate::arguments::{Levers, Spread};
use crate::page::{Outcome, Page};
use crate::study::StudyRun;
use model::cases;
use model::mission::FlyOptions;
use session::CaseNames;
use studies::levers::{LeverOptions, levers as find, mission_levers};
use studies::spread::{Distribution, SpreadOptions, flights, spread as sample};

/// What moves the worst margins.
pub(crate) fn levers(asked: &Levers) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let (node, project) = (&study.varied.node, study.project());
    let CaseNames { steady, missions: flown } = CaseNames::of(project, &asked.cases);
    let options = LeverOptions { cases: steady.clone(), most: asked.margins, limit: None };
    let mut margins = Vec::new();
    if !steady.is_empty() || flown.is_empty() {
        margins = study.run(0, |progress| {
            find(node, project, &options, &progress.cancel, |done, all| progress.of(done, all))
        })?;
    }
    if asked.missions || !flown.is_empty() {
        let options = LeverOptions { cases: flown, ..options };
        let found = study.run(0, |progress| {
            let watch = |done, all| progress.of(done, all);
            mission_levers(node, project, &options, &FlyOptions::default(), &progress.cancel, watch)
        })?;
        margins.extend(found);
    }
    study.page(
        Outcome::Fine,
        |origin| report::levers::json(origin, &margins),
        || report::levers::page(study.name(), &study.varied.name, &margins),
    )
}

/// How sure the margins are.
pub(crate) fn spread(asked: &Spread) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let (node, project) = (&study.varied.node, study.project());
    let stated = if asked.normal { Distribution::Normal } else { Distribution::Uniform };
    let CaseNames { steady: steady_cases, missions: flown_cases } = CaseNames::of(project, &asked.cases);
    let only_flown = steady_cases.is_empty() && !flown_cases.is_empty();
    let options = SpreadOptions { samples: asked.samples, seed: asked.seed, cases: steady_cases, stated };
    let steady = if only_flown {
        studies::spread::Spread {
            samples: asked.samples,
            seed: asked.seed,
            inputs: Vec::new(),
            margins: Vec::new(),
            joint: studies::spread::Joint::together([]),
        }
    } else {
        study.run(options.samples, |progress| {
            sample(node, project, &options, &progress.cancel, |_done| progress.one())
        })?
    };
    let flown = if asked.missions || !flown_cases.is_empty() {
        let missions =
            if flown_cases.is_empty() { cases::missions(project).len() } else { flown_cases.len() };
        let options = SpreadOptions { cases: flown_cases, ..options };
        let found = study.run(options.samples * missions, |progress| {
            let watch = |_done| progress.one();
            flights(node, project, &options, &FlyOptions::default(), &progress.cancel, watch)
        })?;
        Some(found)
    } else {
        None
    };
    let sheet = || {
        let (name, variant) = (study.name(), study.varied.name.as_str());
        let mut sheet = String::new();
        if !only_flown {
            sheet.push_str(&report::spread::page(name, variant, &steady));
        }
        if let Some(flown) = &flown {
            if !only_flown {
                sheet.push('\n');
            }
            sheet.push_str(&report::spread::flights_page(name, variant, asked.seed, flown));
        } else if !only_flown {
            sheet.push('\n');
        }
        sheet
    };
    study.page(Outcome::Fine, |origin| report::spread::json(origin, &steady, flown.as_deref()), sheet)
}
