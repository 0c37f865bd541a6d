//! What changes on the way up a riser: panels side by side, heights upwards.

use svg::Document;
use svg::node::element::{Description, Group, Rectangle, Title};

use super::area::Point;
use super::draw::{GRID, GROUND, RULE};
use super::head::Head;
use super::scale::Scale;
use super::shape::{
    LARGE, MEDIUM, SMALL, TEXT_INK, clean, color, filled, round, segment, stroked, text, width,
    wrapped,
};
use super::{ChartError, ChartPart, Ink, Stroke, check};
use crate::riser::Station;
use crate::units::{Length, UnitSystem};

/// Pressure, void fraction and velocities up a riser, with its flow patterns.
///
/// # Examples
/// ```
/// use risewater::chart::ProfileFigure;
///
/// let figure = ProfileFigure { title: "Up the riser".into(), ..ProfileFigure::default() };
/// assert!(figure.svg()?.contains("void fraction"));
/// # Ok::<(), risewater::chart::ChartError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ProfileFigure {
    /// Headline.
    pub title: String,
    /// Lines in smaller type under the headline.
    pub notes: Vec<String>,
    /// Heights from the foot to the mouth.
    pub stations: Vec<Station>,
    /// Height of the source's level above the air inlet.
    pub level: Option<Length>,
    /// Units of its numbers.
    pub units: UnitSystem,
}

const WIDTH: f64 = 460.0;
const FRAME: f64 = 300.0;
/// Where the frames begin and end, and what lies between two.
const LEFT: f64 = 62.0;
const RIGHT: f64 = 378.0;
const BETWEEN: f64 = 14.0;

/// What a line shows, and how it looks.
type Line = (fn(&Station) -> f64, Ink, Stroke);

/// One panel: its name, the unit of it, and its lines.
struct Panel {
    name: String,
    lines: Vec<Line>,
    size: f64,
    zero: bool,
}

impl ProfileFigure {
    /// The picture as an SVG document, nominally 460 wide.
    ///
    /// # Errors
    /// As [`Chart::svg`](super::Chart::svg).
    pub fn svg(&self) -> Result<String, ChartError> {
        let panels = self.panels();
        for (n, here) in self.stations.iter().enumerate() {
            let mut lines = panels.iter().flat_map(|panel| &panel.lines).enumerate();
            lines.try_for_each(|(line, (of, ..))| {
                check(ChartPart::Line, line, n, &[of(here), here.height.value])
            })?;
        }
        check(
            ChartPart::Axis,
            0,
            0,
            &[self.level.unwrap_or_default().value],
        )?;
        Ok(self.document(&panels))
    }

    fn panels(&self) -> [Panel; 3] {
        let pressure = self.units.pressure_unit();
        let velocity = self.units.velocity_unit();
        [
            Panel {
                name: format!("pressure abs ({})", pressure.1),
                lines: vec![(|here| here.pressure.pascal(), Ink::Black, Stroke::Solid)],
                size: pressure.0,
                zero: false,
            },
            Panel {
                name: "void fraction".to_owned(),
                lines: vec![(|here| here.void_fraction.value, Ink::Green, Stroke::Solid)],
                size: 1.0,
                zero: true,
            },
            Panel {
                name: format!("velocity ({})", velocity.1),
                lines: vec![
                    (|here| here.liquid_velocity.value, Ink::Blue, Stroke::Solid),
                    (
                        |here| here.gas_velocity.value,
                        Ink::Vermilion,
                        Stroke::Dashed,
                    ),
                ],
                size: velocity.0,
                zero: true,
            },
        ]
    }

