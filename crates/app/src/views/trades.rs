//! The page Trades: a question about the design, and its answer as curves and tables.

mod answer;
mod data;
mod form;
mod paint;
mod pick;

pub use data::TradesData;
pub use form::{AxisForm, TradesForm};
pub use paint::{TradesState, trades_ui};
