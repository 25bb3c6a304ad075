//! Whether running pumps move what their loops need at least.

use crate::circuit::Ends;
use crate::failure::Failure;
use crate::ids::CircuitId;
use crate::network::Network;

impl Network {
    /// A loop with a running pump must move at least its least flow.
    pub(crate) fn check_pumps(&self, state: &[f64]) -> Result<(), Failure> {
        self.short_of_head(state).next().map_or(Ok(()), Err)
    }

    /// Every closed circuit whose running pumps move less than its least flow at a state (unknowns followed by boundaries), as a
    /// [`Failure::InsufficientPumpHead`] with the numbers.
    pub fn short_of_head<'s>(&'s self, state: &'s [f64]) -> impl Iterator<Item = Failure> + 's {
        (0..self.circuits.len()).filter_map(|index| self.shortfall(index, state))
    }

    fn shortfall(&self, index: usize, state: &[f64]) -> Option<Failure> {
        let (circuit, course) = (&self.circuits[index], &self.courses[index]);
        if !matches!(circuit.ends, Ends::Closed) || circuit.min_flow_kg_s <= 0.0 {
            return None;
        }
        let running = course.elements.iter().any(|&e| {
            self.elements[e].law.machine().is_some()
                && self.elements[e].signal.at(state[self.placed[e].sensed]) > 0.01
        });
        let flow_kg_s = state[course.runs[0].flow];
        if !running || flow_kg_s >= circuit.min_flow_kg_s {
            return None;
        }
        let min_kg_s = circuit.min_flow_kg_s;
        let net_pa = self.circuit_drop(index, min_kg_s, state);
        let machines = course
            .elements
            .iter()
            .filter(|&&e| self.elements[e].law.machine().is_some() && self.placed[e].run == 0);
        let rise_pa: f64 = machines.map(|&e| -self.element_drop(e, min_kg_s, state)).sum();
        Some(Failure::InsufficientPumpHead {
            circuit: CircuitId(index),
            flow_kg_s,
            min_kg_s,
            rise_pa,
            drop_pa: net_pa + rise_pa,
        })
    }
}
