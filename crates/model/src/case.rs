//! Solves one case and names its results.

mod charge;
mod circuits;
mod drive;
mod failed;
mod instant;
mod limit_cycle;
mod named;
mod naming;
mod near;
mod notices;
mod ranges;
mod rerated;
mod result;
mod solve;
mod transition;

pub(crate) use instant::{AtInstant, failed};
pub use near::Linearization;
pub use notices::DISSOLVED_AIR;
pub(crate) use notices::standing_notices;
pub use solve::{Beside, solve, solve_assembled};
pub use transition::{COLD_WALL, COLD_WALL_KIND, DECIDES_BELOW_K, TRANSITION};
