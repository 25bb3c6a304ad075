//! Files of the window: opening, saving, recent files, changes made by other programs, and work kept against a crash.
//!
//! Only this module of the window touches the file system, and only on its own threads: the `Desk` works off what it
//! is asked for in order, a `Dialog` waits for the desktop's file dialog. The window asks, goes on drawing, and
//! collects the answers before a later frame.

mod desk;
mod dialog;
mod disk;
mod kept;
mod recent;
mod refusal;
mod tips;

pub(crate) use desk::{Desk, Done, Job, NotSaved, OpenFrom, Overwrite};
pub use dialog::Wanted;
pub(crate) use dialog::{Answer, Dialog};
pub use disk::typed_path;
pub use kept::Leftover;
pub use refusal::Refusal;

use std::path::{Path, PathBuf};
use std::time::Duration;

/// Where a project came from, which is where it is saved to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// A project that is not a file yet: made from a demo of this name.
    Untitled(String),
    /// A file.
    File(PathBuf),
}

impl Origin {
    /// The short name on screen.
    pub fn name(&self) -> String {
        match self {
            Self::Untitled(name) => format!("{name}, not saved yet"),
            Self::File(path) => file_name(path),
        }
    }

    /// The file, if it is one.
    pub fn path(&self) -> Option<&Path> {
        match self {
            Self::Untitled(_) => None,
            Self::File(path) => Some(path),
        }
    }
}

/// The last part of a path, for messages.
pub(crate) fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}

/// A project that is part of the program, to begin with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Demo {
    /// Its name.
    pub name: &'static str,
    /// What it is, in one sentence.
    pub summary: &'static str,
    /// Its file.
    pub bytes: &'static [u8],
}

/// How the user tells a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Dialogs {
    /// By the file dialog of the desktop; where there is none, by typing.
    Native,
    /// By typing.
    #[default]
    Typed,
}

/// How the window handles files.
#[derive(Debug, Clone)]
pub struct Settings {
    /// Where recent files and kept work are noted; without it neither is.
    pub state_folder: Option<PathBuf>,
    /// The projects to begin with.
    pub demos: Vec<Demo>,
    /// How paths are told.
    pub dialogs: Dialogs,
    /// How long after an edit the work is kept against a crash.
    pub keep_after: Duration,
    /// How often the file is compared with what was read.
    pub look_every: Duration,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            state_folder: None,
            demos: Vec::new(),
            dialogs: Dialogs::default(),
            keep_after: Duration::from_secs(2),
            look_every: Duration::from_secs(1),
        }
    }
}

/// The folder in which programs of this user keep what is neither settings nor documents; nothing without a home.
pub fn state_folder() -> Option<PathBuf> {
    use etcetera::BaseStrategy as _;
    let base = etcetera::choose_base_strategy().ok()?;
    Some(base.state_dir().unwrap_or_else(|| base.data_dir()).join("heatledger"))
}
