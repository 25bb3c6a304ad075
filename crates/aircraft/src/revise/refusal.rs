//! Why an edit is refused.

use schema::PathError;

/// Why a revision was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// A path leads nowhere.
    #[error("{0}")]
    Path(#[from] PathError),
    /// The path does not lead to a named item of a list.
    #[error("{0} is no named item of a list")]
    NoItem(String),
    /// A text cannot be a name.
    #[error("{0}")]
    BadName(String),
    /// The name is in use.
    #[error("something is called {0:?} already; choose another name")]
    NameTaken(String),
    /// Two things have the name, so that what names one of them cannot be told from what names the other.
    #[error("{0:?} is the name of {1} things; rename it in the file, where each can be told apart")]
    NameShared(String, usize),
    /// There is no place to move to.
    #[error("{0} is {1} in its list already")]
    AtEnd(String, &'static str),
    /// A core or exchanger is described once and stands in two circuits.
    #[error(
        "{0} is described once and stands in two circuits; copy its entry in the list of cores or exchangers instead"
    )]
    StandsTwice(String),
    /// Only loops have it.
    #[error("{0} stands in a duct; mark a device of a loop")]
    NotInLoop(String),
    /// A thermostat has nothing to follow.
    #[error(
        "nothing stands beside {0} whose temperature a thermostat could follow; add a device in front of it"
    )]
    NothingToSense(String),
    /// There is nothing that a stage could follow.
    #[error("the project has no powertrain that a stage could follow; add one first")]
    NoDrive,
    /// The device stands in no parallel section.
    #[error("{0} stands in no parallel section")]
    NotParallel(String),
}
