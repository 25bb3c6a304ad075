//! The commands that tell what moves the margins, and how sure they are.

use crate::arguments::Levers;
use crate::commands::{json_text, origin};
use crate::{Outcome, Page, input, output};
use std::sync::atomic::AtomicBool;
use studies::levers::{LeverOptions, levers as find};

/// What moves the worst margins.
pub(crate) fn levers(asked: &Levers) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    let (varied, hash) = read.varied(asked.variant.as_deref())?;
    let options = LeverOptions { cases: asked.cases.clone(), most: asked.margins, limit: None };
    let bar = output::progress(0);
    let found = find(&varied.node, &varied.project, &options, &AtomicBool::new(false), |done, all| {
        bar.set_length(all as u64);
        bar.set_position(done as u64);
    });
    bar.finish_and_clear();
    let margins = found.map_err(|error| read.failed(&varied, error))?;
    let text = if asked.json {
        json_text(&report::levers::json(&origin(&varied, &hash), &margins))?
    } else {
        let sheet = report::levers::sheet(varied.project.name.as_str(), &varied.name, &margins);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome: Outcome::Fine })
}
