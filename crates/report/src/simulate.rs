//! A mission over time as text and JSON.

mod chains;
mod history;
mod json;

pub use chains::{chain_json, chain_sheet};
pub use history::{file_name, table};
pub use json::{over_time, results};

use crate::{celsius, clock, margins::shown, table::table as lines};
use aircraft::records::project::Project;
use model::case_name::CaseName;
use model::mission::HeatOverTime;
use model::mission::{Event, EventKind, Flight, StepEnd, TimedMargin};
use model::result::{CaseResult, Margin, MarginKind, Notice, Status};

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
    pub steps: Vec<Told>,
    /// What happened, limits passed included, in order.
    pub events: Vec<Event>,
    /// Heat book.
    pub heat: HeatOverTime,
    /// Least reserve of every limit with its time.
    pub margins: Vec<TimedMargin>,
}

/// A finished step.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
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
        let steps = flight.steps.iter().map(|flown| Told {
            label: flight.schedule.steps[flown.step].label.clone(),
            start_s: flown.start_s,
            end_s: flown.end_s,
            ended: flown.ended,
            last: flight.step_of.iter().rposition(|&step| step == flown.step),
        });
        let mut events = flight.events.clone();
        events.extend(passed_limits(&flight.times_s, &samples));
        events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        let margins = flight.margins(project);
        Self {
            case,
            status: flight.status,
            notices: flight.told(project, &margins),
            times_s: flight.times_s.clone(),
            samples,
            state_of_charge: flight.state_of_charge(),
            steps: steps.collect(),
            events,
            heat: flight.heat,
            margins,
        }
    }

    /// Whether it was flown to its end and keeps every required margin.
    pub fn holds(&self) -> bool {
        self.status.can_be_judged() && self.margins.iter().all(|timed| !timed.margin.is_short())
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
            let what = match (old < 0.0, new < 0.0) {
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
pub fn sheet(story: &Story) -> String {
    let end_s = story.times_s.last().copied().unwrap_or(0.0);
    let mut text = format!("Case {}: {}, {}\n", story.case, story.status.word(), clock(end_s));
    for notice in &story.notices {
        text.push_str(&crate::notice::told(notice));
    }
    text.push('\n');
    if story.samples.is_empty() {
        return text;
    }
    text.push_str(&segments(story));
    text.push_str(&peaks(story));
    text.push_str(&limits(story));
    text.push_str(&events(story));
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

fn segments(story: &Story) -> String {
    let rows = story
        .steps
        .iter()
        .map(|step| {
            let charge = step.last.and_then(|sample| story.state_of_charge.get(sample));
            let current = step.last.and_then(|sample| story.current_a(sample));
            vec![
                step.label.clone(),
                clock(step.start_s),
                clock(step.end_s),
                format!("{:.1}", step.end_s - step.start_s),
                ended(step.ended).to_owned(),
                charge.map_or_else(String::new, |charge| format!("{:.1}", 100.0 * charge)),
                current.map_or_else(String::new, |current| format!("{current:.1}")),
            ]
        })
        .collect();
    let head = ["segment", "start", "end", "lasts s", "ended by", "charge at end %", "current at end A"];
    lines(&head, &[1, 2, 3, 5, 6], rows)
}

fn peaks(story: &Story) -> String {
    let rows = story
        .peaks()
        .iter()
        .map(|peak| {
            let is_own =
                |t: &&TimedMargin| t.margin.place == peak.component && t.margin.kind == MarginKind::Maximum;
            let mut row = vec![
                peak.component.to_owned(),
                format!("{:.1}", celsius(peak.temperature_k)),
                clock(peak.time_s),
            ];
            row.extend(match story.margins.iter().find(is_own) {
                Some(TimedMargin { margin, .. }) => [
                    format!("{} {:.1}", margin.limit, celsius(margin.limit_value)),
                    format!("{:+.1}", margin.margin),
                ],
                None => [String::new(), String::new()],
            });
            row
        })
        .collect();
    lines(&["component", "peak degC", "at", "limit degC", "least margin K"], &[1, 2, 3, 4], rows)
}

fn limits(story: &Story) -> String {
    let rows = story
        .margins
        .iter()
        .map(|TimedMargin { margin, time_s }| {
            let [value, limit, distance, required] = shown(margin);
            let verdict = if margin.is_short() { "SHORT" } else { "" };
            vec![
                format!("{verdict} {distance}"),
                required,
                format!("{}, {}", margin.place, margin.limit),
                value,
                limit,
                clock(*time_s),
            ]
        })
        .collect();
    lines(&["least margin", "needs", "where, limit", "value", "limit", "at"], &[0, 1, 3, 4, 5], rows)
}

fn events(story: &Story) -> String {
    let rows = story.events.iter().map(|event| vec![clock(event.time_s), event.what.clone()]).collect();
    lines(&["time", "event"], &[0], rows)
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
