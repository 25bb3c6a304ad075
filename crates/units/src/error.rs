//! Why a text is not the quantity that is wanted.

use crate::kind::Kind;
use crate::menu;
use thiserror::Error;

/// Why a text is not a quantity of the wanted kind. Every message ends in what to write.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum UnitError {
    /// No number where one should stand.
    #[error("{text:?} does not begin with a number: write {example}")]
    NotANumber {
        /// Text as typed.
        text: String,
        /// A quantity that would be read.
        example: String,
    },
    /// A comma where a point should stand.
    #[error("{text:?} has a comma: write {suggestion} with a point")]
    DecimalComma {
        /// Text as typed.
        text: String,
        /// The text with a point.
        suggestion: String,
    },
    /// More than one number, or a number in a form that is not read: a range, a fraction, separators.
    #[error("{text:?} is not one number with one unit: write {remedy}")]
    NotOneNumber {
        /// Text as typed.
        text: String,
        /// How to write it.
        remedy: String,
    },
    /// NaN, infinity, or a number too large.
    #[error("{text:?} is not a finite number: write {example}")]
    NotFinite {
        /// Text as typed.
        text: String,
        /// A quantity that would be read.
        example: String,
    },
    /// A number without a unit.
    #[error("{text:?} has no unit, {} is expected: write {example}", expected.with_article())]
    MissingUnit {
        /// Text as typed.
        text: String,
        /// Wanted kind.
        expected: Kind,
        /// The number with a unit.
        example: String,
    },
    /// A unit nobody knows.
    #[error("{unit:?} is not a known unit, {} is expected: write {suggestion}", expected.with_article())]
    UnknownUnit {
        /// Unit as typed.
        unit: String,
        /// Wanted kind.
        expected: Kind,
        /// The number with what may have been meant, or with units of the kind.
        suggestion: String,
    },
    /// A unit of another kind.
    #[error("{text:?} is {}, {} is expected: write {example}", found_in_words(*found), expected.with_article())]
    WrongKind {
        /// Text as typed.
        text: String,
        /// Kind of the unit, if it has a name.
        found: Option<Kind>,
        /// Wanted kind.
        expected: Kind,
        /// The number with units that would be read.
        example: String,
    },
    /// A unit used for absolute and gauge pressure alike.
    #[error("{text:?} may be gauge or absolute: write {example}")]
    Ambiguous {
        /// Text as typed.
        text: String,
        /// Both readings.
        example: String,
    },
    /// An absolute pressure below vacuum.
    #[error("{text:?} lies below vacuum, an absolute pressure is expected: write the pressure above vacuum")]
    BelowVacuum {
        /// Text as typed.
        text: String,
    },
    /// A temperature below absolute zero.
    #[error("{text:?} lies below absolute zero: write a temperature above -273.15 degC")]
    BelowAbsoluteZero {
        /// Text as typed.
        text: String,
    },
}

fn found_in_words(kind: Option<Kind>) -> String {
    kind.map_or_else(|| "of another dimension".to_owned(), Kind::with_article)
}

/// `number` with up to three units of a kind: "12 degC, 12 K or 12 degF".
pub(crate) fn examples(number: &str, kind: Kind) -> String {
    let number = if number.is_empty() { "12" } else { number };
    if kind == Kind::Ratio {
        return format!("{number} or {number} %");
    }
    let shown: Vec<String> =
        menu::names(kind).iter().take(3).map(|unit| format!("{number} {unit}")).collect();
    match shown.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => number.to_owned(),
    }
}
