//! The rail of pages at the left edge.

use egui::{Align, Align2, Button, CornerRadius, Layout, Rect, RichText, Role, Sense, Ui, Vec2, WidgetInfo};

use crate::command::{Command, Overlay, Page};
use crate::look;

const HEIGHT: f32 = 30.0;

/// Draws the rail; the current page has a bar at its edge as well as another ground.
pub fn rail_ui(ui: &mut Ui, current: Page, commands: &mut Vec<Command>) {
    ui.spacing_mut().item_spacing.y = 2.0;
    for page in Page::ALL {
        entry_ui(ui, page, page == current, commands);
    }
    ui.with_layout(Layout::bottom_up(Align::Min), |ui| {
        for command in [Command::CopyTable, Command::Open(Overlay::Names)] {
            plain_ui(ui, command, commands);
        }
    });
}

/// What belongs to no page alone, at the foot of the rail.
fn plain_ui(ui: &mut Ui, command: Command, commands: &mut Vec<Command>) {
    let keys = command.shortcut().map(|keys| ui.ctx().format_shortcut(&keys)).unwrap_or_default();
    let text = RichText::new(command.label()).color(look::palette(ui).soft);
    let button = ui.horizontal(|ui| {
        ui.add_space(look::space::STEP);
        ui.add(Button::new(text).frame(false))
    });
    if button.inner.on_hover_text(format!("{}\n{keys}", command.tooltip())).clicked() {
        commands.push(command);
    }
}

fn entry_ui(ui: &mut Ui, page: Page, is_current: bool, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    let command = Command::Show(page);
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), HEIGHT), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_current, page.label()));
    let painter = ui.painter();
    if is_current || response.hovered() {
        let ground = if is_current { colors.chosen } else { colors.stripe };
        painter.rect_filled(rect, CornerRadius::same(3), ground);
    }
    if is_current {
        let bar = Rect::from_min_size(rect.min, Vec2::new(3.0, rect.height()));
        painter.rect_filled(bar, CornerRadius::ZERO, colors.accent);
    }
    if response.has_focus() {
        painter.rect_stroke(
            rect,
            CornerRadius::same(3),
            look::hairline(colors.accent),
            egui::StrokeKind::Inside,
        );
    }
    let ink = if is_current { colors.accent } else { colors.ink };
    let left = rect.left_center() + Vec2::new(12.0, 0.0);
    painter.text(left, Align2::LEFT_CENTER, page.label(), look::body(), ink);
    let keys = command.shortcut().map(|keys| ui.ctx().format_shortcut(&keys)).unwrap_or_default();
    let hover = format!("{}\n{keys}", command.tooltip());
    if response.on_hover_text(hover).clicked() {
        commands.push(command);
    }
}
