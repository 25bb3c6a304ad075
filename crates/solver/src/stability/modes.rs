//! The fastest growing mode of a linearised network.
//!
//! The temperatures follow `C dT/dt = J T`, with flows and electrical unknowns following at once. For a span `h` the map
//! `T -> (I + hA/2) (I - hA/2)^-1 T`, `A = C^-1 J`, turns a rate `r` into a factor `(1 + hr/2) / (1 - hr/2)`: larger than one
//! in size exactly if the mode grows, real or swinging. One application costs one solve with the factors of
//! `J - (2/h) C`. The modes of the largest factors show first in the space spanned by a vector and its images (Arnoldi 1951); the
//! space grows until the fastest of them stands still, at the latest when it holds everything, where the answer is exact. The cost
//! grows with the number of parts, not with its cube.

use crate::network::Network;
use nalgebra::{DMatrix, Schur};

/// Spans that are looked at, s: a mode shows best where `h r` is about two.
const SPANS_S: [f64; 4] = [0.5, 20.0, 500.0, 10_000.0];
/// Sizes of the space at which its modes are looked at.
const FIRST_SIZE: usize = 24;
/// The fastest mode has to stand still to this share between two sizes.
const STANDS_STILL: f64 = 0.02;
/// A factor that is larger than one by less is rounding.
const ROUNDING: f64 = 1e-9;

impl Network {
    /// Fastest growing mode, 1/s, of the Jacobian in the entries, with the heat capacity of every unknown, J/K (zero for what
    /// follows at once).
    pub(super) fn fastest_growth(&mut self, capacity: &[f64]) -> Option<f64> {
        SPANS_S.iter().filter_map(|&span_s| self.fastest_growth_over(capacity, span_s)).max_by(f64::total_cmp)
    }

    fn fastest_growth_over(&mut self, capacity: &[f64], span_s: f64) -> Option<f64> {
        let shift = |network: &mut Self, sign: f64| {
            for (unknown, &c) in capacity.iter().enumerate() {
                network.lu.add_diagonal(unknown, sign * 2.0 / span_s * c);
            }
        };
        shift(self, -1.0);
        let factored = self.lu.factor();
        shift(self, 1.0);
        factored.ok()?;
        let size = self.temperatures;
        // in these coordinates heat paths are symmetric
        let weight: Vec<f64> = capacity[..size].iter().map(|c| c.sqrt()).collect();
        let mut work = vec![0.0; self.unknowns];
        // no mode is likely to be at right angles to this
        let mut space = vec![unit((0..size).map(|i| 1.0 + (i as f64 * 0.754_877_666).fract()).collect())];
        let mut image = DMatrix::<f64>::zeros(size + 1, size);
        let mut before: Option<f64> = None;
        let mut look_at = FIRST_SIZE.min(size);
        for column in 0..size {
            let mut next = self.image_of(&space[column], &weight, span_s, &mut work);
            // twice is enough (Kahan)
            for _ in 0..2 {
                for (row, known) in space.iter().enumerate() {
                    let along: f64 = known.iter().zip(&next).map(|(a, b)| a * b).sum();
                    image[(row, column)] += along;
                    for (n, k) in next.iter_mut().zip(known) {
                        *n -= along * k;
                    }
                }
            }
            let rest = next.iter().map(|n| n * n).sum::<f64>().sqrt();
            let is_whole = column + 1 == size || !(rest > 1e-12);
            if column + 1 == look_at || is_whole {
                let growth = fastest_of(&image, column + 1, span_s);
                let stands_still = match (before, growth) {
                    (None, None) => column + 1 > FIRST_SIZE,
                    (Some(before), Some(now)) => (now - before).abs() <= STANDS_STILL * now,
                    _ => false,
                };
                if is_whole || stands_still {
                    return growth;
                }
                before = growth;
                look_at = (2 * look_at).min(size);
            }
            image[(column + 1, column)] = rest;
            for n in &mut next {
                *n /= rest;
            }
            space.push(next);
        }
        None
    }

