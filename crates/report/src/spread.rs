//! Spread of the margins as tables and as JSON.

use crate::json::{Origin, margin, with};
use crate::limit;
use crate::sheet::{Cell, Column, Row, Sheet, texts};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::levers::TolerancePedigree;
use studies::spread::{Band, FlightSpread, Joint, MarginSpread, Quantiles, Spread, SpreadInput};
use units::Kind;

/// Inputs that the sheet names for a margin.
const NAMED: usize = 3;
/// Margins of which the sheet tells what is behind them.
const EXPLAINED: usize = 10;

/// Spread of steady margins: often short first.
pub fn page(project: &str, variant: &str, spread: &Spread) -> String {
    let mut text = format!(
        "{project}, variant {variant}: spread of steady margins, {} samples, seed {}\n{}\n\n",
        spread.samples,
        spread.seed,
        moved(&spread.inputs)
    );
    text.push_str(&any_limit("of the limits below", &spread.joint));
    text.push_str(&texts(&sheets(spread)));
    text.push_str(NOTES);
    text
}

/// How often any limit is not kept, in a sentence.
fn any_limit(of: &str, joint: &Joint) -> String {
    let percent = |(share, bound): (f64, f64)| {
        if share > 0.0 { format!("{:.2} %", 100.0 * share) } else { format!("below {:.2} %", 100.0 * bound) }
    };
    format!(
        "Any {of}: margin smaller than required in {} of the samples, limit passed in {} (inputs that\n\
         limits have in common are sampled once for all of them).\n\n",
        percent(joint.short()),
        percent(joint.past())
    )
}

