//! What a listed relation is, and what its evaluation returns.

use crate::{Range, compact::GeometryError};
use std::fmt;
use thiserror::Error;

/// One input of a relation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Input {
    /// Key, with the unit in it where there is one.
    pub name: &'static str,
    /// Unit; `-` for a dimensionless group.
    pub unit: &'static str,
    /// Lower end of the range of validity.
    pub low: f64,
    /// Upper end of the range of validity.
    pub high: f64,
    /// Value taken when the input is not given.
    pub default: Option<f64>,
    /// Whether the input must be given. Optional without a default: the step that needs it is left out.
    pub required: bool,
    /// What it is.
    pub meaning: &'static str,
    /// Least value that can be; anything below is refused, not flagged.
    pub least: f64,
    /// Whether the least value itself is refused too.
    pub is_open: bool,
    /// Greatest value that can be.
    pub most: f64,
}

impl Input {
    pub(crate) const fn new(
        name: &'static str,
        unit: &'static str,
        range: Range,
        meaning: &'static str,
    ) -> Self {
        Self {
            name,
            unit,
            low: range.low,
            high: range.high,
            default: None,
            required: true,
            meaning,
            least: 0.0,
            is_open: false,
            most: f64::INFINITY,
        }
    }

    /// A dimensionless input.
    pub(crate) const fn group(name: &'static str, range: Range, meaning: &'static str) -> Self {
        Self::new(name, "-", range, meaning)
    }

    /// An input that must be positive and has no other limit.
    pub(crate) const fn positive(name: &'static str, unit: &'static str, meaning: &'static str) -> Self {
        Self::new(name, unit, Range::new(0.0, f64::INFINITY), meaning).above_zero()
    }

    /// Zero is refused too.
    pub(crate) const fn above_zero(mut self) -> Self {
        self.is_open = true;
        self
    }

    /// Zero is accepted.
    pub(crate) const fn or_zero(mut self) -> Self {
        self.is_open = false;
        self
    }

    /// Anything greater cannot be.
    pub(crate) const fn at_most(mut self, most: f64) -> Self {
        self.most = most;
        self
    }

    /// Whether such a value can be at all.
    pub fn allows(&self, value: f64) -> bool {
        let is_enough = if self.is_open { value > self.least } else { value >= self.least };
        is_enough && value <= self.most
    }

    pub(crate) const fn or(mut self, default: f64) -> Self {
        self.default = Some(default);
        self.required = false;
        self
    }

    pub(crate) const fn optional(mut self) -> Self {
        self.required = false;
        self
    }
}

/// A relation: how it is called, what it takes, where it holds, where it comes from.
#[derive(Clone, Copy, Debug)]
pub struct Relation {
    /// Name, as in the reference tables.
    pub name: &'static str,
    /// Other accepted names.
    pub aliases: &'static [&'static str],
    /// One line on what it computes.
    pub summary: &'static str,
    /// Quantity of the value.
    pub quantity: &'static str,
    /// Unit of the value.
    pub unit: &'static str,
    /// Inputs, required first.
    pub inputs: &'static [Input],
    /// Range of validity in words, blends included.
    pub range: &'static str,
    /// Scatter against experiment in words.
    pub scatter: &'static str,
    /// Publication and equation.
    pub source: &'static str,
    pub(crate) evaluate: fn(&Values) -> Result<Outcome, RelationError>,
}

/// A step on the way to a value, or a result beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// What it is, as in the reference tables where they have it.
    pub quantity: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit; `-` for none.
    pub unit: &'static str,
    /// How it was obtained.
    pub by: &'static str,
    /// Range of validity of the quantity, where the relation has one.
    pub range: Option<Range>,
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({}) = {}", self.quantity.replace('_', " "), self.by, self.value)?;
        if self.unit == "-" { Ok(()) } else { write!(f, " {}", self.unit) }
    }
}

/// An input or step outside its range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutOfRange {
    /// Name of the input or step.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
    /// Lower end of the range.
    pub low: f64,
    /// Upper end of the range.
    pub high: f64,
}

/// A value with its pedigree.
#[derive(Clone, Debug, PartialEq)]
pub struct Evaluated {
    /// Name of the relation.
    pub name: &'static str,
    /// What the value is.
    pub quantity: &'static str,
    /// The value.
    pub value: f64,
    /// Its unit; `-` for none.
    pub unit: &'static str,
    /// Whether every input and step lies inside its range.
    pub in_range: bool,
    /// Those that do not.
    pub out_of_range: Vec<OutOfRange>,
    /// Every input with the value used, defaults included.
    pub inputs: Vec<(String, f64)>,
    /// Steps on the way and results beside the value.
    pub chain: Vec<Step>,
    /// Range of validity in words.
    pub range: &'static str,
    /// Scatter against experiment in words.
    pub scatter: &'static str,
    /// Publication and equation.
    pub source: &'static str,
}

