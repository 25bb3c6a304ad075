//! Painting a flow strip.

use egui::{
    Align2, Color32, CornerRadius, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo,
    epaint::text::{LayoutJob, TextWrapping},
    pos2,
};

use super::data::{FlowStripData, StripDevice};
use super::layout::{BRANCH, Column, HEAT, Junction, StripLayout};
use crate::command::Command;
use crate::look::{self, Palette};
use crate::views::figure::{Flag, hatch, number, signed};

/// Draws a strip in the available width; a click on a device selects it.
pub fn strip_ui(
    ui: &mut Ui,
    strip: &FlowStripData,
    height: f32,
    selected: Option<&str>,
    commands: &mut Vec<Command>,
) {
    let layout = StripLayout::new(strip, ui.available_width(), height);
    let (rect, _) = ui.allocate_exact_size(layout.size, Sense::hover());
    let colors = look::palette(ui);
    let canvas = Canvas { painter: ui.painter_at(rect), origin: rect.min.to_vec2(), colors, layout: &layout };
    for column in &layout.columns {
        let response = ui.interact(
            column.rect.translate(canvas.origin),
            ui.scope_id().with(("device", &strip.name, &column.device.name)),
            Sense::click(),
        );
        let is_selected = selected == Some(column.device.name.as_str());
        let summary = summary(strip, column.device);
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_selected, &summary));
        let ground = match (is_selected, response.hovered() || response.has_focus()) {
            (true, _) => Some(colors.chosen),
            (false, true) => Some(colors.stripe),
            (false, false) => None,
        };
        canvas.ground(column, ground);
        if response.on_hover_text(hover(strip, column.device)).clicked() {
            commands.push(Command::SelectDevice(column.device.name.clone()));
        }
    }
    canvas.grid(strip);
    layout.junctions.iter().for_each(|junction| canvas.junction(junction));
    for (index, column) in layout.columns.iter().enumerate() {
        canvas.names(column);
        let heat = canvas.heat(column.device, column.plot);
        canvas.temperatures(column, index == 0, heat);
        canvas.pressure(column);
    }
    canvas.end(strip);
}

/// The strip in one place: painter, offset and layout.
struct Canvas<'a> {
    painter: Painter,
    origin: Vec2,
    colors: &'static Palette,
    layout: &'a StripLayout<'a>,
}

