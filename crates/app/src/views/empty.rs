//! What a page says while it has nothing to show: why, and what to do next.

use egui::{Label, Ui};

use crate::command::{Command, FileCommand, Overlay, Page};
use crate::look;

/// Why the page is empty, and what would fill it.
fn words(page: Page) -> (&'static str, &'static str) {
    match page {
        Page::Loops => (
            "This project has no loop and no duct yet.",
            "Start with a loop that cools one of its components.",
        ),
        Page::Temperatures => (
            "No component has a temperature in this case.",
            "A component is a part with a temperature: a winding, a baseplate, a group of cells.",
        ),
        Page::Margins => (
            "No limit is given anywhere in this project, so there is no margin.",
            "Limits are given with the components they apply to.",
        ),
        Page::Ledger => (
            "No heat is booked in this case.",
            "Heat comes from a drive, or from heats named in the project.",
        ),
        Page::Mission => (
            "No mission is flown in this project.",
            "A mission is a list of segments; a case group says at which conditions it is flown.",
        ),
        Page::Turnaround => (
            "No turnaround is described at this condition.",
            "A turnaround names the mission before it and the options for cooling and charging; the condition is chosen at the top.",
        ),
        Page::Failures => (
            "No failure case is flown here.",
            "It needs a mission at this condition, and a failure or a supply that can be lost.",
        ),
        Page::Machines => (
            "No machine has a state in this case.",
            "Motors, inverters, gearbox and converters are part of the powertrain.",
        ),
        Page::Trades => ("No study has been run yet.", "Choose what to calculate."),
        Page::Pack => ("No pack has a state in this case.", "The pack is the bus of the powertrain."),
    }
}

/// Draws the empty page; `is_complete` tells whether nothing more is being worked out.
pub fn empty_ui(ui: &mut Ui, page: Page, is_complete: bool, next: &[Command], commands: &mut Vec<Command>) {
    ui.heading(page.label());
    if !is_complete {
        ui.label("Nothing yet: calculating.");
        return;
    }
    let (why, how) = words(page);
    ui.add(Label::new(why).wrap());
    ui.add(Label::new(how).wrap());
    ui.add_space(look::space::STEP);
    ui.horizontal_wrapped(|ui| {
        let always = [FileCommand::BeginNew, FileCommand::New].map(Command::File);
        for command in next.iter().chain(&always).chain([&Command::Open(Overlay::Guide)]) {
            if ui.button(command.label()).on_hover_text(command.tooltip()).clicked() {
                commands.push(command.clone());
            }
        }
    });
}
