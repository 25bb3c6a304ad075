//! What is painted on screen as a drawing: the shapes of the window library written as SVG.

use egui::epaint::{ClippedShape, ColorMode, Shape, TextShape};
use egui::{Color32, Pos2, Rect, Stroke};
use report::svg::{Canvas, Svg};

/// A part of the screen as SVG, in the colours on screen.
pub(super) fn svg_of(shapes: &[ClippedShape], place: Rect, ground: Color32, title: &str) -> String {
    let (size, from) = (place.size(), place.min);
    let sheet = Canvas {
        size: (size.x.into(), size.y.into()),
        corner: (from.x.into(), from.y.into()),
        decimals: 1,
        font_size: None,
    };
    let mut svg = Svg::new(title, sheet);
    let back = svg.shape("rect").number("x", from.x, 1).number("y", from.y, 1);
    back.number("width", size.x, 1).number("height", size.y, 1).fill(rgba(ground)).end();
    for shape in shapes.iter().filter(|shape| shape.clip_rect.intersects(place)) {
        let is_inside = place.intersects(shape.shape.visual_bounding_rect());
        // what a scrolled area hides is not drawn
        if is_inside && shape.clip_rect.intersects(shape.shape.visual_bounding_rect()) {
            draw(&mut svg, &shape.shape);
        }
    }
    svg.finish()
}

fn draw(svg: &mut Svg, shape: &Shape) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| draw(svg, shape)),
        Shape::Circle(circle) => {
            let shape = svg.shape("circle").number("cx", circle.center.x, 2).number("cy", circle.center.y, 2);
            let shape = shape.number("r", circle.radius, 2).fill(rgba(circle.fill));
            shape.stroke(rgba(circle.stroke.color), circle.stroke.width).end();
        }
        Shape::LineSegment { points: [from, to], stroke } => {
            let line = svg.shape("line").number("x1", from.x, 2).number("y1", from.y, 2);
            let line = line.number("x2", to.x, 2).number("y2", to.y, 2);
            line.stroke(rgba(stroke.color), stroke.width).end();
        }
        Shape::Path(path) => {
            let color = match path.stroke.color {
                ColorMode::Solid(color) => color,
                ColorMode::UV(_) => Color32::TRANSPARENT,
            };
            draw_line(svg, &path.points, path.closed, path.fill, Stroke::new(path.stroke.width, color));
        }
        Shape::Rect(shape) => {
            let rect = shape.rect;
            let drawn = svg.shape("rect").number("x", rect.left(), 2).number("y", rect.top(), 2);
            let drawn = drawn.number("width", rect.width(), 2).number("height", rect.height(), 2);
            let drawn = drawn.plain("rx", shape.corner_radius.nw).fill(rgba(shape.fill));
            drawn.stroke(rgba(shape.stroke.color), shape.stroke.width).end();
        }
        Shape::Text(shape) => draw_words(svg, shape),
        Shape::Mesh(mesh) => {
            for corners in mesh.indices.chunks_exact(3) {
                let corner =
                    |index: u32| mesh.vertices.get(index as usize).map(|vertex| (vertex.pos, vertex.color));
                if let (Some((a, color)), Some((b, _)), Some((c, _))) =
                    (corner(corners[0]), corner(corners[1]), corner(corners[2]))
                {
                    draw_line(svg, &[a, b, c], true, color, Stroke::NONE);
                }
            }
        }
        // none of the pages paints these
        Shape::Noop
        | Shape::Ellipse(_)
        | Shape::Band(_)
        | Shape::QuadraticBezier(_)
        | Shape::CubicBezier(_)
        | Shape::Callback(_) => {}
    }
}

fn draw_line(svg: &mut Svg, points: &[Pos2], is_closed: bool, ground: Color32, stroke: Stroke) {
    let line = svg.shape(if is_closed { "polygon" } else { "polyline" });
    let line = line.points(points.iter().map(|point| (point.x.into(), point.y.into())));
    line.fill(rgba(ground)).stroke(rgba(stroke.color), stroke.width).end();
}

/// Words row by row, each piece of one format by itself, as wide as on screen whatever font the reader has.
fn draw_words(svg: &mut Svg, shape: &TextShape) {
    let sections = &shape.galley.job.sections;
    let mut byte = 0;
    for row in &shape.galley.rows {
        let mut glyphs = Vec::new();
        for glyph in &row.row.glyphs {
            let section = sections.iter().position(|section| byte < section.byte_range.end.0);
            glyphs.push((section.or(sections.len().checked_sub(1)), glyph));
            byte += glyph.chr.len_utf8();
        }
        byte += usize::from(row.ends_with_newline);
        for piece in glyphs.chunk_by(|a, b| a.0 == b.0) {
            let (Some((section, first)), Some((_, last))) = (piece.first(), piece.last()) else { continue };
            let words: String = piece.iter().map(|(_, glyph)| glyph.chr).collect();
            if words.trim().is_empty() {
                continue;
            }
            let format = section.and_then(|section| sections.get(section)).map(|section| &section.format);
            let own = format.map_or(Color32::PLACEHOLDER, |format| format.color);
            let color = shape.override_text_color.unwrap_or(own);
            let color = if color == Color32::PLACEHOLDER { shape.fallback_color } else { color };
            let at = shape.pos + row.pos.to_vec2() + first.pos.to_vec2();
            let text = svg.shape("text").number("x", at.x, 2).number("y", at.y, 2);
            let text = text.plain("font-size", format.map_or(12.0, |format| format.font_id.size));
            let text = text.number("textLength", last.pos.x + last.advance_width - first.pos.x, 2);
            let text = text.word("lengthAdjust", "spacingAndGlyphs");
            text.fill(rgba(color.gamma_multiply(shape.opacity_factor))).holding(&words);
        }
    }
}

fn rgba(color: Color32) -> [u8; 4] {
    color.to_srgba_unmultiplied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{CornerRadius, epaint::RectShape, pos2};

    #[test]
    fn shapes_in_sight_are_drawn_with_their_colours_and_others_are_not() {
        let all = Rect::from_min_max(pos2(0.0, 0.0), pos2(200.0, 100.0));
        let clipped = |shape: Shape| ClippedShape::new(all, shape);
        let bar = |left: f32| {
            let rect = Rect::from_min_max(pos2(left, 10.0), pos2(left + 20.0, 20.0));
            Shape::Rect(RectShape::filled(rect, CornerRadius::ZERO, Color32::from_rgb(1, 2, 255)))
        };
        let line =
            Shape::line_segment([pos2(10.0, 30.0), pos2(60.0, 30.0)], Stroke::new(2.0, Color32::BLACK));
        let place = Rect::from_min_max(pos2(5.0, 5.0), pos2(105.0, 55.0));
        let text =
            svg_of(&[clipped(bar(10.0)), clipped(bar(150.0)), clipped(line)], place, Color32::WHITE, "a < b");
        assert!(
            text.contains("viewBox=\"5.0 5.0 100.0 50.0\"") && text.contains("<title>a &lt; b</title>"),
            "{text}"
        );
        assert!(text.contains(
            "<rect x=\"10.00\" y=\"10.00\" width=\"20.00\" height=\"10.00\" rx=\"0\" fill=\"#0102ff\""
        ));
        assert!(!text.contains("x=\"150.00\""), "it lies outside");
        assert!(text.contains("<line x1=\"10.00\" y1=\"30.00\" x2=\"60.00\" y2=\"30.00\" stroke=\"#000000\" stroke-width=\"2\"/>"));
        assert_eq!(text.matches('<').count(), text.matches('>').count());
    }
}