impl Canvas<'_> {
    fn at(&self, point: Pos2) -> Pos2 {
        point + self.origin
    }

    fn text(&self, at: Pos2, anchor: Align2, text: impl ToString, ink: Color32) -> Rect {
        self.painter.text(self.at(at), anchor, text, look::small(), ink)
    }

    fn line(&self, from: Pos2, to: Pos2, stroke: Stroke) {
        self.painter.line_segment([self.at(from), self.at(to)], stroke);
    }

    fn dashed(&self, from: Pos2, to: Pos2, color: Color32) {
        let ends = [self.at(from), self.at(to)];
        self.painter.extend(Shape::dashed_line(&ends, look::hairline(color), 3.0, 3.0));
    }

    fn ground(&self, column: &Column<'_>, color: Option<Color32>) {
        if let Some(color) = color {
            let rect = column.rect.translate(self.origin).shrink2(Vec2::new(1.0, 0.0));
            self.painter.rect_filled(rect, CornerRadius::same(3), color);
        }
        if column.device.flag == Flag::OutOfRange {
            hatch(&self.painter, column.plot.translate(self.origin), self.colors.warn.gamma_multiply(0.5));
        }
    }

    /// Grid lines and their values, for each run of plots that starts a lane.
    fn grid(&self, strip: &FlowStripData) {
        let rows = self.layout.columns.first().map_or(4.0, |column| column.plot.height() / 19.0);
        let ticks = self.layout.temperature.ticks((rows as usize).max(2));
        let mut labelled: Vec<f32> = Vec::new();
        for column in &self.layout.columns {
            for &tick in &ticks {
                let y = self.layout.temperature.y(tick, column.plot);
                let (left, right) = (column.plot.left(), column.plot.right());
                self.line(pos2(left, y), pos2(right, y), look::hairline(self.colors.rule));
                if !labelled.contains(&column.plot.top()) {
                    let at = pos2(left - 6.0, y);
                    self.text(at, Align2::RIGHT_CENTER, number(tick, decimals(&ticks)), self.colors.soft);
                }
            }
            if !labelled.contains(&column.plot.top()) {
                labelled.push(column.plot.top());
            }
            let x = column.plot.right();
            self.dashed(pos2(x, column.plot.top()), pos2(x, column.plot.bottom()), self.colors.rule);
        }
        if let Some(first) = self.layout.columns.first() {
            let at = pos2(first.plot.left() - 6.0, first.plot.top() - 10.0);
            self.text(at, Align2::RIGHT_BOTTOM, &strip.temperature_unit, self.colors.soft);
        }
        self.pressure_grid(strip);
    }

    fn pressure_grid(&self, strip: &FlowStripData) {
        let band = self.layout.pressure_band;
        let ticks = self.layout.pressure.ticks(3);
        for &tick in &ticks {
            let y = self.layout.pressure.y(tick, band);
            self.line(pos2(band.left(), y), pos2(band.right(), y), look::hairline(self.colors.rule));
            let at = pos2(band.left() - 6.0, y);
            self.text(at, Align2::RIGHT_CENTER, number(tick, decimals(&ticks)), self.colors.soft);
        }
        let title = format!("static pressure, {} absolute", strip.pressure_unit);
        self.text(pos2(0.0, band.top() - 4.0), Align2::LEFT_BOTTOM, title, self.colors.pressure);
    }

    /// Where branches part and join: one vertical line at each end, with the name and the share of each branch.
    fn junction(&self, junction: &Junction) {
        let y = |lane: &Rect, temperature: f64| self.layout.temperature.y(temperature, *lane);
        let lanes = || junction.lanes.iter().zip(&junction.temperatures);
        let (Some((top, high)), Some((bottom, low))) = (lanes().next(), lanes().next_back()) else { return };
        let stroke = Stroke::new(1.5, self.colors.accent);
        let (left, right) = junction.x;
        self.line(pos2(left, y(top, high.0)), pos2(left, y(bottom, low.0)), stroke);
        let mixed = junction.mixed.map_or(y(top, high.1), |mixed| y(top, mixed));
        self.line(pos2(right, mixed.min(y(top, high.1))), pos2(right, y(bottom, low.1)), stroke);
        for (lane, label) in junction.lanes.iter().zip(&junction.labels) {
            let top = lane.top() - HEAT - 16.0 * self.layout.name_lines as f32 - BRANCH;
            self.text(pos2(junction.x.0 + 4.0, top), Align2::LEFT_TOP, label, self.colors.soft);
        }
        for index in &junction.empty {
            if let (Some(lane), Some(ends)) = (junction.lanes.get(*index), junction.temperatures.get(*index))
            {
                let y = y(lane, ends.0);
                self.line(pos2(left, y), pos2(right, y), Stroke::new(2.5, self.colors.accent));
            }
        }
    }

    fn names(&self, column: &Column<'_>) {
        let width = column.rect.width() - 8.0;
        let mut job = LayoutJob::simple(column.device.name.clone(), look::small(), self.colors.ink, width);
        job.halign = egui::Align::Center;
        job.wrap =
            TextWrapping { max_width: width, max_rows: self.layout.name_lines, ..TextWrapping::default() };
        let galley = self.painter.layout_job(job);
        let top = pos2(column.rect.center().x, column.plot.top() - HEAT - 2.0);
        let at = self.at(top) - Vec2::new(0.0, galley.size().y);
        self.painter.galley(at, galley, self.colors.ink);
    }

    /// An arrow onto the coolant line for heat taken up, away from it for heat given off; its width follows the heat.
    /// Gives the places that no label may cover.
    fn heat(&self, device: &StripDevice, plot: Rect) -> Vec<Rect> {
        let part = (device.heat_kw.abs() / self.layout.largest_heat_kw.max(1e-12)) as f32;
        if number(device.heat_kw, 2) == "0.00" || !device.heat_kw.is_finite() {
            return Vec::new();
        }
        let x = plot.left() + 0.3 * plot.width();
        let middle = 0.7 * device.temperature_in + 0.3 * device.temperature_out;
        let line = self.layout.temperature.y(middle, plot);
        let label = format!("{} kW", signed(device.heat_kw, 2));
        let half_width = 1.0 + 4.0 * part;
        if device.heat_kw > 0.0 {
            let tail = plot.top() - 2.0;
            self.arrow(pos2(x, tail), pos2(x, line - 2.0), half_width, self.colors.hot);
            let label = self.text(pos2(x, plot.top() - 4.0), Align2::CENTER_BOTTOM, label, self.colors.hot);
            vec![label, Rect::from_x_y_ranges(x - 5.0..=x + 5.0, tail..=line).translate(self.origin)]
        } else {
            let head = plot.bottom() + 3.0;
            self.arrow(pos2(x, line + 2.0), pos2(x, head), half_width, self.colors.cool);
            let at = pos2(x, plot.bottom() + HEAT + 1.0);
            let label = self.text(at, Align2::CENTER_BOTTOM, label, self.colors.cool);
            vec![label, Rect::from_x_y_ranges(x - 5.0..=x + 5.0, line..=head).translate(self.origin)]
        }
    }

    /// A vertical arrow; only its head when there is no room for a stem.
    fn arrow(&self, from: Pos2, to: Pos2, half_width: f32, color: Color32) {
        let head = (half_width * 1.6 + 2.0).min(7.0).max(half_width + 1.5);
        let down = if to.y >= from.y { 1.0 } else { -1.0 };
        let neck = to.y - down * head;
        if (neck - from.y) * down > 0.0 {
            let stem = Rect::from_two_pos(pos2(from.x - half_width, from.y), pos2(to.x + half_width, neck));
            self.painter.rect_filled(
                stem.translate(self.origin),
                CornerRadius::ZERO,
                color.gamma_multiply(0.55),
            );
        }
        let corners = vec![self.at(to), self.at(pos2(to.x - head, neck)), self.at(pos2(to.x + head, neck))];
        self.painter.add(Shape::convex_polygon(corners, color, Stroke::NONE));
    }

    fn temperatures(&self, column: &Column<'_>, is_first: bool, heat: Vec<Rect>) {
        let (device, plot, scale) = (column.device, column.plot, self.layout.temperature);
        if !(device.temperature_in.is_finite() && device.temperature_out.is_finite()) {
            self.text(plot.center(), Align2::CENTER_CENTER, "no result", self.colors.soft);
            return;
        }
        let from = pos2(plot.left(), scale.y(device.temperature_in, plot));
        let to = pos2(plot.right(), scale.y(device.temperature_out, plot));
        self.line(from, to, Stroke::new(2.5, self.colors.accent));
        if is_first {
            let at = from + Vec2::new(3.0, -3.0);
            self.text(at, Align2::LEFT_BOTTOM, number(device.temperature_in, 1), self.colors.accent);
        }
        let mut taken = heat;
        if (device.temperature_out - device.temperature_in).abs() >= 0.05 {
            // On the side of the line where it does not come from.
            let (shift, anchor) = if to.y <= from.y {
                (Vec2::new(-3.0, -3.0), Align2::RIGHT_BOTTOM)
            } else {
                (Vec2::new(-3.0, 3.0), Align2::RIGHT_TOP)
            };
            taken.push(self.text(to + shift, anchor, number(device.temperature_out, 1), self.colors.accent));
        }
        self.walls(device, plot, (from, to), taken);
    }

    /// A diamond for each wall, with its value; a triangle at the edge for one that is off the scale.
    fn walls(&self, device: &StripDevice, plot: Rect, line: (Pos2, Pos2), mut taken: Vec<Rect>) {
        let x = plot.left() + 0.62 * plot.width();
        let mut walls: Vec<_> = device.walls.iter().filter(|wall| wall.temperature.is_finite()).collect();
        walls.sort_by(|a, b| b.temperature.total_cmp(&a.temperature));
        for wall in walls {
            let y = self.layout.temperature.y(wall.temperature, plot);
            let corner = |dx, dy| self.at(pos2(x + dx, y + dy));
            let corners = if self.layout.temperature.holds(wall.temperature) {
                vec![corner(0.0, -5.0), corner(5.0, 0.0), corner(0.0, 5.0), corner(-5.0, 0.0)]
            } else {
                let up = if y <= plot.center().y { 1.0 } else { -1.0 };
                vec![corner(0.0, -5.0 * up), corner(5.0, 4.0 * up), corner(-5.0, 4.0 * up)]
            };
            self.painter.add(Shape::convex_polygon(corners, self.colors.wall, Stroke::NONE));
            let text = number(wall.temperature, 1);
            let galley = self.painter.layout_no_wrap(text, look::small(), self.colors.wall);
            // Beside the mark, else below or above it. A label that would cover another is left out: the tooltip
            // has all values.
            let beside = Align2::LEFT_CENTER.anchor_size(corner(8.0, 0.0), galley.size());
            let below = Align2::CENTER_TOP.anchor_size(corner(0.0, 5.0), galley.size());
            let above = Align2::CENTER_BOTTOM.anchor_size(corner(0.0, -5.0), galley.size());
            let before = Align2::RIGHT_CENTER.anchor_size(corner(-8.0, 0.0), galley.size());
            let above_after = Align2::LEFT_BOTTOM.anchor_size(corner(-4.0, -5.0), galley.size());
            let below_after = Align2::LEFT_TOP.anchor_size(corner(-4.0, 5.0), galley.size());
            let is_free = |place: &&Rect| {
                let covers_label = taken.iter().any(|other| other.expand(3.0).intersects(**place));
                !covers_label && !crosses(line, place.translate(-self.origin))
            };
            if let Some(place) = [&beside, &below, &above, &before, &above_after, &below_after]
                .into_iter()
                .find(is_free)
                .copied()
            {
                self.painter.galley(place.min, galley, self.colors.wall);
                taken.push(place);
            }
        }
    }

    fn pressure(&self, column: &Column<'_>) {
        let (device, band) = (column.device, self.layout.pressure_band);
        if !(device.pressure_in.is_finite() && device.pressure_out.is_finite()) {
            return;
        }
        let y = |pressure| self.layout.pressure.y(pressure, band);
        let from = pos2(column.rect.left(), y(device.pressure_in));
        let to = pos2(column.rect.right(), y(device.pressure_out));
        self.line(from, to, Stroke::new(1.5, self.colors.pressure));
    }

    fn end(&self, strip: &FlowStripData) {
        let Some(last) = self.layout.columns.iter().max_by(|a, b| a.rect.right().total_cmp(&b.rect.right()))
        else {
            return;
        };
        // The flow leaves in the middle of the lanes that end here: after a junction in the first one.
        let y = self.layout.temperature.y(last.device.temperature_out, self.layout.columns[0].plot);
        let from = pos2(last.plot.right(), y);
        let to = from + Vec2::new(16.0, 0.0);
        self.line(from, to, Stroke::new(2.5, self.colors.accent));
        let corners = vec![
            self.at(to + Vec2::new(5.0, 0.0)),
            self.at(to + Vec2::new(-3.0, -5.0)),
            self.at(to + Vec2::new(-3.0, 5.0)),
        ];
        self.painter.add(Shape::convex_polygon(corners, self.colors.accent, Stroke::NONE));
        self.text(to + Vec2::new(8.0, 0.0), Align2::LEFT_CENTER, strip.kind.end(), self.colors.soft);
    }
}

