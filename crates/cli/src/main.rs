//! The one binary of Heatledger.

fn main() {}
