//! One page about words, signs and where to begin.

use egui::{Label, RichText, ScrollArea, Ui};

use crate::command::Command;
use crate::look;
use crate::views::figure::page_keys;

const PARTS: [(&str, &[(&str, &str)]); 4] = [
    (
        "Where to start",
        &[
            (
                "1",
                "The worst margin of all cases is at the top right. Click it to show the case at that moment.",
            ),
            (
                "2",
                "The Loops page draws a loop in flow order. Change a value in the table and press Enter: all pages update.",
            ),
            (
                "3",
                "The Margins page shows every limit in every case. Any edit can be undone; nothing is lost.",
            ),
            ("4", "Choose a mission as the case: the bar at the bottom sets the time shown on every page."),
        ],
    ),
    (
        "Terms",
        &[
            ("component", "a lumped temperature with heat capacity and limits: winding, sump, cells"),
            ("device", "an item in a loop or duct: pump, hose, cold plate, core, fan"),
            ("loop, duct", "closed coolant or oil circuit; path of air from inlet to outlet"),
            ("core", "radiator or oil cooler: stands in one loop and in one duct"),
            ("condition", "altitude, outside air, airspeed, sun"),
            ("case", "variant, condition, steady point or mission, and a failure if there is one"),
            ("margin", "distance to a limit, positive is good; compared with the margin required"),
            (
                "lever",
                "sensitivity: change of a margin when one input grows by 1 %, 1 K or one; below the grid of margins",
            ),
            (
                "fidelity",
                "how a law is given: as a value, as measurements or by dimensions; compare and change it with Fidelity on the Loops page",
            ),
            ("table", "measured numbers in a grid: paste them from a spreadsheet, or load a file"),
            ("names", "everything with a name: rename it together with all references, copy it or remove it"),
            ("ledger", "heat balance: heat generated = heat stored + heat rejected"),
            ("turnaround", "from landing to ready for take-off"),
        ],
    ),
    (
        "Symbols",
        &[
            ("ring", "beside a margin: it holds. Beside an input: assumed"),
            ("half ring", "beside an input: from the maker's sheet"),
            ("disc, diamond", "beside an input: measured, fitted to tests"),
            ("arrow down to a line", "heat into the coolant; away from it: heat rejected"),
            (
                "diamond, triangle",
                "on the strip: temperature of a wall in contact with the device; a triangle where it is off the scale",
            ),
            ("hatched or flagged", "a relation was used outside its valid range"),
        ],
    ),
    (
        "Units",
        &[
            ("any unit", "type 0.5 in, 12 L/min, 65 degC, 149 degF: the unit typed is kept"),
            ("K", "temperature differences; degC are temperatures"),
            ("kPa, kPag", "absolute pressure; pressure above ambient (gauge)"),
        ],
    ),
];

/// Draws the guide.
pub fn guide_ui(ui: &mut Ui, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    let tips = Command::ShowTips(true);
    if ui.button(tips.label()).on_hover_text(tips.tooltip()).clicked() {
        commands.extend([tips, Command::CloseOverlay]);
    }
    ui.add_space(look::space::STEP);
    ScrollArea::vertical().max_height(ui.available_height().max(160.0)).auto_shrink([false, true]).show(
        ui,
        |ui| {
            page_keys(ui);
            for (title, lines) in PARTS {
                ui.heading(title);
                for (word, meaning) in lines {
                    ui.horizontal_top(|ui| {
                        ui.allocate_ui(egui::Vec2::new(140.0, 16.0), |ui| {
                            ui.set_min_width(140.0);
                            ui.label(RichText::new(*word).color(colors.accent));
                        });
                        ui.add(Label::new(*meaning).wrap());
                    });
                }
                ui.add_space(look::space::STEP);
            }
        },
    );
}
