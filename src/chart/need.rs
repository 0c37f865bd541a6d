//! The figure of a need of water over the dates of a cycle.

use super::dates::days_between;
use super::flow_curve::digits;
use super::{Axis, Band, BandPoint, Chart, Ink, Label, Marks, Polyline, Shape, Stroke};
use crate::error::Error;
use crate::need::{DayFlow, Installed, Line, RoomNeed, WeekOfLifts};
use crate::units::{UnitSystem, VolumeRate};

/// The most days that are drawn one by one; of more, some in a row are drawn at their largest need.
const DAYS: usize = 800;

/// Water needed and given over the dates, shaded by the line that governs.
///
/// # Examples
/// ```
/// use risewater::chart::NeedFigure;
/// use risewater::need::{Date, DayFlow, Line};
/// use risewater::units::{VolumeRate, liter_per_minute};
///
/// // Made-up days.
/// let day = |date, flow| DayFlow {
///     date,
///     flow: VolumeRate::new::<liter_per_minute>(flow),
///     governing: Some(Line::Oxygen),
/// };
/// let figure = NeedFigure {
///     title: "Water that the room needs".into(),
///     days: vec![day(Date::constant(2026, 3, 1), 40.0), day(Date::constant(2026, 3, 2), 45.0)],
///     installed: Some(VolumeRate::new::<liter_per_minute>(60.0)),
///     ..NeedFigure::default()
/// };
/// assert!(figure.chart().svg()?.contains("45 L/min on 2026-03-02"));
/// # Ok::<(), risewater::chart::ChartError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct NeedFigure {
    /// Headline.
    pub title: String,
    /// Lines under the headline.
    pub notes: Vec<String>,
    /// The need of each day, from the first to the last.
    pub days: Vec<DayFlow>,
    /// The lifts of each week.
    pub lifts: Vec<WeekOfLifts>,
    /// What all lifts give together.
    pub installed: Option<VolumeRate>,
    /// Units of its numbers.
    pub units: UnitSystem,
}

/// Days in a row, drawn as one.
#[derive(Debug, Clone, Copy)]
struct Bar {
    from: f64,
    to: f64,
    need: f64,
    /// What the lifts give of it.
    met: f64,
    governing: Option<Line>,
}

impl NeedFigure {
    /// The figure of a need, with the lifts that there are.
    ///
    /// # Errors
    /// As [`RoomNeed::lifts`].
    pub fn of(
        need: &RoomNeed,
        installed: Option<&Installed>,
        units: UnitSystem,
    ) -> Result<Self, Error> {
        let lifts = installed.map(|lifts| need.lifts(lifts)).transpose()?;
        Ok(Self {
            title: "Water that the room needs".to_owned(),
            notes: vec!["Means of the day: a peak after feeding is not in them.".to_owned()],
            days: need.days.clone(),
            lifts: lifts.unwrap_or_default(),
            installed: installed.and_then(Installed::all),
            units,
        })
    }

    /// The figure as a chart.
    #[must_use]
    pub fn chart(&self) -> Chart {
        let unit = self.units.water_unit().1;
        let first = self.days.first().map(|day| day.date);
        let end = self.days.len() as f64;
        let in_a_row = self.days.len().div_ceil(DAYS).max(1);
        let bars = self.bars(in_a_row);
        let mut lines = vec![Polyline {
            label: Label::Legend(match in_a_row {
                1 => "water needed".to_owned(),
                days => format!("water needed, largest of {days} days"),
            }),
            points: steps(bars.iter().map(|bar| (bar.from, bar.to, bar.need))),
            ink: Ink::Black,
            stroke: Stroke::Solid,
        }];
        if let Some(first) = first.filter(|_| !self.lifts.is_empty()) {
            let weeks = self.lifts.iter().map(|one| {
                let day = |date| days_between(first, date) as f64;
                let (from, to) = (day(one.week.first), day(one.week.last) + 1.0);
                (from, to, self.plain(one.running.flow))
            });
            lines.push(Polyline {
                label: Label::Legend("given by the lifts that run".to_owned()),
                points: steps(weeks),
                ink: Ink::Vermilion,
                stroke: Stroke::Dashed,
            });
        }
        if let Some(all) = self
            .installed
            .map(|all| self.plain(all))
            .filter(|_| first.is_some())
        {
            lines.push(Polyline {
                label: Label::Beside(format!("installed {} {unit}", digits(all))),
                points: vec![(0.0, all), (end, all)],
                ink: Ink::Black,
                stroke: Stroke::Dotted,
            });
        }
        let marks: Vec<Marks> = self.peak(&bars).into_iter().collect();
        let mut notes = self.notes.clone();
        if marks.is_empty() && first.is_some() {
            notes.push("No water is needed on any day.".to_owned());
        }
        let beside = lines.iter().map(|line| &line.label);
        let named = beside.chain(marks.iter().map(|marks| &marks.label));
        let mut words = vec![format!("Water flow ({unit}) over the dates")];
        words.extend(named.filter_map(|label| match label {
            Label::Beside(name) => Some(name.clone()),
            _ => None,
        }));
        let bands = bands(&bars, unit);
        let shaded = bands.iter().filter(|band| !band.label.is_empty());
        words.extend(shaded.map(|band| band.label.clone()));
        Chart {
            title: self.title.clone(),
            notes,
            description: words.join("; "),
            x: Axis {
                label: "Date".into(),
                covers: vec![0.0, end],
                from: first,
            },
            y: Axis {
                label: format!("Water flow ({unit})"),
                // Room above what is installed, so that its line does not fall on the frame.
                covers: self
                    .installed
                    .iter()
                    .map(|all| 1.05 * self.plain(*all))
                    .chain([0.0])
                    .collect(),
                from: None,
            },
            bands,
            lines,
            marks,
        }
    }

