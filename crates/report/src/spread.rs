//! Spread of the margins as tables and as JSON.

use crate::Table;
use crate::json::{Origin, margin, with};
use crate::margins::shown;
use crate::table::table;
use crate::{celsius, clock};
use model::result::Margin;
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::levers::TolerancePedigree;
use studies::spread::{Band, FlightSpread, MarginSpread, Quantiles, Spread, SpreadInput};

/// Inputs that the sheet names for a margin.
const NAMED: usize = 3;
/// Margins of which the sheet tells what is behind them.
const EXPLAINED: usize = 10;

/// Spread of steady margins: often short first.
pub fn sheet(project: &str, variant: &str, spread: &Spread) -> String {
    let mut text = format!(
        "{project}, variant {variant}: spread of steady margins, {} samples, seed {}\n{}\n\n",
        spread.samples,
        spread.seed,
        moved(&spread.inputs)
    );
    text.push_str(&margin_table(&spread.margins, spread.samples));
    text.push_str(&inputs_table(&spread.inputs));
    text.push_str(NOTES);
    text
}

/// Spread of missions.
pub fn flights_sheet(project: &str, variant: &str, seed: u32, flights: &[FlightSpread]) -> String {
    let mut text = format!("{project}, variant {variant}: spread of missions, seed {seed}\n\n");
    for flight in flights {
        let _infallible =
            writeln!(text, "{}: {} flights; {}\n", flight.case, flight.samples, moved(&flight.inputs));
        text.push_str(&margin_table(&flight.margins, flight.samples));
        text.push_str(&bands_table(flight));
    }
    if let Some(first) = flights.first() {
        text.push_str(&inputs_table(&first.inputs));
    }
    text.push_str(NOTES);
    text
}

const NOTES: &str = "\
Short: share of samples whose margin is smaller than required; where there are none, what that share\n\
is below with a confidence of 95 %. A sample without a state counts as short. Half: the 5 % value of\n\
the first half of the samples; where it differs, take more. Behind it: share of the variance by the\n\
single straight-line effect of an input; explained is the sum over all inputs (R2), what is missing\n\
is curvature and inputs that act together. Stated tolerances are uniform unless asked otherwise;\n\
published scatter is normal, its half-width two standard deviations, cut at three. Inputs count as\n\
independent of each other, and of each limit only the case that is worst at the base design counts,\n\
unless cases are named.\n";

fn moved(inputs: &[SpreadInput]) -> String {
    let published = inputs.iter().filter(|input| input.from == TolerancePedigree::Published).count();
    let stated = inputs.len() - published;
    let (inputs, families) = (plural(stated, "input", "inputs"), plural(published, "family", "families"));
    format!("tolerances of {inputs} and the published scatter of {families} of relations, moved at once")
}

fn plural(count: usize, one: &str, more: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { more })
}

fn margin_table(margins: &[MarginSpread], samples: usize) -> String {
    tables(margins, samples).into_iter().map(Table::text).collect()
}

/// Quantiles and shortfall of every margin, and what is behind those that are short most often.
pub fn tables(margins: &[MarginSpread], samples: usize) -> Vec<Table> {
    let rows = margins.iter().map(|of| row(of, samples)).collect();
    let head = ["5 %", "50 %", "95 %", "needs", "short", "half", "where, limit, case"];
    let mut all = vec![Table::new("spread of the margins", &head, &[0, 1, 2, 3, 4, 5], rows)];
    let explained = margins.iter().filter(|of| !of.contributions.is_empty()).take(EXPLAINED);
    let behind: Vec<Vec<String>> = explained.flat_map(behind_rows).collect();
    if !behind.is_empty() {
        all.push(Table::new("what is behind it", &["where, limit", "share", "behind it"], &[1], behind));
    }
    all
}

fn row(of: &MarginSpread, samples: usize) -> Vec<String> {
    let Quantiles { p05, p50, p95, .. } = of.quantiles;
    let number = |value: f64| {
        if value.is_finite() {
            shown(&Margin { margin: value, ..of.margin.clone() })[2].clone()
        } else {
            "no state".to_owned()
        }
    };
    let time = of.time_s.map_or_else(String::new, |time_s| format!(" near {}", clock(time_s)));
    let lost = match of.without_state {
        0 => String::new(),
        lost => format!("; {lost} of {samples} without a state"),
    };
    vec![
        number(p05),
        number(p50),
        number(p95),
        shown(&of.margin)[3].clone(),
        probability(&of.quantiles),
        number(of.half.p05),
        format!("{}, {}, {}{time}{lost}", of.margin.place, of.margin.limit, of.case),
    ]
}

/// What is behind a margin: the largest shares, and what all inputs explain.
fn behind_rows(of: &MarginSpread) -> Vec<Vec<String>> {
    let name = format!("{}, {}", of.margin.place, of.margin.limit);
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let largest = of.contributions.iter().take(NAMED).filter(|c| c.share >= 0.005);
    let mut rows: Vec<Vec<String>> =
        largest.map(|c| vec![String::new(), percent(c.share), c.path.clone()]).collect();
    if let Some(first) = rows.first_mut() {
        first[0] = name;
    }
    rows.extend(of.explained.map(|share| vec![String::new(), percent(share), "explained by all".to_owned()]));
    rows
}

