//! The compiled, numbered form of a network: where every part stands among the unknowns.

use crate::circuit::{Circuit, Element};
use crate::electric::Electric;
use crate::failure::Unknown;
use crate::ids::{CircuitId, ComponentId, ElementId, Node};
use crate::link::LinkLaw;
use crate::parts::{Component, Exchanger, HeatSource};
use crate::sparse::SparseLu;
use crate::stencil::Stencil;

/// Where an element stands among the unknowns.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    pub(crate) circuit: usize,
    pub(crate) run: usize,
    /// Unknowns of its cells, in flow order.
    pub(crate) cells: Vec<usize>,
    /// Unknown on the inlet side of the first cell.
    pub(crate) before: usize,
    /// Unknown on the outlet side of the last cell.
    pub(crate) after: usize,
    /// Unknown (or boundary) of the sensed temperature.
    pub(crate) sensed: usize,
    /// Stencils for forward and for reversed flow.
    pub(crate) stencils: [Stencil; 2],
}

/// A chain of elements between two junctions: one flow.
#[derive(Clone, Debug, Default)]
pub(crate) struct Run {
    pub(crate) entries: Vec<RunEntry>,
    /// Unknown that holds the mass flow.
    pub(crate) flow: usize,
    /// Rows that the pressure loss of this run enters, with sign.
    pub(crate) rows: Vec<(usize, f64)>,
}

#[derive(Clone, Debug)]
pub(crate) enum RunEntry {
    Element(usize),
    Parallel(Vec<usize>),
}

/// Numbered form of a circuit.
#[derive(Clone, Debug)]
pub(crate) struct Course {
    /// Runs; the first is the trunk.
    pub(crate) runs: Vec<Run>,
    /// Elements in the order of flow.
    pub(crate) elements: Vec<usize>,
    /// Unknown of the first and the last cell of the trunk.
    pub(crate) last_cell: usize,
    /// Balance of mass at the head of each parallel group: row, parent flow, branch flows.
    pub(crate) splits: Vec<(usize, usize, Vec<usize>)>,
    /// Inlet cell of an open circuit.
    pub(crate) inlet: Option<Inlet>,
}

#[derive(Clone, Debug)]
pub(crate) struct Inlet {
    pub(crate) cell: usize,
    pub(crate) outside: usize,
    pub(crate) from_outside: Stencil,
    pub(crate) from_exhaust: Stencil,
    pub(crate) to_outside: Stencil,
}

#[derive(Clone, Debug)]
pub(crate) struct Stream {
    pub(crate) circuit: usize,
    pub(crate) stencil: Stencil,
}

#[derive(Clone, Debug)]
pub(crate) struct WallPlace {
    pub(crate) element: usize,
    pub(crate) cell: usize,
    pub(crate) resting_w_k: f64,
    /// Unknown of the mass flow.
    pub(crate) flow: usize,
    pub(crate) stencils: [Stencil; 2],
}

/// Where the casing of a machine stands among the unknowns.
#[derive(Clone, Debug)]
pub(crate) struct CasingPlace {
    pub(crate) element: usize,
    pub(crate) conductance_w_k: f64,
    /// Unknown (or boundary) that surrounds the machine.
    pub(crate) place: usize,
    pub(crate) stencil: Stencil,
}

#[derive(Clone, Debug)]
pub(crate) struct ExchangerPlace {
    pub(crate) flows: [usize; 2],
    pub(crate) circuits: [usize; 2],
    /// Index: bit 0 set if the first flow is reversed, bit 1 for the second.
    pub(crate) stencils: [Stencil; 4],
}

/// A numbered network, ready to be solved.
#[derive(Clone, Debug)]
pub struct Network {
    pub(crate) components: Vec<Component>,
    pub(crate) links: Vec<(LinkLaw, Stencil, [usize; 2])>,
    pub(crate) elements: Vec<Element>,
    pub(crate) placed: Vec<Placed>,
    pub(crate) circuits: Vec<Circuit>,
    pub(crate) courses: Vec<Course>,
    pub(crate) streams: Vec<Stream>,
    pub(crate) walls: Vec<WallPlace>,
    pub(crate) casings: Vec<CasingPlace>,
    pub(crate) exchangers: Vec<(Exchanger, ExchangerPlace)>,
    pub(crate) sources: Vec<(HeatSource, Stencil)>,
    pub(crate) electric: Option<Electric>,
    /// Fluid volume and circuit of each cell that has one, by unknown.
    pub(crate) cell_volumes: Vec<(usize, usize, f64)>,
    /// Number of unknowns; boundaries follow in the state vector.
    pub(crate) unknowns: usize,
    /// Number of temperatures among the unknowns; flows and electrical unknowns follow.
    pub(crate) temperatures: usize,
    pub(crate) boundaries: Vec<f64>,
    pub(crate) lu: SparseLu,
}

