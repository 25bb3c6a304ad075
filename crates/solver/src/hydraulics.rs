//! Flows of a circuit at given temperatures.
//!
//! Every element's loss rises with its flow, so the flows are unique. They are found by Newton steps from the last
//! known flows; where that does not settle, by nested bracketing, which always ends.

use crate::network::{Network, RunEntry};
use num_dual::Dual64;
use numerics::{constant, root_rising};

/// Newton steps before bracketing takes over.
const MAX_STEPS: usize = 60;
/// Times that one step is halved.
const MAX_HALVINGS: u32 = 6;
/// Net pressure that counts as zero, as a share of the sum of all losses.
const CLOSED_TO: f64 = 1e-11;
/// Net pressure that counts as zero in a circuit at rest, Pa. Only a flow of truly nothing may be left there: a trickle of
/// either sign would carry the heat of one branch into the next, and turn over with every solve.
const REST_PA: f64 = 1e-16;

/// How finely bracketing closes in: on the flow of a run, kg/s, and on the loss of a parallel group, Pa.
#[derive(Clone, Copy)]
struct Fineness {
    flow_kg_s: f64,
    drop_pa: f64,
}

/// Good enough to stand where Newton steps do not settle.
const FINE: Fineness = Fineness { flow_kg_s: 1e-11, drop_pa: 1e-5 };
/// Share of the pressure turned over below which a remainder that does not fall any more is rounding.
const ROUNDING: f64 = 1e-8;
/// First flow that bracketing looks at, kg/s: that of a small loop.
const FIRST_FLOW_KG_S: f64 = 1e-2;
/// First pressure that it looks at, Pa.
const FIRST_DROP_PA: f64 = 1e3;
/// Largest pressure that it looks at, Pa.
const MAX_DROP_PA: f64 = 1e9;
/// What a bracket is widened by.
const WIDENING: f64 = 4.0;
/// First guess of a flow over the most that the strongest machine can move.
const USUAL_SHARE: f64 = 0.6;
/// First guess where no machine runs, kg/s.
const USUAL_FLOW_KG_S: f64 = 0.1;
/// Largest flow that bracketing looks at, kg/s.
const MAX_FLOW_KG_S: f64 = 1e4;

/// Scratch space for the circuit with the most runs.
#[derive(Clone, Debug, Default)]
pub(crate) struct FlowWork {
    matrix: Vec<f64>,
    step: Vec<f64>,
    kept: Vec<f64>,
    last: Vec<f64>,
}

/// How often each method was needed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct FlowCount {
    /// Newton steps over all circuits.
    pub newton_steps: u32,
    /// Circuits that had to be bracketed.
    pub bracketed: u32,
}

impl FlowWork {
    pub(crate) fn for_network(network: &Network) -> Self {
        let most = network.courses.iter().map(|c| c.runs.len()).max().unwrap_or(0);
        Self {
            matrix: vec![0.0; most * most],
            step: vec![0.0; most],
            kept: vec![0.0; most],
            last: vec![0.0; most],
        }
    }
}

impl Network {
    /// Sets the flows of all circuits in the state to those that its temperatures imply.
    pub(crate) fn settle_flows(&self, state: &mut [f64], work: &mut FlowWork, count: &mut FlowCount) {
        for circuit in 0..self.courses.len() {
            if !self.newton_flows(circuit, state, work, count) {
                count.bracketed += 1;
                self.bracket_flows(circuit, state, FINE);
                self.polish_flows(circuit, state, work, count);
            }
        }
    }

    /// Flows of all circuits without any knowledge of them: from a guess by Newton steps, bracketed where that fails.
    pub(crate) fn first_flows(&self, state: &mut [f64], work: &mut FlowWork, count: &mut FlowCount) {
        for circuit in 0..self.courses.len() {
            let guess = self.guess_flow(circuit, state);
            self.spread(circuit, 0, guess, state);
        }
        self.settle_flows(state, work, count);
    }

    /// Six tenths of what the strongest running machine can move, kg/s; a share of a kilogram where there is none.
    fn guess_flow(&self, circuit: usize, state: &[f64]) -> f64 {
        let course = &self.courses[circuit];
        let fluid = &self.circuits[circuit].fluid;
        let strongest = course
            .elements
            .iter()
            .filter_map(|&element| {
                let setting = self.elements[element].signal.at(state[self.placed[element].sensed]);
                let machine = self.elements[element].law.machine()?;
                Some(machine.greatest_flow_m3_s() * setting)
            })
            .fold(0.0, f64::max);
        if strongest > 0.0 {
            USUAL_SHARE * strongest * fluid.density(state[course.last_cell])
        } else {
            USUAL_FLOW_KG_S
        }
    }

    /// Gives a run its flow and equal shares of it to the branches of its parallel groups.
    fn spread(&self, circuit: usize, run: usize, flow: f64, state: &mut [f64]) {
        state[self.courses[circuit].runs[run].flow] = flow;
        for entry in &self.courses[circuit].runs[run].entries {
            if let RunEntry::Parallel(branches) = entry {
                for &branch in branches {
                    self.spread(circuit, branch, flow / branches.len() as f64, state);
                }
            }
        }
    }