    fn plain(&self, flow: VolumeRate) -> f64 {
        flow.value / self.units.water_unit().0
    }

    fn bars(&self, in_a_row: usize) -> Vec<Bar> {
        let mut from = 0.0;
        let rows = self.days.chunks(in_a_row).filter_map(|days| {
            let most = days
                .iter()
                .reduce(|a, b| if b.flow > a.flow { b } else { a })?;
            let need = self.plain(most.flow);
            let to = from + days.len() as f64;
            let bar = Bar {
                from,
                to,
                need,
                met: self.given(most).map_or(need, |given| given.min(need)),
                governing: most.governing,
            };
            from = to;
            Some(bar)
        });
        rows.collect()
    }

    /// What the lifts give on a day on which they are not enough.
    fn given(&self, day: &DayFlow) -> Option<f64> {
        let next = self.lifts.partition_point(|one| one.week.last < day.date);
        let running = self.lifts.get(next)?.running;
        (running.missing.value > 0.0).then(|| self.plain(running.flow))
    }

    /// The day of the largest need; none where nothing is needed.
    fn peak(&self, bars: &[Bar]) -> Option<Marks> {
        let bar = bars
            .iter()
            .reduce(|a, b| if b.need > a.need { b } else { a })?;
        let days = self.days.iter().enumerate();
        let (place, day) = days.reduce(|a, b| if b.1.flow > a.1.flow { b } else { a })?;
        if bar.need <= 0.0 {
            return None;
        }
        let name = format!(
            "{} {} on {}",
            digits(bar.need),
            self.units.water_unit().1,
            day.date
        );
        Some(Marks {
            label: Label::Beside(name),
            points: vec![(place as f64 + 0.5, bar.need)],
            ink: Ink::Black,
            shape: Shape::Disc,
        })
    }
}

/// The corners of level pieces, from and to and height; those as high as the one before lengthen it.
fn steps(pieces: impl Iterator<Item = (f64, f64, f64)>) -> Vec<(f64, f64)> {
    let mut corners: Vec<(f64, f64)> = Vec::new();
    for (from, to, height) in pieces {
        match corners.last_mut() {
            Some(last) if last.1.to_bits() == height.to_bits() => last.0 = to,
            _ => corners.extend([(from, height), (to, height)]),
        }
    }
    corners
}

/// What is met, by the line that governs, and what is missing; each named once.
fn bands(bars: &[Bar], unit: &str) -> Vec<Band> {
    let mut bands: Vec<Band> = Vec::new();
    for run in bars.chunk_by(|a, b| a.governing == b.governing) {
        if let Some(line) = run.first().and_then(|bar| bar.governing) {
            let name = format!("{line} governs");
            bands.push(band(name, ink(line), run, |bar| (0.0, bar.met)));
        }
    }
    let short = |bar: &Bar| bar.need > bar.met;
    let most = bars
        .iter()
        .map(|bar| bar.need - bar.met)
        .fold(0.0, f64::max);
    for run in bars.chunk_by(|a, b| short(a) == short(b)) {
        if run.first().is_some_and(short) {
            let name = format!("missing, up to {} {unit}", digits(most));
            bands.push(band(name, Ink::Vermilion, run, |bar| (bar.met, bar.need)));
        }
    }
    for n in 1..bands.len() {
        let (before, rest) = bands.split_at_mut(n);
        if let Some(this) = rest.first_mut()
            && before.iter().any(|band| band.label == this.label)
        {
            this.label.clear();
        }
    }
    bands
}

fn band(label: String, ink: Ink, bars: &[Bar], edges: impl Fn(&Bar) -> (f64, f64)) -> Band {
    let points = bars.iter().flat_map(|bar| {
        let (low, high) = edges(bar);
        [bar.from, bar.to].map(|x| BandPoint { x, low, high })
    });
    Band {
        label,
        points: points.collect(),
        ink,
    }
}

fn ink(line: Line) -> Ink {
    match line {
        Line::Oxygen => Ink::Blue,
        Line::Ammonia => Ink::Green,
        Line::CarbonDioxide => Ink::Purple,
        Line::Turnover => Ink::Black,
    }
}
