//! The keys of commands.

use egui::{Key, KeyboardShortcut, Modifiers};

use super::{Command, Overlay, ThemeChoice};

impl Command {
    /// The keys that do it from anywhere in the window.
    pub fn shortcut(&self) -> Option<KeyboardShortcut> {
        let ctrl = |key| Some(KeyboardShortcut::new(Modifiers::COMMAND, key));
        let ctrl_shift = |key| Some(KeyboardShortcut::new(Modifiers::COMMAND | Modifiers::SHIFT, key));
        match self {
            Self::Show(page) => ctrl(page.key()),
            Self::Undo => ctrl(Key::Z),
            Self::Redo => ctrl_shift(Key::Z),
            Self::StepStrip(1..) => ctrl(Key::PageDown),
            Self::StepStrip(_) => ctrl(Key::PageUp),
            Self::StepCase(1..) => ctrl_shift(Key::PageDown),
            Self::StepCase(_) => ctrl_shift(Key::PageUp),
            Self::StepTime(1..) => ctrl(Key::ArrowRight),
            Self::StepTime(_) => ctrl(Key::ArrowLeft),
            Self::StepEvent(1..) => ctrl_shift(Key::ArrowRight),
            Self::StepEvent(_) => ctrl_shift(Key::ArrowLeft),
            Self::ViewFlight => ctrl_shift(Key::Home),
            Self::ViewTime(None) => ctrl(Key::Home),
            Self::Theme(ThemeChoice::Light) => ctrl_shift(Key::L),
            Self::Theme(ThemeChoice::Dark) => ctrl_shift(Key::D),
            Self::File(command) => command.shortcut(),
            Self::Device(command) => command.shortcut(),
            // The copy keys belong to marked text, with Shift as well.
            Self::CopyTable => ctrl_shift(Key::T),
            Self::Quit => ctrl(Key::Q),
            Self::Open(Overlay::Find) => ctrl(Key::F),
            Self::Open(Overlay::Names) => ctrl(Key::E),
            Self::Open(Overlay::Guide) => Some(KeyboardShortcut::new(Modifiers::SHIFT, Key::F1)),
            Self::Open(Overlay::Keys) => Some(KeyboardShortcut::new(Modifiers::NONE, Key::F1)),
            Self::CloseOverlay => Some(KeyboardShortcut::new(Modifiers::NONE, Key::Escape)),
            _ => None,
        }
    }
}
