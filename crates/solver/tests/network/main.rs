//! Closed-form networks, ledger, outcomes.
#![expect(clippy::unwrap_used, reason = "a helper of a test may fail like the test itself")]

mod closed_form;
mod measured;
mod outcomes;
mod random;
mod shut_path;
