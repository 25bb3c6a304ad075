//! Missions, turnarounds and failures as text for a spreadsheet: each table of a page under its title.

use super::{Rows, cell, curves, exact};
use crate::views::failures::FailuresData;
use crate::views::mission::MissionData;
use crate::views::time::clock;
use crate::views::turnaround::TurnaroundData;

/// The curves, then what came nearest to its limit, what happened, and the segments.
pub(super) fn mission(mission: &MissionData) -> String {
    let mut rows = Rows(curves("Time, s", mission.charts()));
    if !mission.peaks.is_empty() {
        let t = &mission.temperature_unit;
        rows.titled("Nearest to the limits");
        rows.push([
            "Where",
            &format!("Temperature, {t}"),
            &format!("Limit, {t}"),
            "Margin, K",
            "Standing",
            "When, s",
        ]);
        for peak in &mission.peaks {
            let figures = [&peak.temperature, &peak.limit, &peak.margin].map(cell);
            let rest = [peak.standing.word().to_owned(), exact(peak.time_s)];
            rows.push([peak.where_.clone()].into_iter().chain(figures).chain(rest));
        }
    }
    if !mission.events.is_empty() {
        rows.titled("Events");
        rows.push(["Time, s", "What"]);
        for event in &mission.events {
            rows.push([exact(event.time_s), event.what.clone()]);
        }
    }
    rows.titled("Segments");
    rows.push(["Segment", "From, s", "To, s", "Power", "Setting"]);
    for segment in &mission.segments {
        let times = [exact(segment.from_s), exact(segment.to_s)];
        let names = [segment.power.clone(), segment.setting.clone()];
        rows.push([segment.name.clone()].into_iter().chain(times).chain(names));
    }
    rows.0
}

/// The ways with their phases: what the bars show.
pub(super) fn ways(data: &TurnaroundData) -> String {
    let mut rows = Rows::default();
    rows.push([
        "Way".to_owned(),
        "Phases".to_owned(),
        "Ready, s".to_owned(),
        format!("Energy, {}", data.energy_unit),
        format!("Pack when ready, {}", data.temperature_unit),
        "Remark".to_owned(),
    ]);
    for option in &data.options {
        let phases: Vec<String> = option
            .phases
            .iter()
            .map(|span| format!("{} {} to {} s", span.phase.word(), exact(span.from_s), exact(span.to_s)))
            .collect();
        rows.push([
            option.name.clone(),
            phases.join("; "),
            option.ready_s.map(exact).unwrap_or_default(),
            cell(&option.energy),
            cell(&option.pack_temperature),
            option.outcome.clone(),
        ]);
    }
    rows.0
}

/// The ways, the tables of the ground team and the curves.
pub(super) fn turnaround(data: &TurnaroundData) -> String {
    let mut rows = Rows(ways(data));
    if !data.departure.is_empty() {
        rows.titled("Hottest pack at departure");
        rows.push(["Outside air", "Flight", &format!("Pack, {}", data.temperature_unit), "Limited by"]);
        for row in &data.departure {
            rows.push([row.outside.clone(), row.mission.clone(), cell(&row.pack), row.limited_by.clone()]);
        }
    }
    for table in &data.tables {
        rows.titled(&format!("Wait and charge, {}", table.option));
        let heads = table.pack_temperatures.iter().map(|head| format!("pack {head}"));
        rows.push(std::iter::once("Outside air".to_owned()).chain(heads));
        for (air, cells) in &table.rows {
            let told = cells.iter().map(|cell| match cell.wait_s {
                Some(wait) => format!("{}, then {}", clock(wait), cell.rate),
                None => format!("no charge; {}", cell.why),
            });
            rows.push(std::iter::once(air.clone()).chain(told));
        }
    }
    rows.titled(&data.curves.title);
    rows.0 += &curves(&data.curves.x_unit, std::iter::once(&data.curves));
    rows.0
}

/// Time to the limit and to land, by failure: what the bars show.
pub(super) fn times(data: &FailuresData) -> String {
    let mut rows = Rows::default();
    let heads =
        ["Failure", "Start", "Time to limit, s", "First limit", "Time to land, s", "Standing", "Action"];
    rows.push(heads);
    for row in &data.rows {
        rows.push([
            row.name.clone(),
            row.start.clone(),
            row.time_to_limit_s.map(exact).unwrap_or_default(),
            row.first_limit.clone(),
            row.time_to_land_s.map(exact).unwrap_or_default(),
            row.standing().word().to_owned(),
            row.action.clone(),
        ]);
    }
    rows.0
}

/// The times, the peaks until touchdown and the warnings of every failure.
pub(super) fn failures(data: &FailuresData) -> String {
    let mut rows = Rows(times(data));
    let t = &data.temperature_unit;
    rows.titled("Peak until touchdown");
    rows.push(["Failure", "Where", &format!("Peak, {t}"), &format!("Limit, {t}"), "Margin, K", "Standing"]);
    for row in &data.rows {
        for peak in &row.peaks {
            let figures = [&peak.temperature, &peak.limit, &peak.margin].map(cell);
            let names = [row.name.clone(), peak.where_.clone()];
            let standing = std::iter::once(peak.standing.word().to_owned());
            rows.push(names.into_iter().chain(figures).chain(standing));
        }
    }
    rows.titled("Warnings that leave time for the action");
    rows.push(["Failure", "Sensor", &format!("Amber, {t}"), &format!("Red, {t}"), "Basis"]);
    for row in &data.rows {
        for alert in &row.alerts {
            let figures = [&alert.amber, &alert.red].map(cell);
            let names = [row.name.clone(), alert.where_.clone()];
            rows.push(names.into_iter().chain(figures).chain([alert.basis.clone()]));
        }
    }
    rows.0
}
