//! What a circuit is made of: elements in series, branches in parallel.

use crate::film_law::FilmLaw;
use crate::flow_law::FlowLaw;
use crate::fluid::Fluid;
use crate::ids::{BoundaryId, ElementId, Node};
use crate::signal::Signal;

/// One item in the way of a flow.
#[derive(Clone, Debug)]
pub struct Element {
    /// Pressure loss or rise.
    pub law: FlowLaw,
    /// Speed of a machine or opening of a valve; [`Signal::Fixed`] otherwise.
    pub signal: Signal,
    /// Volumes of fluid in flow order, at least one: each is well mixed at its outlet temperature.
    pub cells: Vec<Cell>,
    /// Rise of the element from its inlet to its outlet, m; counts for static pressure only.
    pub climb_m: f64,
    /// Where the heat of a pump or fan goes when hardly anything flows through it.
    pub casing: Option<Casing>,
}

/// The way out through its casing for the heat of a machine that works against a shut path. In normal flow the fluid takes all of
/// it, and nothing passes here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Casing {
    /// What surrounds the machine.
    pub place: Node,
    /// Conductance from the fluid held in the machine to its surroundings, at rest, W/K.
    pub conductance_w_k: f64,
}

impl Element {
    /// An element with one cell and no wall.
    pub fn plain(law: FlowLaw, volume_m3: f64) -> Self {
        Self {
            law,
            signal: Signal::Fixed(1.0),
            cells: vec![Cell { volume_m3, wall: None, heat_w: 0.0 }],
            climb_m: 0.0,
            casing: None,
        }
    }
}

/// A volume of fluid in an element.
#[derive(Clone, Debug)]
pub struct Cell {
    /// Fluid content, m3.
    pub volume_m3: f64,
    /// The surface it washes.
    pub wall: Option<Wall>,
    /// Heat put straight into the fluid, W.
    pub heat_w: f64,
}

/// A surface that the fluid of a cell washes.
#[derive(Clone, Debug)]
pub struct Wall {
    /// Temperature of the surface.
    pub node: Node,
    /// Conductance between surface and fluid.
    pub film: FilmLaw,
}

/// Elements and parallel groups in flow order.
#[derive(Clone, Debug, Default)]
pub struct Series(pub Vec<Entry>);

/// One entry of a [`Series`].
#[derive(Clone, Debug)]
pub enum Entry {
    /// An element.
    Element(ElementId),
    /// Branches that share one pressure loss.
    Parallel(Vec<Series>),
}

/// Whether a circuit runs back into itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ends {
    /// A closed loop.
    Closed,
    /// A duct from and to the surroundings.
    Open {
        /// Temperature of the surroundings.
        outside: BoundaryId,
        /// Share of the exhaust that is drawn in again, 0 to below 1.
        recirculation: f64,
        /// Kinetic energy of the onset flow, which warms the air that is brought to rest, J/kg.
        ram_heat_j_kg: f64,
    },
}

/// A coolant loop or an air duct.
#[derive(Clone, Debug)]
pub struct Circuit {
    /// Medium.
    pub fluid: Fluid,
    /// Elements in flow order; a closed circuit runs from the last back to the first.
    pub course: Series,
    /// Closed or open.
    pub ends: Ends,
    /// Flow below which a circuit with a running machine counts as stalled, kg/s.
    pub min_flow_kg_s: f64,
}
