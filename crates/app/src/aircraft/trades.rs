//! Answers of the page Trades: the studies of the command line, as curves and tables.

mod charts;

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use aircraft::variant::Varied;
use report::sheet::Sheet;
use schema::Node;
use studies::StudyError;
use studies::oat_limit::{OatOptions, oat_limit};
use studies::size::{SizeOptions, size};
use studies::spread::{SpreadOptions, spread};
use studies::sweep::{Axis, Row, Shard, SweepError, Watch, points, sweep, watches};
use studies::uncooled::{UncooledOptions, uncooled, ways};
use studies::variants::{CompareOptions, compare};
use studies::whole::{Weighed, WholeOptions, compare as compare_architectures, front, size_all};

use self::charts::{altitude_chart, boundary_chart, curves};
use crate::views::chart::{Chart, Mark, Series};
use crate::views::sheet::SheetData;
use crate::views::trades::{Menu, Proposal, Question, TradesData};

/// Points that the window works out at most; the command line has no such bound.
const MOST_POINTS: usize = 2000;

/// Why there is no answer.
pub(super) enum NoAnswer {
    /// It is not wanted any more.
    Cancelled,
    /// What stands in the way.
    Because(String),
}

impl From<StudyError> for NoAnswer {
    fn from(error: StudyError) -> Self {
        match error {
            StudyError::Cancelled => Self::Cancelled,
            other => Self::Because(other.to_string()),
        }
    }
}

impl From<SweepError> for NoAnswer {
    fn from(error: SweepError) -> Self {
        match error {
            SweepError::Study(error) => error.into(),
            other => Self::Because(other.to_string()),
        }
    }
}

/// What can be asked about a variant.
pub(super) fn menu(varied: &Varied, cancelled: &AtomicBool) -> Menu {
    let inputs = &varied.listing().inputs;
    // without a case that can be solved there are no results, and the question says so when it is asked
    let results = watches(&varied.project, cancelled).unwrap_or_default();
    Menu {
        inputs: inputs.iter().map(|entry| (entry.address.clone(), entry.text.clone())).collect(),
        results: results.iter().map(Watch::name).collect(),
        loops: varied.project.loops.iter().map(|known| known.name.as_str().to_owned()).collect(),
    }
}

