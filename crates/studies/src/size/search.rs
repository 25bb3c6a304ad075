//! The lightest design that holds: along the height (or conductance) by bracketing, over width and depth by a grid and a compass.
//!
//! More height means more face, more fins and less air resistance, so the least reserve rises with it and the least height that
//! holds is a bracketed root. Width comes in whole tubes, so over width and depth derivatives are of no use: a grid over the whole
//! room finds the region, and a compass with halving steps the place. What cannot be lighter than the best so far costs one solve.

use super::judge::{Binding, Judge, Terms};
use super::plan::{CoreChoice, Design, Plan, WHOLE_SLACK, grained_up_m};
use crate::StudyError;
use aircraft::records::project::Project;
use rayon::prelude::*;

/// Reserve below which the search along the height ends, K.
const CLOSE_K: f64 = 0.005;
/// Reserve that a cold solve cannot turn into a shortage, K.
const SOLVED_K: f64 = 1e-6;
/// Most solves along the height.
const MAX_STEPS: usize = 40;
/// Places of the grid over width and over depth.
const GRID: u32 = 5;
/// Shares of a bound that holds at which the other end of the bracket is looked for.
const NEAR: [f64; 4] = [0.95, 0.8, 0.5, 0.0];
/// The same where nothing is known yet.
const FAR: [f64; 3] = [0.5, 0.25, 0.0];
/// Shares of a line that are tried where its end does not hold: a core may be too large where it starves the one behind it.
const INSIDE: [f64; 3] = [0.75, 0.5, 0.25];
/// Width of a bracket, in shares of a line, below which it moves no dimension that can be made: 0.1 um in a metre.
const NARROW: f64 = 1e-7;
/// Step of the depth at which the compass ends, m.
const DEPTH_STEP_M: f64 = 5e-4;
/// Depths closer than this are one and the same, m: rounding alone, far below the grain of depths.
const SAME_DEPTH_M: f64 = 1e-9;
/// Weight that the Illinois rule leaves the end of a bracket that stays: half, so that neither end stays for ever.
const ILLINOIS: f64 = 0.5;

/// A design that holds, as far as it was judged.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Held {
    pub(super) design: Design,
    pub(super) mass_kg: f64,
    pub(super) binding: Binding,
}

impl Held {
    /// Whether the design holds, beyond what two solves of one case may differ by.
    pub(super) fn holds(&self) -> bool {
        self.binding.scaled() >= SOLVED_K
    }
}

/// The designs along which one number is free.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Line {
    pub(super) layers: u32,
    pub(super) depth_m: f64,
    pub(super) fin: usize,
    pub(super) pump: Option<usize>,
    pub(super) fan: Option<usize>,
}

/// How far a search goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SearchScope {
    /// Width, height and depth, every fin.
    Free,
    /// Only the height (or the conductance): the rest as it is in the project.
    Height,
}

pub(super) struct Search<'a> {
    pub(super) project: &'a Project,
    pub(super) plan: &'a Plan,
    pub(super) judge: &'a Judge<'a>,
    /// Cases that decide.
    pub(super) active: Vec<usize>,
    pub(super) terms: Terms,
    pub(super) reach: SearchScope,
}

