//! Heat-transfer liquids that do not conduct: low-viscosity silicone oil and an aliphatic hydrocarbon.

use crate::law::{ConductivityLaw, DensityLaw, HeatLaw, ViscosityLaw};
use crate::liquid::{Data, Liquid};
use crate::polynomial::Polynomial;
use crate::{MediaError, Spread};

const RANGE_K: (f64, f64) = (193.15, 473.15);

/// Coefficients of one liquid, z = (T - 333.15)/140; viscosity `ln(mu/Pa s) = a/(T + b) - c`.
struct Coefficients {
    density: [f64; 4],
    specific_heat: [f64; 4],
    conductivity: [f64; 4],
    viscosity: (f64, f64, f64),
}

/// CoolProp 8.0.0 INCOMP::XLT, recovered by `fit/fit.py` with residuals below 1e-9.
const SILICONE: Coefficients = Coefficients {
    density: [814.1896971, -143.8055208, 0.001983139368, 0.002845012128],
    specific_heat: [1855.745309, 293.9956782, 0.01512637448, 0.0],
    conductivity: [0.1018975868, -0.03195593335, -0.002953215496, 0.000307413064],
    viscosity: (1033.765, -43.32277, 10.71506),
};

/// CoolProp 8.0.0 INCOMP::TD12, recovered by `fit/fit.py` with residuals below 1e-9.
const ALIPHATIC: Coefficients = Coefficients {
    density: [733.3944163, -104.1220689, -9.706047155, -4.252681384],
    specific_heat: [2250.839112, 559.2793245, 26.55026927, 6.430723152],
    conductivity: [0.1035406744, -0.02341051783, -0.003155875168, 1.250087373e-05],
    viscosity: (565.2109, -124.6843, 10.06468),
};

pub(crate) fn silicone() -> Result<Liquid, MediaError> {
    liquid(
        &SILICONE,
        "silicone",
        "low-viscosity silicone (polydimethylsiloxane) heat-transfer oil",
        "CoolProp 8.0.0 INCOMP::XLT",
    )
}

pub(crate) fn aliphatic() -> Result<Liquid, MediaError> {
    liquid(
        &ALIPHATIC,
        "aliphatic",
        "synthetic aliphatic hydrocarbon heat-transfer oil",
        "CoolProp 8.0.0 INCOMP::TD12",
    )
}

#[expect(clippy::unnecessary_wraps, reason = "one signature for all makers of liquids")]
fn liquid(
    coefficients: &Coefficients,
    name: &str,
    description: &str,
    source: &str,
) -> Result<Liquid, MediaError> {
    let law = |c: &[f64]| Polynomial::new(333.15, 140.0, c);
    let (a, b, c) = coefficients.viscosity;
    Ok(Liquid::from_data(Data {
        name: name.to_owned(),
        description: description.to_owned(),
        source: source.to_owned(),
        fitted_k: RANGE_K,
        evaluated_k: RANGE_K,
        strength_fitted: true,
        density: DensityLaw::Polynomial(law(&coefficients.density)),
        heat: HeatLaw::Polynomial(law(&coefficients.specific_heat)),
        viscosity: ViscosityLaw::Vogel { a, b, c },
        conductivity: ConductivityLaw::Polynomial(law(&coefficients.conductivity)),
        freezing_k: None,
        vapour: None,
        spread: Spread {
            density: 0.02,
            specific_heat: 0.05,
            viscosity: 0.15,
            conductivity: 0.10,
            freezing_k: None,
            words:
                "one source only; between products of the class (from memory). Freezing and boiling points \
                    are not known here: take them from the maker's data sheet"
                    .to_owned(),
        },
    }))
}
