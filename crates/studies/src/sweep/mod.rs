//! Sweeps: one or more inputs over a grid, and what is watched at every point of it.
//!
//! Every point is a project of its own: the inputs are set and it is validated as a file is, and its cases are solved from the states of
//! the project as it stands, or from scratch where that has none. So a point has the same bits on any number of threads and in any
//! shard. The first axis varies slowest.

mod axis;
mod needed;
#[cfg(test)]
mod tests;
mod watch;

pub use axis::{Axis, SweepError};
pub use needed::Absence;
pub use watch::{Watch, watches};

use crate::StudyError;
use crate::uncooled::{Boundary, RESISTANCE};
use aircraft::records::project::Project;
use aircraft::variant::project_shape;
use model::case::Ground;
use model::design;
use needed::Absent;
use rayon::prelude::*;
use schema::{self, Node, Severity};
use std::collections::HashMap;
use std::ops::Range;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Points a sweep may have.
pub const MOST_POINTS: usize = 10_000_000;

/// A part of the points of a sweep: blocks of neighbours, so that parts written one after the other are the whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shard {
    /// Which part, from 1.
    pub number: usize,
    /// How many parts.
    pub of: usize,
}

impl Shard {
    /// All points.
    pub const WHOLE: Self = Self { number: 1, of: 1 };

    /// Reads `K/N`.
    ///
    /// # Errors
    /// [`SweepError::Shard`] unless K is one of 1 to N.
    pub fn parse(text: &str) -> Result<Self, SweepError> {
        let read = || {
            let (number, of) = text.split_once('/')?;
            Some(Self { number: number.trim().parse().ok()?, of: of.trim().parse().ok()? })
        };
        read()
            .filter(|shard| (1..=shard.of).contains(&shard.number))
            .ok_or_else(|| SweepError::Shard { text: text.to_owned() })
    }

    /// Its points among all.
    pub fn range(self, points: usize) -> Range<usize> {
        // wide, so that no product overflows
        let end = |number: usize| (points as u128 * number as u128 / self.of as u128) as usize;
        end(self.number - 1)..end(self.number)
    }
}

/// One point.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its number in the whole sweep, from 0.
    pub point: usize,
    /// Inputs in SI, in the order of the axes.
    pub inputs: Vec<f64>,
    /// What is watched, in SI, in the order asked; none where there is no value.
    pub results: Vec<Option<f64>>,
    /// Why values are missing, and where a loop is not needed; empty if there is nothing to say.
    pub remark: String,
}

/// A sweep that was run.
#[derive(Clone, Debug, PartialEq)]
pub struct Sweep {
    /// Inputs.
    pub axes: Vec<Axis>,
    /// What was watched.
    pub watched: Vec<Watch>,
    /// Points of the shard, in order.
    pub rows: Vec<Row>,
}

/// Number of points of a grid.
///
/// # Errors
/// [`SweepError::TooMany`] above [`MOST_POINTS`], [`SweepError::Repeated`] for an input that is set twice.
pub fn points(axes: &[Axis]) -> Result<usize, SweepError> {
    if let Some(axis) = axes.iter().enumerate().find(|(n, a)| axes[..*n].iter().any(|b| b.path == a.path)) {
        return Err(SweepError::Repeated { path: axis.1.path.clone() });
    }
    axes.iter()
        .try_fold(1_usize, |all, axis| all.checked_mul(axis.steps()).filter(|all| *all <= MOST_POINTS))
        .ok_or(SweepError::TooMany)
}

