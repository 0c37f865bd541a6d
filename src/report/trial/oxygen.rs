//! Readings and fitted curves of an aeration test, drawn.

use crate::chart::{Axis, Chart, Ink, Label, Marks, Polyline, Shape, Stroke};
use crate::gas::aeration::Reading;
use crate::transfer::Aeration;
use crate::units::{Time, base, milligram_per_liter, minute, per_hour};

impl Aeration {
    /// Readings and fitted curves: dissolved oxygen in mg/L against time in minutes.
    #[must_use]
    pub fn chart(&self) -> Chart {
        const INKS: [Ink; 3] = [Ink::Blue, Ink::Vermilion, Ink::Black];
        const SHAPES: [Shape; 2] = [Shape::Disc, Shape::Ring];
        let mut chart = Chart {
            title: "Oxygen of the test and the fitted curves".into(),
            x: Axis {
                label: "time (min)".into(),
                covers: vec![0.0],
                ..Axis::default()
            },
            y: Axis {
                label: "dissolved oxygen (mg/L)".into(),
                covers: vec![0.0],
                ..Axis::default()
            },
            ..Chart::default()
        };
        let probes = self.bench.test.probes.iter().zip(&self.standard.probes);
        for (n, (name, (readings, probe))) in self.bench.names.iter().zip(probes).enumerate() {
            let ink = INKS[n % INKS.len()];
            let k = probe.fit.coefficient.value.get::<per_hour>();
            let start: Time = readings.first().map_or(base(0.0), |reading| reading.time);
            let curve = (0..=80).map(|n| {
                let after = probe.fit.span * (f64::from(n) / 80.0);
                let oxygen = probe.fit.oxygen_at(after);
                (
                    (start + after).get::<minute>(),
                    oxygen.get::<milligram_per_liter>(),
                )
            });
            chart.lines.push(Polyline {
                label: Label::Legend(format!("{name}: kLa {k:.2}/h")),
                points: curve.collect(),
                ink,
                stroke: if n % 2 == 0 {
                    Stroke::Solid
                } else {
                    Stroke::Dashed
                },
            });
            let point = |r: &Reading| {
                (
                    r.time.get::<minute>(),
                    r.oxygen.get::<milligram_per_liter>(),
                )
            };
            chart.marks.push(Marks {
                label: Label::Legend(format!("{name}, read")),
                points: readings.iter().map(point).collect(),
                ink,
                shape: SHAPES[n % SHAPES.len()],
            });
        }
        chart
    }
}
