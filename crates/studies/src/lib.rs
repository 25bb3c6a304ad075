//! Studies made of many solves: the cases of a project and the margins over all of them.
//!
//! # Invariant
//! Knows nothing of the file format. Owns parallelism and the cancel flag: cases are solved on all cores and come back in the
//! order of the project, with the same bits on any number of threads.

pub mod budget;
pub mod chains;
mod cores;
mod error;
pub mod failures;
mod filling;
pub mod infeasible;
pub mod levers;
mod limit_name;
mod margins;
pub mod missions;
pub mod oat_limit;
pub mod optimum;
pub mod power;
pub mod size;
mod solving;
pub mod spread;
pub mod sweep;
pub mod turnaround;
pub mod uncooled;
pub mod variants;

#[cfg(test)]
mod cancel_tests;
#[cfg(test)]
mod tests;

pub use cores::{leave_a_core, on_all_cores};
pub use error::StudyError;
pub use filling::{Filling, InCase, filling};
pub use margins::{CaseMargin, all_margins, margins, standing};
pub use solving::{chosen, solve, solve_each, wanted_names};
