//! Seeded choices and the way numbers are written in a project file.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng as _, SeedableRng as _};

/// A stream of choices that depends on the seed alone, on every machine.
#[derive(Clone, Debug)]
pub(super) struct Dice(ChaCha8Rng);

impl Dice {
    pub(super) fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// Evenly in `[0, 1)`, from the upper 53 bits of one draw.
    fn unit(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly between two numbers.
    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Evenly in the logarithm between two positive numbers.
    pub(super) fn spread(&mut self, low: f64, high: f64) -> f64 {
        (low.ln() + (high / low).ln() * self.unit()).exp()
    }

    /// A whole number from `low` to `high`, both included.
    pub(super) fn count(&mut self, low: usize, high: usize) -> usize {
        low + (self.unit() * (high - low + 1) as f64) as usize
    }

    /// True with a probability.
    pub(super) fn chance(&mut self, probability: f64) -> bool {
        self.unit() < probability
    }

    /// One of several.
    pub(super) fn one<'a, T: ?Sized>(&mut self, of: &[&'a T]) -> &'a T {
        of[self.count(0, of.len() - 1)]
    }

    /// A quantity between two numbers of a unit.
    pub(super) fn even(&mut self, low: f64, high: f64, unit: &str) -> String {
        quantity(self.between(low, high), unit)
    }

    /// A quantity between two positive numbers of a unit, even in the logarithm.
    pub(super) fn log(&mut self, low: f64, high: f64, unit: &str) -> String {
        quantity(self.spread(low, high), unit)
    }
}

/// Five digits, as a person would type them.
pub(super) fn short(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let digits = (4 - value.abs().log10().floor() as i32).clamp(0, 12) as usize;
    let text = format!("{value:.digits$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A number with its unit, in quotes.
pub(super) fn quantity(value: f64, unit: &str) -> String {
    format!("\"{} {unit}\"", short(value))
}

/// A list of texts in quotes.
pub(super) fn names<T: AsRef<str>>(of: &[T]) -> String {
    let quoted: Vec<String> = of.iter().map(|name| format!("\"{}\"", name.as_ref())).collect();
    format!("[{}]", quoted.join(", "))
}
