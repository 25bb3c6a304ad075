//! The page Margins: every limit in every case, worst first.

mod data;
mod layout;
mod paint;

pub use data::{MarginCell, MarginEntry, MarginFilter, MarginGrid, MarginRow, Step};
pub use layout::GridLayout;
pub use paint::margins_ui;
