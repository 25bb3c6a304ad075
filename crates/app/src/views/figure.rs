//! A number on screen, and the sign of how a margin stands.

use egui::{
    self, Align, Color32, CornerRadius, Id, Label, Layout, Painter, Pos2, Rect, RichText, Role, Sense, Shape,
    Stroke, Ui, Vec2, WidgetInfo,
};

use crate::command::{Command, Overlay};
use crate::look;
use model::standing::Standing;

/// What must be known about a number before it is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Flag {
    /// Nothing special.
    #[default]
    Plain,
    /// A relation was used outside its fitted range: held at the edge of the range.
    OutOfRange,
}

/// A number as it is shown: fixed decimals, no unit (the unit is in the column's head).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Figure {
    /// The digits; a dash where the number does not apply.
    pub text: String,
    /// The number with all its digits, in the unit in which it is shown; none where it does not apply.
    pub value: Option<f64>,
    /// What must be known about it.
    pub flag: Flag,
    /// Key of its explanation in [`crate::Screen::explanations`].
    pub explain: Option<String>,
}

impl Figure {
    /// A number with fixed decimals; a dash when it is not finite.
    pub fn new(value: f64, decimals: usize) -> Self {
        let finite = Some(value).filter(|value| value.is_finite());
        Self { text: number(value, decimals), value: finite, ..Self::default() }
    }

    /// Where there is no number.
    pub fn none() -> Self {
        Self { text: "–".to_owned(), ..Self::default() }
    }

    /// The same number with a key to its explanation.
    #[must_use]
    pub fn explained(mut self, key: impl Into<String>) -> Self {
        self.explain = Some(key.into());
        self
    }

    /// The same number with a flag.
    #[must_use]
    pub fn flagged(mut self, flag: Flag) -> Self {
        self.flag = flag;
        self
    }
}

/// A number with fixed decimals and a true minus sign; a dash when it is not finite. No "−0.0".
pub fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| b == b'0' || b == b'.') => rest.to_owned(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// The same with a plus sign in front of positive numbers.
pub fn signed(value: f64, decimals: usize) -> String {
    let text = number(value, decimals);
    let is_positive = value > 0.0 && text.bytes().any(|b| (b'1'..=b'9').contains(&b));
    if is_positive { format!("+{text}") } else { text }
}

/// The shape and the colour in which it is told how something stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Sign {
    /// There is nothing to judge.
    #[default]
    Nothing,
    /// There should be a result, and there is none.
    NoResult,
    /// A limit is passed, or something went wrong.
    Bad,
    /// Something is short, or is to be known.
    Warn,
    /// All is well.
    Good,
}

impl From<Standing> for Sign {
    fn from(standing: Standing) -> Self {
        match standing {
            Standing::NoResult => Self::NoResult,
            Standing::PastLimit => Self::Bad,
            Standing::Short => Self::Warn,
            Standing::Holds => Self::Good,
        }
    }
}

impl Sign {
    /// The colour of its text.
    pub fn ink(self, colors: &look::Palette) -> Color32 {
        match self {
            Self::NoResult | Self::Bad => colors.bad,
            Self::Warn => colors.warn,
            Self::Nothing => colors.soft,
            Self::Good => colors.good,
        }
    }

    /// The ground behind its number, where it needs one.
    pub fn ground(self, colors: &look::Palette) -> Option<Color32> {
        match self {
            Self::NoResult | Self::Bad => Some(colors.bad_ground),
            Self::Warn => Some(colors.warn_ground),
            Self::Nothing | Self::Good => None,
        }
    }

    /// Paints its shape: a filled square, a triangle, a dash, a small ring.
    pub fn paint(self, painter: &Painter, center: Pos2, colors: &look::Palette) {
        let ink = self.ink(colors);
        match self {
            Self::Bad => {
                painter.rect_filled(
                    Rect::from_center_size(center, Vec2::splat(8.0)),
                    CornerRadius::ZERO,
                    ink,
                );
            }
            Self::Warn => {
                let corner = |x, y| center + Vec2::new(x, y);
                let corners = vec![corner(0.0, -5.0), corner(5.0, 4.0), corner(-5.0, 4.0)];
                painter.add(Shape::convex_polygon(corners, ink, Stroke::NONE));
            }
            Self::Nothing | Self::NoResult => {
                let half = Vec2::new(4.0, 0.0);
                painter.line_segment([center - half, center + half], Stroke::new(1.5, ink));
            }
            Self::Good => {
                painter.circle_stroke(center, 3.5, Stroke::new(1.5, ink));
            }
        }
    }
}

/// The shape and the word of a standing; a dash and a word where there is no limit.
pub fn standing_ui(ui: &mut Ui, standing: Option<Standing>) {
    let colors = look::palette(ui);
    let sign = standing.map_or(Sign::Nothing, Sign::from);
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::new(12.0, look::space::ROW - 6.0), Sense::empty());
        sign.paint(ui.painter(), rect.center(), colors);
        ui.label(RichText::new(standing_words(standing)).color(sign.ink(colors)));
    });
}

