//! Drawing the grid of margins: heads and names stay in place while the cells scroll.

use egui::{
    Align2, CornerRadius, CursorIcon, EventFilter, Id, Key, Label, Modifiers, Painter, Pos2, Rect, Response,
    RichText, Role, ScrollArea, Sense, Stroke, StrokeKind, TextEdit, TextWrapMode, Ui, UiBuilder, Vec2,
    WidgetInfo, epaint::text::TextWrapping, pos2,
};

use session::MarginPlace;

use super::data::{CursorStep, MarginCell, MarginFilter, MarginGrid, MarginRow};
use super::layout::{GridLayout, HEAD, NAME, NAME_NARROW, REQUIRED, UNIT};
use crate::clock::clock;
use crate::command::Command;
use crate::look::{self, Palette};
use crate::views::chart::{WantedFigure, save_figure_ui, want};
use crate::views::figure::{Sign, number, signed};
use model::case_name::CaseName;
use model::standing::Standing;

/// Rows that PageUp and PageDown go.
const LEAP: isize = 10;

/// Draws the page; a click on a cell shows its case at its worst moment. By keys: Tab leads to one cell, arrows, Home, End,
/// PageUp and PageDown move it, Enter shows its case.
pub fn margins_ui(
    ui: &mut Ui,
    grid: &MarginGrid,
    shown_case: &CaseName,
    (filter, cursor): (&mut MarginFilter, &mut Option<MarginPlace>),
    commands: &mut Vec<Command>,
) {
    if grid.rows.is_empty() {
        return;
    }
    let top = ui.cursor().min;
    legend_ui(ui, grid);
    if filter_ui(ui, filter) {
        let place = Rect::from_min_max(top, ui.max_rect().max);
        want(ui.ctx(), WantedFigure::Painted { title: "margins".to_owned(), place });
    }
    let filtered = (!filter.is_empty()).then(|| grid.filtered(filter));
    let grid = filtered.as_ref().unwrap_or(grid);
    if grid.rows.is_empty() {
        ui.label("No margin matches the filter.");
        return;
    }
    ui.add_space(look::space::NEAR);
    let all = ui.available_rect_before_wrap();
    ui.allocate_rect(all, Sense::hover());
    let name = if all.width() > 1000.0 { NAME } else { NAME_NARROW };
    let corner = all.min + Vec2::new(name + UNIT + REQUIRED, HEAD);
    let cells = Rect::from_min_max(corner, all.max);
    let layout = GridLayout { rows: grid.rows.len(), columns: grid.cases.len() };
    let mut inner = ui.new_child(UiBuilder::new().max_rect(cells));
    let scroll = ScrollArea::both().id_salt("margins").auto_shrink([false, false]);
    let output = scroll.show_viewport(&mut inner, |ui, viewport| {
        cells_ui(ui, grid, layout, viewport, (shown_case, cursor), commands);
        viewport.min
    });
    let offset = output.inner;
    let in_sight = output.inner_rect;
    let heads = Rect::from_min_max(pos2(cells.left(), all.top()), pos2(in_sight.right(), cells.top()));
    let names = Rect::from_min_max(pos2(all.left(), cells.top()), pos2(cells.left(), in_sight.bottom()));
    heads_ui(ui, grid, layout, heads, offset.x, shown_case);
    names_ui(ui, grid, layout, names, offset.y, name);
    corner_ui(ui, Rect::from_min_max(all.min, corner), name);
}

/// What is left out of the grid; whether the grid is wanted as a file.
fn filter_ui(ui: &mut Ui, filter: &mut MarginFilter) -> bool {
    let row = ui.horizontal(|ui| {
        let label = ui.label(RichText::new("Filter").color(look::palette(ui).soft).small());
        let edit = TextEdit::singleline(&mut filter.words)
            .id(Id::unique("margin filter"))
            .hint_text("component, limit or case")
            .desired_width(240.0);
        ui.add(edit)
            .labelled_by(label.id)
            .on_hover_text("Words to find in the component, the limit or the case");
        ui.checkbox(&mut filter.only_short, "Only limits that do not hold")
            .on_hover_text("Leave out the margins that hold");
        if !filter.is_empty() && ui.button("Show all").clicked() {
            *filter = MarginFilter::default();
        }
        save_figure_ui(ui, "margins")
    });
    row.inner
}

