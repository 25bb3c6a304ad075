//! What the window opens with.

use session::{Choice, Snapshot};

use crate::command::{Page, ThemeChoice};
use crate::files::{Origin, Settings};

/// What the window opens with.
#[derive(Debug, Clone)]
pub struct Opening {
    /// The project.
    pub snapshot: Snapshot,
    /// Where the project came from.
    pub origin: Origin,
    /// How files are handled.
    pub files: Settings,
    /// What is chosen first; unknown names become the first ones there are.
    pub choice: Choice,
    /// The page shown first.
    pub page: Page,
    /// Light, dark or as the desktop.
    pub theme: ThemeChoice,
    /// Size of the window in points.
    pub size: [f32; 2],
}

impl Opening {
    /// Opens with the first choices, on the page Loops, with a project that is not a file and no memory of others.
    pub fn new(snapshot: Snapshot) -> Self {
        Self {
            snapshot,
            origin: Origin::Untitled("project".to_owned()),
            files: Settings::default(),
            choice: Choice::default(),
            page: Page::default(),
            theme: ThemeChoice::default(),
            size: [1440.0, 900.0],
        }
    }
}
