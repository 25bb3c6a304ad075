//! A flown mission as display data: minutes and seconds, degrees Celsius, kilowatts, feet and knots.

use std::collections::BTreeMap;

use aircraft::records::component::Bound;
use aircraft::records::powertrain::{Bus, Powertrain};
use aircraft::records::project::Project;
use model::mission::{Flight, MissionCase, ScheduleStep, StepEnd, TimedMargin};
use model::result::{CaseResult, MarginKind};
use schema::InputEntry;
use session::Flown;

use super::fields::field;
use super::units::{celsius, displayed};
use crate::views::InputField;
use crate::views::chart::{Chart, ChartStyle, Limit, Series};
use crate::views::figure::{Figure, number};
use crate::views::ledger::{HeatBook, LedgerData, LedgerItem};
use crate::views::mission::{Event, MissionData, Peak, SegmentBand};

/// International foot and knot, exact.
const FOOT_M: f64 = 0.3048;
const KNOT_M_S: f64 = 1852.0 / 3600.0;
/// Parts with an area of their own in the heat by source; the smaller ones are added up.
const SOURCES: usize = 11;
/// Rows of the list of peaks.
const PEAKS: usize = 16;

/// The component of the cells, if the bus is a pack.
pub(super) fn cells(powertrain: &Powertrain) -> Option<&str> {
    match &powertrain.bus {
        Bus::Pack(pack) => Some(pack.cells.as_str()),
        Bus::Supply(_) => None,
    }
}

/// The page Mission of a flown case: the same at every moment.
pub(super) fn page(case: &MissionCase<'_>, flown: &Flown, inputs: &[InputEntry]) -> MissionData {
    let flight = &flown.flight;
    // Every name and number of every moment takes tens of megabytes: they are read from the flight again where one is shown.
    let states = (0..flight.times_s.len()).map(|sample| flight.case_at(case.project, sample)).collect();
    mission_data(case, &Sampled { flight, margins: &flown.margins, states }, inputs)
}

/// A flight while its page is drawn.
struct Sampled<'a> {
    flight: &'a Flight,
    margins: &'a [TimedMargin],
    /// The state at every sample.
    states: Vec<CaseResult>,
}

/// The page Mission of a flown case.
fn mission_data(case: &MissionCase<'_>, flown: &Sampled<'_>, inputs: &[InputEntry]) -> MissionData {
    let flight = flown.flight;
    let heat = &flight.heat;
    let share = heat.residual_j / heat.turnover_j.abs().max(f64::MIN_POSITIVE);
    MissionData {
        name: case.mission.name.as_str().to_owned(),
        end_s: flight.duration_s(),
        segments: segments(case, flight, inputs),
        events: flight.events.iter().map(|e| Event { time_s: e.time_s, what: e.what.clone() }).collect(),
        power: power(flown),
        temperatures: temperatures(case.project, flown),
        heat: heat_by_source(flown),
        heat_book: format!(
            "Heat balance of the whole mission: {} MJ generated = {} MJ rejected + {} MJ stored; residual is {share:.1e} of the \
             heat turned over.",
            number(1e-6 * heat.generated_j, 3),
            number(1e-6 * heat.rejected_j, 3),
            number(1e-6 * heat.stored_j, 3),
        ),
        pack: pack(flight),
        peaks: flown.margins.iter().filter(|timed| is_temperature(timed)).take(PEAKS).map(peak).collect(),
        temperature_unit: "degC".to_owned(),
        beneath: None,
    }
}

/// Shaft power over time; for a rig without a shaft the heat that is generated.
fn power(flown: &Sampled<'_>) -> Chart {
    let (flight, times) = (flown.flight, &flown.flight.times_s);
    let shaft_w = flight.shaft_power_w();
    if shaft_w.iter().any(|power| power.abs() > 0.0) {
        let has_stages =
            flown.states.iter().filter_map(|s| s.electric.as_ref()).any(|e| !e.stages.is_empty());
        return chart(
            if has_stages { "Shaft power at the rotor" } else { "Shaft power" },
            "kW",
            1,
            vec![series("shaft power", times, shaft_w.iter().map(|w| 1e-3 * w))],
        );
    }
    let heat = |state: &CaseResult| -> f64 {
        state.lines.iter().filter(|line| !line.is_rejection).map(|line| 1e-3 * line.heat_w).sum()
    };
    chart("Heat generated", "kW", 2, vec![series("heat generated", times, flown.states.iter().map(heat))])
}

