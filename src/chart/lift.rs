//! One lift, drawn to scale: tank, levels, pipe, air line and outlet with their numbers.

use svg::Document;
use svg::node::element::{Description, Group, Path, Polygon, Polyline, Rectangle, Title};

use super::area::Point;
use super::bubbles::{Bubbles, Tube};
use super::draw::{GROUND, RULE, THREAD};
use super::head::Head;
use super::shape::{
    LARGE, MEDIUM, SMALL, TEXT_INK, clean, color, filled, path, round, segment, text, width,
    wrapped,
};
use super::{ChartError, ChartPart, Ink, check};
use crate::regime::FlowPattern;
use crate::riser::Station;
use crate::units::{Length, Pressure, UnitSystem, VolumeRate, base};

/// How the water leaves a [`LiftDrawing`].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub enum DrawnOutlet {
    /// A plain end.
    #[default]
    Plain,
    /// An elbow to a horizontal pipe of this bore.
    Elbow(Length),
    /// A mouth so far below the receiving level.
    Submerged(Length),
    /// An open top, over whose rim the mixture rises so far.
    OpenTop(Length),
}

/// One lift with its numbers. Heights are to scale; the pipe is widened or narrowed for sight, and the picture says
/// how much. The air in the pipe is drawn as pattern and void fraction say at each height: its share of the pipe's
/// picture is the void fraction.
///
/// # Examples
/// ```
/// use risewater::chart::{DrawnOutlet, LiftDrawing};
/// use risewater::units::{Length, VolumeRate, liter_per_minute, meter, millimeter};
///
/// let m = Length::new::<meter>;
/// // Made up, and without air in the pipe.
/// let drawing = LiftDrawing {
///     title: "Lift of the nursery".into(),
///     bore: Length::new::<millimeter>(60.0),
///     submergence: m(1.2),
///     lift: m(0.15),
///     outlet: DrawnOutlet::Elbow(Length::new::<millimeter>(60.0)),
///     water: Some(VolumeRate::new::<liter_per_minute>(120.0)),
///     ..LiftDrawing::default()
/// };
/// assert!(drawing.svg()?.contains("120.0 L/min"));
/// # Ok::<(), risewater::chart::ChartError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LiftDrawing {
    /// Headline.
    pub title: String,
    /// Lines in smaller type under the headline.
    pub notes: Vec<String>,
    /// Bore of the pipe.
    pub bore: Length,
    /// Depth of the air inlet below the running level.
    pub submergence: Length,
    /// Height of the outlet above that level.
    pub lift: Length,
    /// Length of pipe below the air inlet.
    pub suction_length: Length,
    /// Whether the air line runs down inside the pipe.
    pub air_line_inside: bool,
    /// How the water leaves.
    pub outlet: DrawnOutlet,
    /// How far low water lies below the running level.
    pub level_fall: Option<Length>,
    /// How far high water lies above it.
    pub level_rise: Option<Length>,
    /// Air flow as dry gas at 20 °C and 101.325 kPa.
    pub air_at_20_c: VolumeRate,
    /// Pressure of the air at its inlet, over the atmosphere's.
    pub pressure: Option<Pressure>,
    /// Water flow; none where nothing flows.
    pub water: Option<VolumeRate>,
    /// Between which flows the true one lies, and how often.
    pub interval: Option<(VolumeRate, VolumeRate, String)>,
    /// Heights of the riser, from the foot to the mouth.
    pub stations: Vec<Station>,
    /// Height above the running level at which the mixture stands where nothing flows.
    pub stands: Option<Length>,
    /// Units of its numbers.
    pub units: UnitSystem,
}

const WIDTH: f64 = 460.0;
/// Height of what is to scale, and in a low picture.
const SCALED: f64 = 360.0;
const LOW: f64 = 190.0;
/// Narrowest and widest pipe.
const PIPE: (f64, f64) = (32.0, 84.0);
/// Middle of the pipe; walls of the tank.
const MIDDLE: f64 = 212.0;
const TANK: (f64, f64) = (130.0, 304.0);
/// Where the names of heights end, their line, the name and the line of the whole length.
const HEIGHTS: [f64; 4] = [92.0, 100.0, 114.0, 119.0];
/// Where names on the right begin, and where their threads bend.
const NAMES: f64 = 334.0;
const BEND: f64 = 316.0;
/// Room above the highest part for the air's name, below the lowest one for the floor.
const ABOVE: f64 = 62.0;
const BELOW: f64 = 34.0;
/// Height of a trough's spout; how far its arrow stands from lines.
const SPOUT: f64 = 13.0;
const CLEAR: f64 = 9.0;
/// From row to row.
const ROW: f64 = 14.5;

