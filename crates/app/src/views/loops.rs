//! The page Loops: one loop or duct unrolled in flow order, and its devices in a table below.

mod data;
mod layout;
mod paint;
mod revise;
mod table;

pub use data::{
    Branch, DeviceRow, DeviceTable, FlowStripData, StripDevice, StripEntry, StripKind, StripPage, WallMark,
};
pub use layout::{StripLayout, ticks};
pub use paint::strip_ui;
use revise::refused_ui;
pub use revise::{Revising, revise_ui};
pub use table::device_table_ui;

use egui::{Button, RichText, ScrollArea, Ui, Vec2};

use aircraft::revise::Revision;

use crate::command::{Command, Page};
use crate::look;
use crate::views::chart::{Frame, WantedFigure, chart_ui, is_due, save_figure_ui, want};
use crate::views::empty::empty_ui;
use crate::views::field::Drafts;
use crate::views::figure::{follow_focus, page_keys};

/// The least height of the sheet with the table, in points: its heads, the inputs of the whole loop and four rows.
const MIN_TABLE: f32 = 330.0;

/// Draws the curve of a pump or fan against the demand of its circuit.
pub fn duty_ui(ui: &mut Ui, strips: &[StripPage], machine: &str) {
    let colors = look::palette(ui);
    let rows = strips.iter().flat_map(|page| &page.table.rows);
    let Some(chart) = rows.filter(|row| row.name == machine).find_map(|row| row.duty.as_ref()) else {
        ui.label("It does not run in this case.");
        return;
    };
    chart_ui(ui, chart, Frame { height: 240.0, lines: &[] });
    let note = "The curves meet at the operating point of this case. The system curve keeps temperatures, speeds and valves as \
                they are, and scales all flows of the circuit in the same proportion.";
    ui.add(egui::Label::new(RichText::new(note).color(colors.soft).small()).wrap());
}

/// Draws the page: the choice of loops and ducts, the strip, the table.
pub fn loops_ui(
    ui: &mut Ui,
    strips: &[StripPage],
    shown: Option<&str>,
    selected: Option<&str>,
    (drafts, revising): (&mut Drafts, &mut Revising),
    components: &[&str],
    commands: &mut Vec<Command>,
) {
    let Some(page) = strips.iter().find(|page| Some(page.strip.name.as_str()) == shown).or(strips.first())
    else {
        let colors = look::palette(ui);
        look::sheet(colors).show(ui, |ui| {
            empty_ui(ui, Page::Loops, true, &[], commands);
            if !components.is_empty() {
                ui.add_space(look::space::STEP);
                circuits_ui(ui, strips, None, components, commands);
            }
            refused_ui(ui, revising);
            ui.allocate_space(ui.available_size());
        });
        return;
    };
    ui.horizontal_wrapped(|ui| {
        strip_choice_ui(ui, strips, &page.strip.name, commands);
        circuits_ui(ui, strips, Some(&page.strip), components, commands);
    });
    ui.add_space(look::space::NEAR);
    let colors = look::palette(ui);
    // Half of the page at most for the strip; where both have no room the page scrolls, so that the table keeps its rows.
    let room = ui.available_height();
    ScrollArea::vertical().id_salt("loop or duct").auto_shrink([false, false]).show(ui, |ui| {
        let top = ui.cursor().top();
        let sheet = look::sheet(colors).show(ui, |ui| {
            let is_wanted = title_ui(ui, &page.strip);
            ScrollArea::horizontal().id_salt(("strip", &page.strip.name)).auto_shrink([false, true]).show(
                ui,
                |ui| {
                    strip_ui(ui, &page.strip, 0.5 * room - 24.0, selected, commands);
                },
            );
            is_wanted
        });
        if is_due(ui, &page.strip.name, sheet.inner, sheet.response.rect) {
            let title = page.strip.name.clone();
            want(ui.ctx(), WantedFigure::Painted { title, place: sheet.response.rect });
        }
        ui.add_space(look::space::STEP);
        let rest = (room - (ui.cursor().top() - top)).max(MIN_TABLE);
        ui.allocate_ui(Vec2::new(ui.available_width(), rest), |ui| {
            look::sheet(colors).show(ui, |ui| {
                let ducts: Vec<&str> = strips
                    .iter()
                    .filter(|page| page.strip.kind == StripKind::Duct)
                    .map(|page| page.strip.name.as_str())
                    .collect();
                revise_ui(ui, &page.table, selected, revising, (components, &ducts), commands);
                device_table_ui(ui, &page.table, selected, drafts, commands);
            });
        });
        page_keys(ui);
        follow_focus(ui);
    });
}

