//! Drawing the ledger: what comes in on the left, what goes out and what stays on the right, the residual below.

use egui::{
    Align, Align2, Color32, CornerRadius, Rect, RichText, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo,
    epaint::text::TextWrapping, pos2,
};

use super::data::{LedgerData, LedgerItem};
use crate::look;
use crate::views::figure::{Sign, number, page_keys};

/// Draws the account of a case.
pub fn ledger_ui(ui: &mut Ui, ledger: &LedgerData, case: &str) {
    let colors = look::palette(ui);
    ui.horizontal(|ui| {
        ui.heading("Ledger: heat balance");
        ui.label(RichText::new(format!("{case} · all entries in {}", ledger.unit)).color(colors.soft));
    });
    if ledger.generated.is_empty() && ledger.rejected.is_empty() {
        return;
    }
    ui.add_space(look::space::STEP);
    balance_ui(ui, ledger);
    ui.add_space(look::space::STEP);
    let largest = ledger
        .generated
        .iter()
        .chain(&ledger.rejected)
        .chain(&ledger.stored)
        .map(|item| item.value.abs())
        .fold(0.0, f64::max);
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        page_keys(ui);
        ui.spacing_mut().item_spacing.x = 3.0 * look::space::GROUP;
        ui.columns(2, |columns| {
            side_ui(&mut columns[0], "Generated", &ledger.generated, ledger, largest, colors.hot);
            side_ui(&mut columns[1], "Rejected", &ledger.rejected, ledger, largest, colors.cool);
            if !ledger.stored.is_empty() {
                columns[1].add_space(look::space::GROUP);
                side_ui(&mut columns[1], "Stored", &ledger.stored, ledger, largest, colors.wall);
            }
        });
    });
}

/// The balance in one line: generated = stored + rejected, and what is left.
fn balance_ui(ui: &mut Ui, ledger: &LedgerData) {
    let colors = look::palette(ui);
    let total = |items| number(LedgerData::total(items), ledger.decimals);
    ui.horizontal(|ui| {
        let term = |ui: &mut Ui, name: &str, value: String, ink: Color32| {
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                ui.label(RichText::new(name).color(colors.soft).small());
                ui.label(RichText::new(value).size(look::size::LARGE).color(ink));
            });
        };
        let sign = |ui: &mut Ui, text: &str| {
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                ui.label(RichText::new(" ").small());
                ui.label(RichText::new(text).size(look::size::LARGE).color(colors.soft));
            });
        };
        let unit = ledger.unit.clone();
        term(ui, "generated", total(&ledger.generated), colors.hot);
        sign(ui, "=");
        term(ui, "rejected", total(&ledger.rejected), colors.cool);
        sign(ui, "+");
        term(ui, "stored", total(&ledger.stored), colors.wall);
        if ledger.book.is_none() {
            sign(ui, "+");
            term(ui, "residual", number(ledger.residual, ledger.decimals), colors.ink);
        }
        sign(ui, &unit);
        ui.add_space(look::space::GROUP);
        let sign = if ledger.closes() { Sign::Good } else { Sign::Bad };
        let (rect, _) = ui.allocate_exact_size(Vec2::new(12.0, 24.0), Sense::empty());
        sign.paint(ui.painter(), rect.center(), colors);
        let word = match (ledger.closes(), ledger.book.is_some()) {
            (true, false) => "the balance closes",
            (false, false) => "the balance does not close: no result",
            (true, true) => "the heat balance of the whole mission closes",
            (false, true) => "the heat balance of the mission does not close: no result",
        };
        let share = format!("{:.1e}", ledger.relative_residual()).replace('-', "−");
        let text = format!("{word}: residual {share} of the heat turned over");
        ui.label(RichText::new(text).color(sign.ink(colors)));
    });
}

fn side_ui(ui: &mut Ui, title: &str, items: &[LedgerItem], ledger: &LedgerData, largest: f64, ink: Color32) {
    let colors = look::palette(ui);
    ui.spacing_mut().item_spacing.y = 0.0;
    ui.label(RichText::new(title).color(ink).size(look::size::TITLE));
    ui.add_space(look::space::NEAR);
    let total = LedgerData::total(items);
    let mut sorted: Vec<&LedgerItem> = items.iter().collect();
    sorted.sort_by(|a, b| b.value.total_cmp(&a.value));
    for item in sorted {
        entry_ui(ui, item, total, ledger, largest, ink);
    }
    // As in an account: a line above the sum, two below it.
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), look::space::ROW + 6.0), Sense::hover());
    let text = number(total, ledger.decimals);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("{title}, total: {text}")));
    let (painter, right) = (ui.painter(), number_edge(rect));
    let span = (right - 90.0)..=right;
    painter.hline(span.clone(), rect.top() + 2.0, look::hairline(colors.outline));
    let y = rect.center().y;
    painter.text(pos2(rect.left(), y), Align2::LEFT_CENTER, "Total", look::body(), colors.ink);
    painter.text(pos2(right, y), Align2::RIGHT_CENTER, text, look::body(), colors.ink);
    for below in [rect.bottom() - 3.0, rect.bottom() - 0.5] {
        painter.hline(span.clone(), below, look::hairline(colors.outline));
    }
}

/// The right edge of the numbers; the shares stand to the right of it.
fn number_edge(rect: Rect) -> f32 {
    rect.right() - 64.0
}

/// One entry with its share as text and as a thin line below it, on one scale for the whole account.
fn entry_ui(ui: &mut Ui, item: &LedgerItem, total: f64, ledger: &LedgerData, largest: f64, ink: Color32) {
    let colors = look::palette(ui);
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), look::space::ROW + 2.0), Sense::hover());
    let text = number(item.value, ledger.decimals);
    let spoken = format!("{}, {}: {text} {}", item.name, item.how, ledger.unit);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    let painter = ui.painter();
    let right = number_edge(rect);
    let y = rect.center().y - 1.0;
    let room = right - rect.left() - 90.0;
    let mut job = egui::text::LayoutJob::default();
    let format =
        |font, color| egui::TextFormat { font_id: font, color, valign: Align::Center, ..Default::default() };
    job.append(&item.name, 0.0, format(look::body(), colors.ink));
    job.append(&item.how, 10.0, format(look::small(), colors.soft));
    job.wrap = TextWrapping::truncate_at_width(room);
    let galley = painter.layout_job(job);
    painter.galley(pos2(rect.left(), y - 0.5 * galley.size().y), galley, colors.ink);
    painter.text(pos2(right, y), Align2::RIGHT_CENTER, text, look::body(), colors.ink);
    let share = format!("{} %", number(100.0 * item.value / total, 1));
    painter.text(pos2(rect.right() - 4.0, y), Align2::RIGHT_CENTER, share, look::small(), colors.soft);
    painter.hline(rect.x_range(), rect.bottom() - 0.5, look::hairline(colors.rule));
    let length = (right - rect.left()) * (item.value.abs() / largest.max(f64::MIN_POSITIVE)) as f32;
    let bar = Rect::from_min_size(pos2(rect.left(), rect.bottom() - 2.5), Vec2::new(length, 2.5));
    painter.rect_filled(bar, CornerRadius::ZERO, ink);
    response.on_hover_text(spoken);
}
