//! The page Margins: every limit in every case, worst first.

mod data;
mod layout;
mod paint;

pub use data::{CursorStep, MarginCell, MarginEntry, MarginFilter, MarginGrid, MarginRow};
pub use layout::GridLayout;
pub use paint::margins_ui;
