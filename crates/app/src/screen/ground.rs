//! Turnarounds as display data: minutes and seconds, degrees Celsius, kilowatt-hours.

use aircraft::records::project::Project;
use model::mission;
use studies::turnaround::{OptionResult, TurnaroundResult};

use super::flight::cells;
use super::units::{celsius, displayed};
use crate::views::chart::{Chart, Series};
use crate::views::figure::{Figure, Sign, number, signed};
use crate::views::turnaround::{
    Departure, Phase, PhaseSpan, TurnaroundData, TurnaroundOption, WaitCell, WaitTable, longest_s,
};

/// The page Turnaround of one turnaround at one condition.
pub(super) fn turnaround_data(
    project: &Project,
    result: &TurnaroundResult,
    is_whole: bool,
) -> TurnaroundData {
    let mut options: Vec<&OptionResult> = result.options.iter().collect();
    options.sort_by(|a, b| ready(a).total_cmp(&ready(b)));
    let shown: Vec<TurnaroundOption> = options.iter().map(|result| option(result)).collect();
    let end_s = longest_s(&shown);
    let curves = options.iter().map(|option| curve(project, option, end_s)).collect();
    TurnaroundData {
        name: result.name.clone(),
        after: format!("{}/{}", result.condition, result.after),
        outside: degrees(result.outside_k),
        options: shown,
        curves: Chart {
            title: "Pack temperature, hottest group".to_owned(),
            x_unit: "min since touchdown".to_owned(),
            unit: "degC".to_owned(),
            decimals: 1,
            series: curves,
            ..Chart::default()
        },
        tables: tables(result),
        departure: result
            .departure
            .iter()
            .map(|limit| Departure {
                outside: degrees(limit.outside_k),
                mission: limit.mission.clone(),
                pack: limit.pack_k.map_or_else(Figure::none, |pack| Figure::new(celsius(pack), 1)),
                limited_by: limit.limited_by.clone(),
            })
            .collect(),
        remarks: result.dew_notes.clone(),
        is_whole,
        energy_unit: "kWh".to_owned(),
        temperature_unit: "degC".to_owned(),
    }
}

fn ready(option: &OptionResult) -> f64 {
    option.ready_s.unwrap_or(f64::INFINITY)
}

fn degrees(kelvin: f64) -> String {
    format!("{} degC", number(celsius(kelvin), 0))
}

fn option(result: &OptionResult) -> TurnaroundOption {
    let (sign, outcome) = match (&result.ready_s, &result.next) {
        (None, _) => (Sign::Bad, result.outcome.clone()),
        (Some(_), Some(next)) if !next.holds() => {
            let why = next.worst.as_ref().map_or_else(String::new, |worst| {
                let shown = displayed(&worst.margin);
                format!(": reserve {} {} at {}", signed(shown.reserve, 1), shown.unit, worst.margin.place)
            });
            let stands = next.standing();
            (stands.into(), format!("the next {}: {}{why}", next.mission, stands.words()))
        }
        (Some(_), _) => (Sign::Good, String::new()),
    };
    TurnaroundOption {
        name: result.name.clone(),
        phases: phases(result),
        ready_s: result.ready_s,
        outcome,
        charged: format!("{} %", number(100.0 * result.state_of_charge, 0)),
        energy: Figure::new(result.energy_j / 3.6e6, 1),
        pack_temperature: Figure::new(celsius(result.pack_at_ready_k), 1),
        sign,
    }
}

/// The steps as they were taken; a cart that goes on while the pack is charged cools beside it.
fn phases(result: &OptionResult) -> Vec<PhaseSpan> {
    let flight = &result.flight;
    let mut spans: Vec<PhaseSpan> = Vec::new();
    for flown in &flight.steps {
        let step = &flight.schedule.steps[flown.step];
        let phase = match step.phase {
            mission::Phase::Taxi => Phase::Taxi,
            mission::Phase::Segment | mission::Phase::Soak => Phase::Soak,
            mission::Phase::Cool => Phase::Cool,
            mission::Phase::Charge => Phase::Charge,
            mission::Phase::Swap => Phase::Swap,
        };
        let span = PhaseSpan { phase, from_s: flown.start_s, to_s: flown.end_s };
        spans.push(span);
        if phase == Phase::Charge && !step.carts.is_empty() {
            spans.push(PhaseSpan { phase: Phase::Cool, ..span });
        }
    }
    spans
}

/// The curve as far as the scale of the bars goes.
fn curve(project: &Project, result: &OptionResult, end_s: f64) -> Series {
    let name = project.powertrain.as_ref().and_then(cells).unwrap_or_default();
    let flight = &result.flight;
    let temperatures = flight.component_k(name);
    let seen = flight.times_s.iter().zip(temperatures).take_while(|(time, _)| **time <= end_s);
    let points = seen.map(|(time, kelvin)| [time / 60.0, celsius(kelvin)]);
    Series { name: result.name.clone(), points: points.collect() }
}

/// A table for each option: outside air in rows, pack temperatures in columns, both as the study tells them.
fn tables(result: &TurnaroundResult) -> Vec<WaitTable> {
    let mut tables: Vec<WaitTable> = Vec::new();
    for cell in &result.table {
        let (air, pack) = (degrees(cell.outside_k), degrees(cell.pack_k));
        let shown = WaitCell {
            wait_s: cell.wait_s,
            rate: format!("{} C, {} A", number(3600.0 * cell.rate_per_s, 2), number(cell.current_a, 0)),
            why: cell.outcome.clone(),
        };
        if tables.last().is_none_or(|table| table.option != cell.option) {
            tables.push(WaitTable { option: cell.option.clone(), ..WaitTable::default() });
        }
        let Some(table) = tables.last_mut() else { continue };
        if !table.pack_temperatures.contains(&pack) {
            table.pack_temperatures.push(pack);
        }
        match table.rows.last_mut() {
            Some((known, cells)) if *known == air => cells.push(shown),
            _ => table.rows.push((air, vec![shown])),
        }
    }
    tables
}
