//! Missions, turnarounds and failures as sheets.

use report::sheet::{Cell, Sheet};

use super::{curves, figure, measured, text};
use crate::clock::clock;
use crate::views::failures::FailuresData;
use crate::views::mission::MissionData;
use crate::views::turnaround::{TurnaroundData, WaitTable};

/// The curves, then what came nearest to its limit, what happened, and the segments.
pub(super) fn mission(mission: &MissionData) -> Vec<Sheet> {
    let mut sheets = vec![curves("", "Time, s", mission.charts())];
    if !mission.peaks.is_empty() {
        sheets.push(nearest(mission));
    }
    if !mission.events.is_empty() {
        let rows = mission.events.iter().map(|event| vec![event.time_s.into(), (&event.what).into()]);
        sheets.push(Sheet::new("Events", [measured("Time", "s"), text("Event")]).with_rows(rows));
    }
    let columns =
        [text("Segment"), measured("From", "s"), measured("To", "s"), text("Power"), text("Setting")];
    let rows = mission.segments.iter().map(|segment| {
        let (power, setting) = (Cell::said(segment.power.as_str()), Cell::said(segment.setting.as_str()));
        vec![(&segment.name).into(), segment.from_s.into(), segment.to_s.into(), power, setting]
    });
    sheets.push(Sheet::new("Segments", columns).with_rows(rows));
    sheets
}

fn nearest(mission: &MissionData) -> Sheet {
    let t = mission.temperature_unit.as_str();
    let columns = [
        text("Where"),
        measured("Temperature", t),
        measured("Limit", t),
        measured("Margin", "K"),
        text("Standing"),
        measured("When", "s"),
    ];
    let rows = mission.peaks.iter().map(|peak| {
        let figures = [&peak.temperature, &peak.limit, &peak.margin].map(figure);
        let name = std::iter::once(Cell::from(&peak.where_));
        name.chain(figures).chain([peak.standing.words().into(), Cell::finite(peak.time_s)]).collect()
    });
    Sheet::new("Closest to the limits", columns).with_rows(rows)
}

/// The ways with their phases: what the bars show.
pub(super) fn ways(data: &TurnaroundData) -> Sheet {
    let columns = [
        text("Option"),
        text("Phases"),
        measured("Ready", "s"),
        measured("Energy", &data.energy_unit),
        measured("Pack when ready", &data.temperature_unit),
        text("Note"),
    ];
    let rows = data.options.iter().map(|option| {
        let phases: Vec<String> = option
            .phases
            .iter()
            .map(|span| format!("{} {} to {} s", span.phase.word(), span.from_s, span.to_s))
            .collect();
        vec![
            (&option.name).into(),
            Cell::said(phases.join("; ")),
            option.ready_s.map_or(Cell::Absent, Cell::finite),
            figure(&option.energy),
            figure(&option.pack_temperature),
            Cell::said(option.outcome.as_str()),
        ]
    });
    Sheet::new("", columns).with_rows(rows)
}

/// The ways, the tables of the ground team and the curves.
pub(super) fn turnaround(data: &TurnaroundData) -> Vec<Sheet> {
    let mut sheets = vec![ways(data)];
    if !data.departure.is_empty() {
        let columns = [
            text("Outside air"),
            text("Flight"),
            measured("Pack", &data.temperature_unit),
            text("Limited by"),
        ];
        let rows = data.departure.iter().map(|row| {
            let names = [Cell::from(&row.outside), Cell::from(&row.mission)];
            let rest = [figure(&row.pack), Cell::said(row.limited_by.as_str())];
            names.into_iter().chain(rest).collect()
        });
        sheets.push(Sheet::new("Hottest pack at departure", columns).with_rows(rows));
    }
    sheets.extend(data.tables.iter().map(waits));
    sheets.push(curves(&data.curves.title, &data.curves.x_unit, std::iter::once(&data.curves)));
    sheets
}

/// What the ground team waits for, in words: when the charge may begin and how fast it is, or why it may not.
fn waits(table: &WaitTable) -> Sheet {
    let heads = table.pack_temperatures.iter().map(|head| text(format!("pack {head}")));
    let columns = std::iter::once(text("Outside air")).chain(heads);
    let rows = table.rows.iter().map(|(air, cells)| {
        let told = cells.iter().map(|cell| match cell.wait_s {
            Some(wait) => format!("{}, then {}", clock(wait), cell.rate).into(),
            None => format!("no charge; {}", cell.why).into(),
        });
        std::iter::once(Cell::from(air)).chain(told).collect()
    });
    Sheet::new(format!("Wait and charge, {}", table.option), columns).with_rows(rows)
}

/// Time to the limit and to land, by failure: what the bars show.
pub(super) fn times(data: &FailuresData) -> Sheet {
    let columns = [
        text("Failure"),
        text("Start"),
        measured("Time to required", "s"),
        text("First required"),
        measured("Time to limit", "s"),
        text("First limit"),
        measured("Time to land", "s"),
        text("Standing"),
        text("Action"),
        text("Reason"),
    ];
    let rows = data.rows.iter().map(|row| {
        vec![
            (&row.name).into(),
            Cell::said(row.start.as_str()),
            row.time_to_required_s.map_or(Cell::Absent, Cell::finite),
            Cell::said(row.first_required.as_str()),
            row.time_to_limit_s.map_or(Cell::Absent, Cell::finite),
            Cell::said(row.first_limit.as_str()),
            row.time_to_land_s.map_or(Cell::Absent, Cell::finite),
            row.standing.words().into(),
            Cell::said(row.action.as_str()),
            Cell::said(row.action_reason.as_str()),
        ]
    });
    Sheet::new("", columns).with_rows(rows)
}

/// The times, the peaks until touchdown and the warnings of every failure.
pub(super) fn failures(data: &FailuresData) -> Vec<Sheet> {
    let t = data.temperature_unit.as_str();
    let columns = [
        text("Failure"),
        text("Where"),
        measured("Peak", t),
        measured("Limit", t),
        measured("Margin", "K"),
        text("Standing"),
    ];
    let peaks = data.rows.iter().flat_map(|row| {
        row.peaks.iter().map(|peak| {
            let names = [Cell::from(&row.name), Cell::from(&peak.where_)];
            let figures = [&peak.temperature, &peak.limit, &peak.margin].map(figure);
            names.into_iter().chain(figures).chain([peak.standing.words().into()]).collect()
        })
    });
    let peaks = Sheet::new("Peak until touchdown", columns).with_rows(peaks);
    let columns = [text("Failure"), text("Sensor"), measured("Amber", t), measured("Red", t), text("Basis")];
    let alerts = data.rows.iter().flat_map(|row| {
        row.alerts.iter().map(|alert| {
            let names = [Cell::from(&row.name), Cell::from(&alert.where_)];
            let figures = [&alert.amber, &alert.red].map(figure);
            names.into_iter().chain(figures).chain([Cell::said(alert.basis.as_str())]).collect()
        })
    });
    let alerts = Sheet::new("Alert temperatures that leave time for the action", columns).with_rows(alerts);
    let power = data.power.iter().map(|shown| shown.sheet.clone());
    [times(data), peaks, alerts].into_iter().chain(power).collect()
}
