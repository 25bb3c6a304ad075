//! Why an edit is refused.

use schema::PathError;

/// Why a revision was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// A path leads nowhere.
    #[error("{0}")]
    Path(#[from] PathError),
    /// The path does not lead to a named item of a list.
    #[error("{0} is not a named item of a list")]
    NoItem(String),
    /// A text cannot be a name.
    #[error("{0}")]
    BadName(String),
    /// The name is in use.
    #[error("the name {0:?} is already in use; choose another name")]
    NameTaken(String),
    /// Two things have the name, so that what names one of them cannot be told from what names the other.
    #[error("{0:?} is the name of {1} items; rename it in the file, where each can be told apart")]
    NameShared(String, usize),
    /// There is no place to move to.
    #[error("{0} is {1} in its list already")]
    AtEnd(String, &'static str),
    /// A core or exchanger is described once but is in two circuits.
    #[error(
        "{0} is described once but is in two circuits; copy its entry in the list of cores or exchangers instead"
    )]
    StandsTwice(String),
    /// Only loops have it.
    #[error("{0} is in a duct; select a device in a loop")]
    NotInLoop(String),
    /// A thermostat has nothing to follow.
    #[error(
        "there is nothing next to {0} whose temperature a thermostat could follow; add a device before it"
    )]
    NothingToSense(String),
    /// There is nothing that a stage could follow.
    #[error("the project has no powertrain that a stage could follow; add one first")]
    NoDrive,
    /// The device is not in a parallel section.
    #[error("{0} is not in a parallel section")]
    NotParallel(String),
}
