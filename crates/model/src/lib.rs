//! The aircraft by name, and its assembly into a network.

pub mod schema;
