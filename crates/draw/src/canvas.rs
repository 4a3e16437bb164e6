//! The paper: lines, shapes and words as SVG text, in black, white and grey only.

use std::fmt::Write;

/// A point on the paper, px, y downwards.
pub(crate) type Point = [f64; 2];

/// Farthest coordinate that is written, px; a plan that is out of all proportion stays readable text.
const FARTHEST_PX: f64 = 99_999.0;
/// Pulls exact halves off the rounding edge, so that noise in the last bits never shows.
const TIE_NUDGE: f64 = 1e-6;

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Pen {
    /// Carton board, and frames of the same weight.
    Board,
    /// The edge of a hard part.
    Hard,
    /// The outside of a wrap.
    Wrap,
    /// Dimensions, leaders, table rules.
    Fine,
    /// The axis of a lying round part.
    Centre,
    /// The line to cut the carton at.
    Cut,
    /// The carton's wall before it was cut.
    Ghost,
    /// Lines of an axis's ticks across a chart.
    Grid,
    /// What joins the medians of a chart.
    Guide,
    /// A median.
    Median,
    /// A price that is asked or needed.
    Price,
    /// No line.
    Bare,
}

impl Pen {
    const fn attributes(self) -> &'static str {
        match self {
            Self::Board => r##"stroke="#000" stroke-width="1.2""##,
            Self::Hard => r##"stroke="#000" stroke-width="1.6""##,
            Self::Wrap => r##"stroke="#444" stroke-width="0.9" stroke-dasharray="5 3""##,
            Self::Fine => r##"stroke="#000" stroke-width="0.8""##,
            Self::Centre => r##"stroke="#555" stroke-width="0.7" stroke-dasharray="9 2 2 2""##,
            Self::Cut => r##"stroke="#000" stroke-width="2.2" stroke-dasharray="12 4 3 4""##,
            Self::Ghost => r##"stroke="#666" stroke-width="1" stroke-dasharray="2 3""##,
            Self::Grid => r##"stroke="#ccc" stroke-width="0.8""##,
            Self::Guide => r##"stroke="#666" stroke-width="1""##,
            Self::Median => r##"stroke="#000" stroke-width="2.2""##,
            Self::Price => r##"stroke="#000" stroke-width="1.2" stroke-dasharray="10 3 2 3""##,
            Self::Bare => r##"stroke="none""##,
        }
    }
}

/// What a closed shape is filled with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Paint {
    /// Nothing: what lies beneath shows.
    Clear,
    /// White.
    White,
    /// Black.
    Black,
    /// Light grey.
    Grey,
    /// The lightest grey.
    Pale,
    /// Slanted lines, light, on a chart.
    LightHatch,
    /// Slanted lines.
    Hatch,
    /// Fine dots.
    Dots,
}

impl Paint {
    const fn attribute(self) -> &'static str {
        match self {
            Self::Clear => r##"fill="none""##,
            Self::White => r##"fill="#fff""##,
            Self::Black => r##"fill="#000""##,
            Self::Grey => r##"fill="#ccc""##,
            Self::Pale => r##"fill="#eee""##,
            Self::LightHatch => r##"fill="url(#chart-hatch)""##,
            Self::Hatch => r##"fill="url(#parcel-hatch)""##,
            Self::Dots => r##"fill="url(#parcel-dots)""##,
        }
    }
}

/// Which end of a line of words stands at its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// Lettering: size in px, weight, and where it hangs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lettering {
    /// Font size, px.
    pub size: f64,
    /// Whether it is bold.
    pub bold: bool,
    /// Where it hangs.
    pub anchor: Anchor,
}

impl Lettering {
    /// Smallest lettering used: about 8 points when the drawing fills a letter page's width.
    pub const SMALL: Self = Self { size: 12.0, bold: false, anchor: Anchor::Start };
    /// Running words.
    pub const BODY: Self = Self { size: 13.0, ..Self::SMALL };
    /// Headings of views.
    pub const HEAD: Self = Self { size: 15.0, bold: true, ..Self::SMALL };
    /// The title.
    pub const TITLE: Self = Self { size: 20.0, bold: true, ..Self::SMALL };

    /// The same, bold.
    pub const fn bold(self) -> Self {
        Self { bold: true, ..self }
    }
    /// The same, hung by its middle.
    pub const fn middle(self) -> Self {
        Self { anchor: Anchor::Middle, ..self }
    }
    /// The same, hung by its end.
    pub const fn end(self) -> Self {
        Self { anchor: Anchor::End, ..self }
    }
}