/// Runs the points of a shard on all cores; `node` is the tree of the project, variant applied; `chosen` are the full names of the cases
/// that the worst reserve, sizes and boundaries are judged by, all if none is named; `progress` is told how many points are done.
///
/// # Errors
/// [`SweepError`] for a grid that cannot be, or a case that does not exist; [`StudyError::Cancelled`] within it once the flag is set. A
/// point without a solution is no error.
pub fn sweep(
    node: &Node,
    axes: &[Axis],
    watched: &[Watch],
    chosen: &[String],
    shard: Shard,
    cancel: &AtomicBool,
    progress: impl Fn(usize) + Sync,
) -> Result<Sweep, SweepError> {
    let range = shard.range(points(axes)?);
    // a project that is only valid at the points has no states to begin with
    let base = design::decode(node).ok();
    if let Some(base) = &base {
        crate::all_known(base, chosen)?;
    }
    let watch = |base: &Project| watch::grounds(base, watched, chosen, cancel);
    let grounds = base.as_ref().map_or_else(Vec::new, watch);
    let absent = base.as_ref().map_or_else(Vec::new, |base| watch::absent(node, base, watched));
    let maker = Maker {
        node,
        axes,
        cases: chosen,
        moved: base
            .filter(|_| is_worth_moving(axes, range.len()) && can_be_moved(node, axes))
            .map(without_variants),
    };
    let study = Study { maker, watched, grounds, boundaries: HashMap::new(), absent, cancel };
    let study = Study { boundaries: study.boundaries(range.clone())?, ..study };
    let done = AtomicUsize::new(0);
    let rows: Result<Vec<Row>, StudyError> = range
        .into_par_iter()
        .map(|point| {
            let row = study.row(point);
            progress(done.fetch_add(1, Ordering::Relaxed) + 1);
            row
        })
        .collect();
    Ok(Sweep { axes: axes.to_vec(), watched: watched.to_vec(), rows: rows? })
}

/// Values of a point, in SI: the last axis varies fastest.
fn inputs(axes: &[Axis], point: usize) -> Vec<f64> {
    let mut rest = point;
    let mut values: Vec<f64> = axes
        .iter()
        .rev()
        .map(|axis| {
            let step = rest % axis.steps();
            rest /= axis.steps();
            axis.value_si(step)
        })
        .collect();
    values.reverse();
    values
}

/// How the projects of points are made.
struct Maker<'a> {
    node: &'a Node,
    axes: &'a [Axis],
    /// Chosen cases by their full names; none: all.
    cases: &'a [String],
    /// The decoded project, if moving its numbers makes a point: much faster than to decode the tree again.
    moved: Option<Project>,
}

/// Whether looking at every value of every axis beforehand is little beside the points. What a point is does not depend on it.
fn is_worth_moving(axes: &[Axis], points: usize) -> bool {
    points >= 4 * axes.iter().map(Axis::steps).sum::<usize>()
}

/// Whether every value of every axis alone can be decoded, so that numbers may be moved in the decoded project. Of lists, where one
/// number may have to be larger than another, only one may be moved.
fn can_be_moved(node: &Node, axes: &[Axis]) -> bool {
    let in_list = |axis: &&Axis| axis.entry.path.steps().iter().any(|step| step.parse::<usize>().is_ok());
    if axes.iter().filter(in_list).count() > 1 {
        return false;
    }
    let values: Vec<(&Axis, f64)> =
        axes.iter().flat_map(|axis| (0..axis.steps()).map(move |step| (axis, axis.value_si(step)))).collect();
    values.par_iter().all(|(axis, si)| decoded(node, std::slice::from_ref(*axis), &[*si]).is_ok())
}

/// Copies are cheaper without the variants, unless these hold numbers that are counted.
fn without_variants(mut project: Project) -> Project {
    let mut bare = Project { variants: Vec::new(), ..project.clone() };
    let counted_alike = schema::numbers_si(&mut bare).len() == schema::numbers_si(&mut project).len();
    if counted_alike { bare } else { project }
}

impl Maker<'_> {
    /// The tree at a point, or why there is none.
    fn tree(&self, inputs_si: &[f64]) -> Result<Node, String> {
        set(self.node, self.axes, inputs_si)
    }

    /// The project at a point, or why there is none.
    fn make(&self, inputs_si: &[f64]) -> Result<Project, String> {
        if let Some(base) = &self.moved {
            let mut project = base.clone();
            let is_moved = move_exactly(&mut project, self.axes, inputs_si);
            if is_moved && !model::validate::validate(&project).has_errors() {
                return Ok(project);
            }
        }
        // from the tree, which also says what is wrong as a file does
        decoded(self.node, self.axes, inputs_si)
    }
}

