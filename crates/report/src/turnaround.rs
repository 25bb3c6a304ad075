//! Turnarounds: options side by side and the tables for the ground team.

use crate::celsius;
use crate::json::{Origin, margin};
use crate::sheet::{Cell, Column, Digits, Row, Sheet, Unit};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::turnaround::{DepartureLimit, OptionResult, TurnaroundResult, WaitCell};
use units::Kind;

/// Everything about turnarounds as text.
pub fn page(project: &str, variant: &str, results: &[TurnaroundResult]) -> String {
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
    let options = ranked(&result.options);
    text.push_str(&(phases(&options).text() + &states(&options).text()));
    text.push_str(
        "kWh in: charge times open-circuit voltage; charger, cooling, cart kWh: what charger, own pumps and fans\n\
         and carts took; pack, charged: at ready;\n\
         hotter: pack at the next departure less at the last; next: whether that flight keeps every margin\n",
    );
    for option in &result.options {
        let worst = option.next.as_ref().filter(|next| !next.holds()).map(|next| match &next.worst {
            Some(worst) => {
                let margin = &worst.margin;
                let words = crate::margins::words(margin);
                format!("{}, {}, reserve {}", margin.place, margin.limit, words.reserve)
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
        text.push_str(&waits(&result.table).text());
    }
    if !result.departure.is_empty() {
        text.push_str(
            "Highest pack temperature at departure that still lands with every required margin\n\n",
        );
        text.push_str(&departures(&result.departure).text());
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

/// Phases of every option; times in minutes.
fn phases(options: &[&OptionResult]) -> Sheet {
    let minutes = |key: &str, head: &str| {
        let column = Column::time(key).head(head).digits(Digits::Fixed(0));
        Column { unit: Unit::Named("min".into()), ..column }
    };
    let columns = [
        Column::text("option"),
        minutes("taxi_s", "taxi"),
        minutes("soak_s", "soak"),
        minutes("cool_s", "cool"),
        minutes("charge_s", "charge"),
        minutes("swap_s", "swap"),
        minutes("ready_s", "ready").or("never"),
    ];
    let row = |option: &&OptionResult| {
        let times = &option.times;
        let phases = [times.taxi_s, times.soak_s, times.cool_s, times.charge_s, times.swap_s];
        let name = std::iter::once(Cell::from(&option.name));
        name.chain(phases.map(Cell::Time)).chain([Cell::time(option.ready_s)]).collect()
    };
    Sheet::new("from landing to ready", columns).with_rows(options.iter().map(row))
}

/// Energies and the pack at ready.
fn states(options: &[&OptionResult]) -> Sheet {
    let energy = |key: &str, head: &str, decimals| {
        Column::number(key, Kind::Energy, "kWh", decimals).head(head).silent()
    };
    let columns = [
        Column::text("option"),
        energy("energy_J", "kWh in", 1),
        energy("supply_energy_J", "charger kWh", 1),
        energy("aux_energy_J", "cooling kWh", 2),
        energy("cart_energy_J", "cart kWh", 2),
        Column::number("state_of_charge", Kind::Ratio, "%", 0).head("charged").in_cell(),
        Column::number("pack_K", Kind::Temperature, "degC", 1).head("pack").in_cell(),
        Column::number("hotter_K", Kind::TemperatureDifference, "K", 1)
            .head("hotter")
            .signed()
            .in_cell()
            .or("-"),
        Column::flag("next_short", ["SHORT", "holds"]).verdict().head("next").or("-"),
    ];
    let row = |option: &&OptionResult| {
        let next = option.next.as_ref();
        vec![
            (&option.name).into(),
            // no minus before a zero
            (option.energy_j + 0.0).into(),
            option.supply_energy_j.into(),
            option.aux_energy_j.into(),
            option.cart_energy_j.into(),
            option.state_of_charge.into(),
            option.pack_at_ready_k.into(),
            next.map(|next| next.starts_hotter_k).into(),
            next.map(|next| !next.holds()).into(),
        ]
    };
    Sheet::new("energies and the pack when ready", columns).with_rows(options.iter().map(row))
}

/// Wait and rate by option and outside air, a column for each temperature of the pack.
fn waits(cells: &[WaitCell]) -> Sheet {
    let mut packs: Vec<f64> = Vec::new();
    for cell in cells {
        if !packs.contains(&cell.pack_k) {
            packs.push(cell.pack_k);
        }
    }
    let mut columns = vec![
        Column::text("option"),
        Column::number("outside_K", Kind::Temperature, "degC", 0).head("outside").in_cell(),
    ];
    for pack_k in &packs {
        let head = format!("{:.0} degC", celsius(*pack_k));
        let wait =
            Column::time(format!("wait_at_{pack_k}K_s")).head(&head).digits(Digits::Fixed(0)).in_cell();
        columns.push(Column { unit: Unit::Named("min".into()), ..wait }.or("-"));
        let rate = Column::number(format!("rate_at_{pack_k}K_1_s"), Kind::ChargeRate, "C", 2);
        columns.push(rate.head(format!("{head}, rate")).in_cell().after(" "));
    }
    let row = |row: &[WaitCell]| {
        let mut line: Row = vec![(&row[0].option).into(), row[0].outside_k.into()];
        for cell in row {
            line.push(Cell::time(cell.wait_s));
            line.push(cell.wait_s.map(|_| cell.rate_per_s).into());
        }
        line
    };
    Sheet::new("wait and charge", columns).with_rows(cells.chunks(packs.len().max(1)).map(row))
}

fn departures(limits: &[DepartureLimit]) -> Sheet {
    let columns = [
        Column::number("outside_K", Kind::Temperature, "degC", 0).head("outside").in_cell(),
        Column::number("pack_K", Kind::Temperature, "degC", 1).head("pack at most").in_cell().or("none"),
        Column::text("limited_by"),
        Column::text("mission").head("flight"),
    ];
    let row = |limit: &DepartureLimit| {
        let limited = match (limit.pack_k, limit.limited_by.as_str()) {
            (Some(_), "") => "highest limit of the cells itself".to_owned(),
            (None, by) => format!("{by} is short with any pack"),
            (Some(_), by) => by.to_owned(),
        };
        vec![limit.outside_k.into(), limit.pack_k.into(), limited.into(), (&limit.mission).into()]
    };
    Sheet::new("highest pack temperature at departure", columns).with_rows(limits.iter().map(row))
}

/// The sheets of every turnaround.
pub fn sheets(results: &[TurnaroundResult]) -> Vec<Sheet> {
    let of = |result: &TurnaroundResult| {
        let options = ranked(&result.options);
        let mut all = vec![phases(&options), states(&options)];
        if !result.table.is_empty() {
            all.push(waits(&result.table));
        }
        if !result.departure.is_empty() {
            all.push(departures(&result.departure));
        }
        let place = format!("{}, {}", result.name, result.condition);
        for sheet in &mut all {
            sheet.title = format!("{place}: {}", sheet.title);
        }
        all
    };
    results.iter().flat_map(of).collect()
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
            "standing": next.standing().word(),
            "worst": next.worst.as_ref().map(|worst| margin(&worst.margin, Some(worst.time_s))),
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
