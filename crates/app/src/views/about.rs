//! What the program is, how far to trust it, and the licences of what it contains; and the list of keys.

use egui::{self, RichText, ScrollArea, Ui};

use crate::command::Command;
use crate::look;
use crate::views::figure::page_keys;

/// The cautions, in the order of the documentation.
pub const CAUTIONS: [&str; 14] = [
    "An aid to analysis. It replaces neither a compliance test nor the approval of the authority: work to the \
     certification basis and with a licensed or delegated engineer.",
    "Results hold inside the declared ranges only; extrapolated values are hatched.",
    "Limits must come from the documents of the component's maker. Defaults are placeholders.",
    "A hot spot is hotter than its sensor: state the difference.",
    "The one-to-one correction of test temperatures is unconservative where losses grow with temperature or hot air is \
     thinner, and over-conservative where viscosity falls. See the model-based value beside it.",
    "Coolant boils and pumps cavitate earlier at altitude, with an open or failed cap.",
    "A leak can be toxic, leave residue that burns, end electrical isolation and hide shorts in a battery.",
    "Do not charge outside the limits of the cell, and never below 0 °C: fast charging of cold cells damages them.",
    "Above the onset of self-heating of any cell the model stops and the outcome cannot be predicted: evacuate or land.",
    "Derating must not take away the power needed to land.",
    "Alert times include the lag of the sensor.",
    "Data from a data sheet may be typical values of a new cell at 25 °C.",
    "Fans and rotors move and surfaces are hot in a ground test; high voltage, pressurised hot coolant and lithium \
     cells can injure. Follow local codes.",
    "A single failure with shared power or control is not independent.",
];

/// The licence texts of the fonts inside the program.
const FONT_LICENCES: [(&str, &str); 3] = [
    ("Ubuntu Light: Ubuntu font licence 1.0", include_str!("../../../../assets/licences/ubuntu-font.txt")),
    ("Hack: MIT and Bitstream Vera licences", include_str!("../../../../assets/licences/hack-font.txt")),
    ("Icons: MIT licence", include_str!("../../../../assets/licences/icon-font.txt")),
];

/// Draws the About text.
pub fn about_ui(ui: &mut Ui) {
    let colors = look::palette(ui);
    ui.label(RichText::new(format!("Heatledger {}", env!("CARGO_PKG_VERSION"))).size(look::size::LARGE));
    ui.label("Sizes the cooling loops of battery-electric aircraft. Every result closes a heat balance.");
    ui.label(RichText::new("MIT or Apache-2.0, at your option. No warranty.").color(colors.soft));
    ui.add_space(look::space::STEP);
    ScrollArea::vertical().max_height(ui.available_height().max(120.0)).auto_shrink([false, true]).show(
        ui,
        |ui| {
            page_keys(ui);
            ui.heading("Cautions");
            for (index, caution) in CAUTIONS.iter().enumerate() {
                ui.horizontal_top(|ui| {
                    ui.allocate_ui(egui::Vec2::new(22.0, 16.0), |ui| {
                        ui.set_min_width(22.0);
                        ui.label(RichText::new(format!("{}", index + 1)).color(colors.soft));
                    });
                    ui.add(egui::Label::new(*caution).wrap());
                });
            }
            ui.add_space(look::space::STEP);
            ui.heading("Licences of the fonts");
            for (title, text) in FONT_LICENCES {
                ui.collapsing(title, |ui| {
                    ui.label(RichText::new(plain(text)).size(look::size::SMALL).color(colors.soft));
                });
            }
        },
    );
}

/// The licence text with the quotation marks that no built-in font has replaced by plain ones.
fn plain(text: &str) -> String {
    text.replace(['\u{201c}', '\u{201d}'], "\"").replace(['\u{2018}', '\u{2019}'], "'")
}

/// Draws the list of commands and their keys.
pub fn keys_ui(ui: &mut Ui) {
    let colors = look::palette(ui);
    let height = (ui.available_height() - 40.0).max(160.0);
    ScrollArea::vertical().max_height(height).auto_shrink([false, true]).show(ui, key_list_ui);
    ui.add_space(look::space::STEP);
    ui.label(
        RichText::new("In a field, Enter or leaving it sets the value and Escape discards what was typed. The up and down \
             arrows, or dragging the label, step its second digit: Shift finer, Ctrl coarser. On the Loops page Ctrl+C and \
             Ctrl+V act on the selected device. Page Up and Page Down scroll.")
            .color(colors.soft),
    );
}

fn key_list_ui(ui: &mut Ui) {
    let colors = look::palette(ui);
    page_keys(ui);
    egui::Grid::new("keys").num_columns(3).striped(true).spacing([24.0, 6.0]).show(ui, |ui| {
        for command in Command::plain() {
            ui.label(command.label());
            let keys = command.shortcut().map(|keys| ui.ctx().format_shortcut(&keys));
            ui.label(RichText::new(keys.unwrap_or_else(|| "–".to_owned())).monospace());
            ui.label(RichText::new(command.tooltip()).color(colors.soft));
            ui.end_row();
        }
    });
}