    /// `(I + hA/2) (I - hA/2)^-1 x` as `2 z - x`, with `(C - hJ/2) z = C x`, in weighted coordinates.
    fn image_of(&mut self, x: &[f64], weight: &[f64], span_s: f64, work: &mut [f64]) -> Vec<f64> {
        work.fill(0.0);
        for ((w, x), weight) in work.iter_mut().zip(x).zip(weight) {
            *w = -2.0 / span_s * weight * x;
        }
        self.lu.solve(work);
        x.iter().zip(work.iter()).zip(weight).map(|((x, z), weight)| 2.0 * z * weight - x).collect()
    }
}

fn unit(mut vector: Vec<f64>) -> Vec<f64> {
    let length = vector.iter().map(|v| v * v).sum::<f64>().sqrt();
    for v in &mut vector {
        *v /= length;
    }
    vector
}

/// Fastest growth among the modes of the leading block; none if none grows, or the iteration for them does not end.
fn fastest_of(image: &DMatrix<f64>, size: usize, span_s: f64) -> Option<f64> {
    let block = image.view((0, 0), (size, size)).into_owned();
    if block.iter().any(|entry| !entry.is_finite()) {
        return None;
    }
    let modes = Schur::try_new(block, 1e-13, 10_000)?.complex_eigenvalues();
    let rates = modes.iter().filter(|factor| factor.norm() > 1.0 + ROUNDING).map(|factor| {
        // 2/h (f - 1) / (f + 1), real part
        let (re, im) = (factor.re, factor.im);
        2.0 / span_s * (re * re + im * im - 1.0) / ((re + 1.0) * (re + 1.0) + im * im)
    });
    rates.filter(|rate| *rate > 0.0).max_by(f64::total_cmp)
}

#[cfg(test)]
mod tests {
    use crate::{Builder, HeatSource, LinkLaw, Node};

    /// A row of 200 bodies tied to each other and to the air; one of them has a loss that grows faster than its ties carry.
    /// By hand for the body alone (ties to neighbours 1e-6 W/K): `C r = slope - G`, `r = (3.0 - 1.0) / 400 = 0.005 1/s`.
    fn row(slope_w_k: f64) -> crate::Network {
        let mut builder = Builder::new();
        let air = builder.boundary(300.0);
        let parts: Vec<_> =
            (0..200).map(|i| builder.component(if i == 77 { 400.0 } else { 50.0 + f64::from(i) })).collect();
        for pair in parts.windows(2) {
            builder.link(
                Node::Component(pair[0]),
                Node::Component(pair[1]),
                LinkLaw::Conductance { conductance_w_k: 1e-6 },
            );
        }
        for &part in &parts {
            builder.link(
                Node::Component(part),
                Node::Boundary(air),
                LinkLaw::Conductance { conductance_w_k: 1.0 },
            );
        }
        builder.source(HeatSource { into: parts[77], heat_w: 1.0, slope_1_k: slope_w_k, reference_k: 300.0 });
        builder.build().expect("a row of bodies")
    }

    #[test]
    fn a_growing_mode_is_found_with_its_rate() {
        let mut network = row(3.0);
        let mut state = vec![300.0; network.unknowns()];
        state.push(300.0);
        let rate = network.growth_rate(&state).expect("grows");
        assert!((rate - 0.005).abs() < 1e-6, "{rate}");
        // gain = slope / conductance
        let gain = network.loop_gain(&state);
        assert!((gain - 3.0).abs() < 1e-4, "{gain}");
    }

    #[test]
    fn a_row_that_decays_has_none() {
        let mut network = row(0.9);
        let mut state = vec![300.0; network.unknowns()];
        state.push(300.0);
        assert_eq!(network.growth_rate(&state), None);
        let gain = network.loop_gain(&state);
        assert!((gain - 0.9).abs() < 1e-4, "{gain}");
    }
}
