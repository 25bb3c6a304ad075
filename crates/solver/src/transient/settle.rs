//! Unknowns that follow at once: flows, electrical unknowns and massless temperatures after a jump.

use super::energy::Energy;
use crate::failure::{Failure, Worst};
use crate::hydraulics::{FlowCount, FlowWork};
use crate::network::Network;
use crate::sparse::{SparseLu, VanishingPivot};

/// Scratch space.
#[derive(Clone, Debug)]
pub(crate) struct SettleWork {
    lu: SparseLu,
    residual: Vec<f64>,
    step: Vec<f64>,
    flows: FlowWork,
}

/// Newton steps before giving up.
const MAX_STEPS: u32 = 200;
/// Steps without success after which the places without capacity are given one and followed to their rest with growing steps: a fan
/// that may be either shut and hot or open and cool has two balances, and between them Newton steps lead nowhere.
const NEWTON_STEPS: u32 = 40;
/// That capacity, J/K.
const PSEUDO_CAPACITY_J_K: f64 = 5.0;
/// First of these steps, s, and how each grows over the one before.
const FIRST_PSEUDO_S: f64 = 0.2;
/// See [`FIRST_PSEUDO_S`].
const PSEUDO_GROWTH: f64 = 1.25;
/// Balance of the places without capacity, as a share of the heat turned over.
const BALANCED: f64 = 1e-10;
/// The same where a step gains nothing any more: rounding.
const FLOOR: f64 = 1e-7;
/// The same after some steps.
const LATE_FLOOR: f64 = 1e-4;
/// Steps after which it holds.
const PATIENT_STEPS: u32 = 8;
/// Residual over the one before from which a step gained nothing.
const STANDS_STILL: f64 = 0.5;
/// Times that one step is halved.
const MAX_HALVINGS: u32 = 8;
/// Largest change of a massless temperature in one step, K.
const LARGEST_CHANGE_K: f64 = 100.0;
/// Diagonal that holds an unknown with heat capacity in place.
const HOLD: f64 = -1e18;

impl SettleWork {
    pub(crate) fn new(network: &Network) -> Self {
        let zeros = vec![0.0; network.unknowns];
        Self {
            lu: network.lu.clone(),
            residual: zeros.clone(),
            step: zeros,
            flows: FlowWork::for_network(network),
        }
    }

    /// Takes the pattern of another network of the same layout.
    pub(crate) fn adopt(&mut self, network: &Network) {
        self.lu = network.lu.clone();
    }

    /// Brings everything without capacity into balance with the temperatures that have one.
    pub(crate) fn settle(
        &mut self,
        network: &Network,
        energy: &Energy,
        state: &mut [f64],
        count: &mut FlowCount,
    ) -> Result<(), Failure> {
        let scale = network.heat_scale(state);
        let mut before = f64::INFINITY;
        let mut halvings = 0;
        for step in 0..MAX_STEPS {
            network.settle_flows(state, &mut self.flows, count);
            network.settle_electric(state)?;
            network.jacobian(state, &mut self.residual, &mut self.lu);
            let (unknown, worst) = self.worst(network.temperatures, energy);
            // where a check valve is about to lift, the flows are known to their bracket only: what is left is then a hundredth
            // of a per cent of the heat at most, and the next step takes it up
            let floor = if step > PATIENT_STEPS { LATE_FLOOR } else { FLOOR };
            if worst <= BALANCED * scale || (worst <= floor * scale && worst >= STANDS_STILL * before) {
                return Ok(());
            }
            if worst > before && halvings < MAX_HALVINGS && step < NEWTON_STEPS {
                // too far, as where a flow turns round: take back half of the last step, and half of that
                halvings += 1;
                for (unknown, change) in self.step[..network.temperatures].iter_mut().enumerate() {
                    *change *= 0.5;
                    state[unknown] -= *change;
                }
                continue;
            }
            halvings = 0;
            before = worst;
            let place = network.name_of(unknown);
            let stuck = Failure::NotConverged {
                steps: step,
                worst: Worst { place, residual_w: worst, temperature_k: state[unknown] },
            };
            if !worst.is_finite() || step + 1 == MAX_STEPS {
                return Err(stuck);
            }
            self.newton_step(network.temperatures, energy, step, state).map_err(|_vanishing| stuck)?;
        }
        Ok(())
    }

    /// A Newton step of what has no capacity; from some step on with a little of it.
    fn newton_step(
        &mut self,
        temperatures: usize,
        energy: &Energy,
        step: u32,
        state: &mut [f64],
    ) -> Result<(), VanishingPivot> {
        for (unknown, &mass) in energy.mass.iter().enumerate() {
            if mass > 0.0 {
                self.lu.add_diagonal(unknown, HOLD);
            } else if step >= NEWTON_STEPS && unknown < temperatures {
                let pseudo_s = FIRST_PSEUDO_S * PSEUDO_GROWTH.powf(f64::from(step - NEWTON_STEPS));
                self.lu.add_diagonal(unknown, -PSEUDO_CAPACITY_J_K / pseudo_s);
            }
        }
        self.lu.factor()?;
        for (step, residual) in self.step.iter_mut().zip(&self.residual) {
            *step = -residual;
        }
        self.lu.solve(&mut self.step);
        for (unknown, &mass) in energy.mass[..temperatures].iter().enumerate() {
            let change =
                if mass == 0.0 { self.step[unknown].clamp(-LARGEST_CHANGE_K, LARGEST_CHANGE_K) } else { 0.0 };
            self.step[unknown] = change;
            state[unknown] += change;
        }
        Ok(())
    }

    /// Brings the flows into balance with all temperatures.
    pub(crate) fn settle_flows(&mut self, network: &Network, state: &mut [f64], count: &mut FlowCount) {
        network.settle_flows(state, &mut self.flows, count);
    }

    /// Massless temperature whose balance is worst, W.
    fn worst(&self, temperatures: usize, energy: &Energy) -> (usize, f64) {
        let massless = (0..temperatures).filter(|&u| energy.mass[u] == 0.0);
        massless
            .map(|u| (u, self.residual[u].abs()))
            .fold((0, 0.0), |worst, next| if next.1 > worst.1 || next.1.is_nan() { next } else { worst })
    }
}
