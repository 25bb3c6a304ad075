//! What the power is worked out for: the failures, the conditions, the point that is flown, and the state of the pack.

use crate::StudyError;
use crate::missions::fly_case;
use aircraft::records::failure::{Failed, Failure};
use aircraft::records::powertrain::{Bus, Motor, Pack, Powertrain};
use aircraft::records::project::Project;
use aircraft::records::study::Point;
use aircraft::records::surroundings::Condition;
use model::cases;
use model::estimate::PointShaftPower;
use model::mission::{self, FlyOptions};
use model::outside::{Outside, Over};
use schema::{Name, Problem};
use std::collections::BTreeMap;

/// Name of the failure that leaves nothing: pack and bus are shared by all motors.
pub const ALL_LOST: &str = "pack or bus lost";

/// What is lost.
#[derive(Clone, Debug)]
pub(super) enum Lost {
    /// Nothing.
    Nothing,
    /// What a failure takes, and whether it is a motor or winding set alone.
    Failed(Box<Failure>, bool),
    /// All power: pack and bus are shared.
    All,
}

impl Lost {
    pub(super) fn name(&self) -> Option<String> {
        match self {
            Self::Nothing => None,
            Self::Failed(failure, _) => Some(failure.name.as_str().to_owned()),
            Self::All => Some(ALL_LOST.to_owned()),
        }
    }

    pub(super) fn is_one_out(&self) -> bool {
        matches!(self, Self::Failed(_, true))
    }

    pub(super) fn failure(&self) -> Option<&Failure> {
        match self {
            Self::Failed(failure, _) => Some(failure),
            Self::Nothing | Self::All => None,
        }
    }
}

/// What the search works with.
#[derive(Debug)]
pub(super) struct Setup<'a> {
    pub(super) project: &'a Project,
    pub(super) powertrain: &'a Powertrain,
    /// The point that is flown: the one that asks for the most power.
    pub(super) point: Point,
    /// Lowest state of charge; none without a pack.
    pub(super) state_of_charge: Option<f64>,
    /// Coldest cells of the missions by condition, K.
    coldest_k: BTreeMap<String, f64>,
}

impl<'a> Setup<'a> {
    /// None where there is no drive, or nothing that turns it.
    ///
    /// # Errors
    /// [`StudyError::Assembly`] for a mission that cannot be put together.
    pub(super) fn of(project: &'a Project) -> Result<Option<Self>, StudyError> {
        let Some(powertrain) = project.powertrain.as_ref().filter(|p| p.motors.iter().any(takes_part)) else {
            return Ok(None);
        };
        let Some(point) = busiest_point(project) else { return Ok(None) };
        let mut setup =
            Self { project, powertrain, point, state_of_charge: None, coldest_k: BTreeMap::new() };
        if let Bus::Pack(pack) = &powertrain.bus {
            setup.look_at_pack(pack)?;
        }
        Ok(Some(setup))
    }

    /// Flies the missions without failure: lowest charge of all, coldest cells in each condition.
    fn look_at_pack(&mut self, pack: &Pack) -> Result<(), StudyError> {
        let options = FlyOptions { max_gap_s: 60.0, ..FlyOptions::default() };
        let points = self.project.points.iter().filter(|point| point.shaft_power.is_asked());
        let mut lowest = points.map(|point| point.state_of_charge.si()).fold(f64::INFINITY, f64::min);
        for case in cases::missions(self.project).into_iter().filter(|case| case.failure.is_none()) {
            let flight = fly_case(&case, &options)?;
            let charge = flight.state_of_charge().into_iter().filter(|charge| charge.is_finite());
            lowest = charge.fold(lowest, f64::min);
            let cells_k = flight.component_k(&pack.cells).into_iter().fold(f64::INFINITY, f64::min);
            let name = case.condition.name.as_str().to_owned();
            let known_k = self.coldest_k.entry(name).or_insert(f64::INFINITY);
            *known_k = known_k.min(cells_k);
        }
        self.state_of_charge =
            Some(if lowest.is_finite() { lowest } else { self.point.state_of_charge.si() });
        Ok(())
    }

    /// Air of a condition for a flight away from the field.
    pub(super) fn outside(condition: &Condition) -> Result<Outside, Problem> {
        Outside::at(condition, 0.0, Over::Field { height_m: 0.0 })
    }

    /// Coldest cells in a condition, K: those of its missions, else its air.
    pub(super) fn coldest_k(&self, condition: &Condition, air_k: f64) -> f64 {
        let known = self.coldest_k.get(condition.name.as_str()).copied();
        known.filter(|cells_k| cells_k.is_finite()).unwrap_or(air_k)
    }
}

fn takes_part(motor: &Motor) -> bool {
    motor.share.si() > 0.0
}

/// The flown point with the most power at the output shaft, of the project, else of the missions.
fn busiest_point(project: &Project) -> Option<Point> {
    let conditions = conditions(project);
    let power_w = |point: &Point| {
        let each = conditions.iter().filter_map(|condition| {
            let outside = Outside::of(condition, point).ok()?;
            Some(PointShaftPower::of(project.craft.as_ref(), point, &outside).ok()?.shaft_power_w())
        });
        each.fold(f64::NEG_INFINITY, f64::max)
    };
    let turns = |point: &&Point| point.shaft_speed.si() > 0.0 && !point.ground && point.charge.is_none();
    let stated = project.points.iter().filter(turns).map(|point| (power_w(point), point.clone()));
    let stated = stated.filter(|(power_w, _)| *power_w > 0.0).max_by(|a, b| a.0.total_cmp(&b.0));
    stated.or_else(|| busiest_instant(project)).map(|(_, point)| point)
}

