//! What can be watched, and reading it at a point.

use super::SweepError;
use super::axis::near;
use crate::levers::situated;
use crate::missions::fly_case;
use crate::size::{Reach, SizeOptions, size};
use crate::{StudyError, cases};
use model::aircraft::project::{OutsideRange, Project};
use model::case::{self, Ground};
use model::mission::{self, Flight, FlyOptions};
use model::result::{CaseResult, ComponentResult, Margin, MarginKind};
use rayon::prelude::*;
use std::sync::atomic::{AtomicBool, Ordering};

/// A result of a point.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Watch {
    /// Least reserve over the required margin of all steady cases, in the unit of its limit: K for a temperature.
    Worst,
    /// Distance to a limit in a case, positive on the good side: in a mission, the least over the flight.
    Margin {
        /// Full name of the case.
        case: String,
        /// Component, device or loop.
        place: String,
        /// Name of the limit.
        limit: String,
        /// Kind.
        kind: MarginKind,
    },
    /// Temperature of the hottest segment of a component in a case, K.
    Temperature {
        /// Full name of the case.
        case: String,
        /// Component.
        component: String,
    },
    /// Highest temperature of a component over a mission, K.
    Peak {
        /// Full name of the mission case.
        case: String,
        /// Component.
        component: String,
    },
    /// Heat generated in a component in a case, W.
    Heat {
        /// Full name of the case.
        case: String,
        /// Component.
        component: String,
    },
    /// Mass of the cooling, dry and coolant, kg.
    Mass,
    /// Dry mass of the core of a loop, its height sized for every required margin, kg.
    Size {
        /// Loop.
        circuit: String,
    },
}

impl Watch {
    /// Reads the name of a result.
    ///
    /// # Errors
    /// [`SweepError::UnknownResult`] with the nearest.
    pub fn parse(all: &[Self], name: &str) -> Result<Self, SweepError> {
        let name = name.trim();
        all.iter().find(|watch| watch.name() == name).cloned().ok_or_else(|| {
            let names: Vec<String> = all.iter().map(Self::name).collect();
            SweepError::UnknownResult {
                name: name.to_owned(),
                near: near(name, names.iter().map(String::as_str)),
            }
        })
    }

    /// As it is asked for.
    pub fn name(&self) -> String {
        match self {
            Self::Worst => "worst".to_owned(),
            Self::Margin { case, place, limit, .. } => format!("margin:{case}:{place}:{limit}"),
            Self::Temperature { case, component } => format!("temperature:{case}:{component}"),
            Self::Peak { case, component } => format!("peak:{case}:{component}"),
            Self::Heat { case, component } => format!("heat:{case}:{component}"),
            Self::Mass => "mass".to_owned(),
            Self::Size { circuit } => format!("size:{circuit}"),
        }
    }

    /// Its SI unit; empty for the worst reserve, which has that of its limit.
    pub fn unit(&self) -> &'static str {
        match self {
            Self::Worst => "",
            Self::Margin { kind, .. } => kind.unit(),
            Self::Temperature { .. } | Self::Peak { .. } => "K",
            Self::Heat { .. } => "W",
            Self::Mass | Self::Size { .. } => "kg",
        }
    }

    /// The case it is read from; none for what needs no case, or all.
    fn case(&self) -> Option<&str> {
        match self {
            Self::Margin { case, .. }
            | Self::Temperature { case, .. }
            | Self::Peak { case, .. }
            | Self::Heat { case, .. } => Some(case),
            Self::Worst | Self::Mass | Self::Size { .. } => None,
        }
    }
}

/// Everything that can be watched of a project. Limits are those of its solved cases, or of its missions if there is no steady case; one
/// that shows in any case can be asked for in each.
///
/// # Errors
/// [`StudyError::Assembly`], [`StudyError::Cancelled`].
pub fn watches(project: &Project, cancel: &AtomicBool) -> Result<Vec<Watch>, StudyError> {
    let results = crate::solve(&cases(project), cancel, |_| ())?;
    let missions = mission::cases(project);
    let mut margins: Vec<Margin> = results.iter().flat_map(|result| result.margins.clone()).collect();
    if results.is_empty() {
        let flown = crate::missions::flown(&missions, &FlyOptions::default(), cancel, |_| ())?;
        margins = flown.into_iter().flat_map(|one| one.margins).map(|timed| timed.margin).collect();
    }
    let mut limits: Vec<&Margin> = Vec::new();
    for margin in &margins {
        if limits.iter().all(|m| m.place != margin.place || m.limit != margin.limit) {
            limits.push(margin);
        }
    }
    let mut all = vec![Watch::Worst, Watch::Mass];
    all.extend(project.loops.iter().map(|circuit| Watch::Size { circuit: circuit.name.as_str().to_owned() }));
    let of_limits = |case: &str, all: &mut Vec<Watch>| {
        all.extend(limits.iter().map(|margin| Watch::Margin {
            case: case.to_owned(),
            place: margin.place.clone(),
            limit: margin.limit.clone(),
            kind: margin.kind,
        }));
    };
    let components = || project.components.iter().map(|component| component.name.as_str().to_owned());
    for result in &results {
        let case = result.case.to_string();
        of_limits(&case, &mut all);
        for component in components() {
            all.push(Watch::Temperature { case: case.clone(), component: component.clone() });
            all.push(Watch::Heat { case: case.clone(), component });
        }
    }
    for mission in missions {
        let case = mission.name().to_string();
        of_limits(&case, &mut all);
        all.extend(components().map(|component| Watch::Peak { case: case.clone(), component }));
    }
    Ok(all)
}

