//! Limits and sensors of one flight, sample by sample.

use aircraft::records::failure::Sensor;
use aircraft::records::project::Project;
use model::assembly::CircuitPart;
use model::case::DECIDES_BELOW_K;
use model::margin::StartBound;
use model::mission::{Flight, Phase, TimedMargin};
use model::rating::RatingClock;
use model::result::{CaseResult, Margin, MarginKind, Notice, PowerLost, Status};
use model::standing::{ROUNDING, Rank, Standing};

/// One limit over time.
#[derive(Clone, Debug)]
pub(super) struct Watched {
    /// Distance at each sample; a sample without this limit is infinitely far from it.
    pub(super) margins: Vec<f64>,
    /// The same less the margin that is required.
    reserves: Vec<f64>,
    /// That with the least reserve in full.
    pub(super) worst: Margin,
    /// When that is, s.
    pub(super) worst_s: f64,
}

impl Watched {
    /// Least distance from a sample on; infinite if the limit is not there then.
    pub(super) fn min_from(&self, sample: usize) -> f64 {
        self.margins.iter().skip(sample).copied().fold(f64::INFINITY, f64::min)
    }

    /// Judges a short-time limit by what lasts; whether there is anything left to judge.
    fn keep_lasting(&mut self, times_s: &[f64], lasting_s: f64) -> bool {
        self.margins = sustained(times_s, &self.margins, lasting_s);
        self.reserves = sustained(times_s, &self.reserves, lasting_s);
        let least = (0..times_s.len()).min_by(|&a, &b| self.reserves[a].total_cmp(&self.reserves[b]));
        let Some(at) = least.filter(|&at| self.margins[at].is_finite()) else { return false };
        let worst = &mut self.worst;
        let sign = if worst.kind == MarginKind::Minimum { 1.0 } else { -1.0 };
        worst.value = worst.limit_value + sign * self.margins[at];
        worst.required = self.margins[at] - self.reserves[at];
        worst.margin = self.margins[at];
        self.worst_s = times_s[at];
        true
    }
}

/// A flight reduced to what a failure is judged by.
#[derive(Clone, Debug)]
pub(super) struct Trace {
    /// How it ended.
    pub(super) status: Status,
    /// Things to know.
    pub(super) notices: Vec<Notice>,
    /// Power that was asked for and not given.
    pub(super) power_lost: Option<PowerLost>,
    /// Times of the samples, s.
    pub(super) times_s: Vec<f64>,
    /// Limits in the order of their first appearance.
    pub(super) limits: Vec<Watched>,
    /// True temperature at each sensor at each sample, K.
    pub(super) sensors_k: Vec<Vec<f64>>,
    /// What bounds the minimum limits at each sample, for what goes on from there; empty where the start is no input.
    pub(super) bounds: Vec<StartBound>,
}

/// Since the failure cannot change the weather, the freezing margin is no limit that it leads to.
fn counts(margin: &Margin) -> bool {
    margin.kind != MarginKind::Freezing
}

impl Trace {
    /// Reads the samples of a flight up to a time. `bound`: what bounds its minimum limits before it.
    pub(super) fn of(
        flight: &Flight,
        project: &Project,
        until_s: f64,
        mut bound: Option<StartBound>,
    ) -> Self {
        let samples = flight.times_s.partition_point(|time| *time <= until_s);
        let mut trace = Self {
            status: flight.status,
            notices: flight.notices.clone(),
            power_lost: flight.power_lost(),
            times_s: flight.times_s[..samples].to_vec(),
            limits: Vec::new(),
            sensors_k: vec![Vec::with_capacity(samples); project.sensors.len()],
            bounds: Vec::new(),
        };
        let ducts = &flight.schedule.parts().ducts;
        let in_ducts = project
            .sensors
            .iter()
            .any(|sensor| ducts.iter().flat_map(CircuitPart::devices).any(|device| device.name == sensor.at));
        let mut clock = RatingClock::default();
        for sample in 0..samples {
            // air in a duct is the one thing a sensor may stand in that no limit looks at
            let mut result =
                if in_ducts { flight.case_at(project, sample) } else { flight.judged_at(project, sample) };
            if let Some(bound) = &mut bound {
                flight.ask(bound, &mut result, sample);
                trace.bounds.push(*bound);
            }
            let situation = flight.situation_at(project, sample);
            result.margins.extend(clock.overrun(&situation, &result, trace.times_s[sample]));
            trace.take(sample, &result, &project.sensors);
        }
        let times_s = &trace.times_s;
        trace.limits.retain_mut(|watched| {
            lasting_s(project, &watched.worst)
                .is_none_or(|lasting_s| watched.keep_lasting(times_s, lasting_s))
        });
        trace
    }

