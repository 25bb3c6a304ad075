//! What can be done to the table that is edited.

/// An action on the table over the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TableCommand {
    /// Edit the table at an address of the project.
    Edit(String),
    /// Look for mistakes.
    Check,
    /// Take its cells from a file.
    Load,
    /// Put its cells on the clipboard.
    Copy,
    /// Put it into the project.
    TakeOver,
    /// Begin again with what stands in the project.
    Restore,
}

impl TableCommand {
    /// The name on buttons.
    pub fn label(&self) -> String {
        match self {
            Self::Edit(path) => format!("Edit table {path}"),
            Self::Check => "Check".to_owned(),
            Self::Load => "Load file…".to_owned(),
            Self::Copy => "Copy cells".to_owned(),
            Self::TakeOver => "Take over".to_owned(),
            Self::Restore => "Back to the project".to_owned(),
        }
    }

    /// What it does, in one sentence.
    pub fn tooltip(&self) -> String {
        match self {
            Self::Edit(_) => "Edit the measured numbers as a grid; paste them from a spreadsheet",
            Self::Check => "Look for mistakes in the cells",
            Self::Load => {
                "Take the cells from a file of comma-separated values (.csv, .tsv, .txt); a head may name the units in brackets"
            }
            Self::Copy => "Put all cells on the clipboard, for a spreadsheet",
            Self::TakeOver => "Put the table into the project, as one step of undo",
            Self::Restore => "Drop what was typed here and begin again with the table of the project",
        }
        .to_owned()
    }
}
