//! The aircraft by name, and its assembly into a network.
//!
//! # Invariant
//! No file format (a [`schema::Node`] is a generic tree, not text), no threads, no I/O. Named aircraft in, named results out.
//!
//! # Way through
//! [`design`] decodes the designs of a project and checks them in full: the records of [`aircraft`] with [`validate`] on top, which finds
//! what only shows when a case is put together. [`cases`] lists the cases; [`assembly`] numbers one of them; [`case`] solves a steady
//! point and names the results; [`mission`] flies.

pub mod assembly;
pub mod budget;
pub mod case;
pub mod case_name;
pub mod cases;
pub mod curves;
pub mod cushion_range;
pub mod design;
pub mod duty;
pub mod estimate;
pub mod evidence;
pub mod height;
pub mod levels;
pub mod margin;
pub mod mission;
pub mod outside;
pub mod pressure;
pub mod pressure_trouble;
pub mod pump_inlet;
pub mod rating;
pub mod result;
pub mod shaft;
pub mod standing;
pub mod validate;
pub mod validity;

#[cfg(test)]
mod tests;
