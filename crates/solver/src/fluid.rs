//! The medium of a circuit, seen as a few functions of temperature.

use media::{Liquid, air};
use numerics::{Scalar, constant};

/// A liquid, or dry air at the pressure of the surroundings.
#[derive(Clone, Debug)]
pub enum Fluid {
    /// A coolant or an oil.
    Liquid(Liquid),
    /// Air as an ideal gas at one static pressure: the few hundred pascals along a duct change its density by
    /// less than half a per cent.
    Air {
        /// Static pressure of the surroundings, Pa.
        pressure_pa: f64,
    },
}

impl Fluid {
    /// Density, kg/m3.
    #[inline]
    pub fn density<S: Scalar>(&self, temperature_k: S) -> S {
        match self {
            Self::Liquid(liquid) => liquid.density(temperature_k),
            Self::Air { pressure_pa } => air::density(temperature_k, constant(*pressure_pa)),
        }
    }

    /// Specific heat at constant pressure, J/(kg K).
    #[inline]
    pub fn specific_heat<S: Scalar>(&self, temperature_k: S) -> S {
        match self {
            Self::Liquid(liquid) => liquid.specific_heat(temperature_k),
            Self::Air { .. } => air::specific_heat(temperature_k),
        }
    }

    /// Dynamic viscosity, Pa s.
    #[inline]
    pub fn viscosity<S: Scalar>(&self, temperature_k: S) -> S {
        match self {
            Self::Liquid(liquid) => liquid.viscosity(temperature_k),
            Self::Air { .. } => air::viscosity(temperature_k),
        }
    }

    /// Thermal conductivity, W/(m K).
    #[inline]
    pub fn conductivity<S: Scalar>(&self, temperature_k: S) -> S {
        match self {
            Self::Liquid(liquid) => liquid.conductivity(temperature_k),
            Self::Air { .. } => air::conductivity(temperature_k),
        }
    }

    /// Enthalpy, J/kg: the exact integral of the specific heat.
    #[inline]
    pub fn enthalpy<S: Scalar>(&self, temperature_k: S) -> S {
        match self {
            Self::Liquid(liquid) => liquid.enthalpy(temperature_k),
            Self::Air { .. } => air::enthalpy(temperature_k),
        }
    }

    /// Prandtl number.
    #[inline]
    pub fn prandtl<S: Scalar>(&self, temperature_k: S) -> S {
        self.viscosity(temperature_k) * self.specific_heat(temperature_k) / self.conductivity(temperature_k)
    }

    /// Whether the property laws are fitted at this temperature.
    pub fn in_range(&self, temperature_k: f64) -> bool {
        match self {
            Self::Liquid(liquid) => liquid.in_range(temperature_k),
            Self::Air { .. } => {
                let (low, high) = air::RANGE_K;
                low <= temperature_k && temperature_k <= high
            }
        }
    }
}
