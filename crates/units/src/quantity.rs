//! A number with the unit its author typed.

use crate::error::{UnitError, examples};
use crate::kind::Kind;
use crate::known;
use crate::number::Number;
use crate::unit::{Refusal, Unit};
use crate::{number, suggest};
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
        let (number, digits, unit) = number_and_unit(trimmed, kind)?;
        let parsed = unit_of(unit, kind, trimmed, digits)?;
        let si = parsed.to_si(number.exact);
        check_value(si, trimmed, kind)?;
        Ok(Self { text: text.to_owned(), unit: unit.to_owned(), number: number.value, si, kind })
    }

    /// The quantity of a value in SI, written in a unit with the fewest digits that read back to the same value.
    ///
    /// # Errors
    /// [`UnitError`] if the unit does not belong to the kind, or the value is not finite.
    pub fn from_si(si: f64, kind: Kind, unit: &str) -> Result<Self, UnitError> {
        let unit = unit.trim();
        let parsed = unit_of(unit, kind, unit, "1")?;
        if !si.is_finite() {
            return Err(UnitError::NotFinite { text: si.to_string(), example: examples("", kind) });
        }
        let digits = number::shortest(parsed.typed(si), |number| parsed.to_si(number) == si);
        Self::parse(&joined(&digits, unit), kind)
    }

    /// The quantity of a value in SI, written in the unit of another quantity.
    ///
    /// # Errors
    /// [`UnitError`] if no quantity of the kind has this value: not finite, below absolute zero, below vacuum.
    pub fn try_from_si_like(si: f64, like: &Self) -> Result<Self, UnitError> {
        Self::from_si(si, like.kind, &like.unit)
    }

    /// The quantity of a value in SI, written in the unit of another quantity. A value that no quantity of the kind
    /// can have leaves `like` as it is: where that can happen, use [`Self::try_from_si_like`] and show the error.
    #[must_use]
    pub fn from_si_like(si: f64, like: &Self) -> Self {
        Self::try_from_si_like(si, like).unwrap_or_else(|_not_a_value| like.clone())
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

/// Number, its digits as typed, and unit.
fn number_and_unit(text: &str, kind: Kind) -> Result<(Number, &str, &str), UnitError> {
    let not_finite = || UnitError::NotFinite { text: text.to_owned(), example: examples("", kind) };
    let level = flight_level(text);
    let rest = level.unwrap_or(text);
    let Some(number) = number::read(rest) else {
        let word = text.trim_start_matches(['+', '-', '\u{2212}']).to_lowercase();
        return Err(if word.starts_with("nan") || word.starts_with("inf") || word.starts_with('∞') {
            not_finite()
        } else {
            UnitError::NotANumber { text: text.to_owned(), example: examples("", kind) }
        });
    };
    if !number.value.is_finite() {
        return Err(not_finite());
    }
    let (digits, unit) = rest.split_at(number.length);
    check_end(text, digits, unit)?;
    match (level, unit.trim()) {
        (None, unit) => Ok((number, digits, unit)),
        (Some(_), "") => Ok((number, digits, &text[..2])),
        (Some(_), _) => Err(UnitError::NotOneNumber {
            text: text.to_owned(),
            remedy: "a flight level alone, as in FL100 for 10,000 ft".to_owned(),
        }),
    }
}

/// What follows "FL" if a number does: a flight level is written before its number.
fn flight_level(text: &str) -> Option<&str> {
    let (start, rest) = text.split_at_checked(2)?;
    let rest = rest.trim_start();
    (start.eq_ignore_ascii_case("FL") && number::read(rest).is_some()).then_some(rest)
}

/// Refuses what looks like more of the number, so that no part of it is taken for a unit.
fn check_end(text: &str, digits: &str, rest: &str) -> Result<(), UnitError> {
    let close = rest.chars().next();
    let rest = rest.trim_start();
    let mut characters = rest.chars();
    let first = characters.next();
    let digit_next = characters.as_str().trim_start().starts_with(|c: char| c.is_ascii_digit());
    let remedy = match first {
        Some(',') if close == first && digit_next => return Err(comma(text, rest)),
        Some('_' | '\'' | ',') if digit_next => "the digits without separators",
        Some('.') => "one decimal point",
        Some('-' | '\u{2212}' | '\u{2013}' | '\u{2026}') if digit_next => "one number, not a range",
        Some('/') if digit_next => "a decimal number, not a fraction",
        Some('x' | 'X') if digits == "0" && close == first => "a decimal number",
        Some('±' | '+') => "one number, and the tolerance in a field of its own",
        Some(c) if c.is_ascii_digit() && !is_reciprocal(rest) => "the digits without spaces, then one unit",
        _ => return Ok(()),
    };
    Err(UnitError::NotOneNumber { text: text.to_owned(), remedy: remedy.to_owned() })
}

/// "1/K" and a lone "1" are units.
fn is_reciprocal(rest: &str) -> bool {
    rest.strip_prefix('1').is_some_and(|rest| {
        let rest = rest.trim_start();
        rest.is_empty() || rest.starts_with('/') || rest.starts_with("per ")
    })
}

/// "1,5" is meant as 1.5; "1,000" may be a thousand or one.
fn comma(text: &str, rest: &str) -> UnitError {
    let group = rest[1..].bytes().take_while(u8::is_ascii_digit).count();
    if group == 3 || text.matches(',').count() > 1 || text.contains('.') {
        let remedy = format!(
            "the digits without separators and a point for decimals, as in {}",
            text.replace(',', "")
        );
        return UnitError::NotOneNumber { text: text.to_owned(), remedy };
    }
    UnitError::DecimalComma { text: text.to_owned(), suggestion: text.replacen(',', ".", 1) }
}

/// Refuses values that no quantity of the kind can have.
fn check_value(si: f64, text: &str, kind: Kind) -> Result<(), UnitError> {
    let text = || text.to_owned();
    match kind {
        _ if !si.is_finite() => Err(UnitError::NotFinite { text: text(), example: examples("", kind) }),
        Kind::Temperature if si < 0.0 => Err(UnitError::BelowAbsoluteZero { text: text() }),
        Kind::AbsolutePressure if si < 0.0 => Err(UnitError::BelowVacuum { text: text() }),
        _ => Ok(()),
    }
}

/// Number and unit as text; a flight level goes before its number.
fn joined(number: &str, unit: &str) -> String {
    match unit {
        "" => number.to_owned(),
        _ if unit.eq_ignore_ascii_case("FL") => format!("{unit}{number}"),
        _ => format!("{number} {unit}"),
    }
}

/// A unit of the kind, or words for its author.
fn unit_of(unit: &str, kind: Kind, text: &str, digits: &str) -> Result<Unit, UnitError> {
    known::read(unit, kind).map_err(|refusal| explain(&refusal, unit, kind, text, digits))
}

fn explain(refusal: &Refusal, unit: &str, expected: Kind, text: &str, digits: &str) -> UnitError {
    let text = text.to_owned();
    match refusal {
        Refusal::Missing => UnitError::MissingUnit { text, expected, example: examples(digits, expected) },
        Refusal::Unknown => UnitError::UnknownUnit {
            unit: unit.to_owned(),
            expected,
            suggestion: suggest::instead(unit, digits, expected),
        },
        Refusal::Unmarked => UnitError::Ambiguous { text, example: suggest::marked(unit, digits, expected) },
        Refusal::Other(found) => UnitError::WrongKind {
            text,
            found: *found,
            expected,
            example: suggest::with_slip_first(unit, digits, expected),
        },
    }
}

/// A value in SI written in a unit with fixed decimals: "65.0 degC"; in SI if the unit does not belong to the kind.
pub fn format_si(si: f64, kind: Kind, unit: &str, decimals: usize) -> String {
    match to_unit(si, kind, unit) {
        Some(number) => joined(&number::fixed(number, decimals), unit.trim()),
        None => joined(&number::fixed(si, decimals), kind.si_unit()),
    }
}

/// From values in SI to numbers in one unit, for those who have many; none if the unit does not belong to the kind.
///
/// # Examples
/// ```
/// let celsius = units::converter(units::Kind::Temperature, "degC").expect("a unit of temperature");
/// assert!((celsius(373.15) - 100.0).abs() < 1e-12);
/// ```
pub fn converter(kind: Kind, unit: &str) -> Option<impl Fn(f64) -> f64 + use<>> {
    let unit = known::read(unit.trim(), kind).ok()?;
    Some(move |si| unit.typed(si).value())
}

/// A value in SI as a number in a unit; none if the unit does not belong to the kind.
pub fn to_unit(si: f64, kind: Kind, unit: &str) -> Option<f64> {
    converter(kind, unit).map(|number| number(si))
}
