//! From a [`Chart`] to the text of an SVG document.

use svg::node::element::{Description, Group, Rectangle, Title};
use svg::{Document, Node};

use super::area::{Area, Point};
use super::head::Head;
use super::place::{Ground, Wish};
use super::scale::Scale;
use super::shape::{
    LARGE, MEDIUM, SMALL, TEXT_INK, bar, clean, filled, mark, rim, round, segment, stroked, text,
    width,
};
use super::{Axis, Chart, Frame, Ink, Label, Shape};

/// How large a picture is.
pub(super) struct Size {
    width: f64,
    height: f64,
    /// The frame is never lower than this, however much is named above it.
    least_frame: f64,
    /// Steps of the horizontal axis, about.
    steps: u32,
}

/// For a page or a screen.
pub(super) const WIDE: Size = Size {
    width: 800.0,
    height: 500.0,
    least_frame: 280.0,
    steps: 8,
};
/// For a phone, held upright.
pub(super) const NARROW: Size = Size {
    width: 380.0,
    height: 440.0,
    least_frame: 270.0,
    steps: 4,
};
/// For a column of a page that says in its own words what is shown.
pub(super) const PANEL_SIZE: Size = Size {
    width: 460.0,
    height: 330.0,
    least_frame: 220.0,
    steps: 5,
};
/// Colours of the ground, the grid, the axes and the threads from names to marks.
pub(super) const GROUND: &str = "#ffffff";
pub(super) const GRID: &str = "#d9d9d9";
pub(super) const RULE: &str = "#444444";
pub(super) const THREAD: &str = "#666666";
const EDGE: f64 = 16.0;
/// Beyond every picture.
const FAR: f64 = 1e6;
/// Room for the piece of a line before its name.
const KEY: f64 = 19.0;
/// Height of a name.
const ROW: f64 = 1.25 * SMALL;

/// Draws a chart whose numbers have been checked.
pub(super) fn document(chart: &Chart, size: &Size) -> String {
    framed(chart, size).0
}

/// The same with its frame.
pub(super) fn framed(chart: &Chart, size: &Size) -> (String, Frame) {
    let x = scale(&chart.x, values(chart, &chart.x, |p| p.0), size.steps);
    let y = scale(&chart.y, values(chart, &chart.y, |p| p.1), 6);
    let left = EDGE + 1.4 * MEDIUM + 8.0 + tick_width(&y) + 10.0;
    let right = size.width - EDGE - 12.0;
    let head = head(chart, (left, right));
    let top = head.bottom + 12.0;
    let height = size.height.max(top + size.least_frame + FOOT);
    let panel = Panel {
        chart,
        x: &x,
        y: &y,
        frame: Area {
            left,
            top,
            right,
            bottom: height - FOOT,
        },
        x_named: true,
        y_beside: true,
    };
    let page = page((size.width, height), chart).add(head.group);
    let own = panel.frame;
    let frame = Frame {
        size: [size.width, round(height)],
        across: [own.left, own.right],
        up: [own.bottom, own.top],
        x: [x.low(), x.high()],
        y: [y.low(), y.high()],
    };
    (closed(page, panel.drawn()), frame)
}

/// Panels one below the other over the hours of a day, with what happens at some of them.
pub(super) struct Stack<'a> {
    /// The panels; the first has the headline, the notes, the description and the legend of all.
    pub panels: &'a [Chart],
    /// Hours that are marked above the first panel.
    pub marked: &'a [f64],
}