/// Whether a line that runs from left to right touches a rectangle.
fn crosses((from, to): (Pos2, Pos2), rect: Rect) -> bool {
    let y = |x: f32| from.y + (to.y - from.y) * ((x - from.x) / (to.x - from.x)).clamp(0.0, 1.0);
    let (a, b) = (y(rect.left()), y(rect.right()));
    a.min(b) <= rect.bottom() && rect.top() <= a.max(b)
}

/// As many decimals as the distance of the ticks needs.
fn decimals(ticks: &[f64]) -> usize {
    match ticks {
        [first, second, ..] => (-(second - first).abs().log10().floor()).clamp(0.0, 4.0) as usize,
        _ => 0,
    }
}

/// The device in one line, for those who do not see the figure.
fn summary(strip: &FlowStripData, device: &StripDevice) -> String {
    format!(
        "{}, {}: {} to {} {}, heat {} kW",
        device.name,
        device.kind,
        number(device.temperature_in, 1),
        number(device.temperature_out, 1),
        strip.temperature_unit,
        signed(device.heat_kw, 2)
    )
}

fn hover(strip: &FlowStripData, device: &StripDevice) -> String {
    let (t, p) = (&strip.temperature_unit, &strip.pressure_unit);
    let mut lines = vec![
        format!("{} ({})", device.name, device.kind),
        format!("in {} {t}, out {} {t}", number(device.temperature_in, 2), number(device.temperature_out, 2)),
        format!(
            "pressure in {} {p}, out {} {p} absolute",
            number(device.pressure_in, 1),
            number(device.pressure_out, 1)
        ),
        format!("heat {} kW", signed(device.heat_kw, 3)),
    ];
    lines.extend(
        device.walls.iter().map(|wall| format!("{}: {} {t}", wall.name, number(wall.temperature, 1))),
    );
    if device.flag == Flag::OutOfRange {
        lines.push("A relation is outside its range: held at its edge".to_owned());
    }
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_get_as_many_decimals_as_they_need() {
        assert_eq!(decimals(&[10.0, 20.0]), 0);
        assert_eq!(decimals(&[0.2, 0.4]), 1);
        assert_eq!(decimals(&[0.05, 0.1]), 2);
        assert_eq!(decimals(&[1.0]), 0);
    }

    #[test]
    fn a_label_on_the_line_is_seen() {
        let line = (pos2(0.0, 0.0), pos2(100.0, 50.0));
        let label = |x, y| Rect::from_min_size(pos2(x, y), Vec2::new(20.0, 10.0));
        assert!(crosses(line, label(40.0, 20.0)));
        assert!(!crosses(line, label(40.0, 40.0)));
        assert!(!crosses(line, label(60.0, 10.0)));
    }

    #[test]
    fn the_summary_names_the_device_and_its_heat() {
        let device = StripDevice {
            name: "Jacket".into(),
            kind: "cold plate".into(),
            temperature_in: 50.0,
            temperature_out: 54.25,
            heat_kw: 4.2,
            ..StripDevice::default()
        };
        let strip = FlowStripData { temperature_unit: "°C".into(), ..FlowStripData::default() };
        assert_eq!(summary(&strip, &device), "Jacket, cold plate: 50.0 to 54.2 °C, heat +4.20 kW");
    }
}
