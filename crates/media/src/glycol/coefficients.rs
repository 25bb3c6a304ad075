//! Melinder 2010 coefficients of glycol and water, as published (four digits).
//!
//! Order of the 18 terms: powers (i, j) of (mass percent - centre) and (degC - centre), i = 0..5, j = 0..3, i + j <= 5,
//! j running faster. Recovered from CoolProp 8.0.0 INCOMP::MEG and MPG (`tests/data/glycol_polynomials.csv`).

/// One glycol in water.
pub(super) struct Melinder {
    pub(super) centre_mass_percent: f64,
    pub(super) centre_c: f64,
    /// kg/m3
    pub(super) density: [f64; 18],
    /// J/(kg K)
    pub(super) specific_heat: [f64; 18],
    /// W/(m K)
    pub(super) conductivity: [f64; 18],
    /// Logarithm of mPa s
    pub(super) ln_viscosity: [f64; 18],
    /// Freezing point in degC, by powers of (mass percent - centre)
    pub(super) freezing_c: [f64; 6],
}

pub(super) const ETHYLENE: Melinder = Melinder {
    centre_mass_percent: 30.8462,
    centre_c: 31.728,
    density: [
        1034.0, -0.4781, -0.002692, 4.725e-06, 1.311, -0.006876, 4.805e-05, 1.69e-08, 7.49e-05, 7.855e-05,
        -3.995e-07, 4.982e-09, -0.0001062, 1.229e-06, -1.153e-08, -9.623e-07, -7.211e-08, 4.891e-08,
    ],
    specific_heat: [
        3737.0, 2.93, -0.004675, -1.389e-05, -17.99, 0.1046, -0.0004147, 1.847e-07, -0.09933, 0.0003516,
        5.109e-06, -7.138e-08, 0.00261, -1.189e-06, -1.643e-07, 1.537e-05, -4.272e-07, -1.618e-06,
    ],
    conductivity: [
        0.472, 0.0008903, -1.058e-06, -2.789e-09, -0.004286, -1.473e-05, 1.059e-07, -1.142e-10, 1.747e-05,
        6.814e-08, -3.612e-09, 2.365e-12, 3.017e-08, -2.412e-09, 4.004e-11, -1.322e-09, 2.555e-11, 2.678e-11,
    ],
    ln_viscosity: [
        0.4705, -0.0255, 0.0001782, -7.669e-07, 0.02471, -0.0001171, 1.052e-06, -1.634e-08, 3.328e-06,
        1.086e-06, 1.051e-08, -6.475e-10, 1.659e-06, 3.157e-09, 4.063e-10, 3.089e-08, 1.831e-10, -1.865e-09,
    ],
    freezing_c: [-15.25, -0.808, -0.01334, -7.293e-05, 1.006e-06, 1.14e-09],
};

pub(super) const PROPYLENE: Melinder = Melinder {
    centre_mass_percent: 30.7031,
    centre_c: 32.7083,
    density: [
        1018.0, -0.5406, -0.002666, 1.347e-05, 0.7604, -0.00945, 5.541e-05, -1.343e-07, -0.002498, 2.7e-05,
        -4.018e-07, 3.376e-09, -0.000155, 2.829e-06, -7.175e-09, -1.131e-06, -2.221e-08, 2.342e-08,
    ],
    specific_heat: [
        3882.0, 2.699, -0.001659, -1.032e-05, -13.04, 0.0507, -4.752e-05, 1.522e-06, -0.1598, 9.534e-05,
        1.167e-05, -4.87e-08, 0.0003539, 3.102e-05, -2.95e-07, 5e-05, -7.135e-07, -4.959e-07,
    ],
    conductivity: [
        0.4513, 0.0007955, 3.482e-08, -5.966e-09, -0.004795, -1.678e-05, 8.941e-08, 1.493e-10, 2.076e-05,
        1.563e-07, -4.615e-09, 9.897e-12, -9.083e-08, -2.518e-09, 6.543e-11, -5.952e-10, -3.605e-11,
        2.104e-11,
    ],
    ln_viscosity: [
        0.6837, -0.03045, 0.0002525, -1.399e-06, 0.03328, -0.0003984, 4.332e-06, -1.86e-08, 5.453e-05,
        -8.6e-08, -1.593e-08, -4.465e-11, -3.9e-06, 1.054e-07, -1.589e-09, -1.587e-08, 4.475e-10, 3.564e-09,
    ],
    freezing_c: [-13.25, -0.6631, -0.01094, -0.0002283, -3.409e-06, 1.465e-08],
};
