//! Writes the elements of an SVG, every number with the same two decimals.

use std::fmt::Write as _;

use crate::label::{Anchor, Label};
use crate::tokens::{FONT_FAMILY, HAIRLINE, LINE_WIDTH, Palette, WIDTH};
use crate::words::clean;

/// How a shape is drawn: its fill, and its outline with width.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Paint<'a> {
    pub(crate) fill: Option<&'a str>,
    pub(crate) stroke: Option<(&'a str, f64)>,
}

impl<'a> Paint<'a> {
    pub(crate) fn fill(colour: &'a str) -> Self {
        Self {
            fill: Some(colour),
            stroke: None,
        }
    }

    /// Filled, with an edge of a colour and width.
    pub(crate) fn edged(fill: &'a str, colour: &'a str, width: f64) -> Self {
        Self {
            fill: Some(fill),
            stroke: Some((colour, width)),
        }
    }

    pub(crate) fn stroke(colour: &'a str, width: f64) -> Self {
        Self {
            fill: None,
            stroke: Some((colour, width)),
        }
    }
}

/// The body of an SVG while it is written, and the colours it is drawn in.
#[derive(Debug)]
pub(crate) struct Canvas {
    body: String,
    pub(crate) palette: &'static Palette,
}

impl Canvas {
    pub(crate) fn new(palette: &'static Palette) -> Self {
        Self {
            body: String::new(),
            palette,
        }
    }

    pub(crate) fn rectangle(&mut self, corner: (f64, f64), size: (f64, f64), paint: Paint<'_>) {
        let (x, y) = (number(corner.0), number(corner.1));
        let (width, height) = (number(size.0), number(size.1));
        self.element(&format!(
            r#"<rect x="{x}" y="{y}" width="{width}" height="{height}"{}/>"#,
            attributes(paint)
        ));
    }