    /// What bounds the minimum limits from a sample on.
    pub(super) fn bound_at(&self, sample: usize) -> Option<StartBound> {
        self.bounds.get(sample).copied()
    }

    /// Leaves out the limits at places of which nothing can be said.
    pub(super) fn leave_out(&mut self, places: &[String]) {
        self.limits.retain(|watched| !places.contains(&watched.worst.place));
    }

    /// Adds what is known only beside the limits: films between laminar and turbulent flow, and cold walls, where a limit that could
    /// hang on them is least.
    pub(super) fn tell_films(&mut self, flight: &Flight, project: &Project) {
        let near = self.limits.iter().filter(|watched| watched.worst.reserve() < DECIDES_BELOW_K);
        let least: Vec<TimedMargin> = near
            .map(|watched| TimedMargin { margin: watched.worst.clone(), time_s: watched.worst_s })
            .collect();
        self.notices = flight.told(project, &least);
    }

    pub(super) fn take(&mut self, sample: usize, result: &CaseResult, sensors: &[Sensor]) {
        let time_s = self.times_s[sample];
        for margin in result.margins.iter().filter(|margin| counts(margin)) {
            let known = self.limits.iter().position(|w| is_same(&w.worst, margin));
            let index = known.unwrap_or_else(|| {
                let (margins, reserves) = (vec![f64::INFINITY; sample], vec![f64::INFINITY; sample]);
                self.limits.push(Watched { margins, reserves, worst: margin.clone(), worst_s: time_s });
                self.limits.len() - 1
            });
            let watched = &mut self.limits[index];
            watched.margins.push(margin.margin);
            watched.reserves.push(margin.reserve());
            if margin.rank() < watched.worst.rank() {
                (watched.worst, watched.worst_s) = (margin.clone(), time_s);
            }
        }
        for watched in &mut self.limits {
            watched.margins.resize(sample + 1, f64::INFINITY);
            watched.reserves.resize(sample + 1, f64::INFINITY);
        }
        for (sensor, values) in sensors.iter().zip(&mut self.sensors_k) {
            values.push(temperature_k(result, &sensor.at).unwrap_or(f64::NAN));
        }
    }

    /// First time that a limit is passed, s.
    pub(super) fn passed_s(&self, watched: &Watched) -> Option<f64> {
        first_below_zero(&self.times_s, &watched.margins)
    }

    /// The limit that is passed first and when, s.
    pub(super) fn first_passed(&self) -> Option<(&Watched, f64)> {
        let passed = self.limits.iter().filter_map(|w| self.passed_s(w).map(|time_s| (w, time_s)));
        passed.min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.worst.margin.total_cmp(&b.0.worst.margin)))
    }

    /// The limit whose required margin is lost first and when, s.
    pub(super) fn first_short(&self) -> Option<(&Watched, f64)> {
        let short = self.limits.iter().filter_map(|watched| {
            first_below_zero(&self.times_s, &watched.reserves).map(|time_s| (watched, time_s))
        });
        short.min_by(|a, b| a.1.total_cmp(&b.1).then(Margin::worst_first(&a.0.worst, &b.0.worst)))
    }

    /// How a flight that ended so stands.
    pub(super) fn standing(&self, status: Status) -> Standing {
        Standing::of_case(status, self.worst().map(|watched| &watched.worst))
    }

    /// The limit of a margin.
    pub(super) fn of_limit(&self, margin: &Margin) -> Option<&Watched> {
        self.limits.iter().find(|watched| is_same(&watched.worst, margin))
    }

    /// The limit with the least reserve over the margin it asks for.
    pub(super) fn worst(&self) -> Option<&Watched> {
        self.limits.iter().min_by(|a, b| Margin::worst_first(&a.worst, &b.worst))
    }

    /// Time of the last sample, s.
    pub(super) fn end_s(&self) -> f64 {
        self.times_s.last().copied().unwrap_or(0.0)
    }

    /// Passing of a maximum at the place of a sensor: time, s, and the lowest such limit, K.
    pub(super) fn passed_at(&self, place: &str) -> Option<(f64, f64)> {
        let here = || self.limits.iter().filter(|w| is_maximum_at(&w.worst, place));
        let passed_s = here().filter_map(|w| self.passed_s(w)).min_by(f64::total_cmp)?;
        Some((passed_s, here().map(|w| w.worst.limit_value).fold(f64::INFINITY, f64::min)))
    }

    /// Lowest maximum at a place, K.
    pub(super) fn limit_at(&self, place: &str) -> Option<f64> {
        let here = self.limits.iter().filter(|w| is_maximum_at(&w.worst, place));
        here.map(|w| w.worst.limit_value).min_by(f64::total_cmp)
    }
}

