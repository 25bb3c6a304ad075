//! Losses of motors, inverters, gearboxes, cells and packs, the power that flows through them and the power that flight asks for.
//!
//! Every device is known at one of three levels: a fixed value, a measured law (table, power law, polynomial,
//! efficiency) or its parameters with a handbook relation. Equations and sources: `docs/theory/powertrain.md`, `flight.md` and `charge.md` beside it.
//!
//! Invariant: no names, no unit conversion, no files, no threads. Plain data in SI units with the unit in the
//! name; every quantity a network solver solves for is a [`numerics::Scalar`], so that exact derivatives come out.
//! All laws are finite, with finite slope, at zero torque, speed and current; nothing is allocated while evaluating.
//!
//! Signs: shaft power is positive when the machine drives, current is positive on discharge, heat is positive into
//! the device. Losses do not depend on the direction of torque or rotation unless a table says so.

pub mod cell;
pub mod charge;
pub mod conductor;
pub mod converter;
pub mod derate;
mod error;
pub mod flight;
pub mod gearbox;
pub mod inverter;
pub mod loss;
pub mod motor;
pub mod pack;
pub mod rating;
pub mod sharing;
mod smooth;

pub use error::InputError;
