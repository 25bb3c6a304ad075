//! What happens over time, as networks: steps, their pieces, and what ends them.

use super::end_state::EndState;
use super::plan::{Commanded, Phase, Swap};
use crate::assembly::{Assembled, Parts, Situation};
use crate::estimate::PowerEstimate;
use aircraft::records::failure::Failure;
use aircraft::records::project::Project;
use aircraft::records::study::Point;
use aircraft::records::surroundings::Condition;
use powertrain::charge::{ChargeLimiter, ChargePoint};
use powertrain::pack::HotCell;
use solver::{ActiveCharge, ComponentId, Network};

/// A mission as networks over time.
#[derive(Clone, Debug)]
pub struct Schedule {
    /// Temperatures at the beginning.
    pub start: StartState,
    /// State of charge at the beginning.
    pub state_of_charge: f64,
    /// The pack, if there is one.
    pub pack: Option<PackPart>,
    /// Steps in order, at least one.
    pub steps: Vec<ScheduleStep>,
}

/// What a charge and its limits must know of the pack.
#[derive(Clone, Debug)]
pub struct PackPart {
    /// Groups of cells along the coolant.
    pub cells: Vec<ComponentId>,
    /// Allowance for the hottest cell of a group.
    pub hot_cell: Option<HotCell>,
    /// Cells in series.
    pub series: usize,
    /// Strings in parallel.
    pub strings: usize,
}

/// Temperatures at the beginning of a schedule.
#[derive(Clone, Debug, PartialEq)]
pub enum StartState {
    /// Known beforehand.
    Temperatures {
        /// Coolant and components that are not named, K.
        rest_k: f64,
        /// Components that differ, K.
        parts: Vec<(Vec<ComponentId>, f64)>,
    },
    /// The steady state of the first network.
    Settled,
    /// The end of the mission of this name at the same condition, its soak included.
    After(String),
    /// The end of the last segment of the mission of this name at the same condition, before its soak.
    AfterSegments(String),
    /// Whatever state the schedule before left, its state of charge included.
    Carried,
}

impl StartState {
    /// The coldest of all temperatures, K, where they are inputs.
    pub fn coldest_k(&self) -> Option<f64> {
        match self {
            Self::Temperatures { rest_k, parts } => {
                Some(parts.iter().fold(*rest_k, |coldest_k, (_, part_k)| coldest_k.min(*part_k)))
            }
            Self::Settled | Self::After(_) | Self::AfterSegments(_) | Self::Carried => None,
        }
    }
}

/// A segment, or the soak after shutdown.
#[derive(Clone, Debug)]
pub struct ScheduleStep {
    /// Name of the segment, or [`super::SOAK`].
    pub label: String,
    /// Number of the segment in the mission; none for the soak.
    pub segment: Option<usize>,
    /// What it counts as.
    pub phase: Phase,
    /// What ends it; the pieces give the longest time it takes.
    pub ending: Ending,
    /// Pieces in order, at least one.
    pub pieces: Vec<Piece>,
    /// What decides the current of a charge.
    pub charge: Option<ChargeLimiter>,
    /// Hottest cell above the mean one at the constant current of the charge, once settled, K.
    pub hottest_above_k: f64,
    /// Ground connections whose cart is connected.
    pub carts: Vec<String>,
    /// The pack is replaced at the end.
    pub swap: Option<Swap>,
    /// How the power at the beginning and at the end was estimated; none where it is given.
    pub estimates: Option<[PowerEstimate; 2]>,
    /// Rating of the motors that is used.
    pub rating: Option<String>,
    /// On the ground.
    pub ground: bool,
}

impl ScheduleStep {
    /// Duration of all pieces, s: the longest the step may take.
    pub fn duration_s(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.duration_s).sum()
    }
}

/// What ends a step.
#[derive(Clone, Debug, PartialEq)]
pub enum Ending {
    /// Its time is up.
    Time,
    /// All of these are at or below a temperature, K.
    AllBelow(Vec<ComponentId>, f64),
    /// One of these is at or above a temperature, K.
    AnyAbove(Vec<ComponentId>, f64),
    /// The state of charge has risen to this.
    ChargeAbove(f64),
    /// The state of charge has fallen to this.
    ChargeBelow(f64),
    /// The charge is done: wanted state of charge reached, or tapered off.
    Charged,
    /// Every temperature changes more slowly than the rate over the whole window, and the last peak lies behind by the run-on.
    Stabilised {
        /// K/s.
        rate_k_s: f64,
        /// s.
        window_s: f64,
        /// s.
        run_on_s: f64,
        /// State of charge at which the step ends anyway.
        min_charge: f64,
    },
}

/// A piece of a step: every number of the network changes evenly from one instant to the other.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Duration, s.
    pub duration_s: f64,
    /// Beginning.
    pub from: Instant,
    /// End; nothing changes without it.
    pub to: Option<Instant>,
}

/// The aircraft at one instant of a mission.
#[derive(Clone, Debug)]
pub struct Instant {
    /// What is asked of it.
    pub commanded: Commanded,
    /// Surroundings at the height of the instant.
    pub condition: Condition,
    /// Operating point of the instant; its state of charge is that of the beginning of the mission.
    pub point: Point,
    /// Failure in effect.
    pub failure: Option<Failure>,
    /// Network and names.
    pub assembled: Assembled,
}

impl Piece {
    /// The piece as the solver runs it.
    pub fn stretch(&self) -> solver::Stretch {
        solver::Stretch {
            duration_s: self.duration_s,
            from: self.from.assembled.network.clone(),
            to: self.to.as_ref().map(|to| to.assembled.network.clone()),
        }
    }
}

impl ScheduleStep {
    pub(super) fn active_charge(&self, limiter: &ChargeLimiter) -> ActiveCharge {
        ActiveCharge::running(limiter.clone(), self.hottest_above_k)
    }

    /// Current with which the charge of this step would begin at a state, into the pack, A, and what bounds it; none without a
    /// charge. Whether it may begin is another matter: see [`powertrain::charge::ChargeLimiter::start`].
    pub fn first_charge_current(&self, state: &EndState) -> Option<ChargePoint<f64>> {
        let limiter = self.charge.as_ref()?;
        let mut network = Network::clone(&self.pieces[0].from.assembled.network);
        network.set_charge(Some(self.active_charge(limiter)));
        network.charge_point(&state.unknowns)
    }
}

impl Instant {
    /// The instant as a steady case, for naming of results.
    pub fn situation<'a>(&'a self, project: &'a Project) -> Situation<'a> {
        Situation { project, condition: &self.condition, point: &self.point, failure: self.failure.as_ref() }
    }
}

impl Schedule {
    /// Names of the parts, the same in every network.
    ///
    /// # Panics
    /// Never for a schedule made here: it has at least one step with one piece.
    pub fn parts(&self) -> &Parts {
        &self.steps[0].pieces[0].from.assembled.parts
    }
}
