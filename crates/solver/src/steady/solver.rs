//! The steady solver: its work space, and what its ways have in common.

use super::options::Statistics;
use super::solution::Solution;
use crate::failure::{Failure, Worst};
use crate::hydraulics::FlowWork;
use crate::network::Network;
use crate::stability::Stability;

/// Reusable work space and warm start of one network.
#[derive(Clone, Debug)]
pub struct SteadySolver {
    pub(super) network: Network,
    pub(super) state: Vec<f64>,
    pub(super) residual: Vec<f64>,
    pub(super) trial: Vec<f64>,
    pub(super) step: Vec<f64>,
    pub(super) capacity: Vec<f64>,
    pub(super) flows: FlowWork,
    pub(super) warm: bool,
}

/// Capacity given to massless temperatures during continuation, J/K.
pub(super) const PSEUDO_CAPACITY_J_K: f64 = 5.0;

#[derive(Clone, Copy)]
pub(super) enum Attempt {
    Converged,
    Stuck,
    RanAway,
    /// Goes on moving inside the bounds.
    Moves,
}

impl SteadySolver {
    /// Takes a network and sets up everything that solving needs; no memory is taken afterwards.
    pub fn new(network: Network) -> Self {
        let n = network.unknowns;
        let mut state = vec![0.0; n];
        state.extend_from_slice(&network.boundaries);
        let capacity = vec![PSEUDO_CAPACITY_J_K; n];
        let flows = FlowWork::for_network(&network);
        let work = vec![0.0; n];
        Self {
            network,
            trial: state.clone(),
            state,
            residual: work.clone(),
            step: work,
            capacity,
            flows,
            warm: false,
        }
    }

    /// The network being solved.
    pub fn network(&self) -> &Network {
        &self.network
    }

    /// Starts the next solve from an earlier state of a network of the same structure.
    pub fn start_from(&mut self, earlier: &Solution) {
        let n = self.network.unknowns;
        if earlier.state.len() == self.state.len() {
            self.state[..n].copy_from_slice(&earlier.state[..n]);
            self.warm = true;
        }
    }

    pub(super) fn cold_start(&mut self) {
        let start = self.network.start_temperature();
        let n = self.network.unknowns;
        self.state[..n].fill(0.0);
        self.state[..self.network.temperatures].fill(start);
        self.state[n..].copy_from_slice(&self.network.boundaries);
        if let Some(electric) = &self.network.electric {
            electric.cold_start(&mut self.state);
        }
    }

    /// Flows and electrical unknowns that the temperatures imply.
    pub(super) fn settle(&mut self, statistics: &mut Statistics) -> Result<(), Failure> {
        self.network.settle_flows(&mut self.state, &mut self.flows, &mut statistics.flows);
        self.network.settle_electric(&mut self.state)
    }

    /// Residual and Jacobian at the state; returns the worst heat residual, W.
    pub(super) fn linearise(&mut self, statistics: &mut Statistics) -> f64 {
        statistics.jacobians += 1;
        let mut lu = std::mem::replace(&mut self.network.lu, crate::sparse::SparseLu::empty());
        self.network.jacobian(&self.state, &mut self.residual, &mut lu);
        self.network.lu = lu;
        Self::worst_heat(&self.residual, self.network.temperatures)
    }

    pub(super) fn network_is_unstable(&mut self) -> bool {
        matches!(self.network.stability(&mut self.step), Stability::Unstable)
    }

    pub(super) fn hottest(&self) -> usize {
        (0..self.network.temperatures).max_by(|&a, &b| self.state[a].total_cmp(&self.state[b])).unwrap_or(0)
    }

    pub(super) fn worst(&self) -> Worst {
        let unknown = (0..self.network.unknowns)
            .max_by(|&a, &b| self.residual[a].abs().total_cmp(&self.residual[b].abs()))
            .unwrap_or(0);
        Worst {
            place: self.network.name_of(unknown),
            residual_w: self.residual[unknown],
            temperature_k: self.state[unknown],
        }
    }

    pub(super) fn worst_heat(residual: &[f64], temperatures: usize) -> f64 {
        residual[..temperatures].iter().fold(
            0.0,
            |worst: f64, r| {
                if r.is_nan() { f64::INFINITY } else { worst.max(r.abs()) }
            },
        )
    }
}
