//! One page about words, signs and where to begin.

use egui::{Label, RichText, ScrollArea, Ui};

use crate::command::Command;
use crate::look;
use crate::views::figure::page_keys;

const PARTS: [(&str, &[(&str, &str)]); 4] = [
    (
        "Where to begin",
        &[
            (
                "1",
                "The worst margin of all cases stands at the top right. A click shows the case at that moment.",
            ),
            (
                "2",
                "On the page Loops a loop is drawn in flow order. Change a value in the table and press Enter: all pages follow.",
            ),
            (
                "3",
                "The page Margins shows every limit in every case. Undo takes an edit back; nothing is lost.",
            ),
            ("4", "Choose a mission as the case: the bar at the bottom moves every page through its time."),
        ],
    ),
    (
        "Words",
        &[
            ("component", "a lumped temperature with heat capacity and limits: winding, sump, cells"),
            ("device", "an item in a loop or duct: pump, hose, cold plate, core, fan"),
            ("loop, duct", "closed coolant or oil circuit; path of air from inlet to outlet"),
            ("core", "radiator or oil cooler: stands in one loop and in one duct"),
            ("condition", "altitude, outside air, airspeed, sun"),
            ("case", "variant, condition, steady point or mission, and a failure if there is one"),
            ("margin", "distance to a limit, positive is good; held against what is required of it"),
            (
                "lever",
                "sensitivity: what a margin gains when one input grows by 1 %, 1 K or one; below the grid of margins",
            ),
            (
                "level",
                "how a law is given: as a value, as measurements, by dimensions; Levels on the page Loops compares and changes it",
            ),
            ("table", "measured numbers as a grid: paste them from a spreadsheet, or load a file"),
            (
                "names",
                "everything with a name, to rename it with all that names it, to copy it or take it away",
            ),
            ("ledger", "heat balance: heat generated = heat stored + heat given off"),
            ("turnaround", "from landing to ready for take-off"),
        ],
    ),
    (
        "Signs",
        &[
            ("ring", "beside a margin: it holds. Beside an input: assumed"),
            ("half ring", "beside an input: from the maker's sheet"),
            ("disc, diamond", "beside an input: measured, fitted to tests"),
            ("arrow down to a line", "heat into the coolant; away from it: heat given off"),
            (
                "diamond, triangle",
                "on the strip: temperature of a wall that the device touches; a triangle where it lies off the scale",
            ),
            ("hatched or flagged", "a relation was used outside the range it was made for"),
        ],
    ),
    (
        "Units",
        &[
            ("any unit", "type 0.5 in, 12 L/min, 65 degC, 149 degF: the unit that is typed is kept"),
            ("K", "temperature differences; degC are temperatures"),
            ("kPa, kPag", "absolute pressure and pressure above ambient are told apart"),
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
