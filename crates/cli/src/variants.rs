//! The command that puts variants side by side.

use crate::arguments::Variants;
use crate::commands::{json_text, origin};
use crate::{Outcome, Page, input, output};
use std::sync::atomic::AtomicBool;
use studies::variants::{CompareOptions, compare};

/// The base design and the variants, all of them or those that are named.
pub(crate) fn variants(asked: &Variants) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    let (base, hash) = read.varied(None)?;
    let names: Vec<String> = if asked.names.is_empty() {
        base.project.variants.iter().map(|known| known.name.as_str().to_owned()).collect()
    } else {
        asked.names.clone()
    };
    let mut all = vec![base];
    for name in &names {
        all.push(read.varied(Some(name))?.0);
    }
    let options = CompareOptions {
        condition: asked.condition.clone(),
        without_turnaround: asked.no_turnaround,
        ..CompareOptions::default()
    };
    let bar = output::progress(1);
    let found = compare(&all, &options, &AtomicBool::new(false), |done, of| {
        bar.set_length(of as u64);
        bar.set_position(done as u64);
    });
    bar.finish_and_clear();
    let found = found.map_err(|error| read.failed(&all[0], error))?;
    let text = if asked.json {
        json_text(&report::variants::json(&origin(&all[0], &hash), &found))?
    } else {
        let sheet = report::variants::page(all[0].project.name.as_str(), &found);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome: Outcome::Fine })
}
