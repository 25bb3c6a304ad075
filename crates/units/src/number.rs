//! The number in front of the unit: reading it without loss, and writing the shortest one that reads back.

use crate::double_double::{DoubleDouble, LARGEST_POWER_OF_TEN};

/// Significant digits kept when reading; a `DoubleDouble` holds about 31.
const DIGITS_READ: usize = 34;
/// Significant digits at most: 17 tell two neighbouring `f64` apart, and a scale whose zero is elsewhere needs more close to its own zero.
const DIGITS_WRITTEN: i32 = 25;

/// A number at the start of a text.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Number {
    /// To about 31 digits.
    pub(crate) exact: DoubleDouble,
    /// The nearest `f64`; infinite when the text is too large for one.
    pub(crate) value: f64,
    /// Bytes of the text it takes.
    pub(crate) length: usize,
}

/// Reads `[+|-] digits [. digits] [e [+|-] digits]`, at least one digit before the exponent.
pub(crate) fn read(text: &str) -> Option<Number> {
    let bytes = text.as_bytes();
    let sign_length = sign_length(text);
    let negative = sign_length > 0 && bytes[0] != b'+';
    let whole_end = digits_end(bytes, sign_length);
    let mut end = whole_end;
    let mut fraction = "";
    if bytes.get(end) == Some(&b'.') {
        end = digits_end(bytes, end + 1);
        fraction = &text[whole_end + 1..end];
    }
    let whole = &text[sign_length..whole_end];
    if whole.is_empty() && fraction.is_empty() {
        return None;
    }
    let mut exponent = "";
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let digits = end + 1 + usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let exponent_end = digits_end(bytes, digits);
        if exponent_end > digits {
            exponent = &text[end + 1..exponent_end];
            end = exponent_end;
        }
    }
    let unsigned = &text[sign_length..end];
    let magnitude: f64 = unsigned.parse().ok()?;
    let exact = exact(whole, fraction, exponent).unwrap_or(DoubleDouble::from_f64(magnitude));
    Some(Number {
        exact: if negative { -exact } else { exact },
        value: if negative { -magnitude } else { magnitude },
        length: end,
    })
}

fn sign_length(text: &str) -> usize {
    match text.chars().next() {
        Some(sign @ ('+' | '-' | '\u{2212}')) => sign.len_utf8(),
        _ => 0,
    }
}

fn digits_end(bytes: &[u8], start: usize) -> usize {
    let digits = bytes.iter().skip(start).take_while(|byte| byte.is_ascii_digit()).count();
    start + digits
}

/// The decimal to about 31 digits; `None` where its power of ten is beyond the reach of a `DoubleDouble`.
fn exact(whole: &str, fraction: &str, exponent: &str) -> Option<DoubleDouble> {
    let exponent: i32 = if exponent.is_empty() { 0 } else { exponent.parse().ok()? };
    let digits = format!("{whole}{fraction}");
    let significant = digits.trim_start_matches('0');
    let kept = &significant[..significant.len().min(DIGITS_READ)];
    let dropped = significant.len() - kept.len();
    let trimmed = kept.trim_end_matches('0'); // so that 1.50 and 1.5 are the same sum of parts
    let zeros = kept.len() - trimmed.len();
    if trimmed.is_empty() {
        return Some(DoubleDouble::ZERO);
    }
    let mantissa: u128 = trimmed.parse().ok()?;
    let shift = i32::try_from(dropped + zeros).ok()? - i32::try_from(fraction.len()).ok()?;
    decimal(mantissa, exponent.checked_add(shift)?)
}

/// `mantissa * 10^exponent`.
fn decimal(mantissa: u128, exponent: i32) -> Option<DoubleDouble> {
    if exponent.abs() > LARGEST_POWER_OF_TEN {
        return None;
    }
    let mantissa = DoubleDouble::from_integer(mantissa);
    let power = DoubleDouble::power_of_ten(exponent.abs());
    Some(if exponent < 0 { mantissa / power } else { mantissa * power })
}

/// The shortest decimal near `value` that `reads_back` accepts; else the nearest one with [`DIGITS_WRITTEN`] digits.
pub(crate) fn shortest(value: DoubleDouble, reads_back: impl Fn(DoubleDouble) -> bool) -> String {
    if reads_back(DoubleDouble::ZERO) {
        return "0".to_owned();
    }
    let negative = value.value() < 0.0;
    let magnitude = value.abs();
    let mut nearest = None;
    for digits in 1..=DIGITS_WRITTEN {
        let Some((mantissa, exponent)) = significant(magnitude, digits) else { break };
        let Some(candidate) = decimal(mantissa, exponent) else { break };
        nearest = Some((mantissa, exponent));
        if reads_back(if negative { -candidate } else { candidate }) {
            break;
        }
    }
    match nearest {
        Some((mantissa, exponent)) => layout(negative, mantissa, exponent),
        None => format!("{:e}", value.value()), // beyond 1e250: the shortest text of the f64 itself
    }
}

