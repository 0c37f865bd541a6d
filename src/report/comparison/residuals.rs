//! The picture of a comparison.

use super::ComparisonReport;
use crate::chart::{Axis, Band, BandPoint, Chart, Ink, Label, Line, Marks, Shape, Stroke};
use crate::report::UnitSystem;
use crate::trial::RunAgreement;
use crate::units::{Ratio, ratio};

impl ComparisonReport {
    /// The residuals: how far each measurement is from its prediction.
    #[must_use]
    pub fn chart(&self, units: UnitSystem) -> Chart {
        const LOOKS: [(Ink, Shape); 4] = [
            (Ink::Blue, Shape::Disc),
            (Ink::Vermilion, Shape::Diamond),
            (Ink::Green, Shape::Square),
            (Ink::Black, Shape::Triangle),
        ];
        let (size, unit) = units.water_unit();
        let shown: Vec<&RunAgreement> = self
            .agreement
            .runs
            .iter()
            .filter(|run| run.predicted.value > 0.0)
            .collect();
        let off = |run: &RunAgreement| 100.0 * (1.0 / run.ratio.get::<ratio>() - 1.0);
        let widest = shown
            .iter()
            .map(|run| 1.05 * run.predicted.value / size)
            .fold(0.0, f64::max);
        let mut names: Vec<&str> = Vec::new();
        for run in &shown {
            if !names.contains(&run.configuration.as_str()) {
                names.push(&run.configuration);
            }
        }
        let marks = names.iter().enumerate().map(|(n, name)| {
            let (ink, shape) = LOOKS[n % LOOKS.len()];
            let of_it = shown.iter().filter(|run| run.configuration == **name);
            Marks {
                label: Label::Legend(if name.is_empty() {
                    "runs".into()
                } else {
                    (*name).into()
                }),
                points: of_it
                    .map(|run| (run.predicted.value / size, off(run)))
                    .collect(),
                ink,
                shape,
            }
        });
        let level = |theory: Ratio| 100.0 * (1.0 / (1.0 + theory.get::<ratio>()) - 1.0);
        let overall = self.agreement.overall;
        let band = overall.and_then(|all| all.interval).map(|(low, high)| {
            let at = |x| BandPoint {
                x,
                low: level(high),
                high: level(low),
            };
            Band {
                label: "95 % interval of the mean".into(),
                points: vec![at(0.0), at(widest)],
                ink: Ink::Blue,
            }
        });
        let flat = |y: f64, label: &str, stroke| Line {
            label: Label::Legend(label.into()),
            points: vec![(0.0, y), (widest, y)],
            ink: Ink::Black,
            stroke,
        };
        let mut lines = vec![flat(0.0, "as predicted", Stroke::Solid)];
        lines.extend(overall.map(|all| flat(level(all.bias), "mean", Stroke::Dashed)));
        Chart {
            title: "Measured against predicted water flow".into(),
            notes: vec![self.model.to_string()],
            description: format!(
                "{} runs; difference of measured from predicted flow",
                shown.len()
            ),
            x: Axis {
                label: format!("Predicted water flow ({unit})"),
                covers: vec![0.0],
                from: None,
            },
            y: Axis {
                label: "Measured less predicted (%)".into(),
                covers: vec![-5.0, 5.0],
                from: None,
            },
            bands: band.into_iter().collect(),
            lines,
            marks: marks.collect(),
        }
    }
}