/// The balance at a moment: what is neither taken away nor given off warms parts and fluids. That the books close is told by
/// the heat book of the whole mission, in which the heat content is added up by itself.
pub(super) fn ledger_at(moment: LedgerData, flown: &Flown) -> LedgerData {
    let heat = &flown.flight.heat;
    let stored = LedgerData::total(&moment.generated) - LedgerData::total(&moment.rejected);
    let how = if stored < 0.0 { "cool down" } else { "warm up" };
    let item = LedgerItem { name: "parts and fluids".to_owned(), how: how.to_owned(), value: stored };
    LedgerData {
        stored: vec![item],
        residual: 1e-3 * heat.residual_j,
        allowed_residual: 1e-9 * heat.turnover_j.abs(),
        book: Some(HeatBook { turnover: 1e-3 * heat.turnover_j, unit: "kJ".to_owned() }),
        ..moment
    }
}

fn chart(title: &str, unit: &str, decimals: usize, series: Vec<Series>) -> Chart {
    Chart { title: title.to_owned(), unit: unit.to_owned(), decimals, series, ..Chart::default() }
}

fn series(name: &str, times_s: &[f64], values: impl Iterator<Item = f64>) -> Series {
    Series {
        name: name.to_owned(),
        points: times_s.iter().zip(values).map(|(time, value)| [*time, value]).collect(),
    }
}

fn segments(case: &MissionCase<'_>, flight: &Flight, inputs: &[InputEntry]) -> Vec<SegmentBand> {
    let mission = case.mission.name.as_str();
    flight
        .steps
        .iter()
        .map(|flown| {
            let step = &flight.schedule.steps[flown.step];
            let prefix = format!("missions.{mission}.segments.{}.", step.label);
            let own =
                |entry: &&InputEntry| entry.stated && !entry.in_curve && entry.address.starts_with(&prefix);
            let inputs: Vec<InputField> = inputs.iter().filter(own).map(field).collect();
            SegmentBand {
                name: step.label.clone(),
                from_s: flown.start_s,
                to_s: flown.end_s,
                power: range(step, "kW", 1, |command| 1e-3 * command.shaft_power_w),
                setting: setting(step, flown.ended),
                inputs,
            }
        })
        .collect()
}

/// A command at both ends of a step, once where it stays the same.
fn range(
    step: &ScheduleStep,
    unit: &str,
    decimals: usize,
    of: impl Fn(&model::mission::Commanded) -> f64,
) -> String {
    let (Some(first), Some(last)) = (step.pieces.first(), step.pieces.last()) else { return String::new() };
    let from = number(of(&first.from.commanded), decimals);
    let to = number(of(&last.to.as_ref().unwrap_or(&last.from).commanded), decimals);
    if from == to { format!("{from} {unit}") } else { format!("{from} to {to} {unit}") }
}

fn setting(step: &ScheduleStep, ended: StepEnd) -> String {
    let mut words = vec![
        range(step, "ft", 0, |command| command.height_m / FOOT_M),
        range(step, "kt", 0, |command| command.airspeed_m_s / KNOT_M_S),
    ];
    if step.ground {
        words.push("on the ground".to_owned());
    }
    words.extend(step.rating.iter().map(|rating| format!("rating {rating}")));
    match ended {
        StepEnd::TimeUp => {}
        StepEnd::Reached => words.push("ended by its event".to_owned()),
        StepEnd::Stabilised => words.push("ended when stabilised".to_owned()),
        StepEnd::NotReached => words.push("its event did not occur in the time allowed".to_owned()),
    }
    words.join(", ")
}

/// The groups of components, in the order of the page; what belongs to none is in the last.
fn groups(project: &Project) -> Vec<(&'static str, Vec<&str>)> {
    let mut motors: Vec<&str> = Vec::new();
    let mut drive: Vec<&str> = Vec::new();
    let mut battery: Vec<&str> = Vec::new();
    if let Some(powertrain) = &project.powertrain {
        for motor in &powertrain.motors {
            motors.extend([motor.winding.as_str(), motor.iron.as_str(), motor.rotor.as_str()]);
            drive.push(motor.inverter.as_str());
        }
        drive.extend(powertrain.gearbox.iter().map(|gearbox| gearbox.sump.as_str()));
        drive.extend(powertrain.stages.iter().filter_map(|stage| stage.into.as_deref()));
        battery.extend(cells(powertrain));
    }
    let known = |name: &str| [&motors, &drive, &battery].iter().any(|group| group.contains(&name));
    let rest = project.components.iter().map(|c| c.name.as_str()).filter(|name| !known(name)).collect();
    vec![
        ("Motors", motors),
        ("Inverters and gearbox", drive),
        ("Battery", battery),
        ("Other components", rest),
    ]
}

