//! The page Temperatures: every component against its limits in the shown case.

mod data;
mod paint;

pub use data::{TemperatureRow, TemperatureTable};
pub use paint::temperatures_ui;
