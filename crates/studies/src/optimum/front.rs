//! Mass against margin: the lightest designs that leave more and more over every required margin.

use super::options::{OptimumOptions, Progress};
use super::result::OptimumStudy;
use super::sizing::size_from;
use crate::StudyError;
use aircraft::records::project::Project;
use std::sync::atomic::AtomicBool;

/// A design of the front: no design that leaves as much over is lighter, as far as the search can tell.
#[derive(Clone, Debug, PartialEq)]
pub struct FrontPoint {
    /// What is left over the required margin of every temperature that sizes move, K.
    pub left_over_k: f64,
    /// The lightest design that leaves it.
    pub whole: OptimumStudy,
}

/// Sizes an aircraft for each of several reserves, in the order given: the first from all starts, every other from the design of the one
/// before and its neighbours (from all starts if that had none). `progress` is told the number of the point and how far it is.
///
/// # Errors
/// As [`super::size_all`].
pub fn front(
    project: &Project,
    left_over_k: &[f64],
    options: &OptimumOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize, Progress) + Sync,
) -> Result<Vec<FrontPoint>, StudyError> {
    let mut points = Vec::new();
    let mut before = None;
    for (number, &left_over_k) in left_over_k.iter().enumerate() {
        let options = OptimumOptions { left_over_k, ..options.clone() };
        let told = |how_far| progress(number, how_far);
        let (whole, design) = size_from(project, &options, before.as_ref(), cancel, &told)?;
        if !whole.is_whole() {
            return Err(StudyError::Cancelled);
        }
        points.push(FrontPoint { left_over_k, whole });
        before = design;
    }
    Ok(points)
}
