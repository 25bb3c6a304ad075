//! Why a study has no answer.

use model::case_name::CaseName;
use schema::Problem;
use thiserror::Error;

/// Why a study gave no result.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum StudyError {
    /// A case could not be put together.
    #[error("{case}: {}; {}", problem.message, problem.remedy)]
    Assembly {
        /// Case.
        case: CaseName,
        /// What stands in the way.
        problem: Box<Problem>,
    },
    /// A wanted case does not exist.
    #[error("no case is called {wanted:?}; the cases are: {}", known.join(", "))]
    UnknownCase {
        /// Name as given.
        wanted: String,
        /// All names.
        known: Vec<String>,
    },
    /// The project has no answer to what is asked.
    #[error("{}: {}; {}", .0.path, .0.message, .0.remedy)]
    Project(Box<Problem>),
    /// Cancelled before the end.
    #[error("cancelled")]
    Cancelled,
}
