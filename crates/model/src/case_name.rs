//! The name of a case, as it is written everywhere: `condition/point-or-mission[/failure]`.

use std::fmt;
use std::str::FromStr;

/// Which case a result belongs to. Names hold no slash, so that the text can be read back.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CaseName {
    /// Condition.
    pub condition: String,
    /// Operating point or mission.
    pub point: String,
    /// Failure.
    pub failure: Option<String>,
}

impl CaseName {
    /// The name without its condition: `point-or-mission[/failure]`.
    pub fn at_condition(&self) -> String {
        match &self.failure {
            Some(failure) => format!("{}/{failure}", self.point),
            None => self.point.clone(),
        }
    }

    /// The same without a failure.
    #[must_use]
    pub fn sound(&self) -> Self {
        Self { failure: None, ..self.clone() }
    }
}

impl fmt::Display for CaseName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.condition, self.point)?;
        match &self.failure {
            Some(failure) => write!(f, "/{failure}"),
            None => Ok(()),
        }
    }
}

/// Why a text is not the name of a case.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "{text:?} is not the name of a case; write condition/point-or-mission or condition/point-or-mission/failure"
)]
pub struct NoCaseName {
    /// What was read.
    pub text: String,
}

impl FromStr for CaseName {
    type Err = NoCaseName;

    fn from_str(text: &str) -> Result<Self, NoCaseName> {
        let parts: Vec<&str> = text.split('/').collect();
        let (condition, point, failure) = match parts.as_slice() {
            [condition, point] => (condition, point, None),
            [condition, point, failure] => (condition, point, Some((*failure).to_owned())),
            _ => return Err(NoCaseName { text: text.to_owned() }),
        };
        if parts.iter().any(|part| part.is_empty()) {
            return Err(NoCaseName { text: text.to_owned() });
        }
        Ok(Self { condition: (*condition).to_owned(), point: (*point).to_owned(), failure })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_back() {
        for text in ["hot day/hover", "hot day/hover/pump 1 out"] {
            let name: CaseName = text.parse().expect("a name");
            assert_eq!(name.to_string(), text);
            assert_eq!(format!("{}/{}", name.condition, name.at_condition()), text);
            assert_eq!(name.sound().to_string(), "hot day/hover");
        }
        for text in ["", "hot day", "hot day/", "/hover", "a/b/c/d", "a//c"] {
            let refused = text.parse::<CaseName>().expect_err(text);
            assert!(refused.to_string().contains("condition/point-or-mission"), "{refused}");
        }
    }
}
