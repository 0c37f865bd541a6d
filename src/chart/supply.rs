//! The figures of an air supply: pressure rise against air flow, and the air of each lift.

use super::flow_curve::{air_label, digits};
use super::{Axis, Band, BandPoint, Chart, Ink, Label, Marks, Polyline, Shape, Stroke};
use crate::air::AirFlow;
use crate::error::Error;
use crate::supply::{Existing, Plant, PressurePoint, SolvedSupply, Steady};
use crate::units::{Pressure, Ratio, UnitSystem, VolumeRate, percent};

/// Pressure rise at an air flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RisePoint {
    /// Volume flow of the air as dry gas at 20 °C and 101.325 kPa.
    pub air_at_20_c: VolumeRate,
    /// Pressure rise from intake to discharge.
    pub rise: Pressure,
}

/// What a plant asks for and what its blowers give: pressure rise against air flow.
///
/// # Examples
/// ```
/// use risewater::chart::{PressureFigure, RisePoint};
/// use risewater::units::{Pressure, VolumeRate, kilopascal, liter_per_minute};
///
/// let point = |air, rise| RisePoint {
///     air_at_20_c: VolumeRate::new::<liter_per_minute>(air),
///     rise: Pressure::new::<kilopascal>(rise),
/// };
/// // Made-up curves.
/// let figure = PressureFigure {
///     title: "System and blowers".into(),
///     system: vec![point(100.0, 11.0), point(600.0, 13.0), point(1000.0, 17.0)],
///     blowers: vec![point(0.0, 22.0), point(1000.0, 15.0), point(1500.0, 9.0)],
///     design: Some(point(700.0, 13.6)),
///     unbled: Some(point(930.0, 15.6)),
///     ..PressureFigure::default()
/// };
/// let svg = figure.chart().svg()?;
/// assert!(svg.contains("design 13.6 kPa at 700 L/min"));
/// # Ok::<(), risewater::chart::ChartError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PressureFigure {
    /// Headline.
    pub title: String,
    /// Lines under the headline.
    pub notes: Vec<String>,
    /// What main line, header and running lifts need, in the order of air flow.
    pub system: Vec<RisePoint>,
    /// What the running blowers give together.
    pub blowers: Vec<RisePoint>,
    /// What one blower less gives.
    pub one_less: Vec<RisePoint>,
    /// Air and pressure of the design.
    pub design: Option<RisePoint>,
    /// Where blowers and system meet with nothing bled.
    pub unbled: Option<RisePoint>,
    /// Where a plant that stands runs.
    pub present: Option<RisePoint>,
    /// What pushes the water out of the air lines before any lift runs.
    pub startup_rise: Option<Pressure>,
    /// Units of its numbers.
    pub units: UnitSystem,
}

/// Points of each curve.
const POINTS: usize = 80;

impl PressureFigure {
    /// The curves of a plant and its blowers.
    ///
    /// # Errors
    /// As [`SolvedSupply::pressure_curves`].
    pub fn of(plant: &Plant, solved: &SolvedSupply) -> Result<Self, Error> {
        let curves = solved.pressure_curves(plant, POINTS)?;
        let point = |air: AirFlow, rise: Pressure| RisePoint {
            air_at_20_c: air.volume_rate_at_20_c(),
            rise,
        };
        let plain =
            |points: &[PressurePoint]| points.iter().map(|p| point(p.air, p.rise)).collect();
        let unbled = solved.operation.as_ref();
        Ok(Self {
            title: if curves.blowers.is_empty() {
                "What the plant needs".to_owned()
            } else {
                "What the plant needs and what the blowers give".to_owned()
            },
            notes: Vec::new(),
            system: plain(&curves.system),
            blowers: plain(&curves.blowers),
            one_less: plain(&curves.one_less),
            design: Some(point(solved.duty.air, solved.duty.running_rise)),
            unbled: unbled.map(|o| point(o.unbled.split.air, o.unbled_rise)),
            present: None,
            startup_rise: Some(solved.duty.startup_rise),
            units: UnitSystem::Metric,
        })
    }

