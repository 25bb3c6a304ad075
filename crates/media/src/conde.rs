//! The second glycol law, only to measure how far two sources differ.

/// Properties of ethylene glycol and water by M. Conde, Thermophysical Properties of Brines, 2011, as quoted in
/// public code (a second source; [`crate::Liquid`] uses Melinder 2010).
///
/// ```text
/// P = A1 + A2 x + A3 th + A4 x th + A5 th^2      th = 273.15/T, x glycol mass fraction
/// ```
/// `P` is density, specific heat, conductivity, or the logarithm of the viscosity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conde {
    /// kg/m3
    pub density_kg_m3: f64,
    /// J/(kg K)
    pub specific_heat_j_kgk: f64,
    /// W/(m K)
    pub conductivity_w_mk: f64,
    /// Pa s
    pub viscosity_pa_s: f64,
    /// Freezing point at the strength, K: `273.15 (1 - 0.06982 x - 0.3578 x^2)`
    pub freezing_k: f64,
}

const DENSITY: [f64; 5] = [658.49825, -54.81501, 664.71643, 232.72605, -322.61661];
const SPECIFIC_HEAT: [f64; 5] = [5.36449, 0.78863, -2.59001, -2.73187, 1.43759];
const CONDUCTIVITY: [f64; 5] = [0.83818, -1.37620, -0.07629, 1.07720, -0.20174];
const LN_VISCOSITY: [f64; 5] = [-4.63024, -2.14817, -12.70106, 5.40536, 10.98990];

/// The Conde law at a glycol mass fraction and a temperature.
pub fn ethylene_glycol_conde(mass_fraction: f64, temperature_k: f64) -> Conde {
    let theta = 273.15 / temperature_k;
    let law = |a: &[f64; 5]| {
        a[0] + a[1] * mass_fraction + a[2] * theta + a[3] * mass_fraction * theta + a[4] * theta * theta
    };
    Conde {
        density_kg_m3: law(&DENSITY),
        specific_heat_j_kgk: 1000.0 * law(&SPECIFIC_HEAT),
        conductivity_w_mk: law(&CONDUCTIVITY),
        viscosity_pa_s: law(&LN_VISCOSITY).exp(),
        freezing_k: 273.15 * (1.0 - 0.06982 * mass_fraction - 0.3578 * mass_fraction * mass_fraction),
    }
}