fn legend_ui(ui: &mut Ui, grid: &MarginGrid) {
    let colors = look::palette(ui);
    ui.horizontal(|ui| {
        ui.heading("Margins");
        let counted = report::counted;
        let count = format!("{} in {}", counted(grid.rows.len(), "limit"), counted(grid.cases.len(), "case"));
        ui.label(RichText::new(count).color(colors.soft));
        ui.add_space(look::space::STEP);
        for standing in Standing::ALL {
            let count = grid.count(standing);
            let (rect, _) = ui.allocate_exact_size(Vec2::new(12.0, look::space::ROW - 6.0), Sense::empty());
            let sign = Sign::from(standing);
            sign.paint(ui.painter(), rect.center(), colors);
            let text = format!("{count} {}", standing.counted(count));
            ui.label(RichText::new(text).color(sign.ink(colors)));
            ui.add_space(look::space::NEAR);
        }
        let hint = "the reserve (margin less required), worst at the top left; a click or Enter shows the case at its worst moment, the arrow keys move";
        let hint = RichText::new(hint).color(colors.soft).small();
        ui.add(Label::new(hint).wrap_mode(TextWrapMode::Truncate));
    });
}

fn cells_ui(
    ui: &mut Ui,
    grid: &MarginGrid,
    layout: GridLayout,
    viewport: Rect,
    (shown_case, cursor): (&CaseName, &mut Option<MarginPlace>),
    commands: &mut Vec<Command>,
) {
    ui.set_min_size(layout.size());
    let colors = look::palette(ui);
    let at = grid.find(cursor.as_ref());
    let origin = ui.min_rect().min.to_vec2();
    let (rows, columns) = layout.visible(viewport);
    for row in rows {
        let line = &grid.rows[row];
        let left = layout.cell(row, columns.start).left();
        let whole = Rect::from_min_max(
            pos2(left, layout.cell(row, 0).top()),
            pos2(viewport.right(), layout.cell(row, 0).bottom()),
        );
        if row % 2 == 1 {
            ui.painter().rect_filled(whole.translate(origin), CornerRadius::ZERO, colors.stripe);
        }
        for column in columns.clone() {
            let rect = layout.cell(row, column).translate(origin);
            let case = &grid.cases[column];
            if let Some(cell) = &line.cells[column]
                && at != Some((row, column))
            {
                let response = cell_ui(ui, rect, (line, cell, case), shown_case, false, commands);
                if response.clicked() {
                    *cursor = grid.place((row, column));
                }
            }
        }
    }
    // The cell of the cursor is drawn out of sight too: the keys would lose it otherwise.
    let Some((row, column)) = at else { return };
    let (line, case) = (&grid.rows[row], &grid.cases[column]);
    let Some(cell) = &line.cells[column] else { return };
    let rect = layout.cell(row, column).translate(origin);
    let response = cell_ui(ui, rect, (line, cell, case), shown_case, true, commands);
    let step = if response.has_focus() { step_by_keys(ui, response.id) } else { None };
    if let Some(step) = step {
        let next = grid.stepped((row, column), step);
        *cursor = grid.place(next);
        let to = cell_id(ui, &grid.rows[next.0], &grid.cases[next.1]);
        ui.memory_mut(|memory| memory.request_focus(to));
        ui.scroll_to_rect(layout.cell(next.0, next.1).translate(origin), None);
    }
}

fn cell_id(ui: &Ui, row: &MarginRow, case: &CaseName) -> Id {
    ui.scope_id().with(("margin", &row.where_, &row.limit, &row.unit, case))
}

/// The keys that move the cell cursor, while it has the focus.
fn step_by_keys(ui: &Ui, id: Id) -> Option<CursorStep> {
    let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
    let keys = [
        (Key::ArrowRight, CursorStep::By(0, 1)),
        (Key::ArrowLeft, CursorStep::By(0, -1)),
        (Key::ArrowDown, CursorStep::By(1, 0)),
        (Key::ArrowUp, CursorStep::By(-1, 0)),
        (Key::PageDown, CursorStep::By(LEAP, 0)),
        (Key::PageUp, CursorStep::By(-LEAP, 0)),
        (Key::Home, CursorStep::RowStart),
        (Key::End, CursorStep::RowEnd),
    ];
    ui.input_mut(|input| {
        keys.into_iter().find(|(key, _)| input.consume_key(Modifiers::NONE, *key)).map(|(_, step)| step)
    })
}

