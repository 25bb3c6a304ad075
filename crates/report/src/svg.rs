//! Shapes as the text of an SVG drawing. Every drawing of the program is written here, and text is escaped here alone.

use std::fmt::Write as _;

/// Red, green, blue and opacity, of 255 each; the colours are not multiplied by the opacity.
pub type Color = [u8; 4];

/// A drawing in the making.
#[derive(Debug)]
pub struct Svg {
    text: String,
    open: Vec<&'static str>,
}

/// Measures of a drawing, in its own lengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Canvas {
    /// Width and height.
    pub size: (f64, f64),
    /// Abscissa and ordinate of the upper left corner.
    pub corner: (f64, f64),
    /// Digits behind the point of these measures.
    pub decimals: usize,
    /// Size of text that says nothing else.
    pub font_size: Option<f64>,
}

impl Svg {
    /// An empty drawing.
    pub fn new(title: &str, sheet: Canvas) -> Self {
        let mut svg = Self { text: String::new(), open: Vec::new() };
        let (digits, (x, y), (width, height)) = (sheet.decimals, sheet.corner, sheet.size);
        let view = format!("{x:.digits$} {y:.digits$} {width:.digits$} {height:.digits$}");
        let root = svg.shape("svg").word("xmlns", "http://www.w3.org/2000/svg");
        let root = root.number("width", width, 0).number("height", height, 0);
        let mut root = root.word("viewBox", &view).word("font-family", "sans-serif");
        if let Some(size) = sheet.font_size {
            root = root.plain("font-size", size);
        }
        root.holding_shapes();
        svg.shape("title").holding(title);
        svg
    }

    /// Begins a shape.
    pub fn shape(&mut self, name: &'static str) -> OpenTag<'_> {
        self.text.push('<');
        self.text.push_str(name);
        OpenTag { svg: self, name }
    }

    /// Ends the group that was begun last.
    pub fn close(&mut self) {
        if let Some(name) = self.open.pop() {
            self.put(format_args!("</{name}>\n"));
        }
    }

    /// The text of the drawing, with every group ended.
    pub fn finish(mut self) -> String {
        while !self.open.is_empty() {
            self.close();
        }
        self.text
    }

    fn put(&mut self, what: std::fmt::Arguments<'_>) {
        self.text.write_fmt(what).expect("a text takes whatever is written into it");
    }
}

/// A shape whose attributes are being written.
#[derive(Debug)]
#[must_use = "a shape must be ended"]
pub struct OpenTag<'s> {
    svg: &'s mut Svg,
    name: &'static str,
}

impl OpenTag<'_> {
    /// An attribute that is a number with so many digits behind the point.
    pub fn number(self, name: &str, value: impl Into<f64>, decimals: usize) -> Self {
        self.svg.put(format_args!(" {name}=\"{:.decimals$}\"", value.into()));
        self
    }

    /// An attribute that is a number with the digits that it needs.
    pub fn plain(self, name: &str, value: impl std::fmt::Display) -> Self {
        self.svg.put(format_args!(" {name}=\"{value}\""));
        self
    }

    /// An attribute that is a word.
    pub fn word(self, name: &str, value: &str) -> Self {
        self.svg.put(format_args!(" {name}=\"{}\"", escaped(value)));
        self
    }

    /// The corners of a line or an area; those that are no numbers are left out.
    pub fn points(self, points: impl IntoIterator<Item = (f64, f64)>) -> Self {
        self.svg.text.push_str(" points=\"");
        let mut gap = "";
        for (x, y) in points.into_iter().filter(|(x, y)| x.is_finite() && y.is_finite()) {
            self.svg.put(format_args!("{gap}{x:.2},{y:.2}"));
            gap = " ";
        }
        self.svg.text.push('"');
        self
    }

    /// What it is filled with.
    pub fn fill(self, color: Color) -> Self {
        if color[3] == 0 {
            self.word("fill", "none")
        } else {
            self.hue("fill", color).opacity("fill", color[3])
        }
    }

    /// Its outline; none where it has no width or cannot be seen.
    pub fn stroke(self, color: Color, width: impl Into<f64> + std::fmt::Display + Copy) -> Self {
        if width.into() <= 0.0 || color[3] == 0 {
            return self;
        }
        self.hue("stroke", color).plain("stroke-width", width).opacity("stroke", color[3])
    }

    fn hue(self, name: &str, [r, g, b, _]: Color) -> Self {
        self.plain(name, format_args!("#{r:02x}{g:02x}{b:02x}"))
    }

    fn opacity(self, name: &str, opacity: u8) -> Self {
        if opacity == 255 {
            return self;
        }
        self.number(&format!("{name}-opacity"), f64::from(opacity) / 255.0, 3)
    }

    /// Ends the shape.
    pub fn end(self) {
        self.svg.text.push_str("/>\n");
    }

    /// Ends a shape that holds text.
    pub fn holding(self, content: &str) {
        let (name, content) = (self.name, escaped(content));
        self.svg.put(format_args!(">{content}</{name}>\n"));
    }

    /// Begins a group: what follows stands in it until [`Svg::close`].
    pub fn holding_shapes(self) {
        self.svg.text.push_str(">\n");
        self.svg.open.push(self.name);
    }
}

/// A text as it may stand in a drawing: no markup, and nothing that XML forbids.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\t' | '\n' | '\r' => safe.push(character),
            '\u{0}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => safe.push(char::REPLACEMENT_CHARACTER),
            _ => safe.push(character),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawing_is_well_formed_whatever_its_words_are() {
        let sheet = Canvas { size: (20.0, 10.0), corner: (0.5, 0.0), decimals: 1, font_size: Some(12.0) };
        let mut svg = Svg::new("a < \"b\" & \u{1b}", sheet);
        svg.shape("g").word("id", "a\"b").holding_shapes();
        svg.shape("line").number("x1", 1.0, 2).stroke([0, 1, 255, 255], 1.5_f32).end();
        svg.shape("polygon").points([(0.0, 1.0), (f64::NAN, 2.0), (3.0, 4.0)]).fill([1, 2, 3, 51]).end();
        svg.shape("rect").fill([1, 2, 3, 0]).stroke([0; 4], 1.0).end();
        svg.shape("text").holding("</text>");
        assert_eq!(
            svg.finish(),
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"20\" height=\"10\" viewBox=\"0.5 0.0 20.0 10.0\" \
             font-family=\"sans-serif\" font-size=\"12\">\n\
             <title>a &lt; &quot;b&quot; &amp; \u{fffd}</title>\n\
             <g id=\"a&quot;b\">\n\
             <line x1=\"1.00\" stroke=\"#0001ff\" stroke-width=\"1.5\"/>\n\
             <polygon points=\"0.00,1.00 3.00,4.00\" fill=\"#010203\" fill-opacity=\"0.200\"/>\n\
             <rect fill=\"none\"/>\n\
             <text>&lt;/text&gt;</text>\n\
             </g>\n</svg>\n"
        );
    }
}