/// A coordinate with one decimal; what is not a number becomes 0.
pub(crate) fn coordinate(value: f64) -> String {
    let value = if value.is_nan() { 0.0 } else { value.clamp(-FARTHEST_PX, FARTHEST_PX) };
    let tenths = (value * 10.0 + TIE_NUDGE).round();
    if tenths == 0.0 {
        return "0".to_owned();
    }
    let text = format!("{:.1}", tenths / 10.0);
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// Words made safe inside XML: markup escaped, characters that XML 1.0 forbids shown as U+FFFD.
pub(crate) fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            other => out.push(other),
        }
    }
    out
}

/// The patterns that a parcel's drawing fills shapes with.
const PARCEL_PATTERNS: &str = r##"<defs>
<pattern id="parcel-hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="5" height="5" fill="#fff"/><line x1="0" y1="0" x2="0" y2="5" stroke="#000" stroke-width="2"/></pattern>
<pattern id="parcel-dots" width="8" height="8" patternUnits="userSpaceOnUse"><circle cx="2" cy="2" r="0.8" fill="#777"/><circle cx="6" cy="6" r="0.8" fill="#777"/></pattern>
</defs>"##;
/// The pattern that a chart fills shapes with.
const CHART_PATTERNS: &str = r##"<defs>
<pattern id="chart-hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="5" height="5" fill="#fff"/><line x1="0" y1="0" x2="0" y2="5" stroke="#777" stroke-width="1.6"/></pattern>
</defs>"##;

fn pair([x, y]: Point) -> String {
    format!("{},{}", coordinate(x), coordinate(y))
}

/// A drawing in the making.
#[derive(Debug, Default)]
pub(crate) struct Canvas {
    body: String,
}

impl Canvas {
    fn push(&mut self, element: &str) {
        self.body.push_str(element);
        self.body.push('\n');
    }

