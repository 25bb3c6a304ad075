//! What a failure leads to, and the warnings of all of them.

use super::action::{Action, Reason, TimesToLand};
use model::case_name::CaseName;
use model::result::{Margin, MarginKind, Notice, PowerLost, Status};
use model::standing::Standing;
use std::cmp::Ordering;

/// A limit and the time until it is passed.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitTime {
    /// Component, device, loop or motor; for a flight without solution "command of the moment".
    pub place: String,
    /// Name of the limit, or the outcome.
    pub limit: String,
    /// Kind of limit; none for an outcome.
    pub kind: Option<MarginKind>,
    /// Since the failure, s; none if it is not passed while the command is kept.
    pub time_s: Option<f64>,
    /// The same without the failure, s.
    pub healthy_s: Option<f64>,
}

/// The first required margin that is lost while the command of a moment is kept.
#[derive(Clone, Debug, PartialEq)]
pub struct RequiredTime {
    /// Component, device, loop or motor; for a flight without solution "command of the moment".
    pub place: String,
    /// Name of the limit, or the outcome.
    pub limit: String,
    /// Since the failure, s.
    pub time_s: f64,
    /// Moment of the failure from which that is soonest, s since the start of the mission.
    pub start_s: f64,
}

/// The value nearest to its limit until touchdown.
#[derive(Clone, Debug, PartialEq)]
pub struct PeakUntilTouchdown {
    /// Value, limit and margin.
    pub margin: Margin,
    /// Since the failure, s.
    pub time_s: f64,
}

/// The limit of whose margin the failure takes the greatest share.
#[derive(Clone, Debug, PartialEq)]
pub struct Worsened {
    /// Value, limit and margin after the failure, until touchdown.
    pub margin: Margin,
    /// Since the failure, s.
    pub time_s: f64,
    /// Least margin of the same limit from that moment on without the failure; none if it is not there then.
    pub healthy: Option<f64>,
}

/// Temperatures of one sensor that warn of one failure in time.
#[derive(Clone, Debug, PartialEq)]
pub struct FailureAlert {
    /// Sensor.
    pub sensor: String,
    /// Component or device it sits at.
    pub place: String,
    /// Leaves time to land as soon as possible, K; none if no temperature does.
    pub amber_k: Option<f64>,
    /// Leaves time to land immediately, K; none if no temperature does.
    pub red_k: Option<f64>,
}

/// What a failure leads to in one mission.
#[derive(Clone, Debug, PartialEq)]
pub struct FailureOutcome {
    /// Condition, mission, failure.
    pub case: CaseName,
    /// Solved, or why what is flown after the failure does not reach touchdown.
    pub status: Status,
    /// How the flight after the failure stands until touchdown, against the required margins; the worst of all moments.
    pub standing: Standing,
    /// Things to know about the flights.
    pub notices: Vec<Notice>,
    /// Moment from which a limit is passed soonest, s since the start of the mission.
    pub start_s: f64,
    /// Segment at that moment.
    pub start_segment: String,
    /// Limits that are passed while the command of that moment is kept, first one first.
    pub limits: Vec<LimitTime>,
    /// The first required margin that is lost while the command of a moment is kept, from the moment at which that is soonest; none if none
    /// is.
    pub required: Option<RequiredTime>,
    /// How long the command was kept, s: a limit that is not passed is not passed for so long.
    pub held_s: f64,
    /// Moment from which the flight until touchdown is worst, s since the start of the mission.
    pub peak_start_s: f64,
    /// Nearest to its limit until touchdown, from that moment.
    pub peak: Option<PeakUntilTouchdown>,
    /// What the failure worsens most in the same flight; none if it worsens nothing.
    pub worsened: Option<Worsened>,
    /// Power that was asked for and not given in the flight after the failure; its time counts from the failure.
    pub power_lost: Option<PowerLost>,
    /// When a limit is first passed before touchdown, s since the failure.
    pub passed_before_touchdown_s: Option<f64>,
    /// When a required margin is first lost before touchdown, s since the failure.
    pub short_before_touchdown_s: Option<f64>,
    /// From the failure to touchdown, s.
    pub touchdown_s: Option<f64>,
    /// Action of the pilot.
    pub action: Action,
    /// What asks for it; none without an action.
    pub action_reason: Option<Reason>,
    /// What is to be said of the action: what was lost, what an immediate landing does not keep, what stood by.
    pub action_notes: Vec<String>,
    /// Time to the first limit over the time to land by that action; none if no limit is passed, or without an action.
    pub time_ratio: Option<f64>,
    /// Warnings of the sensors whose limit is passed.
    pub alerts: Vec<FailureAlert>,
    /// How many moments were flown.
    pub moments: usize,
}

