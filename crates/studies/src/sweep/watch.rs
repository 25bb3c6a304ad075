//! What can be watched, and reading it at a point.

use super::SweepError;
use super::axis::near;
use super::needed::{Absence, cools_the_pack};
use crate::StudyError;
use aircraft::records::project::Project;
use model::cases;
use model::mission::FlyOptions;
use model::result::{Margin, MarginKind};
use std::sync::atomic::AtomicBool;

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
    /// Dry mass of the core of a loop, its height sized for every required margin, kg; nothing where the components that the loop cools
    /// hold with its pumps and fans at rest.
    Size {
        /// Loop.
        circuit: String,
    },
    /// Mass of a loop and of the ducts that serve no other, dry and coolant, kg: with its core sized; without the core where the loop
    /// may be at rest; nothing where it may be removed.
    Fitted {
        /// Loop.
        circuit: String,
    },
    /// The largest cell resistance, as its sheet states it, at which the components that a loop cools hold without it, ohm.
    Boundary {
        /// Loop.
        circuit: String,
        /// Without what of it.
        how: Absence,
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
            Self::Fitted { circuit } => format!("fitted:{circuit}"),
            Self::Boundary { circuit, how } => format!("boundary:{circuit}:{}", how.word()),
        }
    }

    /// Its SI unit; empty for the worst reserve, which has that of its limit.
    pub fn unit(&self) -> &'static str {
        match self {
            Self::Worst => "",
            Self::Margin { kind, .. } => kind.unit(),
            Self::Temperature { .. } | Self::Peak { .. } => "K",
            Self::Heat { .. } => "W",
            Self::Mass | Self::Size { .. } | Self::Fitted { .. } => "kg",
            Self::Boundary { .. } => "Ohm",
        }
    }

    /// The case it is read from; none for what needs no case, or all.
    pub(super) fn case(&self) -> Option<&str> {
        match self {
            Self::Margin { case, .. }
            | Self::Temperature { case, .. }
            | Self::Peak { case, .. }
            | Self::Heat { case, .. } => Some(case),
            Self::Worst | Self::Mass | Self::Size { .. } | Self::Fitted { .. } | Self::Boundary { .. } => {
                None
            }
        }
    }
}

/// Everything that can be watched of a project. Limits are those of its solved cases, or of its missions if there is no steady case; one
/// that shows in any case can be asked for in each.
///
/// # Errors
/// [`StudyError::Assembly`], [`StudyError::Cancelled`].
pub fn watches(project: &Project, cancel: &AtomicBool) -> Result<Vec<Watch>, StudyError> {
    let results = crate::solve(&cases::steady(project), cancel, |_| ())?;
    let missions = cases::missions(project);
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
    let names = || project.loops.iter().map(|circuit| circuit.name.as_str().to_owned());
    all.extend(names().map(|circuit| Watch::Size { circuit }));
    all.extend(names().map(|circuit| Watch::Fitted { circuit }));
    for circuit in project.loops.iter().filter(|circuit| cools_the_pack(project, circuit)) {
        let of = |how| Watch::Boundary { circuit: circuit.name.as_str().to_owned(), how };
        all.extend(Absence::ALL.map(of));
    }
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
