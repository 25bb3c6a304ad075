//! What is brought into balance where a stretch begins or jumps, and what a step books.

use super::dense::dense_value;
use super::energy::Energy;
use super::state::Transient;
use super::step::{Course, Heats};
use crate::electric::Electric;
use crate::failure::Failure;
use crate::network::Network;
use crate::signal::Signal;

impl Transient {
    /// Takes over the boundaries, switch positions and the pattern of the network of a new stretch.
    pub(super) fn enter(&mut self, network: &mut Network, holds_charge: bool) {
        let n = network.unknowns;
        self.state[n..].copy_from_slice(&network.boundaries);
        if let Some(electric) = &mut network.electric {
            Electric::hold_charge(electric, holds_charge);
        }
        self.work.adopt(network);
        self.settle.adopt(network);
        self.trickles.adopt(network);
        for index in 0..network.elements.len() {
            if let Signal::Switched { on_k, off_k, .. } = network.elements[index].signal {
                let sensed = self.state[network.placed[index].sensed];
                if sensed >= on_k {
                    self.is_on[index] = true;
                } else if sensed <= off_k {
                    self.is_on[index] = false;
                }
            }
        }
    }

    /// What left with the liquid that a stretch no longer has, as after a leak: its heat above the surroundings is rejected.
    pub(super) fn book_lost_mass(&mut self, network: &Network, energy: &Energy) {
        let lost_mass = std::mem::replace(&mut self.mass, energy.mass.clone());
        if lost_mass.len() != energy.mass.len() || lost_mass == energy.mass {
            return;
        }
        energy.content(network, &self.state, &mut self.content);
        let surroundings_k = network.start_temperature();
        let temperatures = network.temperatures;
        let lost_j: f64 = (0..temperatures)
            .map(|u| (lost_mass[u] - energy.mass[u]) * (self.content[u] - surroundings_k))
            .sum();
        self.heat.rejected_j += lost_j;
        self.heat.stored_j -= lost_j;
        self.heat.turnover_j += lost_j.abs();
    }

    /// Brings flows, electrical unknowns and massless temperatures into balance after a jump.
    pub(super) fn restart(&mut self, course: &mut Course<'_>, since_s: f64) -> Result<(), Failure> {
        self.statistics.restarts += 1;
        course.set_time(since_s, &mut self.state);
        self.settle.settle(course.network, course.energy, &mut self.state, &mut self.statistics.flows)?;
        course.energy.content(course.network, &self.state, &mut self.content);
        match course.network.outside_model(&self.state) {
            Some(unknown) => Err(self.outside_model(course.network, unknown)),
            None => Ok(()),
        }
    }

    /// Takes over what a step came to, with what gives the values inside it.
    pub(super) fn take_over(&mut self) {
        self.work.dense(&mut self.dense);
        std::mem::swap(&mut self.before, &mut self.content);
        self.content.copy_from_slice(&self.work.content);
    }

    /// Brings the flows into balance with all temperatures.
    pub(super) fn settle_flows(&mut self, course: &Course<'_>) {
        self.settle.settle_flows(course.network, &mut self.state, &mut self.statistics.flows);
        let (flows, electric) = (course.network.temperatures, course.network.unknowns);
        self.content[flows..electric].copy_from_slice(&self.state[flows..electric]);
    }

    /// Books the accepted step up to a share of it and moves the state there.
    pub(super) fn accept(&mut self, course: &mut Course<'_>, since_s: f64, step_s: f64, share: f64) {
        let full = self.work.heats;
        let heats = if share < 1.0 {
            let [d0, d1] = self.work.dense_heats();
            let rest = 1.0 - share;
            let part = |end: f64, d0: f64, d1: f64| share * (end + rest * (d0 + share * d1));
            for unknown in 0..self.content.len() {
                self.content[unknown] =
                    dense_value(&self.before, &self.work.content, &self.dense, unknown, share);
            }
            self.state.copy_from_slice(&self.work.state);
            course.set_time(since_s + share * step_s, &mut self.state);
            course.energy.temperatures(course.network, &self.content, &mut self.state);
            Heats {
                generated_j: part(full.generated_j, d0.generated_j, d1.generated_j),
                rejected_j: part(full.rejected_j, d0.rejected_j, d1.rejected_j),
            }
        } else {
            self.state.copy_from_slice(&self.work.state);
            full
        };
        let temperatures = course.network.temperatures;
        let stored = course.energy.stored_j(&self.content, temperatures)
            - course.energy.stored_j(&self.before, temperatures);
        self.heat.generated_j += heats.generated_j;
        self.heat.rejected_j += heats.rejected_j;
        self.heat.stored_j += stored;
        self.heat.turnover_j += heats.generated_j.abs() + heats.rejected_j.abs();
        self.heat.residual_j = self.heat.generated_j - self.heat.stored_j - self.heat.rejected_j;
    }

    /// Greatest change of a temperature with heat capacity in the last step, K.
    pub(super) fn moved_k(&self, temperatures: usize) -> f64 {
        let changes = self.before[..temperatures].iter().zip(&self.content).zip(&self.mass);
        changes.filter(|(_, mass)| **mass > 0.0).fold(0.0, |most: f64, ((b, a), _)| most.max((a - b).abs()))
    }
}
