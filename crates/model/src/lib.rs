//! The aircraft by name, and its assembly into a network.
//!
//! # Invariant
//! No file format (a [`schema::Node`] is a generic tree, not text), no threads, no I/O. Named aircraft in, named results out.
//!
//! # Way through
//! [`schema`] decodes a tree into the records of [`aircraft`]; [`variant`] applies named changes to the tree before that;
//! [`validate`] checks what types cannot; [`assembly`] numbers one case; [`case`] solves it and names the results.

pub mod assembly;
pub mod book;
pub mod case;
pub mod case_name;
pub mod cases;
pub mod curves;
pub mod design;
pub mod duty;
pub mod levels;
pub mod margin;
pub mod mission;
pub mod pressure;
pub mod rating;
pub mod result;
pub mod validate;
pub mod validity;

#[cfg(test)]
mod tests;