fn temperatures(project: &Project, flown: &Sampled<'_>) -> Vec<Chart> {
    let times = &flown.flight.times_s;
    let mut charts = Vec::new();
    for (title, mut names) in groups(project) {
        names.dedup();
        let mut all = Vec::new();
        let mut limits: Vec<Limit> = Vec::new();
        for spec in project.components.iter().filter(|spec| names.contains(&spec.name.as_str())) {
            let name = spec.name.as_str();
            let Some(place) =
                flown.states.first().and_then(|s| s.components.iter().position(|c| c.name == name))
            else {
                continue;
            };
            let on_hot_spot = spec.limits.iter().any(|limit| limit.on_hot_spot);
            let value = |state: &CaseResult| {
                let component = &state.components[place];
                celsius(if on_hot_spot { component.hot_spot_k } else { component.temperature_k() })
            };
            let label = if on_hot_spot { format!("{name}, hot spot") } else { name.to_owned() };
            all.push(series(&label, times, flown.states.iter().map(value)));
            for limit in &spec.limits {
                let value = celsius(limit.value.si());
                let is_minimum = limit.bound == Bound::Minimum;
                // A minimum far below would flatten the curves; the list of margins has it.
                let is_known = limits.iter().any(|l| l.value == value && l.is_minimum == is_minimum);
                if !is_minimum && !is_known {
                    limits.push(Limit {
                        name: format!("{name}, {}", limit.name.as_str()),
                        value,
                        is_minimum,
                    });
                }
            }
        }
        if !all.is_empty() {
            charts.push(Chart { limits, ..chart(title, "degC", 1, all) });
        }
    }
    charts.extend(coolant(flown));
    charts
}

/// The hottest coolant of each loop.
fn coolant(flown: &Sampled<'_>) -> Option<Chart> {
    let first = flown.states.first()?;
    let hottest = |state: &CaseResult, index: usize| {
        let stations = state.loops.get(index).map_or(&[][..], |circuit| &circuit.stations);
        celsius(stations.iter().map(|station| station.temperature_out_k).fold(f64::NEG_INFINITY, f64::max))
    };
    let all: Vec<Series> = first
        .loops
        .iter()
        .enumerate()
        .map(|(index, circuit)| {
            series(
                &circuit.name,
                &flown.flight.times_s,
                flown.states.iter().map(|state| hottest(state, index)),
            )
        })
        .collect();
    (!all.is_empty()).then(|| chart("Hottest coolant", "degC", 1, all))
}

/// Heat generated, by the part it is generated in: the largest ones by name and the others added up.
fn heat_by_source(flown: &Sampled<'_>) -> Chart {
    let mut sources: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for (index, state) in flown.states.iter().enumerate() {
        for (place, heat_w) in state.heat_by_place() {
            let values = sources.entry(place).or_insert_with(|| vec![0.0; flown.states.len()]);
            values[index] += 1e-3 * heat_w;
        }
    }
    let greatest = |values: &[f64]| values.iter().copied().fold(0.0, f64::max);
    let mut sorted: Vec<(&str, Vec<f64>)> = sources.into_iter().collect();
    sorted.sort_by(|a, b| greatest(&b.1).total_cmp(&greatest(&a.1)).then(a.0.cmp(b.0)));
    // An area that is thinner than its line tells nothing by itself.
    let least = 0.01 * sorted.first().map_or(0.0, |(_, values)| greatest(values));
    let named = sorted.iter().take(SOURCES).take_while(|(_, values)| greatest(values) > least).count();
    let rest = sorted.split_off(named);
    let times = &flown.flight.times_s;
    let mut all: Vec<Series> =
        sorted.into_iter().map(|(name, values)| series(name, times, values.into_iter())).collect();
    if !rest.is_empty() {
        let sum = (0..flown.states.len()).map(|index| rest.iter().map(|(_, values)| values[index]).sum());
        all.push(series("others", times, sum));
    }
    Chart { shape: ChartStyle::Stacked, ..chart("Heat by source", "kW", 2, all) }
}

fn pack(flight: &Flight) -> Vec<Chart> {
    let charge = flight.state_of_charge();
    if charge.is_empty() {
        return Vec::new();
    }
    let times = &flight.times_s;
    let charge = series("state of charge", times, charge.iter().map(|share| 100.0 * share));
    let mut charts = vec![chart("State of charge", "%", 1, vec![charge])];
    let current = flight.pack_current_a();
    if current.len() == times.len() {
        let current = series("current of the bus", times, current.into_iter());
        charts.push(chart("Pack current", "A", 0, vec![current]));
    }
    charts
}

fn is_temperature(timed: &TimedMargin) -> bool {
    matches!(timed.margin.kind, MarginKind::Maximum | MarginKind::Minimum)
}

fn peak(timed: &TimedMargin) -> Peak {
    let margin = &timed.margin;
    Peak {
        where_: format!("{}, {}", margin.place, margin.limit),
        temperature: Figure::new(celsius(margin.value), 1),
        limit: Figure::new(celsius(margin.limit_value), 1),
        margin: Figure::new(displayed(margin).margin, 1),
        standing: margin.standing(),
        time_s: timed.time_s,
    }
}
