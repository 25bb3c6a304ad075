//! Days of flights and turnarounds as text and JSON.

use crate::json::{margin, with};
use crate::limit;
use crate::sheet::{Cell, Column, Sheet};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::chains::{ChainResult, DayResult, LegResult};
use units::Kind;

/// One line for each day and the legs of the last one, within 100 columns.
pub fn chain_page(chain: &ChainResult) -> String {
    let count = chain.days.len();
    let mut text = match (chain.repeats, count) {
        (true, days) => format!(
            "Chain {}: day {days} repeats day {} within {:.2} K\n\n",
            chain.case,
            days - 1,
            chain.tolerance_k
        ),
        (false, days) => format!(
            "SHORT Chain {}: no day repeats the one before within {:.2} K in {days}\n\n",
            chain.case, chain.tolerance_k
        ),
    };
    text.push_str(&days(chain).text());
    if let Some(day) = chain.days.last() {
        let _infallible = writeln!(text, "Legs of day {count}");
        text.push_str(&leg_lines(day));
    }
    for leg in chain.legs() {
        if let Some(step) = &leg.not_reached {
            let _infallible = writeln!(text, "SHORT {}: {step} is not done", leg.name);
        }
        if !leg.status.can_be_judged() {
            let _infallible = writeln!(text, "SHORT {}: {}", leg.name, leg.status.word());
        }
    }
    text
}

/// Columns of the least reserve of a day or leg.
fn reserve_columns() -> [Column; 4] {
    let [mark, reserve, margin, required] = limit::reserve_columns("least reserve");
    [mark, reserve, margin.data(), required.data()]
}

/// Reserve and place of the worst limit of a leg.
fn reserve(leg: Option<&LegResult>) -> [Cell; 7] {
    let Some(worst) = leg.and_then(|leg| leg.worst.as_ref()) else { return [const { Cell::Absent }; 7] };
    let margin = &worst.margin;
    let [standing, reserve, distance, required] = limit::reserve_cells(Some(margin));
    [
        standing,
        reserve,
        distance,
        required,
        limit::unit(margin),
        (&margin.place).into(),
        (&margin.limit).into(),
    ]
}

fn days(chain: &ChainResult) -> Sheet {
    let kelvin = |key: &str, head: &str| Column::number(key, Kind::Temperature, "degC", 1).head(head);
    let mut columns = vec![
        Column::count("day"),
        Column::number("difference_K", Kind::TemperatureDifference, "K", 2).head("change"),
        kelvin("pack_start_K", "pack at first start"),
        kelvin("pack_peak_K", "hottest"),
    ];
    columns.extend(reserve_columns());
    columns.extend([
        limit::unit_column(),
        Column::text("where"),
        Column::text("limit").after(", "),
        Column::count("leg").after(", leg "),
    ]);
    let row = |(number, day): (usize, &DayResult)| {
        let departs = day.legs.first().and_then(|leg| leg.pack_k).map(|[start_k, ..]| start_k);
        let hottest = day.legs.iter().filter_map(|leg| leg.pack_k).map(|[_, max_k, _]| max_k);
        let worst = worst_of(day);
        let mut row = vec![
            Cell::count(number + 1),
            day.difference_k.into(),
            departs.into(),
            hottest.max_by(f64::total_cmp).into(),
        ];
        row.extend(reserve(worst.map(|(_, leg)| leg)));
        row.push(worst.map(|(number, _)| Cell::count(number + 1)).into());
        row
    };
    Sheet::new("days", columns).with_rows(chain.days.iter().enumerate().map(row))
}

/// Leg of a day with the least reserve, counted from 0.
fn worst_of(day: &DayResult) -> Option<(usize, &LegResult)> {
    let judged = day.legs.iter().enumerate().filter(|(_, leg)| leg.worst.is_some());
    judged.min_by_key(|(_, leg)| leg.worst.as_ref().map(|worst| worst.margin.rank()))
}

/// The place of the least margin, where all legs have the same; empty where none has a margin.
fn one_place(day: &DayResult) -> Option<String> {
    let place = |leg: &LegResult| {
        leg.worst
            .as_ref()
            .map_or_else(String::new, |worst| format!("{}, {}", worst.margin.place, worst.margin.limit))
    };
    let first = day.legs.first().map(place).unwrap_or_default();
    day.legs.iter().all(|leg| place(leg) == first).then_some(first)
}

/// The column of the place stands only where the legs differ in it.
fn legs(day: &DayResult) -> Sheet {
    let kelvin = |key: &str, head: &str| Column::number(key, Kind::Temperature, "degC", 1).head(head);
    let is_shown = one_place(day).is_none();
    let shown = |column: Column| if is_shown { column } else { column.data() };
    let mut columns = vec![
        Column::count("leg"),
        Column::text("what"),
        Column::time("start_s").head("start"),
        Column::time("duration_s").head("lasts"),
        kelvin("pack_start_K", "pack"),
        kelvin("pack_peak_K", "most").silent(),
        kelvin("pack_end_K", "end").silent(),
        Column::number("state_of_charge", Kind::Ratio, "%", 1).head("charge"),
    ];
    columns.extend(reserve_columns());
    columns.extend([
        limit::unit_column(),
        shown(Column::text("where")),
        shown(Column::text("limit").after(", ")),
    ]);
    let row = |(number, leg): (usize, &LegResult)| {
        let pack = |index: usize| Cell::from(leg.pack_k.map(|temperatures_k| temperatures_k[index]));
        let mut row = vec![
            Cell::count(number + 1),
            (&leg.name).into(),
            Cell::Time(leg.start_s),
            Cell::Time(leg.duration_s),
            pack(0),
            pack(1),
            pack(2),
            leg.state_of_charge.map(|[_, end]| end).into(),
        ];
        row.extend(reserve(Some(leg)));
        row
    };
    Sheet::new("legs of the last day", columns).with_rows(day.legs.iter().enumerate().map(row))
}

/// Days, and the legs of the last one.
pub fn chain_sheets(chain: &ChainResult) -> Vec<Sheet> {
    std::iter::once(days(chain)).chain(chain.days.last().map(legs)).collect()
}

fn leg_lines(day: &DayResult) -> String {
    let table = legs(day).text();
    match one_place(day) {
        Some(place) if !place.is_empty() => format!("Least reserve of every leg: {place}\n{table}"),
        _ => table,
    }
}

/// A chain as JSON.
pub fn chain_json(chain: &ChainResult) -> Value {
    json!({
        "name": chain.case.to_string(),
        "repeats": chain.repeats,
        "tolerance_K": chain.tolerance_k,
        "days": chain.days.iter().map(|day| json!({
            "difference_K": day.difference_k,
            "legs": day.legs.iter().map(leg_json).collect::<Value>(),
        })).collect::<Value>(),
    })
}

fn leg_json(leg: &LegResult) -> Value {
    let pack = |index: usize| leg.pack_k.map(|temperatures_k| temperatures_k[index]);
    let value = json!({
        "name": leg.name,
        "kind": leg.kind.word(),
        "status": leg.status.word(),
        "start_s": leg.start_s,
        "duration_s": leg.duration_s,
        "not_reached": leg.not_reached,
        "pack_start_K": pack(0),
        "pack_peak_K": pack(1),
        "pack_end_K": pack(2),
        "state_of_charge_start": leg.state_of_charge.map(|charge| charge[0]),
        "state_of_charge_end": leg.state_of_charge.map(|charge| charge[1]),
    });
    let worst = leg.worst.as_ref().map(|timed| margin(&timed.margin, Some(timed.time_s)));
    with(value, "worst", json!(worst))
}
