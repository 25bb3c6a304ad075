//! What samples say: quantiles, how often a margin is short, and which input is behind it.

use super::law::Sampler;
use model::case_name::CaseName;
use model::result::Margin;
use model::standing::Standing;
use nalgebra::{DMatrix, DVector};
use statrs::distribution::{Beta, ContinuousCDF as _};

/// One sample: values of the inputs, and every margin (NaN without a state).
#[derive(Clone, Debug)]
pub(super) struct Sampled {
    pub(super) values: Vec<f64>,
    pub(super) margins: Vec<f64>,
}

/// Quantiles of a margin and how often it is short.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantiles {
    /// Value that 5 of 100 samples lie below; not finite where that many have no state.
    pub p05: f64,
    /// Median.
    pub p50: f64,
    /// Value that 95 of 100 samples lie below.
    pub p95: f64,
    /// Share of samples whose margin is smaller than required.
    pub probability_short: f64,
    /// That share is smaller than this with a confidence of 95 % (binomial).
    pub probability_short_bound: f64,
    /// Share of samples that pass the limit itself.
    pub probability_past: f64,
}

/// How often any limit at all is not kept: the inputs that limits have in common are sampled once for all of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// For each sample, whether some margin is smaller than required. A limit without a state counts as short.
    pub is_short: Vec<bool>,
    /// For each sample, whether some limit is passed. A limit without a state counts as passed.
    pub is_past: Vec<bool>,
}

impl Joint {
    /// Of the rows of one study, with the margins that the base design has.
    pub(super) fn of(rows: &[Sampled], limits: &[&Margin]) -> Self {
        let any = |row: &Sampled, worst: Standing| {
            row.margins.iter().zip(limits).any(|(margin, limit)| limit.standing_at(*margin) <= worst)
        };
        Self {
            is_short: rows.iter().map(|row| any(row, Standing::Short)).collect(),
            is_past: rows.iter().map(|row| any(row, Standing::PastLimit)).collect(),
        }
    }

    /// Of several studies whose samples move the inputs alike, sample by sample.
    pub fn together<'a>(parts: impl IntoIterator<Item = &'a Self>) -> Self {
        let mut all = Self { is_short: Vec::new(), is_past: Vec::new() };
        let join = |all: &mut Vec<bool>, part: &[bool]| {
            all.resize(all.len().max(part.len()), false);
            for (all, part) in all.iter_mut().zip(part) {
                *all |= part;
            }
        };
        for part in parts {
            join(&mut all.is_short, &part.is_short);
            join(&mut all.is_past, &part.is_past);
        }
        all
    }

    /// Share of samples in which some margin is short, and what it is below with a confidence of 95 %.
    pub fn short(&self) -> (f64, f64) {
        share(&self.is_short)
    }

    /// The same of limits that are passed.
    pub fn past(&self) -> (f64, f64) {
        share(&self.is_past)
    }
}

fn share(samples: &[bool]) -> (f64, f64) {
    let hits = samples.iter().filter(|hit| **hit).count();
    (hits as f64 / samples.len() as f64, upper_bound(hits, samples.len()))
}

/// What one input has in the variance of a margin.
#[derive(Clone, Debug, PartialEq)]
pub struct Contribution {
    /// Path.
    pub path: String,
    /// Share of the variance by its own linear effect.
    pub share: f64,
    /// Change of the margin for one standard deviation of the input.
    pub per_deviation: f64,
}

/// Contributions below this share are left out.
const MIN_SHARE: f64 = 1e-3;

/// Upper end of the one-sided 95 % confidence interval of a probability of which `hits` of `samples` were seen (Clopper & Pearson 1934).
/// With none it is `1 - 0.05^(1/n)`, about 3/n.
pub fn upper_bound(hits: usize, samples: usize) -> f64 {
    if hits >= samples {
        return 1.0;
    }
    if hits == 0 {
        return -(0.05_f64.ln() / samples as f64).exp_m1();
    }
    Beta::new(hits as f64 + 1.0, (samples - hits) as f64).map_or(f64::NAN, |beta| beta.inverse_cdf(0.95))
}

/// Quantile of sorted values, straight between neighbours (type 7 of Hyndman & Fan 1996).
pub(super) fn quantile(sorted: &[f64], share: f64) -> f64 {
    let place = share * (sorted.len() - 1) as f64;
    let below = place.floor() as usize;
    let rest = place - below as f64;
    let low = sorted[below];
    match sorted.get(below + 1) {
        Some(high) if rest > 0.0 => low + rest * (high - low),
        _ => low,
    }
}

