//! `curves`: what the machines lose at other speeds, torques and currents than those of a case.

use crate::arguments::Curves;
use crate::new::existing;
use crate::page::{Outcome, Page};
use crate::solve::solved;
use crate::study::StudyRun;
use anyhow::Context as _;
use model::curves::MachineCurves;
use project::{Existing, Output, OutputKind};
use report::curves::CaseCurves;
use std::fmt::Write as _;
use std::path::Path;

/// Curves of the steady cases.
pub(crate) fn curves(asked: &Curves) -> anyhow::Result<Page> {
    let study = StudyRun::open(&asked.file, asked.variant.as_deref(), asked.json)?;
    let results = solved(&study, &asked.cases)?;
    let outcome = Outcome::from(studies::standing(&results));
    let made: Vec<(String, Vec<MachineCurves>)> = results
        .iter()
        .map(|result| {
            let machines = model::curves::machines(study.project(), result)
                .map_err(|problem| anyhow::anyhow!("{problem}"))?;
            Ok((result.case.to_string(), machines))
        })
        .collect::<anyhow::Result<_>>()?;
    let cases: Vec<CaseCurves<'_>> =
        made.iter().map(|(case, machines)| CaseCurves { case, machines }).collect();
    if let (Some(folder), false) = (&asked.csv, asked.json) {
        return Ok(Page { text: write(folder, existing(asked.overwrite), &cases)?, outcome });
    }
    study.page(
        outcome,
        |origin| report::curves::json(origin, &cases),
        || {
            let sheets: String = cases.iter().map(report::curves::page).collect();
            study.head() + sheets.trim_end_matches('\n') + "\n"
        },
    )
}

/// A file for each case; the page lists them.
fn write(folder: &Path, existing: Existing, cases: &[CaseCurves<'_>]) -> anyhow::Result<String> {
    let mut outputs = Vec::new();
    let mut text = String::new();
    let mut used: Vec<String> = Vec::new();
    for curves in cases {
        let mut name = report::simulate::file_name(curves.case, "csv");
        // names that differ only in what a file name cannot hold
        for number in 2.. {
            if !used.contains(&name) {
                break;
            }
            name = report::simulate::file_name(&format!("{}-{number}", curves.case), "csv");
        }
        let path = folder.join(&name);
        let bytes = report::curves::csv(curves).with_context(|| format!("case {}", curves.case))?;
        let _infallible = writeln!(text, "{}: {}", path.display(), curves.case);
        outputs.push(Output { path, bytes });
        used.push(name);
    }
    project::write_outputs(Some(folder), &outputs, OutputKind::Other, existing)?;
    Ok(text)
}
