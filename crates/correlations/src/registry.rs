//! Every relation by name: inputs with their ranges, scatter, source, and an evaluation that shows its steps.
//!
//! Names and input keys are those of the reference tables in `tests/data`; short aliases are accepted. This layer may
//! allocate and is not for inner loops.

mod compact;
mod exchange;
mod fins;
mod friction;
mod inside;
mod outside;
mod rotor;
mod similarity;
mod suggest;
mod types;

pub use types::{Evaluated, Input, OutOfRange, Relation, RelationError, Step};

use std::sync::LazyLock;
use types::Values;

static RELATIONS: LazyLock<Vec<Relation>> = LazyLock::new(|| {
    [
        friction::RELATIONS,
        inside::RELATIONS,
        outside::RELATIONS,
        exchange::RELATIONS,
        fins::RELATIONS,
        compact::RELATIONS,
        rotor::RELATIONS,
        similarity::RELATIONS,
    ]
    .concat()
});

/// Every relation, grouped by subject.
pub fn relations() -> &'static [Relation] {
    &RELATIONS
}

/// The relation of that name or alias; case does not matter.
///
/// # Errors
/// [`RelationError::UnknownRelation`] with the nearest name.
pub fn relation(name: &str) -> Result<&'static Relation, RelationError> {
    find(name).ok_or_else(|| {
        let known = relations().iter().flat_map(|r| std::iter::once(r.name).chain(r.aliases.iter().copied()));
        RelationError::UnknownRelation { name: name.to_owned(), suggestion: suggest::nearest(name, known) }
    })
}

fn find(name: &str) -> Option<&'static Relation> {
    let same = |known: &str| known.eq_ignore_ascii_case(name);
    relations()
        .iter()
        .find(|r| same(r.name))
        .or_else(|| relations().iter().find(|r| r.aliases.iter().any(|a| same(a))))
}

/// Evaluates a relation at the given inputs, in SI and in the units of [`Relation::inputs`].
///
/// Inputs outside their range are reported in the result, not refused: the caller decides. What cannot be at all is refused.
///
/// ```
/// let found = correlations::evaluate("gnielinski", &[("reynolds", 10_000.0), ("prandtl", 7.0)])?;
/// assert!((found.value - 79.49).abs() < 0.01 && found.in_range); // ht 1.2.0, turbulent_Gnielinski
/// assert_eq!(found.chain[0].quantity, "darcy_friction_factor");
/// # Ok::<(), correlations::RelationError>(())
/// ```
///
/// # Errors
/// [`RelationError`]: unknown name or key (with the nearest known one), a missing, repeated, non-finite or impossible input, dimensions that
/// contradict each other, or a result that is not a number.
pub fn evaluate(name: &str, inputs: &[(&str, f64)]) -> Result<Evaluated, RelationError> {
    let relation = relation(name)?;
    let values = accept(relation, inputs)?;
    let outcome = (relation.evaluate)(&values)?;
    if !outcome.value.is_finite() {
        // a zero that is allowed elsewhere, such as a flow at rest, is the usual culprit
        let at_zero = |input: &&Input| input.required && values.given(input.name) == Some(0.0);
        if let Some(input) = relation.inputs.iter().find(at_zero) {
            return Err(RelationError::Impossible { input: input.above_zero(), value: 0.0 });
        }
        return Err(RelationError::NotComputable { relation: relation.name, value: outcome.value });
    }
    Ok(explained(relation, &values, outcome))
}

/// Words that choose among several relations of one table, such as `arrangement=counterflow`.
const CHOICES: [&str; 3] = ["shape", "arrangement", "fin"];