/// A name beside the drawing.
struct Note {
    at: Point,
    rows: Vec<String>,
}

impl Note {
    fn height(&self) -> f64 {
        self.rows.iter().fold(0.0, |sum, _| sum + ROW)
    }
}

/// Where heights of the lift lie in the picture.
struct Place {
    /// Units for a metre.
    scale: f64,
    /// The running level.
    level: f64,
    /// The wall of the pipe.
    tube: Tube,
    /// Lower end of the pipe, its air inlet, its mouth.
    end: f64,
    inlet: f64,
    mouth: f64,
    floor: f64,
    /// The head of the air line.
    head: f64,
}

impl Place {
    fn y(&self, above_level: Length) -> f64 {
        self.level - self.scale * above_level.value
    }
}

impl LiftDrawing {
    /// The picture as an SVG document, nominally 460 wide.
    ///
    /// # Errors
    /// [`ChartError::NotFinite`] for NaN and infinities, [`ChartError::TooLarge`] beyond
    /// [`LARGEST`](super::LARGEST).
    pub fn svg(&self) -> Result<String, ChartError> {
        self.check()?;
        Ok(self.document(SCALED))
    }

    /// The same in little more than half of the height, for a page with more on it, which says how to read it.
    ///
    /// # Errors
    /// As [`LiftDrawing::svg`].
    pub fn low_svg(&self) -> Result<String, ChartError> {
        self.check()?;
        Ok(self.document(LOW))
    }

    fn check(&self) -> Result<(), ChartError> {
        let (extra, depth) = self.outlet_heights();
        let lengths = [
            self.bore,
            self.submergence,
            self.lift,
            self.suction_length,
            extra,
            depth,
            self.level_fall.unwrap_or_default(),
            self.level_rise.unwrap_or_default(),
            self.stands.unwrap_or_default(),
        ];
        let stations = self.stations.iter().flat_map(|here| {
            let void = here.void_fraction.value;
            [here.height.value, here.pressure.pascal(), void]
        });
        let mut all = lengths.iter().map(|length| length.value).chain(stations);
        all.try_for_each(|value| check(ChartPart::Line, 0, 0, &[value]))
    }

    /// Height that the outlet takes above its nominal one, and the depth of a mouth under water.
    fn outlet_heights(&self) -> (Length, Length) {
        match self.outlet {
            DrawnOutlet::Plain => (base(0.0), base(0.0)),
            DrawnOutlet::Elbow(bore) => (bore, base(0.0)),
            DrawnOutlet::Submerged(depth) => (base(0.0), depth),
            DrawnOutlet::OpenTop(head) => (head, base(0.0)),
        }
    }

    fn place(&self, top: f64, scaled: f64) -> Place {
        let (extra, depth) = self.outlet_heights();
        let none = base(0.0);
        let highest = [
            self.lift + extra.max(depth),
            none,
            self.level_rise.unwrap_or(none),
        ];
        let lowest = [
            -self.submergence - self.suction_length,
            -self.level_fall.unwrap_or(none),
        ];
        let highest = highest.into_iter().fold(self.lift, Length::max);
        let lowest = lowest.into_iter().fold(self.lift, Length::min);
        let scale = scaled / (highest - lowest).value.max(1e-9);
        let level = top + scale * highest.value;
        let wide = (scale * self.bore.value).clamp(PIPE.0, PIPE.1);
        let y = |above: Length| level - scale * above.value;
        Place {
            scale,
            level,
            tube: Tube {
                left: MIDDLE - 0.5 * wide,
                width: wide,
            },
            end: y(-self.submergence - self.suction_length),
            inlet: y(-self.submergence),
            mouth: y(self.lift),
            floor: y(lowest) + BELOW,
            head: top - 0.6 * ABOVE,
        }
    }