/// Draws panels whose numbers have been checked.
pub(super) fn stacked(stack: &Stack, size: &Size) -> String {
    const NAME: f64 = 1.5 * MEDIUM;
    const ABOVE: f64 = 13.0;
    const BETWEEN: f64 = 12.0;
    let Some(first) = stack.panels.first() else {
        return String::new();
    };
    let x = Scale::hours(size.steps);
    let scaled = |chart: &Chart| scale(&chart.y, values(chart, &chart.y, |p| p.1), 5);
    let scales: Vec<Scale> = stack.panels.iter().map(scaled).collect();
    let left = EDGE + scales.iter().map(tick_width).fold(0.0, f64::max) + 10.0;
    let right = size.width - EDGE - 12.0;
    let head = head(first, (left, right));
    let mut top = head.bottom + 10.0;
    let mut groups = Vec::new();
    let mut words = Group::new().set("fill", TEXT_INK).set("font-size", MEDIUM);
    for (n, (chart, y)) in stack.panels.iter().zip(&scales).enumerate() {
        top += NAME;
        words = words.add(text((left, top - 6.0), &chart.y.label, "start"));
        if n == 0 && !stack.marked.is_empty() {
            top += ABOVE;
        }
        let frame = Area {
            left,
            top,
            right,
            bottom: top + PANEL,
        };
        if n == 0 {
            let place = |hour: &f64| (left + (right - left) * x.share(*hour), top - 6.0);
            let marks = stack.marked.iter().map(place);
            groups.push(marks.fold(Group::new(), |group, at| {
                group.add(mark(at, Shape::Pointer, Ink::Black))
            }));
        }
        let panel = Panel {
            chart,
            x: &x,
            y,
            frame,
            x_named: n + 1 == stack.panels.len(),
            y_beside: false,
        };
        let [behind @ .., names] = panel.drawn();
        groups.extend(behind);
        // Where lines lie close a name must cross one: a rim keeps it legible.
        let names = names.set("stroke", GROUND).set("stroke-width", 3);
        groups.push(names.set("paint-order", "stroke"));
        top = frame.bottom + BETWEEN;
    }
    let height = top - BETWEEN + FOOT;
    let page = page((size.width, height), first).add(head.group).add(words);
    closed(page, groups)
}

/// Room under the frame for ticks and label of the horizontal axis.
const FOOT: f64 = 58.0;
/// Height of each of several frames.
const PANEL: f64 = 165.0;

fn tick_width(y: &Scale) -> f64 {
    let ticks = y.ticks().into_iter();
    ticks
        .map(|(_, text)| width(&text, SMALL))
        .fold(0.0, f64::max)
}

/// Headline, notes and legend.
fn head(chart: &Chart, (left, right): (f64, f64)) -> Head {
    let mut head = Head {
        left,
        right,
        bottom: EDGE,
        group: Group::new().set("fill", TEXT_INK),
    };
    head.paragraph(&chart.title, LARGE, true);
    for note in &chart.notes {
        head.paragraph(note, MEDIUM, false);
    }
    head.legend(chart);
    head
}

/// An empty page with its title and description.
fn page((width, height): (f64, f64), chart: &Chart) -> Document {
    Document::new()
        .set("viewBox", format!("0 0 {} {}", width, round(height)))
        .set("width", width)
        .set("height", round(height))
        .set("style", "max-width:100%;height:auto")
        .set("role", "img")
        .set("font-family", "sans-serif")
        .add(Title::new(clean(&chart.title)))
        .add(Description::new().add(svg::node::Text::new(clean(&description(chart)))))
        .add(
            Rectangle::new()
                .set("width", width)
                .set("height", round(height))
                .set("fill", GROUND),
        )
}

/// The text of a page with the last groups on it.
fn closed(page: Document, groups: impl IntoIterator<Item = Group>) -> String {
    let mut text = groups.into_iter().fold(page, Document::add).to_string();
    text.push('\n');
    text
}

/// A frame with a chart in it.
struct Panel<'a> {
    chart: &'a Chart,
    x: &'a Scale,
    y: &'a Scale,
    frame: Area,
    /// Whether the horizontal axis has its numbers and its name under it.
    x_named: bool,
    /// Whether the name of the vertical axis stands beside it.
    y_beside: bool,
}