    /// Mean temperature and setting of an element for flow in the given direction. The density that a pump or fan works with is that
    /// of what it holds: were it a mean with what flows in, its rise would jump where the flow turns round, and a fan held at
    /// its shut-off pressure would have no flow at all that balances.
    fn element_state(&self, element: usize, mass_flow_kg_s: f64, state: &[f64]) -> (f64, f64) {
        let placed = &self.placed[element];
        let (first, last) = (placed.cells[0], placed.cells[placed.cells.len() - 1]);
        let mean = if self.elements[element].law.machine().is_some() {
            state[if mass_flow_kg_s >= 0.0 { last } else { first }]
        } else if mass_flow_kg_s >= 0.0 {
            0.5 * (state[placed.before] + state[last])
        } else {
            0.5 * (state[placed.after] + state[first])
        };
        (mean, self.elements[element].signal.at(state[placed.sensed]))
    }

    /// Pressure loss of an element, Pa.
    pub(crate) fn element_drop(&self, element: usize, mass_flow_kg_s: f64, state: &[f64]) -> f64 {
        let (mean, setting) = self.element_state(element, mass_flow_kg_s, state);
        let fluid = &self.circuits[self.placed[element].circuit].fluid;
        self.elements[element].law.drop(fluid, mass_flow_kg_s, mean, setting)
    }

    fn newton_flows(
        &self,
        circuit: usize,
        state: &mut [f64],
        work: &mut FlowWork,
        count: &mut FlowCount,
    ) -> bool {
        let course = &self.courses[circuit];
        let size = course.runs.len();
        let mut last_error = f64::INFINITY;
        let mut halvings = 0;
        work.last.fill(0.0);
        for _ in 0..MAX_STEPS {
            let (matrix, step) = (&mut work.matrix[..size * size], &mut work.step[..size]);
            let Some(scale) = self.flow_balance(circuit, state, matrix, step) else { return false };
            let balanced = step.iter().fold(0.0_f64, |worst, e| worst.max(e.abs()));
            if balanced <= CLOSED_TO * scale + REST_PA {
                return true;
            }
            // rounding sets the floor: no further gain means done, if the remainder is small
            if balanced >= last_error && balanced <= ROUNDING * scale {
                return true;
            }
            count.newton_steps += 1;
            if balanced > last_error && halvings < MAX_HALVINGS {
                // too far: take back half of the last step, and half of that
                halvings += 1;
                for (run, change) in course.runs.iter().zip(work.last.iter_mut()) {
                    *change *= 0.5;
                    state[run.flow] += *change;
                }
                continue;
            }
            halvings = 0;
            last_error = balanced;
            if !solve_dense(matrix, step) {
                return false;
            }
            for ((run, change), last) in course.runs.iter().zip(step.iter()).zip(work.last.iter_mut()) {
                state[run.flow] -= change;
                *last = *change;
            }
        }
        false
    }

    /// Fills in the imbalance of the flows and its slopes; returns the sum of all pressure drops, or none where they are not finite.
    fn flow_balance(
        &self,
        circuit: usize,
        state: &[f64],
        matrix: &mut [f64],
        imbalance: &mut [f64],
    ) -> Option<f64> {
        let course = &self.courses[circuit];
        let fluid = &self.circuits[circuit].fluid;
        let size = course.runs.len();
        let base = course.runs[0].flow;
        matrix.fill(0.0);
        imbalance.fill(0.0);
        let mut scale = 0.0;
        for &element in &course.elements {
            let run = &course.runs[self.placed[element].run];
            let flow = state[run.flow];
            let (mean, setting) = self.element_state(element, flow, state);
            let drop = self.elements[element].law.drop(
                fluid,
                Dual64::new(flow, 1.0),
                constant(mean),
                constant(setting),
            );
            scale += drop.re.abs();
            for &(row, sign) in &run.rows {
                imbalance[row - base] += sign * drop.re;
                matrix[(row - base) * size + (run.flow - base)] += sign * drop.eps;
            }
        }
        let error = imbalance.iter().fold(0.0_f64, |worst, e| worst.max(e.abs()));
        self.add_splits(circuit, state, matrix, imbalance);
        error.is_finite().then_some(scale)
    }

    /// From inside the bracket a few Newton steps reach rounding error; if they wander off, the bracket stands.
    fn polish_flows(&self, circuit: usize, state: &mut [f64], work: &mut FlowWork, count: &mut FlowCount) {
        let runs = &self.courses[circuit].runs;
        for (kept, run) in work.kept.iter_mut().zip(runs) {
            *kept = state[run.flow];
        }
        if !self.newton_flows(circuit, state, work, count) {
            for (kept, run) in work.kept.iter().zip(runs) {
                state[run.flow] = *kept;
            }
        }
    }

