//! Crossflow in one pass.

use crate::maths::decay_mean;
use numerics::{Scalar, constant, hold, root_rising};

/// Above this number of transfer units [`crossflow_unmixed`] is held: nothing real comes near it.
pub const LARGEST_NTU: f64 = 1e4;

/// Effectiveness of crossflow with both fluids unmixed, exact.
///
/// # Formula
/// ```text
/// e = 1/(C N) sum over n >= 0 of [1 - e^-N sum_{m<=n} N^m/m!] [1 - e^-CN sum_{m<=n} (CN)^m/m!]
/// ```
/// Each bracket is the chance that a Poisson number of mean N (or CN) exceeds n. They are run by recurrence, started where the
/// smaller one leaves 1, so that large NTU neither underflow nor cost more than some multiples of `sqrt(C N)` terms.
/// The limits are exact: `1 - exp(-N)` at `C = 0`, `1 - 1/sqrt(pi N)` for large N at `C = 1`, 1 for large N at `C < 1`.
///
/// # Valid range
/// NTU from 0, held above [`LARGEST_NTU`] (slope 0); capacity ratio 0 to 1. Any order of derivative.
///
/// # Uncertainty
/// Rounding only, about 1e-14 (1e-12 for thousands of NTU). The popular closed form is up to 3.8 % low, see [`crossflow_unmixed_approximate`].
///
/// # Source
/// Mason 1955, Proc. 2nd US Nat. Congr. Appl. Mech., 801. Checked by `hx_effectiveness.csv` and by worked examples.
pub fn crossflow_unmixed<S: Scalar>(ntu: S, capacity_ratio: S) -> S {
    if ntu.value() <= 0.0 {
        return ntu; // e = N for small N
    }
    let ntu = hold(ntu, 0.0, LARGEST_NTU);
    if S::NDERIV > 1 {
        return summed_with_derivatives(ntu, ntu * capacity_ratio);
    }
    let (a, c) = (ntu.value(), capacity_ratio.value());
    let sums = Sums::of(a, a * c);
    // chain rule by hand: the sums stay in plain numbers, which is several times faster
    let by_a = ntu - a;
    let by_b = (ntu * capacity_ratio) - a * c;
    by_a * sums.slope_a + by_b * sums.slope_b + sums.effectiveness
}

/// Terms of the series below this no longer count.
const SMALLEST_STEP: f64 = 1e-20;

/// First index at which either chance may differ from 1: some dozen standard deviations below the mean.
fn first_index(b: f64) -> u32 {
    let first = b - 12.0 * b.sqrt() - 30.0;
    if first >= 20.0 { first as u32 } else { 0 } // Stirling's series is exact to rounding from 20 on
}

/// Effectiveness and its slopes along `a = N` and `b = C N`.
struct Sums {
    effectiveness: f64,
    slope_a: f64,
    slope_b: f64,
}

impl Sums {
    fn of(a: f64, b: f64) -> Self {
        let first = first_index(b);
        let skipped = f64::from(first);
        // p: probability of n, q: chance to exceed n; those of b are divided by b, which keeps b = 0 regular
        let mut p_a = poisson(a, first);
        let mut q_a = if first == 0 { -(-a).exp_m1() } else { 1.0 };
        let (mut step, mut q_b, mut q_b_slope);
        if first == 0 {
            q_b = decay_mean(b);
            q_b_slope = decay_mean_slope(b);
            step = (-b).exp(); // e^-b b^n/(n + 1)!
        } else {
            q_b = 1.0 / b;
            q_b_slope = -q_b * q_b;
            step = poisson(b, first) / (skipped + 1.0);
        }
        let mut sums = if first == 0 {
            Self { effectiveness: 0.0, slope_a: 0.0, slope_b: 0.0 }
        } else {
            Self { effectiveness: skipped / b, slope_a: 0.0, slope_b: -skipped / (b * b) }
        };
        let mut step_before = if first == 0 { 0.0 } else { step * (skipped + 1.0) / b };
        let mut n = skipped;
        // the steps decide that nothing more will come: what is left of q_b may be rounding error alone; the slope at b = 0
        // still needs a second term
        while n < b + 3.0 || step > SMALLEST_STEP {
            sums.effectiveness += q_a * q_b;
            sums.slope_a += p_a * q_b;
            sums.slope_b += q_a * q_b_slope;
            // from n to n + 1; d/db of e^-b b^n/(n + 1)! is (n/(n + 1) of the step before) - step
            q_b -= step;
            q_b_slope += step - step_before * n / (n + 1.0);
            step_before = step;
            n += 1.0;
            step *= b / (n + 1.0);
            p_a *= a / n;
            q_a -= p_a;
        }
        sums
    }
}

