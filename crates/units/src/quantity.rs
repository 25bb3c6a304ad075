//! A number with the unit its author typed.

use crate::atoms::Role;
use crate::dimension::Dimension;
use crate::double_double::DoubleDouble;
use crate::error::{UnitError, examples};
use crate::expression::{self, Expression};
use crate::kind::Kind;
use crate::{menu, number};
use std::fmt;

/// A number with the unit its author typed; the text is kept exactly.
#[derive(Clone, Debug)]
pub struct Quantity {
    text: String,
    unit: String,
    number: f64,
    si: f64,
    kind: Kind,
}

impl PartialEq for Quantity {
    fn eq(&self, other: &Self) -> bool {
        self.kind == other.kind && self.text == other.text
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl Quantity {
    /// Reads a text as a quantity of the wanted kind.
    ///
    /// # Errors
    /// [`UnitError`] says what is wrong and what to write.
    ///
    /// # Examples
    /// ```
    /// use units::{Kind, Quantity};
    /// let flow = Quantity::parse("12 L/min", Kind::VolumeFlow)?;
    /// assert_eq!(flow.si(), 0.0002);
    /// assert_eq!(flow.text(), "12 L/min");
    /// assert!(Quantity::parse("12 L", Kind::VolumeFlow).is_err());
    /// # Ok::<(), units::UnitError>(())
    /// ```
    pub fn parse(text: &str, kind: Kind) -> Result<Self, UnitError> {
        let trimmed = text.trim();
        let (digits, unit) = match trimmed.strip_prefix("FL") {
            // a flight level is written before its number
            Some(level) if kind == Kind::Length => (level.trim(), "FL"),
            _ => {
                let (digits, rest) = number::split(trimmed);
                (digits, rest.trim())
            }
        };
        let value = read_number(trimmed, digits, unit, kind)?;
        let parsed = Unit::of(unit, kind, trimmed, digits)?;
        let si = parsed.to_si(value).value();
        if !si.is_finite() {
            return Err(UnitError::NotFinite { text: trimmed.to_owned(), example: examples("", kind) });
        }
        if matches!(kind, Kind::Temperature | Kind::AbsolutePressure) && si < 0.0 {
            return Err(if kind == Kind::Temperature {
                UnitError::BelowAbsoluteZero { text: trimmed.to_owned() }
            } else {
                UnitError::WrongKind {
                    text: trimmed.to_owned(),
                    found: None,
                    expected: kind,
                    example: examples("101.3", kind),
                }
            });
        }
        Ok(Self { text: text.to_owned(), unit: unit.to_owned(), number: value.value(), si, kind })
    }

    /// The quantity of a value in SI, written in a unit with the fewest digits that read back to the same value.
    ///
    /// # Errors
    /// [`UnitError`] if the unit does not belong to the kind, or the value is not finite.
    pub fn from_si(si: f64, kind: Kind, unit: &str) -> Result<Self, UnitError> {
        let unit = unit.trim();
        let parsed = Unit::of(unit, kind, unit, "1")?;
        if !si.is_finite() {
            return Err(UnitError::NotFinite { text: si.to_string(), example: examples("", kind) });
        }
        let shown = parsed.typed(DoubleDouble::from_f64(si)).value();
        let digits = number::shortest(shown, |rounded| {
            number::read(&rounded.to_string()).is_some_and(|exact| parsed.to_si(exact).value() == si)
        });
        let text = match unit {
            "" => digits,
            "FL" => format!("FL{digits}"),
            _ => format!("{digits} {unit}"),
        };
        Self::parse(&text, kind)
    }

    /// The quantity of a value in SI, written in the unit of another quantity.
    #[must_use]
    pub fn from_si_like(si: f64, like: &Self) -> Self {
        Self::from_si(si, like.kind, &like.unit).unwrap_or_else(|_not_finite| like.clone())
    }

    /// Value in the SI unit of the kind: K, Pa, m3/s, W ...
    pub fn si(&self) -> f64 {
        self.si
    }

    /// Kind.
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// Text exactly as typed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Unit as typed; empty for a bare ratio.
    pub fn unit(&self) -> &str {
        &self.unit
    }

    /// Number in the typed unit.
    pub fn number(&self) -> f64 {
        self.number
    }
}

fn read_number(text: &str, digits: &str, unit: &str, kind: Kind) -> Result<DoubleDouble, UnitError> {
    let lower = text.trim_start_matches(['+', '-']).to_ascii_lowercase();
    if lower.starts_with("nan") || lower.starts_with("inf") {
        return Err(UnitError::NotFinite { text: text.to_owned(), example: examples("", kind) });
    }
    if unit.starts_with(',') && !digits.is_empty() {
        return Err(UnitError::DecimalComma {
            text: text.to_owned(),
            suggestion: text.replacen(',', ".", 1),
        });
    }
    let value = number::read(digits)
        .ok_or_else(|| UnitError::NotANumber { text: text.to_owned(), example: examples("", kind) })?;
    if value.value().is_finite() {
        Ok(value)
    } else {
        Err(UnitError::NotFinite { text: text.to_owned(), example: examples("", kind) })
    }
}

/// A unit that was found to belong to a kind.
struct Unit {
    size: DoubleDouble,
    /// Zero of a temperature scale, in its own degrees.
    zero: DoubleDouble,
}

impl Unit {
    fn of(unit: &str, kind: Kind, text: &str, digits: &str) -> Result<Self, UnitError> {
        if unit.is_empty() {
            return if kind == Kind::Ratio {
                Ok(Self { size: DoubleDouble::ONE, zero: DoubleDouble::ZERO })
            } else {
                let example = examples(digits, kind);
                Err(UnitError::MissingUnit { text: text.to_owned(), expected: kind, example })
            };
        }
        let Ok(read) = expression::read(unit) else {
            return Err(UnitError::UnknownUnit {
                unit: unit.to_owned(),
                expected: kind,
                suggestion: format!("{digits} {}", nearest(unit, kind)),
            });
        };
        match suits(&read, kind) {
            Suit::Yes => Ok(Self { size: read.size, zero: zero(&read, kind) }),
            Suit::Ambiguous => Err(UnitError::Ambiguous {
                text: text.to_owned(),
                example: format!("{digits} {unit}a for absolute, {digits} {unit}g for gauge"),
            }),
            Suit::No => Err(UnitError::WrongKind {
                text: text.to_owned(),
                found: kind_of(&read),
                expected: kind,
                example: examples(digits, kind),
            }),
        }
    }

    fn to_si(&self, number: DoubleDouble) -> DoubleDouble {
        (number + self.zero) * self.size
    }

    fn typed(&self, si: DoubleDouble) -> DoubleDouble {
        si / self.size + -self.zero
    }
}

fn zero(unit: &Expression, kind: Kind) -> DoubleDouble {
    match (kind, unit.single().map(|named| named.atom.role)) {
        (Kind::Temperature, Some(Role::Scale(hundredths))) => {
            DoubleDouble::from_integer(u128::from(hundredths)) / DoubleDouble::from_integer(100)
        }
        _ => DoubleDouble::ZERO,
    }
}

enum Suit {
    Yes,
    No,
    Ambiguous,
}

/// Whether a unit may stand for a kind: the dimension, and the words that keep kinds of one dimension apart.
fn suits(unit: &Expression, kind: Kind) -> Suit {
    if unit.dimension != kind.dimension() {
        return Suit::No;
    }
    let fits = |yes: bool| if yes { Suit::Yes } else { Suit::No };
    let marked = unit.has(Role::Gauge) || unit.has(Role::Absolute) || unit.has(Role::Differential);
    match kind {
        Kind::Temperature => {
            fits(unit.single().is_some_and(|named| matches!(named.atom.role, Role::Scale(_))))
        }
        Kind::AbsolutePressure if unit.has(Role::LoosePressure) => Suit::Ambiguous,
        Kind::AbsolutePressure => fits(!unit.has(Role::Gauge) && !unit.has(Role::Differential)),
        Kind::GaugePressure => fits(unit.has(Role::Gauge)),
        Kind::PressureDifference => fits(!unit.has(Role::Gauge) && !unit.has(Role::Absolute)),
        Kind::Torque => fits(unit.has(Role::Force)),
        Kind::Energy => fits(!unit.has(Role::Force)),
        Kind::ChargeRate => fits(unit.has(Role::ChargeRate)),
        Kind::Frequency => fits(!unit.has(Role::ChargeRate)),
        Kind::MagneticFlux => fits(unit.has(Role::Flux) || unit.single().is_none()),
        Kind::Length => Suit::Yes,
        _ => fits(!marked || unit.dimension != Kind::PressureDifference.dimension()),
    }
}

/// A kind that a unit belongs to, for messages.
fn kind_of(unit: &Expression) -> Option<Kind> {
    if unit.dimension == Dimension::NONE {
        return Some(Kind::Ratio);
    }
    // a bare kelvin is more often a difference than a temperature
    let order = [Kind::TemperatureDifference, Kind::PressureDifference];
    let scale = unit.single().is_some_and(|n| matches!(n.atom.role, Role::Scale(zero) if zero > 0));
    if scale {
        return Some(Kind::Temperature);
    }
    order.iter().chain(Kind::ALL).copied().find(|&kind| matches!(suits(unit, kind), Suit::Yes))
}

/// Spelling of the kind that looks most like what was typed.
fn nearest(typed: &str, kind: Kind) -> &'static str {
    let folded = typed.to_lowercase();
    menu::names(kind)
        .iter()
        .copied()
        .min_by_key(|name| distance(&folded, &name.to_lowercase()))
        .unwrap_or_else(|| kind.si_unit())
}

/// Number of letters to change, add or drop (Levenshtein).
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, letter) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, other) in b.iter().enumerate() {
            let changed = diagonal + usize::from(letter != *other);
            diagonal = row[j + 1];
            row[j + 1] = changed.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

/// A value in SI written in a unit with fixed decimals: "65.0 degC"; in SI if the unit does not belong to the kind.
pub fn format_si(si: f64, kind: Kind, unit: &str, decimals: usize) -> String {
    match to_unit(si, kind, unit) {
        Some(number) if unit.is_empty() => format!("{number:.decimals$}"),
        Some(number) => format!("{number:.decimals$} {unit}"),
        None => format!("{si:.decimals$} {}", kind.si_unit()),
    }
}

/// A value in SI as a number in a unit; none if the unit does not belong to the kind.
pub fn to_unit(si: f64, kind: Kind, unit: &str) -> Option<f64> {
    let parsed = Unit::of(unit, kind, unit, "1").ok()?;
    Some(parsed.typed(DoubleDouble::from_f64(si)).value())
}
