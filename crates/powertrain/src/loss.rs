//! Loss laws over one or two inputs, shared by all devices.

use numerics::{Curve, Scalar, Surface, constant};

use crate::error::{self, InputError};
use crate::smooth::{ROUNDING, activity, magnitude, power};

/// Loss (W) over a load, and over a second input for a surface.
///
/// The load (torque, current or power, as the owner says) enters by its magnitude: a law made for driving serves braking too.
/// The magnitude is rounded at zero over 1e-4 of the reference load, which changes the loss by less than
/// 1 part in 10^6 above a tenth of the reference.
#[derive(Clone, Debug, PartialEq)]
pub enum Loss {
    /// The same whenever the load is not zero; nothing at rest.
    Fixed {
        /// Loss (W).
        loss_w: f64,
        /// Load from which the full loss is booked; half a per cent of the rated load is a fair choice.
        from_load: f64,
    },
    /// `reference_w (load / reference_load)^exponent`.
    PowerLaw {
        /// Loss at the reference load (W).
        reference_w: f64,
        /// Reference load.
        reference_load: f64,
        /// Exponent, 1 to 6.
        exponent: f64,
    },
    /// `c0 + c1 x + c2 x^2 + ...` with `x = load / reference_load`.
    Polynomial {
        /// Coefficients in rising order (W).
        coefficients_w: Vec<f64>,
        /// Load at which `x` is 1.
        reference_load: f64,
    },
    /// A measured curve of loss over load, held at its ends.
    Curve(Curve),
    /// A measured surface of loss over load and a second input, held at its edges.
    Surface(LossSurface),
}

/// A measured table of loss (W) over a load and a second input.
#[derive(Clone, Debug, PartialEq)]
pub struct LossSurface {
    surface: Surface,
    load_range: (f64, f64),
}

impl LossSurface {
    /// A table with `values_w[row * second.len() + column]` at `(load[row], second[column])`.
    ///
    /// A table that starts at a load of 0 or more is used for both signs of the load; one that goes below 0 by the sign.
    ///
    /// # Errors
    /// [`InputError`] for a wrong shape, unordered inputs, and losses that are negative or not finite.
    pub fn new(load: &[f64], second: &[f64], values_w: &[f64]) -> Result<Self, InputError> {
        let surface = Surface::new(load, second, values_w)
            .map_err(|source| InputError::Table { what: "loss table", source })?;
        values_w.iter().try_for_each(|&loss| error::not_negative("measured loss (W)", loss))?;
        Ok(Self { surface, load_range: (load[0], load[load.len() - 1]) })
    }

    /// Loss (W), held at the edges of the table.
    #[inline]
    pub fn at<S: Scalar>(&self, load: S, second: S) -> S {
        self.surface.at(self.folded(load), second)
    }

    /// Whether the point lies inside the table.
    pub fn contains(&self, load: f64, second: f64) -> bool {
        let load = if self.load_range.0 >= 0.0 { load.abs() } else { load };
        self.surface.contains(load, second)
    }

    fn folded<S: Scalar>(&self, load: S) -> S {
        if self.load_range.0 >= 0.0 { magnitude(load, ROUNDING * self.load_range.1) } else { load }
    }
}

impl Loss {
    /// No loss.
    pub const NONE: Self = Self::Fixed { loss_w: 0.0, from_load: 1.0 };

    /// Checks the numbers.
    ///
    /// # Errors
    /// [`InputError`] names the first one that is not physical; a law may not be negative at any measured point.
    pub fn check(&self) -> Result<(), InputError> {
        match self {
            Self::Fixed { loss_w, from_load } => {
                error::not_negative("fixed loss (W)", *loss_w)?;
                error::positive("load from which the loss is booked", *from_load)
            }
            Self::PowerLaw { reference_w, reference_load, exponent } => {
                error::not_negative("loss at the reference load (W)", *reference_w)?;
                error::positive("reference load", *reference_load)?;
                error::exponent("exponent of the load", *exponent)
            }
            Self::Polynomial { coefficients_w, reference_load } => {
                error::positive("reference load", *reference_load)?;
                if coefficients_w.is_empty() {
                    return Err(InputError::Empty("coefficients of a loss polynomial"));
                }
                coefficients_w.iter().try_for_each(|&c| error::finite("loss coefficient (W)", c))?;
                // a negative coefficient is a normal outcome of a fit; a negative loss in the fitted range is not
                (0..=20).try_for_each(|k| {
                    let load = *reference_load * f64::from(k) / 20.0;
                    error::not_negative("loss of the polynomial (W)", self.at(load, 0.0))
                })
            }
            Self::Curve(curve) => {
                curve.points().try_for_each(|p| error::not_negative("measured loss (W)", p.1))
            }
            Self::Surface(_) => Ok(()),
        }
    }

