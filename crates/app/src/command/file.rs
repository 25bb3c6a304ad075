//! The actions on files.

use std::path::PathBuf;

use egui::{Key, KeyboardShortcut, Modifiers};

use crate::files::{Leftover, Wanted, file_name};

/// One action on files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileCommand {
    /// Ask what a new aircraft is like.
    BeginNew,
    /// Make a project of the answers.
    Make,
    /// Offer the demo projects.
    New,
    /// Begin with a copy of the demo of this name.
    Begin(String),
    /// Ask for a file and open it.
    Open,
    /// Type a path and open it.
    OpenTyped,
    /// Open this file.
    OpenPath(PathBuf),
    /// Save to the file the project came from.
    Save,
    /// Ask for a file and save to it.
    SaveAs,
    /// Type a path and save to it.
    SaveTyped,
    /// Save to this file, unless another one has the name.
    SaveTo(PathBuf),
    /// Save to this file, whatever it holds now.
    Replace(PathBuf),
    /// Take the typed path.
    Typed(Wanted, String),
    /// Save, then do what was asked for.
    SaveFirst,
    /// Do what was asked for, without the edits that are not saved.
    DropEdits,
    /// Read the open file again.
    ReadAgain,
    /// Go on with what is on screen although the file was changed.
    KeepHere,
    /// Open the copy that a crash left.
    Recover(Leftover),
    /// Take the copy that a crash left away.
    Discard(Leftover),
    /// Show mistakes or warnings one by one.
    ShowFindings,
    /// Close the notice.
    Dismiss,
}

impl FileCommand {
    /// Those that need no further choice, in the order of the menu.
    pub(super) const PLAIN: [Self; 9] = [
        Self::BeginNew,
        Self::New,
        Self::Open,
        Self::OpenTyped,
        Self::Save,
        Self::SaveAs,
        Self::SaveTyped,
        Self::ReadAgain,
        Self::Dismiss,
    ];

    /// The name on screen.
    pub(super) fn label(&self) -> String {
        match self {
            Self::BeginNew => "New aircraft…".to_owned(),
            Self::Make => "Create project".to_owned(),
            Self::New => "New from a demo…".to_owned(),
            Self::Begin(name) => name.clone(),
            Self::Open => "Open…".to_owned(),
            Self::OpenTyped => "Open path…".to_owned(),
            Self::OpenPath(path) => file_name(path),
            Self::Save | Self::SaveFirst => "Save".to_owned(),
            Self::SaveAs => "Save as…".to_owned(),
            Self::SaveTyped => "Save to path…".to_owned(),
            Self::SaveTo(path) => format!("Save to {}", file_name(path)),
            Self::Replace(path) => format!("Replace {}", file_name(path)),
            Self::Typed(Wanted::Open, _) => "Open this path".to_owned(),
            Self::Typed(Wanted::Save, _) => "Save to this path".to_owned(),
            Self::Typed(Wanted::Figure, _) => "Write figure".to_owned(),
            Self::Typed(Wanted::Table, _) => "Load table".to_owned(),
            Self::DropEdits => "Continue without saving".to_owned(),
            Self::ReadAgain => "Reload the file".to_owned(),
            Self::KeepHere => "Keep my version".to_owned(),
            Self::Recover(_) => "Recover".to_owned(),
            Self::Discard(_) => "Discard".to_owned(),
            Self::ShowFindings => "Show details".to_owned(),
            Self::Dismiss => "Dismiss the notice".to_owned(),
        }
    }

    /// What it does, in one sentence.
    pub(super) fn tooltip(&self) -> String {
        match self {
            Self::BeginNew => {
                "Answer a few questions to get a complete project; placeholder values are marked as assumed"
                    .to_owned()
            }
            Self::Make => {
                "Create a project from these answers; there is no file until you save it".to_owned()
            }
            Self::New => "Start from a copy of one of the built-in projects".to_owned(),
            Self::Begin(name) => format!("Start from a copy of {name}; the demo itself is not changed"),
            Self::Open => "Choose a project file and open it".to_owned(),
            Self::OpenTyped => "Open a project file by its path".to_owned(),
            Self::OpenPath(path) => path.display().to_string(),
            Self::Save => "Save the project to its file; only the text that was edited changes".to_owned(),
            Self::SaveAs => "Choose a file and save the project to it".to_owned(),
            Self::SaveTyped => "Save the project to a file by its path".to_owned(),
            Self::SaveTo(path) => format!("Save the project to {}", path.display()),
            Self::Replace(path) => format!("Overwrite {} with the project", path.display()),
            Self::Typed(..) => "Use the path as typed".to_owned(),
            Self::SaveFirst => "Save the project to its file, then continue".to_owned(),
            Self::DropEdits => "Edits since the last save will be lost".to_owned(),
            Self::ReadAgain => "Load the project as it now is in the file".to_owned(),
            Self::KeepHere => "The file is left alone until the project is saved".to_owned(),
            Self::Recover(left) => {
                format!("Open the recovery copy of {}, saved {}", left.origin.name(), left.age())
            }
            Self::Discard(left) => format!("Delete the recovery copy of {} permanently", left.origin.name()),
            Self::ShowFindings => "Every error and warning with its position in the file".to_owned(),
            Self::Dismiss => "Close this notice".to_owned(),
        }
    }

    /// The keys that do it from anywhere in the window.
    pub(super) fn shortcut(&self) -> Option<KeyboardShortcut> {
        let ctrl = |key| Some(KeyboardShortcut::new(Modifiers::COMMAND, key));
        let ctrl_shift = |key| Some(KeyboardShortcut::new(Modifiers::COMMAND | Modifiers::SHIFT, key));
        match self {
            Self::BeginNew => ctrl_shift(Key::N),
            Self::New => ctrl(Key::N),
            Self::Open => ctrl(Key::O),
            Self::OpenTyped => ctrl_shift(Key::O),
            Self::Save => ctrl(Key::S),
            Self::SaveAs => ctrl_shift(Key::S),
            Self::ReadAgain => ctrl_shift(Key::R),
            _ => None,
        }
    }
}