impl Search<'_> {
    /// The design of a line at a share of its free number.
    pub(super) fn design(&self, line: Line, share: f64) -> Design {
        let core = if let Some(room) = &self.plan.room {
            CoreChoice::Fins {
                layers: line.layers,
                height_m: grained_up_m(room.height.at(share)).min(room.height.max_m),
                depth_m: line.depth_m,
                fin: line.fin,
            }
        } else {
            let (least, most) = self.plan.conductances_w_k();
            CoreChoice::Conductance(least * (most / least).powf(share))
        };
        Design { core, pump: line.pump, fan: line.fan }
    }

    /// Whether the free number of a design is the least that is searched.
    pub(super) fn is_smallest(&self, design: &Design) -> bool {
        let line = match design.core {
            CoreChoice::Fins { layers, depth_m, fin, .. } => {
                Line { layers, depth_m, fin, pump: design.pump, fan: design.fan }
            }
            CoreChoice::Conductance(_) => {
                Line { layers: 1, depth_m: 0.0, fin: 0, pump: design.pump, fan: design.fan }
            }
            CoreChoice::Listed(_) => return false,
        };
        self.design(line, 0.0) == *design
    }

    fn mass_kg(&self, design: &Design) -> Result<f64, StudyError> {
        self.plan.mass_kg(self.project, design)
    }

    /// A design and its least reserve over the deciding cases.
    pub(super) fn judge_design(&self, design: Design) -> Result<Held, StudyError> {
        let project = self.plan.applied(self.project, &design);
        let binding = self.judge.least(&project, &self.active, &self.terms)?;
        Ok(Held { design, mass_kg: self.mass_kg(&design)?, binding })
    }

    /// The least share of a line that holds; none if no share lighter than `below_kg` does.
    pub(super) fn along(&self, line: Line, below_kg: Option<f64>) -> Result<Option<Held>, StudyError> {
        let Some((share, mut most)) = self.upper(line, below_kg)? else { return Ok(None) };
        if !most.holds() {
            // more may also be worse, as where a first core starves the one behind it
            if below_kg.is_some() {
                return Ok(None);
            }
            for share in INSIDE {
                let held = self.judge_design(self.design(line, share))?;
                if held.holds() {
                    return self.between(line, (0.0, None), (share, held)).map(Some);
                }
            }
            return Ok(None);
        }
        let mut least = (0.0, None);
        let mut max_share = share;
        // what is lighter than the best so far is seldom much lighter: a few steps down make a bracket
        let steps: &[f64] = if below_kg.is_some() { &NEAR } else { &FAR };
        for step in steps {
            let share = step * share;
            let held = self.judge_design(self.design(line, share))?;
            if !held.holds() {
                least = (share, Some(held.binding.scaled()));
                break;
            }
            (max_share, most) = (share, held);
        }
        if least.1.is_none() {
            return Ok(Some(most));
        }
        self.between(line, least, (max_share, most)).map(Some)
    }

    /// The end of the line, or where it becomes as heavy as the best so far; none if even its beginning is.
    fn upper(&self, line: Line, below_kg: Option<f64>) -> Result<Option<(f64, Held)>, StudyError> {
        let mut share = 1.0;
        if let Some(below_kg) = below_kg {
            let min_kg = self.mass_kg(&self.design(line, 0.0))?;
            let max_kg = self.mass_kg(&self.design(line, 1.0))?;
            if min_kg >= below_kg {
                return Ok(None);
            }
            // the mass of a core of fins is a straight line over its height
            share = ((below_kg - min_kg) / (max_kg - min_kg)).min(1.0);
        }
        self.judge_design(self.design(line, share)).map(|held| Some((share, held)))
    }

    /// Regula falsi of Illinois between a share that does not hold and one that does; halving where a reserve is not finite.
    fn between(&self, line: Line, low: (f64, Option<f64>), high: (f64, Held)) -> Result<Held, StudyError> {
        let (mut low, mut low_k) = (low.0, low.1.unwrap_or(f64::NEG_INFINITY));
        let (mut high, mut best) = high;
        let mut high_k = best.binding.scaled();
        for _ in 0..MAX_STEPS {
            if best.binding.scaled() <= CLOSE_K || high - low < NARROW {
                break;
            }
            let secant = low + (high - low) * low_k / (low_k - high_k);
            let is_usable = secant.is_finite() && secant > low && secant < high;
            let share = if is_usable { secant } else { f64::midpoint(low, high) };
            let held = self.judge_design(self.design(line, share))?;
            if held.holds() {
                if held.design == best.design {
                    break;
                }
                high_k = held.binding.scaled();
                (high, best) = (share, held);
                low_k *= ILLINOIS;
            } else {
                low = share;
                low_k = held.binding.scaled();
                high_k *= ILLINOIS;
            }
        }
        Ok(best)
    }

    /// The lightest of several lines, each searched against the same best so far: the result does not depend on threads.
    fn lightest(&self, lines: &[Line], best: Option<Held>) -> Result<Option<Held>, StudyError> {
        let below_kg = best.as_ref().map(|held| held.mass_kg);
        let found: Result<Vec<_>, _> = lines.par_iter().map(|&line| self.along(line, below_kg)).collect();
        Ok(found?.into_iter().flatten().chain(best).reduce(|a, b| if b.mass_kg < a.mass_kg { b } else { a }))
    }

    /// The line of the present core.
    pub(super) fn present(&self, fin: usize, pump: Option<usize>, fan: Option<usize>) -> Line {
        let (least, most) = self.plan.layers();
        let Some(room) = &self.plan.room else { return Line { layers: 1, depth_m: 0.0, fin, pump, fan } };
        let (width_m, depth_m) = super::plan::face(&self.plan.present);
        let layers = (width_m / room.layer_m + WHOLE_SLACK).floor() as u32;
        Line {
            layers: layers.clamp(least, most),
            depth_m: depth_m.clamp(room.depth.min_m, room.depth.max_m),
            fin,
            pump,
            fan,
        }
    }

    /// The lightest design with given fins, pump and fan. `known` is one of them that is worth beginning with.
    pub(super) fn best(
        &self,
        fin: usize,
        (pump, fan): (Option<usize>, Option<usize>),
        known: Option<Design>,
    ) -> Result<Option<Held>, StudyError> {
        let present = self.present(fin, pump, fan);
        let Some(room) = self.plan.room.as_ref().filter(|_| self.reach == SearchScope::Free) else {
            return self.along(present, None);
        };
        let (least, most) = self.plan.layers();
        let shares = |one: bool| {
            if one { vec![1.0] } else { (0..GRID).map(|n| f64::from(n) / f64::from(GRID - 1)).collect() }
        };
        let widths = shares(least == most);
        let known = known.map(|design| self.judge_design(design)).transpose()?;
        let mut best = match known.filter(Held::holds) {
            Some(held) => Some(held),
            None => self.along(present, None)?,
        };
        for share in shares(room.depth.is_one_value()) {
            let depth_m = grained_up_m(room.depth.at(share));
            let lines: Vec<Line> = widths
                .iter()
                .map(|share| {
                    let layers = least + (share * f64::from(most - least)).round() as u32;
                    Line { layers, depth_m, ..present }
                })
                .collect();
            best = self.lightest(&lines, best)?;
        }
        match best {
            Some(best) => self.compass(best).map(Some),
            None => Ok(None),
        }
    }

    /// Eight neighbours in width and depth, with steps that halve once none is lighter.
    pub(super) fn compass(&self, mut best: Held) -> Result<Held, StudyError> {
        let Some(room) = self.plan.room.as_ref().filter(|_| self.reach == SearchScope::Free) else {
            return Ok(best);
        };
        let (least, most) = self.plan.layers();
        let mut layers_step = (most - least).div_ceil(2 * (GRID - 1)).max(1);
        let mut depth_step_m = ((room.depth.max_m - room.depth.min_m) / f64::from(2 * (GRID - 1))).max(0.0);
        loop {
            let CoreChoice::Fins { layers, depth_m, fin, .. } = best.design.core else { return Ok(best) };
            let line = |across: i64, along: f64| {
                let layers =
                    (i64::from(layers) + across * i64::from(layers_step)).clamp(least.into(), most.into());
                let depth_m = (depth_m + along * depth_step_m).clamp(room.depth.min_m, room.depth.max_m);
                let (pump, fan) = (best.design.pump, best.design.fan);
                Line { layers: layers as u32, depth_m: grained_up_m(depth_m), fin, pump, fan }
            };
            let mut lines: Vec<Line> = Vec::new();
            for (across, along) in
                [(-1, 0.0), (1, 0.0), (0, -1.0), (0, 1.0), (-1, -1.0), (-1, 1.0), (1, -1.0), (1, 1.0)]
            {
                let line = line(across, along);
                let is_here = line.layers == layers && (line.depth_m - depth_m).abs() < SAME_DEPTH_M;
                if !is_here && !lines.contains(&line) {
                    lines.push(line);
                }
            }
            let before = best.design;
            best = match self.lightest(&lines, Some(best.clone()))? {
                Some(lighter) => lighter,
                None => best,
            };
            if best.design == before {
                if layers_step == 1 && depth_step_m <= DEPTH_STEP_M {
                    return Ok(best);
                }
                layers_step = (layers_step / 2).max(1);
                depth_step_m *= 0.5;
            }
        }
    }
}
