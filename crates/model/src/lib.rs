//! The aircraft by name, and its assembly into a network.