fn busiest_instant(project: &Project) -> Option<(f64, Point)> {
    let mut best: Option<(f64, Point)> = None;
    for case in cases::missions(project).into_iter().filter(|case| case.failure.is_none()) {
        let Ok(schedule) = mission::schedule(&case) else { continue };
        let pieces = schedule.steps.iter().filter(|step| !step.ground).flat_map(|step| &step.pieces);
        for instant in pieces.flat_map(|piece| std::iter::once(&piece.from).chain(&piece.to)) {
            let power_w = instant.commanded.shaft_power_w;
            let is_more = best.as_ref().is_none_or(|(known_w, _)| power_w > *known_w);
            if power_w > 0.0 && instant.point.shaft_speed.si() > 0.0 && is_more {
                best = Some((power_w, instant.point.clone()));
            }
        }
    }
    best
}

/// Conditions of the cases, in the order of the project.
pub(super) fn conditions(project: &Project) -> Vec<&Condition> {
    let used = |condition: &&Condition| {
        project.cases.iter().any(|group| group.conditions.iter().any(|name| condition.name == *name))
    };
    project.conditions.iter().filter(used).collect()
}

/// What is missing for a whole answer.
pub(super) fn missing(project: &Project) -> Vec<String> {
    let mut missing = Vec::new();
    let motors = project.powertrain.iter().flat_map(|powertrain| &powertrain.motors);
    let motors: Vec<&Motor> = motors.filter(|motor| takes_part(motor)).collect();
    if motors.is_empty() {
        missing.push("`powertrain.motors`: there is no drive whose power could be told".to_owned());
    } else if busiest_point(project).is_none() {
        missing.push("a steady point or segment in flight with shaft power and speed".to_owned());
    }
    let unrated = motors.iter().filter(|motor| motor.ratings.is_empty() && motor.most_power.is_none());
    missing.extend(unrated.map(|motor| {
        format!("`ratings` or `most_power` of {:?}: nothing bounds its power", motor.name.as_str())
    }));
    if project.craft.is_none() {
        missing.push(
            "`craft`: without it only the power that is there can be told, not what flight takes".to_owned(),
        );
    }
    missing
}

/// What is lost, one after the other: nothing; each motor; a winding set of each motor with several; what else of the project sets the
/// power; everything.
pub(super) fn losses(project: &Project) -> Vec<Lost> {
    let Some(powertrain) = &project.powertrain else { return Vec::new() };
    let mut all = vec![Lost::Nothing];
    let motors = || powertrain.motors.iter().filter(|motor| takes_part(motor));
    for motor in motors() {
        let name = motor.name.as_str();
        let is = |what: &Failed| matches!(what, Failed::MotorOut(out) if out == name);
        all.extend(stated_or(project, is, format!("{name} out"), Failed::MotorOut(name.to_owned())));
    }
    for motor in motors().filter(|motor| motor.winding_sets() > 1) {
        let name = motor.name.as_str();
        let is = |what: &Failed| matches!(what, Failed::WindingSetOut(out) if out == name);
        let named = format!("{name} one winding set out");
        all.extend(stated_or(project, is, named, Failed::WindingSetOut(name.to_owned())));
    }
    let derates = motors().any(|motor| motor.derate.is_some());
    let rest = project.failures.iter().filter(|failure| match &failure.what {
        Failed::MotorOut(_) | Failed::WindingSetOut(_) => false,
        Failed::StringsOut(_) => true,
        Failed::Together(_) => derates || takes(project, failure).any(sets_power),
        // it takes power only by what it lets get hot
        _ => derates,
    });
    // what comes on top of a motor, a leak for example, is no matter of one motor out: told, not judged
    all.extend(rest.map(|failure| Lost::Failed(Box::new(failure.clone()), false)));
    all.push(Lost::All);
    all
}

fn sets_power(what: &Failed) -> bool {
    matches!(what, Failed::MotorOut(_) | Failed::WindingSetOut(_) | Failed::StringsOut(_))
}

/// What fails with a failure, those that come together taken apart.
fn takes<'a>(project: &'a Project, failure: &'a Failure) -> impl Iterator<Item = &'a Failed> {
    let together: &[String] = match &failure.what {
        Failed::Together(together) => &together.failures,
        _ => &[],
    };
    let named = together.iter().filter_map(|name| project.failures.iter().find(|f| f.name == *name));
    std::iter::once(&failure.what).chain(named.map(|failure| &failure.what))
}

/// The first failure of the project of this kind, else one made for the study.
fn stated_or(project: &Project, is: impl Fn(&Failed) -> bool, name: String, what: Failed) -> Option<Lost> {
    let stated = project.failures.iter().find(|failure| is(&failure.what)).cloned();
    let failure = match stated {
        Some(stated) => stated,
        None => Failure {
            name: Name::new(name).ok()?,
            what,
            after: Vec::new(),
            rating: None,
            hazard: None,
            note: None,
        },
    };
    Some(Lost::Failed(Box::new(failure), true))
}
