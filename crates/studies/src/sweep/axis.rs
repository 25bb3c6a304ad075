//! An input and its values.

use crate::StudyError;
use aircraft::variant::project_shape;
use schema::{InputEntry, Node, list_inputs, listed, nearest};
use thiserror::Error;
use units::Quantity;

/// Why a sweep cannot be run as asked.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SweepError {
    /// Not of the form PATH=FROM..TO/N.
    #[error(
        "{text:?}: {reason}; write PATH=FROM..TO/N, as in \"points.climb.speed=40 m/s..60 m/s/5\", N values with both ends"
    )]
    Form {
        /// As given.
        text: String,
        /// What is wrong.
        reason: String,
    },
    /// No number of the project has this path.
    #[error("no input has the path {path:?}; {}", suggestion(near))]
    UnknownInput {
        /// As given.
        path: String,
        /// Paths that resemble it.
        near: Vec<String>,
    },
    /// Nothing of this name can be watched.
    #[error("no result is called {name:?}; {}", suggestion(near))]
    UnknownResult {
        /// As given.
        name: String,
        /// Results that resemble it.
        near: Vec<String>,
    },
    /// An input is set twice.
    #[error("the input {path:?} is set twice")]
    Repeated {
        /// Path.
        path: String,
    },
    /// The grid is too large.
    #[error("the grid has more than {} points: take fewer values", super::MAX_POINTS)]
    TooMany,
    /// Not a shard.
    #[error("{text:?} is not a shard: write K/N with K from 1 to N")]
    Shard {
        /// As given.
        text: String,
    },
    /// The project cannot be studied, or the sweep was cancelled.
    #[error(transparent)]
    Study(#[from] StudyError),
}

fn suggestion(near: &[String]) -> String {
    format!("the nearest are: {}", listed(near.iter().map(String::as_str)))
}

/// The names that resemble one most: those with a slip of the pen first, then those that share most of its words.
pub(super) fn near<'a>(name: &str, known: impl Iterator<Item = &'a str> + Clone) -> Vec<String> {
    let words = |text: &str| -> Vec<String> {
        text.to_lowercase().split(['.', ':', '/', ' ', '_']).map(str::to_owned).collect()
    };
    let wanted = words(name);
    let close = nearest(name, known.clone());
    let mut ranked: Vec<(usize, &str)> = known
        .map(|one| {
            let own = words(one);
            let shared = wanted.iter().filter(|w| own.contains(w)).count();
            (if close == Some(one) { 0 } else { 1 + wanted.len() - shared }, one)
        })
        .collect();
    ranked.sort_by_key(|(distance, _)| *distance);
    ranked.into_iter().take(5).map(|(_, one)| one.to_owned()).collect()
}

/// An input with evenly spaced values, both ends included.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// Path.
    pub path: String,
    /// The input as it is in the project.
    pub entry: InputEntry,
    /// Unit that the values were typed in.
    pub unit: String,
    /// Its place in the count of all numbers of the project.
    pub(super) index: usize,
    from_si: f64,
    to_si: f64,
    steps: usize,
}

impl Axis {
    /// Reads `PATH=FROM..TO/N`: N values from FROM to TO, each with its unit; FROM may leave out the unit of TO.
    ///
    /// # Errors
    /// [`SweepError::Form`], [`SweepError::UnknownInput`] with the nearest paths.
    pub fn parse(node: &Node, text: &str) -> Result<Self, SweepError> {
        let form = |reason: String| SweepError::Form { text: text.to_owned(), reason };
        let (path, range) = text.split_once('=').ok_or_else(|| form("there is no \"=\"".to_owned()))?;
        let (range, steps) = range.rsplit_once('/').ok_or_else(|| form("there is no \"/N\"".to_owned()))?;
        let (from, to) = range.split_once("..").ok_or_else(|| form("there is no \"..\"".to_owned()))?;
        let steps: usize = steps.trim().parse().ok().filter(|steps| *steps >= 2).ok_or_else(|| {
            form(format!("the number of values {steps:?} is not a whole number of 2 or more"))
        })?;
        let entries = list_inputs(node, project_shape());
        let path = path.trim();
        let found = entries.iter().position(|entry| entry.address == path);
        let Some(index) = found else {
            let paths: Vec<String> = entries.iter().map(|entry| entry.address.clone()).collect();
            let near = near(path, paths.iter().map(String::as_str));
            return Err(SweepError::UnknownInput { path: path.to_owned(), near });
        };
        let entry = entries[index].clone();
        let to = Quantity::parse(to.trim(), entry.kind).map_err(|error| form(error.to_string()))?;
        let from = from.trim();
        let with_unit =
            if from.parse::<f64>().is_ok() { format!("{from} {}", to.unit()) } else { from.to_owned() };
        let from = Quantity::parse(&with_unit, entry.kind).map_err(|error| form(error.to_string()))?;
        let axis = Self {
            path: path.to_owned(),
            unit: to.unit().to_owned(),
            index,
            from_si: from.si(),
            to_si: to.si(),
            steps,
            entry,
        };
        if axis.entry.whole && (0..steps).any(|step| axis.value_si(step).fract() != 0.0) {
            return Err(form("only whole numbers make sense here, and a value between is none".to_owned()));
        }
        Ok(axis)
    }

    /// Number of values.
    pub fn steps(&self) -> usize {
        self.steps
    }

    /// Value of a step from 0, in SI; the ends are exact.
    pub fn value_si(&self, step: usize) -> f64 {
        let last = self.steps - 1;
        (self.from_si * (last - step) as f64 + self.to_si * step as f64) / last as f64
    }
}