/// Answers a question; `tell` is told how many of how many steps are done.
pub(super) fn answer(
    (node, varied, all): (&Node, &Varied, &[Varied]),
    question: &Question,
    condition: &str,
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<TradesData, NoAnswer> {
    let found = match question {
        Question::Variants => side_by_side(all, condition, cancelled, tell)?,
        Question::Inputs { axes, watch } => over_inputs(varied, axes, watch, cancelled, tell)?,
        Question::Uncooled => boundaries(varied, cancelled, tell)?,
        Question::OutsideAir => outside_air(varied, cancelled, tell)?,
        Question::Size { circuit } => sized(varied, circuit, cancelled, tell)?,
        Question::SizeAll => all_sized(varied, cancelled, tell)?,
        Question::Front { left_over } => mass_against_margin(varied, left_over, cancelled, tell)?,
        Question::Architectures => architectures(node, all, cancelled, tell)?,
        Question::Spread { samples } => scattered(varied, *samples, cancelled, tell)?,
    };
    Ok(TradesData { asked: question.clone(), is_answered: true, ..found })
}

fn shown(sheets: Vec<Sheet>) -> Vec<SheetData> {
    sheets.into_iter().map(SheetData::from).collect()
}

fn side_by_side(
    all: &[Varied],
    condition: &str,
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<TradesData, NoAnswer> {
    let options = CompareOptions { condition: Some(condition.to_owned()), ..CompareOptions::default() };
    let found = compare(all, &options, cancelled, tell)?;
    let notes = vec![
        "Equivalent mass: of the mission without failure in which it is greatest, with the cells for pumps, fans, drag and for \
         carrying all this. Short: cases with a margin below the required one, or without a state. Ready: from landing, by the \
         quickest option of the turnaround."
            .to_owned(),
    ];
    Ok(TradesData { notes, sheets: shown(report::variants::sheets(&found)), ..TradesData::default() })
}

fn over_inputs(
    varied: &Varied,
    axes: &[String],
    watch: &str,
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<TradesData, NoAnswer> {
    let axes: Vec<Axis> =
        axes.iter().map(|text| Axis::parse(&varied.node, text)).collect::<Result<_, _>>()?;
    let of = points(&axes)?;
    if of > MOST_POINTS {
        let reason = format!(
            "{of} points: the window works out {MOST_POINTS} at most; take fewer values, or the command `sweep`."
        );
        return Err(NoAnswer::Because(reason));
    }
    let all = watches(&varied.project, cancelled)?;
    let watched = vec![Watch::parse(&all, watch)?];
    let found = sweep(&varied.node, &axes, &watched, &[], Shard::WHOLE, cancelled, |done| tell(done, of))?;
    let mut notes = Vec::new();
    let missing: Vec<&Row> = found.rows.iter().filter(|row| row.results[0].is_none()).collect();
    if let Some(first) = missing.first() {
        notes.push(format!("{} of {of} points have no value; the first: {}", missing.len(), first.remark));
    }
    let sheets = report::sweep::sheets(&found);
    let chart = sheets.first().map(|sheet| curves(&found, sheet));
    Ok(TradesData { chart, notes, sheets: shown(sheets), ..TradesData::default() })
}

fn boundaries(
    varied: &Varied,
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<TradesData, NoAnswer> {
    let options = UncooledOptions::default();
    let ways = ways(&varied.node, &varied.project)?;
    let of = ways.len() * options.oat_k.len() * options.life_used.len();
    let found = uncooled(&varied.node, &varied.project, &ways, &options, cancelled, |done| tell(done, of))?;
    let notes = vec![
        "Resistance as the cell sheet states it: direct current, new, at its reference temperature. Every mission of the cases, \
         limits of the cells alone. A point at the edge of the search says so in the table."
            .to_owned(),
    ];
    let sheet = report::uncooled::boundaries(&found);
    let chart = Some(boundary_chart(&sheet, found.present_ohm));
    Ok(TradesData { chart, notes, sheets: shown(vec![sheet]), ..TradesData::default() })
}

fn outside_air(
    varied: &Varied,
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<TradesData, NoAnswer> {
    let options = OatOptions::default();
    let of = options.searched_m().len();
    let found = oat_limit(&varied.project, &options, cancelled, |done| tell(done, of))?;
    let notes = vec![
        "Steady cases and missions, each with the outside air at one temperature at every height it reaches. Hot day: 14 CFR \
         27.1043(b). Limits on the cold side are not judged here."
            .to_owned(),
    ];
    Ok(TradesData {
        chart: Some(altitude_chart(&found)),
        notes,
        sheets: shown(report::oat_limit::sheets(&found)),
        ..TradesData::default()
    })
}

fn sized(
    varied: &Varied,
    circuit: &str,
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<TradesData, NoAnswer> {
    let found = size(&varied.project, circuit, &SizeOptions::default(), cancelled, tell)?;
    let proposal = found.sized.as_ref().map(|sized| Proposal {
        from: varied.name.clone(),
        note: format!("loop {circuit} sized"),
        changes: Arc::new(sized.changes.clone()),
    });
    let proposals = proposal.map(|one| (circuit.to_owned(), one)).into_iter().collect();
    let notes = vec![format!(
        "Loop {circuit} over {} cases. Mass counts the dry core with tanks, its coolant, the pumps of the loop and the fans of its \
         duct.",
        found.cases
    )];
    Ok(TradesData { notes, sheets: shown(report::size::sheets(&found)), proposals, ..TradesData::default() })
}

fn all_sized(
    varied: &Varied,
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<TradesData, NoAnswer> {
    let found = size_all(&varied.project, &WholeOptions::default(), cancelled, |how_far| {
        tell(how_far.done, how_far.of);
    })?;
    let proposal = found.optimum.as_ref().map(|optimum| Proposal {
        from: varied.name.clone(),
        note: "all loops sized".to_owned(),
        changes: Arc::new(optimum.changes.clone()),
    });
    let proposals = proposal.map(|one| ("all loops".to_owned(), one)).into_iter().collect();
    let mut notes = vec![format!(
        "{} cases. Equivalent mass: dry mass and liquid of all the cooling, and the cells for pumps, fans, drag and weight over the \
         mission in which that is most.",
        found.cases
    )];
    if let Some(optimum) = &found.optimum {
        let (then_kg, now_kg) = (optimum.weighed.equivalent_kg(), found.present.equivalent_kg());
        notes.push(format!(
            "Together {then_kg:.2} kg; as it is {now_kg:.2} kg ({:+.2} kg).",
            then_kg - now_kg
        ));
    }
    notes.extend(
        found.left.iter().map(|left| format!("Loop {} stays as it is: {}.", left.circuit, left.reason)),
    );
    Ok(TradesData { notes, sheets: shown(report::whole::sheets(&found)), proposals, ..TradesData::default() })
}

fn mass_against_margin(
    varied: &Varied,
    left_over: &str,
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<TradesData, NoAnswer> {
    let wanted: Vec<f64> = left_over.split(' ').filter_map(|word| word.parse().ok()).collect();
    tell(0, wanted.len());
    let points = front(&varied.project, &wanted, &WholeOptions::default(), cancelled, |number, _| {
        tell(number, wanted.len());
    })?;
    let sized = || points.iter().filter_map(|point| Some((point.left_over_k, point.whole.optimum.as_ref()?)));
    let proposals = sized().map(|(left_over_k, optimum)| {
        let note = format!("all loops sized with {left_over_k} K left over every required margin");
        let changes = Arc::new(optimum.changes.clone());
        (format!("{left_over_k} K left over"), Proposal { from: varied.name.clone(), note, changes })
    });
    let series = |name: &str, value: &dyn Fn(&Weighed) -> f64| Series {
        name: name.to_owned(),
        points: sized().map(|(left_over_k, optimum)| [left_over_k, value(&optimum.weighed)]).collect(),
    };
    let equivalent = series("equivalent mass", &Weighed::equivalent_kg);
    let marks = equivalent.points.iter().map(|at| Mark { name: String::new(), at: *at }).collect();
    let chart = Chart {
        title: "Mass of the cooling over what is left of the margins".to_owned(),
        x_unit: "left over every required margin, K".to_owned(),
        unit: "kg".to_owned(),
        decimals: 2,
        series: vec![equivalent, series("mass alone", &|weighed| weighed.masses.total_kg())],
        marks,
        ..Chart::default()
    };
    let notes = vec![
        "Every point is the lightest design that leaves so much over the required margin of every temperature that sizes move, in every \
         case. The price of the next kelvin is the slope; the dearest limit is the one that costs most."
            .to_owned(),
    ];
    Ok(TradesData {
        chart: Some(chart),
        notes,
        sheets: shown(report::whole::front_sheets(&points)),
        proposals: proposals.collect(),
        ..TradesData::default()
    })
}

fn architectures(
    node: &Node,
    all: &[Varied],
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<TradesData, NoAnswer> {
    let names: Vec<String> = all.iter().map(|varied| varied.name.clone()).collect();
    tell(0, names.len());
    let found = compare_architectures(node, &names, &WholeOptions::default(), cancelled, |number, _| {
        tell(number, names.len());
    })?;
    let notes = vec![
        "Mass of the cooling only: motors, inverters, gearbox and cells that differ between variants are not in this book, except \
         the cells for what the cooling takes."
            .to_owned(),
    ];
    let sheets = report::whole::comparison_sheets(&found);
    Ok(TradesData { notes, sheets: shown(sheets), ..TradesData::default() })
}

fn scattered(
    varied: &Varied,
    samples: usize,
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<TradesData, NoAnswer> {
    let options = SpreadOptions { samples, ..SpreadOptions::default() };
    let found = spread(&varied.node, &varied.project, &options, cancelled, |done| tell(done, samples))?;
    let notes = vec![format!(
        "{} samples, seed {}: stated tolerances are uniform, published scatter is normal; inputs count as independent. Short: share \
         of samples whose margin is smaller than required; \u{201c}<\u{201d} gives what that share is below with a confidence of \
         95 %. Half: the 5 % value of the first half of the samples.",
        found.samples, found.seed
    )];
    let sheets = report::spread::margin_sheets(&found.margins, found.samples);
    Ok(TradesData { notes, sheets: shown(sheets), ..TradesData::default() })
}

#[cfg(test)]
mod tests;
