//! The look: colours, spacing and type sizes, all in this file.
//!
//! Paper and ink: a quiet page, a slightly lighter sheet on it, thin rules between entries, and few colours that each
//! mean one thing. A colour is never the only sign: standings have a shape and a word, heat has an arrow.
//! The tests compute the contrast of every text colour on every ground it is used on.

use egui::{
    self, Color32, Context, CornerRadius, FontDefinitions, FontFamily, FontId, Margin, Shadow, Stroke, Style,
    TextStyle, Theme, Ui, Vec2, Visuals, style::WidgetVisuals,
};

/// The colours of one theme, by meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Palette {
    /// Behind everything: rail and header.
    pub page: Color32,
    /// The ground of tables and figures.
    pub sheet: Color32,
    /// Every second row of a table.
    pub stripe: Color32,
    /// The ground of an input field.
    pub field: Color32,
    /// Ground of what is chosen.
    pub chosen: Color32,
    /// Lines between entries.
    pub rule: Color32,
    /// Outline of fields and buttons.
    pub outline: Color32,
    /// Text.
    pub ink: Color32,
    /// Labels, units and notes.
    pub soft: Color32,
    /// Names that lead somewhere, focus, the coolant line.
    pub accent: Color32,
    /// Heat taken up.
    pub hot: Color32,
    /// Heat given off.
    pub cool: Color32,
    /// Wall temperatures.
    pub wall: Color32,
    /// Static pressure.
    pub pressure: Color32,
    /// A margin that holds.
    pub good: Color32,
    /// A margin smaller than required.
    pub warn: Color32,
    /// A limit that is passed.
    pub bad: Color32,
    /// Ground of a margin smaller than required.
    pub warn_ground: Color32,
    /// Ground of a limit that is passed.
    pub bad_ground: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    Color32::from_rgb((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

/// Dark ink on light paper.
pub const LIGHT: Palette = Palette {
    page: rgb(0xE9E8E2),
    sheet: rgb(0xF8F7F3),
    stripe: rgb(0xF1F0EA),
    field: rgb(0xFFFFFF),
    chosen: rgb(0xD8E6E4),
    rule: rgb(0xD3D0C6),
    outline: rgb(0x8A8C86),
    ink: rgb(0x1B2023),
    soft: rgb(0x4F575C),
    accent: rgb(0x13565F),
    hot: rgb(0x9C3412),
    cool: rgb(0x1D5590),
    wall: rgb(0x764A08),
    pressure: rgb(0x63508F),
    good: rgb(0x235F3A),
    warn: rgb(0x744800),
    bad: rgb(0x98142A),
    warn_ground: rgb(0xF6E8C8),
    bad_ground: rgb(0xF6DADA),
};

/// Light ink on dark paper.
pub const DARK: Palette = Palette {
    page: rgb(0x121618),
    sheet: rgb(0x1A1F22),
    stripe: rgb(0x20262A),
    field: rgb(0x0E1214),
    chosen: rgb(0x223A3D),
    rule: rgb(0x343C41),
    outline: rgb(0x737D82),
    ink: rgb(0xE8E9E4),
    soft: rgb(0xA9B3B7),
    accent: rgb(0x7FC9D1),
    hot: rgb(0xF39A7B),
    cool: rgb(0x8ABCF0),
    wall: rgb(0xDDB36F),
    pressure: rgb(0xB9AAE2),
    good: rgb(0x8BCB9D),
    warn: rgb(0xE6BC68),
    bad: rgb(0xF895A0),
    warn_ground: rgb(0x3A3017),
    bad_ground: rgb(0x47222A),
};

/// The palette of the theme a `Ui` is drawn in.
pub fn palette(ui: &Ui) -> &'static Palette {
    of_theme(if ui.visuals().dark_mode { Theme::Dark } else { Theme::Light })
}

/// The palette of a theme.
pub fn of_theme(theme: Theme) -> &'static Palette {
    match theme {
        Theme::Dark => &DARK,
        Theme::Light => &LIGHT,
    }
}

