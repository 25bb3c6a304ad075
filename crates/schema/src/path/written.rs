//! A path as it is written.

use super::error::PathError;
use crate::tree::Place;
use std::fmt;

/// Characters that a name may not hold, because paths and the command line use them.
pub const RESERVED: [char; 6] = ['.', '/', '=', '"', '[', ']'];

/// An address: one or more steps. Equality ignores where it was written.
#[derive(Debug, Clone, Eq)]
pub struct Path {
    pub(super) steps: Vec<String>,
    /// Where the path itself was written, if it came from a file.
    pub place: Place,
}

impl PartialEq for Path {
    fn eq(&self, other: &Self) -> bool {
        self.steps == other.steps
    }
}

impl Path {
    /// Reads a dotted path.
    ///
    /// # Errors
    /// [`PathError::Malformed`] if a step is empty or holds a reserved character.
    pub fn parse(text: &str) -> Result<Self, PathError> {
        let steps: Vec<String> = text.split('.').map(|step| step.trim().to_owned()).collect();
        let malformed = |reason: String| PathError::Malformed { path: text.to_owned(), reason };
        if steps.iter().any(String::is_empty) {
            return Err(malformed("a step is empty".to_owned()));
        }
        if let Some(found) = text.chars().find(|c| *c != '.' && RESERVED.contains(c)) {
            return Err(malformed(format!("{found:?} cannot be part of a name")));
        }
        Ok(Self { steps, place: Place::none() })
    }

    /// A path of these steps.
    pub fn from_steps<S: Into<String>>(steps: impl IntoIterator<Item = S>) -> Self {
        Self { steps: steps.into_iter().map(Into::into).collect(), place: Place::none() }
    }

    /// The steps.
    pub fn steps(&self) -> &[String] {
        &self.steps
    }

    /// The path one step further.
    #[must_use]
    pub fn join(&self, step: impl Into<String>) -> Self {
        let mut longer = self.clone();
        longer.steps.push(step.into());
        longer
    }
}

impl fmt::Display for Path {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.steps.join("."))
    }
}
