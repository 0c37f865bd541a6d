//! The picture of a comparison.

use super::ComparisonReport;
use crate::chart::{Axis, Band, BandPoint, Chart, Ink, Label, Line, Marks, Shape, Stroke};
use crate::report::UnitSystem;
use crate::trial::{Overall, RunAgreement, configurations, same_configuration};
use crate::units::{Ratio, percent, ratio};

/// How far the axis goes whatever the runs are, %.
const LEAST: f64 = 5.0;

impl ComparisonReport {
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
        let shown: Vec<&RunAgreement> = self
            .agreement
            .runs
            .iter()
            .filter(|run| run.predicted.value > 0.0)
            .collect();
        let theory = |quotient: Ratio| 100.0 * (quotient.get::<ratio>() - 1.0);
        let x = |run: &RunAgreement| run.predicted.value / size;
        let widest = shown.iter().map(|run| 1.05 * x(run)).fold(0.0, f64::max);
        let flat = |y: f64, label: String, ink, stroke| Line {
            label: Label::Legend(label),
            points: vec![(0.0, y), (widest, y)],
            ink,
            stroke,
        };
        let mut lines = vec![flat(0.0, "as measured".into(), Ink::Black, Stroke::Solid)];
        let (mut bars, mut marks) = (Vec::new(), Vec::new());
        let names = configurations(shown.iter().map(|run| run.configuration.as_str()));
        for (n, name) in names.iter().enumerate() {
            let (ink, shape, stroke) = LOOKS[n % LOOKS.len()];
            let of_it = || {
                shown
                    .iter()
                    .filter(|run| same_configuration(&run.configuration, name))
            };
            let called = if name.is_empty() { "runs" } else { *name };
            bars.extend(of_it().filter_map(|run| {
                let (low, high) = run.limits?;
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
                points: of_it().map(|run| (x(run), theory(run.ratio))).collect(),
                ink,
                shape,
            });
            if let Some(mean) = self.overall_of(name) {
                let mean = mean.bias.get::<percent>();
                let label = format!("mean of {called}: {mean:+.1} %");
                lines.push(flat(mean, label, ink, stroke));
            }
        }
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
                covers: vec![-LEAST, LEAST],
                from: None,
            },
            bands: bars,
            lines,
            marks,
        }
    }

    /// The runs of a configuration together.
    fn overall_of(&self, name: &str) -> Option<&Overall> {
        match &self.agreement.by_configuration[..] {
            [] => self.agreement.overall.as_ref(),
            several => several
                .iter()
                .find(|(known, _)| same_configuration(known, name))
                .map(|(_, overall)| overall),
        }
    }
}