/// Sets inputs to the bits of the grid: text in the unit of the file may round the last digit.
fn move_exactly(project: &mut Project, axes: &[Axis], inputs_si: &[f64]) -> bool {
    let mut exact: Vec<(usize, f64)> =
        axes.iter().zip(inputs_si).map(|(axis, si)| (axis.index, *si)).collect();
    exact.sort_by_key(|(index, _)| *index);
    schema::move_numbers(project, &exact)
}

/// What all points have in common.
struct Study<'a> {
    maker: Maker<'a>,
    watched: &'a [Watch],
    grounds: Vec<(String, Option<Ground>)>,
    /// Loops whose absence is looked at.
    absent: Vec<Absent>,
    /// Found boundaries by loop, way and the inputs beside the resistance.
    boundaries: HashMap<BoundaryKey, Option<Boundary>>,
    cancel: &'a AtomicBool,
}

/// Number of the loop, how it is left out, bits of the inputs beside the resistance.
type BoundaryKey = (usize, Absence, Vec<u64>);

impl Study<'_> {
    fn row(&self, point: usize) -> Result<Row, StudyError> {
        if self.cancel.load(Ordering::Relaxed) {
            return Err(StudyError::Cancelled);
        }
        let inputs = inputs(self.maker.axes, point);
        let mut row = Row { point, inputs, results: vec![None; self.watched.len()], remark: String::new() };
        match self.maker.make(&row.inputs) {
            Ok(project) => (row.results, row.remark) = watch::read(self, &project, &row.inputs)?,
            Err(refusal) => row.remark = refusal,
        }
        Ok(row)
    }

    /// The inputs that a boundary over the resistance depends on, as bits.
    fn beside_resistance(&self, inputs_si: &[f64]) -> Vec<u64> {
        let axes = self.maker.axes.iter().zip(inputs_si);
        axes.filter(|(axis, _)| axis.path != RESISTANCE).map(|(_, si)| si.to_bits()).collect()
    }

    /// The watched boundaries, each found once for all points that differ by the resistance only.
    fn boundaries(&self, points: Range<usize>) -> Result<HashMap<BoundaryKey, Option<Boundary>>, StudyError> {
        let asked = self.watched.iter().filter_map(|watch| match watch {
            Watch::Boundary { circuit, how } => {
                Some((self.absent.iter().position(|absent| absent.circuit == *circuit)?, *how))
            }
            _ => None,
        });
        let mut tasks: HashMap<BoundaryKey, usize> = HashMap::new();
        for (number, how) in asked {
            for point in points.clone() {
                let beside = self.beside_resistance(&inputs(self.maker.axes, point));
                tasks.entry((number, how, beside)).or_insert(point);
            }
        }
        let found = tasks.into_par_iter().map(|(key, point)| {
            let inputs = inputs(self.maker.axes, point);
            let boundary = match self.maker.make(&inputs) {
                Ok(project) => {
                    self.absent[key.0].boundary(&self.maker, &project, &inputs, key.1, self.cancel)?
                }
                // what is wrong is told at the points
                Err(_refusal) => None,
            };
            Ok((key, boundary))
        });
        found.collect()
    }
}

/// The project with inputs set in its tree, or why there is none.
fn decoded(node: &Node, axes: &[Axis], inputs_si: &[f64]) -> Result<Project, String> {
    let tree = set(node, axes, inputs_si)?;
    let mut project = design::decode(&tree).map_err(|problems| {
        let errors = problems.iter().filter(|problem| problem.severity == Severity::Error);
        errors.map(|problem| format!("{}: {}", problem.path, problem.message)).collect::<Vec<_>>().join("; ")
    })?;
    move_exactly(&mut project, axes, inputs_si);
    Ok(project)
}

/// The tree with inputs set.
fn set(node: &Node, axes: &[Axis], inputs_si: &[f64]) -> Result<Node, String> {
    let mut tree = node.clone();
    for (axis, si) in axes.iter().zip(inputs_si) {
        schema::set_input_si(&mut tree, project_shape(), &axis.entry, *si)
            .map_err(|error| format!("{}: {error}", axis.path))?;
    }
    Ok(tree)
}