/// Derivative of [`decay_mean`], regular at zero.
fn decay_mean_slope(x: f64) -> f64 {
    if x < 0.02 {
        let horner = 1.0 - x * 6.0 / (5.0 * 7.0);
        let horner = 1.0 - x * 5.0 / (4.0 * 6.0) * horner;
        let horner = 1.0 - x * 4.0 / (3.0 * 5.0) * horner;
        let horner = 1.0 - x * 3.0 / (2.0 * 4.0) * horner;
        let horner = 1.0 - x * 2.0 / 3.0 * horner;
        -0.5 * horner
    } else {
        ((-x).exp() - decay_mean(x)) / x
    }
}

/// The same sum in `S` throughout: any order of derivative.
fn summed_with_derivatives<S: Scalar>(a: S, b: S) -> S {
    let first = first_index(b.value());
    let skipped = f64::from(first);
    let mut p_a: S = poisson(a, first);
    let mut q_a: S = if first == 0 { -(-a).exp_m1() } else { constant(1.0) };
    let (mut step, mut q_b, mut sum): (S, S, S);
    if first == 0 {
        q_b = decay_mean(b);
        step = (-b).exp();
        sum = constant(0.0);
    } else {
        q_b = b.recip();
        step = poisson(b, first) / (skipped + 1.0);
        sum = q_b * skipped;
    }
    let mut n = skipped;
    while n < b.value() + 3.0 || step.value() > SMALLEST_STEP {
        sum += q_a * q_b;
        q_b -= step;
        n += 1.0;
        step = step * b / (n + 1.0);
        p_a = p_a * a / n;
        q_a -= p_a;
    }
    sum
}

/// Probability of `n` events when `mean` are expected; `n` is 0, or 20 and more.
///
/// `ln n!` by Stirling's series, combined with the rest so that no large numbers cancel.
fn poisson<S: Scalar>(mean: S, n: u32) -> S {
    if n == 0 {
        return (-mean).exp();
    }
    let n = f64::from(n);
    let n2 = n * n;
    let series = (1.0 / 12.0 - (1.0 / 360.0 - (1.0 / 1260.0 - 1.0 / (1680.0 * n2)) / n2) / n2) / n;
    let constant_part = 0.5 * (2.0 * std::f64::consts::PI * n).ln() + series;
    ((mean / n).ln() * n - (mean - n) - constant_part).exp()
}

/// Number of transfer units of an unmixed crossflow exchanger with the given effectiveness; none if out of reach.
///
/// Inverse of [`crossflow_unmixed`], to about 1e-12.
pub fn crossflow_unmixed_ntu_for(effectiveness: f64, capacity_ratio: f64) -> Option<f64> {
    if !(effectiveness >= 0.0) || !super::ranges::CAPACITY_RATIO.contains(capacity_ratio) {
        return None;
    }
    let short = |ntu: f64| crossflow_unmixed(ntu, capacity_ratio) - effectiveness;
    let mut high = 1.0;
    while short(high) < 0.0 {
        high *= 4.0;
        if high > LARGEST_NTU {
            return None;
        }
    }
    let found = root_rising(short, 0.0, high, 1e-13 * high).ok()?;
    Some(found.root)
}

/// Effectiveness of unmixed crossflow by the usual closed form, for comparison only.
///
/// # Formula
/// ```text
/// e = 1 - exp{ N^0.22 [exp(-C N^0.78) - 1]/C }
/// ```
///
/// # Uncertainty
/// Up to 3.8 % low near NTU 0.25, within 1.1 % above 1.5; up to 4 % in UA.
///
/// # Source
/// Kays & Crawford; Incropera & DeWitt, table of effectiveness. Checked by `hx_effectiveness.csv`.
pub fn crossflow_unmixed_approximate<S: Scalar>(ntu: S, capacity_ratio: S) -> S {
    let slow = crate::maths::power(ntu, 0.78);
    -(-(crate::maths::power(ntu, 0.22) * slow * decay_mean(capacity_ratio * slow))).exp_m1()
}

/// Effectiveness of crossflow with the smaller capacity mixed, `1 - exp[-(1 - exp(-C N))/C]`.
///
/// # Source
/// Kays & London, Compact Heat Exchangers. Checked by `hx_effectiveness.csv`.
#[inline]
pub fn crossflow_min_mixed<S: Scalar>(ntu: S, capacity_ratio: S) -> S {
    -(-(ntu * decay_mean(capacity_ratio * ntu))).exp_m1()
}

/// Effectiveness of crossflow with the larger capacity mixed, `{1 - exp[-C (1 - exp(-N))]}/C`.
///
/// # Source
/// Kays & London, Compact Heat Exchangers. Checked by `hx_effectiveness.csv`.
#[inline]
pub fn crossflow_max_mixed<S: Scalar>(ntu: S, capacity_ratio: S) -> S {
    let unmixed = -(-ntu).exp_m1();
    unmixed * decay_mean(capacity_ratio * unmixed)
}