    fn document(&self, scaled: f64) -> String {
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
        let at = self.place(head.bottom + ABOVE, scaled);
        let mut names = Vec::new();
        let drawn = [
            self.tank(&at, &mut names),
            self.chamber(&at, &mut names),
            self.pipe(&at, &mut names),
            self.air_line(&at, &mut names),
            self.heights(&at),
            Self::named(names, head.bottom + 8.0, at.floor + 6.0),
        ];
        let mut bottom = at.floor + 16.0;
        let mut foot = Group::new().set("fill", TEXT_INK).set("font-size", SMALL);
        let remarks = if scaled < SCALED {
            Vec::new()
        } else {
            self.remarks(&at)
        };
        for row in remarks
            .iter()
            .flat_map(|remark| wrapped(remark, WIDTH - 28.0, 0.92 * SMALL))
        {
            bottom += ROW;
            foot = foot.add(text((16.0, bottom), &row, "start"));
        }
        let height = round(bottom + 14.0);
        let mut document = Document::new()
            .set("viewBox", format!("0 0 {WIDTH} {height}"))
            .set("width", WIDTH)
            .set("height", height)
            .set("style", "max-width:100%;height:auto")
            .set("role", "img")
            .set("font-family", "sans-serif")
            .add(Title::new(clean(&self.title)))
            .add(Description::new().add(svg::node::Text::new(clean(&self.description()))))
            .add(
                Rectangle::new()
                    .set("width", WIDTH)
                    .set("height", height)
                    .set("fill", GROUND),
            )
            .add(head.group);
        for part in drawn {
            document = document.add(part);
        }
        let mut text = document.add(foot).to_string();
        text.push('\n');
        text
    }

    /// Water, levels and walls of the tank.
    fn tank(&self, at: &Place, names: &mut Vec<Note>) -> Group {
        let (left, right) = TANK;
        let high = self.level_rise.map_or(at.level, |rise| at.y(rise));
        let rim = at.level.min(high) - 14.0;
        let water = [
            (left, at.level),
            (right, at.level),
            (right, at.floor),
            (left, at.floor),
        ];
        let wall = [
            (left, rim),
            (left, at.floor),
            (right, at.floor),
            (right, rim),
        ];
        let mut group = Group::new().add(filled(&water, Ink::Blue)).add(
            line(&[(left, at.level), (right, at.level)])
                .set("stroke", color(Ink::Blue))
                .set("stroke-width", 1.5),
        );
        let mark = [
            (left + 4.0, at.level - 8.0),
            (left + 12.0, at.level - 8.0),
            (left + 8.0, at.level - 1.0),
        ];
        group = group.add(solid(&mark, color(Ink::Blue)));
        names.push(Note {
            at: (right, at.level),
            rows: vec!["water level".to_owned()],
        });
        let moved = [
            (self.level_rise, 1.0, "high water", "+"),
            (self.level_fall, -1.0, "low water", "\u{2212}"),
        ];
        for (change, sign, name, shown) in moved {
            let Some(change) = change.filter(|change| change.value > 0.0) else {
                continue;
            };
            let y = at.y(sign * change);
            group = group.add(
                line(&[(left, y), (right, y)])
                    .set("stroke", color(Ink::Blue))
                    .set("stroke-dasharray", "5 4"),
            );
            names.push(Note {
                at: (right, y),
                rows: vec![format!("{name} {shown}{}", self.units.height(change))],
            });
        }
        group.add(line(&wall).set("stroke", RULE).set("stroke-width", 2.5))
    }

    /// The trough or tank that takes the water from the mouth; none behind an elbow.
    fn chamber(&self, at: &Place, names: &mut Vec<Note>) -> Group {
        let (left, right) = (at.tube.left - 15.0, at.tube.right() + 34.0);
        let level = match self.outlet {
            DrawnOutlet::Elbow(_) => return Group::new(),
            DrawnOutlet::Submerged(depth) => at.y(self.lift + depth),
            _ => at.mouth + 11.0,
        };
        let mut floor = at.mouth + 34.0_f64.min(0.6 * (at.inlet - at.mouth)).max(24.0);
        // The arrow of what leaves stands clear of the lines of the levels and of their names.
        let lines = [
            Some(base(0.0)),
            self.level_rise,
            self.level_fall.map(|fall| -fall),
        ];
        let meets = |floor: f64| {
            let mut lines = lines.iter().flatten();
            lines.any(|line| (at.y(*line) - (floor - 0.5 * SPOUT)).abs() < CLEAR)
        };
        for _ in 0..8 {
            if meets(floor) {
                floor += 4.0;
            }
        }
        let rim = level.min(at.mouth) - 12.0;
        let (out, spout) = (TANK.1 + 9.0, floor - SPOUT);
        let inside = |top: f64| {
            [
                (left, top),
                (right, top),
                (right, spout.max(top)),
                (out, spout.max(top)),
                (out, floor),
                (left, floor),
            ]
        };
        let flows = self.water.is_some();
        let mut group = Group::new().add(solid(&inside(rim), GROUND));
        if flows || matches!(self.outlet, DrawnOutlet::Submerged(_)) {
            group = group.add(filled(&inside(level), Ink::Blue));
            if level < spout {
                group = group.add(
                    line(&[(left, level), (right, level)])
                        .set("stroke", color(Ink::Blue))
                        .set("stroke-width", 1.25),
                );
            }
        }
        let walls = [
            vec![(left, rim), (left, floor), (out, floor)],
            vec![(right, rim), (right, spout), (out, spout)],
        ];
        for wall in walls {
            group = group.add(line(&wall).set("stroke", RULE).set("stroke-width", 1.75));
        }
        if let DrawnOutlet::Submerged(depth) = self.outlet {
            names.push(Note {
                at: (right, level),
                rows: vec![
                    "receiving level".to_owned(),
                    format!("{} higher", self.units.height(self.lift + depth)),
                ],
            });
        }
        self.water_out(group, (out + 2.0, 0.5 * (spout + floor)), names)
    }

