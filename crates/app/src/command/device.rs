//! What can be done to the device that is marked on the page Loops.

use aircraft::revise::Revision;
use egui::{Key, KeyboardShortcut, Modifiers};

/// An action on the marked device.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeviceCommand {
    /// Mark the next device.
    Next,
    /// Mark the device before.
    Previous,
    /// Type another name.
    Rename,
    /// Show its laws at every level.
    Levels,
    /// Put a copy behind it.
    Duplicate,
    /// Put it on the clipboard.
    Copy,
    /// Put the device of the clipboard behind it.
    Paste,
    /// Move it up the flow.
    Up,
    /// Move it down the flow.
    Down,
    /// Put a copy beside it.
    Branch,
    /// End the parallel section it stands in.
    Join,
    /// Take it away.
    Remove,
}

impl DeviceCommand {
    /// All of them, in the order of the buttons; the first two mark and have no button.
    pub const ALL: [Self; 12] = [
        Self::Next,
        Self::Previous,
        Self::Rename,
        Self::Levels,
        Self::Duplicate,
        Self::Copy,
        Self::Paste,
        Self::Up,
        Self::Down,
        Self::Branch,
        Self::Join,
        Self::Remove,
    ];

    /// The change of the project, if it is one that needs nothing more than the device.
    pub fn revision(self, path: &str) -> Option<Revision> {
        let path = path.to_owned();
        match self {
            Self::Next | Self::Previous | Self::Rename | Self::Levels | Self::Copy | Self::Paste => None,
            Self::Duplicate => Some(Revision::Duplicate(path)),
            Self::Up => Some(Revision::Move(path, -1)),
            Self::Down => Some(Revision::Move(path, 1)),
            Self::Branch => Some(Revision::Branch(path)),
            Self::Join => Some(Revision::Join(path)),
            Self::Remove => Some(Revision::Remove(path)),
        }
    }

    /// The name on buttons and in the list of keys.
    pub(super) fn label(self) -> String {
        match self {
            Self::Next => "Next device",
            Self::Previous => "Previous device",
            Self::Rename => "Rename device",
            Self::Levels => "Fidelity",
            Self::Duplicate => "Duplicate",
            Self::Copy => "Copy",
            Self::Paste => "Paste after",
            Self::Up => "Up",
            Self::Down => "Down",
            Self::Branch => "Branch",
            Self::Join => "Join",
            Self::Remove => "Remove",
        }
        .to_owned()
    }

    pub(super) fn tooltip(self) -> String {
        match self {
            Self::Next | Self::Previous => "Select another device in the loop or duct",
            Self::Rename => "Rename the selected device; limits, failures and variants that refer to it follow",
            Self::Levels => {
                "Define the selected device by a value, by measurements or by dimensions, and compare what each gives"
            }
            Self::Duplicate => "Insert a copy of the selected device after it",
            Self::Copy => "Copy the selected device to the clipboard as text (Ctrl+C)",
            Self::Paste => "Insert the device on the clipboard after the selected one (Ctrl+V); it may come from another loop or project",
            Self::Up => "Move the selected device upstream",
            Self::Down => "Move the selected device downstream",
            Self::Branch => "Insert a copy in parallel with the selected device, so that they share the flow",
            Self::Join => "Put the devices of this parallel section in series",
            Self::Remove => "Remove the selected device",
        }
        .to_owned()
    }

    pub(super) fn shortcut(self) -> Option<KeyboardShortcut> {
        let alt = |key| Some(KeyboardShortcut::new(Modifiers::ALT, key));
        let alt_shift = |key| Some(KeyboardShortcut::new(Modifiers::ALT | Modifiers::SHIFT, key));
        match self {
            Self::Next => alt(Key::ArrowDown),
            Self::Previous => alt(Key::ArrowUp),
            Self::Rename => Some(KeyboardShortcut::new(Modifiers::NONE, Key::F2)),
            Self::Levels => alt(Key::L),
            Self::Duplicate => Some(KeyboardShortcut::new(Modifiers::COMMAND, Key::D)),
            Self::Up => alt_shift(Key::ArrowUp),
            Self::Down => alt_shift(Key::ArrowDown),
            Self::Branch => alt(Key::B),
            Self::Join => alt(Key::J),
            // the keys of the clipboard come as events of their own
            Self::Copy | Self::Paste => None,
            Self::Remove => Some(KeyboardShortcut::new(Modifiers::COMMAND, Key::Delete)),
        }
    }
}