impl FailureOutcome {
    /// Time to the first limit with the command of the moment, s.
    pub fn time_to_limit_s(&self) -> Option<f64> {
        self.limits.first().and_then(|limit| limit.time_s)
    }

    /// Time until a required margin is lost with the command of the moment, from the worst moment, s.
    pub fn time_to_required_s(&self) -> Option<f64> {
        self.required.as_ref().map(|required| required.time_s)
    }

    /// Whether every limit is kept until touchdown, though perhaps not every required margin.
    pub fn keeps_limits(&self) -> bool {
        self.standing >= Standing::Short
    }

    /// The order on pages: the most pressing action first, then the worst standing, then the shortest time.
    pub fn most_pressing_first(a: &Self, b: &Self) -> Ordering {
        let times_s = |outcome: &Self| {
            let times_s = [outcome.time_to_required_s(), outcome.time_to_limit_s()];
            times_s.map(|time_s| time_s.unwrap_or(f64::INFINITY))
        };
        let ([a_short_s, a_limit_s], [b_short_s, b_limit_s]) = (times_s(a), times_s(b));
        b.action
            .cmp(&a.action)
            .then(a.standing.cmp(&b.standing))
            .then(a_short_s.total_cmp(&b_short_s))
            .then(a_limit_s.total_cmp(&b_limit_s))
    }
}

/// Warning temperatures of one sensor over all failures.
#[derive(Clone, Debug, PartialEq)]
pub struct Alert {
    /// Sensor.
    pub sensor: String,
    /// Component or device it sits at.
    pub place: String,
    /// Lowest maximum there, K.
    pub limit_k: f64,
    /// Highest reading without failure, K.
    pub normal_k: f64,
    /// Plan the landing, K.
    pub amber_k: f64,
    /// Act, K.
    pub red_k: f64,
    /// A failure sets amber and red; otherwise they stand at their usual distance below the limit.
    pub is_derived: bool,
    /// Amber could come up, or stay on, without failure.
    pub is_nuisance: bool,
    /// The same of red.
    pub is_red_nuisance: bool,
    /// Failures of which no temperature here warns in time for an immediate landing: flow, level or pressure must.
    pub too_late: Vec<String>,
}

impl Alert {
    /// Why amber or red cannot warn; none if both do.
    pub fn cannot_warn(&self) -> Option<&'static str> {
        if self.is_red_nuisance {
            Some("red shows in normal flight: neither can warn")
        } else if self.is_nuisance {
            Some("amber shows in normal flight: it cannot warn")
        } else if self.amber_k >= self.red_k {
            Some("amber comes no earlier than red: it cannot warn")
        } else {
            None
        }
    }
}

/// All failures.
#[derive(Clone, Debug, PartialEq)]
pub struct FailureStudy {
    /// Failures in the order of the project, mission by mission.
    pub failures: Vec<FailureOutcome>,
    /// Warnings in the order of the sensors.
    pub alerts: Vec<Alert>,
    /// Times to land that were compared with.
    pub landing: TimesToLand,
}

impl FailureStudy {
    /// How the worst of them stands; holds without any.
    pub fn standing(&self) -> Standing {
        self.failures.iter().map(|outcome| outcome.standing).min().unwrap_or(Standing::Holds)
    }

    /// How many stand so, or better.
    pub fn at_least(&self, standing: Standing) -> usize {
        self.failures.iter().filter(|outcome| outcome.standing >= standing).count()
    }
}
