//! Electrical unknowns and junctions of a drive within its network.

use crate::failure::Failure;
use crate::network::Network;
use crate::pieces::{ElementPiece, element_output};
use crate::stencil::Piece as _;

impl Network {
    /// Power of a pump or fan, W; none for other elements.
    fn machine_power(&self, element: usize, state: &[f64]) -> Option<f64> {
        let (spec, placed) = (&self.elements[element], &self.placed[element]);
        spec.law.machine()?;
        let fluid = &self.circuits[placed.circuit].fluid;
        let flow = state[self.courses[placed.circuit].runs[placed.run].flow];
        let piece = ElementPiece { fluid, law: &spec.law, signal: &spec.signal };
        let stencil = &placed.stencils[usize::from(flow < 0.0)];
        Some(piece.evaluate(stencil.gather::<3>(state))[element_output::POWER])
    }

    /// Electrical unknowns that the temperatures and flows imply.
    pub(crate) fn settle_electric(&self, state: &mut [f64]) -> Result<(), Failure> {
        match &self.electric {
            Some(electric) => electric.settle(|element, state| self.machine_power(element, state), state),
            None => Ok(()),
        }
    }

    /// A junction needs a slope of its loss that its way to the baseplate carries.
    pub(crate) fn check_junctions(&self, state: &[f64]) -> Result<(), Failure> {
        let found = self.electric.as_ref().and_then(|electric| electric.runaway_junction(state));
        found.map_or(Ok(()), |(node, temperature_k, loop_gain)| {
            Err(Failure::NoEquilibrium {
                loop_gain,
                hottest: self.name_of(self.unknown_of(node)),
                temperature_k,
            })
        })
    }
}
