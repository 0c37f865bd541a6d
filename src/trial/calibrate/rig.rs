//! What was tried on a rig, so that a prediction can say how far it goes beyond.

use super::point::FitPoint;
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::Range;
use crate::riser::{Place, RiserSpec};
use crate::units::{meter, ratio};

/// Differences from a rig that do not count, as a share of the value: what a tape cannot tell.
const MARGIN: f64 = 0.01;
/// Distance in ln(air velocity) over which what a rig found fades: a doubling leaves 1/e. Our own estimate.
const AIR_REACH: f64 = std::f64::consts::LN_2;

/// Smallest and largest of what was tried.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct RigRanges {
    /// Free bore, m.
    pub bore: Range,
    /// Length in bores.
    pub length: Range,
    /// Submergence over length.
    pub submergence_ratio: Range,
    /// Superficial velocity of the air, counted dry at 20 °C and 101.325 kPa, m/s.
    pub air_velocity: Range,
}

/// Bore in m, length in bores, submergence ratio, air velocity in m/s.
fn place(spec: &RiserSpec, air: AirFlow) -> [f64; 4] {
    let place = Place::of(spec);
    let area = std::f64::consts::FRAC_PI_4 * place.bore.get::<meter>().powi(2);
    [
        place.bore.get::<meter>(),
        place.length_in_bores.get::<ratio>(),
        place.submergence_ratio.get::<ratio>(),
        air.volume_rate_at_20_c().value / area,
    ]
}

impl RigRanges {
    /// The ranges of some points.
    pub(super) fn of(points: &[FitPoint]) -> Self {
        let mut ranges = [(f64::INFINITY, f64::NEG_INFINITY); 4];
        for point in points {
            for (range, value) in ranges.iter_mut().zip(place(&point.spec, point.air)) {
                *range = (range.0.min(value), range.1.max(value));
            }
        }
        let range = |n: usize, unit| Range::new(ranges[n].0, ranges[n].1, unit);
        Self {
            bore: range(0, "m"),
            length: range(1, "bores"),
            submergence_ratio: range(2, ""),
            air_velocity: range(3, "m/s"),
        }
    }

    /// One caution for each range that a riser at an air flow is outside of, by more than 1 %.
    #[must_use]
    pub fn cautions(&self, spec: &RiserSpec, air: AirFlow) -> Vec<Caution> {
        self.all()
            .into_iter()
            .zip(place(spec, air))
            .filter(|((_, range), value)| beyond(range, *value))
            .map(|((what, range), value)| Caution::BeyondCalibration { what, value, range })
            .collect()
    }

    /// Whether bore or length are outside.
    pub(super) fn other_size(&self, spec: &RiserSpec, air: AirFlow) -> bool {
        let [bore, length, ..] = place(spec, air);
        beyond(&self.bore, bore) || beyond(&self.length, length)
    }

    /// How much what the rig found counts at an air flow: 1 within its air velocities,
    ///
    /// ```text
    /// exp(−|ln(j/j_edge)|/l_j)
    /// ```
    ///
    /// beyond them, with `l_j` = ln 2, our own estimate.
    pub(super) fn air_share(&self, spec: &RiserSpec, air: AirFlow) -> f64 {
        let [.., velocity] = place(spec, air);
        let edge = velocity.clamp(self.air_velocity.min, self.air_velocity.max);
        let far = (velocity / edge).ln().abs();
        if far > 0.0 {
            (-far / AIR_REACH).exp()
        } else {
            1.0
        }
    }

    /// What each range is of, and the range.
    #[must_use]
    pub fn all(&self) -> [(&'static str, Range); 4] {
        [
            ("bore", self.bore),
            ("length", self.length),
            ("submergence ratio", self.submergence_ratio),
            ("air velocity", self.air_velocity),
        ]
    }
}

fn beyond(range: &Range, value: f64) -> bool {
    value < range.min - MARGIN * range.min.abs() || value > range.max + MARGIN * range.max.abs()
}

/// Whether two places are the same to within 1 % of each number.
pub(super) fn same(a: &Place, b: &Place) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= MARGIN * a.abs();
    near(a.submergence_ratio.value, b.submergence_ratio.value)
        && near(a.length_in_bores.value, b.length_in_bores.value)
        && near(a.bore.value, b.bore.value)
}
