//! The page Failures: how long a single failure leaves, what the pilot does, and at which temperatures to warn.

mod data;
mod paint;

pub use data::{Alert, FailureRow, FailuresData, PeakUntilTouchdown};
pub use paint::failures_ui;
