//! One step of the method, with the heats of the whole network integrated by the same formula.
//!
//! Equations: `M y' = f(t, y)` with the diagonal `M` of [`Energy::mass`], zero for flows, electrical unknowns and massless
//! temperatures. Each stage solves `(J - M/(gamma h)) u = -(f + M/h sum C u + gamma_i h df/dt)` with the same factors. A linear
//! method keeps linear sums, so the sum of all heat contents changes by exactly the integral that the method itself gives
//! to the net heat: the generated and the rejected heat get the same formula, with their slopes in place of the Jacobian.

use super::energy::Energy;
use super::rodas::{A, ALPHA, C, DENSE, GAMMA, STAGES, TIME_WEIGHT};
use crate::blend::Changes;
use crate::network::Network;
use crate::sparse::SparseLu;
use crate::tally::{Tally, TallySlopes};

/// A network that may change along a stretch of time.
pub(crate) struct Course<'a> {
    /// Working copy, set to the time of the last evaluation.
    pub(crate) network: &'a mut Network,
    pub(crate) energy: &'a Energy,
    pub(crate) ramp: Option<Ramp<'a>>,
}

/// Change from one network to another.
pub(crate) struct Ramp<'a> {
    pub(crate) changes: Changes,
    pub(crate) from: &'a Network,
    pub(crate) to: &'a Network,
    pub(crate) duration_s: f64,
}

impl Course<'_> {
    /// Sets the network and the boundaries of a state to a time since the start of the stretch.
    pub(crate) fn set_time(&mut self, since_s: f64, state: &mut [f64]) {
        if let Some(ramp) = &self.ramp {
            let share = (since_s / ramp.duration_s).clamp(0.0, 1.0);
            self.network.blend(&ramp.changes, ramp.from, ramp.to, share, state);
        }
    }
}

/// Generated and rejected heat, J.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Heats {
    pub(crate) generated_j: f64,
    pub(crate) rejected_j: f64,
}

/// Scratch space of a step; taken once.
#[derive(Clone, Debug)]
pub(crate) struct StepWork {
    lu: SparseLu,
    /// Stage vectors.
    pub(crate) stages: [Vec<f64>; STAGES],
    stage_heats: [Heats; STAGES],
    /// Content temperatures and state at the end of the step.
    pub(crate) content: Vec<f64>,
    pub(crate) state: Vec<f64>,
    pub(crate) heats: Heats,
    residual: Vec<f64>,
    rates: Vec<f64>,
    time_slope: Vec<f64>,
    time_slope_heats: Tally,
    slopes: TallySlopes,
    content_slopes: Vec<f64>,
    start_residual: Vec<f64>,
    start_tally: Tally,
    /// Step for which the diagonal was set.
    factored_for_s: f64,
}

/// What a step needs to know of its start.
#[derive(Clone, Copy)]
pub(crate) struct Start<'a> {
    /// Time since the start of the stretch, s.
    pub(crate) since_s: f64,
    pub(crate) content: &'a [f64],
    pub(crate) state: &'a [f64],
}

/// Why a step gave nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Broken {
    /// A pivot of this unknown vanished.
    Pivot(usize),
    /// A value is no number or far out of bounds.
    Value(usize),
}

/// Values of a stage beyond these cannot be part of a good step, K.
const STAGE_BOUNDS_K: (f64, f64) = (50.0, 3000.0);
/// Share of a stretch over which its time derivative is taken. Numbers change linearly, so only rounding limits it.
const TIME_SHARE: f64 = 1e-3;

impl StepWork {
    pub(crate) fn new(network: &Network) -> Self {
        let n = network.unknowns;
        let mut state = vec![0.0; n];
        state.extend_from_slice(&network.boundaries);
        let zeros = || vec![0.0; n];
        Self {
            lu: network.lu.clone(),
            stages: std::array::from_fn(|_| zeros()),
            stage_heats: [Heats::default(); STAGES],
            content: zeros(),
            state,
            heats: Heats::default(),
            residual: zeros(),
            rates: zeros(),
            time_slope: zeros(),
            time_slope_heats: Tally::default(),
            slopes: TallySlopes::new(n),
            content_slopes: vec![1.0; n],
            start_residual: zeros(),
            start_tally: Tally::default(),
            factored_for_s: f64::INFINITY,
        }
    }

    /// Takes the pattern of another network of the same layout.
    pub(crate) fn adopt(&mut self, network: &Network) {
        self.lu = network.lu.clone();
    }

