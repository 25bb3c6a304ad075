//! What covers a page.

use std::path::PathBuf;

use crate::files::Wanted;

/// What covers the page until it is closed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Overlay {
    /// What the program is, its cautions and licences.
    About,
    /// All commands and their keys.
    Keys,
    /// Words, signs and where to begin.
    Guide,
    /// Search for a device, component, input or case.
    Find,
    /// Where the number with this key comes from.
    Explanation(String),
    /// What the pump or fan of this name can do, and what its circuit asks for.
    Duty(String),
    /// The levels of the laws of the device of this name.
    Levels(String),
    /// The table that is edited.
    Table,
    /// Everything that has a name.
    Names,
    /// What a new aircraft is like.
    Begin,
    /// The demo projects to begin with.
    Demos,
    /// A path to be typed.
    TypedPath(Wanted),
    /// There are edits that are not saved, and something was asked for that would lose them.
    Unsaved,
    /// Another file has the name under which the project is to be saved.
    Exists(PathBuf),
    /// Another program has changed the file that the project is to be saved to.
    ChangedByOthers(PathBuf),
    /// What is wrong with a file, or to be known about it.
    Findings,
}

impl Overlay {
    /// Whether it asks something that has to be answered or left before the work goes on.
    pub(crate) fn is_question(&self) -> bool {
        match self {
            Self::Begin
            | Self::Table
            | Self::Demos
            | Self::TypedPath(_)
            | Self::Unsaved
            | Self::Exists(_)
            | Self::ChangedByOthers(_)
            | Self::Find => true,
            Self::About
            | Self::Keys
            | Self::Guide
            | Self::Explanation(_)
            | Self::Duty(_)
            | Self::Levels(_)
            | Self::Names
            | Self::Findings => false,
        }
    }
}
