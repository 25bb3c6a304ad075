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
            Self::TakeOver => "Apply".to_owned(),
            Self::Restore => "Discard changes".to_owned(),
        }
    }

    /// What it does, in one sentence.
    pub fn tooltip(&self) -> String {
        match self {
            Self::Edit(_) => "Edit the measured numbers in a grid, or paste them from a spreadsheet",
            Self::Check => "Check the cells for errors",
            Self::Load => {
                "Load the cells from a delimited text file (.csv, .tsv, .txt); its header row may give units in brackets"
            }
            Self::Copy => "Copy all cells to the clipboard, for a spreadsheet",
            Self::TakeOver => "Write the table into the project as a single undo step",
            Self::Restore => "Discard what was typed here and return to the table in the project",
        }
        .to_owned()
    }
}