impl Panel<'_> {
    /// Its pieces, what lies behind first.
    fn drawn(&self) -> [Group; 6] {
        let (chart, frame) = (self.chart, self.frame);
        let at = |(a, b): (f64, f64)| -> Point {
            (
                frame.left + (frame.right - frame.left) * self.x.share(a),
                frame.bottom - (frame.bottom - frame.top) * self.y.share(b),
            )
        };
        let mut ground = Ground {
            frame,
            lines: vec![],
            edges: vec![],
            marks: vec![],
            places: vec![],
        };
        let (bands, bars) = bands(chart, &mut ground, at);
        let mut lines = Group::new();
        for line in &chart.lines {
            let corners: Vec<_> = line.points.iter().copied().map(at).collect();
            if !corners.is_empty() {
                lines = lines.add(stroked(&corners, line.ink, line.stroke));
            }
            ground.lines.push(corners);
        }
        let mut marks = Group::new();
        for series in &chart.marks {
            for &point in &series.points {
                marks = marks.add(mark(at(point), series.shape, series.ink));
                ground.marks.push(at(point));
            }
        }
        let names = names(chart, &mut ground, at);
        [bands, self.axes(at), lines, bars, marks, names]
    }
    /// Grid, ticks and labels of both axes.
    fn axes(&self, at: impl Fn((f64, f64)) -> Point) -> Group {
        let Self {
            chart, x, y, frame, ..
        } = *self;
        let mut grid = Group::new().set("stroke", GRID).set("stroke-width", 0.75);
        let mut ticks = Group::new().set("fill", TEXT_INK).set("font-size", SMALL);
        let mut rules = Group::new().set("stroke", RULE);
        for (value, label) in &x.ticks() {
            let (px, _) = at((*value, y.low()));
            grid = grid.add(segment((px, frame.top), (px, frame.bottom)));
            rules = rules.add(segment((px, frame.bottom), (px, frame.bottom + 5.0)));
            if self.x_named {
                ticks = ticks.add(text((px, frame.bottom + 19.0), label, "middle"));
            }
        }
        for (value, label) in &y.ticks() {
            let (_, py) = at((x.low(), *value));
            grid = grid.add(segment((frame.left, py), (frame.right, py)));
            rules = rules.add(segment((frame.left - 5.0, py), (frame.left, py)));
            ticks = ticks.add(text((frame.left - 9.0, py + 0.36 * SMALL), label, "end"));
        }
        if y.low() < 0.0 && y.high() > 0.0 {
            let (_, py) = at((x.low(), 0.0));
            rules = rules.add(segment((frame.left, py), (frame.right, py)));
        }
        rules = rules
            .add(segment((frame.left, frame.top), (frame.left, frame.bottom)))
            .add(segment(
                (frame.left, frame.bottom),
                (frame.right, frame.bottom),
            ));
        let (middle, centre) = (
            0.5 * (frame.left + frame.right),
            0.5 * (frame.top + frame.bottom),
        );
        let mut labels = Group::new().set("fill", TEXT_INK).set("font-size", MEDIUM);
        if self.x_named {
            let under = (middle, frame.bottom + 43.0);
            labels = labels.add(text(under, &chart.x.label, "middle"));
        }
        if self.y_beside {
            let beside = EDGE + MEDIUM;
            labels = labels.add(text((beside, centre), &chart.y.label, "middle").set(
                "transform",
                format!("rotate(-90 {} {})", round(beside), round(centre)),
            ));
        }
        Group::new().add(grid).add(rules).add(ticks).add(labels)
    }
}

fn scale(axis: &Axis, values: impl Iterator<Item = f64>, steps: u32) -> Scale {
    match axis.from {
        Some(from) => Scale::dated(values, steps, from),
        None => Scale::new(values, steps),
    }
}

/// What an axis takes in: its own values, lines and marks. A band sets no axis: it may be so wide that nothing
/// else could be read.
fn values<'a>(
    chart: &'a Chart,
    axis: &'a Axis,
    of: fn((f64, f64)) -> f64,
) -> impl Iterator<Item = f64> + 'a {
    let lines = chart.lines.iter().flat_map(|line| &line.points);
    let marks = chart.marks.iter().flat_map(|marks| &marks.points);
    let points = lines.chain(marks).map(move |point| of(*point));
    axis.covers.iter().copied().chain(points)
}

