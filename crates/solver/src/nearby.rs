//! States near a solved one, for networks of the same layout whose numbers differ a little.
//!
//! A steady state fulfils `R(x, p) = 0`. With the Jacobian `J = dR/dx` of a solved network, one step `x - J^-1 R(x, p + dp)` gives the
//! state of the other network to first order in `dp`: the implicit function theorem with the change of `R` taken as a difference.
//! Terms of second order drop out of the difference of two states on either side.

use crate::network::Network;
use crate::sparse::SparseLu;
use crate::steady::Solution;

/// A solved state with its factored Jacobian.
#[derive(Clone, Debug)]
pub struct Nearby {
    lu: SparseLu,
    /// Unknowns followed by boundaries, as solved.
    base: Vec<f64>,
    /// The same for the network that was asked for last.
    state: Vec<f64>,
    residual: Vec<f64>,
}

impl Nearby {
    /// Prepares for networks near a solved one; none if the Jacobian has no inverse.
    pub fn new(network: &Network, solution: &Solution) -> Option<Self> {
        let mut lu = network.lu.clone();
        let mut residual = vec![0.0; network.unknowns];
        let base = solution.state().to_vec();
        network.jacobian(&base, &mut residual, &mut lu);
        lu.factor().ok()?;
        Some(Self { lu, state: base.clone(), base, residual })
    }

    /// The state of a network of the same layout, to first order: unknowns followed by boundaries, to be read with
    /// [`crate::Reading::of`]. None for another layout, or where it is not finite.
    pub fn state_of(&mut self, network: &Network) -> Option<&[f64]> {
        let n = network.unknowns;
        if n != self.residual.len() || n + network.boundaries.len() != self.base.len() {
            return None;
        }
        self.state[..n].copy_from_slice(&self.base[..n]);
        self.state[n..].copy_from_slice(&network.boundaries);
        network.residual(&self.state, &mut self.residual);
        self.lu.solve(&mut self.residual);
        for (value, step) in self.state.iter_mut().zip(&self.residual) {
            *value -= step;
        }
        self.state.iter().all(|value| value.is_finite()).then_some(self.state.as_slice())
    }
}