    /// The arrow of the water that leaves, and its name.
    fn water_out(&self, mut group: Group, from: Point, names: &mut Vec<Note>) -> Group {
        let flows = self.water.is_some();
        if flows {
            group = group.add(arrow(from, (from.0 + 13.0, from.1), Ink::Blue));
        }
        names.push(Note {
            at: (from.0 + if flows { 14.0 } else { 0.0 }, from.1),
            rows: self.leaves(),
        });
        group
    }

    /// Both ends of the interval.
    fn ends(&self) -> Option<[String; 2]> {
        let (low, high, _) = self.interval.as_ref()?;
        let (size, _) = self.units.water_unit();
        Some([low, high].map(|end| two_digits(end.value / size)))
    }

    /// What leaves, and how sure that is.
    fn leaves(&self) -> Vec<String> {
        let Some(water) = self.water else {
            return vec!["no water flows".to_owned()];
        };
        let mut rows = vec!["water out".to_owned(), self.units.water(water)];
        rows.extend(self.ends().map(|[low, high]| format!("({low} to {high})")));
        rows
    }

    /// The pipe and what is in it.
    fn pipe(&self, at: &Place, names: &mut Vec<Note>) -> Group {
        let (left, right) = (at.tube.left, at.tube.right());
        // Where nothing flows the mixture stands below the mouth, or so much air that no column of water does.
        let surface = match (self.water, self.stands) {
            (None, Some(stands)) => at.y(stands).clamp(at.mouth, at.inlet),
            (None, None) => at.inlet,
            _ => at.mouth,
        };
        let inside = [
            (left, at.end),
            (left, at.mouth),
            (right, at.mouth),
            (right, at.end),
        ];
        let group = Group::new()
            .add(solid(&inside, GROUND))
            .add(self.filling(at, surface));
        let mut group = match self.outlet {
            DrawnOutlet::Elbow(bore) => self.elbow(at, bore, group, names),
            _ => self.upright(at, group),
        };
        let air = Bubbles {
            tube: at.tube,
            foot: at.inlet,
            mouth: surface,
        };
        group = group.add(air.drawn(&|y| self.air_at(at, surface, y)));
        if self.water.is_some() {
            let (from, to) = ((MIDDLE, at.end + 24.0), (MIDDLE, at.end + 5.0));
            group = group.add(arrow(from, to, Ink::Blue));
        } else if self.stands.is_some() {
            names.push(Note {
                at: (right, surface),
                rows: vec!["mixture stands".to_owned(), "here".to_owned()],
            });
        }
        self.insides(at, names);
        group.add(self.bore_mark(at, names))
    }

    /// Water from the lower end up to a surface, with what rises over an open top.
    fn filling(&self, at: &Place, surface: f64) -> Path {
        let (left, right) = (round(at.tube.left), round(at.tube.right()));
        let head = match self.outlet {
            DrawnOutlet::OpenTop(head) if self.water.is_some() => (at.scale * head.value).max(4.0),
            _ => 0.0,
        };
        let (end, top, over) = (round(at.end), round(surface), round(surface - 1.33 * head));
        let d =
            format!("M{left},{end} V{top} C{left},{over} {right},{over} {right},{top} V{end} Z");
        wet(&d, 0.3)
    }