/// Share of samples that is short, in percent; where none is, what it is surely below.
fn probability(quantiles: &Quantiles) -> String {
    let verdict = if quantiles.probability_short > 0.05 { "SHORT " } else { "" };
    if quantiles.probability_short > 0.0 {
        format!("{verdict}{:.2} %", 100.0 * quantiles.probability_short)
    } else {
        format!("below {:.2} %", 100.0 * quantiles.probability_short_bound)
    }
}

fn inputs_table(inputs: &[SpreadInput]) -> String {
    let rows = inputs
        .iter()
        .map(|input| {
            let share = if input.si == 0.0 { f64::NAN } else { (input.half_width_si / input.si).abs() };
            let width = if share.is_finite() { format!("{:.1} %", 100.0 * share) } else { String::new() };
            let from = match input.from {
                TolerancePedigree::Stated => "stated",
                TolerancePedigree::Published => "published",
            };
            vec![
                input.path.clone(),
                input.text.clone(),
                width,
                input.shape.word().to_owned(),
                from.to_owned(),
            ]
        })
        .collect();
    table(&["input", "value", "half-width", "law", "tolerance"], &[2], rows)
}

/// Highest end of each band: the hottest moment of the 95 % line.
fn bands_table(flight: &FlightSpread) -> String {
    let hottest = |line: &[f64]| line.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let rows = flight
        .bands
        .iter()
        .map(|band| {
            let [low, middle, high] =
                [&band.p05_k, &band.p50_k, &band.p95_k].map(|line| format!("{:.1}", celsius(hottest(line))));
            vec![band.component.clone(), low, middle, high]
        })
        .collect();
    table(&["highest temperature, degC", "5 %", "50 %", "95 %"], &[1, 2, 3], rows)
}

/// Result of `spread`: steady margins, and missions where they were asked for.
pub fn json(origin: &Origin<'_>, spread: &Spread, flights: Option<&[FlightSpread]>) -> Value {
    let head = with(origin.head(), "samples", json!(spread.samples));
    let head = with(head, "seed", json!(spread.seed));
    let head = with(head, "inputs", spread.inputs.iter().map(input).collect());
    let steady = spread.margins.iter().map(|of| line(origin, of));
    let head = with(head, "margins", steady.collect());
    match flights {
        Some(flights) => {
            with(head, "missions", flights.iter().map(|flight| mission(origin, flight)).collect())
        }
        None => head,
    }
}

fn mission(origin: &Origin<'_>, flight: &FlightSpread) -> Value {
    json!({
        "case": flight.case.to_string(),
        "samples": flight.samples,
        "inputs": flight.inputs.iter().map(input).collect::<Vec<_>>(),
        "margins": flight.margins.iter().map(|of| line(origin, of)).collect::<Vec<_>>(),
        "time_s": flight.times_s,
        "bands": flight.bands.iter().map(band).collect::<Vec<_>>(),
    })
}

fn band(band: &Band) -> Value {
    json!({ "component": band.component, "p05_K": band.p05_k, "p50_K": band.p50_k, "p95_K": band.p95_k })
}

fn input(input: &SpreadInput) -> Value {
    json!({
        "path": input.path,
        "text": input.text,
        "value_si": input.si,
        "half_width_si": input.half_width_si,
        "law": input.shape.word(),
        "tolerance_from": match input.from {
            TolerancePedigree::Stated => "stated",
            TolerancePedigree::Published => "published",
        },
    })
}

fn line(origin: &Origin<'_>, of: &MarginSpread) -> Value {
    let mut line = with(margin(&of.margin, of.time_s), "case", json!(of.case.to_string()));
    line = with(line, "variant", json!(origin.variant));
    for (key, value) in quantiles(&of.quantiles) {
        line = with(line, key, value);
    }
    line = with(line, "half", quantiles(&of.half).into_iter().map(|(k, v)| (k.to_owned(), v)).collect());
    line = with(line, "without_state", json!(of.without_state));
    line = with(line, "explained", json!(of.explained));
    let contributions = of
        .contributions
        .iter()
        .map(|c| json!({ "path": c.path, "share": c.share, "per_deviation": c.per_deviation }));
    with(line, "contributions", contributions.collect())
}

fn quantiles(quantiles: &Quantiles) -> [(&'static str, Value); 6] {
    [
        ("p05", json!(quantiles.p05)),
        ("p50", json!(quantiles.p50)),
        ("p95", json!(quantiles.p95)),
        ("probability_short", json!(quantiles.probability_short)),
        ("probability_short_bound", json!(quantiles.probability_short_bound)),
        ("probability_past", json!(quantiles.probability_past)),
    ]
}