/// The words of a standing, or of where there is no limit.
pub fn standing_words(standing: Option<Standing>) -> &'static str {
    standing.map_or("no limit", Standing::words)
}

/// A number at the right edge of its cell. A click on one that can be explained explains it.
pub fn figure_ui(ui: &mut Ui, figure: &Figure, name: &str, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        let color = if figure.value.is_none() { colors.soft } else { colors.ink };
        let sense = if figure.explain.is_some() { Sense::CLICK } else { Sense::HOVER };
        let response = ui.add(
            Label::new(RichText::new(&figure.text).color(color))
                .wrap_mode(egui::TextWrapMode::Extend)
                .sense(sense),
        );
        if figure.flag == Flag::OutOfRange {
            hatch(ui.painter(), response.rect.expand2(Vec2::new(3.0, 1.0)), colors.warn);
        }
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("{name}: {}", figure.text)));
        let response = match figure.flag {
            Flag::Plain => response,
            Flag::OutOfRange => response.on_hover_text("Outside the valid range: held at its edge"),
        };
        if let Some(key) = &figure.explain {
            let command = Command::Open(Overlay::Explanation(key.clone()));
            if response.hovered() {
                let line = response.rect.bottom();
                ui.painter().hline(response.rect.x_range(), line, look::hairline(colors.accent));
            }
            let response = response.on_hover_cursor(egui::CursorIcon::PointingHand);
            if response.on_hover_text(command.tooltip()).clicked() {
                commands.push(command);
            }
        }
    });
}

/// Slanted lines over a rectangle: the mark of an extrapolated value.
pub fn hatch(painter: &Painter, rect: Rect, color: Color32) {
    let painter = painter.with_clip_rect(painter.clip_rect().intersect(rect));
    let stroke = Stroke::new(1.0, color.gamma_multiply(0.55));
    let mut x = rect.left() - rect.height();
    while x < rect.right() {
        painter.line_segment([Pos2::new(x, rect.bottom()), Pos2::new(x + rect.height(), rect.top())], stroke);
        x += 5.0;
    }
}

/// The head of a column of numbers: the name and, below it in small type, the unit.
pub fn number_head_ui(ui: &mut Ui, name: &str, unit: &str) {
    let colors = look::palette(ui);
    ui.with_layout(Layout::top_down(Align::Max), |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.label(RichText::new(name).color(colors.soft).small());
        ui.label(RichText::new(unit).color(colors.soft).small());
    });
}

/// The head of a column of text.
pub fn text_head_ui(ui: &mut Ui, name: &str) {
    let colors = look::palette(ui);
    ui.label(RichText::new(name).color(colors.soft).small());
}

/// Brings what has just got the keys into sight. Called at the end of what is scrolled.
pub fn follow_focus(ui: &Ui) {
    let Some(id) = ui.memory(|memory| memory.focused()) else { return };
    let Some(place) = ui.ctx().read_response(id).map(|response| response.rect) else { return };
    let is_mine = ui.min_rect().expand(1.0).contains_rect(place);
    let followed = Id::unique("focus that was followed");
    let is_new = ui.data(|data| data.get_temp::<Id>(followed)) != Some(id);
    if is_mine && is_new {
        ui.data_mut(|data| data.insert_temp(followed, id));
        if !ui.clip_rect().contains_rect(place) {
            ui.scroll_to_rect(place, None);
            ui.ctx().request_repaint();
        }
    }
}

/// Lets Page up and Page down scroll, for what no key leads to otherwise. Called inside of what is scrolled; a text that is typed keeps its
/// keys.
pub fn page_keys(ui: &Ui) {
    let is_over = |layer: &egui::LayerId| layer.order == egui::Order::Middle;
    let is_covered = ui.layer_id().order == egui::Order::Background
        && ui.memory(|memory| memory.areas().visible_layer_ids().iter().any(is_over));
    if is_covered || ui.ctx().text_edit_focused() {
        return;
    }
    let step = 0.8 * ui.clip_rect().height();
    for (key, sign) in [(egui::Key::PageDown, -1.0), (egui::Key::PageUp, 1.0)] {
        if ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, key)) {
            ui.scroll_with_delta(Vec2::new(0.0, sign * step));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_fixed_decimals_and_a_true_minus() {
        assert_eq!(number(12.345, 1), "12.3");
        assert_eq!(number(-4.0, 1), "−4.0");
        assert_eq!(number(-0.04, 1), "0.0");
        assert_eq!(number(f64::NAN, 2), "–");
        assert_eq!(signed(0.04, 1), "0.0");
        assert_eq!(signed(6.25, 1), "+6.2");
        assert_eq!(signed(-6.0, 0), "−6");
    }
}