fn quantiles(margin: &Margin, values: &[f64]) -> Quantiles {
    // a sample without a state lies below every number
    let mut sorted: Vec<f64> =
        values.iter().map(|v| if v.is_nan() { f64::NEG_INFINITY } else { *v }).collect();
    sorted.sort_by(f64::total_cmp);
    let count = sorted.len();
    // a sample without a state counts as both: nothing is worse
    let up_to =
        |worst: Standing| sorted.iter().filter(|distance| margin.standing_at(**distance) <= worst).count();
    let (short, past) = (up_to(Standing::Short), up_to(Standing::PastLimit));
    Quantiles {
        p05: quantile(&sorted, 0.05),
        p50: quantile(&sorted, 0.5),
        p95: quantile(&sorted, 0.95),
        probability_short: short as f64 / count as f64,
        probability_short_bound: upper_bound(short, count),
        probability_past: past as f64 / count as f64,
    }
}

/// One margin over all samples.
pub(super) fn margin(
    case: &CaseName,
    margin: &Margin,
    sampler: &Sampler,
    rows: &[Sampled],
    column: usize,
) -> MarginSpread {
    let values: Vec<f64> = rows.iter().map(|row| row.margins[column]).collect();
    let inputs: Vec<&[f64]> = rows.iter().map(|row| row.values.as_slice()).collect();
    let (explained, contributions) = match regression(&inputs, &values) {
        Some((explained, found)) => (Some(explained), named(sampler, &found)),
        None => (None, Vec::new()),
    };
    MarginSpread {
        case: case.clone(),
        margin: margin.clone(),
        time_s: None,
        quantiles: quantiles(margin, &values),
        half: quantiles(margin, &values[..values.len() / 2]),
        without_state: values.iter().filter(|v| v.is_nan()).count(),
        contributions,
        explained,
    }
}

fn named(sampler: &Sampler, found: &[(f64, f64)]) -> Vec<Contribution> {
    let all = sampler.inputs.iter().zip(found).filter(|(_, (share, _))| *share >= MIN_SHARE);
    let mut all: Vec<Contribution> = all
        .map(|(input, &(share, per_deviation))| Contribution {
            path: input.path.clone(),
            share,
            per_deviation,
        })
        .collect();
    all.sort_by(|a, b| b.share.total_cmp(&a.share));
    all
}

/// Straight-line regression on all inputs at once: the share of the variance explained, and for each input its own share (squared
/// standardised coefficient) and the change for one standard deviation. None where nothing varies or samples are too few.
fn regression(inputs: &[&[f64]], values: &[f64]) -> Option<(f64, Vec<(f64, f64)>)> {
    let kept: Vec<usize> = (0..values.len()).filter(|&row| values[row].is_finite()).collect();
    let width = inputs.first()?.len();
    if width == 0 || kept.len() < width + 3 {
        return None;
    }
    let count = kept.len() as f64;
    let mean = |of: &dyn Fn(usize) -> f64| kept.iter().map(|&row| of(row)).sum::<f64>() / count;
    let mean_value = mean(&|row| values[row]);
    let variance = mean(&|row| (values[row] - mean_value).powi(2));
    if variance.sqrt() <= 1e-9 * mean_value.abs().max(1.0) {
        return None;
    }
    let scaled: Vec<(f64, f64)> = (0..width)
        .map(|n| {
            let middle = mean(&|row| inputs[row][n]);
            (middle, mean(&|row| (inputs[row][n] - middle).powi(2)).sqrt())
        })
        .collect();
    let mut matrix = DMatrix::zeros(width, width);
    let mut right = DVector::zeros(width);
    let mut line = vec![0.0; width];
    for &row in &kept {
        for (entry, (value, (middle, deviation))) in line.iter_mut().zip(inputs[row].iter().zip(&scaled)) {
            *entry = if *deviation > 0.0 { (value - middle) / deviation } else { 0.0 };
        }
        for i in 0..width {
            right[i] += line[i] * (values[row] - mean_value);
            for j in 0..=i {
                matrix[(i, j)] += line[i] * line[j];
            }
        }
    }
    for i in 0..width {
        // an input that does not vary has no coefficient
        matrix[(i, i)] += if matrix[(i, i)] > 0.0 { 0.0 } else { 1.0 };
    }
    let slopes = matrix.cholesky()?.solve(&right);
    let explained = slopes.dot(&right) / (count * variance);
    Some((explained, slopes.iter().map(|slope| (slope * slope / variance, *slope)).collect()))
}

/// How one margin spreads.
#[derive(Clone, Debug, PartialEq)]
pub struct MarginSpread {
    /// Case.
    pub case: CaseName,
    /// The margin at the base design.
    pub margin: Margin,
    /// Time of the worst moment of the flight of the base design, s; none for a steady case.
    pub time_s: Option<f64>,
    /// Over all samples.
    pub quantiles: Quantiles,
    /// Over the first half of the samples: how far the numbers have settled.
    pub half: Quantiles,
    /// Samples in which the case has no state; they count as short.
    pub without_state: usize,
    /// Inputs by their share of the variance, largest first; empty where nothing moves the margin.
    pub contributions: Vec<Contribution>,
    /// Share of the variance that the sum of single effects explains; none where nothing moves the margin.
    pub explained: Option<f64>,
}
