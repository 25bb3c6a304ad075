//! What moves the margin of the chosen cell, below the grid of margins.

mod data;
mod paint;

pub use data::{LeverData, LeverRow};
pub use paint::{HEIGHT, levers_ui};
