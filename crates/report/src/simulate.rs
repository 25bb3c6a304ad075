//! A mission over time as text and JSON.

mod chains;
mod history;
mod json;

pub use chains::{chain_json, chain_page, chain_sheets};
pub use history::{file_name, table};
pub use json::{over_time, results};

use crate::clock;
use crate::margins::{margin_cells, margin_columns};
use crate::sheet::{Cell, Column, Digits, Sheet, Unit, UnitPlace, texts};
use aircraft::records::project::Project;
use model::case_name::CaseName;
use model::mission::HeatOverTime;
use model::mission::{Event, EventKind, Flight, StepEnd, TimedMargin};
use model::result::{CaseResult, Margin, MarginKind, Notice, PowerLost, Status};
use model::standing::{CaseStanding, Standing};
use std::fmt::Write as _;
use units::Kind;

/// A mission case as it was flown, in what is reported of it.
#[derive(Clone, Debug)]
pub struct Story {
    /// Case.
    pub case: CaseName,
    /// Solved, or why the flight could not go on.
    pub status: Status,
    /// Things to know.
    pub notices: Vec<Notice>,
    /// Times of the samples, s.
    pub times_s: Vec<f64>,
    /// Everything at each sample.
    pub samples: Vec<CaseResult>,
    /// State of charge at each sample; empty without a pack.
    pub state_of_charge: Vec<f64>,
    /// Steps that were finished.
    pub steps: Vec<FinishedStep>,
    /// What happened, limits passed included, in order.
    pub events: Vec<Event>,
    /// Heat book.
    pub heat: HeatOverTime,
    /// Least reserve of every limit with its time.
    pub margins: Vec<TimedMargin>,
    /// Power that was asked for and not given.
    pub power_lost: Option<PowerLost>,
}

/// A finished step.
#[derive(Clone, Debug, PartialEq)]
pub struct FinishedStep {
    /// Segment, or soak.
    pub label: String,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// How it ended.
    pub ended: StepEnd,
    /// Number of its last sample.
    pub last: Option<usize>,
}

/// The hottest moment of a component.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak<'a> {
    /// Component.
    pub component: &'a str,
    /// Hottest segment, K.
    pub temperature_k: f64,
    /// When, s.
    pub time_s: f64,
}

impl Story {
    /// What a flight has to tell.
    pub fn of(project: &Project, case: CaseName, flight: &Flight) -> Self {
        let samples: Vec<CaseResult> =
            (0..flight.times_s.len()).map(|sample| flight.case_at(project, sample)).collect();
        let steps = flight.steps.iter().map(|flown| FinishedStep {
            label: flight.schedule.steps[flown.step].label.clone(),
            start_s: flown.start_s,
            end_s: flown.end_s,
            ended: flown.ended,
            last: flight.step_of.iter().rposition(|&step| step == flown.step),
        });
        let mut events = flight.events.clone();
        events.extend(passed_limits(&flight.times_s, &samples));
        events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        let judged = flight.judged(project);
        Self {
            case,
            status: flight.status,
            notices: judged.notices,
            times_s: flight.times_s.clone(),
            samples,
            state_of_charge: flight.state_of_charge(),
            steps: steps.collect(),
            events,
            heat: flight.heat,
            margins: judged.margins,
            power_lost: flight.power_lost(),
        }
    }

    /// How it stands.
    pub fn standing(&self) -> CaseStanding<'_> {
        let margins = self.margins.iter().map(|timed| (&timed.margin, Some(timed.time_s)));
        CaseStanding::of(&self.case, self.status, &self.notices, margins)
    }

    /// Hottest moment of every component, in the order of the project.
    pub fn peaks(&self) -> Vec<Peak<'_>> {
        let Some(first) = self.samples.first() else { return Vec::new() };
        let peak = |(number, component): (usize, &'_ model::result::ComponentResult)| {
            let mut best = (self.times_s[0], component.temperature_k());
            for (time_s, sample) in self.times_s.iter().zip(&self.samples) {
                let temperature_k = sample.components[number].temperature_k();
                if temperature_k > best.1 {
                    best = (*time_s, temperature_k);
                }
            }
            best
        };
        first
            .components
            .iter()
            .enumerate()
            .map(|(number, component)| {
                let (time_s, temperature_k) = peak((number, component));
                Peak { component: &component.name, temperature_k, time_s }
            })
            .collect()
    }

    /// Bus current at a sample, A; none without a powertrain.
    fn current_a(&self, sample: usize) -> Option<f64> {
        self.samples.get(sample)?.electric.as_ref().map(|electric| electric.bus_current_a)
    }
}

/// Moments at which a value passes its limit or comes back, between samples by the straight line.
fn passed_limits(times_s: &[f64], samples: &[CaseResult]) -> Vec<Event> {
    let mut events = Vec::new();
    for (times, pair) in times_s.windows(2).zip(samples.windows(2)) {
        for after in &pair[1].margins {
            let same = |m: &&Margin| m.place == after.place && m.limit == after.limit && m.kind == after.kind;
            let Some(before) = pair[0].margins.iter().find(same) else { continue };
            let (old, new) = (before.margin, after.margin);
            let is_past = |margin: &Margin| margin.standing() == Standing::PastLimit;
            let what = match (is_past(before), is_past(after)) {
                (false, true) => "passes its limit",
                (true, false) => "is back inside its limit",
                _ => continue,
            };
            events.push(Event {
                time_s: times[0] + (times[1] - times[0]) * old / (old - new),
                kind: EventKind::Limit,
                what: format!("{} {what}: {}", after.place, after.limit),
            });
        }
    }
    events
}

