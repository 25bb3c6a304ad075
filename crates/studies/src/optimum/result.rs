//! A sized aircraft.

use super::flown::Worth;
use super::space::LeftAsIs;
use crate::infeasible::Infeasible;
use crate::size::{Binding, LimitName, Room};
use aircraft::records::core::Core;
use model::budget::MassBudget;
use model::case_name::CaseName;
use schema::Change;

/// A design with its mass and what it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// Masses, line by line.
    pub masses: MassBudget,
    /// What the mission takes and the equivalent mass; none without a mission.
    pub worth: Option<Worth>,
}

impl Weighed {
    /// Equivalent mass, kg; without a mission the mass.
    pub fn equivalent_kg(&self) -> f64 {
        self.worth.as_ref().map_or(self.masses.total_kg(), |worth| worth.equivalent.total_kg())
    }
}

/// A loop as it is sized.
#[derive(Clone, Debug, PartialEq)]
pub struct LoopDesign {
    /// Loop.
    pub circuit: String,
    /// Core.
    pub core: Core,
    /// Name in the list of cores, if it was picked from one.
    pub picked: Option<String>,
    /// Pump, if it was picked from a list.
    pub pump: Option<String>,
    /// Fan, if it was picked from a list.
    pub fan: Option<String>,
    /// Dry mass of the core and its liquid, kg.
    pub core_kg: f64,
    /// The same as it is in the project, kg.
    pub present_core_kg: f64,
    /// Room, for a core of free dimensions.
    pub room: Option<Room>,
}

/// A limit that is close, and what it costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// The limit.
    pub binding: Binding,
    /// Equivalent mass that one kelvin of this limit costs, kg/K; none where it does not bind.
    pub kg_per_k: Option<f64>,
}

/// A mission limit that was held further away so that the flight keeps it.
#[derive(Clone, Debug, PartialEq)]
pub struct Tightened {
    /// Mission.
    pub case: CaseName,
    /// Limit.
    pub limit: LimitName,
    /// By how much, K.
    pub by_k: f64,
}

/// The lightest design.
#[derive(Clone, Debug, PartialEq)]
pub struct Optimum {
    /// Mass and what it takes.
    pub weighed: Weighed,
    /// Loops in the order of the project.
    pub loops: Vec<LoopDesign>,
    /// The closest limits, closest first: solved from cold, and flown.
    pub close: Vec<Priced>,
    /// Mission limits that were tightened.
    pub tightened: Vec<Tightened>,
    /// Changes that make this design of the project.
    pub changes: Vec<Change>,
}

/// Where a start has led.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StartOutcome {
    /// Equivalent mass to first order in what missions take, kg; none if it led to no design that holds.
    pub equivalent_kg: Option<f64>,
}

/// A sized aircraft.
#[derive(Clone, Debug, PartialEq)]
pub struct OptimumStudy {
    /// Mission that mass is counted over.
    pub mission: Option<CaseName>,
    /// Number of cases, missions among them.
    pub cases: usize,
    /// The project as it is.
    pub present: Weighed,
    /// The lightest design; none if nothing was found that holds.
    pub optimum: Option<Optimum>,
    /// Loops that are not sized.
    pub left: Vec<LeftAsIs>,
    /// Cases that no choice makes hold: they were set apart.
    pub infeasible: Vec<Infeasible>,
    /// Limits that are short whatever the sizes: they were set aside.
    pub beyond: Vec<Binding>,
    /// Without a design: what is short at the design that is least short of all that were found; where none has a state, with the largest
    /// cores. Shortest first.
    pub short: Vec<Binding>,
    /// Where the starts have led, the present design first.
    pub starts: Vec<StartOutcome>,
    /// Neighbours that were searched: none of them is lighter.
    pub neighbours: usize,
    /// What is missing because the study was stopped, in words; empty if it is whole.
    pub missing: String,
}

impl OptimumStudy {
    /// Whether everything was worked out.
    pub fn is_whole(&self) -> bool {
        self.missing.is_empty()
    }

    /// Whether a design holds every margin of every case.
    pub fn holds(&self) -> bool {
        self.optimum.is_some() && self.beyond.is_empty() && self.infeasible.is_empty() && self.is_whole()
    }
}
