//! A chart as a file: numbers for a spreadsheet, or a drawing for a report. Both are made from the data of the chart, in light colours
//! whatever the window shows.

mod numbers;

pub(crate) use numbers::csv;

use egui::{Button, Color32, Context, Id, Rect, RichText, Role, Theme, Ui, WidgetInfo};

use report::svg::{Canvas, Svg};

use super::curves::stroke;
use super::data::{Chart, ChartStyle, SUM};
use super::labels::decimals;
use crate::clock::clock;
use crate::look;
use crate::views::figure::number;
use crate::views::loops::ticks;
use crate::views::time::clock_ticks;

/// A chart that the user wants as a file.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WantedChart {
    /// The chart.
    pub(crate) chart: Chart,
    /// Whether its abscissa is time.
    pub(crate) is_time: bool,
    /// Abscissas that are in view.
    pub(crate) range: (f64, f64),
    /// Where it stands on screen, in points.
    pub(crate) place: Rect,
}

/// A figure that the user wants as a file.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum WantedFigure {
    /// A chart, made from its data.
    Chart(Box<WantedChart>),
    /// A part of a page, as it is painted; its numbers are those of the table of the page.
    Painted {
        /// What it shows.
        title: String,
        /// Where it stands on screen, in points.
        place: Rect,
    },
}

impl WantedFigure {
    /// What it shows.
    pub(crate) fn title(&self) -> &str {
        match self {
            Self::Chart(wanted) => &wanted.chart.title,
            Self::Painted { title, .. } => title,
        }
    }

    /// Where it stands on screen, in points.
    pub(crate) fn place(&self) -> Rect {
        match self {
            Self::Chart(wanted) => wanted.place,
            Self::Painted { place, .. } => *place,
        }
    }
}

/// Under which a wanted chart waits for the window: a chart does not see the commands of its page.
fn wanted_id() -> Id {
    Id::unique("wanted chart")
}

/// Asks the window to write a figure into a file.
pub(crate) fn want(ctx: &Context, wanted: WantedFigure) {
    ctx.data_mut(|data| data.insert_temp(wanted_id(), Some(wanted)));
}

/// The figure that was asked for since the last frame.
pub(crate) fn take_wanted(ctx: &Context) -> Option<WantedFigure> {
    ctx.data_mut(|data| data.remove_temp::<Option<WantedFigure>>(wanted_id())).flatten()
}

/// A figure that was asked for while part of it was out of sight.
#[derive(Debug, Clone, PartialEq)]
struct OnItsWay {
    title: String,
    /// Where it stood in the frame before.
    place: Rect,
    /// The pass in which it was seen last.
    pass: u64,
}

/// Whether a figure that stands at `place` is to be taken now. One that was asked for while part of it was out of sight is brought
/// into sight first, and taken when it stands still: a picture shows what is on screen.
pub(crate) fn is_due(ui: &Ui, title: &str, is_asked: bool, place: Rect) -> bool {
    if is_asked && ui.clip_rect().contains_rect(place) {
        return true;
    }
    let (ctx, id, pass) = (ui.ctx(), Id::unique("figure on its way"), ui.ctx().cumulative_pass_nr());
    let seen = OnItsWay { title: title.to_owned(), place, pass };
    if is_asked {
        ui.scroll_to_rect(place, None);
        ctx.data_mut(|data| data.insert_temp(id, OnItsWay { place: Rect::NOTHING, ..seen }));
        ctx.request_repaint();
        return false;
    }
    let Some(before) = ctx.data(|data| data.get_temp::<OnItsWay>(id)).filter(|b| b.title == title) else {
        return false;
    };
    let is_still = before.place == place;
    // what was left alone for a while is not wanted any more
    let is_over = is_still || before.pass + 2 < pass;
    ctx.data_mut(|data| {
        if is_over {
            data.remove::<OnItsWay>(id);
        } else {
            data.insert_temp(id, seen);
        }
    });
    if !is_over {
        ctx.request_repaint();
    }
    is_still
}

/// The button that asks for a figure; whether it was pressed.
pub(crate) fn save_figure_ui(ui: &mut Ui, title: &str) -> bool {
    let colors = look::palette(ui);
    let button = Button::new(RichText::new("Save figure").small().color(colors.accent)).frame(false);
    let response = ui.add(button);
    let spoken = format!("Save figure: {title}");
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
    response
        .on_hover_text("Write this into a file: .svg a drawing, .png a picture, .csv its numbers")
        .clicked()
}

/// A file name made from the title: small letters and digits, with a hyphen between words.
pub(crate) fn suggested_name(title: &str) -> String {
    let plain: String =
        title.chars().map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { ' ' }).collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    if words.is_empty() { "chart".to_owned() } else { words.join("-") }
}

/// Size of the drawing and its margins: left, top, right (names of curves), bottom.
const SIZE: (f64, f64) = (960.0, 480.0);
const MARGINS: (f64, f64, f64, f64) = (64.0, 40.0, 250.0, 44.0);
const ROW: f64 = 18.0;