/// Rounds to a number of significant digits: an integer and a power of ten.
fn significant(magnitude: DoubleDouble, digits: i32) -> Option<(u128, i32)> {
    let leading = magnitude.value().log10().floor();
    if !leading.is_finite() || leading.abs() > f64::from(LARGEST_POWER_OF_TEN - 20) {
        return None;
    }
    let exponent = leading as i32 + 1 - digits;
    let power = DoubleDouble::power_of_ten(exponent.abs());
    let scaled = if exponent < 0 { magnitude * power } else { magnitude / power };
    let mut mantissa = u128::try_from(scaled.round()).ok()?;
    let mut exponent = exponent;
    while mantissa > 0 && mantissa.is_multiple_of(10) {
        mantissa /= 10;
        exponent += 1;
    }
    Some((mantissa, exponent))
}

/// Plain digits from 1e-5 to 1e15, else with an exponent.
fn layout(negative: bool, mantissa: u128, exponent: i32) -> String {
    let digits = mantissa.to_string();
    let sign = if negative { "-" } else { "" };
    let count = i32::try_from(digits.len()).unwrap_or(i32::MAX);
    let leading = exponent + count - 1;
    if !(-5..15).contains(&leading) {
        let (first, rest) = digits.split_at(1);
        let point = if rest.is_empty() { "" } else { "." };
        return format!("{sign}{first}{point}{rest}e{leading}");
    }
    if exponent >= 0 {
        return format!("{sign}{digits}{}", "0".repeat(exponent.unsigned_abs() as usize));
    }
    if leading < 0 {
        let zeros = "0".repeat((-1 - leading).unsigned_abs() as usize);
        return format!("{sign}0.{zeros}{digits}");
    }
    let (whole, fraction) = digits.split_at(leading.unsigned_abs() as usize + 1);
    format!("{sign}{whole}.{fraction}")
}

/// Fixed decimals without a negative zero.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|byte| byte == b'0' || byte == b'.') => rest.to_owned(),
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn forms_of_a_number() {
        for (text, value, length) in [
            ("1.8", 1.8, 3),
            ("1.8e-3 W", 0.0018, 6),
            ("-40degF", -40.0, 3),
            ("\u{2212}40", -40.0, 5),
            ("+5", 5.0, 2),
            (".5 mm", 0.5, 2),
            ("5. mm", 5.0, 2),
            ("1E3", 1000.0, 3),
            ("12e", 12.0, 2),
            ("12eV", 12.0, 2),
            ("0.000", 0.0, 5),
            ("1e400", f64::INFINITY, 5),
        ] {
            let number = read(text).unwrap();
            assert_eq!((number.value, number.length), (value, length), "{text}");
            assert_eq!(number.exact.value(), value, "{text}");
        }
        for text in ["", "-", ".", "e5", "K", "-.", "+e5", "NaN", "inf"] {
            assert!(read(text).is_none(), "{text:?}");
        }
    }

    #[test]
    fn layouts() {
        for (mantissa, exponent, text) in [
            (4, 1, "40"),
            (15, -1, "1.5"),
            (5, -1, "0.5"),
            (5, -5, "0.00005"),
            (5, -6, "5e-6"),
            (12, 20, "1.2e21"),
            (1, 14, "100000000000000"),
            (1, 15, "1e15"),
        ] {
            assert_eq!(layout(false, mantissa, exponent), text);
            assert_eq!(layout(true, mantissa, exponent), format!("-{text}"));
        }
    }

    #[test]
    fn fixed_has_no_negative_zero() {
        assert_eq!(fixed(-0.04, 1), "0.0");
        assert_eq!(fixed(-0.06, 1), "-0.1");
        assert_eq!(fixed(65.0, 1), "65.0");
        assert_eq!(fixed(-0.0, 0), "0");
    }

    proptest! {
        /// Reference: the standard library's decimal reader and shortest writer are correctly rounded.
        #[test]
        fn reading_agrees_with_the_standard_reader(bits in any::<u64>()) {
            let value = f64::from_bits(bits);
            prop_assume!(value.is_finite());
            for text in [format!("{value:e}"), format!("{value}"), format!("{value:.25e}")] {
                let number = read(&text).unwrap();
                prop_assert_eq!(number.value, value);
                prop_assert_eq!(number.length, text.len());
                if value.abs() > 1e-240 {
                    prop_assert_eq!(number.exact.value(), value, "{}", text);
                }
            }
        }

        #[test]
        fn shortest_is_as_short_as_the_standard_writer(bits in any::<u64>()) {
            let value = f64::from_bits(bits);
            prop_assume!(value.is_finite());
            let text = shortest(DoubleDouble::from_f64(value), |candidate| candidate.value() == value);
            prop_assert_eq!(text.parse::<f64>().unwrap(), value, "{}", text);
            let standard = format!("{value:e}");
            let digits = |text: &str| {
                let mantissa = text.split('e').next().unwrap_or_default();
                let digits: String = mantissa.chars().filter(char::is_ascii_digit).collect();
                digits.trim_matches('0').len()
            };
            prop_assert!(digits(&text) <= digits(&standard), "{} against {}", text, standard);
        }
    }
}