    /// The curves of a plant that stands, and where it runs.
    ///
    /// # Errors
    /// As [`Existing::pressure_curves`].
    pub fn of_existing(existing: &Existing, steady: &Steady) -> Result<Self, Error> {
        let curves = existing.pressure_curves(steady, POINTS)?;
        let point = |air: AirFlow, rise: Pressure| RisePoint {
            air_at_20_c: air.volume_rate_at_20_c(),
            rise,
        };
        let plain =
            |points: &[PressurePoint]| points.iter().map(|p| point(p.air, p.rise)).collect();
        let startup = steady.manifold.startup_pressure();
        Ok(Self {
            title: "What the lifts need and what the blower leaves them".to_owned(),
            system: plain(&curves.system),
            blowers: plain(&curves.blowers),
            present: Some(point(steady.running.split.air, steady.rise)),
            startup_rise: startup.map(|deepest| deepest - steady.intake.pressure),
            ..Self::default()
        })
    }

    /// The figure as a chart.
    #[must_use]
    pub fn chart(&self) -> Chart {
        let ((size, pressure), flow) = (self.units.pressure_unit(), self.units.air_unit().1);
        let plain = |point| plain(point, self.units);
        let line = |name: &str, points: &[RisePoint], ink, stroke| Polyline {
            label: if points.is_empty() {
                Label::None
            } else {
                Label::Legend(name.into())
            },
            points: points.iter().copied().map(&plain).collect(),
            ink,
            stroke,
        };
        let mut lines = vec![
            line(
                "needed: main line, header, lifts",
                &self.system,
                Ink::Blue,
                Stroke::Solid,
            ),
            line(
                "given by the running blowers",
                &self.blowers,
                Ink::Vermilion,
                Stroke::Solid,
            ),
            line(
                "one blower less",
                &self.one_less,
                Ink::Vermilion,
                Stroke::Dotted,
            ),
        ];
        let mark = |what: &str, point: Option<RisePoint>, ink, shape| {
            let (air, rise) = point.map_or((0.0, 0.0), &plain);
            Marks {
                label: Label::Beside(format!(
                    "{what} {} {pressure} at {} {flow}",
                    digits(rise),
                    digits(air)
                )),
                points: point.map(&plain).into_iter().collect(),
                ink,
                shape,
            }
        };
        let marks = vec![
            mark("design", self.design, Ink::Black, Shape::Disc),
            mark("without bleed", self.unbled, Ink::Vermilion, Shape::Ring),
            mark("now", self.present, Ink::Black, Shape::Disc),
        ];
        let ends = |points: &[(f64, f64)]| points.iter().map(|p| p.0).fold(0.0, f64::max);
        let right = lines
            .iter()
            .map(|line| ends(&line.points))
            .chain(marks.iter().map(|marks| ends(&marks.points)))
            .fold(0.0, f64::max);
        if let Some(rise) = self.startup_rise.map(|rise| rise.value / size) {
            lines.push(Polyline {
                label: Label::Beside(format!("start-up {} {pressure}", digits(rise))),
                points: vec![(0.0, rise), (right, rise)],
                ink: Ink::Green,
                stroke: Stroke::Dashed,
            });
        }
        let named = |label: &Label| match label {
            Label::Beside(name) => Some(name.clone()),
            _ => None,
        };
        let shown = marks.iter().filter(|marks| !marks.points.is_empty());
        let mut words = vec![format!(
            "Pressure rise ({pressure}) against air flow ({flow})"
        )];
        words.extend(shown.filter_map(|marks| named(&marks.label)));
        words.extend(lines.iter().filter_map(|line| named(&line.label)));
        Chart {
            title: self.title.clone(),
            notes: self.notes.clone(),
            description: words.join("; "),
            x: Axis {
                label: air_label(self.units),
                covers: vec![0.0],
                from: None,
            },
            y: Axis {
                label: format!("Pressure rise ({pressure})"),
                covers: vec![0.0],
                from: None,
            },
            bands: Vec::new(),
            lines,
            marks,
        }
    }
}

