//! Fixtures, tolerances and the reader of reference tables, for tests only.
//!
//! A reference table is a CSV file under `tests/data`: inputs by named column (the unit in the name), one
//! `expected` value with its `unit`, one of `rel_tol` and `abs_tol`, and the `source` of the value. Everything here
//! panics with a readable message, because its callers are tests; and it refuses to pass a check that looked at
//! nothing (no such column, no such row, no number).
//!
//! ```
//! let mut worst = testkit::Worst::new();
//! for row in testkit::table("friction_factor.csv").select("relation", "laminar_64_over_Re") {
//!     worst.check(row, 64.0 / row.number("reynolds"));
//! }
//! worst.finish(1);
//! ```

mod random_project;
mod row;
mod table;
mod worst;

pub use random_project::{WORDS, random_project};
pub use row::Row;
pub use table::{Table, data_path, table};
pub use worst::{TableSummary, Worst};

/// Asserts that two numbers agree within a relative tolerance, of the larger magnitude.
///
/// # Panics
/// When they differ by more, or when one is not a finite number; `what` opens the message.
#[track_caller]
pub fn assert_close(what: &str, computed: f64, expected: f64, relative: f64) {
    let allowed = relative * computed.abs().max(expected.abs());
    assert!(
        computed.is_finite() && (computed - expected).abs() <= allowed,
        "{what}: computed {computed}, expected {expected} within {relative} of it, off by {}",
        computed - expected
    );
}

/// Asserts that two numbers agree within an absolute tolerance, in their own unit.
///
/// # Panics
/// When they differ by more, or when one is not a finite number; `what` opens the message.
#[track_caller]
pub fn assert_within(what: &str, computed: f64, expected: f64, allowed: f64) {
    assert!(
        computed.is_finite() && (computed - expected).abs() <= allowed,
        "{what}: computed {computed}, expected {expected} +- {allowed}, off by {}",
        computed - expected
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn close_and_within_accept_the_edge() {
        assert_close("edge", 101.0, 100.0, 0.01);
        assert_within("edge", 101.0, 100.0, 1.0);
    }

    #[test]
    fn not_a_number_is_never_close() {
        assert!(message_of(|| assert_close("nan", f64::NAN, 1.0, 1.0)).contains("off by"));
        assert!(message_of(|| assert_within("nan", f64::NAN, 1.0, 1.0)).contains("off by"));
    }

    /// The message with which a failing check ends, or an empty text when it passes.
    pub(crate) fn message_of(check: impl FnOnce() + std::panic::UnwindSafe) -> String {
        match std::panic::catch_unwind(check) {
            Ok(()) => String::new(),
            Err(payload) => payload.downcast_ref::<String>().cloned().unwrap_or_default(),
        }
    }
}