/// Solved states of the steady cases of the project that is swept, as far as they are watched: points start from them, so that a point
/// does not depend on its neighbours.
pub(super) fn grounds(
    project: &Project,
    watched: &[Watch],
    cancel: &AtomicBool,
) -> Vec<(String, Option<Ground>)> {
    let needed: Vec<_> = needed(project, watched);
    let ground = |(name, one): (String, crate::Case<'_>)| {
        let is_cancelled = cancel.load(Ordering::Relaxed);
        // what stands in the way of a case is told at the points
        let found = if is_cancelled { None } else { Ground::of(&one.situation).ok() };
        (name, found.and_then(|(_, ground)| ground))
    };
    needed.into_par_iter().map(ground).collect()
}

/// Values of a project, and why some are missing.
pub(super) fn read(
    project: &Project,
    watched: &[Watch],
    grounds: &[(String, Option<Ground>)],
    cancel: &AtomicBool,
) -> Result<(Vec<Option<f64>>, String), StudyError> {
    let read = Read {
        project,
        solved: solved(project, watched, grounds),
        flown: flown(project, watched, cancel)?,
        cancel,
    };
    let mut remarks: Vec<String> = Vec::new();
    let mut values = Vec::with_capacity(watched.len());
    for watch in watched {
        match read.value(watch) {
            Ok(value) => values.push(Some(value)),
            Err(Missing::Because(reason)) => {
                values.push(None);
                if !remarks.contains(&reason) {
                    remarks.push(reason);
                }
            }
            Err(Missing::Cancelled) => return Err(StudyError::Cancelled),
        }
    }
    Ok((values, remarks.join("; ")))
}

/// A case by its full name, with its result or what stands in the way.
type Solved = (String, Result<CaseResult, String>);

/// A mission case by its full name, with its flight or what stands in the way.
type Flown = (String, Result<Flight, String>);

/// What is known of a point.
struct Read<'a> {
    project: &'a Project,
    solved: Vec<Solved>,
    flown: Vec<Flown>,
    cancel: &'a AtomicBool,
}

enum Missing {
    Because(String),
    Cancelled,
}

/// The steady cases that are needed.
fn needed<'a>(project: &'a Project, watched: &[Watch]) -> Vec<(String, crate::Case<'a>)> {
    let all = watched.contains(&Watch::Worst);
    let is_needed = |name: &str| all || watched.iter().any(|watch| watch.case() == Some(name));
    let named = cases(project).into_iter().map(|case| (case.name().to_string(), case));
    named.filter(|(name, _)| is_needed(name)).collect()
}

/// The cases that are needed, one after the other: points are what runs side by side.
fn solved(project: &Project, watched: &[Watch], grounds: &[(String, Option<Ground>)]) -> Vec<Solved> {
    let refuses = project.policy.outside_range == OutsideRange::Refuse;
    let all = needed(project, watched).into_iter().map(|(name, one)| {
        let needs_heat = || watched.iter().any(|w| matches!(w, Watch::Heat { case, .. } if *case == name));
        let ground = grounds.iter().find(|(known, _)| *known == name).and_then(|(_, ground)| ground.as_ref());
        let result = match (ground, situated(project, &one)) {
            (Some(ground), Some(situation)) if refuses || needs_heat() => ground.solve_in_full(&situation),
            (Some(ground), Some(situation)) => ground.solve(&situation),
            _ => case::solve(&one.situation),
        };
        (name, result.map_err(|problem| problem.message))
    });
    all.collect()
}

