//! Why a path leads nowhere.

use crate::nearest::listed;

/// Why a path leads nowhere.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PathError {
    /// The text is not a path.
    #[error("the path {path:?} cannot be read: {reason}")]
    Malformed {
        /// As given.
        path: String,
        /// What is wrong with it.
        reason: String,
    },
    /// A step names nothing.
    #[error("there is no {missing:?} in {}", owner_of(.within))]
    NotFound {
        /// The whole path.
        path: String,
        /// The step that was not found.
        missing: String,
        /// The steps before it.
        within: String,
        /// The name that is nearest.
        suggestion: Option<String>,
        /// Names that stand there.
        known: Vec<String>,
    },
    /// A step goes on below something that has no parts.
    #[error("{} is {found} and has no part {missing:?}", owner_of(.within))]
    NoParts {
        /// The whole path.
        path: String,
        /// The step that was not found.
        missing: String,
        /// The steps before it.
        within: String,
        /// What stands there.
        found: String,
    },
    /// Something cannot be added or removed there.
    #[error("{path:?} {reason}")]
    NotPossible {
        /// The whole path.
        path: String,
        /// Why not.
        reason: String,
    },
}

fn owner_of(steps: &str) -> String {
    if steps.is_empty() { "the project".to_owned() } else { format!("{steps:?}") }
}

impl PathError {
    /// What to do about it.
    pub fn remedy(&self) -> String {
        match self {
            Self::Malformed { .. } => {
                "write names separated by single dots, as in \"loops.stator.path.long hose.length\""
                    .to_owned()
            }
            Self::NotFound { suggestion: Some(name), .. } => format!("write {name:?} if that is meant"),
            Self::NotFound { known, .. } if !known.is_empty() => {
                format!("write one of {}", listed(known.iter().map(String::as_str)))
            }
            Self::NotFound { .. } => "nothing has a name there: check the path".to_owned(),
            Self::NoParts { within, .. } => format!("end the path at {within:?}"),
            Self::NotPossible { .. } => {
                "give the path of a list, of an item of a list, or of a field".to_owned()
            }
        }
    }
}
