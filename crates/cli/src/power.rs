//! `power`: the power that is there with one motor or winding set out.

use crate::arguments::Power;
use crate::page::Page;
use crate::study::{StudyRun, outcome};
use anyhow::Context as _;
use studies::power::{PowerOptions, power as find};
use units::{Kind, Quantity};

/// Power that is there against the power that flight takes, and what can be done with it.
pub(crate) fn power(asked: &Power) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let masses_kg = asked.masses.iter().map(|text| mass_kg(text)).collect::<anyhow::Result<_>>()?;
    let options = PowerOptions { masses_kg };
    let found = study.run(1, |progress| {
        find(study.project(), &options, &progress.cancel, |done, all| progress.of(done, all))
    })?;
    study.page(
        outcome(found.holds()),
        |origin| report::power::json(origin, &found),
        || report::power::page(study.name(), &study.varied.name, &found),
    )
}

fn mass_kg(text: &str) -> anyhow::Result<f64> {
    let mass = Quantity::parse(text, Kind::Mass).with_context(|| format!("--mass {text}"))?.si();
    anyhow::ensure!(mass > 0.0, "--mass {text}: give a mass above zero");
    Ok(mass)
}
