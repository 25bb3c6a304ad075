//! Turnarounds: options side by side and the tables for the ground team.

use crate::json::Origin;
use crate::{celsius, table::table};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::turnaround::{DepartureLimit, NextFlight, OptionResult, TurnaroundResult, WaitCell};

/// Seconds as minutes.
fn minutes(seconds: f64) -> String {
    format!("{:.0}", seconds / 60.0)
}

/// Everything about turnarounds as text.
pub fn sheet(project: &str, variant: &str, results: &[TurnaroundResult]) -> String {
    let mut text = format!("{project}, variant {variant}: from landing to ready\n");
    if results.is_empty() {
        text.push_str("\nThe project has no turnaround that could be flown at this condition\n");
    }
    for result in results {
        text.push_str(&one(result));
    }
    text
}

fn one(result: &TurnaroundResult) -> String {
    let mut text = format!(
        "\n{}, after {}, {} ({:.1} degC outside); times in minutes, ready soonest first\n\n",
        result.name,
        result.after,
        result.condition,
        celsius(result.outside_k)
    );
    text.push_str(&options(&ranked(&result.options)));
    text.push_str(
        "kWh in: charge times open-circuit voltage; charger, cooling, cart kWh: what charger, own pumps and fans\n\
         and carts took; pack, charged: at ready;\n\
         hotter: pack at the next departure less at the last; next: whether that flight keeps every margin\n",
    );
    for option in &result.options {
        let worst = option.next.as_ref().filter(|next| !next.holds()).map(|next| match &next.worst {
            Some(worst) => {
                let margin = &worst.margin;
                format!("{}, {}, {:+.1} {}", margin.place, margin.limit, margin.margin, margin.kind.unit())
            }
            None => next.status.word().to_owned(),
        });
        if let Some(worst) = worst {
            let _infallible = writeln!(text, "SHORT next flight after {}: {worst}", option.name);
        }
    }
    for option in result.options.iter().filter(|option| !option.outcome.is_empty()) {
        let _infallible = writeln!(text, "NOT READY {}: {}", option.name, option.outcome);
    }
    for note in &result.dew_notes {
        let _infallible = writeln!(text, "Dew point: {note}");
    }
    if !result.table.is_empty() {
        text.push_str(
            "\nWait in minutes until the charge may begin, and the rate of charge allowed then, by indicated pack\n\
             temperature (columns; the whole pack at it, the rest at the outside air); - the charge may not begin\n\n",
        );
        text.push_str(&waits(&result.table));
    }
    if !result.departure.is_empty() {
        text.push_str(
            "Highest pack temperature at departure that still lands with every required margin\n\n",
        );
        text.push_str(&departures(&result.departure));
    }
    text
}

/// Ready soonest first; what does not get ready comes last, in its order.
fn ranked(options: &[OptionResult]) -> Vec<&OptionResult> {
    let mut ranked: Vec<&OptionResult> = options.iter().collect();
    let ready_s = |option: &OptionResult| option.ready_s.unwrap_or(f64::INFINITY);
    ranked.sort_by(|a, b| ready_s(a).total_cmp(&ready_s(b)));
    ranked
}

fn options(options: &[&OptionResult]) -> String {
    let times = options
        .iter()
        .map(|option| {
            let times = &option.times;
            let ready = option.ready_s.map_or_else(|| "never".to_owned(), minutes);
            let phases = [times.taxi_s, times.soak_s, times.cool_s, times.charge_s, times.swap_s];
            let mut row = vec![option.name.clone()];
            row.extend(phases.map(minutes));
            row.push(ready);
            row
        })
        .collect();
    let states = options
        .iter()
        .map(|option| {
            let hotter = option.next.as_ref().map(|next| format!("{:+.1} K", next.starts_hotter_k));
            vec![
                option.name.clone(),
                format!("{:.1}", option.energy_j / 3.6e6 + 0.0),
                format!("{:.1}", option.supply_energy_j / 3.6e6),
                format!("{:.2}", option.aux_energy_j / 3.6e6),
                format!("{:.2}", option.cart_energy_j / 3.6e6),
                format!("{:.0} %", 100.0 * option.state_of_charge),
                format!("{:.1} degC", celsius(option.pack_at_ready_k)),
                hotter.unwrap_or_else(|| "-".to_owned()),
                next(option.next.as_ref()).to_owned(),
            ]
        })
        .collect();
    let phases = ["option", "taxi", "soak", "cool", "charge", "swap", "ready"];
    let heads =
        ["option", "kWh in", "charger kWh", "cooling kWh", "cart kWh", "charged", "pack", "hotter", "next"];
    table(&phases, &[1, 2, 3, 4, 5, 6], times) + &table(&heads, &[1, 2, 3, 4, 5, 6, 7], states)
}

/// Whether the next flight keeps its required margins.
fn next(next: Option<&NextFlight>) -> &'static str {
    match next {
        None => "-",
        Some(next) if next.holds() => "holds",
        Some(_) => "SHORT",
    }
}

