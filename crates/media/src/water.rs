//! Water.

use crate::law::{ConductivityLaw, DensityLaw, HeatLaw, ViscosityLaw};
use crate::liquid::{Data, Liquid};
use crate::polynomial::Polynomial;
use crate::vapour::VapourLaw;
use crate::{MediaError, Spread};

// Least squares on 301 points at 500 kPa, 273.16 to 423.15 K, CoolProp 8.0.0 HEOS::Water (IAPWS-95; viscosity
// IAPWS 2008, conductivity IAPWS 2011), by `fit/fit.py`; z = (T - 348.15)/75.
/// Worst residual 2.3e-6.
const DENSITY: [f64; 8] = [
    975.02152,
    -44.80096538,
    -14.71142677,
    2.579333102,
    -1.203133957,
    0.3821387535,
    -0.5716949639,
    0.3266309781,
];
/// Worst residual 9.7e-6.
const SPECIFIC_HEAT: [f64; 9] = [
    4192.343264,
    50.23861668,
    45.62796981,
    12.26334292,
    13.00335244,
    -6.214299061,
    3.511854292,
    -11.49000674,
    7.734725952,
];
/// Worst residual 2.4e-5.
const LN_VISCOSITY: [f64; 9] = [
    -7.881878297,
    -0.9803897709,
    0.3415265792,
    -0.1230163877,
    0.05324867337,
    -0.02180246567,
    0.01179834757,
    -0.01630374825,
    0.008711146912,
];
/// Worst residual 2.0e-4.
const CONDUCTIVITY: [f64; 6] =
    [0.6636892557, 0.05450247572, -0.04015982602, 0.004011617479, -0.004943441358, 0.004005024351];

const RANGE_K: (f64, f64) = (273.15, 423.15);

#[expect(clippy::unnecessary_wraps, reason = "one signature for all makers of liquids")]
pub(crate) fn water() -> Result<Liquid, MediaError> {
    let law = |coefficients: &[f64]| Polynomial::new(348.15, 75.0, coefficients);
    Ok(Liquid::from_data(Data {
        name: "water".to_owned(),
        description: "water".to_owned(),
        source: "polynomials on IAPWS-95 and the IAPWS 2008/2011 transport formulations at 500 kPa; vapour pressure \
                 IAPWS SR1-86 (Wagner & Pruss 1993)"
            .to_owned(),
        fitted_k: RANGE_K,
        evaluated_k: RANGE_K,
        strength_fitted: true,
        density: DensityLaw::Polynomial(law(&DENSITY)),
        heat: HeatLaw::Polynomial(law(&SPECIFIC_HEAT)),
        viscosity: ViscosityLaw::LnPolynomial(law(&LN_VISCOSITY)),
        conductivity: ConductivityLaw::Polynomial(law(&CONDUCTIVITY)),
        freezing_k: Some(273.15),
        vapour: Some(VapourLaw::Water),
        spread: Spread {
            density: 0.0005,
            specific_heat: 0.002,
            viscosity: 0.02,
            conductivity: 0.02,
            freezing_k: Some(0.0),
            words: "uncertainty stated with the IAPWS formulations (viscosity 1-2 %, conductivity 1-2 %), \
                    influence of 100 to 500 kPa, and residual of the fit"
                .to_owned(),
        },
    }))
}
