//! The figure of a bench trial: measured points beside what was predicted, before and after.

use super::flow_curve::{FlowBand, FlowPoint, air_label, band, plain};
use super::{Axis, Chart, Ink, Label, Marks, Polyline, Shape, Stroke};
use crate::units::UnitSystem;

/// Water flow against air flow of a riser that was measured: predicted and calibrated curve, each with its interval,
/// and the readings.
///
/// # Examples
/// ```
/// use risewater::chart::{FlowPoint, TrialFigure};
/// use risewater::units::{VolumeRate, liter_per_minute};
///
/// let flow = VolumeRate::new::<liter_per_minute>;
/// let point = |air, water| FlowPoint { air_at_20_c: flow(air), water: flow(water) };
/// // A made-up trial.
/// let figure = TrialFigure {
///     title: "Riser of 60 mm bore".into(),
///     predicted: vec![point(8.0, 0.0), point(20.0, 50.0), point(60.0, 90.0)],
///     calibrated: vec![point(8.0, 0.0), point(20.0, 46.0), point(60.0, 83.0)],
///     measured: vec![point(20.0, 45.0)],
///     ..TrialFigure::default()
/// };
/// assert!(figure.chart().svg()?.contains("measured"));
/// # Ok::<(), risewater::chart::ChartError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TrialFigure {
    /// Headline.
    pub title: String,
    /// Lines under the headline.
    pub notes: Vec<String>,
    /// The curve before the trial, in the order of air flow.
    pub predicted: Vec<FlowPoint>,
    /// Its interval.
    pub before: Vec<FlowBand>,
    /// The curve after the trial.
    pub calibrated: Vec<FlowPoint>,
    /// Its interval.
    pub after: Vec<FlowBand>,
    /// The readings.
    pub measured: Vec<FlowPoint>,
    /// What each reading may be off by, in their order.
    pub bars: Vec<FlowBand>,
    /// Units of its numbers.
    pub units: UnitSystem,
}

impl TrialFigure {
    /// The figure as a chart.
    #[must_use]
    pub fn chart(&self) -> Chart {
        let units = self.units;
        let points = |points: &[FlowPoint]| points.iter().map(|p| plain(*p, units)).collect();
        let line = |label: &str, of: &[FlowPoint], ink, stroke| Polyline {
            label: Label::Legend(label.into()),
            points: points(of),
            ink,
            stroke,
        };
        let water = units.water_unit().1;
        let bars = self.bars.iter();
        let mut bands = vec![
            band("interval before", &self.before, Ink::Black, units),
            band("interval after", &self.after, Ink::Blue, units),
        ];
        bands.extend(bars.map(|bar| band("", std::slice::from_ref(bar), Ink::Vermilion, units)));
        Chart {
            title: self.title.clone(),
            notes: self.notes.clone(),
            description: format!(
                "Water flow against air flow: {} measured points, the predicted and the calibrated curve, each with its interval",
                self.measured.len()
            ),
            x: Axis {
                label: air_label(units),
                covers: vec![0.0],
                from: None,
            },
            y: Axis {
                label: format!("Water flow ({water})"),
                covers: vec![0.0],
                from: None,
            },
            bands,
            lines: vec![
                line("predicted", &self.predicted, Ink::Black, Stroke::Dashed),
                line("calibrated", &self.calibrated, Ink::Blue, Stroke::Solid),
            ],
            marks: vec![Marks {
                label: Label::Legend("measured".into()),
                points: points(&self.measured),
                ink: Ink::Vermilion,
                shape: Shape::Disc,
            }],
        }
    }
}