/// [`evaluate`] with the inputs as text, as a command line gives them.
///
/// A key `shape`, `arrangement` or `fin` holds a word that completes the name, as in the reference tables:
/// `log_mean_temperature_difference` with `arrangement=parallel` is `log_mean_temperature_difference_parallel`.
///
/// # Errors
/// As [`evaluate`]; [`RelationError::NotANumber`] for text that is not a number.
pub fn evaluate_words(name: &str, inputs: &[(&str, &str)]) -> Result<Evaluated, RelationError> {
    let mut full_name = name.to_owned();
    let mut numbers = Vec::with_capacity(inputs.len());
    for &(key, text) in inputs {
        if CHOICES.contains(&key) {
            let candidates = [format!("{text}_{name}"), format!("{name}_{text}"), text.to_owned()];
            full_name = candidates.into_iter().find(|c| find(c).is_some()).unwrap_or(full_name);
            continue;
        }
        match text.trim().parse::<f64>() {
            Ok(number) => numbers.push((key, number)),
            Err(_) => return Err(RelationError::NotANumber { key: key.to_owned(), text: text.to_owned() }),
        }
    }
    evaluate(&full_name, &numbers)
}

/// Short forms of the table keys.
const SHORT_KEYS: [(&str, &str); 14] = [
    ("re", "reynolds"),
    ("re", "reynolds_Dh"),
    ("re", "reynolds_louver_pitch"),
    ("re", "rotational_reynolds"),
    ("reynolds", "reynolds_Dh"),
    ("reynolds", "reynolds_louver_pitch"),
    ("reynolds", "rotational_reynolds"),
    ("pr", "prandtl"),
    ("ra", "rayleigh"),
    ("ntu", "NTU"),
    ("cr", "capacity_ratio_Cmin_over_Cmax"),
    ("capacity_ratio", "capacity_ratio_Cmin_over_Cmax"),
    ("aspect_ratio", "aspect_ratio_short_over_long"),
    ("viscosity_ratio", "viscosity_ratio_bulk_over_wall"),
];

fn accept(relation: &'static Relation, inputs: &[(&str, f64)]) -> Result<Values, RelationError> {
    let mut values = Values::default();
    for &(key, value) in inputs {
        let input = declared(relation, key).ok_or_else(|| RelationError::UnknownInput {
            relation: relation.name,
            key: key.to_owned(),
            suggestion: suggest::nearest(key, relation.inputs.iter().map(|i| i.name)),
        })?;
        if !value.is_finite() {
            return Err(RelationError::NotFinite { key: input.name });
        }
        if !input.allows(value) {
            return Err(RelationError::Impossible { input: *input, value });
        }
        if values.given(input.name).is_some() {
            return Err(RelationError::Repeated { key: input.name });
        }
        values.put(input.name, value);
    }
    let missing: Vec<&'static str> = relation
        .inputs
        .iter()
        .filter(|i| i.required && values.given(i.name).is_none())
        .map(|i| i.name)
        .collect();
    if !missing.is_empty() {
        return Err(RelationError::MissingInput { relation: relation.name, inputs: missing });
    }
    for input in relation.inputs {
        if let (None, Some(default)) = (values.given(input.name), input.default) {
            values.put(input.name, default);
        }
    }
    Ok(values)
}

fn declared(relation: &Relation, key: &str) -> Option<&'static Input> {
    let by_name = |name: &str| relation.inputs.iter().find(|i| i.name.eq_ignore_ascii_case(name));
    by_name(key).or_else(|| {
        SHORT_KEYS
            .iter()
            .filter(|(short, _)| short.eq_ignore_ascii_case(key))
            .find_map(|(_, name)| by_name(name))
    })
}

fn explained(relation: &'static Relation, values: &Values, outcome: types::Outcome) -> Evaluated {
    let mut out_of_range = Vec::new();
    let mut inputs = Vec::new();
    for input in relation.inputs {
        if let Some(value) = values.given(input.name) {
            inputs.push((input.name.to_owned(), value));
            if !(input.low <= value && value <= input.high) {
                out_of_range.push(OutOfRange { name: input.name, value, low: input.low, high: input.high });
            }
        }
    }
    for step in &outcome.steps {
        if let Some(range) = step.range.filter(|range| !range.contains(step.value)) {
            out_of_range.push(OutOfRange {
                name: step.quantity,
                value: step.value,
                low: range.low,
                high: range.high,
            });
        }
    }
    Evaluated {
        name: relation.name,
        quantity: relation.quantity,
        value: outcome.value,
        unit: relation.unit,
        in_range: out_of_range.is_empty(),
        out_of_range,
        inputs,
        chain: outcome.steps,
        range: relation.range,
        scatter: relation.scatter,
        source: relation.source,
    }
}