    fn document(&self, panels: &[Panel; 3]) -> String {
        let mut head = Head {
            left: 16.0,
            right: WIDTH - 12.0,
            bottom: 14.0,
            group: Group::new().set("fill", TEXT_INK),
        };
        head.paragraph(&self.title, LARGE, true);
        for note in &self.notes {
            head.paragraph(note, MEDIUM, false);
        }
        let top = head.bottom + 44.0;
        let bottom = top + FRAME;
        let (unit, name) = self.units.height_unit();
        let heights = self.stations.iter().map(|here| here.height);
        let heights = heights.chain(self.level).chain([Length::default()]);
        let y = Scale::new(heights.map(|height| height.value / unit), 6);
        let high = |height: f64| bottom - FRAME * y.share(height);

        let mut words = Group::new().set("fill", TEXT_INK).set("font-size", SMALL);
        let (mut under, mut over) = (Group::new(), Group::new());
        for (value, label) in y.ticks() {
            let at = high(value);
            words = words.add(text((LEFT - 8.0, at + 0.36 * SMALL), &label, "end"));
        }
        let beside = 16.0;
        let centre = 0.5 * (top + bottom);
        let label = text(
            (beside, centre),
            &format!("height above the air inlet ({name})"),
            "middle",
        );
        words = words.add(label.set(
            "transform",
            format!("rotate(-90 {beside} {})", round(centre)),
        ));
        let mut left = LEFT;
        for panel in panels {
            let (behind, before, beneath) =
                self.panel(panel, left, (&y, &high, unit), (top, bottom));
            under = under.add(behind);
            over = over.add(before);
            words = words.add(beneath);
            left += wide() + BETWEEN;
        }
        let (mut foot, at) = (bottom + 42.0, LEFT);
        for (name, ink, stroke, x) in [
            (
                "water",
                Ink::Blue,
                Stroke::Solid,
                at + 2.0 * (wide() + BETWEEN) - 60.0,
            ),
            (
                "gas",
                Ink::Vermilion,
                Stroke::Dashed,
                at + 2.0 * (wide() + BETWEEN) + 40.0,
            ),
        ] {
            over = over.add(stroked(
                &[(x, foot - 4.0), (x + 26.0, foot - 4.0)],
                ink,
                stroke,
            ));
            words = words.add(text((x + 32.0, foot), name, "start"));
        }
        words = self.names(words, &high, unit, (top, bottom));
        foot += 14.0;
        let mut text = Document::new()
            .set("viewBox", format!("0 0 {WIDTH} {}", round(foot)))
            .set("width", WIDTH)
            .set("height", round(foot))
            .set("style", "max-width:100%;height:auto")
            .set("role", "img")
            .set("font-family", "sans-serif")
            .add(Title::new(clean(&self.title)))
            .add(Description::new().add(svg::node::Text::new(clean(&self.description()))))
            .add(
                Rectangle::new()
                    .set("width", WIDTH)
                    .set("height", round(foot))
                    .set("fill", GROUND),
            )
            .add(head.group)
            .add(under)
            .add(over)
            .add(words)
            .to_string();
        text.push('\n');
        text
    }

    /// One panel: what lies behind its lines, the lines, the words around it.
    fn panel(
        &self,
        panel: &Panel,
        left: f64,
        (y, high, unit): (&Scale, &impl Fn(f64) -> f64, f64),
        (top, bottom): (f64, f64),
    ) -> (Group, Group, Group) {
        let (mut under, mut over, mut words) = (Group::new(), Group::new(), Group::new());
        let right = left + wide();
        let values = panel.lines.iter().flat_map(|(of, ..)| {
            let here = self.stations.iter();
            here.map(move |here| of(here) / panel.size)
        });
        let x = Scale::new(values.chain(panel.zero.then_some(0.0)), 2);
        for (low, tall, shaded) in self.runs(high, unit) {
            if shaded {
                let corners = [(left, low), (right, low), (right, tall), (left, tall)];
                under = under.add(filled(&corners, Ink::Black).set("fill-opacity", 0.08));
            }
        }
        for (value, _) in y.ticks() {
            under = under.add(grid((left, high(value)), (right, high(value))));
        }
        let ticks = x.ticks();
        for (n, (value, label)) in ticks.iter().enumerate() {
            let at = left + wide() * x.share(*value);
            under = under.add(grid((at, top), (at, bottom)));
            // The outer ones stay within the panel.
            let anchor = match n {
                0 => "start",
                _ if n + 1 == ticks.len() => "end",
                _ => "middle",
            };
            // Inner ones that would touch their neighbours are left out.
            let room = |other: usize| width(&ticks[other].1, SMALL) + 5.0;
            let half = 0.5 * width(label, SMALL);
            let clear = at - half > left + room(0) && at + half < right - room(ticks.len() - 1);
            let evenly = ticks.len() < 4 || n % 2 == 0;
            if anchor != "middle" || (clear && evenly) {
                words = words.add(text((at, bottom + 17.0), label, anchor));
            }
        }
        for (of, ink, stroke) in &panel.lines {
            let along = |here: &Station| left + wide() * x.share(of(here) / panel.size);
            let points = self.stations.iter();
            let points = points.map(|here| (along(here), high(here.height.value / unit)));
            let points: Vec<Point> = points.collect();
            if !points.is_empty() {
                over = over.add(stroked(&points, *ink, *stroke));
            }
        }
        if let Some(level) = self.level {
            let at = high(level.value / unit);
            let level = segment((left, at), (right, at)).set("stroke", color(Ink::Blue));
            over = over.add(level.set("stroke-dasharray", "5 4"));
        }
        for (from, to) in [
            ((left, top), (left, bottom)),
            ((left, bottom), (right, bottom)),
        ] {
            under = under.add(segment(from, to).set("stroke", RULE));
        }
        let named = wrapped(&panel.name, wide() + BETWEEN, SMALL);
        let mut row = top - 7.0;
        for line in named.iter().rev() {
            words = words.add(text((left, row), line, "start"));
            row -= 14.0;
        }
        (under, over, words)
    }