/// Air of each lift over its design, in one state of the plant.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftShares {
    /// The state, as the legend has it.
    pub name: String,
    /// Air over design, in the header's order; none for a lift that is closed.
    pub shares: Vec<Option<Ratio>>,
}

/// The air of each lift over its design, as points over the lift's place in the list.
///
/// # Examples
/// ```
/// use risewater::chart::{AirShares, LiftShares};
/// use risewater::units::{Ratio, percent};
///
/// let figure = AirShares {
///     title: "Air of each lift".into(),
///     states: vec![LiftShares {
///         name: "drilled".into(),
///         shares: [101.0, 99.2, 100.4].map(|share| Some(Ratio::new::<percent>(share))).to_vec(),
///     }],
///     tolerance: Some(Ratio::new::<percent>(2.0)),
/// };
/// assert!(figure.chart().svg()?.contains("2 % either way"));
/// # Ok::<(), risewater::chart::ChartError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AirShares {
    /// Headline.
    pub title: String,
    /// The states; four are told apart.
    pub states: Vec<LiftShares>,
    /// How far the air may be from the design.
    pub tolerance: Option<Ratio>,
}

const LOOKS: [(Ink, Shape); 4] = [
    (Ink::Blue, Shape::Disc),
    (Ink::Vermilion, Shape::Diamond),
    (Ink::Green, Shape::Triangle),
    (Ink::Black, Shape::Ring),
];

/// From a state's points to the next state's, so that equal ones do not cover each other.
const BESIDE: f64 = 0.2;

impl AirShares {
    /// The figure as a chart.
    #[must_use]
    pub fn chart(&self) -> Chart {
        let lifts = self.states.iter().map(|state| state.shares.len()).max();
        let end = lifts.unwrap_or_default() as f64 + 1.0;
        let looks = LOOKS.iter().cycle();
        let middle = 0.5 * (self.states.len().max(1) - 1) as f64;
        let states = self.states.iter().zip(looks).enumerate();
        let marks = states.map(|(place, (state, (ink, shape)))| {
            let first = 1.0 + BESIDE * (place as f64 - middle);
            let shares = state.shares.iter().enumerate();
            Marks {
                label: Label::Legend(state.name.clone()),
                points: shares
                    .filter_map(|(n, share)| {
                        Some((first + n as f64, share.as_ref()?.get::<percent>()))
                    })
                    .collect(),
                ink: *ink,
                shape: *shape,
            }
        });
        let marks: Vec<Marks> = marks.filter(|marks| !marks.points.is_empty()).collect();
        let tolerance = self.tolerance.map(|tolerance| tolerance.get::<percent>());
        let band = tolerance.map(|off| Band {
            label: format!("{} % either way", digits(off)),
            points: [0.0, end]
                .map(|x| BandPoint {
                    x,
                    low: 100.0 - off,
                    high: 100.0 + off,
                })
                .to_vec(),
            ink: Ink::Green,
        });
        Chart {
            title: self.title.clone(),
            notes: Vec::new(),
            description: String::new(),
            x: Axis {
                label: "Lift, in the order of the table".into(),
                covers: vec![0.0, end],
                from: None,
            },
            y: Axis {
                label: "Air over design (%)".into(),
                covers: vec![98.0, 102.0],
                from: None,
            },
            bands: band.into_iter().collect(),
            lines: vec![Polyline {
                label: Label::None,
                points: vec![(0.0, 100.0), (end, 100.0)],
                ink: Ink::Black,
                stroke: Stroke::Dotted,
            }],
            marks,
        }
    }
}

fn plain(point: RisePoint, units: UnitSystem) -> (f64, f64) {
    (
        point.air_at_20_c.value / units.air_unit().0,
        point.rise.value / units.pressure_unit().0,
    )
}
