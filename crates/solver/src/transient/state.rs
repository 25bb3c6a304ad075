//! The state of a run: what it has come to, what it has booked, and its work space.

use super::accepted::HeatOverTime;
use super::energy::Energy;
use super::options::TransientStatistics;
use super::settle::SettleWork;
use super::step::StepWork;
use super::switches::Switching;
use super::trickle::Trickles;
use crate::ids::ComponentId;
use crate::network::Network;
use crate::reading::Reading;

/// State of a network over time.
#[derive(Clone, Debug)]
pub struct Transient {
    pub(super) time_s: f64,
    pub(super) state: Vec<f64>,
    pub(super) content: Vec<f64>,
    /// Heat capacities of the last stretch, J/K; empty before the first.
    pub(super) mass: Vec<f64>,
    /// Position of the switch of every element.
    pub(super) is_on: Vec<bool>,
    pub(super) switchings: Vec<Switching>,
    pub(super) heat: HeatOverTime,
    pub(super) statistics: TransientStatistics,
    pub(super) work: StepWork,
    pub(super) settle: SettleWork,
    pub(super) trickles: Trickles,
    /// Whether the last step was good only because of what the trickles do not carry.
    pub(super) has_uneasy_trickle: bool,
    pub(super) dense: [Vec<f64>; 2],
    pub(super) before: Vec<f64>,
}

impl Transient {
    /// Starts at time 0 with the unknowns of a state: temperatures, flows, electrical unknowns.
    pub fn new(network: &Network, start: &[f64]) -> Self {
        let n = network.unknowns;
        let mut state = vec![0.0; n];
        state[..n.min(start.len())].copy_from_slice(&start[..n.min(start.len())]);
        state.extend_from_slice(&network.boundaries);
        Self {
            time_s: 0.0,
            content: vec![0.0; n],
            mass: Vec::new(),
            state,
            is_on: vec![false; network.elements.len()],
            switchings: Vec::new(),
            heat: HeatOverTime::default(),
            statistics: TransientStatistics::default(),
            work: StepWork::new(network),
            settle: SettleWork::new(network),
            trickles: Trickles::default(),
            has_uneasy_trickle: false,
            dense: std::array::from_fn(|_| vec![0.0; n]),
            before: vec![0.0; n],
        }
    }

    /// Starts with every temperature the same and the pack at the state of charge of the network.
    pub fn uniform(network: &Network, temperature_k: f64) -> Self {
        Self::new(network, &network.uniform_state(temperature_k))
    }

    /// Positions of the switches of all elements.
    pub fn positions(&self) -> &[bool] {
        &self.is_on
    }

    /// Takes over the positions of switches, as a run that goes on from another one does.
    pub fn set_positions(&mut self, positions: &[bool]) {
        if positions.len() == self.is_on.len() {
            self.is_on.copy_from_slice(positions);
        }
    }

    /// Time reached, s.
    pub fn time_s(&self) -> f64 {
        self.time_s
    }

    /// Unknowns followed by boundaries at the time reached.
    pub fn state(&self) -> &[f64] {
        &self.state
    }

    /// Sets a temperature, as swapping a pack does. The change of heat content is booked as stored and rejected.
    pub fn set_component_k(&mut self, network: &Network, component: ComponentId, temperature_k: f64) {
        let unknown = component.index();
        let capacity_j_k = match self.mass.get(unknown) {
            Some(&flown) => flown,
            None => Energy::of(network, 0.0).mass[unknown],
        };
        let taken_j = capacity_j_k * (self.state[unknown] - temperature_k);
        self.state[unknown] = temperature_k;
        self.heat.rejected_j += taken_j;
        self.heat.stored_j -= taken_j;
        self.heat.turnover_j += taken_j.abs();
    }

    /// Sets the state of charge.
    pub fn set_state_of_charge(&mut self, network: &Network, charge: f64) {
        if let Some(electric) = &network.electric {
            self.state[electric.charge()] = charge;
        }
    }

    /// State of charge, if there is an electric drive.
    pub fn state_of_charge(&self, network: &Network) -> Option<f64> {
        network.electric.as_ref().map(|electric| self.state[electric.charge()])
    }

    /// Heat since the start.
    pub fn heat(&self) -> HeatOverTime {
        self.heat
    }

    /// What the stepper did since the start.
    pub fn statistics(&self) -> TransientStatistics {
        self.statistics
    }

    /// Switches that changed since the start.
    pub fn switchings(&self) -> &[Switching] {
        &self.switchings
    }

    /// Reads the state reached, with the network it belongs to.
    pub fn read<'a>(&'a self, network: &'a Network) -> Reading<'a> {
        Reading::of(network, &self.state)
    }
}
