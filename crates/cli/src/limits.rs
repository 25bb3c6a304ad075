//! The commands that search for a limit: outside air, and cell resistance for uncooled flight.

use crate::arguments::Margins;
use crate::commands::{json_text, origin};
use crate::{Outcome, Page, input, output};
use std::sync::atomic::AtomicBool;
use studies::oat_limit::{OatOptions, oat_limit as search};
use studies::uncooled::{UncooledOptions, uncooled as boundaries, ways};

/// Highest outside air against pressure altitude.
pub(crate) fn oat_limit(asked: &Margins) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    let (varied, hash) = read.varied(asked.variant.as_deref())?;
    let options = OatOptions::default();
    let bar = output::progress(options.searched_m().len());
    let found = search(&varied.project, &options, &AtomicBool::new(false), |_done| bar.inc(1));
    bar.finish_and_clear();
    let points = found.map_err(|error| read.failed(&varied, error))?;
    let text = if asked.json {
        json_text(&report::oat_limit::json(&origin(&varied, &hash), &points))?
    } else {
        let sheet = report::oat_limit::page(varied.project.name.as_str(), &varied.name, &points);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome: Outcome::Fine })
}

/// Largest cell resistance for uncooled flight against outside air and age.
pub(crate) fn uncooled(asked: &Margins) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    let (varied, hash) = read.varied(asked.variant.as_deref())?;
    let options = UncooledOptions::default();
    let ways = ways(&varied.node, &varied.project).map_err(|error| read.failed(&varied, error))?;
    let bar = output::progress(ways.len() * options.oat_k.len() * options.life_used.len());
    let cancel = AtomicBool::new(false);
    let found = boundaries(&varied.node, &varied.project, &ways, &options, &cancel, |_done| bar.inc(1));
    bar.finish_and_clear();
    let result = found.map_err(|error| read.failed(&varied, error))?;
    let text = if asked.json {
        json_text(&report::uncooled::json(&origin(&varied, &hash), &result))?
    } else {
        let sheet = report::uncooled::page(varied.project.name.as_str(), &varied.name, &result);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome: Outcome::Fine })
}
