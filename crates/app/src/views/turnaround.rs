//! The page Turnaround: from landing to ready for take-off, each way of getting there.

mod data;
mod layout;
mod paint;

pub use data::{Departure, Phase, PhaseSpan, TurnaroundData, TurnaroundOption, WaitCell, WaitTable};
pub use layout::{Bar, bars, longest_s};
pub use paint::turnaround_ui;
