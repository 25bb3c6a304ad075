//! What stands in a cell.

use model::standing::Standing;
use units::Kind;

/// A value at full precision, in SI; or none.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Cell {
    /// There is no value: it does not apply, or is not known.
    #[default]
    Absent,
    /// A number in the SI unit of its column. One that is not finite is kept as it is.
    Number(f64),
    /// A number of its own kind, in SI, where the rows of a column differ in kind.
    Own(Kind, f64),
    /// A time or duration, s.
    Time(f64),
    /// A text; may be empty, which is not the same as absent.
    Text(String),
    /// Yes or no.
    Flag(bool),
    /// How a margin or a case stands.
    Standing(Standing),
}

impl Cell {
    /// A text that says nothing when it is empty.
    pub fn said(text: impl Into<String>) -> Self {
        let text = text.into();
        if text.is_empty() { Self::Absent } else { Self::Text(text) }
    }

    /// A time, or none.
    pub fn time(time_s: impl Into<Option<f64>>) -> Self {
        time_s.into().map_or(Self::Absent, Self::Time)
    }

    /// A number if it is finite, else absent: for results in which what is not finite means that there is none.
    pub fn finite(value: f64) -> Self {
        if value.is_finite() { Self::Number(value) } else { Self::Absent }
    }

    /// A count.
    pub fn count(count: usize) -> Self {
        Self::Number(count as f64)
    }
}

impl From<f64> for Cell {
    fn from(value: f64) -> Self {
        Self::Number(value)
    }
}

impl From<Standing> for Cell {
    fn from(standing: Standing) -> Self {
        Self::Standing(standing)
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&String> for Cell {
    fn from(text: &String) -> Self {
        Self::Text(text.clone())
    }
}

impl From<bool> for Cell {
    fn from(flag: bool) -> Self {
        Self::Flag(flag)
    }
}

impl<T: Into<Self>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Absent, Into::into)
    }
}
