//! The figure of a riser: water flow against air flow, with its marked points.

use super::{Axis, Band, BandPoint, Chart, Ink, Label, Marks, Polyline, Shape, Stroke};
use crate::units::{UnitSystem, VolumeRate};

/// Water flow at an air flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlowPoint {
    /// Volume flow of the air as dry gas at 20 °C and 101.325 kPa.
    pub air_at_20_c: VolumeRate,
    /// Water flow.
    pub water: VolumeRate,
}

/// Spread of the water flow at an air flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlowBand {
    /// Volume flow of the air as dry gas at 20 °C and 101.325 kPa.
    pub air_at_20_c: VolumeRate,
    /// Low end of the water flow.
    pub low: VolumeRate,
    /// High end of the water flow.
    pub high: VolumeRate,
}

/// A wanted water flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DutyPoint {
    /// The water flow wanted.
    pub water: VolumeRate,
    /// Where the curve gives it, if it does.
    pub operating_point: Option<FlowPoint>,
}

/// The curve of another state of the same riser.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OtherCurve {
    /// What is other.
    pub label: String,
    /// The curve, in the order of air flow.
    pub curve: Vec<FlowPoint>,
}

/// Water flow against air flow, with what is worth marking on it.
///
/// # Examples
/// ```
/// use risewater::chart::{DutyPoint, FlowCurve, FlowPoint};
/// use risewater::units::{VolumeRate, liter_per_minute};
///
/// let flow = VolumeRate::new::<liter_per_minute>;
/// let point = |air, water| FlowPoint { air_at_20_c: flow(air), water: flow(water) };
/// // A made-up curve.
/// let figure = FlowCurve {
///     title: "Riser of 60 mm bore".into(),
///     curve: vec![point(8.0, 0.0), point(20.0, 50.0), point(60.0, 90.0), point(150.0, 110.0)],
///     threshold_at_20_c: Some(flow(8.0)),
///     duty: Some(DutyPoint { water: flow(50.0), operating_point: Some(point(20.0, 50.0)) }),
///     ..FlowCurve::default()
/// };
/// let svg = figure.chart().svg()?;
/// assert!(svg.contains("duty point 50"));
/// # Ok::<(), risewater::chart::ChartError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FlowCurve {
    /// Headline.
    pub title: String,
    /// Lines under the headline: the riser, the closures.
    pub notes: Vec<String>,
    /// The curve, in the order of air flow.
    pub curve: Vec<FlowPoint>,
    /// Curves of other states, beside it.
    pub others: Vec<OtherCurve>,
    /// Its interval, in the order of air flow.
    pub band: Vec<FlowBand>,
    /// What the interval is, for the legend.
    pub band_label: String,
    /// Air flow at which pumping starts, as dry gas at 20 °C and 101.325 kPa.
    pub threshold_at_20_c: Option<VolumeRate>,
    /// The point of best efficiency.
    pub best_efficiency: Option<FlowPoint>,
    /// The point of the largest water flow.
    pub peak: Option<FlowPoint>,
    /// The water flow wanted.
    pub duty: Option<DutyPoint>,
    /// The point at which it runs.
    pub here: Option<FlowPoint>,
    /// Units of its numbers.
    pub units: UnitSystem,
}