/// From values to the drawing.
struct Frame {
    x: (f64, f64),
    y: (f64, f64),
}

impl Frame {
    fn place(&self, point: [f64; 2]) -> (f64, f64) {
        let (left, top, right, bottom) = MARGINS;
        let share = |value: f64, (low, high): (f64, f64)| (value - low) / (high - low).max(f64::MIN_POSITIVE);
        let width = SIZE.0 - left - right;
        let height = SIZE.1 - top - bottom;
        (left + width * share(point[0], self.x), top + height * (1.0 - share(point[1], self.y)))
    }
}

/// The drawing as SVG: what is in view, with axes, limits, and the names of the curves.
pub(crate) fn svg(wanted: &WantedChart) -> String {
    let chart = &wanted.chart;
    let colors = look::of_theme(Theme::Light);
    let frame = Frame { x: wanted.range, y: chart.y_span(wanted.range) };
    let sheet = Canvas { size: SIZE, corner: (0.0, 0.0), decimals: 0, font_size: Some(12.0) };
    let mut svg = Svg::new(&chart.title, sheet);
    svg.shape("rect").plain("width", SIZE.0).plain("height", SIZE.1).fill(rgba(colors.sheet)).end();
    let title =
        if chart.unit.is_empty() { chart.title.clone() } else { format!("{}, {}", chart.title, chart.unit) };
    draw_text(&mut svg, (MARGINS.0, 24.0), "start", colors.ink, &title);
    axes(&mut svg, wanted, &frame);
    let (left, top, right, bottom) = MARGINS;
    svg.shape("clipPath").word("id", "frame").holding_shapes();
    let inside = svg.shape("rect").plain("x", left).plain("y", top);
    inside.plain("width", SIZE.0 - left - right).plain("height", SIZE.1 - top - bottom).end();
    svg.close();
    svg.shape("g").word("clip-path", "url(#frame)").word("fill", "none").holding_shapes();
    curves(&mut svg, chart, &frame);
    for limit in &chart.limits {
        let ends = [[wanted.range.0, limit.value], [wanted.range.1, limit.value]];
        polyline(&mut svg, &frame, &ends, colors.bad, 1.2, "5 3");
    }
    for mark in &chart.marks {
        let (x, y) = frame.place(mark.at);
        let (left, right, above, below) = (x - 6.0, x + 6.0, y - 6.0, y + 6.0);
        let around = format!("M{left:.1} {y:.1}L{x:.1} {above:.1}L{right:.1} {y:.1}L{x:.1} {below:.1}Z");
        svg.shape("path").word("d", &around).fill(rgba(colors.ink)).end();
    }
    svg.close();
    names(&mut svg, chart);
    svg.finish()
}

fn axes(svg: &mut Svg, wanted: &WantedChart, frame: &Frame) {
    let colors = look::of_theme(Theme::Light);
    let y_marks = ticks(frame.y.0, frame.y.1, 8);
    let x_marks =
        if wanted.is_time { clock_ticks(frame.x.0, frame.x.1, 8) } else { ticks(frame.x.0, frame.x.1, 8) };
    for mark in &y_marks {
        let ends = [[frame.x.0, *mark], [frame.x.1, *mark]];
        polyline(svg, frame, &ends, colors.rule, 1.0, "");
        let (x, y) = frame.place(ends[0]);
        draw_text(svg, (x - 6.0, y + 4.0), "end", colors.soft, &number(*mark, decimals(&y_marks)));
    }
    for mark in &x_marks {
        let ends = [[*mark, frame.y.0], [*mark, frame.y.1]];
        polyline(svg, frame, &ends, colors.rule, 1.0, "");
        let (x, y) = frame.place(ends[0]);
        let label = if wanted.is_time { clock(*mark) } else { number(*mark, decimals(&x_marks)) };
        draw_text(svg, (x, y + 16.0), "middle", colors.soft, &label);
    }
    let (x, y) = frame.place([frame.x.1, frame.y.0]);
    let unit = if wanted.is_time { "time" } else { &wanted.chart.x_unit };
    draw_text(svg, (x, y + 32.0), "end", colors.soft, unit);
}

fn curves(svg: &mut Svg, chart: &Chart, frame: &Frame) {
    let colors = look::of_theme(Theme::Light);
    if chart.shape == ChartStyle::Stacked {
        for (index, (lower, upper)) in chart.stacked().into_iter().enumerate() {
            let (color, ..) = stroke(colors, index);
            let outline: Vec<[f64; 2]> =
                upper.points.iter().copied().chain(lower.points.iter().rev().copied()).collect();
            let area = svg.shape("polygon").points(places(frame, &outline));
            area.fill(rgba(color)).number("fill-opacity", 0.55, 2).end();
            polyline(svg, frame, &upper.points, color, 1.0, "");
        }
    } else {
        for (index, series) in chart.series.iter().enumerate() {
            let (color, width, dashes) = stroke(colors, index);
            polyline(svg, frame, &series.points, color, width, dashes);
        }
    }
    for series in chart.beneath.iter().flat_map(|beneath| &beneath.series) {
        let partner = chart.series.iter().position(|own| own.name == series.name);
        let (color, ..) = stroke(colors, partner.unwrap_or(chart.series.len().saturating_sub(1)));
        polyline(svg, frame, &series.points, color, 1.0, "2.5 2.5");
    }
}

