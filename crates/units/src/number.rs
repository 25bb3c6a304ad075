//! Decimal text to a number with twice the digits of an `f64`, and back.

use crate::double_double::DoubleDouble;

/// Longest run of digits that is read exactly; further ones only scale.
const MOST_DIGITS: usize = 30;

/// Splits a quantity into its number and what follows; the number may be empty.
pub(crate) fn split(text: &str) -> (&str, &str) {
    let bytes = text.as_bytes();
    let mut end = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    while bytes.get(end).is_some_and(|b| b.is_ascii_digit() || *b == b'.') {
        end += 1;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let digits = bytes[end + 1 + sign..].iter().take_while(|b| b.is_ascii_digit()).count();
        // "2 e" is a number and a unit, "2e3" is one number
        if digits > 0 {
            end += 1 + sign + digits;
        }
    }
    (&text[..end], &text[end..])
}

/// Value of a decimal number, to about 32 digits; none if it is not one.
pub(crate) fn read(text: &str) -> Option<DoubleDouble> {
    let plain: f64 = text.parse().ok()?;
    let (negative, digits) = match text.as_bytes().first()? {
        b'-' => (true, &text[1..]),
        b'+' => (false, &text[1..]),
        _ => (false, text),
    };
    let (mantissa, exponent) = match digits.find(['e', 'E']) {
        Some(at) => (&digits[..at], digits[at + 1..].parse::<i32>().ok()?),
        None => (digits, 0),
    };
    let after_point = mantissa.find('.').map_or(0, |at| mantissa.len() - at - 1);
    let significant: String = mantissa.chars().filter(char::is_ascii_digit).collect();
    let power = exponent.checked_sub(i32::try_from(after_point).ok()?)?;
    if significant.trim_start_matches('0').len() > MOST_DIGITS || power.abs() > 250 || plain == 0.0 {
        return Some(DoubleDouble::from_f64(plain));
    }
    let value = DoubleDouble::from_integer(significant.parse().ok()?) * DoubleDouble::power_of_ten(power);
    Some(if negative { -value } else { value })
}

/// Shortest decimal text that `reads_back` accepts; the shortest exact text of `value` if none shorter does.
pub(crate) fn shortest(value: f64, reads_back: impl Fn(f64) -> bool) -> String {
    for digits in 0..17 {
        let rounded: f64 = format!("{value:.digits$e}").parse().unwrap_or(value);
        if reads_back(rounded) {
            return plain(rounded);
        }
    }
    plain(value)
}

fn plain(value: f64) -> String {
    let size = value.abs();
    if size != 0.0 && !(1e-5..1e12).contains(&size) { format!("{value:e}") } else { format!("{value}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_ends_where_its_unit_begins() {
        assert_eq!(split("12 L/min"), ("12", " L/min"));
        assert_eq!(split("1.8e-3mOhm"), ("1.8e-3", "mOhm"));
        assert_eq!(split("-40degF"), ("-40", "degF"));
        assert_eq!(split("2 e"), ("2", " e"));
        assert_eq!(split("kg"), ("", "kg"));
    }

    #[test]
    fn decimals_are_read_exactly() {
        assert_eq!(read("459.67").map(DoubleDouble::value), Some(459.67));
        assert_eq!(read("-1.5e3").map(DoubleDouble::value), Some(-1500.0));
        assert_eq!(read(".").map(DoubleDouble::value), None);
    }
}
