//! Days of flights and turnarounds as text and JSON.

use crate::json::{margin, with};
use crate::margins::shown;
use crate::simulate::lines;
use crate::{celsius, clock};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::chains::{ChainResult, DayResult, LegResult};

/// One line for each day and the legs of the last one, within 100 columns.
pub fn chain_sheet(chain: &ChainResult) -> String {
    let days = chain.days.len();
    let mut text = match (chain.repeats, days) {
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
    text.push_str(&day_lines(chain));
    if let Some(day) = chain.days.last() {
        let _infallible = writeln!(text, "Legs of day {days}");
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

fn day_lines(chain: &ChainResult) -> String {
    let rows = chain.days.iter().enumerate().map(|(number, day)| {
        let departs = day.legs.first().and_then(|leg| leg.pack_k).map(|[start_k, ..]| start_k);
        let hottest = day.legs.iter().filter_map(|leg| leg.pack_k).map(|[_, most_k, _]| most_k);
        let hottest = hottest.max_by(f64::total_cmp);
        let worst = worst_of(day);
        vec![
            (number + 1).to_string(),
            day.difference_k.map_or_else(String::new, |difference| format!("{difference:.2}")),
            departs.map_or_else(String::new, |k| format!("{:.1}", celsius(k))),
            hottest.map_or_else(String::new, |k| format!("{:.1}", celsius(k))),
            worst.map_or_else(String::new, |(_, leg)| reserve(leg).0),
            worst.map_or_else(String::new, |(number, leg)| format!("{}, leg {}", reserve(leg).1, number + 1)),
        ]
    });
    let head = ["day", "change K", "pack at first start degC", "hottest degC", "least margin", "where"];
    lines(&head, &[0, 1, 2, 3, 4], rows.collect())
}

/// Leg of a day with the least reserve, counted from 0.
fn worst_of(day: &DayResult) -> Option<(usize, &LegResult)> {
    let reserve = |leg: &LegResult| leg.worst.as_ref().map_or(f64::INFINITY, |worst| worst.margin.rank());
    let judged = day.legs.iter().enumerate().filter(|(_, leg)| leg.worst.is_some());
    judged.min_by(|a, b| reserve(a.1).total_cmp(&reserve(b.1)))
}

/// Margin and place of the worst limit of a leg.
fn reserve(leg: &LegResult) -> (String, String) {
    let Some(worst) = &leg.worst else { return (String::new(), String::new()) };
    let verdict = if worst.margin.is_short() { "SHORT " } else { "" };
    let [_, _, distance, _] = shown(&worst.margin);
    (format!("{verdict}{distance}"), format!("{}, {}", worst.margin.place, worst.margin.limit))
}

/// The column of the place stands only where the legs differ in it.
fn leg_lines(day: &DayResult) -> String {
    let places: Vec<String> = day.legs.iter().map(|leg| reserve(leg).1).collect();
    let is_one_place = places.windows(2).all(|pair| pair[0] == pair[1]);
    let rows = day.legs.iter().zip(&places).enumerate().map(|(number, (leg, place))| {
        let [start, most, end] = match leg.pack_k {
            Some(temperatures_k) => temperatures_k.map(|k| format!("{:.1}", celsius(k))),
            None => [const { String::new() }; 3],
        };
        let charge = leg.state_of_charge.map_or_else(String::new, |[_, end]| format!("{:.1}", 100.0 * end));
        let mut row = vec![
            (number + 1).to_string(),
            leg.name.clone(),
            clock(leg.start_s),
            clock(leg.duration_s),
            start,
            most,
            end,
            charge,
            reserve(leg).0,
        ];
        if !is_one_place {
            row.push(place.clone());
        }
        row
    });
    let mut head =
        vec!["leg", "what", "start", "lasts", "pack degC", "most", "end", "charge %", "least margin"];
    if !is_one_place {
        head.push("where");
    }
    let table = lines(&head, &[0, 2, 3, 4, 5, 6, 7, 8], rows.collect());
    match places.first() {
        Some(place) if is_one_place && !place.is_empty() => {
            format!("Least margin of every leg: {place}\n{table}")
        }
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
