//! The page Ledger: the heat balance of the shown case, kept like an account.

mod data;
mod paint;

pub use data::{HeatBook, LedgerData, LedgerItem};
pub use paint::ledger_ui;