    /// Stretches of one pattern: lower end, upper end, whether shaded.
    fn runs(&self, high: &impl Fn(f64) -> f64, unit: f64) -> Vec<(f64, f64, bool)> {
        let mut low = None;
        let mut runs = Vec::new();
        let mut chunks = self
            .stations
            .chunk_by(|a, b| a.pattern == b.pattern)
            .peekable();
        while let Some(run) = chunks.next() {
            let last = run[run.len() - 1].height;
            // A change lies half way between the heights that it was seen at.
            let end = chunks
                .peek()
                .map_or(last, |next| 0.5 * (last + next[0].height));
            let end = high(end.value / unit);
            let start = low.unwrap_or_else(|| high(run[0].height.value / unit));
            runs.push((start, end, runs.len() % 2 == 1));
            low = Some(end);
        }
        runs
    }

    /// Names of the patterns and of the level, on the right.
    fn names(
        &self,
        mut words: Group,
        high: &impl Fn(f64) -> f64,
        unit: f64,
        (top, bottom): (f64, f64),
    ) -> Group {
        let patterns = self.stations.chunk_by(|a, b| a.pattern == b.pattern);
        let mut names: Vec<(f64, String)> = self
            .runs(high, unit)
            .into_iter()
            .zip(patterns)
            .map(|((low, tall, _), run)| (0.5 * (low + tall), format!("{} flow", run[0].pattern)))
            .collect();
        names.extend(
            self.level
                .map(|level| (high(level.value / unit), "water level".to_owned())),
        );
        names.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut free = top;
        let mut tops = Vec::new();
        for (at, _) in &names {
            let own = at.max(free);
            free = own + 15.0;
            tops.push(own);
        }
        let mut limit = bottom;
        for own in tops.iter_mut().rev() {
            *own = own.min(limit);
            limit = *own - 15.0;
        }
        for ((_, name), at) in names.iter().zip(tops) {
            words = words.add(text((RIGHT + 7.0, at + 0.36 * SMALL), name, "start"));
        }
        words
    }

    fn description(&self) -> String {
        let [Some(foot), Some(mouth)] = [self.stations.first(), self.stations.last()] else {
            return "No water flows: there is nothing to show".to_owned();
        };
        let end = |name: &str, here: &Station| {
            format!(
                "{name} {} absolute, void fraction {:.2}, water {:.2} m/s, gas {:.2} m/s, {} flow",
                self.units.pressure(here.pressure.pascal()),
                here.void_fraction.value,
                here.liquid_velocity.value,
                here.gas_velocity.value,
                here.pattern
            )
        };
        format!(
            "{}. {}.",
            end("At the foot", foot),
            end("At the mouth", mouth)
        )
    }
}

/// Width of a panel.
fn wide() -> f64 {
    (RIGHT - LEFT - 2.0 * BETWEEN) / 3.0
}

fn grid(from: Point, to: Point) -> svg::node::element::Line {
    segment(from, to)
        .set("stroke", GRID)
        .set("stroke-width", 0.75)
}