/// One cell. Only the one at the cursor can be reached by Tab.
fn cell_ui(
    ui: &mut Ui,
    rect: Rect,
    (row, cell, case): (&MarginRow, &MarginCell, &CaseName),
    shown_case: &CaseName,
    is_cursor: bool,
    commands: &mut Vec<Command>,
) -> Response {
    let colors = look::palette(ui);
    let id = cell_id(ui, row, case);
    let response = ui.interact(rect, id, if is_cursor { Sense::click() } else { Sense::CLICK });
    let text = cell.reserve.map_or_else(|| "–".to_owned(), |reserve| signed(reserve, decimals(row)));
    let spoken = format!(
        "{}, {}, {case}: reserve {text} {}, {}",
        row.where_,
        row.limit,
        row.unit,
        cell.standing.words()
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
    let painter = ui.painter();
    let ground = if response.hovered() || shown_case == case { Some(colors.chosen) } else { None };
    let sign = Sign::from(cell.standing);
    if let Some(ground) = sign.ground(colors).or(ground) {
        painter.rect_filled(rect.shrink(1.0), CornerRadius::same(2), ground);
    }
    let has_focus = response.has_focus();
    if response.hovered() || has_focus || is_cursor {
        let stroke = Stroke::new(if has_focus { 2.0 } else { 1.0 }, colors.accent);
        painter.rect_stroke(rect.shrink(1.0), CornerRadius::same(2), stroke, StrokeKind::Inside);
    }
    sign.paint(painter, rect.left_center() + Vec2::new(16.0, 0.0), colors);
    let ink = if cell.standing.holds() { colors.ink } else { sign.ink(colors) };
    painter.text(rect.right_center() - Vec2::new(14.0, 0.0), Align2::RIGHT_CENTER, text, look::body(), ink);
    let mut lines = vec![spoken];
    lines.extend(cell.margin.map(|margin| behind(row, cell, margin)));
    lines.extend(cell.time_s.map(|time| format!("nearest at {}", clock(time))));
    let response = response.on_hover_cursor(CursorIcon::PointingHand).on_hover_text(lines.join("\n"));
    if response.clicked() {
        commands.push(Command::JumpTo { case: case.clone(), time_s: cell.time_s });
    }
    response
}

/// Both numbers behind a reserve, and what sets the required one.
fn behind(row: &MarginRow, cell: &MarginCell, margin: f64) -> String {
    let [margin, required] = [margin, cell.required].map(|value| number(value, decimals(row)));
    let unit = &row.unit;
    format!("margin {margin} {unit}, required {required} {unit}, {}", cell.required_by)
}

/// Small numbers get more decimals; the whole row has the same.
fn decimals(row: &MarginRow) -> usize {
    let reserves = row.cells.iter().flatten().filter_map(|cell| cell.reserve);
    let largest = reserves.map(f64::abs).filter(|margin| margin.is_finite()).fold(0.0, f64::max);
    match largest {
        1000.0.. => 0,
        2.0.. => 1,
        _ => 2,
    }
}

/// The heads: condition, point or mission, failure, one below the other.
fn heads_ui(
    ui: &Ui,
    grid: &MarginGrid,
    layout: GridLayout,
    area: Rect,
    scrolled: f32,
    shown_case: &CaseName,
) {
    let colors = look::palette(ui);
    let painter = ui.painter_at(area);
    for (column, case) in grid.cases.iter().enumerate() {
        let cell = layout.cell(0, column);
        let left = area.left() + cell.left() - scrolled;
        let rect = Rect::from_min_max(pos2(left, area.top()), pos2(left + cell.width(), area.bottom()));
        if !rect.intersects(area) {
            continue;
        }
        let is_shown = case == shown_case;
        if is_shown {
            painter.rect_filled(rect.shrink2(Vec2::new(1.0, 0.0)), CornerRadius::same(2), colors.chosen);
        }
        let parts: Vec<&str> =
            [&case.condition, &case.point].into_iter().chain(&case.failure).map(String::as_str).collect();
        let lines = 3.min(parts.len());
        for (line, part) in parts.iter().enumerate() {
            let y = rect.bottom() - 5.0 - 14.5 * (lines - line) as f32;
            let ink = if line == 0 { colors.soft } else { colors.ink };
            clipped_text(&painter, pos2(rect.left() + 6.0, y), rect.width() - 10.0, part, ink);
        }
        let id = ui.scope_id().with(("case", case));
        ui.interact(rect.intersect(area), id, Sense::hover()).on_hover_text(case.to_string());
    }
    painter.hline(area.x_range(), area.bottom() - 0.5, look::hairline(colors.outline));
}

fn names_ui(ui: &Ui, grid: &MarginGrid, layout: GridLayout, area: Rect, scrolled: f32, name: f32) {
    let colors = look::palette(ui);
    let painter = ui.painter_at(area);
    for (index, row) in grid.rows.iter().enumerate() {
        let cell = layout.cell(index, 0);
        let top = area.top() + cell.top() - scrolled;
        let rect = Rect::from_min_max(pos2(area.left(), top), pos2(area.right(), top + cell.height()));
        if !rect.intersects(area) {
            continue;
        }
        if index % 2 == 1 {
            painter.rect_filled(rect, CornerRadius::ZERO, colors.stripe);
        }
        let y = rect.center().y - 8.0;
        let text = format!("{}, {}", row.where_, row.limit);
        clipped_text(&painter, pos2(rect.left() + 4.0, y), name - 10.0, &text, colors.ink);
        let middle = rect.center().y;
        let unit_at = pos2(rect.left() + name + 4.0, middle);
        painter.text(unit_at, Align2::LEFT_CENTER, &row.unit, look::small(), colors.soft);
        let required_at = pos2(rect.right() - 10.0, middle);
        painter.text(required_at, Align2::RIGHT_CENTER, required(row), look::body(), colors.soft);
        let id = ui.scope_id().with(("limit", &row.where_, &row.limit));
        ui.interact(rect.intersect(area), id, Sense::hover()).on_hover_text(text);
    }
    let bottom = area.bottom().min(area.top() + layout.size().y - scrolled);
    painter.vline(area.right() - 0.5, area.top()..=bottom, look::hairline(colors.rule));
}

/// One number when the required margin is the same in all cases, else the range.
fn required(row: &MarginRow) -> String {
    let (low, high) = row.required;
    let decimals = decimals(row);
    if low == high {
        number(low, decimals)
    } else {
        format!("{}–{}", number(low, decimals), number(high, decimals))
    }
}

fn corner_ui(ui: &Ui, area: Rect, name: f32) {
    let colors: &Palette = look::palette(ui);
    let painter = ui.painter_at(area);
    let y = area.bottom() - 6.0;
    let head = |x, anchor, text: &str| {
        painter.text(pos2(x, y), anchor, text, look::small(), colors.soft);
    };
    head(area.left() + 4.0, Align2::LEFT_BOTTOM, "Limit");
    head(area.left() + name + 4.0, Align2::LEFT_BOTTOM, "Unit");
    head(area.right() - 10.0, Align2::RIGHT_BOTTOM, "Required");
    painter.hline(area.x_range(), area.bottom() - 0.5, look::hairline(colors.outline));
}

/// Text that ends with an ellipsis when it is too long for its room.
fn clipped_text(painter: &Painter, at: Pos2, width: f32, text: &str, ink: egui::Color32) {
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), look::small(), ink);
    job.wrap = TextWrapping::truncate_at_width(width);
    let galley = painter.layout_job(job);
    painter.galley(at, galley, ink);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(margins: &[f64], required: (f64, f64)) -> MarginRow {
        let cell = |reserve: &f64| {
            let reserve = Some(*reserve);
            let required_by = String::new();
            let standing = Standing::Holds;
            Some(MarginCell { reserve, margin: reserve, required: 0.0, required_by, standing, time_s: None })
        };
        MarginRow {
            where_: "a".into(),
            limit: "b".into(),
            unit: "K".into(),
            required,
            cells: margins.iter().map(cell).collect(),
        }
    }

    #[test]
    fn a_row_has_the_decimals_its_largest_reserve_needs() {
        assert_eq!(decimals(&row(&[0.5, 12.0], (0.0, 0.0))), 1);
        assert_eq!(decimals(&row(&[0.5, -0.1], (0.0, 0.0))), 2);
        assert_eq!(decimals(&row(&[1500.0], (0.0, 0.0))), 0);
    }

    #[test]
    fn the_required_margin_is_one_number_or_a_range() {
        assert_eq!(required(&row(&[12.0], (5.0, 5.0))), "5.0");
        assert_eq!(required(&row(&[12.0], (5.0, 8.0))), "5.0–8.0");
    }
}
