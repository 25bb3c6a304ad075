//! Reading a solved state in the caller's numbers.

use crate::circuit::Wall;
use crate::electric::ElectricReading;
use crate::film_law::Side;
use crate::ids::{CircuitId, ComponentId, ElementId, ExchangerId, LinkId, Node};
use crate::ledger::Booking;
use crate::link::LinkLaw;
use crate::network::Network;
use crate::passage::TubeState;
use crate::pieces::{ElementPiece, ExchangerPiece, LinkPiece, WallPiece, element_output};
use crate::stencil::Piece as _;

/// Flow, pressure and temperatures of an element.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ElementReading {
    /// Mass flow, kg/s, positive in the direction of the circuit.
    pub mass_flow_kg_s: f64,
    /// Density at the mean temperature, kg/m3.
    pub density_kg_m3: f64,
    /// Temperature of the fluid coming in, K.
    pub inlet_k: f64,
    /// Temperature of the fluid going out, K.
    pub outlet_k: f64,
    /// Pressure loss in the direction of the circuit, Pa; negative for a running pump or fan.
    pub drop_pa: f64,
    /// Heat to the fluid from walls, exchangers, friction and machines, W.
    pub heat_w: f64,
    /// Electrical power of a pump or fan, W.
    pub power_w: f64,
    /// Speed of a machine or opening of a valve.
    pub setting: f64,
    /// Pressure loss over the measured one at equal flow, where it is re-rated to another liquid or temperature.
    pub rerating: Option<f64>,
}

/// What a core or exchanger passes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExchangerReading {
    /// Heat from the first to the second side, W.
    pub heat_w: f64,
    /// Conductance UA, W/K.
    pub conductance_w_k: f64,
    /// Number of transfer units on the smaller capacity rate.
    pub transfer_units: f64,
    /// Smaller over larger capacity rate.
    pub capacity_ratio: f64,
    /// Effectiveness.
    pub effectiveness: f64,
    /// Whether measured laws are used inside their measurements.
    pub covered: bool,
    /// Conductance over the measured one at equal flow, where it is re-rated to another liquid or temperature.
    pub rerating: Option<f64>,
}

/// What passes between a wall and the fluid of a cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallReading {
    /// Heat to the fluid, W.
    pub heat_w: f64,
    /// Film conductance, W/K.
    pub conductance_w_k: f64,
    /// Wall temperature, K.
    pub wall_k: f64,
    /// Fluid inlet temperature of the cell, K.
    pub inlet_k: f64,
    /// Fluid outlet temperature of the cell, K.
    pub outlet_k: f64,
    /// Mass flow, kg/s.
    pub mass_flow_kg_s: f64,
    /// Whether a measured law is used inside its measurements.
    pub covered: bool,
    /// Conductance over the measured one at equal flow, where it is re-rated to another liquid or temperature.
    pub rerating: Option<f64>,
}

/// What passes along a link.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinkReading<'a> {
    /// Law of the link.
    pub law: &'a LinkLaw,
    /// Temperature of the first end, K.
    pub first_k: f64,
    /// Temperature of the second end, K.
    pub second_k: f64,
    /// Heat from the first to the second end, W.
    pub heat_w: f64,
    /// Conductance at these temperatures, W/K.
    pub conductance_w_k: f64,
    /// Whether the relation of the law covers this state.
    pub covered: bool,
}

/// A solved state together with its network.
#[derive(Clone, Copy, Debug)]
pub struct Reading<'a> {
    network: &'a Network,
    state: &'a [f64],
}

impl<'a> Reading<'a> {
    /// Reads a state (unknowns followed by boundaries) of a network of its layout.
    pub fn of(network: &'a Network, state: &'a [f64]) -> Self {
        Self { network, state }
    }

    /// Totals of the ledger, without what is stored.
    pub fn ledger(&self) -> crate::ledger::Ledger {
        self.network.ledger(self.state)
    }

    /// Temperature of a node, K.
    pub fn temperature_k(&self, node: Node) -> f64 {
        self.state[self.network.unknown_of(node)]
    }

    /// Temperature of a component, K.
    pub fn component_k(&self, component: ComponentId) -> f64 {
        self.state[component.index()]
    }

    /// Mass flow of the trunk of a circuit, kg/s.
    pub fn circuit_flow_kg_s(&self, circuit: CircuitId) -> f64 {
        self.state[self.network.courses[circuit.index()].runs[0].flow]
    }

