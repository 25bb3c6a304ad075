//! The aircraft as a project describes it: records by name, variants, structural edits, measured tables, and a starter for new ones.
//!
//! # Invariant
//! Nothing is put together and nothing is solved. Pure, without files.
//!
//! # Way through
//! [`records`] declares everything that a project may hold; [`variant`] applies named changes to the tree before it is decoded;
//! [`check`] tells what is wrong with
//! names and values; [`revise`] renames, copies, moves, adds and removes things; [`tables`] edits measured tables as grids; [`starter`] writes the tree of
//! a new aircraft.

pub mod check;
pub mod records;
pub mod revise;
pub mod stages;
pub mod starter;
pub mod tables;
pub mod variant;
