//! `turnaround`: from landing to ready, and the tables for the ground team.

use crate::arguments::Turnaround;
use crate::commands::{json_text, origin};
use crate::{Outcome, Page, input, output};
use std::sync::atomic::AtomicBool;
use studies::turnaround::{TurnaroundWish, turnarounds};
use units::{Kind, Quantity};

/// Every turnaround by each of its options.
pub(crate) fn turnaround(wanted: &Turnaround) -> anyhow::Result<Page> {
    let read = input::read(&wanted.file)?;
    let (varied, hash) = read.varied(wanted.variant.as_deref())?;
    for warning in read.warnings(&varied) {
        output::tell(&warning);
    }
    let outside_k = match &wanted.outside {
        Some(text) => Some(Quantity::parse(text.trim(), Kind::Temperature)?.si()),
        None => None,
    };
    let wish = TurnaroundWish {
        condition: wanted.condition.clone(),
        outside_k,
        without_tables: wanted.no_tables,
        ..TurnaroundWish::default()
    };
    let bar = output::progress(0);
    let results = turnarounds(&varied.project, &wish, &AtomicBool::new(false), |done, total| {
        bar.set_length(total as u64);
        bar.set_position(done as u64);
    });
    bar.finish_and_clear();
    let results = results.map_err(|error| read.failed(&varied, error))?;
    let text = if wanted.json {
        json_text(&report::turnaround::json(&origin(&varied, &hash), &results))?
    } else {
        let sheet = report::turnaround::page(varied.project.name.as_str(), &varied.name, &results);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome: Outcome::Fine })
}
