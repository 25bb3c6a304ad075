//! What a command has to say, and how it ended.

use model::standing::Standing;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// All is well.
    Fine,
    /// What was given is wrong; the page says where.
    BadInput,
    /// A margin is short or a case has no solution.
    Short,
    /// The system does not let the program do it.
    Failed,
}

impl Outcome {
    pub(crate) fn code(self) -> u8 {
        match self {
            Self::Fine => 0,
            Self::BadInput => 1,
            Self::Short => 2,
            Self::Failed => INTERNAL,
        }
    }
}

impl From<Standing> for Outcome {
    fn from(standing: Standing) -> Self {
        if standing.exit_code() == 0 { Self::Fine } else { Self::Short }
    }
}

/// Code of a failure that is a mistake in the program or of the system, not of the input.
pub(crate) const INTERNAL: u8 = 3;

/// What a command has to say on standard output.
#[derive(Clone, Debug)]
pub(crate) struct Page {
    pub(crate) text: String,
    pub(crate) outcome: Outcome,
}