impl FlowCurve {
    /// The same as far as an air flow, counted as dry gas at 20 °C and 101.325 kPa: what lies beyond is left out.
    #[must_use]
    pub fn up_to(mut self, air_at_20_c: VolumeRate) -> Self {
        let near = |point: &FlowPoint| point.air_at_20_c <= air_at_20_c;
        let cut = |points: Vec<FlowPoint>| {
            let mut kept: Vec<FlowPoint> = points.iter().copied().take_while(near).collect();
            if let (Some(last), Some(next)) = (kept.last(), points.get(kept.len())) {
                let [from, to] = [last, next].map(|point| point.air_at_20_c);
                let share = (air_at_20_c - from) / (to - from);
                kept.push(FlowPoint {
                    air_at_20_c,
                    water: last.water + share * (next.water - last.water),
                });
            }
            kept
        };
        self.curve = cut(self.curve);
        for other in &mut self.others {
            other.curve = cut(std::mem::take(&mut other.curve));
        }
        let ends = |end: fn(&FlowBand) -> VolumeRate| {
            let edge = self.band.iter().map(|band| FlowPoint {
                air_at_20_c: band.air_at_20_c,
                water: end(band),
            });
            cut(edge.collect())
        };
        let edges = ends(|band| band.low)
            .into_iter()
            .zip(ends(|band| band.high));
        self.band = edges
            .map(|(low, high)| FlowBand {
                air_at_20_c: low.air_at_20_c,
                low: low.water,
                high: high.water,
            })
            .collect();
        self.threshold_at_20_c = self.threshold_at_20_c.filter(|air| *air <= air_at_20_c);
        for point in [&mut self.best_efficiency, &mut self.peak, &mut self.here] {
            *point = point.filter(near);
        }
        if let Some(duty) = &mut self.duty {
            duty.operating_point = duty.operating_point.filter(near);
        }
        self
    }

    fn highest_of_band(&self) -> Option<f64> {
        let highs = self.band.iter().map(|band| band.high.value);
        highs.max_by(f64::total_cmp)
    }

    /// How far up the band is shown: where it is so wide that the curve itself could hardly be read, not all of it.
    fn room_for_band(&self) -> Option<f64> {
        let curve = self.curve.iter().chain(&self.peak);
        let peak = curve.map(|point| point.water.value).fold(0.0, f64::max);
        Some(self.highest_of_band()?.clamp(peak, (2.0 * peak).max(peak)))
    }

    /// What the band is, and that it goes on where it is cut off.
    fn label_of_band(&self) -> String {
        let highest = self.highest_of_band();
        let cut = highest.is_some_and(|high| self.room_for_band().is_some_and(|top| top < high));
        let on = if cut { "; goes on above" } else { "" };
        format!("{}{on}", self.band_label)
    }

    /// The level of a wanted flow, as far as the curves go.
    fn duty_line(&self, duty: DutyPoint, lines: &[Polyline]) -> Polyline {
        let points = lines.iter().flat_map(|line| &line.points);
        let right = points.map(|p| p.0).fold(0.0, f64::max);
        let (size, unit) = self.units.water_unit();
        let level = duty.water.value / size;
        let works = duty.operating_point.map(|point| plain(point, self.units).1);
        let named = works.is_some_and(|flow| digits(flow) == digits(level));
        Polyline {
            // The mark of the operating point tells the same number.
            label: if named {
                Label::None
            } else {
                Label::Beside(format!("duty {} {unit}", digits(level)))
            },
            points: vec![(0.0, level), (right, level)],
            ink: Ink::Vermilion,
            stroke: Stroke::Dashed,
        }
    }

