//! Mathematics shared by the physics crates.
//!
//! Invariant: no physics, no units, no I/O, no threads. Everything is generic over [`Scalar`] where
//! a derivative may be wanted, so that one piece of code gives values and exact derivatives.

mod blend;
mod curve;
mod grid;
mod root;
mod scalar;

pub use blend::{blend, clamp_smooth, hold, ramp, smoothstep, soft_positive};
pub use curve::{Curve, CurveError, Interpolation, Surface};
pub use grid::Grid;
pub use root::{Bracketed, NoBracket, root_rising};
pub use scalar::{Scalar, constant};
