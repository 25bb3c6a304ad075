//! Sweeps: one or more inputs over a grid, and what is watched at every point of it.
//!
//! Every point is a project of its own: the inputs are set and it is validated as a file is, and its cases are solved from the states of
//! the project as it stands, or from scratch where that has none. So a point has the same bits on any number of threads and in any
//! shard. The first axis varies slowest.

mod axis;
mod maker;
mod needed;
mod read;
mod row;
mod study;
mod watch;

#[cfg(test)]
mod tests;

use crate::StudyError;
use aircraft::records::project::Project;
use maker::{Maker, can_be_moved, is_worth_moving, without_variants};
use model::design;
use rayon::prelude::*;
use schema::Node;
use std::collections::HashMap;
use std::ops::Range;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use study::Study;

pub use axis::{Axis, SweepError};
pub use needed::Absence;
pub use row::Row;
pub use watch::{Watch, watches};

/// Points a sweep may have.
pub const MAX_POINTS: usize = 10_000_000;

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

/// A sweep that was run.
#[derive(Clone, Debug, PartialEq)]
pub struct Sweep {
    /// Inputs.
    pub axes: Vec<Axis>,
    /// What was watched.
    pub watched: Vec<Watch>,
    /// Points of the whole grid, of all shards together.
    pub points: usize,
    /// Points of the shard, in order.
    pub rows: Vec<Row>,
}

/// Number of points of a grid.
///
/// # Errors
/// [`SweepError::TooMany`] above [`MAX_POINTS`], [`SweepError::Repeated`] for an input that is set twice.
pub fn points(axes: &[Axis]) -> Result<usize, SweepError> {
    if let Some(axis) = axes.iter().enumerate().find(|(n, a)| axes[..*n].iter().any(|b| b.path == a.path)) {
        return Err(SweepError::Repeated { path: axis.1.path.clone() });
    }
    axes.iter()
        .try_fold(1_usize, |all, axis| all.checked_mul(axis.steps()).filter(|all| *all <= MAX_POINTS))
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
    let points = points(axes)?;
    let range = shard.range(points);
    // a project that is only valid at the points has no states to begin with
    let base = design::decode(node).ok();
    if let Some(base) = &base {
        crate::solving::validate_names(base, chosen)?;
    }
    let watch = |base: &Project| read::linearizations(base, watched, chosen, cancel);
    let linearizations = base.as_ref().map_or_else(Vec::new, watch);
    let absent = base.as_ref().map_or_else(Vec::new, |base| read::absent(node, base, watched));
    let maker = Maker {
        node,
        axes,
        cases: chosen,
        moved: base
            .filter(|_| is_worth_moving(axes, range.len()) && can_be_moved(node, axes))
            .map(without_variants),
    };
    let study = Study { maker, watched, linearizations, boundaries: HashMap::new(), absent, cancel };
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
    Ok(Sweep { axes: axes.to_vec(), watched: watched.to_vec(), points, rows: rows? })
}
