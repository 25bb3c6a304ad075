//! Dry air as an ideal gas.

use crate::polynomial::Polynomial;
use numerics::{Scalar, hold};

/// The name a user types.
pub const NAME: &str = "air";
/// Specific gas constant of dry air, J/(kg K) (ISO 2533, US Standard Atmosphere 1976).
pub const GAS_CONSTANT: f64 = 287.05287;
/// Where the specific heat is fitted, K. Outside it is held; the other laws go on (100 to 1900 K, not checked here).
pub const RANGE_K: (f64, f64) = (200.0, 500.0);
/// Where the laws come from.
pub const SOURCE: &str = "ideal gas, R 287.05287 J/(kg K); specific heat fitted to the reference equation of Lemmon et al. 2000 at \
                          100 kPa (CoolProp 8.0.0); viscosity and conductivity of the US Standard Atmosphere 1976";

/// z = (T - 350)/150; worst residual 2.9e-5 over [`RANGE_K`] (`fit/fit.py`).
static SPECIFIC_HEAT: Polynomial = Polynomial::new(
    350.0,
    150.0,
    &[1009.202841, 11.63775266, 9.358455905, 0.3080924569, -0.2799356504, -0.3821517538],
);

/// Density, kg/m3: `p/(R T)`. Within 0.2 % of the reference equation at 100 kPa from 223 to 473 K.
#[inline]
pub fn density<S: Scalar>(temperature_k: S, pressure_pa: S) -> S {
    pressure_pa / (temperature_k * GAS_CONSTANT)
}

/// Specific heat at constant pressure, J/(kg K).
#[inline]
pub fn specific_heat<S: Scalar>(temperature_k: S) -> S {
    SPECIFIC_HEAT.at(hold(temperature_k, RANGE_K.0, RANGE_K.1))
}

/// Enthalpy above 273.15 K, J/kg: the exact integral of [`specific_heat`].
#[inline]
pub fn enthalpy<S: Scalar>(temperature_k: S) -> S {
    let held = hold(temperature_k, RANGE_K.0, RANGE_K.1);
    let inside = SPECIFIC_HEAT.integral(held) - SPECIFIC_HEAT.integral(crate::ENTHALPY_ZERO_K);
    if in_range(temperature_k.value()) {
        inside
    } else {
        inside + SPECIFIC_HEAT.at(held) * (temperature_k - held)
    }
}

/// Dynamic viscosity, Pa s (Sutherland's form): `1.458e-6 T^1.5/(T + 110.4)`.
#[inline]
pub fn viscosity<S: Scalar>(temperature_k: S) -> S {
    temperature_k * temperature_k.sqrt() * 1.458e-6 / (temperature_k + 110.4)
}

/// Thermal conductivity, W/(m K): `2.64638e-3 T^1.5/(T + 245.4 x 10^(-12/T))`.
#[inline]
pub fn conductivity<S: Scalar>(temperature_k: S) -> S {
    let power = (temperature_k.recip() * (-12.0 * std::f64::consts::LN_10)).exp();
    temperature_k * temperature_k.sqrt() * 2.64638e-3 / (temperature_k + power * 245.4)
}

/// Prandtl number `mu cp/k`.
#[inline]
pub fn prandtl<S: Scalar>(temperature_k: S) -> S {
    viscosity(temperature_k) * specific_heat(temperature_k) / conductivity(temperature_k)
}

/// Whether the sources cover this temperature.
#[inline]
pub fn in_range(temperature_k: f64) -> bool {
    RANGE_K.0 <= temperature_k && temperature_k <= RANGE_K.1
}