/// Distances in points.
pub mod space {
    /// Between things that belong together.
    pub const NEAR: f32 = 4.0;
    /// Between neighbours.
    pub const STEP: f32 = 8.0;
    /// Between groups.
    pub const GROUP: f32 = 16.0;
    /// Height of a table row.
    pub const ROW: f32 = 24.0;
    /// Width of the rail of pages.
    pub const RAIL: f32 = 132.0;
}

/// Type sizes in points.
pub mod size {
    /// Notes, axis labels, units in a column head.
    pub const SMALL: f32 = 12.0;
    /// Text and numbers.
    pub const BODY: f32 = 13.5;
    /// The title of a page or a table.
    pub const TITLE: f32 = 16.0;
    /// The worst margin.
    pub const LARGE: f32 = 20.0;
}

/// The font of labels and notes.
pub fn small() -> FontId {
    FontId::new(size::SMALL, FontFamily::Proportional)
}

/// The font of text and numbers.
pub fn body() -> FontId {
    FontId::new(size::BODY, FontFamily::Proportional)
}

/// A line along the grid of a figure.
pub fn hairline(color: Color32) -> Stroke {
    Stroke::new(1.0, color)
}

/// Sets fonts and both themes.
pub fn install(ctx: &Context) {
    let mut fonts = FontDefinitions::default();
    // Arrows and the shapes of standings are in the second of the built-in fonts.
    if let Some(family) = fonts.families.get_mut(&FontFamily::Proportional) {
        family.push("Hack".to_owned());
    }
    ctx.set_fonts(fonts);
    for theme in [Theme::Light, Theme::Dark] {
        ctx.style_mut_of(theme, |style| shape(style, of_theme(theme), theme));
    }
}

fn shape(style: &mut Style, colors: &Palette, theme: Theme) {
    let font = |size| FontId::new(size, FontFamily::Proportional);
    style.text_styles = [
        (TextStyle::Small, font(size::SMALL)),
        (TextStyle::Body, font(size::BODY)),
        (TextStyle::Button, font(size::BODY)),
        (TextStyle::Heading, font(size::TITLE)),
        (TextStyle::Monospace, FontId::new(12.5, FontFamily::Monospace)),
    ]
    .into();
    style.spacing.item_spacing = Vec2::new(space::STEP, space::NEAR);
    style.spacing.button_padding = Vec2::new(8.0, 3.0);
    style.spacing.interact_size = Vec2::new(28.0, 22.0);
    style.spacing.window_margin = Margin::same(14);
    style.spacing.menu_margin = Margin::same(6);
    style.spacing.combo_width = 60.0;
    style.spacing.tooltip_width = 420.0;
    style.interaction.selectable_labels = false;
    style.animation_time = 0.0;
    style.visuals = visuals(colors, theme);
}

fn visuals(colors: &Palette, theme: Theme) -> Visuals {
    let mut visuals = theme.default_visuals();
    visuals.override_text_color = None;
    visuals.weak_text_color = Some(colors.soft);
    visuals.hyperlink_color = colors.accent;
    visuals.faint_bg_color = colors.stripe;
    visuals.extreme_bg_color = colors.field;
    visuals.text_edit_bg_color = Some(colors.field);
    visuals.code_bg_color = colors.stripe;
    visuals.warn_fg_color = colors.warn;
    visuals.error_fg_color = colors.bad;
    visuals.window_fill = colors.sheet;
    visuals.panel_fill = colors.page;
    visuals.window_stroke = Stroke::new(1.0, colors.outline);
    // A steady bar: a page at rest is drawn once, and nothing flickers beside the numbers.
    visuals.text_cursor.blink = false;
    visuals.window_corner_radius = CornerRadius::same(4);
    visuals.menu_corner_radius = CornerRadius::same(3);
    visuals.window_shadow =
        Shadow { offset: [0, 4], blur: 16, spread: 0, color: Color32::from_black_alpha(60) };
    visuals.popup_shadow =
        Shadow { offset: [0, 2], blur: 8, spread: 0, color: Color32::from_black_alpha(50) };
    visuals.selection.bg_fill = colors.chosen;
    visuals.selection.stroke = Stroke::new(1.0, colors.accent);
    visuals.widgets.noninteractive = widget(colors.sheet, colors.rule, colors.ink);
    visuals.widgets.inactive = widget(colors.sheet, colors.outline, colors.ink);
    visuals.widgets.hovered = widget(colors.stripe, colors.accent, colors.ink);
    visuals.widgets.active = widget(colors.chosen, colors.accent, colors.ink);
    visuals.widgets.open = widget(colors.chosen, colors.accent, colors.ink);
    visuals
}

