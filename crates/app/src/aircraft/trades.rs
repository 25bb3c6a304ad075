//! Answers of the page Trades: the studies of the command line, as curves and tables.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use aircraft::variant::Varied;
use report::Table;
use schema::Node;
use studies::StudyError;
use studies::oat_limit::{OatOptions, OatPoint, oat_limit};
use studies::size::{SizeOptions, size};
use studies::spread::{SpreadOptions, spread};
use studies::sweep::{Axis, Row, Shard, Sweep, SweepError, Watch, points, sweep, watches};
use studies::uncooled::{Boundary, Uncooled, UncooledOptions, uncooled, ways};
use studies::variants::{CompareOptions, compare};
use studies::whole::{Weighed, WholeOptions, compare as compare_architectures, front, size_all};
use units::to_unit;

use super::pages::celsius;
use crate::views::chart::{Chart, Limit, Mark, Series};
use crate::views::time::clock;
use crate::views::trades::{Menu, Proposal, Question, Sheet, TradesData};

const FOOT_M: f64 = 0.3048;
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

fn sheet(table: Table) -> Sheet {
    let rows = table.rows.iter().map(|row| row.iter().map(|cell| as_shown(cell)).collect()).collect();
    let head = table.head.iter().map(|head| head_as_shown(head)).collect();
    Sheet { title: sentence(&table.title), head, numbers: table.numbers, rows }
}

/// A cell in the numbers of the window: true minus signs, times as on a clock.
fn as_shown(cell: &str) -> String {
    let shown = |word: &str| match (seconds(word), word.strip_prefix('-')) {
        (Some(time), _) => clock(time),
        (None, Some(rest)) if rest.starts_with(|c: char| c.is_ascii_digit()) => format!("\u{2212}{rest}"),
        _ => word.to_owned(),
    };
    cell.split(' ').map(shown).collect::<Vec<String>>().join(" ")
}

/// The seconds of a time as the command line writes it: `0:05:59.3`.
fn seconds(word: &str) -> Option<f64> {
    let mut parts = word.split(':');
    let (hours, minutes, rest) = (parts.next()?, parts.next()?, parts.next()?);
    let is_time = parts.next().is_none() && minutes.len() == 2 && rest.len() >= 2;
    let (hours, minutes): (u32, u32) = (hours.parse().ok()?, minutes.parse().ok()?);
    let rest: f64 = rest.parse().ok()?;
    is_time.then(|| 3600.0 * f64::from(hours) + 60.0 * f64::from(minutes) + rest)
}

/// The head of a column with its unit set off: `Dry, kg`.
fn head_as_shown(head: &str) -> String {
    const UNITS: [&str; 14] =
        ["kg", "W", "kW", "N", "K", "degC", "%", "m", "mm", "ft", "mOhm", "kPa", "L/min", "s"];
    match head.rsplit_once(' ') {
        Some((name, unit)) if UNITS.contains(&unit) && !name.ends_with(',') => {
            format!("{}, {unit}", sentence(name))
        }
        _ => sentence(head),
    }
}

/// With a capital at its beginning, except where that is the path or symbol of something.
fn sentence(text: &str) -> String {
    let first = text.split(' ').next().unwrap_or_default();
    let is_word = first.trim_end_matches(',').chars().all(|c| c.is_lowercase() || c == '-');
    let mut letters = text.chars();
    match letters.next() {
        Some(letter) if is_word => letter.to_uppercase().chain(letters).collect(),
        _ => text.to_owned(),
    }
}

fn sheets(tables: Vec<Table>) -> Vec<Sheet> {
    tables.into_iter().map(sheet).collect()
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
    Ok(TradesData { notes, sheets: sheets(report::variants::tables(&found)), ..TradesData::default() })
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
    let table = report::sweep::rows(&found);
    Ok(TradesData { chart: Some(curves(&found)), notes, sheets: vec![sheet(table)], ..TradesData::default() })
}

