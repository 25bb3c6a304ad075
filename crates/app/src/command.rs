//! Every action of the user, each with its label, its tooltip and its keys.
//!
//! Views push commands while they draw; the window applies them after the frame. Buttons, the list of keys and the
//! shortcuts are made from the same place, so they cannot differ.

mod device;
mod file;
mod table;

use std::path::PathBuf;

use eframe::egui::{Key, KeyboardShortcut, Modifiers};

use aircraft::revise::Revision;
pub use device::DeviceCommand;
pub use file::FileCommand;
use model::case_name::CaseName;
pub use table::TableCommand;

use crate::files::Wanted;
use crate::views::time::clock;
use crate::views::trades::Sort;
use session::{Compared, MarginPlace, Question};

/// A page of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Page {
    /// The flow strip of a loop or duct and its devices.
    #[default]
    Loops,
    /// Every component against its limits.
    Temperatures,
    /// Every limit in every case.
    Margins,
    /// Where the heat comes from and where it goes.
    Ledger,
    /// One mission over time.
    Mission,
    /// From landing to ready for take-off.
    Turnaround,
    /// What single failures leave.
    Failures,
    /// The machines of the drive with their curves.
    Machines,
    /// The pack with its curves.
    Pack,
    /// Questions about the design: variants, ranges of inputs, sizes, spread.
    Trades,
}

impl Page {
    /// All pages in the order of the rail.
    pub const ALL: [Self; 10] = [
        Self::Loops,
        Self::Temperatures,
        Self::Margins,
        Self::Ledger,
        Self::Mission,
        Self::Turnaround,
        Self::Failures,
        Self::Machines,
        Self::Pack,
        Self::Trades,
    ];

    /// The name on screen.
    pub fn label(self) -> &'static str {
        match self {
            Self::Loops => "Loops",
            Self::Temperatures => "Temperatures",
            Self::Margins => "Margins",
            Self::Ledger => "Ledger",
            Self::Mission => "Mission",
            Self::Turnaround => "Turnaround",
            Self::Failures => "Failures",
            Self::Machines => "Machines",
            Self::Pack => "Pack",
            Self::Trades => "Trades",
        }
    }

    /// What the page shows, in one line.
    pub fn summary(self) -> &'static str {
        match self {
            Self::Loops => "One loop or duct in flow order, with its devices",
            Self::Temperatures => "Every component against its limit, in this case",
            Self::Margins => "Every limit in every case, worst first",
            Self::Ledger => "Heat balance of this case: where heat comes from and where it goes",
            Self::Mission => "Power, temperatures, heat and the pack over one mission",
            Self::Turnaround => "From landing to ready for take-off: every way of cooling and charging",
            Self::Failures => "Single failures: time to a limit against time to land, and when to warn",
            Self::Machines => {
                "Motors, inverters, gearbox and converters: losses over speed, torque and current"
            }
            Self::Pack => "The pack: voltage and resistance over charge and temperature, and its conductors",
            Self::Trades => "Variants side by side, results over inputs, limits, sizes and spread",
        }
    }

    fn key(self) -> Key {
        match self {
            Self::Loops => Key::Num1,
            Self::Temperatures => Key::Num2,
            Self::Margins => Key::Num3,
            Self::Ledger => Key::Num4,
            Self::Mission => Key::Num5,
            Self::Turnaround => Key::Num6,
            Self::Failures => Key::Num7,
            Self::Machines => Key::Num8,
            Self::Pack => Key::Num9,
            Self::Trades => Key::Num0,
        }
    }
}