    fn add_splits(&self, circuit: usize, state: &[f64], matrix: &mut [f64], residual: &mut [f64]) {
        let course = &self.courses[circuit];
        let (size, base) = (course.runs.len(), course.runs[0].flow);
        for (row, parent, branches) in &course.splits {
            let weight = crate::network::SPLIT_WEIGHT;
            let local = row - base;
            residual[local] += weight * state[*parent];
            matrix[local * size + parent - base] += weight;
            for &branch in branches {
                residual[local] -= weight * state[branch];
                matrix[local * size + branch - base] -= weight;
            }
        }
    }

    /// Net pressure loss around a circuit at a trunk flow, Pa.
    pub(crate) fn circuit_drop(&self, circuit: usize, flow: f64, state: &[f64]) -> f64 {
        self.drop_of_run(circuit, 0, flow, state, FINE)
    }

    fn bracket_flows(&self, circuit: usize, state: &mut [f64], fineness: Fineness) {
        let trunk = self.flow_of_run(circuit, 0, 0.0, state, fineness);
        self.set_run(circuit, 0, trunk, state, fineness);
    }

    /// Pressure loss of a run at a flow, Pa; parallel groups are solved inside.
    fn drop_of_run(&self, circuit: usize, run: usize, flow: f64, state: &[f64], fineness: Fineness) -> f64 {
        self.courses[circuit].runs[run]
            .entries
            .iter()
            .map(|entry| match entry {
                RunEntry::Element(element) => self.element_drop(*element, flow, state),
                RunEntry::Parallel(branches) => {
                    self.drop_of_branches(circuit, branches, flow, state, fineness)
                }
            })
            .sum()
    }

    /// Common pressure loss of parallel branches at their joint flow, Pa.
    fn drop_of_branches(
        &self,
        circuit: usize,
        branches: &[usize],
        flow: f64,
        state: &[f64],
        fineness: Fineness,
    ) -> f64 {
        rising_root(
            |drop| {
                branches.iter().map(|&b| self.flow_of_run(circuit, b, drop, state, fineness)).sum::<f64>()
                    - flow
            },
            FIRST_DROP_PA,
            MAX_DROP_PA,
            fineness.drop_pa,
        )
    }

    /// Flow of a run at a pressure loss, kg/s.
    fn flow_of_run(&self, circuit: usize, run: usize, drop: f64, state: &[f64], fineness: Fineness) -> f64 {
        rising_root(
            |flow| self.drop_of_run(circuit, run, flow, state, fineness) - drop,
            FIRST_FLOW_KG_S,
            MAX_FLOW_KG_S,
            fineness.flow_kg_s,
        )
    }

    fn set_run(&self, circuit: usize, run: usize, flow: f64, state: &mut [f64], fineness: Fineness) {
        state[self.courses[circuit].runs[run].flow] = flow;
        for entry in &self.courses[circuit].runs[run].entries {
            if let RunEntry::Parallel(branches) = entry {
                let drop = self.drop_of_branches(circuit, branches, flow, state, fineness);
                for &branch in branches {
                    let branch_flow = self.flow_of_run(circuit, branch, drop, state, fineness);
                    self.set_run(circuit, branch, branch_flow, state, fineness);
                }
            }
        }
    }
}

/// Root of a rising function around zero: the bracket is widened from `first` to at most `most` on the side
/// where the root lies; a root beyond is held at `most`.
fn rising_root(mut function: impl FnMut(f64) -> f64, first: f64, most: f64, tolerance: f64) -> f64 {
    let at_zero = function(0.0);
    if at_zero == 0.0 || at_zero.is_nan() {
        return 0.0;
    }
    let side = if at_zero < 0.0 { 1.0 } else { -1.0 };
    let (mut near, mut far) = (0.0, first);
    while far < most && function(side * far) * side < 0.0 {
        near = far;
        far *= WIDENING;
    }
    let (low, high) = if side > 0.0 { (near, far) } else { (-far, -near) };
    root_rising(function, low, high, tolerance).map_or(side * far, |found| found.root)
}

/// Gaussian elimination with row exchange on a small dense matrix; the right hand side becomes the solution.
fn solve_dense(matrix: &mut [f64], right: &mut [f64]) -> bool {
    let n = right.len();
    for k in 0..n {
        let pivot =
            (k..n).max_by(|&a, &b| matrix[a * n + k].abs().total_cmp(&matrix[b * n + k].abs())).unwrap_or(k);
        if !(matrix[pivot * n + k].abs() > 0.0) {
            return false;
        }
        if pivot != k {
            for j in 0..n {
                matrix.swap(k * n + j, pivot * n + j);
            }
            right.swap(k, pivot);
        }
        for row in k + 1..n {
            let factor = matrix[row * n + k] / matrix[k * n + k];
            if factor != 0.0 {
                for j in k..n {
                    matrix[row * n + j] -= factor * matrix[k * n + j];
                }
                right[row] -= factor * right[k];
            }
        }
    }
    for k in (0..n).rev() {
        let mut sum = right[k];
        for j in k + 1..n {
            sum -= matrix[k * n + j] * right[j];
        }
        right[k] = sum / matrix[k * n + k];
    }
    true
}
