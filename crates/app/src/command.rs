//! Every action of the user, each with its label, its tooltip and its keys.
//!
//! Views push commands while they draw; the window applies them after the frame. Buttons, the list of keys and the
//! shortcuts are made from the same place, so they cannot differ.

mod device;
mod file;
mod keys;
mod overlay;
mod page;
mod table;
mod words;

use aircraft::revise::Revision;
use model::case_name::CaseName;
use session::{Compared, MarginPlace, Question};

pub use device::DeviceCommand;
pub use file::FileCommand;
pub use overlay::Overlay;
pub use page::{Page, ThemeChoice};
pub use table::TableCommand;

/// One action of the user.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// Show a page.
    Show(Page),
    /// Take the last edit back.
    Undo,
    /// Do the edit that was taken back again.
    Redo,
    /// Show another variant of the design.
    ChooseVariant(String),
    /// Show another condition; the case becomes its first one when it has no case of the same name.
    ChooseCondition(String),
    /// Show another case of the condition.
    ChooseCase(CaseName),
    /// Show the next (+1) or previous (-1) case.
    StepCase(i32),
    /// Show a case at the moment at which it is worst.
    JumpTo {
        /// Its name.
        case: CaseName,
        /// The moment in seconds; nothing for a steady point.
        time_s: Option<f64>,
    },
    /// Show a loop or duct by name.
    ShowStrip(String),
    /// Show the next (+1) or previous (-1) loop or duct.
    StepStrip(i32),
    /// Mark a device of the strip and its row.
    SelectDevice(String),
    /// Mark a failure and show it in full.
    SelectFailure(String),
    /// Show the machine with this name and sort.
    SelectMachine(String),
    /// Work the levers of a margin of a mission out by flying it again for every input.
    FlyLevers(MarginPlace),
    /// Work a question of the page Trades out.
    Ask(Question),
    /// Keep the design that a study found as a variant of this name.
    KeepVariant(String),
    /// Set the time cursor to a moment of the mission, in seconds.
    SetTime(f64),
    /// Move the time cursor by so many steps of a fiftieth of what is in view.
    StepTime(i32),
    /// Move the time cursor to the next (+1) or previous (-1) event.
    StepEvent(i32),
    /// Lay the curves of another mission case beneath, or take them away.
    Compare(Option<Compared>),
    /// Show a part of the mission, from and to in seconds, or all of it.
    ViewTime(Option<(f64, f64)>),
    /// Show the flight without the soak after it.
    ViewFlight,
    /// Stop what is being worked on; what there is stays.
    Stop,
    /// Work on what was stopped.
    GoOn,
    /// Set the input at a path to what was typed.
    Edit {
        /// The address of the input in the project.
        path: String,
        /// The text as typed, with its unit.
        text: String,
    },
    /// Set an input as a step of a gesture: all steps in a row are one edit.
    Step {
        /// The address of the input in the project.
        path: String,
        /// The text with its unit.
        text: String,
        /// Whether a new gesture begins with it.
        is_new: bool,
    },
    /// Whether edits of inputs change the variant on screen only.
    EditVariantOnly(bool),
    /// Take the value of the base design in the place of the variant's own.
    DropOwn(String),
    /// Change what the project consists of.
    Revise(Revision),
    /// Do something to the marked device.
    Device(DeviceCommand),
    /// Put the device that this text describes behind the marked one.
    PasteDevice(String),
    /// Do something to a measured table.
    Table(TableCommand),
    /// Open, save and what belongs to it.
    File(FileCommand),
    /// Put the table of the page on the clipboard.
    CopyTable,
    /// Put something over the page.
    Open(Overlay),
    /// Leave the tip of a page out from now on.
    DismissTip(Page),
    /// Show the tips of all pages again, or none.
    ShowTips(bool),
    /// Close what is over the page.
    CloseOverlay,
    /// Light, dark or as the desktop.
    Theme(ThemeChoice),
    /// Close the window.
    Quit,
}

impl Command {
    /// The commands that need no further choice, in the order of the list of keys.
    pub fn plain() -> Vec<Self> {
        let mut all: Vec<Self> = Page::ALL.into_iter().map(Self::Show).collect();
        all.extend(FileCommand::PLAIN.map(Self::File));
        all.extend(DeviceCommand::ALL.map(Self::Device));
        all.extend([
            Self::Undo,
            Self::Redo,
            Self::StepStrip(1),
            Self::StepStrip(-1),
            Self::StepCase(1),
            Self::StepCase(-1),
            Self::StepTime(1),
            Self::StepTime(-1),
            Self::StepEvent(1),
            Self::StepEvent(-1),
            Self::ViewFlight,
            Self::ViewTime(None),
            Self::CopyTable,
            Self::Open(Overlay::Find),
            Self::Open(Overlay::Names),
            Self::Theme(ThemeChoice::Light),
            Self::Theme(ThemeChoice::Dark),
            Self::Theme(ThemeChoice::System),
            Self::Open(Overlay::Guide),
            Self::Open(Overlay::Keys),
            Self::Open(Overlay::About),
            Self::ShowTips(true),
            Self::CloseOverlay,
            Self::Quit,
        ]);
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_two_commands_share_keys_or_a_label() {
        let plain = Command::plain();
        let keys: Vec<String> =
            plain.iter().filter_map(|c| c.shortcut().map(|shortcut| format!("{shortcut:?}"))).collect();
        assert!(keys.len() > 10, "pages, undo and steps have keys");
        assert_eq!(keys.iter().collect::<BTreeSet<_>>().len(), keys.len(), "{keys:?}");
        let labels: BTreeSet<String> = plain.iter().map(Command::label).collect();
        assert_eq!(labels.len(), plain.len());
        assert!(plain.iter().all(|command| !command.tooltip().is_empty()));
    }
}