    /// Jacobian, net heats and time derivatives at the start of a step.
    pub(crate) fn linearise(&mut self, course: &mut Course<'_>, start: Start<'_>) {
        self.state.copy_from_slice(start.state);
        course.set_time(start.since_s, &mut self.state);
        self.start_tally = course.network.booked_jacobian(
            &self.state,
            &mut self.start_residual,
            &mut self.lu,
            &mut self.slopes,
        );
        course.energy.slopes(course.network, &self.state, &mut self.content_slopes);
        self.lu.scale_columns(&self.content_slopes);
        for (unknown, factor) in self.content_slopes.iter().enumerate() {
            self.slopes.generated[unknown] *= factor;
            self.slopes.rejected[unknown] *= factor;
        }
        self.factored_for_s = f64::INFINITY;
        self.time_slope.fill(0.0);
        self.time_slope_heats = Tally::default();
        if let Some(ramp) = &course.ramp {
            let delta_s = ramp.duration_s * TIME_SHARE;
            // looks back at the end of a stretch
            let delta_s = if start.since_s + delta_s > ramp.duration_s { -delta_s } else { delta_s };
            course.set_time(start.since_s + delta_s, &mut self.state);
            let tally = course.network.booked_residual(&self.state, &mut self.residual);
            for (slope, (later, now)) in
                self.time_slope.iter_mut().zip(self.residual.iter().zip(&self.start_residual))
            {
                *slope = (later - now) / delta_s;
            }
            self.time_slope_heats = Tally {
                generated_w: (tally.generated_w - self.start_tally.generated_w) / delta_s,
                rejected_w: (tally.rejected_w - self.start_tally.rejected_w) / delta_s,
            };
        }
    }

    /// Rates of change of the content temperatures at the last linearisation, K/s, and the greatest of them.
    pub(crate) fn fastest(&self, energy: &Energy, temperatures: usize) -> f64 {
        let rates = self.start_residual[..temperatures].iter().zip(&energy.mass);
        rates
            .filter(|(_, mass)| **mass > 0.0)
            .fold(0.0, |fastest: f64, (heat, mass)| fastest.max((heat / mass).abs()))
    }

    fn factor(&mut self, energy: &Energy, step_s: f64) -> Result<(), Broken> {
        if self.factored_for_s == step_s {
            return Ok(());
        }
        let change = 1.0 / (GAMMA * step_s) - 1.0 / (GAMMA * self.factored_for_s);
        for (unknown, &mass) in energy.mass.iter().enumerate() {
            if mass > 0.0 {
                self.lu.add_diagonal(unknown, -mass * change);
            }
        }
        self.factored_for_s = step_s;
        self.lu.factor().map_err(|vanishing| Broken::Pivot(vanishing.unknown))
    }

    /// Tries a step; afterwards content, state and heats are those at its end, and the last stage is the error.
    pub(crate) fn attempt(
        &mut self,
        course: &mut Course<'_>,
        start: Start<'_>,
        step_s: f64,
    ) -> Result<(), Broken> {
        self.factor(course.energy, step_s)?;
        self.state.copy_from_slice(start.state);
        let temperatures = course.network.temperatures;
        for stage in 0..STAGES {
            let tally = if stage == 0 {
                self.residual.copy_from_slice(&self.start_residual);
                self.start_tally
            } else {
                self.place_stage(course, start, step_s, stage)?;
                course.network.booked_residual(&self.state, &mut self.residual)
            };
            self.solve_stage(course.energy, tally, step_s, stage);
        }
        let (content, last) = (&mut self.content, &self.stages[STAGES - 1]);
        for (value, change) in content.iter_mut().zip(last) {
            *value += change;
        }
        self.heats = self.heats_of(&A[STAGES - 1], STAGES - 1);
        self.heats.generated_j += self.stage_heats[STAGES - 1].generated_j;
        self.heats.rejected_j += self.stage_heats[STAGES - 1].rejected_j;
        check(&self.content, temperatures)?;
        course.energy.temperatures(course.network, &self.content, &mut self.state);
        Ok(())
    }

