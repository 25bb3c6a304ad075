//! What is painted on screen as a drawing: the shapes of the window library written as SVG.

use std::fmt::Write as _;

use eframe::egui::epaint::{ClippedShape, Shape, TextShape};
use eframe::egui::{Color32, Pos2, Rect, Stroke};

/// A part of the screen as SVG, in the colours on screen.
pub(super) fn svg_of(shapes: &[ClippedShape], place: Rect, ground: Color32, title: &str) -> String {
    let mut text = String::new();
    let (size, from) = (place.size(), place.min);
    let _infallible = writeln!(
        text,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{:.0}\" height=\"{:.0}\" viewBox=\"{:.1} {:.1} {:.1} {:.1}\" \
         font-family=\"sans-serif\">\n<title>{}</title>\n<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" {}/>",
        size.x,
        size.y,
        from.x,
        from.y,
        size.x,
        size.y,
        escaped(title),
        from.x,
        from.y,
        size.x,
        size.y,
        fill(ground)
    );
    for shape in shapes.iter().filter(|shape| shape.clip_rect.intersects(place)) {
        let is_inside = place.intersects(shape.shape.visual_bounding_rect());
        // what a scrolled area hides is not drawn
        if is_inside && shape.clip_rect.intersects(shape.shape.visual_bounding_rect()) {
            write_shape(&mut text, &shape.shape);
        }
    }
    text.push_str("</svg>\n");
    text
}

fn write_shape(text: &mut String, shape: &Shape) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| write_shape(text, shape)),
        Shape::Circle(circle) => {
            let _infallible = writeln!(
                text,
                "<circle cx=\"{:.2}\" cy=\"{:.2}\" r=\"{:.2}\" {} {}/>",
                circle.center.x,
                circle.center.y,
                circle.radius,
                fill(circle.fill),
                outline(circle.stroke)
            );
        }
        Shape::LineSegment { points, stroke } => {
            let [from, to] = points;
            let _infallible = writeln!(
                text,
                "<line x1=\"{:.2}\" y1=\"{:.2}\" x2=\"{:.2}\" y2=\"{:.2}\" {}/>",
                from.x,
                from.y,
                to.x,
                to.y,
                outline(*stroke)
            );
        }
        Shape::Path(path) => {
            let color = match path.stroke.color {
                eframe::egui::epaint::ColorMode::Solid(color) => color,
                eframe::egui::epaint::ColorMode::UV(_) => Color32::TRANSPARENT,
            };
            let stroke = Stroke::new(path.stroke.width, color);
            write_line(text, &path.points, path.closed, path.fill, stroke);
        }
        Shape::Rect(rect) => {
            let _infallible = writeln!(
                text,
                "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\" rx=\"{}\" {} {}/>",
                rect.rect.left(),
                rect.rect.top(),
                rect.rect.width(),
                rect.rect.height(),
                rect.corner_radius.nw,
                fill(rect.fill),
                outline(rect.stroke)
            );
        }
        Shape::Text(shape) => write_words(text, shape),
        Shape::Mesh(mesh) => {
            for corners in mesh.indices.chunks_exact(3) {
                let corner =
                    |index: u32| mesh.vertices.get(index as usize).map(|vertex| (vertex.pos, vertex.color));
                if let (Some((a, color)), Some((b, _)), Some((c, _))) =
                    (corner(corners[0]), corner(corners[1]), corner(corners[2]))
                {
                    write_line(text, &[a, b, c], true, color, Stroke::NONE);
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

fn write_line(text: &mut String, points: &[Pos2], is_closed: bool, ground: Color32, stroke: Stroke) {
    let element = if is_closed { "polygon" } else { "polyline" };
    let _infallible = write!(text, "<{element} points=\"");
    for point in points {
        let _infallible = write!(text, "{:.2},{:.2} ", point.x, point.y);
    }
    let _infallible = writeln!(text, "\" {} {}/>", fill(ground), outline(stroke));
}

/// Words row by row, each piece of one format by itself, as wide as on screen whatever font the reader has.
fn write_words(text: &mut String, shape: &TextShape) {
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
            let width = last.pos.x + last.advance_width - first.pos.x;
            let _infallible = writeln!(
                text,
                "<text x=\"{:.2}\" y=\"{:.2}\" font-size=\"{}\" textLength=\"{width:.2}\" lengthAdjust=\"spacingAndGlyphs\" {}>{}</text>",
                at.x,
                at.y,
                format.map_or(12.0, |format| format.font_id.size),
                fill(color.gamma_multiply(shape.opacity_factor)),
                escaped(&words)
            );
        }
    }
}

fn fill(color: Color32) -> String {
    if color.a() == 0 {
        return "fill=\"none\"".to_owned();
    }
    let [r, g, b, a] = color.to_srgba_unmultiplied();
    let through =
        if a == 255 { String::new() } else { format!(" fill-opacity=\"{:.3}\"", f32::from(a) / 255.0) };
    format!("fill=\"#{r:02x}{g:02x}{b:02x}\"{through}")
}

fn outline(stroke: Stroke) -> String {
    if stroke.width <= 0.0 || stroke.color.a() == 0 {
        return String::new();
    }
    let [r, g, b, a] = stroke.color.to_srgba_unmultiplied();
    let through =
        if a == 255 { String::new() } else { format!(" stroke-opacity=\"{:.3}\"", f32::from(a) / 255.0) };
    format!("stroke=\"#{r:02x}{g:02x}{b:02x}\" stroke-width=\"{}\"{through}", stroke.width)
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::{CornerRadius, epaint::RectShape, pos2};

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
