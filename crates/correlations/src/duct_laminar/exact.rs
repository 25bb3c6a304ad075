//! Rectangular ducts by Fourier series: the yardstick of the published fits. Not for hot loops.
//!
//! The duct is `0..A` by `0..B` with `A = 1` the short side. The velocity of a unit pressure gradient is
//! `u = sum u_mn sin(m pi x/A) sin(n pi y/B)`, `u_mn = 16/(pi^2 m n k_mn)`, `k_mn = pi^2 (m^2/A^2 + n^2/B^2)`, m and n odd.

use std::f64::consts::PI;

/// Odd numbers up to this enter the double sums.
const LAST_WAVE: u32 = 399;
/// Waves in each direction of the Galerkin solution, and of the velocity in it.
const WAVES: usize = 16;
const VELOCITY_WAVES: usize = 40;

fn odd(index: usize) -> f64 {
    (2 * index + 1) as f64
}

fn hydraulic_diameter(long: f64) -> f64 {
    2.0 * long / (1.0 + long)
}

/// Fanning `f Re` of a rectangular duct, exact.
///
/// # Formula
/// ```text
/// f Re = 24/{ (1 + a)^2 [1 - (192 a/pi^5) sum tanh(n pi/(2 a))/n^5] }      n odd
/// ```
pub fn rectangle_fanning_f_re(aspect: f64) -> f64 {
    let sum: f64 = (0..60)
        .map(odd)
        .map(|n| if aspect > 0.0 { (n * PI / (2.0 * aspect)).tanh() } else { 1.0 } / n.powi(5))
        .sum();
    24.0 / ((1.0 + aspect).powi(2) * (1.0 - 192.0 * aspect / PI.powi(5) * sum))
}

/// Nusselt number H1 of a rectangular duct, exact: the temperature follows from the velocity by a second Poisson problem.
pub fn rectangle_nusselt_h1(aspect: f64) -> f64 {
    if aspect < 1e-3 {
        return super::PARALLEL_PLATES.nusselt_h1;
    }
    let long = 1.0 / aspect;
    let (mut velocity, mut heat) = (0.0, 0.0);
    for m in (1..=LAST_WAVE).step_by(2).map(f64::from) {
        for n in (1..=LAST_WAVE).step_by(2).map(f64::from) {
            let k = PI * PI * (m * m + n * n / (long * long));
            let weight = 1.0 / (m * m * n * n * k);
            velocity += weight;
            heat += weight / (k * k);
        }
    }
    // Nu = Dh^2/(4 theta_b), theta_b the bulk temperature for unit heat per area
    let mean_velocity = 64.0 / PI.powi(4) * velocity;
    let bulk = 64.0 / PI.powi(4) * heat / (mean_velocity * mean_velocity);
    hydraulic_diameter(long).powi(2) / (4.0 * bulk)
}

/// Nusselt number T of a rectangular duct: lowest eigenvalue of `-laplace T = lambda u/u_mean T`, `Nu = lambda Dh^2/4`.
///
/// Galerkin's method with sines; converged to about 1e-5 for aspect ratios above 0.02.
pub fn rectangle_nusselt_t(aspect: f64) -> f64 {
    if aspect < 1e-3 {
        return super::PARALLEL_PLATES.nusselt_t;
    }
    let long = 1.0 / aspect;
    let wave_number = |m: usize, n: usize| PI * PI * (odd(m).powi(2) + (odd(n) / long).powi(2));
    let velocity = mean_one_velocity(long);
    let weight = weighted_products(&velocity);
    // power iteration on K^-1 M; K is diagonal
    let size = WAVES * WAVES;
    let mut shape: Vec<f64> = (0..size).map(|i| if i == 0 { 1.0 } else { 0.0 }).collect();
    let mut inverse_lambda = 0.0;
    for _ in 0..4000 {
        let next: Vec<f64> = (0..size)
            .map(|i| {
                let row = &weight[i * size..(i + 1) * size];
                let product: f64 = row.iter().zip(&shape).map(|(w, s)| w * s).sum();
                4.0 * product / wave_number(i / WAVES, i % WAVES)
            })
            .collect();
        let norm = next.iter().map(|x| x * x).sum::<f64>().sqrt();
        let change = (norm - inverse_lambda).abs();
        shape = next.iter().map(|x| x / norm).collect();
        inverse_lambda = norm;
        if change < 1e-13 * norm {
            break;
        }
    }
    hydraulic_diameter(long).powi(2) / (4.0 * inverse_lambda)
}

/// Fourier coefficients of the velocity over its mean, in the unit square.
fn mean_one_velocity(long: f64) -> Vec<f64> {
    let mut coefficients = Vec::with_capacity(VELOCITY_WAVES * VELOCITY_WAVES);
    let mut mean = 0.0;
    for m in (0..VELOCITY_WAVES).map(odd) {
        for n in (0..VELOCITY_WAVES).map(odd) {
            let c = 1.0 / (m * n * (m * m + n * n / (long * long)));
            mean += 4.0 / (PI * PI * m * n) * c;
            coefficients.push(c);
        }
    }
    coefficients.into_iter().map(|c| c / mean).collect()
}

/// `integral of u sin sin sin sin` over the unit square for every pair of waves.
fn weighted_products(velocity: &[f64]) -> Vec<f64> {
    let size = WAVES * WAVES;
    let triple: Vec<f64> = (0..WAVES * WAVES * VELOCITY_WAVES)
        .map(|i| {
            let (pair, r) = (i / VELOCITY_WAVES, i % VELOCITY_WAVES);
            triple_sine(odd(pair / WAVES), odd(pair % WAVES), odd(r))
        })
        .collect();
    let of = |a: usize, b: usize| &triple[(a * WAVES + b) * VELOCITY_WAVES..][..VELOCITY_WAVES];
    // sum over the waves along y first: half[n q][r]
    let mut half = vec![0.0; size * VELOCITY_WAVES];
    for pair in 0..size {
        let along = of(pair / WAVES, pair % WAVES);
        for r in 0..VELOCITY_WAVES {
            let row = &velocity[r * VELOCITY_WAVES..(r + 1) * VELOCITY_WAVES];
            half[pair * VELOCITY_WAVES + r] = row.iter().zip(along).map(|(u, t)| u * t).sum();
        }
    }
    let mut weight = vec![0.0; size * size];
    for i in 0..size {
        for j in 0..size {
            let across = of(i / WAVES, j / WAVES);
            let pair = (i % WAVES) * WAVES + j % WAVES;
            let rest = &half[pair * VELOCITY_WAVES..(pair + 1) * VELOCITY_WAVES];
            weight[i * size + j] = across.iter().zip(rest).map(|(a, b)| a * b).sum();
        }
    }
    weight
}

/// `integral over 0..1 of sin(m pi x) sin(p pi x) sin(r pi x)` for odd m, p, r.
fn triple_sine(m: f64, p: f64, r: f64) -> f64 {
    // sin m sin p = (cos(m-p) - cos(m+p))/2; integral of cos(a) sin(r) = 2 r/(pi (r^2 - a^2)) for even a, odd r
    let part = |a: f64| r / (r * r - a * a);
    (part(m - p) - part(m + p)) / PI
}
