//! A root of a rising function inside a bracket: always ends, by construction.

use thiserror::Error;

/// A root and what was spent on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bracketed {
    /// Abscissa where the function crosses zero.
    pub root: f64,
    /// Function evaluations.
    pub evaluations: u32,
}

/// The function has the same sign at both ends, so there is no root in the bracket.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("no sign change between {low} ({at_low}) and {high} ({at_high})")]
pub struct NoBracket {
    /// Lower end of the bracket.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Function value at the lower end.
    pub at_low: f64,
    /// Function value at the upper end.
    pub at_high: f64,
}

const MAX_EVALUATIONS: u32 = 200;

/// The root of a rising (not necessarily smooth) function between `low` and `high`.
///
/// Regula falsi with the Illinois weighting, with bisection whenever that fails to halve the bracket in
/// three steps. The bracket shrinks at every step, so the loop ends when it is `tolerance` wide, when the
/// function is exactly zero, or when two neighbouring floating point numbers are left.
///
/// # Errors
/// [`NoBracket`] if both ends have the same sign, or either end is NaN.
pub fn root_rising(
    mut function: impl FnMut(f64) -> f64,
    low: f64,
    high: f64,
    tolerance: f64,
) -> Result<Bracketed, NoBracket> {
    let (mut low, mut high) = (low, high);
    let (mut at_low, mut at_high) = (function(low), function(high));
    let mut evaluations = 2;
    if !(at_low <= 0.0 && at_high >= 0.0) {
        return Err(NoBracket { low, high, at_low, at_high });
    }
    let mut last_side = 0_i8;
    let mut width_before = high - low;
    while high - low > tolerance && evaluations < MAX_EVALUATIONS {
        let mut middle = (low * at_high - high * at_low) / (at_high - at_low);
        let bisect = evaluations % 3 == 2 && high - low > 0.5 * width_before;
        if evaluations % 3 == 2 {
            width_before = high - low;
        }
        if bisect || !(middle > low && middle < high) {
            middle = low + 0.5 * (high - low);
        }
        if middle <= low || middle >= high {
            break;
        }
        let at_middle = function(middle);
        evaluations += 1;
        if at_middle == 0.0 {
            return Ok(Bracketed { root: middle, evaluations });
        }
        if at_middle < 0.0 {
            low = middle;
            at_low = at_middle;
            if last_side == -1 {
                at_high *= 0.5;
            }
            last_side = -1;
        } else {
            high = middle;
            at_high = at_middle;
            if last_side == 1 {
                at_low *= 0.5;
            }
            last_side = 1;
        }
    }
    let root = if -at_low < at_high { low } else { high };
    Ok(Bracketed { root, evaluations })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_finds_the_root_of_a_cubic() {
        let found = root_rising(|x| x * x * x - 2.0, 0.0, 1e3, 1e-12).unwrap();
        assert!((found.root - 2.0_f64.cbrt()).abs() < 1e-11, "{found:?}");
        assert!(found.evaluations < 60, "{found:?}");
    }

    #[test]
    fn it_ends_on_a_step() {
        let found = root_rising(|x| if x < 0.3 { -1.0 } else { 1.0 }, 0.0, 1.0, 1e-14).unwrap();
        assert!((found.root - 0.3).abs() < 1e-12, "{found:?}");
    }

    #[test]
    fn it_refuses_a_bracket_without_a_root() {
        assert!(root_rising(|x| x + 10.0, 0.0, 1.0, 1e-9).is_err());
        assert!(root_rising(|_| f64::NAN, 0.0, 1.0, 1e-9).is_err());
    }
}
