//! What can be watched, and reading it at a point.

use super::SweepError;
use super::axis::near;
use crate::size::{Reach, SizeOptions, size};
use crate::{StudyError, cases};
use model::aircraft::project::Project;
use model::case;
use model::result::{CaseResult, Margin, MarginKind};
use std::sync::atomic::AtomicBool;

/// A result of a point.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Watch {
    /// Least reserve over the required margin of all steady cases, in the unit of its limit: K for a temperature.
    Worst,
    /// Distance to a limit in a case, positive on the good side.
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
            Self::Temperature { .. } => "K",
            Self::Heat { .. } => "W",
            Self::Mass | Self::Size { .. } => "kg",
        }
    }

    /// The case it is read from; none for what needs no case, or all.
    fn case(&self) -> Option<&str> {
        match self {
            Self::Margin { case, .. } | Self::Temperature { case, .. } | Self::Heat { case, .. } => {
                Some(case)
            }
            Self::Worst | Self::Mass | Self::Size { .. } => None,
        }
    }
}

/// Everything that can be watched of a project. Limits are those of its solved cases; one that shows in any case can be asked for in each.
///
/// # Errors
/// [`StudyError::Assembly`], [`StudyError::Cancelled`].
pub fn watches(project: &Project, cancel: &AtomicBool) -> Result<Vec<Watch>, StudyError> {
    let results = crate::solve(&cases(project), cancel, |_| ())?;
    let mut limits: Vec<&Margin> = Vec::new();
    for margin in results.iter().flat_map(|result| &result.margins) {
        if limits.iter().all(|m| m.place != margin.place || m.limit != margin.limit) {
            limits.push(margin);
        }
    }
    let mut all = vec![Watch::Worst, Watch::Mass];
    all.extend(project.loops.iter().map(|circuit| Watch::Size { circuit: circuit.name.as_str().to_owned() }));
    for result in &results {
        let case = result.case.to_string();
        all.extend(limits.iter().map(|margin| Watch::Margin {
            case: case.clone(),
            place: margin.place.clone(),
            limit: margin.limit.clone(),
            kind: margin.kind,
        }));
        for component in &project.components {
            let component = component.name.as_str().to_owned();
            all.push(Watch::Temperature { case: case.clone(), component: component.clone() });
            all.push(Watch::Heat { case: case.clone(), component });
        }
    }
    Ok(all)
}

/// Values of a project, and why some are missing.
pub(super) fn read(
    project: &Project,
    watched: &[Watch],
    cancel: &AtomicBool,
) -> Result<(Vec<Option<f64>>, String), StudyError> {
    let solved = solved(project, watched);
    let mut remarks: Vec<String> = Vec::new();
    let mut values = Vec::with_capacity(watched.len());
    for watch in watched {
        match value(project, watch, &solved, cancel) {
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

enum Missing {
    Because(String),
    Cancelled,
}

/// The cases that are needed, one after the other: points are what runs side by side.
fn solved(project: &Project, watched: &[Watch]) -> Vec<Solved> {
    let all = watched.contains(&Watch::Worst);
    let is_needed = |name: &str| all || watched.iter().any(|watch| watch.case() == Some(name));
    cases(project)
        .iter()
        .map(|case| (case.name().to_string(), case))
        .filter(|(name, _)| is_needed(name))
        .map(|(name, one)| {
            let result = case::solve(&one.situation).map_err(|problem| problem.message);
            (name, result)
        })
        .collect()
}

fn judged(solved: &Solved) -> Result<&CaseResult, Missing> {
    match &solved.1 {
        Ok(result) if result.status.can_be_judged() => Ok(result),
        Ok(result) => Err(Missing::Because(format!("{}: {}", solved.0, result.status.word()))),
        Err(message) => Err(Missing::Because(format!("{}: {message}", solved.0))),
    }
}

fn value(project: &Project, watch: &Watch, solved: &[Solved], cancel: &AtomicBool) -> Result<f64, Missing> {
    let of_case = |wanted: &str| {
        let found = solved.iter().find(|(name, _)| name == wanted);
        found.ok_or_else(|| Missing::Because(format!("{wanted}: no such case"))).and_then(judged)
    };
    let of_component = |case: &str, name: &str| {
        let found = of_case(case)?.components.iter().find(|one| one.name == name);
        found.ok_or_else(|| Missing::Because(format!("{case}: no component {name}")))
    };
    match watch {
        Watch::Worst => worst(solved),
        Watch::Margin { case, place, limit, kind } => {
            let all = of_case(case)?.margins.iter();
            let own = all.filter(|m| m.place == *place && m.limit == *limit && m.kind == *kind);
            let least = own.map(|margin| margin.margin).reduce(f64::min).filter(|margin| margin.is_finite());
            least.ok_or_else(|| Missing::Because(format!("{case}: no limit {limit} at {place}")))
        }
        Watch::Temperature { case, component } => Ok(of_component(case, component)?.temperature_k()),
        Watch::Heat { case, component } => Ok(of_component(case, component)?.heat_w),
        Watch::Mass => model::book::masses(project)
            .map(|book| book.total_kg())
            .map_err(|problem| Missing::Because(problem.message)),
        Watch::Size { circuit } => sized(project, circuit, cancel),
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
