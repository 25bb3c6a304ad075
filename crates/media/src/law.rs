//! The laws a liquid may follow, one enum per kind of property.

use crate::oil::Walther;
use crate::polynomial::{Pieces, Polynomial};
use numerics::{Curve, Scalar};

/// Density, kg/m3.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum DensityLaw {
    Polynomial(Polynomial),
    /// Thermal expansion of lubricating oils, from the density at 15 degC.
    Lubricant(f64),
    Table(Curve),
}

impl DensityLaw {
    #[inline]
    pub(crate) fn at<S: Scalar>(&self, temperature_k: S) -> S {
        match self {
            Self::Polynomial(law) => law.at(temperature_k),
            Self::Lubricant(at_15_c) => crate::oil::lubricant_density(*at_15_c, temperature_k),
            Self::Table(curve) => curve.at(temperature_k),
        }
    }
}

/// Specific heat, J/(kg K), with its exact integral.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum HeatLaw {
    Polynomial(Polynomial),
    Table(Pieces),
}

impl HeatLaw {
    #[inline]
    pub(crate) fn at<S: Scalar>(&self, temperature_k: S) -> S {
        match self {
            Self::Polynomial(law) => law.at(temperature_k),
            Self::Table(pieces) => pieces.at(temperature_k),
        }
    }

    /// Integral from a fixed but arbitrary temperature.
    #[inline]
    pub(crate) fn integral<S: Scalar>(&self, temperature_k: S) -> S {
        match self {
            Self::Polynomial(law) => law.integral(temperature_k),
            Self::Table(pieces) => pieces.integral(temperature_k),
        }
    }
}

/// Thermal conductivity, W/(m K).
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum ConductivityLaw {
    Polynomial(Polynomial),
    Table(Curve),
}

impl ConductivityLaw {
    #[inline]
    pub(crate) fn at<S: Scalar>(&self, temperature_k: S) -> S {
        match self {
            Self::Polynomial(law) => law.at(temperature_k),
            Self::Table(curve) => curve.at(temperature_k),
        }
    }
}

/// Dynamic viscosity, Pa s.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum ViscosityLaw {
    /// Logarithm of Pa s.
    LnPolynomial(Polynomial),
    /// `ln mu = a/(T + b) - c`
    Vogel { a: f64, b: f64, c: f64 },
    /// Kinematic viscosity of an oil; needs the density.
    Oil(Walther),
    /// Logarithm of Pa s.
    LnTable(Curve),
}

impl ViscosityLaw {
    #[inline]
    pub(crate) fn at<S: Scalar>(&self, temperature_k: S, density: &DensityLaw) -> S {
        match self {
            Self::LnPolynomial(law) => law.at(temperature_k).exp(),
            Self::Vogel { a, b, c } => ((temperature_k + *b).recip() * *a - *c).exp(),
            Self::Oil(law) => law.kinematic_mm2_s(temperature_k) * 1e-6 * density.at(temperature_k),
            Self::LnTable(curve) => curve.at(temperature_k).exp(),
        }
    }
}
