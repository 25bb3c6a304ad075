//! The headless commands.

use crate::arguments::{Failures, Fluid, Margins, Relation, Solve};
use crate::input::{self, Read};
use crate::{Outcome, Page, output};
use aircraft::variant::Varied;
use anyhow::{Context as _, anyhow};
use model::mission::FlyOptions;
use model::result::CaseResult;
use report::json::Origin;
use serde_json::Value;
use std::sync::atomic::AtomicBool;
use units::{Kind, Quantity};

/// Program and version as results name it.
const PROGRAM: &str = concat!("heatledger ", env!("CARGO_PKG_VERSION"));

/// Every problem of a project. The list is the result of this command, so it goes to standard output.
pub(crate) fn check(file: &str) -> anyhow::Result<Page> {
    let read = input::read(file)?;
    let found = read.findings();
    let mut text = found.lines.join("\n");
    if !text.is_empty() {
        text.push('\n');
    }
    let plural = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    let total =
        format!("{}: {}, {}\n", read.name, plural(found.errors, "error"), plural(found.warnings, "warning"));
    text.push_str(&total);
    Ok(Page { text, outcome: if found.errors > 0 { Outcome::BadInput } else { Outcome::Fine } })
}

pub(crate) fn solved(read: &Read, varied: &Varied, wanted: &[String]) -> anyhow::Result<Vec<CaseResult>> {
    for warning in read.warnings(varied) {
        output::tell(&warning);
    }
    let cases = studies::chosen(&varied.project, wanted)?;
    let bar = output::progress(cases.len());
    let results = studies::solve(&cases, &AtomicBool::new(false), |_done| bar.inc(1));
    bar.finish_and_clear();
    results.map_err(|error| read.failed(varied, error))
}

pub(crate) fn outcome(results: &[CaseResult]) -> Outcome {
    if studies::holds(results) { Outcome::Fine } else { Outcome::Short }
}

pub(crate) fn origin<'a>(varied: &'a Varied, hash: &'a str) -> Origin<'a> {
    Origin {
        program: PROGRAM,
        project: varied.project.name.as_str(),
        variant: &varied.name,
        input_hash: hash,
    }
}

pub(crate) fn json_text(value: &Value) -> anyhow::Result<String> {
    let text = serde_json::to_string_pretty(value).context("results cannot be written as JSON")?;
    Ok(text + "\n")
}

/// Cases in full.
pub(crate) fn solve(solve: &Solve) -> anyhow::Result<Page> {
    let read = input::read(&solve.file)?;
    let (varied, hash) = read.varied(solve.variant.as_deref())?;
    let results = solved(&read, &varied, &solve.cases)?;
    let outcome = outcome(&results);
    let text = if solve.json {
        solve_json(solve, &varied, &hash, results)?
    } else {
        output::coloured(solve_text(solve, &varied, &hash, &results))
    };
    Ok(Page { text, outcome })
}

fn solve_json(
    solve: &Solve,
    varied: &Varied,
    hash: &str,
    results: Vec<CaseResult>,
) -> anyhow::Result<String> {
    let origin = origin(varied, hash);
    if !solve.explain {
        return json_text(&report::json::results(&origin, &results));
    }
    let explained: Vec<_> = results
        .into_iter()
        .map(|result| {
            let explanations = report::explain::explanations(&varied.project, &result);
            (result, explanations)
        })
        .collect();
    json_text(&report::json::explained(&origin, &explained))
}

fn solve_text(solve: &Solve, varied: &Varied, hash: &str, results: &[CaseResult]) -> String {
    let mut text = format!("{}, variant {}, input {hash}\n\n", varied.project.name.as_str(), varied.name);
    for result in results {
        text.push_str(&report::solve::page(result));
        if solve.explain {
            text.push_str(&report::explain::text(&report::explain::explanations(&varied.project, result)));
        }
        text.push('\n');
    }
    text + report::CAUTIONS + "\n"
}

