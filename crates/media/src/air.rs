//! Dry air as an ideal gas.

use crate::polynomial::Polynomial;
use numerics::{Scalar, hold};

/// The name a user types.
pub const NAME: &str = "air";
/// Specific gas constant of dry air, J/(kg K) (ISO 2533, US Standard Atmosphere 1976).
pub const GAS_CONSTANT: f64 = 287.05287;
/// Range of the laws, K. Outside it properties are held at the edge, the specific heat too.
pub const RANGE_K: (f64, f64) = (180.0, 500.0);
/// Where the laws come from.
pub const SOURCE: &str = "ideal gas, R 287.05287 J/(kg K); specific heat and conductivity fitted to Lemmon et al. 2000 and Lemmon & \
                          Jacobsen 2004 at 100 kPa (CoolProp 8.0.0); viscosity by Sutherland (US Standard Atmosphere 1976)";

/// z = (T - 340)/160; worst residual 2.1e-5 over [`RANGE_K`] (`fit/fit.py`).
static SPECIFIC_HEAT: Polynomial = Polynomial::new(
    340.0,
    160.0,
    &[1008.460226, 11.05149642, 10.77980579, 0.6876436791, -0.9621703929, -0.8330953104, 0.6892958499],
);

/// Integral of the specific heat from 340 K to [`crate::ENTHALPY_ZERO_K`], J/kg; a test holds it against the polynomial.
const ZERO_J_KG: f64 = -67302.08351548159;

/// z = (T - 340)/160; worst residual 3.4e-6 over [`RANGE_K`] (`fit/fit.py`).
static CONDUCTIVITY: Polynomial = Polynomial::new(
    340.0,
    160.0,
    &[0.02929360593, 0.01140433928, -0.0008922473436, 0.0001646719996, -2.964087454e-05, 3.63143262e-06],
);

/// Density, kg/m3: `p/(R T)`. Within 0.2 % of the reference equation at 100 kPa from 223 to 473 K.
#[inline]
pub fn density<S: Scalar>(temperature_k: S, pressure_pa: S) -> S {
    pressure_pa / (temperature_k * GAS_CONSTANT)
}

/// Specific heat at constant pressure, J/(kg K).
#[inline]
pub fn specific_heat<S: Scalar>(temperature_k: S) -> S {
    SPECIFIC_HEAT.at(held(temperature_k))
}

/// Enthalpy above 273.15 K, J/kg: the exact integral of [`specific_heat`].
#[inline]
pub fn enthalpy<S: Scalar>(temperature_k: S) -> S {
    let held = held(temperature_k);
    let inside = SPECIFIC_HEAT.integral(held) - ZERO_J_KG;
    if in_range(temperature_k.value()) {
        inside
    } else {
        inside + SPECIFIC_HEAT.at(held) * (temperature_k - held)
    }
}

/// Dynamic viscosity, Pa s (Sutherland's form): `1.458e-6 T^1.5/(T + 110.4)`.
///
/// 0.3-0.5 % below the reference transport equation under 300 K, 1.4 % below it at 500 K.
#[inline]
pub fn viscosity<S: Scalar>(temperature_k: S) -> S {
    let t = held(temperature_k);
    t * t.sqrt() * 1.458e-6 / (t + 110.4)
}

/// Thermal conductivity, W/(m K), of the reference transport equation at 100 kPa.
#[inline]
pub fn conductivity<S: Scalar>(temperature_k: S) -> S {
    CONDUCTIVITY.at(held(temperature_k))
}

/// Thermal conductivity of the US Standard Atmosphere 1976, W/(m K): `2.64638e-3 T^1.5/(T + 245.4 x 10^(-12/T))`.
///
/// A second source: it lies 1.8 % below [`conductivity`] at 223 K and 1.1 % above it at 473 K, which would put the Prandtl
/// number 2.3 % off.
#[inline]
pub fn conductivity_us_standard_1976<S: Scalar>(temperature_k: S) -> S {
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

#[inline]
fn held<S: Scalar>(temperature_k: S) -> S {
    hold(temperature_k, RANGE_K.0, RANGE_K.1)
}
