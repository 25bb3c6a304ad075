//! Answers of the page Trades as curves and tables.

mod charts;

use std::sync::Arc;

use aircraft::variant::Varied;
use report::sheet::Sheet;
use schema::Change;
use session::trades::{Answer, Asked};
use session::{Proposal, Question};
use studies::optimum::{FrontPoint, OptimumStudy, Weighed};
use studies::size::SizeResult;
use studies::spread::Spread;
use studies::sweep::{Row, Sweep};
use studies::uncooled::Uncooled;

use self::charts::{altitude_chart, boundary_chart, curves};
use crate::views::chart::{Chart, Mark, Series};
use crate::views::sheet::SheetData;
use crate::views::trades::TradesData;

/// A question about a variant with its answer, once it is there.
pub(super) fn trades_data(varied: &Varied, asked: &Asked) -> TradesData {
    let found = match &asked.answer {
        None => TradesData::default(),
        Some(Err(reason)) => TradesData { refused: Some(reason.clone()), ..TradesData::default() },
        Some(Ok(answer)) => answered(varied, &asked.question, answer),
    };
    let (asked, menu, is_answered) =
        (asked.question.clone(), Arc::clone(&asked.menu), asked.answer.is_some());
    TradesData { asked, menu, is_answered, ..found }
}

fn answered(varied: &Varied, question: &Question, answer: &Answer) -> TradesData {
    match answer {
        Answer::Variants(found) => side_by_side(report::variants::sheets(found)),
        Answer::Inputs(found) => over_inputs(found),
        Answer::Uncooled(found) => boundaries(found),
        Answer::OutsideAir(found) => {
            let mut notes = stopped(&found.missing);
            notes.push(
                "Steady cases and missions, each with the same outside-air temperature at every altitude it reaches. Hot day: \
                 14 CFR 27.1043(b). Minimum-temperature limits are not checked here. A limit of ratings is performance, not a \
                 limitation."
                    .to_owned(),
            );
            for curve in &found.curves {
                let met = curve.hot_day.map(report::oat_limit::hot_day_words);
                notes.extend(met.map(|met| format!("{}: {met}", report::oat_limit::name(curve))));
            }
            let sheets = shown(report::oat_limit::sheets(found));
            TradesData { chart: Some(altitude_chart(found)), notes, sheets, ..TradesData::default() }
        }
        Answer::Size(found) => match question {
            Question::Size { circuit } => sized(varied, circuit, found),
            _ => TradesData::default(),
        },
        Answer::SizeAll(found) => all_sized(varied, found),
        Answer::Front(points) => mass_against_margin(varied, points),
        Answer::Architectures(found) => {
            let notes = vec![
                "Mass of the cooling only: motors, inverters, gearbox and cells that differ between variants are not counted, \
                 except the cells that supply the cooling."
                    .to_owned(),
            ];
            let sheets = shown(report::optimum::comparison_sheets(found));
            TradesData { notes, sheets, ..TradesData::default() }
        }
        Answer::Spread(found) => scattered(found),
    }
}

/// That a study was stopped, and what is missing.
fn stopped(missing: &str) -> Vec<String> {
    if missing.is_empty() { Vec::new() } else { vec![format!("Incomplete, it was stopped: {missing}.")] }
}

fn shown(sheets: Vec<Sheet>) -> Vec<SheetData> {
    sheets.into_iter().map(SheetData::from).collect()
}

fn proposal(varied: &Varied, note: String, changes: &[Change]) -> Proposal {
    Proposal { from: varied.name.clone(), note, changes: Arc::new(changes.to_vec()) }
}

fn side_by_side(sheets: Vec<Sheet>) -> TradesData {
    let notes = vec![
        "Equivalent mass: for the mission without failure in which it is greatest, with the cells for pumps, fans, drag and for \
         carrying all this. Short: cases with a margin below the required one, or without a solution. Ready: time from landing \
         by the quickest turnaround option."
            .to_owned(),
    ];
    TradesData { notes, sheets: shown(sheets), ..TradesData::default() }
}

fn over_inputs(found: &Sweep) -> TradesData {
    let of = found.rows.len();
    let mut notes = Vec::new();
    let missing: Vec<&Row> = found.rows.iter().filter(|row| row.results[0].is_none()).collect();
    if let Some(first) = missing.first() {
        notes.push(format!("{} of {of} points have no value; the first: {}", missing.len(), first.remark));
    }
    let sheets = report::sweep::sheets(found, "");
    let chart = sheets.first().map(|sheet| curves(found, sheet));
    TradesData { chart, notes, sheets: shown(sheets), ..TradesData::default() }
}

