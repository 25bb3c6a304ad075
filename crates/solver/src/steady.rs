//! The steady state: damped Newton steps with the flows solved inside, pseudo-transient continuation where they do
//! not settle, and a check that the state found is a stable one.
//!
//! With losses that grow with temperature, the heat balance may have a root that no real machine would ever reach,
//! such as one below the ambient temperature. A root with a loop gain above one is therefore refused; one that disturbances leave
//! for another reason, such as a film between laminar and turbulent, is marked.

mod continuation;
mod newton;
mod options;
mod rest;
mod solution;
mod solve;
mod solver;

pub use options::{Statistics, SteadyOptions};
pub use solution::Solution;
pub use solver::SteadySolver;
