//! The picture of a comparison.

use crate::answer::{ComparedFlow, ComparedRun, ComparisonAnswer, OverallFacts, OverallOf};
use crate::chart::{Axis, Band, BandPoint, Chart, Ink, Label, Marks, Polyline, Shape, Stroke};
use crate::report::UnitSystem;
use crate::trial::{configurations, same_configuration};

/// How far the axis goes whatever the runs are, %.
const LEAST: f64 = 5.0;

impl ComparisonAnswer {
    /// The residuals: how far theory is from each reading, with the sign of the table, and the mean of each
    /// configuration.
    #[must_use]
    pub fn chart(&self, units: UnitSystem) -> Chart {
        const LOOKS: [(Ink, Shape, Stroke); 4] = [
            (Ink::Blue, Shape::Disc, Stroke::Dashed),
            (Ink::Vermilion, Shape::Diamond, Stroke::Dotted),
            (Ink::Green, Shape::Square, Stroke::Dashed),
            (Ink::Black, Shape::Triangle, Stroke::Dotted),
        ];
        let (size, unit) = units.water_unit();
        let runs = self.runs.iter();
        let shown: Vec<(&ComparedRun, ComparedFlow)> = runs
            .filter(|run| run.predicted_water_flow_m3_per_s > 0.0)
            .filter_map(|run| Some((run, run.measured?)))
            .collect();
        let theory = |quotient: f64| 100.0 * (quotient - 1.0);
        let x = |run: &ComparedRun| run.predicted_water_flow_m3_per_s / size;
        let all = shown.iter();
        let widest = all.map(|(run, _)| 1.05 * x(run)).fold(0.0, f64::max);
        let flat = |y: f64, label: String, ink, stroke| Polyline {
            label: Label::Legend(label),
            points: vec![(0.0, y), (widest, y)],
            ink,
            stroke,
        };
        let mut lines = vec![flat(0.0, "as measured".into(), Ink::Black, Stroke::Solid)];
        let (mut bars, mut marks) = (Vec::new(), Vec::new());
        let names = configurations(shown.iter().map(|(run, _)| run.configuration.as_str()));
        for (n, name) in names.iter().enumerate() {
            let (ink, shape, stroke) = LOOKS[n % LOOKS.len()];
            let of_it = || {
                shown
                    .iter()
                    .filter(|(run, _)| same_configuration(&run.configuration, name))
            };
            let called = if name.is_empty() { "runs" } else { *name };
            bars.extend(of_it().filter_map(|(run, flow)| {
                let low = flow.predicted_over_measured_low?;
                let high = flow.predicted_over_measured_high?;
                Some(Band {
                    label: String::new(),
                    points: vec![BandPoint {
                        x: x(run),
                        low: theory(low),
                        high: theory(high),
                    }],
                    ink,
                })
            }));
            marks.push(Marks {
                label: Label::Legend(called.into()),
                points: of_it()
                    .map(|(run, flow)| (x(run), theory(flow.predicted_over_measured)))
                    .collect(),
                ink,
                shape,
            });
            if let Some(mean) = self.overall_of(name) {
                let mean = 100.0 * mean.bias;
                let label = format!("mean of {called}: {mean:+.1} %");
                lines.push(flat(mean, label, ink, stroke));
            }
        }
        let points = bars.iter().flat_map(|bar| &bar.points);
        let ends: Vec<f64> = points.flat_map(|point| [point.low, point.high]).collect();
        Chart {
            title: "Theory against measured water flow".into(),
            notes: vec![
                self.model.worded(units),
                "Bars: 95 % limits by the readings of water, air, depth and lift".into(),
            ],
            description: format!(
                "{} runs; predicted over measured water flow, less one, against the predicted flow",
                shown.len()
            ),
            x: Axis {
                label: format!("Predicted water flow ({unit})"),
                covers: vec![0.0],
                from: None,
            },
            y: Axis {
                label: "Theory: predicted over measured, less one (%)".into(),
                covers: [-LEAST, LEAST].into_iter().chain(ends).collect(),
                from: None,
            },
            bands: bars,
            lines,
            marks,
        }
    }

    /// The runs of a configuration together.
    fn overall_of(&self, name: &str) -> Option<&OverallFacts> {
        let of_it = |one: &&OverallOf| same_configuration(&one.configuration, name);
        match &self.by_configuration[..] {
            [] => self.overall.as_ref(),
            several => several.iter().find(of_it).map(|one| &one.overall),
        }
    }
}
