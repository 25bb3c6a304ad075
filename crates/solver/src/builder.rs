//! Collects the parts of a network in the caller's numbers and builds the network from them.

mod layout;
mod wiring;

use crate::circuit::{Casing, Circuit, Element};
use crate::electric::ElectricSpec;
use crate::ids::{BoundaryId, CircuitId, ComponentId, ElementId, ExchangerId, LinkId, Node, SourceId};
use crate::link::LinkLaw;
use crate::network::Network;
use crate::parts::Parts;
use crate::parts::{Component, Exchanger, HeatSource};
use crate::signal::Signal;
use layout::Layout;

pub use layout::BuildError;

/// Collects the parts of a network.
#[derive(Clone, Debug, Default)]
pub struct Builder {
    parts: Parts,
}

impl Builder {
    /// An empty network.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a component.
    pub fn component(&mut self, capacity_j_k: f64) -> ComponentId {
        self.parts.components.push(Component { capacity_j_k, ceiling_k: f64::INFINITY });
        ComponentId(self.parts.components.len() - 1)
    }

    /// Sets the temperature from which the model says nothing about a component, K: a state there is no result.
    pub fn set_ceiling(&mut self, component: ComponentId, ceiling_k: f64) {
        self.parts.components[component.0].ceiling_k = ceiling_k;
    }

    /// Adds a fixed temperature, K.
    pub fn boundary(&mut self, temperature_k: f64) -> BoundaryId {
        self.parts.boundaries.push(temperature_k);
        BoundaryId(self.parts.boundaries.len() - 1)
    }

    /// Adds a link; heat counts positive from the first to the second node.
    pub fn link(&mut self, first: Node, second: Node, law: LinkLaw) -> LinkId {
        self.parts.links.push((first, second, law));
        LinkId(self.parts.links.len() - 1)
    }

    /// Adds an element, to be placed in a circuit.
    pub fn element(&mut self, element: Element) -> ElementId {
        self.parts.elements.push(element);
        ElementId(self.parts.elements.len() - 1)
    }

    /// Sets the speed or opening of an element that was added before its sensor was known.
    pub fn set_signal(&mut self, element: ElementId, signal: Signal) {
        self.parts.elements[element.0].signal = signal;
    }

    /// Sets the casing of a machine that was added before its surroundings were known.
    pub fn set_casing(&mut self, element: ElementId, casing: Casing) {
        self.parts.elements[element.0].casing = Some(casing);
    }

    /// Adds a circuit of elements.
    pub fn circuit(&mut self, circuit: Circuit) -> CircuitId {
        self.parts.circuits.push(circuit);
        CircuitId(self.parts.circuits.len() - 1)
    }

    /// Adds an exchanger between two cells.
    pub fn exchanger(&mut self, exchanger: Exchanger) -> ExchangerId {
        self.parts.exchangers.push(exchanger);
        ExchangerId(self.parts.exchangers.len() - 1)
    }

    /// Adds a heat source in a component.
    pub fn source(&mut self, source: HeatSource) -> SourceId {
        self.parts.sources.push(source);
        SourceId(self.parts.sources.len() - 1)
    }

    /// Sets the electric drive: motors, gearbox, pack.
    pub fn electric(&mut self, electric: ElectricSpec) {
        self.parts.electric = Some(electric);
    }

    /// Numbers the unknowns and analyses the pattern of the equations.
    ///
    /// # Errors
    /// [`BuildError`] for an element that is misplaced or empty.
    pub fn build(self) -> Result<Network, BuildError> {
        self.build_like(None)
    }

    /// The same beside a network of the same parts with other numbers, whose analysis is taken over. Any other network does no
    /// harm.
    ///
    /// # Errors
    /// As [`Builder::build`].
    pub fn build_like(self, like: Option<&Network>) -> Result<Network, BuildError> {
        Ok(Layout::of(self.parts)?.finish(like))
    }
}
