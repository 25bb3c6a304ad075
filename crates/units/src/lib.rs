//! Quantities: parse, format and convert text with a unit.
//!
//! # Invariant
//! No physics, no I/O. The text typed is the text kept; conversion rounds once, in the last step.

mod atoms;
mod dimension;
mod double_double;
mod error;
mod expression;
mod kind;
mod known;
mod menu;
mod number;
mod quantity;
mod step;
mod suggest;
mod unit;

pub use error::UnitError;
pub use kind::Kind;
pub use menu::{System, UnitName, preferred_unit, reference_table, units_of};
pub use quantity::{Quantity, converter, format_si, to_unit};
pub use step::{StepSize, stepped};