fn waits(cells: &[WaitCell]) -> String {
    let mut packs: Vec<f64> = Vec::new();
    for cell in cells {
        if !packs.contains(&cell.pack_k) {
            packs.push(cell.pack_k);
        }
    }
    let mut head = vec!["option".to_owned(), "outside".to_owned()];
    head.extend(packs.iter().map(|pack_k| format!("{:.0} degC", celsius(*pack_k))));
    let rows = cells
        .chunks(packs.len())
        .map(|row| {
            let mut line = vec![row[0].option.clone(), format!("{:.0} degC", celsius(row[0].outside_k))];
            line.extend(row.iter().map(|cell| match cell.wait_s {
                Some(wait_s) => format!("{} min {:.2} C", minutes(wait_s), 3600.0 * cell.rate_per_s),
                None => "-".to_owned(),
            }));
            line
        })
        .collect();
    let head: Vec<&str> = head.iter().map(String::as_str).collect();
    let numbers: Vec<usize> = (1..head.len()).collect();
    table(&head, &numbers, rows)
}

fn departures(limits: &[DepartureLimit]) -> String {
    let rows = limits
        .iter()
        .map(|limit| {
            let limited = match (limit.pack_k, limit.limited_by.as_str()) {
                (Some(_), "") => "highest limit of the cells itself".to_owned(),
                (None, by) => format!("{by} is short with any pack"),
                (Some(_), by) => by.to_owned(),
            };
            vec![
                format!("{:.0} degC", celsius(limit.outside_k)),
                limit.pack_k.map_or_else(|| "none".to_owned(), |k| format!("{:.1} degC", celsius(k))),
                limited,
                limit.mission.clone(),
            ]
        })
        .collect();
    table(&["outside", "pack at most", "limited by", "flight"], &[0, 1], rows)
}

/// Result of `turnaround`.
pub fn json(origin: &Origin<'_>, results: &[TurnaroundResult]) -> Value {
    let place = |result: &TurnaroundResult, mut value: Value| {
        value["turnaround"] = json!(result.name);
        value["condition"] = json!(result.condition);
        value
    };
    let options: Vec<Value> =
        results.iter().flat_map(|r| r.options.iter().map(move |o| place(r, option_json(r, o)))).collect();
    let cells: Vec<Value> =
        results.iter().flat_map(|r| r.table.iter().map(move |c| place(r, wait_json(c)))).collect();
    let limits: Vec<Value> =
        results.iter().flat_map(|r| r.departure.iter().map(move |l| place(r, departure_json(l)))).collect();
    let notes: Vec<Value> = results
        .iter()
        .flat_map(|r| r.dew_notes.iter().map(move |note| place(r, json!({ "message": note }))))
        .collect();
    let mut value = origin.head();
    value["options"] = json!(options);
    value["table"] = json!(cells);
    value["departure"] = json!(limits);
    value["dew_point"] = json!(notes);
    value
}

fn option_json(result: &TurnaroundResult, option: &OptionResult) -> Value {
    json!({
        "name": option.name,
        "after": result.after,
        "outside_K": result.outside_k,
        "times_s": {
            "taxi": option.times.taxi_s,
            "soak": option.times.soak_s,
            "cool": option.times.cool_s,
            "charge": option.times.charge_s,
            "swap": option.times.swap_s,
            "ready": option.ready_s,
        },
        "outcome": option.outcome,
        "energy_J": option.energy_j,
        "supply_energy_J": option.supply_energy_j,
        "aux_energy_J": option.aux_energy_j,
        "cart_heat_J": option.cart_heat_j,
        "cart_energy_J": option.cart_energy_j,
        "pack_temperature_at_landing_K": option.pack_at_landing_k,
        "pack_temperature_at_ready_K": option.pack_at_ready_k,
        "state_of_charge": option.state_of_charge,
        "next": option.next.as_ref().map(|next| json!({
            "mission": next.mission,
            "starts_hotter_K": next.starts_hotter_k,
            "status": next.status.word(),
            "holds": next.holds(),
            "worst": next.worst.as_ref().map(|worst| json!({
                "where": worst.margin.place,
                "limit": worst.margin.limit,
                "unit": worst.margin.kind.unit(),
                "margin": worst.margin.margin,
                "required": worst.margin.required,
                "time_s": worst.time_s,
            })),
        })),
    })
}

fn wait_json(cell: &WaitCell) -> Value {
    json!({
        "option": cell.option,
        "outside_K": cell.outside_k,
        "pack_K": cell.pack_k,
        "wait_s": cell.wait_s,
        "rate_per_s": cell.rate_per_s,
        "current_A": cell.current_a,
        "outcome": cell.outcome,
    })
}

fn departure_json(limit: &DepartureLimit) -> Value {
    json!({
        "outside_K": limit.outside_k,
        "mission": limit.mission,
        "pack_K": limit.pack_k,
        "limited_by": limit.limited_by,
    })
}
