//! The headless commands.

use crate::Outcome;
use crate::arguments::{Fluid, Margins, Relation, Solve};
use crate::input;
use anyhow::{Context as _, anyhow};
use model::result::CaseResult;
use model::variant::Varied;
use report::json::Origin;
use serde_json::Value;
use std::sync::atomic::AtomicBool;
use studies::StudyError;
use units::{Kind, Quantity};

/// Program and version as results name it.
const PROGRAM: &str = concat!("heatledger ", env!("CARGO_PKG_VERSION"));

pub(crate) fn check(file: &str) -> anyhow::Result<Outcome> {
    let read = input::read(file)?;
    let (lines, has_errors) = read.all_problems();
    for line in &lines {
        eprintln!("{line}\n");
    }
    if has_errors {
        return Err(anyhow!("{} problems in {}", lines.len(), read.name));
    }
    println!("{}: no errors, {} warnings", read.name, lines.len());
    Ok(Outcome::Fine)
}

fn solved(varied: &Varied, wanted: &[String]) -> Result<Vec<CaseResult>, StudyError> {
    let cases = studies::chosen(&varied.project, wanted)?;
    studies::solve(&cases, &AtomicBool::new(false), |_done| {})
}

fn outcome(results: &[CaseResult]) -> Outcome {
    if studies::holds(results) { Outcome::Fine } else { Outcome::Short }
}

fn origin<'a>(varied: &'a Varied, hash: &'a str) -> Origin<'a> {
    Origin {
        program: PROGRAM,
        project: varied.project.name.as_str(),
        variant: &varied.name,
        input_hash: hash,
    }
}

fn print_json(value: &Value) -> anyhow::Result<()> {
    println!("{}", serde_json::to_string_pretty(value).context("results cannot be written as JSON")?);
    Ok(())
}

pub(crate) fn solve(solve: &Solve) -> anyhow::Result<Outcome> {
    let (varied, hash) = input::for_solve(solve)?;
    let results = solved(&varied, &solve.cases)?;
    if solve.json {
        print_json(&report::json::results(&origin(&varied, &hash), &results))?;
        return Ok(outcome(&results));
    }
    println!("{}, variant {}, input {hash}\n", varied.project.name.as_str(), varied.name);
    for result in &results {
        println!("{}", report::solve::sheet(result));
        if solve.explain {
            println!("{}", report::solve::explanation(&varied.project, result));
        }
    }
    println!("{}", report::CAUTIONS);
    Ok(outcome(&results))
}

pub(crate) fn margins(margins: &Margins) -> anyhow::Result<Outcome> {
    let (varied, hash) = input::read(&margins.file)?.varied(margins.variant.as_deref())?;
    let results = solved(&varied, &[])?;
    let lines = studies::margins(&results);
    if margins.json {
        print_json(&report::json::margins(&origin(&varied, &hash), &results, &lines))?;
    } else {
        print!("{}", report::margins::sheet(varied.project.name.as_str(), &varied.name, &results, &lines));
        println!("\n{}", report::CAUTIONS);
    }
    Ok(outcome(&results))
}

pub(crate) fn fluid(fluid: &Fluid) -> anyhow::Result<Outcome> {
    let at: Vec<f64> = fluid
        .at
        .iter()
        .map(|text| Quantity::parse(text, Kind::Temperature).map(|q| q.si()))
        .collect::<Result<_, _>>()?;
    let pressure = match &fluid.pressure {
        Some(text) => Some(Quantity::parse(text, Kind::AbsolutePressure)?.si()),
        None => None,
    };
    let rows = media::property_table(&fluid.name, &at, pressure)?;
    if fluid.json {
        print_json(&report::properties::json(&rows))?;
    } else {
        print!("{}", report::properties::text(&fluid.name, &rows));
    }
    Ok(Outcome::Fine)
}

pub(crate) fn relation(relation: &Relation) -> anyhow::Result<Outcome> {
    let Some(name) = &relation.name else {
        let all = correlations::relations();
        if relation.json {
            print_json(&report::relations::list_json(all))?;
        } else {
            print!("{}", report::relations::list_text(all));
        }
        return Ok(Outcome::Fine);
    };
    let inputs: Vec<(&str, &str)> = relation
        .inputs
        .iter()
        .map(|pair| pair.split_once('=').ok_or_else(|| anyhow!("{pair:?} is no key=value")))
        .collect::<Result<_, _>>()?;
    let evaluated = correlations::evaluate_words(name, &inputs)?;
    if relation.json {
        print_json(&report::relations::json(&evaluated))?;
    } else {
        print!("{}", report::relations::text(&evaluated));
    }
    Ok(Outcome::Fine)
}
