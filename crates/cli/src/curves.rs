//! `curves`: what the machines lose at other speeds, torques and currents than those of a case.

use crate::arguments::Curves;
use crate::commands::{json_text, origin, outcome, solved};
use crate::new::existing;
use crate::{Page, input, output};
use anyhow::Context as _;
use model::curves::Machine;
use project::{Existing, Output, Sort};
use report::curves::CaseCurves;
use std::fmt::Write as _;
use std::path::Path;

/// Curves of the steady cases.
pub(crate) fn curves(asked: &Curves) -> anyhow::Result<Page> {
    let read = input::read(&asked.file)?;
    let (varied, hash) = read.varied(asked.variant.as_deref())?;
    let results = solved(&read, &varied, &asked.cases)?;
    let outcome = outcome(&results);
    let made: Vec<(String, Vec<Machine>)> = results
        .iter()
        .map(|result| {
            let machines = model::curves::machines(&varied.project, result)
                .map_err(|problem| anyhow::anyhow!("{problem}"))?;
            Ok((result.case.to_string(), machines))
        })
        .collect::<anyhow::Result<_>>()?;
    let cases: Vec<CaseCurves<'_>> =
        made.iter().map(|(case, machines)| CaseCurves { case, machines }).collect();
    let text = if asked.json {
        json_text(&report::curves::json(&origin(&varied, &hash), &cases))?
    } else if let Some(folder) = &asked.csv {
        write(folder, existing(asked.overwrite), &cases)?
    } else {
        let head = format!("{}, variant {}, input {hash}\n\n", varied.project.name.as_str(), varied.name);
        let sheets: String = cases.iter().map(report::curves::page).collect();
        output::coloured(format!("{head}{sheets}{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome })
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
    project::write_outputs(Some(folder), &outputs, Sort::Other, existing)?;
    Ok(text)
}