fn is_maximum_at(margin: &Margin, place: &str) -> bool {
    margin.kind == MarginKind::Maximum && margin.place == place
}

fn is_same(a: &Margin, b: &Margin) -> bool {
    a.place == b.place && a.limit == b.limit && a.kind == b.kind
}

/// Its place in the ranking of margins.
pub(super) fn rank(watched: &Watched) -> Rank {
    watched.worst.rank()
}

/// Component, or outlet of a device.
fn temperature_k(result: &CaseResult, place: &str) -> Option<f64> {
    let component = result.components.iter().find(|c| c.name == place).map(|c| c.temperature_k());
    component.or_else(|| {
        let mut stations = result.loops.iter().chain(&result.ducts).flat_map(|c| &c.stations);
        stations.find(|s| s.name == place).map(|s| s.temperature_out_k)
    })
}

/// Duration of a short-time limit, s.
fn lasting_s(project: &Project, margin: &Margin) -> Option<f64> {
    if !matches!(margin.kind, MarginKind::Maximum | MarginKind::Minimum) {
        return None;
    }
    let component = project.components.iter().find(|c| c.name.as_str() == margin.place)?;
    let limit = component.limits.iter().find(|l| l.name.as_str() == margin.limit)?;
    limit.duration.as_ref().map(|duration| duration.si())
}

/// Best distance inside a window of a duration that ends at each sample: a short-time limit is passed only by what lasts. A window cut off
/// by the failure does not count.
pub(super) fn sustained(times_s: &[f64], margins: &[f64], lasting_s: f64) -> Vec<f64> {
    (0..times_s.len())
        .map(|end| {
            if times_s[end] - times_s[0] < lasting_s {
                return f64::INFINITY;
            }
            let from = times_s.partition_point(|time| *time < times_s[end] - lasting_s - 1e-9);
            margins[from..=end].iter().copied().fold(f64::NEG_INFINITY, f64::max)
        })
        .collect()
}

/// First time at which a line through samples falls below zero; straight between samples. No number counts as below, and what
/// rounding leaves does not.
pub(super) fn first_below_zero(times_s: &[f64], values: &[f64]) -> Option<f64> {
    let index = values.iter().position(|value| !(*value >= -ROUNDING))?;
    let Some(before) = index.checked_sub(1) else { return Some(times_s[0]) };
    let (high, low) = (values[before], values[index]);
    let share = high.max(0.0) / (high.max(0.0) - low);
    // a limit that was not there before, or no number: the sample itself
    let share = if share.is_finite() { share } else { 1.0 };
    Some(times_s[before] + share * (times_s[index] - times_s[before]))
}

/// End of the last step in the air, s; none for a flight that never is.
pub(super) fn touchdown_s(flight: &Flight) -> Option<f64> {
    let in_air = |step: usize| {
        let step = &flight.schedule.steps[step];
        step.phase == Phase::Segment && !step.ground
    };
    flight.steps.iter().rev().find(|flown| in_air(flown.step)).map(|flown| flown.end_s)
}
