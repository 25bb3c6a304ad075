//! Closed-form networks, ledger, outcomes.

mod closed_form;
mod outcomes;
mod random;
