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
            "A loop is drawn in flow order. Click a value in the table below, type another with any unit, press Enter: every page follows."
        }
        Page::Temperatures => {
            "The bar runs from the temperature to the limit; the margin must be at least what is required."
        }
        Page::Margins => {
            "Worst at the top left. Enter or a click on a cell shows its case; below stands what moves it most."
        }
        Page::Ledger => {
            "Heat in equals heat out; what is left over must be nothing, or the result is refused."
        }
        Page::Mission => {
            "Click a curve to set the moment that every page shows. Ctrl and the wheel look nearer."
        }
        Page::Turnaround => {
            "Each bar is a way from landing to ready. The tables below are for the ground team."
        }
        Page::Failures => {
            "A failure is safe when the mark of landing lies before the flag of the first limit."
        }
        Page::Trades => {
            "Ask one question at a time; it is worked out beside the window, and what it finds can become a variant."
        }
        Page::Machines | Page::Pack => {
            "The diamond is the state of this case. Every level of description stands beside the others."
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
