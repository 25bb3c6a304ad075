//! Named outcomes of a solve that gives no state.

use crate::ids::{CircuitId, ComponentId, ElementId};
use thiserror::Error;

/// Place of an unknown in the caller's numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// Temperature of a component.
    Component(ComponentId),
    /// Fluid of an element.
    Element(ElementId),
    /// A junction or inlet of a circuit.
    Junction(CircuitId),
    /// Flow of a circuit.
    Flow(CircuitId),
    /// Bus voltage, pack current or shaft power.
    Electric,
}

/// Where a residual was largest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worst {
    /// Place.
    pub place: Unknown,
    /// What is left of its balance, W (Pa for a flow).
    pub residual_w: f64,
    /// Value of its unknown, K for a temperature.
    pub temperature_k: f64,
}

/// Why there is no steady state to show.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum Failure {
    /// Losses grow faster with temperature than the cooling does.
    #[error("no equilibrium: loop gain {loop_gain:.3}, {hottest:?} passes {temperature_k:.0} K")]
    NoEquilibrium {
        /// Spectral radius of loss slope over cooling conductance; above 1 there is no stable state.
        loop_gain: f64,
        /// Hottest place when the search ended.
        hottest: Unknown,
        /// Its temperature, K.
        temperature_k: f64,
    },
    /// The search did not settle.
    #[error("not converged after {steps} steps: {worst:?}")]
    NotConverged {
        /// Jacobians spent.
        steps: u32,
        /// Largest residual.
        worst: Worst,
    },
    /// Over time a temperature left the bounds inside which results mean anything.
    #[error("{place:?} passes {temperature_k:.0} K at {time_s:.1} s")]
    LeftBounds {
        /// Place.
        place: Unknown,
        /// Its temperature, K.
        temperature_k: f64,
        /// Time, s.
        time_s: f64,
    },
    /// The steps over time became too short, or too many.
    #[error("stuck at {time_s:.3} s after {steps} steps: {worst:?}")]
    StepsTooShort {
        /// Time reached, s.
        time_s: f64,
        /// Steps taken.
        steps: u32,
        /// Place that held the steps up.
        worst: Unknown,
    },
    /// A number that is not finite came out: no state at all. A law divides by zero or grows beyond all bounds.
    #[error("not finite: {place:?}")]
    NotFinite {
        /// Place.
        place: Unknown,
    },
    /// A temperature passed the end of what the model says about its component.
    #[error("{place:?} is outside the model above {ceiling_k:.1} K")]
    OutsideModel {
        /// Place.
        place: Unknown,
        /// Temperature at which the model ends, K.
        ceiling_k: f64,
        /// When, s; none in a steady state.
        time_s: Option<f64>,
    },
    /// Networks that follow each other in time do not have the same parts.
    #[error("networks that follow each other in time must have the same parts")]
    OtherLayout,
    /// Running pumps or fans cannot move the fluid.
    #[error("insufficient pump head in {circuit:?}: {flow_kg_s} kg/s of at least {min_kg_s} kg/s")]
    InsufficientPumpHead {
        /// Circuit.
        circuit: CircuitId,
        /// Flow that is reached, kg/s.
        flow_kg_s: f64,
        /// Flow that is needed, kg/s.
        min_kg_s: f64,
        /// Rise that the machines give at the needed flow, Pa.
        rise_pa: f64,
        /// Loss of the circuit at the needed flow, Pa.
        drop_pa: f64,
    },
    /// The pack cannot deliver the power at any current.
    #[error("insufficient pack power: {demand_w} W asked, {greatest_w} W is the most")]
    InsufficientPackPower {
        /// Power asked for, W.
        demand_w: f64,
        /// Greatest power of the pack, `U0^2 / 4R`, W.
        greatest_w: f64,
    },
    /// A temperature or flow that no equation determines.
    #[error("nothing determines {place:?}")]
    Undetermined {
        /// Place.
        place: Unknown,
    },
}

impl Failure {
    /// Whether the search for a state gave up, rather than the machine: another way of searching may then find one.
    pub fn is_of_the_search(&self) -> bool {
        matches!(self, Self::NotConverged { .. } | Self::StepsTooShort { .. } | Self::Undetermined { .. })
    }
}