fn boundaries(found: &Uncooled) -> TradesData {
    let notes = vec![
        "Resistance as on the cell data sheet: DC, new, at its reference temperature. Every mission in the cases; limits of the \
         cells only. Points at the edge of the search range are labelled in the table."
            .to_owned(),
    ];
    let sheet = report::uncooled::boundaries(found);
    let chart = Some(boundary_chart(&sheet, found.present_ohm));
    TradesData { chart, notes, sheets: shown(vec![sheet]), ..TradesData::default() }
}

fn sized(varied: &Varied, circuit: &str, found: &SizeResult) -> TradesData {
    let changes = found.sized.as_ref().map(|sized| &sized.changes);
    let proposal = changes.map(|changes| proposal(varied, format!("loop {circuit} sized"), changes));
    let proposals = proposal.map(|one| (circuit.to_owned(), one)).into_iter().collect();
    let mut notes = stopped(&found.missing);
    notes.push(format!(
        "Loop {circuit} over {}. Mass includes the dry core with tanks, its coolant, the pumps of the loop and the fans of its \
         duct.",
        report::counted(found.cases, "case")
    ));
    TradesData { notes, sheets: shown(report::size::sheets(found)), proposals, ..TradesData::default() }
}

fn all_sized(varied: &Varied, found: &OptimumStudy) -> TradesData {
    let changes = found.optimum.as_ref().map(|optimum| &optimum.changes);
    let proposal = changes.map(|changes| proposal(varied, "all loops sized".to_owned(), changes));
    let proposals = proposal.map(|one| ("all loops".to_owned(), one)).into_iter().collect();
    let mut notes = stopped(&found.missing);
    notes.push(format!(
        "{}. Equivalent mass: dry mass and liquid of all the cooling, and the cells for pumps, fans, drag and weight over the \
         mission that needs most.",
        report::counted(found.cases, "case")
    ));
    if let Some(optimum) = &found.optimum {
        let (then_kg, now_kg) = (optimum.weighed.equivalent_kg(), found.present.equivalent_kg());
        notes
            .push(format!("Total {then_kg:.2} kg; at present {now_kg:.2} kg ({:+.2} kg).", then_kg - now_kg));
    }
    notes.extend(
        found.left.iter().map(|left| format!("Loop {} is unchanged: {}.", left.circuit, left.reason)),
    );
    TradesData { notes, sheets: shown(report::optimum::sheets(found)), proposals, ..TradesData::default() }
}

fn mass_against_margin(varied: &Varied, points: &[FrontPoint]) -> TradesData {
    let sized = || points.iter().filter_map(|point| Some((point.left_over_k, point.whole.optimum.as_ref()?)));
    let proposals = sized().map(|(left_over_k, optimum)| {
        let note = format!("all loops sized for a reserve of {left_over_k} K");
        (format!("reserve {left_over_k} K"), proposal(varied, note, &optimum.changes))
    });
    let series = |name: &str, value: &dyn Fn(&Weighed) -> f64| Series {
        name: name.to_owned(),
        points: sized().map(|(left_over_k, optimum)| [left_over_k, value(&optimum.weighed)]).collect(),
    };
    let equivalent = series("equivalent mass", &Weighed::equivalent_kg);
    let marks = equivalent.points.iter().map(|at| Mark { name: String::new(), at: *at }).collect();
    let chart = Chart {
        title: "Mass of the cooling against reserve".to_owned(),
        x_unit: "reserve, K".to_owned(),
        unit: "kg".to_owned(),
        decimals: 2,
        series: vec![equivalent, series("mass only", &|weighed| weighed.masses.total_kg())],
        marks,
        ..Chart::default()
    };
    let notes = vec![
        "Each point is the lightest design with that reserve on every temperature that the sizes affect, in every case. The \
         slope is the price of the next kelvin; the dearest limit is the one that costs most."
            .to_owned(),
    ];
    TradesData {
        chart: Some(chart),
        notes,
        sheets: shown(report::optimum::front_sheets(points)),
        proposals: proposals.collect(),
        ..TradesData::default()
    }
}

fn scattered(found: &Spread) -> TradesData {
    let notes = vec![format!(
        "{} samples, seed {}: stated tolerances are uniform, published scatter is normal; inputs are taken as independent. \
         Short: share of samples whose margin is smaller than required; \u{201c}<\u{201d} is an upper bound on that share at 95 \
         % confidence. Half: the 5 % value of the first half of the samples.",
        found.samples, found.seed
    )];
    let sheets = report::spread::margin_sheets(&found.margins, found.samples);
    TradesData { notes, sheets: shown(sheets), ..TradesData::default() }
}

#[cfg(test)]
mod tests;