/// Spread of missions.
pub fn flights_page(project: &str, variant: &str, seed: u32, flights: &[FlightSpread]) -> String {
    let mut text = format!("{project}, variant {variant}: spread of missions, seed {seed}\n\n");
    for flight in flights {
        let _infallible =
            writeln!(text, "{}: {} flights; {}\n", flight.case, flight.samples, moved(&flight.inputs));
        text.push_str(&any_limit("limit of this mission", &flight.joint));
        text.push_str(&texts(&flight_sheets(std::slice::from_ref(flight))));
    }
    if flights.len() > 1 {
        let joint = Joint::together(flights.iter().map(|flight| &flight.joint));
        text.push_str(&any_limit("limit of any mission", &joint));
    }
    if let Some(first) = flights.first() {
        text.push_str(&inputs_sheet(&first.inputs).text());
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

/// Quantiles and shortfall of every margin, and what is behind those that are short most often.
pub fn margin_sheets(margins: &[MarginSpread], samples: usize) -> Vec<Sheet> {
    let distance = |key: &str, head: &str| Column::mixed(key).head(head).signed().or("no state");
    let columns = [
        distance("p05", "5 %"),
        distance("p50", "50 %"),
        distance("p95", "95 %"),
        limit::needs_column(),
        Column::short(["SHORT ", ""]),
        Column::flag("at_most", ["below ", ""]).before(""),
        Column::number("probability_short", Kind::Ratio, "%", 2).head("short").in_cell(),
        distance("half_p05", "half"),
        limit::unit_column(),
        Column::text("where").head("where, limit, case"),
        Column::text("limit").after(", "),
        Column::text("case").after(", "),
        Column::time("time_s").after(" near "),
        Column::text("lost").after("; "),
    ];
    let rows = margins.iter().map(|of| row(of, samples));
    let mut all = vec![Sheet::new("spread of the margins", columns).with_rows(rows)];
    let explained = margins.iter().filter(|of| !of.contributions.is_empty()).take(EXPLAINED);
    let behind: Vec<Row> = explained.flat_map(behind_rows).collect();
    if !behind.is_empty() {
        let columns = [
            Column::text("where").head("where, limit"),
            Column::text("limit").after(", "),
            Column::number("share", Kind::Ratio, "%", 0).in_cell(),
            Column::text("behind").head("behind it"),
        ];
        all.push(Sheet::new("what is behind it", columns).with_rows(behind));
    }
    all
}

/// The margins, what is behind them, and the inputs that were moved.
pub fn sheets(spread: &Spread) -> Vec<Sheet> {
    let mut all = margin_sheets(&spread.margins, spread.samples);
    all.push(inputs_sheet(&spread.inputs));
    all
}

fn row(of: &MarginSpread, samples: usize) -> Row {
    let Quantiles { p05, p50, p95, .. } = of.quantiles;
    let kind = of.margin.kind;
    // a quantile that is not finite belongs to samples without a state
    let distance = |value: f64| if value.is_finite() { limit::distance(kind, value) } else { Cell::Absent };
    let is_bound = of.quantiles.probability_short <= 0.0;
    let bound = of.quantiles.probability_short_bound;
    let lost = match of.without_state {
        0 => Cell::Absent,
        lost => format!("{lost} of {samples} without a state").into(),
    };
    vec![
        distance(p05),
        distance(p50),
        distance(p95),
        limit::distance(kind, of.margin.required),
        (of.quantiles.probability_short > 0.05).into(),
        is_bound.into(),
        if is_bound { bound } else { of.quantiles.probability_short }.into(),
        distance(of.half.p05),
        limit::unit(&of.margin),
        (&of.margin.place).into(),
        (&of.margin.limit).into(),
        of.case.to_string().into(),
        Cell::time(of.time_s),
        lost,
    ]
}

/// What is behind a margin: the largest shares, and what all inputs explain.
fn behind_rows(of: &MarginSpread) -> Vec<Row> {
    let largest = of.contributions.iter().take(NAMED).filter(|c| c.share >= 0.005);
    let mut rows: Vec<Row> =
        largest.map(|c| vec![Cell::Absent, Cell::Absent, c.share.into(), (&c.path).into()]).collect();
    if let Some(first) = rows.first_mut() {
        first[0] = (&of.margin.place).into();
        first[1] = (&of.margin.limit).into();
    }
    let explained = |share: f64| vec![Cell::Absent, Cell::Absent, share.into(), "explained by all".into()];
    rows.extend(of.explained.map(explained));
    rows
}

fn inputs_sheet(inputs: &[SpreadInput]) -> Sheet {
    let columns = [
        Column::text("input"),
        Column::text("value"),
        Column::number("half_width", Kind::Ratio, "%", 1).head("half-width").in_cell(),
        Column::text("law"),
        Column::text("tolerance"),
    ];
    let row = |input: &SpreadInput| {
        let share = if input.si == 0.0 { f64::NAN } else { (input.half_width_si / input.si).abs() };
        let from = match input.from {
            TolerancePedigree::Stated => "stated",
            TolerancePedigree::Published => "published",
        };
        let law = input.shape.word().into();
        vec![(&input.path).into(), (&input.text).into(), Cell::finite(share), law, from.into()]
    };
    Sheet::new("inputs", columns).with_rows(inputs.iter().map(row))
}

/// Highest end of each band: the hottest moment of the 95 % line.
fn bands_sheet(flight: &FlightSpread) -> Sheet {
    let hottest = |line: &[f64]| line.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let band = |key: &str, head: &str| Column::number(key, Kind::Temperature, "degC", 1).head(head).silent();
    let columns = [
        Column::text("component").head("highest temperature, degC"),
        band("p05_K", "5 %"),
        band("p50_K", "50 %"),
        band("p95_K", "95 %"),
    ];
    let row = |band: &Band| {
        let lines = [&band.p05_k, &band.p50_k, &band.p95_k].map(|line| Cell::Number(hottest(line)));
        std::iter::once(Cell::from(&band.component)).chain(lines).collect()
    };
    Sheet::new("highest temperatures", columns).with_rows(flight.bands.iter().map(row))
}

/// Margins and highest temperatures of every mission.
pub fn flight_sheets(flights: &[FlightSpread]) -> Vec<Sheet> {
    let of = |flight: &FlightSpread| {
        let mut all = margin_sheets(&flight.margins, flight.samples);
        all.push(bands_sheet(flight));
        all
    };
    flights.iter().flat_map(of).collect()
}

/// Result of `spread`: steady margins, and missions where they were asked for.
pub fn json(origin: &Origin<'_>, spread: &Spread, flights: Option<&[FlightSpread]>) -> Value {
    let head = with(origin.head(), "samples", json!(spread.samples));
    let head = with(head, "seed", json!(spread.seed));
    let head = with(head, "inputs", spread.inputs.iter().map(input).collect());
    let steady = spread.margins.iter().map(|of| line(origin, of));
    let head = with(head, "margins", steady.collect());
    let head = with(head, "any_limit", joint_json(&spread.joint));
    match flights {
        Some(flights) => {
            let any = Joint::together(flights.iter().map(|flight| &flight.joint));
            let head = with(head, "any_limit_of_missions", joint_json(&any));
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
        "any_limit": joint_json(&flight.joint),
        "time_s": flight.times_s,
        "bands": flight.bands.iter().map(band).collect::<Vec<_>>(),
    })
}

fn joint_json(joint: &Joint) -> Value {
    let ((short, short_bound), (past, past_bound)) = (joint.short(), joint.past());
    json!({
        "probability_short": short,
        "probability_short_bound": short_bound,
        "probability_past": past,
        "probability_past_bound": past_bound,
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