    /// Walls of an upright pipe, and what spills over its end.
    fn upright(&self, at: &Place, mut group: Group) -> Group {
        let (left, right) = (at.tube.left, at.tube.right());
        for x in [left, right] {
            group = group.add(wall(&[(x, at.end), (x, at.mouth)]));
        }
        if self.water.is_none() || matches!(self.outlet, DrawnOutlet::Submerged(_)) {
            return group;
        }
        for (x, step) in [(left, -7.0), (right, 11.0)] {
            let d = format!(
                "M{},{} q{step},0 {step},11",
                round(x),
                round(at.mouth - 1.0)
            );
            let spill = Path::new()
                .set("d", d)
                .set("fill", "none")
                .set("stroke", color(Ink::Blue));
            group = group.add(spill.set("stroke-width", 3).set("stroke-opacity", 0.6));
        }
        group
    }

    /// Walls of a pipe with an elbow, and the water in its horizontal pipe.
    fn elbow(&self, at: &Place, bore: Length, group: Group, names: &mut Vec<Note>) -> Group {
        let (left, right) = (at.tube.left, at.tube.right());
        let tall = (at.scale * bore.value).clamp(9.0, 60.0);
        let (roof, out) = (at.mouth - tall, TANK.1 + 6.0);
        let corners = [(left, at.mouth), (left, roof), (out, roof), (out, at.mouth)];
        let mut group = group.add(solid(&corners, GROUND));
        if self.water.is_some() {
            let brink = roof + 0.55 * tall;
            let corners = [
                (left, at.mouth),
                (left, roof + 0.2 * tall),
                (right, roof + 0.4 * tall),
                (out, brink),
                (out, at.mouth),
            ];
            let deep = at.mouth - brink;
            // Names stand on the right of what falls.
            let throw = (deep + 6.0).min(NAMES - 6.0 - out);
            let fall = format!(
                "M{},{} q{},1 {},{} h-{} q-1,-{} -{},-{} Z",
                round(out),
                round(brink),
                round(throw - 1.0),
                round(throw),
                round(deep + 18.0),
                round(throw - 6.0),
                round(16.0),
                round(6.0),
                round(18.0)
            );
            group = group
                .add(filled(&corners, Ink::Blue).set("fill-opacity", 0.3))
                .add(wet(&fall, 0.45));
        }
        names.push(Note {
            at: (out + 12.0, at.mouth),
            rows: self.leaves(),
        });
        group
            .add(wall(&[(left, at.end), (left, roof), (out, roof)]))
            .add(wall(&[(right, at.end), (right, at.mouth), (out, at.mouth)]))
    }