fn strip_choice_ui(ui: &mut Ui, strips: &[StripPage], shown: &str, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    let mut last_kind = None;
    for strip in strips.iter().map(|page| &page.strip) {
        if last_kind != Some(strip.kind) {
            ui.label(RichText::new(strip.kind.plural()).color(colors.soft).small());
            last_kind = Some(strip.kind);
        }
        let is_shown = strip.name == shown;
        let command = Command::ShowStrip(strip.name.clone());
        let button = Button::selectable(is_shown, &strip.name);
        if ui.add(button).on_hover_text(command.tooltip()).clicked() {
            commands.push(command);
        }
    }
}

/// Adds a loop for one of the components; takes the loop on screen away.
fn circuits_ui(
    ui: &mut Ui,
    strips: &[StripPage],
    shown: Option<&FlowStripData>,
    components: &[&str],
    commands: &mut Vec<Command>,
) {
    let menu = ui.menu_button("Add a loop", |ui| {
        ui.label("that cools");
        ScrollArea::vertical().max_height(400.0).show(ui, |ui| {
            for component in components {
                if ui.button(*component).clicked() {
                    let name = free_name(strips, &format!("{component} loop"));
                    let component = (*component).to_owned();
                    commands.push(Command::Revise(Revision::AddLoop { name, component }));
                    ui.close();
                }
            }
        });
        ui.separator();
        let hint = "An air path with inlet and outlet; placeholder values, marked as such";
        if ui.button("a duct instead").on_hover_text(hint).clicked() {
            commands.push(Command::Revise(Revision::AddDuct(free_name(strips, "duct"))));
            ui.close();
        }
    });
    menu.response.on_hover_text(
        "Glycol loop with pump, hoses, cold plate, radiator, duct with a fan and bottle, for 3 kW; placeholder values, marked as assumed",
    );
    if let Some(strip) = shown {
        let (label, hint) = match strip.kind {
            StripKind::Loop => (
                "Remove this loop",
                "Remove the loop with its cores, and any duct left with nothing to cool; references that prevent this are listed",
            ),
            StripKind::Duct => (
                "Remove this duct",
                "Remove the duct with its cores, in their loops too; references that prevent this are listed",
            ),
        };
        if ui.button(label).on_hover_text(hint).clicked() {
            commands.push(Command::Revise(match strip.kind {
                StripKind::Loop => Revision::RemoveLoop(strip.name.clone()),
                StripKind::Duct => Revision::Remove(format!("ducts.{}", strip.name)),
            }));
        }
    }
}

/// A name like this one that no loop or duct has.
fn free_name(strips: &[StripPage], name: &str) -> String {
    let is_free = |name: &String| strips.iter().all(|page| page.strip.name != *name);
    let mut numbered = (2..).map(|n| format!("{name} {n}"));
    Some(name.to_owned()).filter(is_free).or_else(|| numbered.find(is_free)).unwrap_or_default()
}

/// What is drawn; whether it is wanted as a file.
fn title_ui(ui: &mut Ui, strip: &FlowStripData) -> bool {
    let colors = look::palette(ui);
    let row = ui.horizontal(|ui| {
        ui.heading(&strip.name);
        ui.label(RichText::new(format!("{} · {}", strip.medium, strip.flow)).color(colors.soft));
        let is_wanted = save_figure_ui(ui, &strip.name);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let (taken, given) = strip.heat_totals();
            let text = |value: f64| crate::views::figure::number(value, 2);
            ui.label(RichText::new(format!("rejected {} kW", text(given))).color(colors.cool));
            ui.label(RichText::new(format!("absorbed {} kW", text(taken))).color(colors.hot));
        });
        is_wanted
    });
    row.inner
}
