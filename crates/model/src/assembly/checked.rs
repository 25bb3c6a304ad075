//! Numbers and tables from the project, with the place of one that is not physical.

use powertrain::loss::LossSurface;
use schema::{Input, InputKind, Problem};

pub(super) fn refused(path: String, error: &impl std::fmt::Display) -> Problem {
    Problem::error(path, error.to_string(), "correct the number, or give the loss at another level")
}

pub(super) fn count(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

pub(super) fn si<K: InputKind>(inputs: &[Input<K>]) -> Vec<f64> {
    inputs.iter().map(Input::si).collect()
}

pub(super) fn surface(
    load: &[f64],
    second: &[f64],
    values: &[f64],
    path: &str,
) -> Result<LossSurface, Problem> {
    LossSurface::new(load, second, values).map_err(|error| refused(path.to_owned(), &error))
}