    pub(crate) fn circle(&mut self, centre: (f64, f64), radius: f64, paint: Paint<'_>) {
        let (x, y, r) = (number(centre.0), number(centre.1), number(radius));
        self.element(&format!(
            r#"<circle cx="{x}" cy="{y}" r="{r}"{}/>"#,
            attributes(paint)
        ));
    }

    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), colour: &str, width: f64) {
        self.curve([from, to], colour, width);
    }

    /// A line of an axis or frame.
    pub(crate) fn axis_line(&mut self, from: (f64, f64), to: (f64, f64)) {
        self.line(from, to, self.palette.axis, LINE_WIDTH);
    }

    /// A line of the grid.
    pub(crate) fn grid_line(&mut self, from: (f64, f64), to: (f64, f64)) {
        self.line(from, to, self.palette.grid, HAIRLINE);
    }

    /// A polyline; fewer than two points draw nothing.
    pub(crate) fn curve(
        &mut self,
        points: impl IntoIterator<Item = (f64, f64)>,
        colour: &str,
        width: f64,
    ) {
        let points: Vec<(f64, f64)> = points.into_iter().collect();
        self.path(&points, false, Paint::stroke(colour, width));
    }

    /// A polyline in dashes, as for what is a bound and no estimate.
    pub(crate) fn dashed_curve(
        &mut self,
        points: impl IntoIterator<Item = (f64, f64)>,
        colour: &str,
        width: f64,
    ) {
        let points: Vec<(f64, f64)> = points.into_iter().collect();
        let data = drawn(&points, false);
        self.element(&format!(
            r#"<path d="{data}" stroke-dasharray="6 5"{}/>"#,
            attributes(Paint::stroke(colour, width))
        ));
    }

    /// The area between two sides that run the same way.
    pub(crate) fn area(
        &mut self,
        side: impl Iterator<Item = (f64, f64)>,
        other: impl DoubleEndedIterator<Item = (f64, f64)>,
        paint: Paint<'_>,
    ) {
        let outline: Vec<(f64, f64)> = side.chain(other.rev()).collect();
        self.polygon(&outline, paint);
    }

    /// A polygon; fewer than two corners draw nothing.
    pub(crate) fn polygon(&mut self, corners: &[(f64, f64)], paint: Paint<'_>) {
        self.path(corners, true, paint);
    }

    fn path(&mut self, points: &[(f64, f64)], closed: bool, paint: Paint<'_>) {
        if points.len() < 2 {
            return;
        }
        let data = drawn(points, closed);
        self.element(&format!(r#"<path d="{data}"{}/>"#, attributes(paint)));
    }

    /// Polygons filled as one by the non-zero rule, with a line around the whole that lies below the fill.
    pub(crate) fn polygons(
        &mut self,
        polygons: &[Vec<(f64, f64)>],
        fill: &str,
        (around, width): (&str, f64),
    ) {
        let data: String = polygons
            .iter()
            .map(|polygon| drawn(polygon, true))
            .collect();
        if data.is_empty() {
            return;
        }
        let paint = Paint::edged(fill, around, width);
        self.element(&format!(
            r#"<path d="{data}" paint-order="stroke"{}/>"#,
            attributes(paint)
        ));
    }

    /// A line of text.
    pub(crate) fn text(&mut self, label: &Label, colour: &str) {
        self.turned_text(label, colour, "");
    }

    /// A line of text that matters.
    pub(crate) fn ink_text(
        &mut self,
        anchor: Anchor,
        at: (f64, f64),
        size: f64,
        text: impl Into<String>,
    ) {
        self.text(&Label::new(anchor, at, size, text), self.palette.ink);
    }

    /// A line of any other text.
    pub(crate) fn quiet_text(
        &mut self,
        anchor: Anchor,
        at: (f64, f64),
        size: f64,
        text: impl Into<String>,
    ) {
        let label = Label::new(anchor, at, size, text);
        self.text(&label, self.palette.quiet_ink);
    }

    /// Text that reads upwards, turned about its own anchor.
    pub(crate) fn upward_text(&mut self, label: &Label, colour: &str) {
        let turn = format!(
            r#" transform="rotate(-90 {} {})""#,
            number(label.at.0),
            number(label.at.1)
        );
        self.turned_text(label, colour, &turn);
    }

    fn turned_text(&mut self, label: &Label, colour: &str, turn: &str) {
        let anchor = match label.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let [x, y, size] = [label.at.0, label.at.1, label.size].map(number);
        self.element(&format!(
            r#"<text x="{x}" y="{y}" font-size="{size}" text-anchor="{anchor}" fill="{colour}"{turn}>{}</text>"#,
            escaped(&label.text)
        ));
    }

    /// Starts a group; `name` is its class, for those who restyle or read the picture.
    pub(crate) fn open_group(&mut self, name: &str) {
        self.element(&format!(r#"<g class="{name}">"#));
    }

    pub(crate) fn close_group(&mut self) {
        self.element("</g>");
    }

    /// Adds all of `other`, drawn later.
    pub(crate) fn append(&mut self, other: &Self) {
        self.body.push_str(&other.body);
    }

    /// The whole SVG, 900 units wide, on the background. `title` and `description` are for screen readers.
    pub(crate) fn finish_page(self, height: f64, title: &str, description: &str) -> String {
        let size = (WIDTH, height);
        let mut page = Self::new(self.palette);
        page.rectangle((0.0, 0.0), size, Paint::fill(self.palette.background));
        page.append(&self);
        page.finish(size, &clean(title), description)
    }

    /// The whole SVG. `title` and `description` are for screen readers.
    pub(crate) fn finish(self, size: (f64, f64), title: &str, description: &str) -> String {
        let (width, height) = (number(size.0), number(size.1));
        let mut svg = String::with_capacity(self.body.len() + 512);
        // Writing to a String cannot fail.
        let _ = writeln!(
            svg,
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}" role="img" font-family="{FONT_FAMILY}">"#
        );
        let _ = writeln!(svg, "<title>{}</title>", escaped(title));
        let _ = writeln!(svg, "<desc>{}</desc>", escaped(description));
        svg.push_str(&self.body);
        svg.push_str("</svg>\n");
        svg
    }

    fn element(&mut self, element: &str) {
        self.body.push_str(element);
        self.body.push('\n');
    }
}

fn drawn(points: &[(f64, f64)], closed: bool) -> String {
    let mut data = String::new();
    for (index, (x, y)) in points.iter().enumerate() {
        let letter = if index == 0 { "M" } else { "L" };
        data.push_str(letter);
        data.push_str(&number(*x));
        data.push(' ');
        data.push_str(&number(*y));
    }
    if closed {
        data.push('Z');
    }
    data
}

fn attributes(paint: Paint<'_>) -> String {
    let fill = paint.fill.unwrap_or("none");
    let stroke = paint.stroke.map_or_else(String::new, |(colour, width)| {
        let width = number(width);
        format!(r#" stroke="{colour}" stroke-width="{width}" stroke-linejoin="round""#)
    });
    format!(r#" fill="{fill}"{stroke}"#)
}

/// Two decimals, and no minus before zero.
fn number(value: f64) -> String {
    let written = format!("{value:.2}");
    if written == "-0.00" {
        "0.00".to_owned()
    } else {
        written
    }
}

/// Text between tags: nothing in it is markup, steers a terminal or is forbidden in XML.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in evenhand_text::clean(text).chars() {
        match character {
            '\u{fffe}' | '\u{ffff}' => safe.push('\u{fffd}'),
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            other => safe.push(other),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_between_tags_is_plain() {
        assert_eq!(
            escaped("<a & \"b\"> \u{1b}[31m\u{202e}\u{ffff}"),
            "&lt;a &amp; &quot;b&quot;&gt; \u{fffd}[31m\u{fffd}\u{fffd}"
        );
    }

    #[test]
    fn numbers_have_two_decimals() {
        assert_eq!(number(1.0 / 3.0), "0.33", "third");
        assert_eq!(number(-0.001), "0.00", "no minus zero");
        assert_eq!(number(-0.126), "-0.13", "minus");
    }
}
