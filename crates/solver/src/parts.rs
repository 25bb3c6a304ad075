//! What a network is made of, as the caller describes it.

use crate::circuit::{Circuit, Element};
use crate::electric::ElectricSpec;
use crate::film_law::TransferLaw;
use crate::ids::{ComponentId, ElementId, Node};
use crate::link::LinkLaw;

/// A component: a lumped temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Component {
    /// Heat capacity, J/K; zero for a massless one.
    pub capacity_j_k: f64,
    /// Temperature from which the model says nothing about it, K; infinite for one without such an end.
    pub ceiling_k: f64,
}

/// Arrangement of the two flows of an exchanger.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrangement {
    /// Crossflow, both unmixed: exact series.
    Crossflow,
    /// Counterflow.
    Counterflow,
    /// Parallel flow.
    ParallelFlow,
}

/// A core or a liquid-to-liquid exchanger.
#[derive(Clone, Debug)]
pub struct Exchanger {
    /// Element and cell of the first side.
    pub first: (ElementId, usize),
    /// Element and cell of the second side.
    pub second: (ElementId, usize),
    /// Conductance between the flows.
    pub law: TransferLaw,
    /// How the flows pass each other.
    pub arrangement: Arrangement,
    /// Conductance that is left when a side rests, W/K.
    pub resting_w_k: f64,
}

/// A heat source in a component: `heat (1 + slope (T - reference))`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatSource {
    /// Component that is heated.
    pub into: ComponentId,
    /// Heat at the reference temperature, W.
    pub heat_w: f64,
    /// Relative growth with the component's own temperature, 1/K.
    pub slope_1_k: f64,
    /// Reference temperature, K.
    pub reference_k: f64,
}

/// The parts of a network before they are numbered.
#[derive(Clone, Debug, Default)]
pub(crate) struct Parts {
    pub(crate) components: Vec<Component>,
    pub(crate) boundaries: Vec<f64>,
    pub(crate) links: Vec<(Node, Node, LinkLaw)>,
    pub(crate) elements: Vec<Element>,
    pub(crate) circuits: Vec<Circuit>,
    pub(crate) exchangers: Vec<Exchanger>,
    pub(crate) sources: Vec<HeatSource>,
    pub(crate) electric: Option<ElectricSpec>,
}
