//! Derating: power left as a sensor gets hot.

use numerics::Scalar;

use crate::error::{self, InputError};
use crate::smooth::positive_part;

/// Rounding of the two corners, as a fraction of the ramp.
const CORNER: f64 = 0.1;

/// A falling ramp of allowed power between two temperatures.
///
/// Straight between the corners, which are rounded by parabolas over 5 % of the ramp on each side: the derate begins that
/// little before `start_k`, where 1.25 % of the ramp is already gone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Derate {
    start_k: f64,
    end_k: f64,
    least: f64,
}

impl Derate {
    /// A ramp from all power at `start_k` to the fraction `least` at `end_k`.
    ///
    /// A derate must not take power that a safe landing needs: `least` above that power is the designer's choice.
    ///
    /// # Errors
    /// [`InputError::Value`] for temperatures that do not rise or a fraction outside 0-1.
    pub fn new(start_k: f64, end_k: f64, least: f64) -> Result<Self, InputError> {
        error::positive("start of the derate (K)", start_k)?;
        error::fraction("power left at the end of the derate", least)?;
        if !(end_k > start_k && end_k.is_finite()) {
            let rule = "above the start of the derate";
            return Err(InputError::Value { what: "end of the derate (K)", value: end_k, rule });
        }
        Ok(Self { start_k, end_k, least })
    }

    /// Allowed fraction of the power at a temperature.
    #[inline]
    pub fn factor<S: Scalar>(&self, temperature_k: S) -> S {
        let x = (temperature_k - self.start_k) / (self.end_k - self.start_k);
        let along = positive_part(x, CORNER) - positive_part(x - 1.0, CORNER);
        along * (self.least - 1.0) + 1.0
    }

    /// Whether the ramp takes anything at a temperature.
    pub fn is_active(&self, temperature_k: f64) -> bool {
        self.factor(temperature_k) < 1.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use num_dual::first_derivative;
    use testkit::{assert_close, assert_within};

    #[test]
    fn a_ramp_by_hand() {
        // from 140 to 160 degC down to 40 %: at 155 degC three quarters along, 1 - 0.75 x 0.6 = 0.55
        let derate = Derate::new(413.15, 433.15, 0.4).unwrap();
        assert_close("factor", derate.factor(428.15), 0.55, 1e-12);
        assert_eq!(derate.factor(400.0), 1.0);
        assert_close("end", derate.factor(500.0), 0.4, 1e-12);
        assert!(!derate.is_active(410.0) && derate.is_active(415.0));
    }

    #[test]
    fn it_falls_everywhere_with_a_continuous_slope() {
        let derate = Derate::new(400.0, 420.0, 0.2).unwrap();
        let mut before = 1.0;
        for k in 0..=300 {
            let t = 395.0 + 0.1 * f64::from(k);
            let factor = derate.factor(t);
            assert!(factor <= before + 1e-15, "{t}");
            before = factor;
            let (_, slope) = first_derivative(|t| derate.factor(t), t);
            let central = (derate.factor(t + 1e-5) - derate.factor(t - 1e-5)) / 2e-5;
            assert_within("slope", slope, central, 1e-6);
        }
    }

    #[test]
    fn bad_ramps_are_refused() {
        assert!(Derate::new(420.0, 400.0, 0.5).is_err());
        assert!(Derate::new(400.0, f64::NAN, 0.5).is_err());
        assert!(Derate::new(400.0, 420.0, 1.5).is_err());
    }
}
