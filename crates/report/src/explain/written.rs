//! A law of this project, laid out like a listed relation: value, inputs, steps, range, scatter, source.

use correlations::{Evaluated, OutOfRange, Step};

/// An [`Evaluated`] in the making. Inputs are in SI with the unit in the name.
pub(super) struct Written(Evaluated);

impl Written {
    /// A law that gives a quantity in a unit.
    pub(super) fn new(name: &'static str, quantity: &'static str, unit: &'static str) -> Self {
        Self(Evaluated {
            name,
            quantity,
            value: f64::NAN,
            unit,
            in_range: true,
            out_of_range: Vec::new(),
            inputs: Vec::new(),
            chain: Vec::new(),
            range: "everywhere",
            scatter: "that of the inputs",
            source: "definition",
        })
    }

    pub(super) fn source(mut self, source: &'static str) -> Self {
        self.0.source = source;
        self
    }

    /// Range of validity in words.
    pub(super) fn range(mut self, words: &'static str) -> Self {
        self.0.range = words;
        self
    }

    /// Uncertainty in words.
    pub(super) fn scatter(mut self, words: &'static str) -> Self {
        self.0.scatter = words;
        self
    }

    pub(super) fn input(mut self, name: &str, value: f64) -> Self {
        self.0.inputs.push((name.to_owned(), value));
        self
    }

    pub(super) fn inputs(self, inputs: &[(&str, f64)]) -> Self {
        inputs.iter().fold(self, |law, (name, value)| law.input(name, *value))
    }

    pub(super) fn step(
        mut self,
        quantity: &'static str,
        value: f64,
        unit: &'static str,
        by: &'static str,
    ) -> Self {
        self.0.chain.push(step(quantity, value, unit, by));
        self
    }

    /// A step that is only worth a line under a condition.
    pub(super) fn step_if(
        self,
        wanted: bool,
        quantity: &'static str,
        value: f64,
        unit: &'static str,
        by: &'static str,
    ) -> Self {
        if wanted { self.step(quantity, value, unit, by) } else { self }
    }

    /// Compares an input or step with the range of the law.
    pub(super) fn within(mut self, name: &'static str, value: f64, range: (f64, f64)) -> Self {
        check(&mut self.0, name, value, range);
        self
    }

    /// The law with its value.
    pub(super) fn giving(mut self, value: f64) -> Evaluated {
        self.0.value = value;
        self.0
    }
}

/// A step without a range of its own.
pub(super) fn step(quantity: &'static str, value: f64, unit: &'static str, by: &'static str) -> Step {
    Step { quantity, value, unit, by, range: None }
}

/// Marks a relation as left where a value does not lie in its range.
pub(super) fn check(evaluated: &mut Evaluated, name: &'static str, value: f64, (low, high): (f64, f64)) {
    if !(low <= value && value <= high) {
        evaluated.in_range = false;
        evaluated.out_of_range.push(OutOfRange { name, value, low, high });
    }
}
