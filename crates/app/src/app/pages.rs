//! The page that is shown.

use egui::{self, Panel, Ui};
use model::case_name::CaseName;
use session::{Choice, Study};

use super::Window;
use super::state::{UiState, cell_of};
use crate::clock::clock;
use crate::command::{Command, Page};
use crate::look;
use crate::screen::Screen;
use crate::views::empty::empty_ui;
use crate::views::failures::failures_ui;
use crate::views::ledger::ledger_ui;
use crate::views::levers::{self, levers_ui};
use crate::views::loops::loops_ui;
use crate::views::machines::{MachineData, machines_ui};
use crate::views::margins::margins_ui;
use crate::views::mission::{Compare, mission_ui};
use crate::views::temperatures::temperatures_ui;
use crate::views::trades::{TradesState, trades_ui};
use crate::views::turnaround::turnaround_ui;
use crate::views::work::WorkState;

impl Window {
    pub(super) fn page_ui(&mut self, ui: &mut Ui) {
        let (view, is_complete) = (self.time_view(), self.is_complete());
        let (is_settled, is_stale) = (self.is_settled(), self.is_stale());
        let (choices, choice) = (self.session.snapshot().choices(), self.session.choice());
        let missions: Vec<CaseName> =
            choices.missions_at(&self.session.choice().case.condition).cloned().collect();
        let shown = match &self.screen.mission {
            Some(_) => format!("{}, at {}", self.session.choice().case, clock(view.cursor_s)),
            None => self.session.choice().case.to_string(),
        };
        let (screen, state, commands) = (&self.screen, &mut self.state, &mut self.commands);
        let colors = look::palette(ui);
        match state.page {
            page if is_empty(screen, page, is_complete) => {
                look::sheet(colors).show(ui, |ui| {
                    empty_ui(ui, page, is_complete, &[], commands);
                    ui.allocate_space(ui.available_size());
                });
            }
            Page::Loops => {
                let mut components: Vec<&str> =
                    screen.temperatures.rows.iter().map(|row| row.component.as_str()).collect();
                components.dedup();
                loops_ui(
                    ui,
                    &screen.strips,
                    state.strip.as_deref(),
                    state.device.as_deref(),
                    (&mut state.drafts, &mut state.revising),
                    &components,
                    commands,
                );
            }
            Page::Temperatures => {
                look::sheet(colors).show(ui, |ui| {
                    temperatures_ui(ui, &screen.temperatures, &shown, commands);
                });
            }
            Page::Margins => {
                margins_page_ui(ui, screen, state, (choice, is_settled), commands);
            }
            Page::Mission => {
                let cases: Vec<CaseName> = choices.missions().cloned().collect();
                let compare = Compare { choice, variants: &choices.variants, cases: &cases };
                let mission = screen.mission.as_deref();
                mission_ui(ui, mission, &missions, &compare, &view, &mut state.drafts, commands);
            }
            Page::Turnaround => {
                if let Some(data) = screen.turnaround.as_deref() {
                    turnaround_ui(ui, data, commands);
                }
            }
            Page::Failures => {
                if let Some(data) = screen.failures.as_deref() {
                    failures_ui(ui, data, state.failure.as_deref(), commands);
                }
            }
            Page::Machines | Page::Pack => {
                let is_pack = state.page == Page::Pack;
                let machines: Vec<&MachineData> =
                    screen.machines.iter().filter(|machine| machine.is_pack == is_pack).collect();
                let shown = state.machine.as_deref();
                let edits = (&mut state.drafts, state.revising.refused.as_ref());
                machines_ui(ui, state.page.label(), &machines, shown, edits, commands);
            }
            Page::Trades => {
                let data = screen.trades.as_deref();
                let work = WorkState { work: screen.extent.work(), is_running: !is_settled, is_stale };
                let shown = TradesState { data, variant: &choice.variant, work };
                trades_ui(ui, shown, &mut state.trades, commands);
            }
            Page::Ledger => {
                look::sheet(colors).show(ui, |ui| {
                    ledger_ui(ui, &screen.ledger, &shown);
                });
            }
        }
    }
}

fn margins_page_ui(
    ui: &mut Ui,
    screen: &Screen,
    state: &mut UiState,
    (choice, is_settled): (&Choice, bool),
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    // The grid first and its levers below it, also for the keys.
    let mut grid = ui.available_rect_before_wrap();
    grid.max.y -= levers::HEIGHT + look::space::STEP;
    let mut upper = ui.new_child(egui::UiBuilder::new().max_rect(grid));
    look::sheet(colors).show(&mut upper, |ui| {
        let case = &choice.case;
        margins_ui(ui, &screen.margins, case, (&mut state.margins, &mut state.cell), commands);
        ui.allocate_space(ui.available_size());
    });
    let place = cell_of(&screen.margins, state.cell.as_ref());
    let sheet = look::sheet(colors);
    Panel::bottom("levers").frame(sheet).exact_size(levers::HEIGHT).resizable(false).show(ui, |ui| {
        let levers = screen.levers.as_deref();
        let is_flying = matches!(choice.study, Study::FlownLevers(_)) && !is_settled;
        levers_ui(ui, levers, (place.as_ref(), is_flying), &mut state.drafts, commands);
    });
}

/// Whether a page has nothing to show; the pages Loops and Mission say more about what is next.
fn is_empty(screen: &Screen, page: Page, is_complete: bool) -> bool {
    match page {
        Page::Loops => screen.strips.is_empty() && !is_complete,
        Page::Mission | Page::Trades => false,
        Page::Temperatures => screen.temperatures.rows.is_empty(),
        Page::Margins => screen.margins.rows.is_empty(),
        Page::Ledger => screen.ledger.generated.is_empty() && screen.ledger.rejected.is_empty(),
        Page::Turnaround => screen.turnaround.as_ref().is_none_or(|data| data.options.is_empty()),
        Page::Failures => screen.failures.as_ref().is_none_or(|data| data.rows.is_empty()),
        Page::Machines => screen.machines.iter().all(|machine| machine.is_pack),
        Page::Pack => screen.machines.iter().all(|machine| !machine.is_pack),
    }
}