    /// Void fraction, pattern and growth of the bubbles at a height of the picture.
    fn air_at(&self, at: &Place, surface: f64, y: f64) -> (f64, FlowPattern, f64) {
        let height = (at.inlet - y) / at.scale;
        let Some(foot) = self.stations.first() else {
            // At rest the mixture stands as high as water that is so much heavier, and air rises in it.
            let (deep, tall) = (at.inlet - at.level, at.inlet - surface);
            let void = if self.air_at_20_c.value > 0.0 && tall > deep {
                1.0 - deep / tall
            } else {
                0.0
            };
            let pattern = if void < 0.25 {
                FlowPattern::Bubbly
            } else {
                FlowPattern::Slug
            };
            return (void, pattern, 1.0);
        };
        let next = self
            .stations
            .iter()
            .position(|here| here.height.value >= height)
            .unwrap_or(self.stations.len() - 1);
        let (above, below) = (&self.stations[next], &self.stations[next.saturating_sub(1)]);
        let step = (above.height - below.height).value;
        let share = if step > 0.0 {
            ((height - below.height.value) / step).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let between = |of: fn(&Station) -> f64| of(below) + share * (of(above) - of(below));
        let pattern = if share < 0.5 {
            below.pattern
        } else {
            above.pattern
        };
        let pressure = between(|here| here.pressure.pascal());
        let growth = (foot.pressure.pascal() / pressure.max(1.0)).cbrt();
        (between(|here| here.void_fraction.value), pattern, growth)
    }

    /// Names of what is in the pipe: each pattern with its void.
    fn insides(&self, at: &Place, names: &mut Vec<Note>) {
        let mut runs: Vec<&[Station]> = self
            .stations
            .chunk_by(|a, b| a.pattern == b.pattern)
            .collect();
        runs.sort_by_key(|run| std::cmp::Reverse(run.len()));
        for run in runs.into_iter().take(3) {
            let [first, last] = [&run[0], &run[run.len() - 1]];
            let middle = 0.5 * (first.height + last.height);
            let [low, high] = [first, last].map(|here| format!("{:.2}", here.void_fraction.value));
            let void = if low == high {
                format!("void {low}")
            } else {
                format!("void {low} to {high}")
            };
            names.push(Note {
                at: (at.tube.right() - 3.0, at.inlet - at.scale * middle.value),
                rows: vec![format!("{} flow", first.pattern), void],
            });
        }
    }

    /// The width of the pipe, measured across it.
    fn bore_mark(&self, at: &Place, names: &mut Vec<Note>) -> Group {
        let (left, right) = (at.tube.left, at.tube.right());
        let y = at.inlet - 0.22 * (at.inlet - at.mouth);
        names.push(Note {
            at: (right + 12.0, y),
            rows: vec![format!("bore {}", self.units.bore(self.bore))],
        });
        let thin = |from, to| segment(from, to).set("stroke", TEXT_INK);
        Group::new()
            .add(thin((left - 12.0, y), (left, y)))
            .add(thin((right, y), (right + 12.0, y)))
            .add(tip((left, y), (1.0, 0.0), TEXT_INK))
            .add(tip((right, y), (-1.0, 0.0), TEXT_INK))
    }

    /// The air line, its inlet and what passes there.
    fn air_line(&self, at: &Place, names: &mut Vec<Note>) -> Group {
        let (left, right) = (at.tube.left, at.tube.right());
        let x = if self.air_line_inside {
            MIDDLE
        } else {
            left - 26.0
        };
        let inlet = at.inlet.min(at.end - 5.0);
        let way: &[Point] = if self.air_line_inside {
            &[(x, at.head), (x, inlet)]
        } else {
            &[(x, at.head), (x, inlet), (left - 4.0, inlet)]
        };
        let end = if self.air_line_inside {
            tip((x, inlet + 5.0), (0.0, 1.0), color(Ink::Vermilion))
        } else {
            tip((left + 4.0, inlet), (1.0, 0.0), color(Ink::Vermilion))
        };
        let mut rows = vec!["air inlet".to_owned()];
        rows.extend(
            self.pressure
                .map(|pressure| format!("{} gauge", self.units.pressure(pressure.value))),
        );
        names.push(Note {
            at: (right, inlet),
            rows,
        });
        let name = Group::new()
            .set("fill", TEXT_INK)
            .set("font-size", SMALL)
            .add(text((x + 9.0, at.head + 2.0), "air in", "start"))
            .add(
                text(
                    (x + 9.0, at.head + 2.0 + ROW),
                    &self.units.air(self.air_at_20_c),
                    "start",
                )
                .set("font-weight", "bold"),
            );
        Group::new()
            .add(
                line(way)
                    .set("stroke", color(Ink::Vermilion))
                    .set("stroke-width", 3.5),
            )
            .add(end)
            .add(arrow(
                (x - 9.0, at.head - 6.0),
                (x - 9.0, at.head + 16.0),
                Ink::Vermilion,
            ))
            .add(name)
    }

    /// Lines and names of the heights.
    fn heights(&self, at: &Place) -> Group {
        let [names, line, beside, whole] = HEIGHTS;
        let mut group = Group::new();
        let pipe = at.tube.left - 2.0;
        let mut ends = vec![(at.level, TANK.0), (at.mouth, pipe), (at.inlet, pipe)];
        let mut parts = vec![
            ("submergence", self.submergence, at.level, at.inlet, line),
            if self.lift.value < 0.0 {
                (
                    "outlet lies lower by",
                    -self.lift,
                    at.level,
                    at.mouth,
                    whole,
                )
            } else {
                ("lift", self.lift, at.mouth, at.level, line)
            },
        ];
        if self.suction_length.value > 0.0 {
            parts.push(("suction pipe", self.suction_length, at.inlet, at.end, line));
            ends.push((at.end, pipe));
        }
        for (y, to) in ends {
            group = group.add(
                segment((line - 4.0, y), (to, y))
                    .set("stroke", THREAD)
                    .set("stroke-width", 0.6),
            );
        }
        let mut notes = Vec::new();
        for (name, length, top, bottom, x) in parts {
            group = group.add(measure(x, top, bottom));
            let mut rows = wrapped(name, names - 8.0, 0.9 * SMALL);
            rows.push(self.units.height(length));
            notes.push(Note {
                at: (x, 0.5 * (top + bottom)),
                rows,
            });
        }
        let mut words = Group::new().set("fill", TEXT_INK).set("font-size", SMALL);
        for (note, top) in settle(&mut notes, at.head - 16.0, at.floor + 6.0) {
            let middle = top + 0.5 * note.height();
            if (middle - note.at.1).abs() > 4.0 {
                group = group.add(thread(&[(names + 1.0, middle), note.at]));
            }
            words = words.add(rows(note, top, names, "end"));
        }
        let name = format!("riser {}", self.units.height(self.submergence + self.lift));
        group = group.add(measure(whole, at.mouth, at.inlet));
        if at.inlet - at.mouth > width(&name, SMALL) + 12.0 {
            let middle = 0.5 * (at.mouth + at.inlet);
            words = words.add(text((beside, middle), &name, "middle").set(
                "transform",
                format!("rotate(-90 {beside} {})", round(middle)),
            ));
        }
        group.add(words)
    }

    /// Names on the right, each with a thread to what it names.
    fn named(mut names: Vec<Note>, top: f64, bottom: f64) -> Group {
        let (mut threads, mut words) = (Group::new(), Group::new());
        for (note, top) in settle(&mut names, top, bottom) {
            let middle = top + 0.5 * note.height();
            let bend = (BEND.max(note.at.0), note.at.1);
            threads = threads.add(thread(&[note.at, bend, (NAMES - 4.0, middle)]));
            words = words.add(rows(note, top, NAMES, "start"));
        }
        Group::new()
            .add(threads)
            .add(words.set("fill", TEXT_INK).set("font-size", SMALL))
    }

    /// What the picture is to be read with.
    fn remarks(&self, at: &Place) -> Vec<String> {
        let mut remarks = Vec::new();
        if let Some((_, _, often)) = &self.interval {
            remarks.push(format!(
                "In brackets: where the true water flow lies {often}."
            ));
        }
        let times = at.tube.width / (at.scale * self.bore.value).max(1e-9);
        let widened = if (times - 1.0).abs() < 0.01 {
            "Heights and the width of the pipe are to scale.".to_owned()
        } else if times > 1.0 {
            format!(
                "Heights are to scale; the pipe is drawn {} times as wide.",
                two_digits(times)
            )
        } else {
            format!(
                "Heights are to scale; the pipe is drawn at {} % of its width.",
                two_digits(100.0 * times)
            )
        };
        remarks.push(widened);
        if !self.stations.is_empty() {
            remarks.push("The air fills as much of the pipe's picture as of the pipe.".to_owned());
        }
        remarks
    }

    /// The picture in words.
    fn description(&self) -> String {
        let units = self.units;
        let mut text = format!(
            "A pipe of {} bore stands in a tank. Air, {}, enters {} below the water level",
            units.bore(self.bore),
            units.air(self.air_at_20_c),
            units.height(self.submergence),
        );
        if let Some(pressure) = self.pressure {
            text += &format!(" at {} gauge", units.pressure(pressure.value));
        }
        let (where_, lift) = if self.lift.value < 0.0 {
            ("below", -self.lift)
        } else {
            ("above", self.lift)
        };
        let outlet = match self.outlet {
            DrawnOutlet::Plain => "The plain end lies".to_owned(),
            DrawnOutlet::Elbow(bore) => format!(
                "The invert of the elbow's horizontal pipe, of {} bore, lies",
                units.bore(bore)
            ),
            DrawnOutlet::Submerged(depth) => format!(
                "The mouth, {} below the receiving level, lies",
                units.height(depth)
            ),
            DrawnOutlet::OpenTop(_) => "The rim of the open top lies".to_owned(),
        };
        text += &format!(". {outlet} {} {where_} the water level", units.height(lift));
        if self.suction_length.value > 0.0 {
            text += &format!(
                ", and {} of pipe hang below the air inlet",
                units.height(self.suction_length)
            );
        }
        text += &match self.water {
            Some(water) => format!(". It lifts {}", units.water(water)),
            None => ". No water flows".to_owned(),
        };
        if let (Some((_, _, often)), Some([low, high])) = (&self.interval, self.ends()) {
            let unit = self.units.water_unit().1;
            text += &format!(", {often} between {low} and {high} {unit}");
        }
        text.push('.');
        if let [first, .., last] = &self.stations[..] {
            text += &format!(
                " Its void fraction is {:.2} at the foot, {} flow, and {:.2} at the mouth, {} flow.",
                first.void_fraction.value, first.pattern, last.void_fraction.value, last.pattern
            );
        }
        text
    }
}

/// Names in the order of what they name, and the top of each: as near to it as the others let it.
fn settle(notes: &mut [Note], top: f64, bottom: f64) -> Vec<(&Note, f64)> {
    const GAP: f64 = 7.0;
    notes.sort_by(|a, b| a.at.1.total_cmp(&b.at.1));
    let mut tops: Vec<f64> = Vec::with_capacity(notes.len());
    let mut free = top;
    for note in notes.iter() {
        let own = (note.at.1 - 0.5 * note.height()).max(free);
        free = own + note.height() + GAP;
        tops.push(own);
    }
    let mut limit = bottom;
    for (own, note) in tops.iter_mut().zip(notes.iter()).rev() {
        *own = own.min(limit - note.height());
        limit = *own - GAP;
    }
    notes.iter().zip(tops).collect()
}

/// The rows of a name; those that begin with a number are bold.
fn rows(note: &Note, top: f64, x: f64, anchor: &str) -> Group {
    let mut group = Group::new();
    let mut y = top - 0.2 * ROW;
    for words in &note.rows {
        y += ROW;
        let mut row = text((x, y), words, anchor);
        if words.starts_with(|c: char| c.is_ascii_digit()) {
            row = row.set("font-weight", "bold");
        }
        group = group.add(row);
    }
    group
}

/// A line through points, open.
fn line(points: &[Point]) -> Polyline {
    Polyline::new()
        .set("points", path(points))
        .set("fill", "none")
        .set("stroke-linejoin", "round")
}

/// The wall of a pipe.
fn wall(points: &[Point]) -> Polyline {
    line(points).set("stroke", RULE).set("stroke-width", 2.5)
}

/// A shape full of water.
fn wet(d: &str, opacity: f64) -> Path {
    let shape = Path::new().set("d", d).set("fill", color(Ink::Blue));
    shape.set("fill-opacity", opacity)
}

fn thread(points: &[Point]) -> Polyline {
    line(points).set("stroke", THREAD).set("stroke-width", 0.75)
}

fn solid(points: &[Point], fill: &str) -> Polygon {
    Polygon::new().set("points", path(points)).set("fill", fill)
}

/// The head of an arrow.
fn tip((x, y): Point, (dx, dy): Point, fill: &str) -> Polygon {
    const LONG: f64 = 8.0;
    const HALF: f64 = 3.2;
    let (bx, by) = (x - LONG * dx, y - LONG * dy);
    solid(
        &[
            (x, y),
            (bx - HALF * dy, by + HALF * dx),
            (bx + HALF * dy, by - HALF * dx),
        ],
        fill,
    )
}

/// An upright or level arrow.
fn arrow(from: Point, to: Point, ink: Ink) -> Group {
    let way = (to.0 - from.0, to.1 - from.1);
    let long = way.0.hypot(way.1).max(1e-9);
    let step = (way.0 / long, way.1 / long);
    let stem = (to.0 - 6.0 * step.0, to.1 - 6.0 * step.1);
    Group::new()
        .add(
            segment(from, stem)
                .set("stroke", color(ink))
                .set("stroke-width", 2.5),
        )
        .add(tip(to, step, color(ink)))
}

/// The line of a height between its ends, with heads where there is room.
fn measure(x: f64, top: f64, bottom: f64) -> Group {
    let own = Group::new().add(segment((x, top), (x, bottom)).set("stroke", TEXT_INK));
    if bottom - top > 22.0 {
        own.add(tip((x, top), (0.0, -1.0), TEXT_INK))
            .add(tip((x, bottom), (0.0, 1.0), TEXT_INK))
    } else {
        // From outside.
        own.add(segment((x, top - 14.0), (x, top)).set("stroke", TEXT_INK))
            .add(segment((x, bottom), (x, bottom + 14.0)).set("stroke", TEXT_INK))
            .add(tip((x, top), (0.0, 1.0), TEXT_INK))
            .add(tip((x, bottom), (0.0, -1.0), TEXT_INK))
    }
}

/// Two digits: an end of an interval and a scale are no sharper.
fn two_digits(value: f64) -> String {
    let two: f64 = format!("{value:.1e}").parse().unwrap_or(value);
    two.to_string()
}
