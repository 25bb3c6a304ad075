//! The exact series for thermally developing laminar tube flow: the yardstick of the entry formulas.

/// First eigenvalues and constants `G_n` of the Graetz problem, where the asymptotic forms are not yet good to 1e-5.
/// Own high-accuracy solution of the eigenvalue problem; agrees with the printed digits of Shah & London 1978.
const FIRST: [(f64, f64); 4] = [
    (2.704_364_419_9, 0.748_774_555_1),
    (6.679_031_449_4, 0.543_827_956_2),
    (10.673_379_538_1, 0.462_861_060_2),
    (14.671_078_462_7, 0.415_418_453_5),
];

const TERMS: u32 = 120;

/// Mean Nusselt number over the length: laminar tube, parabolic profile, constant wall temperature, exact.
///
/// # Formula
/// ```text
/// Nu = Gz/4 ln(1/theta)     theta = 8 sum G_n/lambda_n^2 exp(-2 lambda_n^2/Gz)      Gz = Re Pr D/L
/// ```
/// Eigenvalues above the fourth by their asymptotic expansion in `4 n + 8/3`.
///
/// # Valid range
/// `Gz` up to 1e4; above it Leveque's near-entry expansion `1.6151 Gz^(1/3) - 1.2 - 0.2964 Gz^(-1/3)` for the mean on the
/// inlet temperature difference (Newman 1969, constants unconfirmed), turned into the logarithmic mean. The two meet within 1e-4. A
/// check for other formulas, not made for solvers: some hundred exponentials a call.
///
/// # Source
/// Graetz 1883; Shah & London 1978, Laminar Flow Forced Convection in Ducts, section on the Graetz problem (asymptotic
/// constants unconfirmed in print, checked against an own solution). Checked by `nusselt_internal.csv`.
pub fn graetz_mean_series(graetz: f64) -> f64 {
    if graetz > 1e4 {
        let third = graetz.cbrt();
        let on_inlet_difference = 1.6151 * third - 1.2 - 0.2964 / third;
        return -0.25 * graetz * (-4.0 * on_inlet_difference / graetz).ln_1p();
    }
    // the slowest exponential is taken out, so that long tubes do not underflow
    let (slowest, _) = FIRST[0];
    let sum: f64 = (0..TERMS)
        .map(|n| {
            let (lambda, g) = eigenvalue(n);
            g / (lambda * lambda) * (-2.0 * (lambda * lambda - slowest * slowest) / graetz).exp()
        })
        .sum();
    0.25 * graetz * (2.0 * slowest * slowest / graetz - (8.0 * sum).ln())
}

fn eigenvalue(n: u32) -> (f64, f64) {
    if let Some(&known) = FIRST.get(n as usize) {
        return known;
    }
    let l = 4.0 * f64::from(n) + 8.0 / 3.0;
    let lambda = l + 0.159_152_288 * l.powf(-4.0 / 3.0) + 0.011_485_635_4 * l.powf(-8.0 / 3.0)
        - 0.224_731_440 * l.powf(-10.0 / 3.0)
        - 0.033_772_601 * l.powf(-11.0 / 3.0);
    let g = 1.012_787_288 / lambda.cbrt()
        * (1.0 + 0.144_335_160 * l.powf(-4.0 / 3.0) + 0.115_555_556 / (l * l)
            - 0.212_203_05 * l.powf(-7.0 / 3.0)
            - 0.187_130_142 * l.powf(-10.0 / 3.0)
            + 0.091_885_083_2 * l.powf(-11.0 / 3.0));
    (lambda, g)
}