    /// Loss (W) at a load and, for a surface, a second input.
    #[inline]
    pub fn at<S: Scalar>(&self, load: S, second: S) -> S {
        match self {
            Self::Fixed { loss_w, from_load } => activity(load, *from_load) * *loss_w,
            Self::PowerLaw { reference_w, reference_load, exponent } => {
                power(magnitude(load / *reference_load, ROUNDING), *exponent) * *reference_w
            }
            Self::Polynomial { coefficients_w, reference_load } => {
                let x = magnitude(load / *reference_load, ROUNDING);
                coefficients_w.iter().rev().fold(constant(0.0), |sum: S, &c| sum * x + c)
            }
            Self::Curve(curve) => curve.at(fold_onto(curve, load)),
            Self::Surface(surface) => surface.at(load, second),
        }
    }

    /// Whether the point lies inside the measured range; always true for laws without one.
    pub fn contains(&self, load: f64, second: f64) -> bool {
        match self {
            Self::Curve(curve) => curve.contains(if curve.range().0 >= 0.0 { load.abs() } else { load }),
            Self::Surface(surface) => surface.contains(load, second),
            _ => true,
        }
    }
}

fn fold_onto<S: Scalar>(curve: &Curve, load: S) -> S {
    let (low, high) = curve.range();
    if low >= 0.0 { magnitude(load, ROUNDING * high) } else { load }
}

#[cfg(test)]
mod tests {
    use super::*;
    use num_dual::first_derivative;
    use testkit::assert_close;

    #[test]
    fn laws_by_hand() {
        // 120 W at 50 N m, exponent 2, at 25 N m: 120 / 4 = 30 W; the same for -25 N m
        let law = Loss::PowerLaw { reference_w: 120.0, reference_load: 50.0, exponent: 2.0 };
        assert_close("power law", law.at(-25.0, 0.0), 30.0, 1e-7);
        // 40 + 100 x + 260 x^2 at x = 0.5: 40 + 50 + 65 = 155 W
        let law = Loss::Polynomial { coefficients_w: vec![40.0, 100.0, 260.0], reference_load: 300.0 };
        assert_close("polynomial", law.at(150.0, 0.0), 155.0, 1e-7);
        let surface = LossSurface::new(&[0.0, 100.0], &[0.0, 10.0], &[0.0, 5.0, 100.0, 205.0]).unwrap();
        assert!(LossSurface::new(&[0.0, 1.0], &[0.0], &[5.0, -1.0]).is_err());
        assert!(surface.contains(-50.0, 5.0) && !surface.contains(-150.0, 5.0));
        // middle of a bilinear table: (0 + 5 + 100 + 205) / 4 = 77.5 W
        assert_close("surface", Loss::Surface(surface).at(-50.0, 5.0), 77.5, 1e-6);
    }

    #[test]
    fn slopes_at_rest_are_finite() {
        let curve = Curve::new(&[(0.0, 20.0), (100.0, 400.0), (200.0, 1500.0)]).unwrap();
        for law in [
            Loss::Fixed { loss_w: 50.0, from_load: 1.0 },
            Loss::PowerLaw { reference_w: 120.0, reference_load: 50.0, exponent: 1.5 },
            Loss::Polynomial { coefficients_w: vec![40.0, 100.0], reference_load: 300.0 },
            Loss::Curve(curve),
        ] {
            law.check().unwrap();
            let (value, slope): (f64, f64) = first_derivative(|x| law.at(x, constant(0.0)), 0.0);
            assert!(value.is_finite() && slope.is_finite(), "{law:?}: {value} {slope}");
        }
    }

    #[test]
    fn bad_laws_are_refused() {
        assert!(Loss::PowerLaw { reference_w: -1.0, reference_load: 1.0, exponent: 2.0 }.check().is_err());
        assert!(Loss::PowerLaw { reference_w: 1.0, reference_load: 1.0, exponent: 0.4 }.check().is_err());
        assert!(Loss::Polynomial { coefficients_w: vec![], reference_load: 1.0 }.check().is_err());
        assert!(Loss::Polynomial { coefficients_w: vec![1.0, -5.0], reference_load: 1.0 }.check().is_err());
        assert!(Loss::Fixed { loss_w: f64::NAN, from_load: 1.0 }.check().is_err());
    }
}