impl Evaluated {
    /// The value of a quantity: the main one, or one of the chain.
    pub fn get(&self, quantity: &str) -> Option<f64> {
        if quantity == self.quantity {
            return Some(self.value);
        }
        self.chain.iter().find(|step| step.quantity == quantity).map(|step| step.value)
    }
}

/// Why a relation could not be evaluated.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum RelationError {
    /// No relation of that name.
    #[error("unknown relation `{name}`{}", did_you_mean(*.suggestion))]
    UnknownRelation {
        /// The name asked for.
        name: String,
        /// The nearest known name.
        suggestion: Option<&'static str>,
    },
    /// The relation has no such input.
    #[error("`{relation}` has no input `{key}`{}", did_you_mean(*.suggestion))]
    UnknownInput {
        /// The relation.
        relation: &'static str,
        /// The key given.
        key: String,
        /// The nearest input of the relation.
        suggestion: Option<&'static str>,
    },
    /// Inputs that must be given are not.
    #[error("`{relation}` also needs {}", .inputs.join(", "))]
    MissingInput {
        /// The relation.
        relation: &'static str,
        /// The inputs that are missing.
        inputs: Vec<&'static str>,
    },
    /// NaN or infinity.
    #[error("the input `{key}` is not a finite number")]
    NotFinite {
        /// The input.
        key: &'static str,
    },
    /// Text that is not a number.
    #[error("the input `{key}` is `{text}`, which is not a number")]
    NotANumber {
        /// The key given.
        key: String,
        /// The text given.
        text: String,
    },
    /// An input given twice.
    #[error("the input `{key}` is given twice")]
    Repeated {
        /// The input.
        key: &'static str,
    },
    /// A value for which the relation has no form.
    #[error("`{key}` is {value}; it must be {allowed}")]
    NotAllowed {
        /// The input.
        key: &'static str,
        /// Its value.
        value: f64,
        /// What is allowed, in words.
        allowed: &'static str,
    },
    /// A value that cannot be: a negative length, an emissivity above 1.
    #[error("`{}` is {value}; it must be {}", .input.name, possible(.input))]
    Impossible {
        /// The input.
        input: Input,
        /// Its value.
        value: f64,
    },
    /// Dimensions of a core that contradict each other.
    #[error(transparent)]
    Geometry(#[from] GeometryError),
    /// The inputs lie so far outside that the equation gives no number.
    #[error("`{relation}` gives {value} at these inputs; check their signs and ranges")]
    NotComputable {
        /// The relation.
        relation: &'static str,
        /// What came out.
        value: f64,
    },
}

/// What can be, in words.
fn possible(input: &Input) -> String {
    let lower = match (input.least == 0.0, input.is_open) {
        (true, true) => "above zero".to_owned(),
        (true, false) => "zero or more".to_owned(),
        (false, true) => format!("above {}", input.least),
        (false, false) => format!("at least {}", input.least),
    };
    if input.most.is_finite() { format!("{lower} and at most {}", input.most) } else { lower }
}

fn did_you_mean(suggestion: Option<&str>) -> String {
    suggestion.map(|name| format!("; did you mean `{name}`?")).unwrap_or_default()
}

/// The inputs of one evaluation.
#[derive(Clone, Debug, Default)]
pub(crate) struct Values(Vec<(&'static str, f64)>);

impl Values {
    pub(super) fn put(&mut self, name: &'static str, value: f64) {
        self.0.push((name, value));
    }

    /// The input, where it was given or has a default.
    pub(super) fn given(&self, name: &str) -> Option<f64> {
        self.0.iter().find(|(known, _)| *known == name).map(|(_, value)| *value)
    }

    /// An input that is required or has a default.
    pub(super) fn get(&self, name: &str) -> f64 {
        self.given(name).expect("the relation declares this input as required or with a default")
    }
}

/// What an evaluation found.
#[derive(Clone, Debug)]
pub(crate) struct Outcome {
    pub(super) value: f64,
    pub(super) steps: Vec<Step>,
}

impl Outcome {
    pub(super) fn of(value: f64) -> Self {
        Self { value, steps: Vec::new() }
    }

    /// Adds a dimensionless step.
    pub(super) fn group(self, quantity: &'static str, value: f64, by: &'static str) -> Self {
        self.step(quantity, value, "-", by)
    }

    pub(super) fn step(
        mut self,
        quantity: &'static str,
        value: f64,
        unit: &'static str,
        by: &'static str,
    ) -> Self {
        self.steps.push(Step { quantity, value, unit, by, range: None });
        self
    }

    /// Adds a dimensionless step that has a range of validity.
    pub(super) fn within(self, quantity: &'static str, value: f64, by: &'static str, range: Range) -> Self {
        self.group(quantity, value, by).and_range(range)
    }

    /// Gives the step added last a range of validity.
    pub(super) fn and_range(mut self, range: Range) -> Self {
        if let Some(last) = self.steps.last_mut() {
            last.range = Some(range);
        }
        self
    }
}
