//! Headline, notes and legend.

use svg::Node;
use svg::node::element::Group;

use super::shape::{MEDIUM, filled, mark, rim, stroked, text, width, wrapped};
use super::{Chart, Ink, Label, Shape, Stroke};

/// What stands above the frame, line under line.
pub(super) struct Head {
    pub left: f64,
    pub right: f64,
    pub bottom: f64,
    pub group: Group,
}

impl Head {
    fn push(&mut self, node: impl Into<Box<dyn Node>>) {
        self.group.append(node);
    }

    pub(super) fn paragraph(&mut self, words: &str, size: f64, bold: bool) {
        for row in wrapped(words, self.right - self.left, size) {
            self.bottom += 1.3 * size;
            let weight = if bold { "bold" } else { "normal" };
            let row = text((self.left, self.bottom - 0.2 * size), &row, "start");
            self.push(row.set("font-size", size).set("font-weight", weight));
        }
    }

    pub(super) fn legend(&mut self, chart: &Chart) {
        const SAMPLE: f64 = 28.0;
        let lines = chart
            .lines
            .iter()
            .map(|l| (&l.label, Sample::Line(l.ink, l.stroke)));
        let marks = chart
            .marks
            .iter()
            .map(|m| (&m.label, Sample::Mark(m.ink, m.shape)));
        let named = lines
            .chain(marks)
            .filter_map(|(label, sample)| match label {
                Label::Legend(name) => Some((name, sample)),
                _ => None,
            });
        let bands = chart.bands.iter().map(|b| (&b.label, Sample::Band(b.ink)));
        let mut x = f64::INFINITY;
        for (name, sample) in named.chain(bands).filter(|(name, _)| !name.is_empty()) {
            let rows = wrapped(name, self.right - self.left - SAMPLE - 7.0, MEDIUM);
            let widths = rows.iter().map(|row| width(row, MEDIUM));
            let wide = SAMPLE + 7.0 + widths.fold(0.0, f64::max);
            if x + wide > self.right {
                x = self.left;
                self.bottom += 1.6 * MEDIUM;
            }
            let middle = self.bottom - 0.35 * MEDIUM;
            let (from, to) = ((x, middle), (x + SAMPLE, middle));
            match sample {
                Sample::Line(ink, stroke) => {
                    self.push(stroked(&[from, to], ink, stroke));
                }
                Sample::Mark(ink, shape) => self.push(mark((x + 0.5 * SAMPLE, middle), shape, ink)),
                Sample::Band(ink) => {
                    let (high, low) = (middle - 6.0, middle + 6.0);
                    let corners = [(from.0, high), (to.0, high), (to.0, low), (from.0, low)];
                    self.push(filled(&corners, ink));
                    for edge in [&corners[..2], &corners[2..]] {
                        self.push(rim(edge, ink));
                    }
                }
            }
            for (n, row) in rows.iter().enumerate() {
                if n > 0 {
                    self.bottom += 1.3 * MEDIUM;
                }
                let row = text((x + SAMPLE + 7.0, self.bottom), row, "start");
                self.push(row.set("font-size", MEDIUM));
            }
            x += wide + 24.0;
        }
    }
}

enum Sample {
    Line(Ink, Stroke),
    Mark(Ink, Shape),
    Band(Ink),
}