impl Network {
    /// An element by its number.
    pub fn element(&self, id: ElementId) -> &Element {
        &self.elements[id.0]
    }

    /// Number of unknowns.
    pub fn unknowns(&self) -> usize {
        self.unknowns
    }

    /// Number of unknowns and boundaries of a state.
    pub fn state_length(&self) -> usize {
        self.unknowns + self.boundaries.len()
    }

    /// Number of components; they are the first unknowns.
    pub fn components(&self) -> usize {
        self.components.len()
    }

    /// Entries stored in the factors, fill included.
    pub fn stored_entries(&self) -> usize {
        self.lu.stored()
    }

    pub(crate) fn unknown_of(&self, node: Node) -> usize {
        match node {
            Node::Component(id) => id.0,
            Node::Boundary(id) => self.unknowns + id.0,
            Node::Cell(element, cell) => self.placed[element.0].cells[cell],
        }
    }

    /// The caller's number of an unknown.
    pub(crate) fn name_of(&self, unknown: usize) -> Unknown {
        if unknown < self.components.len() {
            return Unknown::Component(ComponentId(unknown));
        }
        if let Some(index) = self.placed.iter().position(|p| p.cells.contains(&unknown)) {
            return Unknown::Element(ElementId(index));
        }
        if let Some(index) =
            self.courses.iter().position(|course| course.runs.iter().any(|run| run.flow == unknown))
        {
            return Unknown::Flow(CircuitId(index));
        }
        if unknown < self.temperatures {
            // junction and inlet cells are numbered with their circuit
            let index = self
                .courses
                .iter()
                .rposition(|course| course.elements.iter().any(|&e| self.placed[e].cells[0] <= unknown + 1))
                .unwrap_or(0);
            return Unknown::Junction(CircuitId(index));
        }
        Unknown::Electric
    }

    /// Mean of the surroundings: where a cold start begins.
    pub(crate) fn start_temperature(&self) -> f64 {
        if self.boundaries.is_empty() {
            return 300.0;
        }
        self.boundaries.iter().sum::<f64>() / self.boundaries.len() as f64
    }

    /// Unknowns with every temperature the same, nothing flowing, and the pack at the state of charge of the network.
    pub fn uniform_state(&self, temperature_k: f64) -> Vec<f64> {
        let mut state = vec![0.0; self.unknowns];
        state[..self.temperatures].fill(temperature_k);
        if let Some(electric) = &self.electric {
            electric.cold_start(&mut state);
        }
        state
    }

    /// Position of the state of charge among the unknowns.
    pub fn charge_unknown(&self) -> Option<usize> {
        self.electric.as_ref().map(Electric::charge)
    }

    pub(crate) fn stencils(&self) -> impl Iterator<Item = &Stencil> {
        let inlets = self.courses.iter().filter_map(|c| c.inlet.as_ref());
        (self.links.iter().map(|l| &l.1))
            .chain(self.placed.iter().flat_map(|p| &p.stencils))
            .chain(self.streams.iter().map(|s| &s.stencil))
            .chain(self.walls.iter().flat_map(|w| &w.stencils))
            .chain(self.casings.iter().map(|c| &c.stencil))
            .chain(self.exchangers.iter().flat_map(|e| &e.1.stencils))
            .chain(self.sources.iter().map(|s| &s.1))
            .chain(inlets.flat_map(|i| [&i.from_outside, &i.from_exhaust, &i.to_outside]))
            .chain(self.electric.iter().flat_map(Electric::stencils))
    }

    pub(crate) fn stencils_mut(&mut self) -> impl Iterator<Item = &mut Stencil> {
        let inlets = self.courses.iter_mut().filter_map(|c| c.inlet.as_mut());
        (self.links.iter_mut().map(|l| &mut l.1))
            .chain(self.placed.iter_mut().flat_map(|p| &mut p.stencils))
            .chain(self.streams.iter_mut().map(|s| &mut s.stencil))
            .chain(self.walls.iter_mut().flat_map(|w| &mut w.stencils))
            .chain(self.casings.iter_mut().map(|c| &mut c.stencil))
            .chain(self.exchangers.iter_mut().flat_map(|e| &mut e.1.stencils))
            .chain(self.sources.iter_mut().map(|s| &mut s.1))
            .chain(inlets.flat_map(|i| [&mut i.from_outside, &mut i.from_exhaust, &mut i.to_outside]))
            .chain(self.electric.iter_mut().flat_map(Electric::stencils_mut))
    }
}

/// Weight of the mass balance rows, which are in kg/s among rows in W and Pa.
pub(crate) const SPLIT_WEIGHT: f64 = 1e6;

/// Temperature at which the conductance of a resting fluid is taken, K.
pub(crate) const REFERENCE_K: f64 = 323.15;