/// Everything about one mission, within 100 columns.
pub fn page(story: &Story) -> String {
    let end_s = story.times_s.last().copied().unwrap_or(0.0);
    let mut text = format!("Case {}: {}, {}\n", story.case, story.status.word(), clock(end_s));
    text.push_str(&crate::margins::verdict(&story.standing()));
    if let Some(lost) = story.power_lost {
        let from = clock(lost.from_s.unwrap_or_default());
        let _infallible = writeln!(text, "Power lost: up to {:.1} kW, from {from}", 1e-3 * lost.power_w);
    }
    for notice in &story.notices {
        text.push_str(&crate::notice::notice_text(notice));
    }
    text.push('\n');
    if story.samples.is_empty() {
        return text;
    }
    text.push_str(&texts(&sheets(story)));
    text.push_str(&heat_book(&story.heat));
    text
}

fn ended(ended: StepEnd) -> &'static str {
    match ended {
        StepEnd::TimeUp => "time up",
        StepEnd::Reached => "reached",
        StepEnd::Stabilised => "stabilised",
        StepEnd::NotReached => "not reached",
    }
}

fn segments(story: &Story) -> Sheet {
    let lasts = Column { unit: Unit::Named("s".into()), ..Column::time("duration_s") };
    let columns = [
        Column::text("segment"),
        Column::time("start_s").head("start"),
        Column::time("end_s").head("end"),
        lasts.digits(Digits::Fixed(1)).head("lasts").unit_place(UnitPlace::Head),
        Column::text("ended_by"),
        Column::number("state_of_charge", Kind::Ratio, "%", 1).head("charge at end"),
        Column::number("pack_current_A", Kind::Current, "A", 1).head("current at end"),
    ];
    let row = |step: &FinishedStep| {
        let charge = step.last.and_then(|sample| story.state_of_charge.get(sample)).copied();
        let current = step.last.and_then(|sample| story.current_a(sample));
        let (start, end) = (Cell::Time(step.start_s), Cell::Time(step.end_s));
        let lasts = Cell::Time(step.end_s - step.start_s);
        vec![(&step.label).into(), start, end, lasts, ended(step.ended).into(), charge.into(), current.into()]
    };
    Sheet::new("segments", columns).with_rows(story.steps.iter().map(row))
}

fn peaks(story: &Story) -> Sheet {
    let columns = [
        Column::text("component"),
        Column::number("temperature_K", Kind::Temperature, "degC", 1).head("peak"),
        Column::time("time_s").head("at"),
        Column::text("limit").before(" "),
        Column::number("limit_K", Kind::Temperature, "degC", 1).head("limit"),
        Column::number("reserve_K", Kind::TemperatureDifference, "K", 1).head("reserve").signed(),
        Column::number("margin_K", Kind::TemperatureDifference, "K", 1).head("margin"),
    ];
    let row = |peak: &Peak<'_>| {
        let is_own =
            |t: &&TimedMargin| t.margin.place == peak.component && t.margin.kind == MarginKind::Maximum;
        let own = story.margins.iter().find(is_own).map(|timed| &timed.margin);
        vec![
            peak.component.into(),
            peak.temperature_k.into(),
            Cell::Time(peak.time_s),
            own.map(|margin| &margin.limit).into(),
            own.map(|margin| margin.limit_value).into(),
            own.map(Margin::reserve).into(),
            own.map(|margin| margin.margin).into(),
        ]
    };
    Sheet::new("peaks", columns).with_rows(story.peaks().iter().map(row))
}

fn limits(story: &Story) -> Sheet {
    let mut columns = margin_columns();
    columns.push(Column::time("time_s").head("at"));
    let row = |timed: &TimedMargin| {
        let mut row = margin_cells(&timed.margin);
        row.push(Cell::Time(timed.time_s));
        row
    };
    Sheet::new("limits", columns).with_rows(story.margins.iter().map(row))
}

fn events(story: &Story) -> Sheet {
    let columns = [Column::time("time_s").head("time"), Column::text("what").head("event")];
    let row = |event: &Event| vec![Cell::Time(event.time_s), (&event.what).into()];
    Sheet::new("events", columns).with_rows(story.events.iter().map(row))
}

/// Segments, peaks, limits and events of a mission; nothing for one without a sample.
pub fn sheets(story: &Story) -> Vec<Sheet> {
    if story.samples.is_empty() {
        return Vec::new();
    }
    vec![segments(story), peaks(story), limits(story), events(story)]
}

fn heat_book(heat: &HeatOverTime) -> String {
    let share = heat.residual_j.abs() / heat.turnover_j.abs().max(f64::MIN_POSITIVE);
    format!(
        "Heat book: generated {:.4e} J = stored {:.4e} J + rejected {:.4e} J; residual {:.1e} J,\n\
         {share:.1e} of the heat turned over ({:.4e} J)\n",
        heat.generated_j, heat.stored_j, heat.rejected_j, heat.residual_j, heat.turnover_j
    )
}

#[cfg(test)]
mod tests;
