//! Limits of physical sense, declared beside a field: `where positive`, `where fraction`.

use units::Quantity;

/// What a value must keep to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rule {
    /// Above zero.
    Positive,
    /// Zero or more.
    AtLeastZero,
    /// From 0 to 1.
    Fraction,
    /// At least this, in the SI unit of the field.
    AtLeast(f64),
    /// At most this, in the SI unit of the field.
    AtMost(f64),
    /// Above this, in the SI unit of the field.
    Above(f64),
    /// Below this, in the SI unit of the field.
    Below(f64),
    /// First values of a curve are zero or more.
    OverZeroUp,
    /// First values of a curve lie between 0 and 1.
    OverFraction,
    /// Values of a list, or second values of a curve, rise from point to point.
    Rising,
    /// Values of a list, or second values of a curve, fall from point to point.
    Falling,
    /// A list or text that must hold something.
    NotEmpty,
    /// The text is the name of something of this sort.
    Refers(&'static str),
}

/// Turns the words after `where` into a [`Rule`].
#[doc(hidden)]
#[macro_export]
macro_rules! __rule {
    (positive) => {
        $crate::Rule::Positive
    };
    (at_least_zero) => {
        $crate::Rule::AtLeastZero
    };
    (fraction) => {
        $crate::Rule::Fraction
    };
    (at_least $value:literal) => {
        $crate::Rule::AtLeast($value)
    };
    (at_most $value:literal) => {
        $crate::Rule::AtMost($value)
    };
    (above $value:literal) => {
        $crate::Rule::Above($value)
    };
    (below $value:literal) => {
        $crate::Rule::Below($value)
    };
    (over_zero_up) => {
        $crate::Rule::OverZeroUp
    };
    (over_fraction) => {
        $crate::Rule::OverFraction
    };
    (rising) => {
        $crate::Rule::Rising
    };
    (falling) => {
        $crate::Rule::Falling
    };
    (not_empty) => {
        $crate::Rule::NotEmpty
    };
    (refers $what:literal) => {
        $crate::Rule::Refers($what)
    };
}

impl Rule {
    /// The requirement that a value breaks, if it breaks one; bounds are shown by `show`.
    fn broken_by(self, value: f64, show: impl Fn(f64) -> String) -> Option<String> {
        let (kept, need) = match self {
            Self::Positive => (value > 0.0, "above zero".to_owned()),
            Self::AtLeastZero => (value >= 0.0, "zero or more".to_owned()),
            Self::Fraction => ((0.0..=1.0).contains(&value), "from 0 to 1 (0 % to 100 %)".to_owned()),
            Self::AtLeast(bound) => (value >= bound, format!("at least {}", show(bound))),
            Self::AtMost(bound) => (value <= bound, format!("at most {}", show(bound))),
            Self::Above(bound) => (value > bound, format!("above {}", show(bound))),
            Self::Below(bound) => (value < bound, format!("below {}", show(bound))),
            Self::OverZeroUp
            | Self::OverFraction
            | Self::Rising
            | Self::Falling
            | Self::NotEmpty
            | Self::Refers(_) => return None,
        };
        (!kept).then_some(need)
    }

    /// Message and remedy if a quantity breaks the rule.
    pub(crate) fn check_quantity(self, quantity: &Quantity) -> Option<(String, String)> {
        let need =
            self.broken_by(quantity.si(), |bound| Quantity::from_si_like(bound, quantity).text().to_owned())?;
        let kind = quantity.kind().name();
        Some((format!("{:?} makes no sense here", quantity.text()), format!("give a {kind} {need}")))
    }

    /// Message and remedy if a bare number breaks the rule.
    pub(crate) fn check_number(self, value: f64) -> Option<(String, String)> {
        let need = self.broken_by(value, |bound| bound.to_string())?;
        Some((format!("{value} makes no sense here"), format!("give a number {need}")))
    }

    /// The rule that the first values of a curve must keep, if this is one for them.
    pub(crate) fn over(self) -> Option<Self> {
        match self {
            Self::OverZeroUp => Some(Self::AtLeastZero),
            Self::OverFraction => Some(Self::Fraction),
            _ => None,
        }
    }

    /// Number of the first of `values` that does not rise or fall, with the direction asked for.
    pub(crate) fn check_order(self, values: &[f64]) -> Option<(usize, &'static str)> {
        let (in_order, direction): (fn(f64, f64) -> bool, _) = match self {
            Self::Rising => (|a, b| b > a, "rise"),
            Self::Falling => (|a, b| b < a, "fall"),
            _ => return None,
        };
        let at = values.windows(2).position(|pair| !in_order(pair[0], pair[1]))?;
        Some((at + 1, direction))
    }

    /// The rule in words, for the documentation; empty if there is nothing to say.
    pub fn words(self) -> String {
        match self {
            Self::Positive => "above zero".to_owned(),
            Self::AtLeastZero => "zero or more".to_owned(),
            Self::Fraction => "0 to 1".to_owned(),
            Self::AtLeast(bound) => format!("at least {bound} in SI"),
            Self::AtMost(bound) => format!("at most {bound} in SI"),
            Self::Above(bound) => format!("above {bound} in SI"),
            Self::Below(bound) => format!("below {bound} in SI"),
            Self::OverZeroUp => "over zero and more".to_owned(),
            Self::OverFraction => "over 0 to 1".to_owned(),
            Self::Rising => "rising".to_owned(),
            Self::Falling => "falling".to_owned(),
            Self::NotEmpty => "not empty".to_owned(),
            Self::Refers(what) => format!("name of a {what}"),
        }
    }
}
