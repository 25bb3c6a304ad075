//! The stretch of an input over which a relation was fitted or derived.

/// A closed interval of validity; an end may be infinite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Range {
    /// The interval from `low` to `high`, both included.
    pub const fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// Whether the value lies inside; NaN never does.
    pub fn contains(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}
