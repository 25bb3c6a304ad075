//! A solved steady state.

use super::options::Statistics;
use crate::ledger::Ledger;
use crate::network::Network;
use crate::reading::Reading;

/// A solved steady state. It exists only after convergence.
#[derive(Clone, Debug)]
pub struct Solution {
    pub(crate) state: Vec<f64>,
    /// Heat booked at this state.
    pub ledger: Ledger,
    pub(crate) growth_1_s: Option<f64>,
    /// What the solver did.
    pub statistics: Statistics,
}

impl Solution {
    /// Unknowns followed by boundaries.
    pub fn state(&self) -> &[f64] {
        &self.state
    }

    /// Reads this state with the network it was solved on.
    pub fn read<'a>(&'a self, network: &'a Network) -> Reading<'a> {
        Reading::of(network, &self.state)
    }

    /// How fast the fastest disturbance grows, 1/s; none where the network returns from every disturbance. A state that is not
    /// kept is followed by [`Network::follow_limit_cycle`].
    pub fn growth_1_s(&self) -> Option<f64> {
        self.growth_1_s
    }
}