/// Light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ThemeChoice {
    /// As the desktop is set.
    #[default]
    System,
    /// Dark ink on light paper.
    Light,
    /// Light ink on dark paper.
    Dark,
}

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

    /// The name on buttons and in the list of keys.
    pub fn label(&self) -> String {
        match self {
            Self::Show(page) => page.label().to_owned(),
            Self::Undo => "Undo".to_owned(),
            Self::Redo => "Redo".to_owned(),
            Self::ChooseVariant(name) => format!("Variant {name}"),
            Self::ChooseCondition(name) => format!("Condition {name}"),
            Self::ChooseCase(name) => format!("Case {}", name.at_condition()),
            Self::StepCase(1..) => "Next case".to_owned(),
            Self::StepCase(_) => "Previous case".to_owned(),
            Self::JumpTo { case, .. } => format!("Show {case}"),
            Self::ShowStrip(name)
            | Self::SelectDevice(name)
            | Self::SelectFailure(name)
            | Self::SelectMachine(name) => name.clone(),
            Self::StepStrip(1..) => "Next loop or duct".to_owned(),
            Self::StepStrip(_) => "Previous loop or duct".to_owned(),
            Self::FlyLevers(_) => "Fly for levers".to_owned(),
            Self::Ask(_) => "Work out".to_owned(),
            Self::KeepVariant(_) => "Keep as a variant".to_owned(),
            Self::SetTime(time) => format!("Go to {}", clock(*time)),
            Self::StepTime(1..) => "Later".to_owned(),
            Self::StepTime(_) => "Earlier".to_owned(),
            Self::StepEvent(1..) => "Next event".to_owned(),
            Self::StepEvent(_) => "Previous event".to_owned(),
            Self::Compare(None) => "Nothing beneath".to_owned(),
            Self::Compare(Some(compared)) => format!("Lay {}, {} beneath", compared.variant, compared.case),
            Self::ViewFlight => "Flight alone".to_owned(),
            Self::ViewTime(None) => "Whole mission".to_owned(),
            Self::ViewTime(Some((from, to))) => format!("Show {} to {}", clock(*from), clock(*to)),
            Self::Stop => "Cancel".to_owned(),
            Self::GoOn => "Go on".to_owned(),
            Self::Edit { path, .. } | Self::Step { path, .. } => format!("Edit {path}"),
            Self::EditVariantOnly(false) => "the base design".to_owned(),
            Self::EditVariantOnly(true) => "this variant only".to_owned(),
            Self::DropOwn(path) => format!("Drop the own value of {path}"),
            Self::Revise(revision) => revision.title(),
            Self::Device(command) => command.label(),
            Self::PasteDevice(_) => "Paste device".to_owned(),
            Self::Table(command) => command.label(),
            Self::File(command) => command.label(),
            Self::CopyTable => "Copy table".to_owned(),
            Self::Open(
                Overlay::Begin
                | Overlay::Table
                | Overlay::Demos
                | Overlay::TypedPath(_)
                | Overlay::Unsaved
                | Overlay::Exists(_)
                | Overlay::ChangedByOthers(_)
                | Overlay::Findings,
            ) => "Files".to_owned(),
            Self::Open(Overlay::Duty(_)) => "curve".to_owned(),
            Self::Open(Overlay::Levels(_)) => "Levels".to_owned(),
            Self::Open(Overlay::Names) => "Names".to_owned(),
            Self::Open(Overlay::About) => "About".to_owned(),
            Self::Open(Overlay::Keys) => "Keys".to_owned(),
            Self::Open(Overlay::Guide) => "Guide".to_owned(),
            Self::Open(Overlay::Find) => "Find".to_owned(),
            Self::Open(Overlay::Explanation(_)) => "Explain".to_owned(),
            Self::DismissTip(_) => "Understood".to_owned(),
            Self::ShowTips(true) => "Show the tips again".to_owned(),
            Self::ShowTips(false) => "No more tips".to_owned(),
            Self::CloseOverlay => "Close".to_owned(),
            Self::Quit => "Quit".to_owned(),
            Self::Theme(ThemeChoice::System) => "Theme of the desktop".to_owned(),
            Self::Theme(ThemeChoice::Light) => "Light theme".to_owned(),
            Self::Theme(ThemeChoice::Dark) => "Dark theme".to_owned(),
        }
    }

    /// What it does, in one sentence.
    pub fn tooltip(&self) -> String {
        match self {
            Self::Show(page) => page.summary().to_owned(),
            Self::Undo => "Take the last edit back".to_owned(),
            Self::Redo => "Do the edit that was taken back again".to_owned(),
            Self::ChooseVariant(_) => "Show this variant of the design".to_owned(),
            Self::ChooseCondition(_) => {
                "Show this condition: altitude, outside air, airspeed, sun".to_owned()
            }
            Self::ChooseCase(_) => "Show this steady point or mission".to_owned(),
            Self::StepCase(_) => "Show another case of the same condition".to_owned(),
            Self::JumpTo { case, time_s: Some(time) } => format!("Show {case} at {}", clock(*time)),
            Self::JumpTo { case, time_s: None } => format!("Show {case}"),
            Self::ShowStrip(name) => format!("Show {name} in flow order"),
            Self::StepStrip(_) => "Show another loop or duct on the page Loops".to_owned(),
            Self::SelectDevice(name) => format!("Mark {name} in the strip and in the table"),
            Self::SelectFailure(name) | Self::SelectMachine(name) => format!("Show {name} in full"),
            Self::FlyLevers(_) => {
                "Fly the mission again for every input: takes up to a minute, beside the window; an edit or another cell ends it"
                    .to_owned()
            }
            Self::Ask(question) => Sort::from(question).summary().to_owned(),
            Self::KeepVariant(_) => {
                "Add this design to the project as a variant and show it; the base design stays".to_owned()
            }
            Self::SetTime(_) => "Set the time cursor to this moment".to_owned(),
            Self::StepTime(_) => "Move the time cursor a little".to_owned(),
            Self::StepEvent(_) => "Move the time cursor to another event of the mission".to_owned(),
            Self::Compare(None) => "Show the curves of this case alone".to_owned(),
            Self::Compare(Some(_)) => {
                "Show this case thin beneath the curves, with the difference".to_owned()
            }
            Self::ViewFlight => "Show the mission up to its shutdown; the soak after it is left out".to_owned(),
            Self::ViewTime(None) => "Show all of the mission, with its soak; a double click on a chart does the same".to_owned(),
            Self::ViewTime(Some(_)) => "Choose what part of the mission the curves show".to_owned(),
            Self::Stop => "Stop here; what there is stays".to_owned(),
            Self::GoOn => "Work out what is missing".to_owned(),
            Self::Edit { path, .. } | Self::Step { path, .. } => format!("Set {path}"),
            Self::EditVariantOnly(false) => {
                "An edit changes the base design, and with it every variant that has no value of its own there; adding, removing and \
                 tables always do"
                    .to_owned()
            }
            Self::EditVariantOnly(true) => {
                "An edit gives this variant a value of its own; the base design and the other variants stay".to_owned()
            }
            Self::DropOwn(_) => "Take the value of the base design in its place".to_owned(),
            Self::Revise(revision) => revision.title(),
            Self::Device(command) => command.tooltip(),
            Self::PasteDevice(_) => "Put the device of the clipboard behind the marked one".to_owned(),
            Self::Table(command) => command.tooltip(),
            Self::File(command) => command.tooltip(),
            Self::CopyTable => "Put the numbers of this page on the clipboard, for a spreadsheet".to_owned(),
            Self::Open(
                Overlay::Begin
                | Overlay::Table
                | Overlay::Demos
                | Overlay::TypedPath(_)
                | Overlay::Unsaved
                | Overlay::Exists(_)
                | Overlay::ChangedByOthers(_)
                | Overlay::Findings,
            ) => "Open and save".to_owned(),
            Self::Open(Overlay::Duty(_)) => {
                "What it can deliver at this speed, and what its circuit asks for".to_owned()
            }
            Self::Open(Overlay::Names) => {
                "Everything that has a name: rename it with what names it, copy it, take it away".to_owned()
            }
            Self::Open(Overlay::Levels(_)) => {
                "The laws of this device as a value, as measurements and by dimensions, with what each gives at this case"
                    .to_owned()
            }
            Self::Open(Overlay::About) => "Cautions, version and licences".to_owned(),
            Self::Open(Overlay::Keys) => "All commands and their keys".to_owned(),
            Self::Open(Overlay::Guide) => "Words and signs, and where to begin".to_owned(),
            Self::Open(Overlay::Find) => {
                "Search for a device, component, input or case by its name".to_owned()
            }
            Self::Open(Overlay::Explanation(_)) => {
                "Where this number comes from: relation, source, inputs and range".to_owned()
            }
            Self::DismissTip(_) => "Leave this tip out from now on".to_owned(),
            Self::ShowTips(true) => "Show a short tip above each page".to_owned(),
            Self::ShowTips(false) => "Leave the tips of all pages out; the guide brings them back".to_owned(),
            Self::CloseOverlay => "Back to the page; on a page, stop what is being worked on".to_owned(),
            Self::Theme(_) => "Light or dark".to_owned(),
            Self::Quit => "Close the window".to_owned(),
        }
    }

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
