//! Missions over time: from segments by name to stretches of numbered networks.
//!
//! # Invariant
//! Every network of one schedule has the same components, elements, circuits and unknowns in the same order; only numbers differ. What
//! is inactive in a segment exists with zero effect. Pure: no threads. [`fly`] alone solves.

mod end_state;
mod flight;
mod flown;
mod fly;
mod make;
mod plan;
mod schedule;
mod turnaround;

use crate::case_name::CaseName;
use aircraft::records::ground::{Turnaround, TurnaroundOption};
use aircraft::records::mission::Mission;
use aircraft::records::project::Project;
use aircraft::records::study::Failure;
use aircraft::records::surroundings::Condition;

pub use end_state::EndState;
pub use flight::{Event, EventKind, Flight, FlownStep, Judged, StepEnd, TimedMargin};
pub use flown::{Moment, Then, aftermath, schedule, schedule_on};
pub use fly::{FlyOptions, fly};
pub use plan::{Commanded, Phase, Planned, Swap, at_height, plan, plan_after};
pub use schedule::{Ending, Instant, PackPart, Piece, Schedule, ScheduleStep, StartState};
pub use solver::HeatOverTime;
pub use turnaround::{TurnaroundStart, plan_turnaround, schedule_stand, schedule_turnaround};

/// Label of the step that follows the segments of a mission.
pub const SOAK: &str = "soak after shutdown";

/// A mission at one condition, with at most one failure, which holds from the beginning.
#[derive(Clone, Copy, Debug)]
pub struct MissionCase<'a> {
    /// Project, variant applied.
    pub project: &'a Project,
    /// Surroundings.
    pub condition: &'a Condition,
    /// Mission.
    pub mission: &'a Mission,
    /// Failure.
    pub failure: Option<&'a Failure>,
}

/// A turnaround by one of its options at one condition.
#[derive(Clone, Copy, Debug)]
pub struct TurnaroundCase<'a> {
    /// Project, variant applied.
    pub project: &'a Project,
    /// Surroundings.
    pub condition: &'a Condition,
    /// Turnaround.
    pub turnaround: &'a Turnaround,
    /// Option.
    pub option: &'a TurnaroundOption,
}

impl MissionCase<'_> {
    /// Path of the segments in the project.
    fn path(&self) -> String {
        format!("missions.{}.segments", self.mission.name.as_str())
    }

    /// Name: condition, mission, failure.
    pub fn name(&self) -> CaseName {
        CaseName {
            condition: self.condition.name.as_str().to_owned(),
            point: self.mission.name.as_str().to_owned(),
            failure: self.failure.map(|failure| failure.name.as_str().to_owned()),
        }
    }
}