fn widget(ground: Color32, outline: Color32, text: Color32) -> WidgetVisuals {
    WidgetVisuals {
        bg_fill: ground,
        weak_bg_fill: ground,
        bg_stroke: Stroke::new(1.0, outline),
        corner_radius: CornerRadius::same(3),
        fg_stroke: Stroke::new(1.0, text),
        expansion: 0.0,
    }
}

/// A sheet of paper on the page: the frame of a table or a figure.
pub fn sheet(colors: &Palette) -> egui::Frame {
    egui::Frame::new()
        .fill(colors.sheet)
        .stroke(hairline(colors.rule))
        .corner_radius(CornerRadius::same(3))
        .inner_margin(Margin::symmetric(12, 10))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance, Web Content Accessibility Guidelines 2.2, "relative luminance".
    fn luminance(color: Color32) -> f64 {
        let linear = |channel: u8| {
            let c = f64::from(channel) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(color.r()) + 0.7152 * linear(color.g()) + 0.0722 * linear(color.b())
    }

    /// Contrast ratio of the same guidelines.
    fn contrast(a: Color32, b: Color32) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn contrast_is_computed_as_published() {
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
        // #767676 on white is the well-known edge of the 4.5 criterion: 4.54 (published examples of the guidelines).
        assert!((contrast(rgb(0x767676), Color32::WHITE) - 4.54).abs() < 0.01);
    }

    /// Success criterion 1.4.3 asks for 4.5 to 1 for text.
    #[test]
    fn text_is_legible_on_every_ground() {
        for (theme, p) in [("light", &LIGHT), ("dark", &DARK)] {
            let grounds = [
                ("page", p.page),
                ("sheet", p.sheet),
                ("stripe", p.stripe),
                ("field", p.field),
                ("chosen", p.chosen),
            ];
            let inks = [
                ("ink", p.ink),
                ("soft", p.soft),
                ("accent", p.accent),
                ("hot", p.hot),
                ("cool", p.cool),
                ("wall", p.wall),
                ("pressure", p.pressure),
                ("good", p.good),
                ("warn", p.warn),
                ("bad", p.bad),
            ];
            for (ground_name, ground) in grounds {
                for (ink_name, ink) in inks {
                    let ratio = contrast(ink, ground);
                    assert!(ratio >= 4.5, "{theme}: {ink_name} on {ground_name} is {ratio:.2}");
                }
            }
            assert!(
                contrast(p.warn, p.warn_ground) >= 4.5,
                "{theme}: {:.2}",
                contrast(p.warn, p.warn_ground)
            );
            assert!(contrast(p.bad, p.bad_ground) >= 4.5, "{theme}: {:.2}", contrast(p.bad, p.bad_ground));
        }
    }

    /// Success criterion 1.4.11 asks for 3 to 1 for the outline of what can be operated.
    #[test]
    fn outlines_are_visible() {
        for (theme, p) in [("light", &LIGHT), ("dark", &DARK)] {
            for ground in [p.sheet, p.field] {
                let ratio = contrast(p.outline, ground);
                assert!(ratio >= 3.0, "{theme}: outline on {ground:?} is {ratio:.2}");
            }
        }
    }
}
