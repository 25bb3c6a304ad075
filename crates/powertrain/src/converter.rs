//! Voltage converters (battery to 12 or 28 V bus, charger).

use numerics::{Scalar, constant};

use crate::error::{self, InputError};
use crate::loss::Loss;
use crate::smooth::magnitude;

const POWER_ROUNDING_W: f64 = 1.0;

/// What is known about the losses of a converter.
#[derive(Clone, Debug, PartialEq)]
pub enum ConverterLosses {
    /// An efficiency and a consumption at no load.
    Efficiency {
        /// Output over input power, no-load consumption left out (0-1).
        efficiency: f64,
        /// Consumption at no load (W).
        idle_w: f64,
    },
    /// A law of output power (W), including the consumption at no load.
    Law(Loss),
}

/// A converter.
#[derive(Clone, Debug, PartialEq)]
pub struct Converter {
    losses: ConverterLosses,
}

impl Converter {
    /// A converter.
    ///
    /// # Errors
    /// [`InputError`] names the first number that is not physical.
    pub fn new(losses: ConverterLosses) -> Result<Self, InputError> {
        match &losses {
            ConverterLosses::Efficiency { efficiency, idle_w } => {
                error::efficiency("converter efficiency", *efficiency)?;
                error::not_negative("consumption of a converter at no load (W)", *idle_w)?;
            }
            ConverterLosses::Law(law) => law.check()?,
        }
        Ok(Self { losses })
    }

    /// What is known about the losses.
    pub fn losses(&self) -> &ConverterLosses {
        &self.losses
    }

    /// Whether an output power (W) lies inside what the losses were measured for; true where no range is known.
    pub fn is_in_range(&self, output_power_w: f64) -> bool {
        match &self.losses {
            ConverterLosses::Efficiency { .. } => true,
            ConverterLosses::Law(law) => law.contains(output_power_w, 0.0),
        }
    }

    /// Heat (W) at an output power (W).
    #[inline]
    pub fn heat_w<S: Scalar>(&self, output_power_w: S) -> S {
        match &self.losses {
            ConverterLosses::Efficiency { efficiency, idle_w } => {
                magnitude(output_power_w, POWER_ROUNDING_W) * (1.0 / efficiency - 1.0) + *idle_w
            }
            ConverterLosses::Law(law) => law.at(output_power_w, constant(0.0)),
        }
    }

    /// Input power (W): output power plus heat.
    #[inline]
    pub fn input_power_w<S: Scalar>(&self, output_power_w: S) -> S {
        output_power_w + self.heat_w(output_power_w)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use testkit::assert_close;

    #[test]
    fn converters_by_hand() {
        let simple = Converter::new(ConverterLosses::Efficiency { efficiency: 0.92, idle_w: 12.0 }).unwrap();
        // 1 kW out: 1000 / 0.92 - 1000 = 86.957 W, + 12 W
        assert_close("heat", simple.heat_w(1000.0), 98.956_522, 1e-6);
        assert_close("input", simple.input_power_w(1000.0), 1_098.956_522, 1e-6);
        assert_eq!(simple.heat_w(0.0), 12.0);
        // 15 + 20 x + 60 x^2 W at half of 2 kW: 15 + 10 + 15 = 40 W
        let law = Loss::Polynomial { coefficients_w: vec![15.0, 20.0, 60.0], reference_load: 2000.0 };
        let law = Converter::new(ConverterLosses::Law(law)).unwrap();
        assert_close("heat", law.heat_w(1000.0), 40.0, 1e-6);
        assert!(Converter::new(ConverterLosses::Efficiency { efficiency: 0.0, idle_w: 0.0 }).is_err());
        assert!(law.is_in_range(1e6) && simple.is_in_range(1e6));
        let curve = numerics::Curve::new(&[(0.0, 20.0), (500.0, 60.0)]).unwrap();
        let table = Converter::new(ConverterLosses::Law(Loss::Curve(curve))).unwrap();
        assert!(table.is_in_range(500.0) && !table.is_in_range(501.0));
    }
}
