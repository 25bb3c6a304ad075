//! The curves of a chart, and the lines they are told apart by.

use egui::Color32;
use egui_plot::{FilledArea, HLine, Line, LineStyle, MarkerShape, PlotPoints, PlotUi, Points};

use super::data::{Chart, ChartStyle};
use crate::look::Palette;

/// The line of the n-th curve: colour, style and width. The first six differ in each of them, so that they can be told
/// apart without seeing colours; no two of the first thirty-six are the same.
pub(crate) fn ink(colors: &Palette, index: usize) -> (Color32, LineStyle, f32) {
    let inks = [colors.accent, colors.hot, colors.pressure, colors.wall, colors.cool, colors.soft];
    let (style, width) = match index % 6 {
        0 => (LineStyle::Solid, 1.6),
        1 => (LineStyle::Dashed { length: 12.0 }, 1.8),
        2 => (LineStyle::Dotted { spacing: 6.0 }, 1.4),
        3 => (LineStyle::Solid, 3.0),
        4 => (LineStyle::Dashed { length: 5.0 }, 1.8),
        _ => (LineStyle::Dotted { spacing: 10.0 }, 2.0),
    };
    (inks[(index + index / inks.len()) % inks.len()], style, width)
}

/// The same for a drawing: colour, width, and lengths of dashes and gaps.
pub(super) fn stroke(colors: &Palette, index: usize) -> (Color32, f32, &'static str) {
    let (color, _, width) = ink(colors, index);
    let dashes = match index % 6 {
        0 | 3 => "",
        1 => "12 7",
        2 => "1.5 4.5",
        4 => "5 4",
        _ => "2 8",
    };
    (color, width, dashes)
}

/// The line of another case: finer and thinner than any of [`ink`], in the colour of the curve it belongs to.
const BENEATH: LineStyle = LineStyle::Dashed { length: 2.5 };

/// The points of a curve that can be told apart on a screen: samples that crowd around a switch would give joints without a
/// direction. A jump keeps both of its ends.
fn apart(points: &[[f64; 2]], (width, height): (f64, f64)) -> Vec<[f64; 2]> {
    /// Pixels between points that are kept.
    const NEAR: f64 = 0.6;
    let mut kept: Vec<[f64; 2]> = Vec::with_capacity(points.len());
    for point in points {
        let is_far = kept.last().is_none_or(|last| {
            let (across, up) = ((point[0] - last[0]) / width, (point[1] - last[1]) / height);
            across.hypot(up) >= NEAR
        });
        if is_far {
            kept.push(*point);
        }
    }
    kept
}

/// A curve drawn through all its points. Bands, which the plot takes for crowded points, would fill the way up to a jump.
fn curve<'a>(name: impl Into<String>, points: Vec<[f64; 2]>) -> Line<'a> {
    Line::new(name, PlotPoints::from(points)).allow_band(false)
}

pub(super) fn curves(plot: &mut PlotUi<'_>, chart: &Chart, pixel: (f64, f64), colors: &Palette) {
    if chart.shape == ChartStyle::Stacked {
        for (index, (lower, upper)) in chart.stacked().into_iter().enumerate() {
            let xs: Vec<f64> = upper.points.iter().map(|point| point[0]).collect();
            let edge = |points: &[[f64; 2]]| points.iter().map(|point| point[1]).collect::<Vec<f64>>();
            let (color, ..) = ink(colors, index);
            let area = FilledArea::new(&upper.name, &xs, &edge(&lower.points), &edge(&upper.points));
            plot.add(area.fill_color(color.gamma_multiply(0.55)));
            plot.line(curve(upper.name, apart(&upper.points, pixel)).color(color).width(1.0));
        }
    } else {
        for (index, series) in chart.series.iter().enumerate() {
            let (color, style, width) = ink(colors, index);
            let points = apart(&series.points, pixel);
            plot.line(curve(&series.name, points).color(color).style(style).width(width));
        }
    }
    for series in chart.beneath.iter().flat_map(|beneath| &beneath.series) {
        // The sum of another case has the colour of the topmost area.
        let partner = chart.series.iter().position(|own| own.name == series.name);
        let color = ink(colors, partner.unwrap_or(chart.series.len().saturating_sub(1))).0;
        let points = apart(&series.points, pixel);
        plot.line(curve(&series.name, points).color(color).style(BENEATH).width(1.0));
    }
    for limit in &chart.limits {
        let line = HLine::new(&limit.name, limit.value).color(colors.bad).width(1.2);
        plot.hline(line.style(LineStyle::Dashed { length: 5.0 }));
    }
    for mark in &chart.marks {
        // What was measured is a small ring, so that the state of the case is found among it.
        let points = Points::new(&mark.name, vec![mark.at]).color(colors.ink);
        plot.points(if mark.name.is_empty() {
            points.shape(MarkerShape::Circle).radius(3.5).filled(false)
        } else {
            points.shape(MarkerShape::Diamond).radius(6.0)
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::look;

    /// Ten seconds on 100 pixels: 0.1 s a pixel; 1 kW a pixel upwards.
    #[test]
    fn crowded_samples_are_drawn_once_and_a_jump_keeps_its_ends() {
        let points = [
            [0.0, 3.0],
            [1.0, 3.0],
            [1.0, 118.0],
            [1.0001, 118.1],
            [1.01, 118.2],
            [10.0, 118.2],
            [10.0, 118.2],
        ];
        let drawn = apart(&points, (0.1, 1.0));
        assert_eq!(drawn, [[0.0, 3.0], [1.0, 3.0], [1.0, 118.0], [10.0, 118.2]]);
    }

    #[test]
    fn no_two_curves_of_a_chart_look_alike() {
        let all: Vec<String> = (0..36).map(|index| format!("{:?}", ink(&look::LIGHT, index))).collect();
        assert_eq!(all.iter().collect::<std::collections::BTreeSet<_>>().len(), all.len());
        let lines: Vec<String> = (0..6)
            .map(|index| format!("{:?}{}", ink(&look::LIGHT, index).1, ink(&look::LIGHT, index).2))
            .collect();
        assert_eq!(lines.iter().collect::<std::collections::BTreeSet<_>>().len(), 6, "also without colours");
    }
}
