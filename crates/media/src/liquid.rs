//! The prepared liquid: what the solver evaluates.

use crate::Spread;
use crate::law::{ConductivityLaw, DensityLaw, HeatLaw, ViscosityLaw};
use crate::vapour::VapourLaw;
use numerics::{Scalar, hold};
use std::sync::Arc;

/// Where enthalpy is zero, 0 degC.
pub const ENTHALPY_ZERO_K: f64 = 273.15;

/// Everything known about a liquid; made once, then only read.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Data {
    pub(crate) name: String,
    pub(crate) description: String,
    pub(crate) source: String,
    /// The range the sources cover.
    pub(crate) fitted_k: (f64, f64),
    /// The laws are evaluated here and held outside; contains `fitted_k`.
    pub(crate) evaluated_k: (f64, f64),
    /// False when the strength itself lies outside the law.
    pub(crate) strength_fitted: bool,
    pub(crate) density: DensityLaw,
    pub(crate) heat: HeatLaw,
    pub(crate) viscosity: ViscosityLaw,
    pub(crate) conductivity: ConductivityLaw,
    pub(crate) freezing_k: Option<f64>,
    pub(crate) vapour: Option<VapourLaw>,
    pub(crate) spread: Spread,
}

/// A liquid, ready to be evaluated: cheap to clone, evaluation allocates nothing.
///
/// Temperatures are in K. Outside [`Liquid::evaluated_range_k`] every property is held at the edge (the specific
/// heat too, so that the enthalpy goes on as a straight line); callers ask [`Liquid::in_range`] and flag the result.
/// Pressure has no influence (liquids far below their critical point).
///
/// ```
/// let coolant = media::Liquid::named("ethylene-glycol:0.5").unwrap();
/// // Melinder 2010 at 60 degC
/// assert!((coolant.specific_heat(333.15_f64) - 3486.0).abs() < 20.0);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Liquid {
    data: Arc<Data>,
    /// Integral of the specific heat at [`ENTHALPY_ZERO_K`].
    zero_j_kg: f64,
}

impl Liquid {
    pub(crate) fn from_data(data: Data) -> Self {
        let mut liquid = Self { data: Arc::new(data), zero_j_kg: 0.0 };
        liquid.zero_j_kg = liquid.enthalpy(ENTHALPY_ZERO_K);
        liquid
    }

    /// Density, kg/m3.
    #[inline]
    pub fn density<S: Scalar>(&self, temperature_k: S) -> S {
        self.data.density.at(self.held(temperature_k))
    }

    /// Specific heat at constant pressure, J/(kg K).
    #[inline]
    pub fn specific_heat<S: Scalar>(&self, temperature_k: S) -> S {
        self.data.heat.at(self.held(temperature_k))
    }

    /// Dynamic viscosity, Pa s.
    #[inline]
    pub fn viscosity<S: Scalar>(&self, temperature_k: S) -> S {
        self.data.viscosity.at(self.held(temperature_k), &self.data.density)
    }

    /// Thermal conductivity, W/(m K).
    #[inline]
    pub fn conductivity<S: Scalar>(&self, temperature_k: S) -> S {
        self.data.conductivity.at(self.held(temperature_k))
    }

    /// Enthalpy above 273.15 K, J/kg: the exact integral of [`Liquid::specific_heat`].
    #[inline]
    pub fn enthalpy<S: Scalar>(&self, temperature_k: S) -> S {
        let held = self.held(temperature_k);
        let inside = self.data.heat.integral(held) - self.zero_j_kg;
        let (low, high) = self.data.evaluated_k;
        if low <= temperature_k.value() && temperature_k.value() <= high {
            inside
        } else {
            inside + self.data.heat.at(held) * (temperature_k - held)
        }
    }

    /// Prandtl number `mu cp/k`.
    #[inline]
    pub fn prandtl<S: Scalar>(&self, temperature_k: S) -> S {
        self.viscosity(temperature_k) * self.specific_heat(temperature_k) / self.conductivity(temperature_k)
    }

    #[inline]
    fn held<S: Scalar>(&self, temperature_k: S) -> S {
        hold(temperature_k, self.data.evaluated_k.0, self.data.evaluated_k.1)
    }

    /// The range the sources cover, K. Results outside are flagged.
    pub fn range_k(&self) -> (f64, f64) {
        self.data.fitted_k
    }

    /// Where the laws are evaluated, K: [`Liquid::range_k`], and for glycols 10 K more at the hot end. Outside,
    /// properties are held.
    pub fn evaluated_range_k(&self) -> (f64, f64) {
        self.data.evaluated_k
    }

    /// Whether the sources cover this temperature, and for a mixture its strength.
    pub fn in_range(&self, temperature_k: f64) -> bool {
        let (low, high) = self.data.fitted_k;
        self.data.strength_fitted && low <= temperature_k && temperature_k <= high
    }

    /// Where the liquid begins to freeze, K; for an oil its pour point. Nothing where it is not known.
    pub fn freezing_point_k(&self) -> Option<f64> {
        self.data.freezing_k
    }

    /// The warm end of what published sources say about [`Liquid::freezing_point_k`], K: what a margin is taken from.
    pub fn warmest_freezing_point_k(&self) -> Option<f64> {
        Some(self.data.freezing_k? + self.data.spread.freezing_k.unwrap_or(0.0))
    }

    /// Vapour pressure, Pa absolute. Nothing where it is not known (oils) or outside the law (250 to 640 K for water
    /// and glycols).
    pub fn vapour_pressure_pa(&self, temperature_k: f64) -> Option<f64> {
        self.data.vapour.as_ref()?.pressure_pa(temperature_k)
    }

    /// The same also outside the law: held below it, which is not less than the true pressure, continued above it. Nothing only where the
    /// vapour pressure is not known.
    pub fn vapour_pressure_continued_pa(&self, temperature_k: f64) -> Option<f64> {
        Some(self.data.vapour.as_ref()?.continued_pa(temperature_k))
    }

    /// Boiling point at an absolute pressure, K. Nothing where the vapour pressure is not known or not reached.
    pub fn boiling_point_k(&self, pressure_abs_pa: f64) -> Option<f64> {
        self.data.vapour.as_ref()?.boiling_point_k(pressure_abs_pa)
    }

    /// The name in the form [`Liquid::named`] takes, or the user's own.
    pub fn name(&self) -> &str {
        &self.data.name
    }

    /// One line for people: "ethylene glycol 50.0 % by mass (47.3 % by volume) in water".
    pub fn description(&self) -> String {
        self.data.description.clone()
    }

    /// Where the property laws come from.
    pub fn source(&self) -> &str {
        &self.data.source
    }

    /// How far published sources disagree.
    pub fn spread(&self) -> &Spread {
        &self.data.spread
    }
}