/// Bands and bars, cut at the frame.
fn bands(chart: &Chart, ground: &mut Ground, at: impl Fn((f64, f64)) -> Point) -> (Group, Group) {
    let (mut bands, mut bars) = (Group::new(), Group::new());
    // Far outside the frame, where a place still is a number that can be reckoned with; to the hundredth that is drawn, so
    // that no last digit cuts an edge which runs along the frame.
    let drawn = |place: f64| (100.0 * place.clamp(-FAR, FAR)).round() / 100.0;
    let cut = |point: (f64, f64)| -> Point {
        let (x, y) = at(point);
        (drawn(x), drawn(y))
    };
    for band in &chart.bands {
        if let [only] = band.points[..] {
            if let Some((from, to)) = ground
                .frame
                .clip(cut((only.x, only.low)), cut((only.x, only.high)))
            {
                bars = bars.add(bar(from, to, band.ink));
            }
            continue;
        }
        let low: Vec<_> = band.points.iter().map(|p| cut((p.x, p.low))).collect();
        let high: Vec<_> = band.points.iter().map(|p| cut((p.x, p.high))).collect();
        let around: Vec<_> = low
            .iter()
            .copied()
            .chain(high.iter().rev().copied())
            .collect();
        let inside = ground.frame.clip_polygon(&around);
        if !inside.is_empty() {
            bands = bands.add(filled(&inside, band.ink));
        }
        for edge in [&low, &high] {
            for run in joined(ground.frame.clipped(edge)) {
                bands = bands.add(rim(&run, band.ink));
            }
        }
        ground.edges.extend([low, high]);
    }
    (bands, bars)
}

/// Segments that follow each other, as lines.
fn joined(segments: impl Iterator<Item = (Point, Point)>) -> Vec<Vec<Point>> {
    let mut lines: Vec<Vec<Point>> = Vec::new();
    for (from, to) in segments {
        match lines.last_mut() {
            Some(line) if line.last() == Some(&from) => line.push(to),
            _ => lines.push(vec![from, to]),
        }
    }
    lines
}

/// The description given, or one made of the labels.
fn description(chart: &Chart) -> String {
    if chart.description.is_empty() {
        format!("{} against {}", chart.y.label, chart.x.label)
    } else {
        chart.description.clone()
    }
}

/// The names that stand beside marks and lines.
fn names(chart: &Chart, ground: &mut Ground, at: impl Fn((f64, f64)) -> Point) -> Group {
    let mut group = Group::new().set("fill", TEXT_INK).set("font-size", SMALL);
    let marks: Vec<_> = chart
        .marks
        .iter()
        .filter_map(|series| match (&series.label, series.points.first()) {
            (Label::Beside(name), Some(&first)) => Some((name, at(first))),
            _ => None,
        })
        .collect();
    let wish = |&(name, mark): &(&String, Point)| Wish {
        mark,
        width: width(name, SMALL),
        height: ROW,
    };
    let wishes: Vec<_> = marks.iter().map(wish).collect();
    for ((name, _), place) in marks.into_iter().zip(ground.beside(&wishes)) {
        let Area {
            left, top, right, ..
        } = place.area;
        let (x, anchor) = match place.side {
            s if s > 0.0 => (left, "start"),
            s if s < 0.0 => (right, "end"),
            _ => (0.5 * (left + right), "middle"),
        };
        if let Some([from, to]) = place.thread {
            let thread = segment(from, to).set("stroke", THREAD);
            group.append(thread.set("stroke-width", 0.75));
        }
        group.append(text((x, top + SMALL), name, anchor));
    }
    for line in &chart.lines {
        let (name, key) = match &line.label {
            Label::Beside(name) => (name, 0.0),
            Label::Keyed(name) => (name, KEY),
            _ => continue,
        };
        let corners: Vec<_> = line.points.iter().copied().map(&at).collect();
        let Some(area) = ground.along(&corners, 1.4 * key + width(name, SMALL), ROW) else {
            continue;
        };
        let Area {
            left, top, right, ..
        } = area;
        if key > 0.0 {
            let middle = top + 0.65 * SMALL;
            let piece = [(left, middle), (left + key - 5.0, middle)];
            group.append(stroked(&piece, line.ink, line.stroke));
            group.append(text((left + key, top + SMALL), name, "start"));
        } else {
            group.append(text((0.5 * (left + right), top + SMALL), name, "middle"));
        }
    }
    group
}