    /// A linearly implicit Euler step: no stage looks at a flow again, so a corner of a flow law cannot stop it. Its error is
    /// of second order; it is for short steps across such corners only. The sum of heats closes as that of a full step does.
    pub(crate) fn cross(
        &mut self,
        course: &mut Course<'_>,
        start: Start<'_>,
        step_s: f64,
    ) -> Result<(), Broken> {
        self.factor(course.energy, step_s / GAMMA)?;
        for stage in &mut self.stages {
            stage.fill(0.0);
        }
        self.stage_heats = [Heats::default(); STAGES];
        let vector = &mut self.residual;
        for (unknown, value) in vector.iter_mut().enumerate() {
            *value = -self.start_residual[unknown] - step_s * self.time_slope[unknown];
        }
        self.lu.solve(vector);
        let change =
            |slopes: &[f64]| slopes.iter().zip(&*vector).map(|(slope, change)| slope * change).sum::<f64>();
        let slope = self.time_slope_heats;
        self.heats = Heats {
            generated_j: step_s
                * (self.start_tally.generated_w
                    + change(&self.slopes.generated)
                    + step_s * slope.generated_w),
            rejected_j: step_s
                * (self.start_tally.rejected_w + change(&self.slopes.rejected) + step_s * slope.rejected_w),
        };
        for ((value, before), change) in self.content.iter_mut().zip(start.content).zip(vector.iter()) {
            *value = before + change;
        }
        // what has no capacity keeps its value; it is brought into balance afterwards
        let temperatures = course.network.temperatures;
        for unknown in 0..self.content.len() {
            if course.energy.mass[unknown] == 0.0 {
                self.content[unknown] = start.content[unknown];
            }
        }
        check(&self.content, temperatures)?;
        self.state.copy_from_slice(start.state);
        course.set_time(start.since_s + step_s, &mut self.state);
        course.energy.temperatures(course.network, &self.content, &mut self.state);
        Ok(())
    }

    /// Argument of a stage, and its time.
    fn place_stage(
        &mut self,
        course: &mut Course<'_>,
        start: Start<'_>,
        step_s: f64,
        stage: usize,
    ) -> Result<(), Broken> {
        self.content.copy_from_slice(start.content);
        for (stage_vector, &weight) in self.stages[..stage].iter().zip(&A[stage]) {
            if weight != 0.0 {
                for (value, change) in self.content.iter_mut().zip(stage_vector) {
                    *value += weight * change;
                }
            }
        }
        check(&self.content, course.network.temperatures)?;
        course.set_time(start.since_s + ALPHA[stage] * step_s, &mut self.state);
        course.energy.temperatures(course.network, &self.content, &mut self.state);
        Ok(())
    }

    fn solve_stage(&mut self, energy: &Energy, tally: Tally, step_s: f64, stage: usize) {
        self.rates.fill(0.0);
        for (stage_vector, &weight) in self.stages[..stage].iter().zip(&C[stage]) {
            for (rate, change) in self.rates.iter_mut().zip(stage_vector) {
                *rate += weight * change;
            }
        }
        let time_weight = TIME_WEIGHT[stage] * step_s;
        let vector = &mut self.stages[stage];
        for (unknown, value) in vector.iter_mut().enumerate() {
            *value = -self.residual[unknown]
                - energy.mass[unknown] / step_s * self.rates[unknown]
                - time_weight * self.time_slope[unknown];
        }
        self.lu.solve(vector);
        let dot =
            |slopes: &[f64]| slopes.iter().zip(&*vector).map(|(slope, change)| slope * change).sum::<f64>();
        let (by_generation, by_rejection) = (dot(&self.slopes.generated), dot(&self.slopes.rejected));
        let carried = self.heats_of(&C[stage], stage);
        let share = GAMMA * step_s;
        self.stage_heats[stage] = Heats {
            generated_j: share
                * (tally.generated_w + by_generation + time_weight * self.time_slope_heats.generated_w)
                + GAMMA * carried.generated_j,
            rejected_j: share
                * (tally.rejected_w + by_rejection + time_weight * self.time_slope_heats.rejected_w)
                + GAMMA * carried.rejected_j,
        };
    }

    fn heats_of(&self, weights: &[f64; 5], stages: usize) -> Heats {
        self.stage_heats[..stages].iter().zip(weights).fold(Heats::default(), |sum, (heats, weight)| Heats {
            generated_j: sum.generated_j + weight * heats.generated_j,
            rejected_j: sum.rejected_j + weight * heats.rejected_j,
        })
    }

    /// Coefficients of the dense output.
    pub(crate) fn dense(&self, dense: &mut [Vec<f64>; 2]) {
        for (vector, weights) in dense.iter_mut().zip(&DENSE) {
            vector.fill(0.0);
            for (stage, weight) in self.stages.iter().zip(weights) {
                for (value, change) in vector.iter_mut().zip(stage) {
                    *value += weight * change;
                }
            }
        }
    }

    /// Coefficients of the dense output of the heats.
    pub(crate) fn dense_heats(&self) -> [Heats; 2] {
        DENSE.map(|weights| self.heats_of(&weights, 5))
    }
}

fn check(content: &[f64], temperatures: usize) -> Result<(), Broken> {
    if let Some(unknown) = content[..temperatures]
        .iter()
        .position(|value| !(STAGE_BOUNDS_K.0 < *value && *value < STAGE_BOUNDS_K.1))
    {
        return Err(Broken::Value(unknown));
    }
    match content[temperatures..].iter().position(|value| !value.is_finite()) {
        Some(unknown) => Err(Broken::Value(temperatures + unknown)),
        None => Ok(()),
    }
}