    /// Opens a named part of the drawing (`name` is one of our own words, never a person's).
    pub(crate) fn open(&mut self, name: &str) {
        self.push(&format!(r#"<g data-view="{}">"#, escaped(name)));
    }

    /// Opens one marked thing of a chart, with the words that a pointer resting on it brings up, if any.
    ///
    /// `name` is one of our own words and `which` its place or size; `strength` is its opacity, 0 to 1.
    pub(crate) fn open_mark(&mut self, name: &str, which: usize, strength: f64, words: &str) {
        // Two decimals tell weights apart that one would not.
        let strength = if strength.is_nan() { 0.0 } else { strength.clamp(0.0, 1.0) };
        let opacity = if strength < 1.0 { format!(r#" opacity="{strength:.2}""#) } else { String::new() };
        let title =
            if words.is_empty() { String::new() } else { format!("<title>{}</title>", escaped(words)) };
        self.push(&format!(r#"<g data-{name}="{which}"{opacity}>{title}"#));
    }

    /// Closes the part opened last.
    pub(crate) fn close(&mut self) {
        self.push("</g>");
    }

    /// A straight line.
    pub(crate) fn line(&mut self, from: Point, to: Point, pen: Pen) {
        let [x1, y1, x2, y2] = [from[0], from[1], to[0], to[1]].map(coordinate);
        self.push(&format!(r#"<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}" {}/>"#, pen.attributes()));
    }

    /// An open line through points.
    pub(crate) fn polyline(&mut self, points: &[Point], pen: Pen) {
        let list: Vec<String> = points.iter().copied().map(pair).collect();
        self.push(&format!(r#"<polyline points="{}" fill="none" {}/>"#, list.join(" "), pen.attributes()));
    }

    /// A closed polygon.
    pub(crate) fn polygon(&mut self, points: &[Point], pen: Pen, paint: Paint) {
        let list: Vec<String> = points.iter().copied().map(pair).collect();
        let (stroke, fill) = (pen.attributes(), paint.attribute());
        self.push(&format!(r#"<polygon points="{}" {fill} {stroke}/>"#, list.join(" ")));
    }

    /// A circle.
    pub(crate) fn circle(&mut self, centre: Point, radius: f64, pen: Pen, paint: Paint) {
        let [cx, cy, r] = [centre[0], centre[1], radius.max(0.0)].map(coordinate);
        let (stroke, fill) = (pen.attributes(), paint.attribute());
        self.push(&format!(r#"<circle cx="{cx}" cy="{cy}" r="{r}" {fill} {stroke}/>"#));
    }

    /// An upright rectangle between two opposite corners.
    pub(crate) fn rectangle(&mut self, one: Point, other: Point, pen: Pen, paint: Paint) {
        let (left, top) = (one[0].min(other[0]), one[1].min(other[1]));
        let (width, height) = ((one[0] - other[0]).abs(), (one[1] - other[1]).abs());
        let [x, y, width, height] = [left, top, width, height].map(coordinate);
        let (stroke, fill) = (pen.attributes(), paint.attribute());
        self.push(&format!(r#"<rect x="{x}" y="{y}" width="{width}" height="{height}" {fill} {stroke}/>"#));
    }

    fn letter(&mut self, at: Point, lettering: Lettering, more: &str, words: &str) {
        let [x, y, size] = [at[0], at[1], lettering.size].map(coordinate);
        let anchor = match lettering.anchor {
            Anchor::Start => "",
            Anchor::Middle => r#" text-anchor="middle""#,
            Anchor::End => r#" text-anchor="end""#,
        };
        let weight = if lettering.bold { r#" font-weight="bold""# } else { "" };
        let words = escaped(words);
        self.push(&format!(
            r#"<text x="{x}" y="{y}" font-size="{size}"{weight}{anchor}{more}>{words}</text>"#
        ));
    }

    /// One line of words with its baseline at `at`.
    pub(crate) fn words(&mut self, at: Point, lettering: Lettering, words: &str) {
        self.letter(at, lettering, "", words);
    }

    /// One line of words that reads upwards, its baseline at `at`.
    pub(crate) fn words_upwards(&mut self, at: Point, lettering: Lettering, words: &str) {
        let more = format!(r#" transform="rotate(-90 {} {})""#, coordinate(at[0]), coordinate(at[1]));
        self.letter(at, lettering, &more, words);
    }

    /// The number of a bundle in its circle.
    pub(crate) fn number(&mut self, centre: Point, radius: f64, number: u32) {
        self.circle(centre, radius, Pen::Board, Paint::White);
        let size = if number > 99 { radius } else { radius * 1.25 };
        let lettering = Lettering { size, bold: true, anchor: Anchor::Middle };
        let more = format!(r#" data-bundle="{number}""#);
        self.letter([centre[0], centre[1] + size * 0.36], lettering, &more, &number.to_string());
    }

    /// The whole parcel drawing as a standalone document of this size, px.
    pub(crate) fn finish(self, size: Point, title: &str, description: &str) -> String {
        self.document(size, title, description, PARCEL_PATTERNS)
    }

    /// The whole chart as a standalone document of this size, px.
    pub(crate) fn finish_chart(self, size: Point, title: &str, description: &str) -> String {
        self.document(size, title, description, CHART_PATTERNS)
    }

    fn document(self, [width, height]: Point, title: &str, description: &str, patterns: &str) -> String {
        let [width, height] = [width, height].map(|side| coordinate(side.ceil()));
        let (title, description) = (escaped(title), escaped(description));
        let mut out = String::with_capacity(self.body.len() + 1500);
        // Writing to a String cannot fail.
        let _ = write!(
            out,
            r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" role="img" font-family="sans-serif" fill="#000">
<title>{title}</title>
<desc>{description}</desc>
{patterns}
<rect width="{width}" height="{height}" fill="#fff"/>
"##
        );
        out.push_str(&self.body);
        out.push_str("</svg>\n");
        out
    }
}

#[cfg(test)]
mod tests {
    use super::{Canvas, Lettering, coordinate, escaped};

    #[test]
    fn coordinates_have_at_most_one_decimal_and_are_always_numbers() {
        for (value, text) in [
            (1.0, "1"),
            (-0.01, "0"),
            (2.25, "2.3"),
            (2.25 - 1e-12, "2.3"),
            (-3.12, "-3.1"),
            (f64::NAN, "0"),
            (f64::INFINITY, "99999"),
        ] {
            assert_eq!(coordinate(value), text);
        }
    }

    #[test]
    fn markup_and_forbidden_characters_are_made_safe() {
        assert_eq!(escaped("a<b> & \"c\" 'd'"), "a&lt;b&gt; &amp; &quot;c&quot; &#39;d&#39;");
        assert_eq!(escaped("bell\u{7}\u{0}\nnext"), "bell\u{fffd}\u{fffd} next");
    }

    #[test]
    fn a_title_cannot_close_its_element() {
        let mut canvas = Canvas::default();
        canvas.words([1.0, 2.0], Lettering::BODY, "</text><b>");
        let svg = canvas.finish([10.0, 10.0], "</title><x>", "]]>");
        assert!(!svg.contains("<x>") && !svg.contains("<b>") && !svg.contains("]]>"));
    }
}
