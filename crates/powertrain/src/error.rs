//! What can be wrong with the data of a device.

use numerics::CurveError;
use thiserror::Error;

/// Data that cannot describe a device.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum InputError {
    /// A number breaks the rule for its quantity.
    #[error("{what} is {value}, it must be {rule}")]
    Value {
        /// The quantity, with its unit.
        what: &'static str,
        /// The number given.
        value: f64,
        /// What would be accepted.
        rule: &'static str,
    },
    /// A measured table is not usable.
    #[error("{what}: {source}")]
    Table {
        /// The table.
        what: &'static str,
        /// What is wrong with it.
        source: CurveError,
    },
    /// A list that needs at least one entry is empty.
    #[error("{0}: at least one entry is needed")]
    Empty(&'static str),
    /// Loss fractions that do not add up to one.
    #[error("the parts of the loss add up to {0}, they must add up to 1")]
    SplitSum(f64),
    /// A resistance measured with alternating current holds only the ohmic part of what a discharge meets.
    #[error(
        "a cell resistance measured at 1 kHz alternating current is 50-80 % of the direct-current value and gives too little heat; \
         give the direct-current pulse resistance with its pulse length"
    )]
    AlternatingCurrentResistance,
}

/// Refuses a number that breaks a rule; NaN breaks every rule.
fn require(good: bool, what: &'static str, value: f64, rule: &'static str) -> Result<(), InputError> {
    if good && value.is_finite() { Ok(()) } else { Err(InputError::Value { what, value, rule }) }
}

pub(crate) fn finite(what: &'static str, value: f64) -> Result<(), InputError> {
    require(true, what, value, "a finite number")
}

pub(crate) fn positive(what: &'static str, value: f64) -> Result<(), InputError> {
    require(value > 0.0, what, value, "greater than 0")
}

pub(crate) fn not_negative(what: &'static str, value: f64) -> Result<(), InputError> {
    require(value >= 0.0, what, value, "0 or greater")
}

pub(crate) fn fraction(what: &'static str, value: f64) -> Result<(), InputError> {
    require((0.0..=1.0).contains(&value), what, value, "between 0 and 1")
}

/// An efficiency: above 0, at most 1.
pub(crate) fn efficiency(what: &'static str, value: f64) -> Result<(), InputError> {
    require(value > 0.0 && value <= 1.0, what, value, "greater than 0 and at most 1")
}

/// An exponent of a speed or load law: at least 1, so that the slope at rest is finite.
pub(crate) fn exponent(what: &'static str, value: f64) -> Result<(), InputError> {
    require((1.0..=6.0).contains(&value), what, value, "between 1 and 6")
}
