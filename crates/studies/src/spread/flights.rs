//! Spread of missions: the least margins of a flight, and bands of temperatures over time.

use super::law::{Sampler, SpreadInput};
use super::measure::{Joint, MarginSpread, Sampled, quantile};
use super::{SpreadOptions, check_samples, measure};
use crate::levers::{LimitName, same_mission};
use crate::missions::fly_case;
use crate::{StudyError, missions};
use aircraft::records::project::Project;
use model::case_name::CaseName;
use model::mission::{FlyOptions, MissionCase, TimedMargin};
use model::result::Margin;
use rayon::prelude::*;
use schema::Node;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Moments of a band.
const MOMENTS: usize = 121;

/// A temperature over time: what 5, 50 and 95 of 100 flights stay below.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// Component; its hottest segment counts.
    pub component: String,
    /// 5 of 100 at each moment, K.
    pub p05_k: Vec<f64>,
    /// Median at each moment, K.
    pub p50_k: Vec<f64>,
    /// 95 of 100 at each moment, K.
    pub p95_k: Vec<f64>,
}

/// How one mission spreads.
#[derive(Clone, Debug, PartialEq)]
pub struct FlightSpread {
    /// Case.
    pub case: CaseName,
    /// How many flights.
    pub samples: usize,
    /// What was moved.
    pub inputs: Vec<SpreadInput>,
    /// Least margins of the flight, those that are most often short first.
    pub margins: Vec<MarginSpread>,
    /// How often any limit of this mission is not kept. The same sample moves the inputs alike in every mission.
    pub joint: Joint,
    /// Moments of the bands, s from the beginning; as long as the flight of the base design takes.
    pub times_s: Vec<f64>,
    /// Bands of the components in the order of the project, over the flights that last to the moment.
    pub bands: Vec<Band>,
}

/// One flight of a sample: least margins, and temperatures of all components at all moments.
struct FlownSample {
    row: Sampled,
    temperatures_k: Vec<f32>,
}

/// Spread of missions; `options.cases` names mission cases, all if empty. `progress` is told how many flights are done.
///
/// # Errors
/// As [`super::spread`]. A sample whose flight cannot go on is part of the result.
pub fn flights(
    node: &Node,
    project: &Project,
    options: &SpreadOptions,
    fly: &FlyOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize) + Sync,
) -> Result<Vec<FlightSpread>, StudyError> {
    check_samples(options.samples)?;
    let sampler = Sampler::new(node, project, options.stated, options.seed, |_| true)?;
    let done = AtomicUsize::new(0);
    let cases = missions::chosen(project, &options.cases)?;
    let one = |case: &MissionCase<'_>| {
        let mission = MissionSampling::begun(*case, fly)?;
        let flown = (0..options.samples)
            .into_par_iter()
            .map_init(
                || project.clone(),
                |moved, sample| {
                    if cancel.load(Ordering::Relaxed) {
                        return Err(StudyError::Cancelled);
                    }
                    let values = sampler.values_si(sample);
                    sampler.move_to(moved, &values);
                    let flown = mission.flown(moved, values, fly);
                    progress(done.fetch_add(1, Ordering::Relaxed) + 1);
                    Ok(flown)
                },
            )
            .collect::<Result<Vec<_>, _>>()?;
        Ok(mission.gathered(&sampler, flown))
    };
    cases.iter().map(one).collect()
}

/// A mission with its flight at the base design.
struct MissionSampling<'a> {
    case: MissionCase<'a>,
    margins: Vec<TimedMargin>,
    times_s: Vec<f64>,
}

impl<'a> MissionSampling<'a> {
    fn begun(case: MissionCase<'a>, fly: &FlyOptions) -> Result<Self, StudyError> {
        let flight = fly_case(&case, fly)?;
        let end_s = flight.duration_s();
        let times_s = (0..MOMENTS).map(|n| end_s * n as f64 / (MOMENTS - 1) as f64).collect();
        Ok(Self { case, margins: flight.margins(case.project), times_s })
    }