/// The missions that are needed.
fn flown(project: &Project, watched: &[Watch], cancel: &AtomicBool) -> Result<Vec<Flown>, StudyError> {
    let mut found = Vec::new();
    for mission in mission::cases(project) {
        let name = mission.name().to_string();
        if !watched.iter().any(|watch| watch.case() == Some(name.as_str())) {
            continue;
        }
        if cancel.load(Ordering::Relaxed) {
            return Err(StudyError::Cancelled);
        }
        let flight = fly_case(&mission, &FlyOptions::default()).map_err(|error| error.to_string());
        found.push((name, flight));
    }
    Ok(found)
}

fn judged(solved: &Solved) -> Result<&CaseResult, Missing> {
    match &solved.1 {
        Ok(result) if result.status.can_be_judged() => Ok(result),
        Ok(result) => Err(Missing::Because(format!("{}: {}", solved.0, result.status.word()))),
        Err(message) => Err(Missing::Because(format!("{}: {message}", solved.0))),
    }
}

impl Read<'_> {
    fn value(&self, watch: &Watch) -> Result<f64, Missing> {
        match watch {
            Watch::Worst => worst(&self.solved),
            Watch::Margin { case, place, limit, kind } => {
                let all = self.margins(case)?;
                let own = all.iter().filter(|m| m.place == *place && m.limit == *limit && m.kind == *kind);
                let least = own.map(|margin| margin.margin).reduce(f64::min).filter(|m| m.is_finite());
                least.ok_or_else(|| Missing::Because(format!("{case}: no limit {limit} at {place}")))
            }
            Watch::Temperature { case, component } => Ok(self.of_component(case, component)?.temperature_k()),
            Watch::Heat { case, component } => Ok(self.of_component(case, component)?.heat_w),
            Watch::Peak { case, component } => {
                let peak = self.flight(case)?.component_k(component).into_iter().reduce(f64::max);
                peak.ok_or_else(|| Missing::Because(format!("{case}: no component {component}")))
            }
            Watch::Mass => model::book::masses(self.project)
                .map(|book| book.total_kg())
                .map_err(|problem| Missing::Because(problem.message)),
            Watch::Size { circuit } => sized(self.project, circuit, self.cancel),
        }
    }

    fn case(&self, wanted: &str) -> Result<&CaseResult, Missing> {
        let found = self.solved.iter().find(|(name, _)| name == wanted);
        found.ok_or_else(|| Missing::Because(format!("{wanted}: no such case"))).and_then(judged)
    }

    fn flight(&self, wanted: &str) -> Result<&Flight, Missing> {
        let because = |reason: &str| Missing::Because(format!("{wanted}: {reason}"));
        match self.flown.iter().find(|(name, _)| name == wanted) {
            Some((_, Ok(flight))) if flight.status.can_be_judged() => Ok(flight),
            Some((_, Ok(flight))) => Err(because(flight.status.word())),
            Some((_, Err(message))) => Err(because(message)),
            None => Err(because("no such mission")),
        }
    }

    fn margins(&self, case: &str) -> Result<Vec<Margin>, Missing> {
        if self.flown.iter().any(|(name, _)| name == case) {
            let timed = self.flight(case)?.margins(self.project);
            return Ok(timed.into_iter().map(|timed| timed.margin).collect());
        }
        Ok(self.case(case)?.margins.clone())
    }

    fn of_component(&self, case: &str, name: &str) -> Result<&ComponentResult, Missing> {
        let found = self.case(case)?.components.iter().find(|one| one.name == name);
        found.ok_or_else(|| Missing::Because(format!("{case}: no component {name}")))
    }
}

fn worst(solved: &[Solved]) -> Result<f64, Missing> {
    let mut least: Option<f64> = None;
    for one in solved {
        for margin in &judged(one)?.margins {
            if !margin.reserve().is_finite() {
                return Err(Missing::Because(format!("{}: {} has no number", one.0, margin.place)));
            }
            least = Some(least.map_or(margin.reserve(), |known| known.min(margin.reserve())));
        }
    }
    least.ok_or_else(|| Missing::Because("no steady case has a limit".to_owned()))
}

fn sized(project: &Project, circuit: &str, cancel: &AtomicBool) -> Result<f64, Missing> {
    let options = SizeOptions { reach: Reach::Height, relax: false, ..SizeOptions::default() };
    let result = match size(project, circuit, &options, cancel, |_, _| ()) {
        Ok(result) => result,
        Err(StudyError::Cancelled) => return Err(Missing::Cancelled),
        Err(other) => return Err(Missing::Because(other.to_string())),
    };
    if let Some(beyond) = result.beyond.first() {
        return Err(Missing::Because(format!("{circuit}: {} is short at every size", beyond.case)));
    }
    match result.sized {
        Some(sized) => Ok(sized.core_dry_kg),
        None => Err(Missing::Because(format!("{circuit}: no size holds every margin"))),
    }
}
