//! Checks of the reports against hand calculations and tables.

mod explanations;
mod histories;
mod sheets;
