//! Architectures side by side, each at its own lightest design.

use super::options::{OptimumOptions, Progress};
use super::result::OptimumStudy;
use super::sizing::size_all;
use crate::StudyError;
use aircraft::variant::BASE;
use model::design;
use schema::{Node, Problem, Problems};
use std::sync::atomic::AtomicBool;

/// One architecture.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Variant, or `base`.
    pub variant: String,
    /// At its lightest.
    pub whole: OptimumStudy,
}

/// Architectures in the order asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// One row for each.
    pub rows: Vec<Compared>,
}

/// Sizes each variant of a project as a whole; `node` is the tree without a variant. `progress` is told the number of the variant and how
/// far it is.
///
/// # Errors
/// [`StudyError::Project`] for an unknown variant or one that contradicts the project; those of [`size_all`].
pub fn compare(
    node: &Node,
    variants: &[String],
    options: &OptimumOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize, Progress) + Sync,
) -> Result<Comparison, StudyError> {
    let mut rows = Vec::new();
    for (number, name) in variants.iter().enumerate() {
        let wanted = (name != BASE).then_some(name.as_str());
        let varied = design::apply(node, wanted).map_err(|problems| first(&problems))?;
        let whole = size_all(&varied.project, options, cancel, |how_far| progress(number, how_far))?;
        if !whole.is_whole() {
            return Err(StudyError::Cancelled);
        }
        rows.push(Compared { variant: varied.name, whole });
    }
    Ok(Comparison { rows })
}

fn first(problems: &Problems) -> StudyError {
    let nothing = || Problem::error("variants", "the variant cannot be made", "check it");
    StudyError::Project(Box::new(problems.iter().next().cloned().unwrap_or_else(nothing)))
}
