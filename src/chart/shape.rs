//! The smallest pieces of a picture: text, segments, strokes, marks.

use svg::node::element::{Circle, Element, Line, Polygon, Polyline, Text};

use super::area::Point;
use super::{Ink, Shape, Stroke};

/// Type size of the headline.
pub(super) const LARGE: f64 = 18.0;
/// Type size of notes, legend and axis labels.
pub(super) const MEDIUM: f64 = 13.0;
/// Type size of ticks and of names within the frame.
pub(super) const SMALL: f64 = 12.0;
/// Colour of text.
pub(super) const TEXT_INK: &str = "#222222";
/// Half the width of a marked point.
const MARK: f64 = 5.5;

/// Text on one line, anchored at `start`, `middle` or `end`.
pub(super) fn text((x, y): Point, words: &str, anchor: &str) -> Text {
    Text::new(clean(words))
        .set("x", round(x))
        .set("y", round(y))
        .set("text-anchor", anchor)
}

/// Without the characters that XML cannot carry.
pub(crate) fn clean(words: &str) -> String {
    let barred = |c: char| {
        (c.is_control() && !c.is_whitespace())
            || matches!(c, '\u{b}' | '\u{c}' | '\u{85}' | '\u{fffe}' | '\u{ffff}')
    };
    words.replace(barred, "\u{fffd}")
}

/// Width of a text, on the wide side: the reader's face is not known.
pub(super) fn width(words: &str, size: f64) -> f64 {
    let per_sign = |c: char| match c {
        'i' | 'j' | 'l' | 'I' | '.' | ',' | ':' | ';' | '\'' | '|' | ' ' | '(' | ')' => 0.36,
        'm' | 'w' | 'M' | 'W' | '%' | '\u{2212}' => 0.9,
        c if c >= '\u{1100}' => 1.0,
        _ => 0.62,
    };
    size * words.chars().map(per_sign).sum::<f64>()
}

/// Rows of words, each within the width unless a single word is wider.
pub(super) fn wrapped(words: &str, room: f64, size: f64) -> Vec<String> {
    let mut rows: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match rows.last_mut() {
            Some(row) if width(row, size) + width(word, size) + 0.4 * size <= room => {
                row.push(' ');
                row.push_str(word);
            }
            _ => rows.push(word.to_owned()),
        }
    }
    rows
}

/// Two decimals, so that the text is short and the same everywhere.
pub(super) fn round(value: f64) -> f64 {
    // Adding zero turns -0 into 0.
    (value * 100.0).round() / 100.0 + 0.0
}

pub(super) fn path(points: &[Point]) -> String {
    let pairs: Vec<_> = points
        .iter()
        .map(|&(x, y)| format!("{},{}", round(x), round(y)))
        .collect();
    pairs.join(" ")
}

pub(super) fn segment(from: Point, to: Point) -> Line {
    Line::new()
        .set("x1", round(from.0))
        .set("y1", round(from.1))
        .set("x2", round(to.0))
        .set("y2", round(to.1))
}

/// A line of the chart.
pub(super) fn stroked(points: &[Point], ink: Ink, stroke: Stroke) -> Polyline {
    let line = Polyline::new()
        .set("points", path(points))
        .set("fill", "none")
        .set("stroke", color(ink))
        .set("stroke-linejoin", "round");
    match stroke {
        Stroke::Solid => line.set("stroke-width", 2.25),
        Stroke::Dashed => line
            .set("stroke-width", 1.75)
            .set("stroke-dasharray", "9 5"),
        Stroke::Dotted => line
            .set("stroke-width", 1.25)
            .set("stroke-dasharray", "2 4"),
        Stroke::Thin => line.set("stroke-width", 1.25),
    }
}

/// The inside of a band: pale.
pub(super) fn filled(points: &[Point], ink: Ink) -> Polygon {
    Polygon::new()
        .set("points", path(points))
        .set("fill", color(ink))
        .set("fill-opacity", 0.14)
}

/// The edge of a band: thin, so that it survives a copier.
pub(super) fn rim(points: &[Point], ink: Ink) -> Polyline {
    Polyline::new()
        .set("points", path(points))
        .set("fill", "none")
        .set("stroke", color(ink))
        .set("stroke-opacity", 0.45)
        .set("stroke-width", 0.75)
        .set("stroke-linejoin", "round")
}

/// The band of a single point: an upright bar between its two ends.
pub(super) fn bar(from: Point, to: Point, ink: Ink) -> Line {
    segment(from, to)
        .set("stroke", color(ink))
        .set("stroke-width", 1.25)
}

/// A marked point, with a white rim that parts it from the line below.
pub(super) fn mark((x, y): Point, shape: Shape, ink: Ink) -> Element {
    let corners = |steps: &[Point]| -> Element {
        let points: Vec<_> = steps
            .iter()
            .map(|(dx, dy)| (x + MARK * dx, y + MARK * dy))
            .collect();
        Polygon::new().set("points", path(&points)).into()
    };
    let circle = |radius: f64| {
        Circle::new()
            .set("cx", round(x))
            .set("cy", round(y))
            .set("r", radius)
    };
    let mut element: Element = match shape {
        Shape::Ring => {
            let ring = circle(MARK - 0.5)
                .set("fill", "#ffffff")
                .set("stroke", color(ink));
            return ring.set("stroke-width", 2.25).into();
        }
        Shape::Disc => circle(MARK).into(),
        Shape::Square => corners(&[(-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)]),
        Shape::Diamond => corners(&[(0.0, -1.25), (1.25, 0.0), (0.0, 1.25), (-1.25, 0.0)]),
        Shape::Triangle => corners(&[(0.0, -1.2), (1.1, 0.8), (-1.1, 0.8)]),
        Shape::Pointer => corners(&[(0.0, 1.0), (-0.9, -0.7), (0.9, -0.7)]),
    };
    for (name, value) in [
        ("fill", color(ink)),
        ("stroke", "#ffffff"),
        ("stroke-width", "1"),
    ] {
        svg::Node::assign(&mut element, name, value);
    }
    element
}

pub(super) fn color(ink: Ink) -> &'static str {
    match ink {
        Ink::Black => "#000000",
        Ink::Blue => "#0072b2",
        Ink::Vermilion => "#d55e00",
        Ink::Green => "#009e73",
        Ink::Purple => "#cc79a7",
        Ink::Grey => "#8a8a8a",
    }
}