    fn flown(&self, moved: &Project, values: Vec<f64>, fly: &FlyOptions) -> FlownSample {
        let components = moved.components.len();
        let nothing = || vec![f32::NAN; components * MOMENTS];
        let lost = vec![f64::NAN; self.margins.len()];
        let Some(flight) = same_mission(moved, &self.case).and_then(|case| fly_case(&case, fly).ok()) else {
            return FlownSample { row: Sampled { values, margins: lost }, temperatures_k: nothing() };
        };
        let found: Vec<Margin> = flight.margins(moved).into_iter().map(|timed| timed.margin).collect();
        let judged = flight.status.can_be_judged();
        let margin = |timed: &TimedMargin| {
            let found = LimitName::of(&timed.margin).find(&found).filter(|_| judged);
            found.map_or(f64::NAN, |margin| margin.margin)
        };
        let mut temperatures_k = Vec::with_capacity(components * MOMENTS);
        for component in &moved.components {
            let history_k = flight.component_k(component.name.as_str());
            temperatures_k
                .extend(self.times_s.iter().map(|&time_s| at(&flight.times_s, &history_k, time_s) as f32));
        }
        let margins = self.margins.iter().map(margin).collect();
        FlownSample { row: Sampled { values, margins }, temperatures_k }
    }

    fn gathered(&self, sampler: &Sampler, flown: Vec<FlownSample>) -> FlightSpread {
        let samples = flown.len();
        let components = &self.case.project.components;
        let bands = components.iter().enumerate().map(|(index, component)| {
            let quantiles = (0..MOMENTS).map(|moment| {
                let place = index * MOMENTS + moment;
                let mut sorted: Vec<f64> = flown.iter().map(|f| f64::from(f.temperatures_k[place])).collect();
                sorted.retain(|k| k.is_finite());
                sorted.sort_by(f64::total_cmp);
                let of = |share| if sorted.is_empty() { f64::NAN } else { quantile(&sorted, share) };
                [of(0.05), of(0.5), of(0.95)]
            });
            let all: Vec<[f64; 3]> = quantiles.collect();
            let column = |n: usize| all.iter().map(|three| three[n]).collect();
            Band {
                component: component.name.as_str().to_owned(),
                p05_k: column(0),
                p50_k: column(1),
                p95_k: column(2),
            }
        });
        let bands = bands.collect();
        let rows: Vec<Sampled> = flown.into_iter().map(|sample| sample.row).collect();
        let case = self.case.name();
        let mut margins: Vec<MarginSpread> = (self.margins.iter().enumerate())
            .map(|(column, timed)| {
                let spread = measure::margin(&case, &timed.margin, sampler, &rows, column);
                MarginSpread { time_s: Some(timed.time_s), ..spread }
            })
            .collect();
        super::short_first(&mut margins);
        let limits: Vec<&Margin> = self.margins.iter().map(|timed| &timed.margin).collect();
        let joint = Joint::of(&rows, &limits);
        let (times_s, inputs) = (self.times_s.clone(), sampler.inputs.clone());
        FlightSpread { case, samples, inputs, margins, joint, times_s, bands }
    }
}

/// A history at a moment, straight between samples; not a number after its end.
fn at(times_s: &[f64], values: &[f64], time_s: f64) -> f64 {
    let next = times_s.partition_point(|t| *t < time_s);
    match (next.checked_sub(1), times_s.get(next)) {
        (None, Some(_)) => values[0],
        (Some(before), Some(after_s)) => {
            let share = (time_s - times_s[before]) / (after_s - times_s[before]);
            values[before] + share * (values[next] - values[before])
        }
        // rounding of the last moment is not the end of a flight
        (Some(before), None) if time_s <= times_s[before] * (1.0 + 1e-12) => values[before],
        (_, None) => f64::NAN,
    }
}
