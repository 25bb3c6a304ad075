//! Steps of a number with a unit: for keys and pointers that make a value a little larger or smaller.

use crate::number;

/// How large a step is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum StepSize {
    /// One of the second significant digit.
    #[default]
    Usual,
    /// A tenth of it.
    Fine,
    /// Ten times as much.
    Coarse,
}

/// A text that begins with a number, some steps larger (or smaller, with a negative count); its unit and what else follows stay as typed.
/// The step is one of the second significant digit, so about 1 to 10 % of the number; of a bare zero it is one of its last digit. A whole
/// number steps by one and stays zero or more. Nothing for a text that does not begin with a number.
///
/// # Examples
/// ```
/// use units::{StepSize, stepped};
/// assert_eq!(stepped("12 L/min", 1, StepSize::Usual, false).as_deref(), Some("13 L/min"));
/// assert_eq!(stepped("1.8 mOhm", -2, StepSize::Usual, false).as_deref(), Some("1.6 mOhm"));
/// assert_eq!(stepped("340 mm", 1, StepSize::Fine, false).as_deref(), Some("341 mm"));
/// ```
pub fn stepped(text: &str, count: i64, size: StepSize, is_whole: bool) -> Option<String> {
    let start = text.len() - text.trim_start().len();
    let read = number::read(&text[start..])?;
    let (digits, rest) = text[start..].split_at(read.length);
    if !read.value.is_finite() {
        return None;
    }
    if is_whole {
        let by = if size == StepSize::Coarse { 10 } else { 1 };
        let next = (read.value.round() as i64).saturating_add(count.saturating_mul(by)).max(0);
        return Some(format!("{next}{rest}"));
    }
    let mantissa = digits.split(['e', 'E']).next().unwrap_or_default();
    let exponent: i32 = digits.split(['e', 'E']).nth(1).and_then(|tail| tail.parse().ok()).unwrap_or(0);
    let typed_decimals =
        mantissa.split('.').nth(1).map_or(0, |digits| digits.chars().map(|_digit| 1).sum::<i32>()) - exponent;
    let usual = if read.value == 0.0 { -typed_decimals } else { read.value.abs().log10().floor() as i32 - 1 };
    let place = usual
        + match size {
            StepSize::Usual => 0,
            StepSize::Fine => -1,
            StepSize::Coarse => 1,
        };
    let value = read.value + count as f64 * 10_f64.powi(place);
    let decimals = typed_decimals.max(-place);
    let written = if exponent != 0 || decimals > 12 {
        // as many digits of the mantissa as reach down to the step
        let lead = if value == 0.0 { 0 } else { value.abs().log10().floor() as i32 };
        format!("{value:.*e}", (lead + decimals).clamp(0, 12) as usize)
    } else {
        format!("{value:.*}", decimals.max(0) as usize)
    };
    // a negative zero is none
    let is_zero = written.bytes().all(|b| matches!(b, b'-' | b'0' | b'.'));
    let written = if is_zero { written.trim_start_matches('-').to_owned() } else { written };
    Some(format!("{written}{rest}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Kind, Quantity};

    fn step(text: &str, count: i64, size: StepSize) -> String {
        stepped(text, count, size, false).expect("a number")
    }

    #[test]
    fn a_step_is_one_of_the_second_digit_and_the_unit_stays_as_typed() {
        for (text, up, fine, coarse) in [
            ("12 L/min", "13 L/min", "12.1 L/min", "22 L/min"),
            ("65 degC", "66 degC", "65.1 degC", "75 degC"),
            ("1.8 mOhm", "1.9 mOhm", "1.81 mOhm", "2.8 mOhm"),
            ("0.082 m2", "0.083 m2", "0.0821 m2", "0.092 m2"),
            ("-40 degC", "-39 degC", "-39.9 degC", "-30 degC"),
            ("0.35", "0.36", "0.351", "0.45"),
            ("12.50 kPa", "13.50 kPa", "12.60 kPa", "22.50 kPa"),
            ("1500 rpm", "1600 rpm", "1510 rpm", "2500 rpm"),
        ] {
            let all = [StepSize::Usual, StepSize::Fine, StepSize::Coarse].map(|size| step(text, 1, size));
            assert_eq!(all, [up, fine, coarse], "{text}");
        }
    }

    #[test]
    fn zero_steps_by_its_last_digit_and_is_never_negative_zero() {
        assert_eq!(step("0 W", 1, StepSize::Usual), "1 W");
        assert_eq!(step("0.00 m", 3, StepSize::Usual), "0.03 m");
        assert_eq!(step("0.1", -10, StepSize::Usual), "0.00");
        assert_eq!(step("1e-6 m", 1, StepSize::Usual), "1.1e-6 m");
    }

    #[test]
    fn whole_numbers_step_by_one_and_stop_at_zero() {
        assert_eq!(stepped("14", 1, StepSize::Usual, true).as_deref(), Some("15"));
        assert_eq!(stepped("14", -20, StepSize::Fine, true).as_deref(), Some("0"));
        assert_eq!(stepped("14", 1, StepSize::Coarse, true).as_deref(), Some("24"));
        assert_eq!(stepped("FL100", 1, StepSize::Usual, false), None);
        assert_eq!(stepped("wide", 1, StepSize::Usual, false), None);
    }

    #[test]
    fn what_was_stepped_is_a_quantity_of_the_same_unit() {
        for text in ["12 L/min", "0.5 bar", "100 degF", "3.2e-4 m3/s"] {
            let kind = [Kind::VolumeFlow, Kind::PressureDifference, Kind::Temperature]
                .into_iter()
                .find(|kind| Quantity::parse(text, *kind).is_ok())
                .expect("one of them");
            let before = Quantity::parse(text, kind).expect("read");
            let after = Quantity::parse(&step(text, 7, StepSize::Fine), kind).expect("read again");
            assert_eq!(after.unit(), before.unit());
            assert!(after.number() > before.number());
        }
    }
}