/// Every limit in every case.
pub(crate) fn margins(margins: &Margins) -> anyhow::Result<Page> {
    let read = input::read(&margins.file)?;
    let (varied, hash) = read.varied(margins.variant.as_deref())?;
    let results = solved(&read, &varied, &[])?;
    let missions = studies::missions::chosen(&varied.project, &[])?;
    let bar = output::progress(missions.len());
    let flown =
        studies::missions::flown(&missions, &FlyOptions::default(), &AtomicBool::new(false), |_done| {
            bar.inc(1);
        });
    bar.finish_and_clear();
    let flown = flown.map_err(|error| read.failed(&varied, error))?;
    let lines = studies::all_margins(&results, &flown);
    let text = if margins.json {
        json_text(&report::json::margins(&origin(&varied, &hash), &results, &flown, &lines))?
    } else {
        let sheet =
            report::margins::page(varied.project.name.as_str(), &varied.name, &results, &flown, &lines);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    let holds = studies::holds(&results) && flown.iter().all(studies::missions::Flown::holds);
    Ok(Page { text, outcome: if holds { Outcome::Fine } else { Outcome::Short } })
}

/// Every single failure over time.
pub(crate) fn failures(failures: &Failures) -> anyhow::Result<Page> {
    let read = input::read(&failures.file)?;
    let (varied, hash) = read.varied(failures.variant.as_deref())?;
    for warning in read.warnings(&varied) {
        output::tell(&warning);
    }
    let cases = studies::failures::hottest_cases(&varied.project, failures.mission.as_deref())
        .map_err(|error| read.failed(&varied, error))?;
    let single = studies::failures::single_failures(&varied.project);
    let bar = output::progress(cases.len() * single.len());
    let options = FlyOptions::default();
    let study =
        studies::failures::run(&cases, &single, &options, &AtomicBool::new(false), |_done| bar.inc(1));
    bar.finish_and_clear();
    let study = study.map_err(|error| read.failed(&varied, error))?;
    let outcome = if study.holds() { Outcome::Fine } else { Outcome::Short };
    let text = if failures.json {
        json_text(&report::failures::json(&origin(&varied, &hash), &study))?
    } else {
        let sheet = report::failures::page(varied.project.name.as_str(), &varied.name, &study);
        output::coloured(format!("{sheet}\n{}\n", report::CAUTIONS))
    };
    Ok(Page { text, outcome })
}

/// The list of fluids, or the property table of one.
pub(crate) fn fluid(fluid: &Fluid) -> anyhow::Result<Page> {
    let Some(name) = &fluid.name else {
        let all = media::listed();
        let text = if fluid.json {
            json_text(&report::properties::list_json(&all))?
        } else {
            report::properties::list_text(&all)
        };
        return Ok(Page { text, outcome: Outcome::Fine });
    };
    let at: Vec<f64> = fluid
        .at
        .iter()
        .map(|text| Quantity::parse(text.trim(), Kind::Temperature).map(|q| q.si()))
        .collect::<Result<_, _>>()?;
    let pressure = match &fluid.pressure {
        Some(text) => Some(Quantity::parse(text, Kind::AbsolutePressure)?.si()),
        None => None,
    };
    let rows = media::property_table(name, &at, pressure)?;
    let text = if fluid.json {
        json_text(&report::properties::json(&rows))?
    } else {
        report::properties::text(name, &rows)
    };
    Ok(Page { text, outcome: Outcome::Fine })
}

/// The list of relations, what one of them takes, or one evaluated.
pub(crate) fn relation(relation: &Relation) -> anyhow::Result<Page> {
    let one = relation
        .name
        .as_deref()
        .filter(|_| relation.inputs.is_empty())
        .and_then(report::relations::named)
        .filter(|r| !r.inputs.is_empty());
    let text = match (&relation.name, one) {
        (None, _) => relation_list(correlations::relations(), relation.json)?,
        (Some(_), Some(one)) if relation.json => json_text(&report::relations::list_json(&[*one]))?,
        (Some(_), Some(one)) => report::relations::described(one),
        (Some(name), None) => {
            let inputs: Vec<(&str, &str)> = relation
                .inputs
                .iter()
                .map(|pair| pair.split_once('=').ok_or_else(|| anyhow!("{pair:?} is no key=value")))
                .collect::<Result<_, _>>()?;
            let evaluated = correlations::evaluate_words(name, &inputs)?;
            if relation.json {
                json_text(&report::json::evaluated(&evaluated))?
            } else {
                report::relations::text(&evaluated)
            }
        }
    };
    Ok(Page { text, outcome: Outcome::Fine })
}

fn relation_list(relations: &[correlations::Relation], json: bool) -> anyhow::Result<String> {
    if json {
        json_text(&report::relations::list_json(relations))
    } else {
        Ok(report::relations::list_text(relations))
    }
}