    /// The figure as a chart.
    #[must_use]
    pub fn chart(&self) -> Chart {
        let (air, water) = (self.units.air_unit().1, self.units.water_unit().1);
        let plain = |point| plain(point, self.units);
        let curve = Polyline {
            label: Label::Legend("water flow".into()),
            points: self.curve.iter().copied().map(&plain).collect(),
            ink: Ink::Blue,
            stroke: Stroke::Solid,
        };
        let others = self.others.iter().map(|other| Polyline {
            label: Label::Beside(other.label.clone()),
            points: other.curve.iter().copied().map(&plain).collect(),
            ink: Ink::Purple,
            stroke: Stroke::Dashed,
        });
        let marked = |point: Option<FlowPoint>, label: String, ink, shape| Marks {
            label: Label::Beside(label),
            points: point.map(&plain).into_iter().collect(),
            ink,
            shape,
        };
        let named = |what: &str, point: Option<FlowPoint>| {
            let (x, y) = point.map_or((0.0, 0.0), &plain);
            if air == water {
                format!("{what} {} at air {} {air}", digits(y), digits(x))
            } else {
                format!("{what} {} {water} at air {} {air}", digits(y), digits(x))
            }
        };
        let threshold = self.threshold_at_20_c.map(|air| FlowPoint {
            air_at_20_c: air,
            water: VolumeRate::default(),
        });
        let band_label = self.label_of_band();
        let starts = format!(
            "starts at air {} {air}",
            digits(threshold.map_or(0.0, |p| plain(p).0))
        );
        let works = self.duty.and_then(|duty| duty.operating_point);
        let mut chart = Chart {
            title: self.title.clone(),
            notes: self.notes.clone(),
            description: String::new(),
            x: Axis {
                label: air_label(self.units),
                covers: vec![0.0],
                from: None,
            },
            y: Axis {
                label: format!("Water flow ({water})"),
                // Room above a duty, so that its line does not fall on the frame, and above the curve for a band.
                covers: self
                    .duty
                    .iter()
                    .map(|d| 1.05 * d.water.value)
                    .chain(self.room_for_band())
                    .map(|flow| flow / self.units.water_unit().0)
                    .chain([0.0])
                    .collect(),
                from: None,
            },
            bands: vec![band(&band_label, &self.band, Ink::Blue, self.units)],
            lines: others.chain([curve]).collect(),
            marks: vec![
                marked(threshold, starts, Ink::Black, Shape::Triangle),
                marked(
                    works,
                    named("duty point", works),
                    Ink::Vermilion,
                    Shape::Ring,
                ),
                marked(
                    self.best_efficiency,
                    named("best efficiency", self.best_efficiency),
                    Ink::Green,
                    Shape::Diamond,
                ),
                marked(
                    self.peak,
                    named("peak", self.peak),
                    Ink::Black,
                    Shape::Square,
                ),
                marked(
                    self.here,
                    named("here", self.here),
                    Ink::Vermilion,
                    Shape::Disc,
                ),
            ],
        };
        if let Some(duty) = self.duty {
            let line = self.duty_line(duty, &chart.lines);
            chart.lines.push(line);
        }
        chart.description = description(&chart);
        chart
    }
}

/// An interval as a band; without points it has no name.
pub(super) fn band(label: &str, points: &[FlowBand], ink: Ink, units: UnitSystem) -> Band {
    let (air, water) = (units.air_unit().0, units.water_unit().0);
    let point = |p: &FlowBand| BandPoint {
        x: p.air_at_20_c.value / air,
        low: p.low.value / water,
        high: p.high.value / water,
    };
    Band {
        label: if points.is_empty() { "" } else { label }.into(),
        points: points.iter().map(point).collect(),
        ink,
    }
}

/// The marked points in words.
fn description(chart: &Chart) -> String {
    let beside = |label: &Label| match label {
        Label::Beside(name) => Some(name.clone()),
        _ => None,
    };
    let marks = chart
        .marks
        .iter()
        .filter(|m| !m.points.is_empty())
        .filter_map(|m| beside(&m.label));
    let lines = chart.lines.iter().filter_map(|l| beside(&l.label));
    let mut words = vec![format!("{} against {}", chart.y.label, chart.x.label)];
    words.extend(marks.chain(lines));
    words.join("; ")
}

pub(super) fn plain(point: FlowPoint, units: UnitSystem) -> (f64, f64) {
    (
        point.air_at_20_c.value / units.air_unit().0,
        point.water.value / units.water_unit().0,
    )
}

/// What an axis of air flow shows.
pub(super) fn air_label(units: UnitSystem) -> String {
    let (state, unit) = (units.pick("20 °C", "68 °F"), units.air_unit().1);
    format!("Air flow ({unit}, dry, {state})")
}

/// At least three digits, without trailing zeros after the point.
pub(super) fn digits(value: f64) -> String {
    let decimals = match value.abs() {
        v if v >= 99.95 => 0,
        v if v >= 9.995 => 1,
        _ => 2,
    };
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}