/// The list of curves and limits right of the frame.
fn names(svg: &mut Svg, chart: &Chart) {
    let colors = look::of_theme(Theme::Light);
    let x = SIZE.0 - MARGINS.2 + 16.0;
    let mut y = MARGINS.1 + 6.0;
    let mut line = |color: Color32, width: f32, dashes: &str, name: &str| {
        let sample = svg.shape("line").plain("x1", x).plain("y1", y).plain("x2", x + 22.0).plain("y2", y);
        dashed(sample.stroke(rgba(color), width), dashes).end();
        draw_text(svg, (x + 28.0, y + 4.0), "start", colors.ink, name);
        y += ROW;
    };
    for (index, series) in chart.series.iter().enumerate() {
        let (color, width, dashes) = stroke(colors, index);
        line(color, width, if chart.shape == ChartStyle::Stacked { "" } else { dashes }, &series.name);
    }
    for limit in &chart.limits {
        let name = format!("{}: {}", limit.name, number(limit.value, chart.decimals));
        line(colors.bad, 1.2, "5 3", &name);
    }
    if let Some(beneath) = &chart.beneath {
        let what = if chart.shape == ChartStyle::Stacked { format!("{SUM}, ") } else { String::new() };
        line(colors.soft, 1.0, "2.5 2.5", &format!("{what}{}", beneath.name));
    }
}

fn places<'p>(frame: &'p Frame, all: &'p [[f64; 2]]) -> impl Iterator<Item = (f64, f64)> + 'p {
    all.iter().filter(|point| point[0].is_finite() && point[1].is_finite()).map(|point| frame.place(*point))
}

fn polyline(svg: &mut Svg, frame: &Frame, all: &[[f64; 2]], color: Color32, width: f32, dashes: &str) {
    let line = svg.shape("polyline").points(places(frame, all)).word("fill", "none");
    dashed(line.stroke(rgba(color), width), dashes).end();
}

fn dashed<'s>(line: report::svg::OpenTag<'s>, dashes: &str) -> report::svg::OpenTag<'s> {
    if dashes.is_empty() { line } else { line.word("stroke-dasharray", dashes) }
}

fn draw_text(svg: &mut Svg, (x, y): (f64, f64), anchor: &str, color: Color32, content: &str) {
    let text = svg.shape("text").number("x", x, 1).number("y", y, 1).word("text-anchor", anchor);
    text.fill(rgba(color)).holding(content);
}

fn rgba(color: Color32) -> [u8; 4] {
    color.to_srgba_unmultiplied()
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::views::chart::{Beneath, Limit, Series};

    pub(in super::super) fn wanted() -> WantedChart {
        let series = |name: &str, points: &[[f64; 2]]| Series { name: name.into(), points: points.to_vec() };
        let chart = Chart {
            title: "Motors & <inverters>".into(),
            unit: "degC".into(),
            decimals: 1,
            series: vec![
                series("winding, left", &[[0.0, 20.0], [10.0, 40.0], [10.0, 50.0], [20.0, 60.0]]),
                series("rotor", &[[0.0, 20.0], [20.0, 30.0]]),
            ],
            limits: vec![Limit { name: "winding".into(), value: 80.0, is_minimum: false }],
            beneath: Some(Beneath {
                name: "cold".into(),
                series: vec![series("rotor", &[[0.0, 0.0], [10.0, 10.0]])],
            }),
            ..Chart::default()
        };
        WantedChart { chart, is_time: true, range: (0.0, 20.0), place: Rect::NOTHING }
    }

    /// Frame from 64 to 960 - 250 = 710: half-way is 387. Values from 0 to 80 with 7 % room on either side.
    #[test]
    fn the_drawing_is_well_formed_and_puts_points_where_they_belong() {
        let text = svg(&wanted());
        assert!(text.starts_with("<svg ") && text.ends_with("</svg>\n"));
        assert!(text.contains("Motors &amp; &lt;inverters&gt;, degC"), "{text}");
        let opened = text.matches('<').count();
        assert_eq!(opened, text.matches('>').count());
        for element in ["polyline", "text", "rect"] {
            let begun = text.matches(&format!("<{element} ")).count();
            assert!(begun > 0, "{element}");
        }
        assert_eq!(text.matches("<g ").count(), text.matches("</g>").count());
        assert_eq!(text.matches("<text ").count(), text.matches("</text>").count());
        assert!(text.contains(" 387.00,"), "the middle of the time lies in the middle of the frame: {text}");
        assert!(text.contains("winding, left") && text.contains("winding: 80.0") && text.contains(">cold<"));
    }

    #[test]
    fn names_of_files_are_plain() {
        assert_eq!(suggested_name("Motors & <inverters>"), "motors-inverters");
        assert_eq!(suggested_name("..."), "chart");
    }
}