    /// Air temperature at the inlet of a duct, after ram and recirculation, K.
    pub fn inlet_air_k(&self, circuit: CircuitId) -> Option<f64> {
        self.network.courses[circuit.index()].inlet.as_ref().map(|inlet| self.state[inlet.cell])
    }

    /// Temperatures of the cells of an element in flow order, K.
    pub fn cells_k(&self, element: ElementId) -> impl Iterator<Item = f64> + use<'a> {
        let state = self.state;
        self.network.placed[element.index()].cells.iter().map(move |&cell| state[cell])
    }

    /// Flow, pressure and temperatures of an element.
    pub fn element(&self, element: ElementId) -> ElementReading {
        let (network, state) = (self.network, self.state);
        let placed = &network.placed[element.index()];
        let spec = &network.elements[element.index()];
        let fluid = &network.circuits[placed.circuit].fluid;
        let flow = state[network.courses[placed.circuit].runs[placed.run].flow];
        let (first, last) = (placed.cells[0], placed.cells[placed.cells.len() - 1]);
        let (inlet_k, outlet_k) = if flow >= 0.0 {
            (state[placed.before], state[last])
        } else {
            (state[placed.after], state[first])
        };
        let piece = ElementPiece { fluid, law: &spec.law, signal: &spec.signal };
        let outputs = piece.evaluate(placed.stencils[usize::from(flow < 0.0)].gather::<3>(state));
        ElementReading {
            mass_flow_kg_s: flow,
            density_kg_m3: fluid.density(0.5 * (inlet_k + outlet_k)),
            inlet_k,
            outlet_k,
            drop_pa: outputs[element_output::DROP],
            heat_w: flow.abs() * (fluid.enthalpy(outlet_k) - fluid.enthalpy(inlet_k)),
            power_w: outputs[element_output::POWER],
            setting: spec.signal.at(state[placed.sensed]),
            rerating: spec.law.rerating(fluid, flow, 0.5 * (inlet_k + outlet_k)),
        }
    }

    /// Regime in the channels of an element whose pressure loss has a handbook relation.
    pub fn channels(&self, element: ElementId) -> Option<TubeState> {
        let passage = self.network.elements[element.index()].law.passage()?;
        let fluid = &self.network.circuits[self.network.placed[element.index()].circuit].fluid;
        let ElementReading { mass_flow_kg_s, inlet_k, outlet_k, .. } = self.element(element);
        let mean_k = 0.5 * (inlet_k + outlet_k);
        Some(passage.state(fluid, mass_flow_kg_s, mean_k, mean_k))
    }

    /// What an exchanger passes.
    pub fn exchanger(&self, exchanger: ExchangerId) -> ExchangerReading {
        let (spec, place) = &self.network.exchangers[exchanger.index()];
        let flows = place.flows.map(|f| self.state[f]);
        let case = usize::from(flows[0] < 0.0) + 2 * usize::from(flows[1] < 0.0);
        let lanes = place.stencils[case].gather::<6>(self.state);
        let [first, second] = place.circuits.map(|c| &self.network.circuits[c].fluid);
        let piece = ExchangerPiece {
            first,
            second,
            law: &spec.law,
            arrangement: spec.arrangement,
            resting_w_k: spec.resting_w_k,
        };
        let [heat_w] = piece.evaluate(lanes);
        let [in_1, out_1, m_1, in_2, out_2, m_2] = lanes;
        let side_1 = Side { fluid: first, mass_flow_kg_s: m_1, temperature_k: 0.5 * (in_1 + out_1) };
        let side_2 = Side { fluid: second, mass_flow_kg_s: m_2, temperature_k: 0.5 * (in_2 + out_2) };
        let conductance_w_k = spec.law.conductance(&side_1, &side_2);
        let capacity =
            [side_1, side_2].map(|s| s.mass_flow_kg_s.abs() * s.fluid.specific_heat(s.temperature_k));
        let least = capacity[0].min(capacity[1]);
        ExchangerReading {
            heat_w,
            conductance_w_k,
            transfer_units: conductance_w_k / least,
            capacity_ratio: least / capacity[0].max(capacity[1]),
            effectiveness: heat_w / (least * (in_1 - in_2)),
            covered: spec.law.covers(&side_1, &side_2),
            rerating: spec.law.rerating(&side_1, &side_2),
        }
    }

    /// What passes through the wall of a cell, if it has one.
    pub fn wall(&self, element: ElementId, cell: usize) -> Option<WallReading> {
        let network = self.network;
        let place = network.walls.iter().find(|w| w.element == element.index() && w.cell == cell)?;
        let wall: &Wall = network.elements[place.element].cells[cell].wall.as_ref()?;
        let fluid = &network.circuits[network.placed[place.element].circuit].fluid;
        let piece = WallPiece { fluid, wall, resting_w_k: place.resting_w_k };
        let flow = self.state[place.flow];
        let lanes = place.stencils[usize::from(flow < 0.0)].gather::<4>(self.state);
        let [heat_w] = piece.evaluate(lanes);
        let [wall_k, inlet_k, outlet_k, mass_flow_kg_s] = lanes;
        let mean_k = 0.5 * (inlet_k + outlet_k);
        Some(WallReading {
            heat_w,
            conductance_w_k: wall.film.conductance_at_wall(fluid, mass_flow_kg_s, (mean_k, wall_k)),
            wall_k,
            inlet_k,
            outlet_k,
            mass_flow_kg_s,
            covered: wall.film.covers(fluid, mass_flow_kg_s, mean_k),
            rerating: wall.film.rerating(fluid, mass_flow_kg_s, mean_k),
        })
    }

    /// Heat through the casing of a machine to its surroundings, W; none for an element without one.
    pub fn casing_heat_w(&self, element: ElementId) -> Option<f64> {
        let place = self.network.casings.iter().find(|c| c.element == element.index())?;
        let [heat_w] = self.network.casing_piece(place).evaluate(place.stencil.gather::<3>(self.state));
        Some(heat_w)
    }

    /// Regime and published spread at the wall of a cell, where the film has a handbook relation.
    pub fn wall_tube(&self, element: ElementId, cell: usize) -> Option<TubeState> {
        let network = self.network;
        let place = network.walls.iter().find(|w| w.element == element.index() && w.cell == cell)?;
        let wall: &Wall = network.elements[place.element].cells[cell].wall.as_ref()?;
        let passage = wall.film.passage()?;
        let fluid = &network.circuits[network.placed[place.element].circuit].fluid;
        let flow = self.state[place.flow];
        let [wall_k, inlet_k, outlet_k, mass_flow_kg_s] =
            place.stencils[usize::from(flow < 0.0)].gather::<4>(self.state);
        Some(passage.state(fluid, mass_flow_kg_s, 0.5 * (inlet_k + outlet_k), wall_k))
    }

    /// Regime and published spread in the tubes of the first and the second side of an exchanger, where they have a handbook relation.
    pub fn exchanger_tubes(&self, exchanger: ExchangerId) -> [Option<TubeState>; 2] {
        let (spec, place) = &self.network.exchangers[exchanger.index()];
        let flows = place.flows.map(|f| self.state[f]);
        let case = usize::from(flows[0] < 0.0) + 2 * usize::from(flows[1] < 0.0);
        let [in_1, out_1, m_1, in_2, out_2, m_2] = place.stencils[case].gather::<6>(self.state);
        let [first, second] = place.circuits.map(|c| &self.network.circuits[c].fluid);
        spec.law.tube_states(
            &Side { fluid: first, mass_flow_kg_s: m_1, temperature_k: 0.5 * (in_1 + out_1) },
            &Side { fluid: second, mass_flow_kg_s: m_2, temperature_k: 0.5 * (in_2 + out_2) },
        )
    }

    /// What passes along a link.
    pub fn link(&self, link: LinkId) -> LinkReading<'a> {
        let (law, stencil, [first, second]) = &self.network.links[link.index()];
        let [heat_w] = LinkPiece(law).evaluate(stencil.gather::<2>(self.state));
        let (first_k, second_k) = (self.state[*first], self.state[*second]);
        LinkReading {
            law,
            first_k,
            second_k,
            heat_w,
            conductance_w_k: law.conductance(first_k, second_k),
            covered: law.covers(first_k, second_k),
        }
    }

    /// Lines of the heat ledger.
    pub fn bookings(&self) -> Vec<Booking> {
        let mut lines = Vec::new();
        self.network.bookings(self.state, |booking| lines.push(booking));
        lines
    }

    /// Currents, voltages and losses of the electric drive.
    pub fn electric(&self) -> Option<ElectricReading> {
        self.network.electric.as_ref().map(|electric| electric.read(self.state))
    }
}
