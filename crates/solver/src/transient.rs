//! Temperatures over time: stiff implicit steps of order 4 with error control, exact stops, located events.
//!
//! A run is a sequence of [`Stretch`]es. Inside a stretch every number of the network is constant or changes linearly in
//! time; a jump is simply the next stretch. Flows and electrical unknowns are algebraic unknowns of the same system.
//! Switches with hysteresis ([`Signal::Switched`](crate::Signal::Switched)) and watched thresholds are found on the dense output
//! and end a step.

mod accepted;
mod balance;
mod bounds;
mod dense;
mod energy;
mod follow;
mod options;
mod rodas;
mod settle;
mod state;
mod step;
mod step_control;
mod stretch;
mod switches;
mod trickle;
mod watch;

#[cfg(test)]
mod idle_ducts;
#[cfg(test)]
mod tests;

pub use accepted::{HeatOverTime, Step};
pub use options::{SOFT_CAPACITY_J_K, TransientOptions, TransientStatistics};
pub use state::Transient;
pub use stretch::{Ended, Stretch, Wish};
pub use switches::Switching;
pub use watch::{Direction, Watch, Watched};
