//! A frame of the window: what has come is collected, then everything is drawn, then what the user did is applied.

use std::sync::Arc;

use egui::{self, CentralPanel, Context, Margin, Panel, Ui};

use super::Window;
use super::keys::focus_ring_ui;
use crate::look;
use crate::views::edit_scope::edit_scope_ui;
use crate::views::files::{Notices, drop_target_ui, notices_ui};
use crate::views::mission::timeline_ui;
use crate::views::rail::rail_ui;
use crate::views::tips::tip_ui;

/// Height of the timeline below every page, in points.
const TIMELINE: f32 = 50.0;

impl eframe::App for Window {
    fn logic(&mut self, ctx: &Context, _frame: &mut eframe::Frame) {
        self.collect();
        self.read_keys(ctx);
        self.read_clipboard(ctx);
        self.collect_files(ctx);
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        let variant = self.session.is_of_variant().then(|| self.session.choice().variant.clone());
        self.state.drafts.scope.variant = variant;
        self.state.drafts.scope.own = Arc::clone(&self.screen.own);
        let colors = look::palette(ui);
        let bar = egui::Frame::new().fill(colors.page).inner_margin(Margin::symmetric(12, 8));
        Panel::top("header").frame(bar).show(ui, |ui| self.header_ui(ui));
        let notices = Notices {
            origin: &self.filing.origin,
            leftovers: &self.filing.leftovers,
            changed: self.filing.changed,
            notice: self.filing.notice.as_ref(),
        };
        if !notices.is_empty() {
            let strip = egui::Frame::new().fill(colors.sheet).inner_margin(Margin::symmetric(12, 4));
            Panel::top("notices").frame(strip).show(ui, |ui| notices_ui(ui, &notices, &mut self.commands));
        }
        let rail = egui::Frame::new().fill(colors.page).inner_margin(Margin::symmetric(8, 10));
        Panel::left("rail").frame(rail).exact_size(look::space::RAIL).resizable(false).show(ui, |ui| {
            rail_ui(ui, self.state.page, &mut self.commands);
        });
        // The page is drawn before the timeline below it, so that the keys come to both in the order of reading.
        let mut area = ui.available_rect_before_wrap();
        let mission = self.screen.mission.clone();
        if mission.is_some() {
            area.max.y -= TIMELINE;
        }
        let page = egui::Frame::new().fill(colors.page).inner_margin(Margin::same(10));
        let mut upper = ui.new_child(egui::UiBuilder::new().max_rect(area));
        CentralPanel::default().frame(page).show(&mut upper, |ui| {
            self.state_ui(ui);
            edit_scope_ui(ui, &self.state.drafts.scope, &mut self.commands);
            if let Some(dismissed) = &self.state.tips {
                tip_ui(ui, self.state.page, dismissed, &mut self.commands);
            }
            self.page_ui(ui);
        });
        if let Some(mission) = mission {
            let view = self.time_view();
            let strip = egui::Frame::new().fill(colors.page).inner_margin(Margin::symmetric(12, 6));
            let panel = Panel::bottom("timeline").frame(strip).exact_size(TIMELINE).resizable(false);
            panel.show_separator_line(false).show(ui, |ui| {
                timeline_ui(ui, &mission, &view, &mut self.commands);
            });
        }
        self.overlay_ui(&ctx);
        focus_ring_ui(&ctx);
        drop_target_ui(ui);
        self.follow_cell(&ctx);
        self.collect_figures(&ctx);
        for command in std::mem::take(&mut self.commands) {
            self.apply(&ctx, command);
            // What it changed is shown at once, not at the next movement of the mouse.
            ctx.request_repaint();
        }
    }
}
