//! What commands are called, and what they do in one sentence.

use super::{Command, Overlay, ThemeChoice};
use crate::clock::clock;
use crate::question::QuestionKind;

impl Command {
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
            Self::FlyLevers(_) => "Calculate levers".to_owned(),
            Self::Ask(_) => "Calculate".to_owned(),
            Self::KeepVariant(_) => "Save as variant".to_owned(),
            Self::SetTime(time) => format!("Go to {}", clock(*time)),
            Self::StepTime(1..) => "Later".to_owned(),
            Self::StepTime(_) => "Earlier".to_owned(),
            Self::StepEvent(1..) => "Next event".to_owned(),
            Self::StepEvent(_) => "Previous event".to_owned(),
            Self::Compare(None) => "No overlay".to_owned(),
            Self::Compare(Some(compared)) => format!("Overlay {}, {}", compared.variant, compared.case),
            Self::ViewFlight => "Flight only".to_owned(),
            Self::ViewTime(None) => "Whole mission".to_owned(),
            Self::ViewTime(Some((from, to))) => format!("Show {} to {}", clock(*from), clock(*to)),
            Self::Stop => "Cancel".to_owned(),
            Self::GoOn => "Continue".to_owned(),
            Self::Edit { path, .. } | Self::Step { path, .. } => format!("Edit {path}"),
            Self::EditVariantOnly(false) => "the base design".to_owned(),
            Self::EditVariantOnly(true) => "this variant only".to_owned(),
            Self::DropOwn(path) => format!("Reset {path} to the base design"),
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
            Self::Open(Overlay::Levels(_)) => "Fidelity".to_owned(),
            Self::Open(Overlay::Names) => "Names".to_owned(),
            Self::Open(Overlay::About) => "About".to_owned(),
            Self::Open(Overlay::Keys) => "Keys".to_owned(),
            Self::Open(Overlay::Guide) => "Guide".to_owned(),
            Self::Open(Overlay::Find) => "Find".to_owned(),
            Self::Open(Overlay::Explanation(_)) => "Explain".to_owned(),
            Self::DismissTip(_) => "Got it".to_owned(),
            Self::ShowTips(true) => "Show tips".to_owned(),
            Self::ShowTips(false) => "Hide all tips".to_owned(),
            Self::CloseOverlay => "Close".to_owned(),
            Self::Quit => "Quit".to_owned(),
            Self::Theme(ThemeChoice::System) => "Desktop theme".to_owned(),
            Self::Theme(ThemeChoice::Light) => "Light theme".to_owned(),
            Self::Theme(ThemeChoice::Dark) => "Dark theme".to_owned(),
        }
    }

    /// What it does, in one sentence.
    pub fn tooltip(&self) -> String {
        match self {
            Self::Show(page) => page.summary().to_owned(),
            Self::Undo => "Undo the last edit".to_owned(),
            Self::Redo => "Redo the edit that was undone".to_owned(),
            Self::ChooseVariant(_) => "Show this variant of the design".to_owned(),
            Self::ChooseCondition(_) => {
                "Show this condition: altitude, outside air, airspeed, sun".to_owned()
            }
            Self::ChooseCase(_) => "Show this steady point or mission".to_owned(),
            Self::StepCase(_) => "Show another case of the same condition".to_owned(),
            Self::JumpTo { case, time_s: Some(time) } => format!("Show {case} at {}", clock(*time)),
            Self::JumpTo { case, time_s: None } => format!("Show {case}"),
            Self::ShowStrip(name) => format!("Show {name} in flow order"),
            Self::StepStrip(_) => "Show another loop or duct on the Loops page".to_owned(),
            Self::SelectDevice(name) => format!("Select {name} in the strip and in the table"),
            Self::SelectFailure(name) | Self::SelectMachine(name) => format!("Show {name} in full"),
            Self::FlyLevers(_) => {
                "Fly the mission again for every input: up to a minute, in the background; an edit or another cell stops it"
                    .to_owned()
            }
            Self::Ask(question) => QuestionKind::from(question).summary().to_owned(),
            Self::KeepVariant(_) => {
                "Add this design to the project as a variant and show it; the base design is unchanged".to_owned()
            }
            Self::SetTime(_) => "Set the time cursor to this moment".to_owned(),
            Self::StepTime(_) => "Step the time cursor".to_owned(),
            Self::StepEvent(_) => "Move the time cursor to another event of the mission".to_owned(),
            Self::Compare(None) => "Show the curves of this case only".to_owned(),
            Self::Compare(Some(_)) => {
                "Overlay this case as thin curves, with the difference".to_owned()
            }
            Self::ViewFlight => "Show the mission up to shutdown, without the soak that follows".to_owned(),
            Self::ViewTime(None) => "Show the whole mission including the soak; a double click on a chart does the same".to_owned(),
            Self::ViewTime(Some(_)) => "Choose which part of the mission the curves show".to_owned(),
            Self::Stop => "Stop; results so far are kept".to_owned(),
            Self::GoOn => "Calculate what is missing".to_owned(),
            Self::Edit { path, .. } | Self::Step { path, .. } => format!("Set {path}"),
            Self::EditVariantOnly(false) => {
                "An edit changes the base design and every variant without its own value there; additions, removals and tables always do"
                    .to_owned()
            }
            Self::EditVariantOnly(true) => {
                "An edit gives this variant its own value; the base design and the other variants are unchanged".to_owned()
            }
            Self::DropOwn(_) => "Use the value from the base design instead".to_owned(),
            Self::Revise(revision) => revision.title(),
            Self::Device(command) => command.tooltip(),
            Self::PasteDevice(_) => "Insert the device on the clipboard after the selected one".to_owned(),
            Self::Table(command) => command.tooltip(),
            Self::File(command) => command.tooltip(),
            Self::CopyTable => "Copy the numbers on this page to the clipboard, for a spreadsheet".to_owned(),
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
                "What it can deliver at this speed, and what its circuit requires".to_owned()
            }
            Self::Open(Overlay::Names) => {
                "Everything that has a name: rename it together with all references, copy it or remove it".to_owned()
            }
            Self::Open(Overlay::Levels(_)) => {
                "This device as a value, as measurements and by dimensions, with what each gives in this case"
                    .to_owned()
            }
            Self::Open(Overlay::About) => "Cautions, version and licences".to_owned(),
            Self::Open(Overlay::Keys) => "All commands and their keys".to_owned(),
            Self::Open(Overlay::Guide) => "Terms and symbols, and where to start".to_owned(),
            Self::Open(Overlay::Find) => {
                "Search for a device, component, input or case by its name".to_owned()
            }
            Self::Open(Overlay::Explanation(_)) => {
                "Where this number comes from: relation, source, inputs and range".to_owned()
            }
            Self::DismissTip(_) => "Do not show this tip again".to_owned(),
            Self::ShowTips(true) => "Show a short tip above each page".to_owned(),
            Self::ShowTips(false) => "Hide the tips on all pages; the guide brings them back".to_owned(),
            Self::CloseOverlay => "Back to the page; on a page, stop the calculation in progress".to_owned(),
            Self::Theme(_) => "Light or dark".to_owned(),
            Self::Quit => "Close the window".to_owned(),
        }
    }
}