/// A curve for each value of the first of two inputs.
fn curves(found: &Sweep) -> Chart {
    let watch = &found.watched[0];
    let value = |si: f64| match watch {
        Watch::Temperature { .. } | Watch::Peak { .. } => celsius(si),
        Watch::Boundary { .. } => 1e3 * si,
        _ => si,
    };
    let usual = |axis: &Axis, si: f64| to_unit(si, axis.entry.kind, &axis.unit).unwrap_or(si);
    let Some(along) = found.axes.last() else { return Chart::default() };
    let mut series: Vec<Series> = Vec::new();
    for (number, row) in found.rows.iter().enumerate() {
        if number % along.steps() == 0 {
            let name = match found.axes.as_slice() {
                [second, _] => {
                    format!("{} {}", (usual(second, row.inputs[0]) * 1e4).round() / 1e4, second.unit)
                }
                _ => watch.name(),
            };
            series.push(Series { name: name.trim_end().to_owned(), points: Vec::new() });
        }
        if let (Some(result), Some(series)) = (row.results[0], series.last_mut()) {
            let x = usual(along, row.inputs[found.axes.len() - 1]);
            series.points.push([x, value(result)]);
        }
    }
    // a range may be typed from high to low
    for one in &mut series {
        one.points.sort_by(|a, b| a[0].total_cmp(&b[0]));
    }
    let largest = series.iter().flat_map(|s| &s.points).map(|p| p[1].abs()).fold(0.0, f64::max);
    let unit = match watch {
        // a margin of a rating has another unit, which its table names
        Watch::Worst => "K",
        Watch::Temperature { .. } | Watch::Peak { .. } => "degC",
        Watch::Boundary { .. } => "mOhm",
        other => other.unit(),
    };
    let title = match found.axes.as_slice() {
        [second, _] => format!("{}, a curve for each {}", watch.name(), second.path),
        _ => watch.name(),
    };
    Chart {
        title,
        x_unit: format!("{}, {}", along.path, along.unit).trim_end_matches([',', ' ']).to_owned(),
        unit: unit.to_owned(),
        decimals: (3.0 - largest.max(1e-3).log10().floor()).clamp(0.0, 4.0) as usize,
        series,
        ..Chart::default()
    }
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
    Ok(TradesData {
        chart: Some(boundary_chart(&found)),
        notes,
        sheets: vec![sheet(report::uncooled::boundaries(&found))],
        ..TradesData::default()
    })
}

fn boundary_chart(found: &Uncooled) -> Chart {
    let mut series: Vec<Series> = Vec::new();
    for point in &found.points {
        let name = format!("{}, {}", point.way, report::uncooled::age(point.life_used));
        let (Boundary::UpTo(ohm) | Boundary::AtLeast(ohm) | Boundary::Below(ohm)) = point.boundary;
        let at = [celsius(point.oat_k), 1e3 * ohm];
        match series.iter_mut().find(|known| known.name == name) {
            Some(known) => known.points.push(at),
            None => series.push(Series { name, points: vec![at] }),
        }
    }
    let own =
        Limit { name: "cells of the project".to_owned(), value: 1e3 * found.present_ohm, is_minimum: true };
    Chart {
        title: "largest cell resistance for uncooled flight".to_owned(),
        x_unit: "outside air, degC".to_owned(),
        unit: "mOhm".to_owned(),
        decimals: 2,
        series,
        limits: vec![own],
        ..Chart::default()
    }
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
        sheets: vec![sheet(report::oat_limit::limits(&found))],
        ..TradesData::default()
    })
}

fn altitude_chart(found: &[OatPoint]) -> Chart {
    let feet = |point: &OatPoint| (point.pressure_altitude_m / FOOT_M).round();
    let limit = found.iter().filter_map(|p| Some([feet(p), celsius(p.reach.oat_k()?)])).collect();
    let hot_k = |point: &OatPoint| report::oat_limit::hot_day_k(point.pressure_altitude_m);
    let hot = found.iter().filter_map(|p| Some([feet(p), celsius(hot_k(p)?)])).collect();
    Chart {
        title: "outside-air limit".to_owned(),
        x_unit: "pressure altitude, ft".to_owned(),
        unit: "degC".to_owned(),
        decimals: 1,
        series: vec![
            Series { name: "limit".to_owned(), points: limit },
            Series { name: "hot day".to_owned(), points: hot },
        ],
        ..Chart::default()
    }
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
    Ok(TradesData { notes, sheets: sheets(report::size::tables(&found)), proposals, ..TradesData::default() })
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
    Ok(TradesData {
        notes,
        sheets: sheets(report::whole::tables(&found)),
        proposals,
        ..TradesData::default()
    })
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
        sheets: vec![sheet(report::whole::front_table(&points))],
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
    let tables = report::whole::comparison_tables(&found);
    Ok(TradesData { notes, sheets: sheets(tables), ..TradesData::default() })
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
    let tables = report::spread::tables(&found.margins, found.samples);
    Ok(TradesData { notes, sheets: sheets(tables), ..TradesData::default() })
}

#[cfg(test)]
mod tests;
