//! A short tip above each page for who sees it first: dismissed one by one or all at once, and brought back from the guide.

use std::collections::BTreeSet;

use egui::{Align, Label, Layout, RichText, Ui, Vec2};

use crate::command::{Command, Page};
use crate::look;

/// Room for the two buttons, in points.
const BUTTONS: f32 = 197.0;

/// Tips that were dismissed, by the name of their page.
pub type Dismissed = BTreeSet<String>;

/// The tip of a page.
pub fn tip(page: Page) -> &'static str {
    match page {
        Page::Loops => {
            "A loop is drawn in flow order. Click a value in the table below, type a new one in any unit and press Enter: every \
            page updates."
        }
        Page::Temperatures => {
            "The bar runs from the temperature to the limit; the margin must be at least what is required."
        }
        Page::Margins => {
            "Worst at the top left. Enter or a click on a cell shows its case; what moves it most is listed below."
        }
        Page::Ledger => {
            "Heat generated equals heat stored plus heat rejected; a result that does not balance is refused."
        }
        Page::Mission => "Click a curve to set the time that every page shows. Ctrl and the wheel zoom.",
        Page::Turnaround => {
            "Each bar is an option from landing to ready. The tables below are for the ground team."
        }
        Page::Failures => {
            "A failure leaves enough time when the landing mark comes before the bar of the first required margin."
        }
        Page::Trades => {
            "Run one study at a time; it runs in the background, and its design can be saved as a variant."
        }
        Page::Machines | Page::Pack => {
            "The diamond is the operating point of this case. All fidelities are shown side by side."
        }
    }
}

/// Draws the tip of a page unless it was dismissed.
pub fn tip_ui(ui: &mut Ui, page: Page, dismissed: &Dismissed, commands: &mut Vec<Command>) {
    if dismissed.contains(page.label()) {
        return;
    }
    let colors = look::palette(ui);
    look::sheet(colors).show(ui, |ui| {
        ui.horizontal_top(|ui| {
            ui.label(RichText::new("Tip").color(colors.accent));
            let room = (ui.available_width() - BUTTONS).max(200.0);
            ui.allocate_ui_with_layout(Vec2::new(room, 0.0), Layout::top_down(Align::Min), |ui| {
                ui.set_width(room);
                ui.add(Label::new(tip(page)).wrap());
            });
            for command in [Command::DismissTip(page), Command::ShowTips(false)] {
                if ui.button(command.label()).on_hover_text(command.tooltip()).clicked() {
                    commands.push(command);
                }
            }
        });
    });
    ui.add_space(look::space::STEP);
}
