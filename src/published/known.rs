//! What the law of error makes of the rigs: how far predictions are off once some points of a series are known,
//! and how many readings its intervals hold.

use statrs::distribution::{ContinuousCDF, Normal};

use super::{PublishedPoint, Rig};
use crate::error::Error;
use crate::model::Model;
use crate::riser::{Dimensions, RiserSpec};
use crate::uncertainty::{Calibration, Doubt, MeasuredPoint, Points, ReadPoint};
use crate::units::base;

/// Air over that at the largest measured flow of its series, above which points are left out.
pub const MOST_AIR: f64 = 1.25;
/// |ln(measured/predicted)| from which points are left out.
pub const MOST_OFF: f64 = 0.9;

impl Rig {
    /// The points behind the law of error, by series (same depth and lift) and there in order of air.
    ///
    /// Of the rig's points these are the ones with air up to [`MOST_AIR`] times that at the largest flow of the
    /// series, and off by less than [`MOST_OFF`].
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a developing length out of range; [`Error::NotConverged`], a defect.
    pub fn series(&self, model: Model) -> Result<Vec<Vec<ReadPoint>>, Error> {
        let mut series: Vec<Vec<&PublishedPoint>> = Vec::new();
        for point in &self.points {
            let place = |one: &PublishedPoint| (one.submergence, one.lift);
            match series.iter_mut().find(|own| place(own[0]) == place(point)) {
                Some(own) => own.push(point),
                None => series.push(vec![point]),
            }
        }
        let readings = series.into_iter().map(|mut own| {
            let air = |point: &PublishedPoint| point.air.kg_per_s();
            own.sort_by(|a, b| air(a).total_cmp(&air(b)));
            let water = |point: &PublishedPoint| point.water_flow.value;
            // Of equal ones the first.
            let peak = own
                .iter()
                .rev()
                .max_by(|a, b| water(a).total_cmp(&water(b)));
            let most = peak.map_or(0.0, |peak| MOST_AIR * air(peak));
            let readings = own.iter().filter(|point| air(point) <= most);
            let readings = readings.map(|point| self.reading(point, model));
            readings.filter_map(Result::transpose).collect()
        });
        readings.collect()
    }

    /// A point beside its prediction; none where that is too far off, or nothing flows.
    fn reading(&self, measured: &PublishedPoint, model: Model) -> Result<Option<ReadPoint>, Error> {
        let riser = self.riser(measured, model)?;
        let outcome = riser.operate(measured.air)?;
        let Some(point) = outcome.point() else {
            return Ok(None);
        };
        let off = (measured.water_flow.value / point.water_flow.value).ln();
        if off.abs() >= MOST_OFF {
            return Ok(None);
        }
        Ok(Some(ReadPoint {
            doubt: Doubt::of(&riser, point)?,
            off,
            noise: self.noise,
        }))
    }
}

impl Rig {
    /// Its points as a bench trial has them, each read once.
    ///
    /// # Errors
    /// As [`Calibration::new`].
    pub fn measured(&self) -> Result<Calibration, Error> {
        let site = super::site()?;
        let points = self
            .points
            .iter()
            .enumerate()
            .map(|(n, point)| MeasuredPoint {
                run: (n + 1).to_string(),
                submergence: point.submergence,
                lift: point.lift,
                site,
                air: point.air,
                water_flow: point.water_flow,
                water_standard: base(0.0),
                air_standard: base(0.0),
                submergence_standard: base(0.0),
                lift_standard: base(0.0),
                repeats: 1,
                shared: Vec::new(),
            });
        let spec = RiserSpec::new(Dimensions {
            bore: self.bore,
            submergence: self.length,
            lift: base(0.0),
        });
        Calibration::new(spec.with_roughness(self.roughness), points.collect())
    }
}

/// Readings that were compared with what the law expects of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tally {
    /// ln(measured/expected), and the standard deviation expected of it.
    compared: Vec<(f64, f64)>,
}

impl Tally {
    fn compare(&mut self, points: &Points, reading: &ReadPoint) {
        let expected = points.expected(&reading.doubt);
        self.compared.push((
            reading.off - expected.mean,
            expected.standard.hypot(reading.noise),
        ));
    }

    /// Number of readings.
    #[must_use]
    pub fn points(&self) -> usize {
        self.compared.len()
    }

    /// Mean of |expected/measured − 1|.
    #[must_use]
    pub fn mean_error(&self) -> f64 {
        self.mean(|(off, _)| ((-off).exp() - 1.0).abs())
    }

    /// Share of the readings inside the interval of a level (0.8 for 80 %), their own noise included.
    #[must_use]
    pub fn inside(&self, level: f64) -> f64 {
        let beyond =
            |(off, standard): (f64, f64)| 2.0 * Normal::standard().cdf(-off.abs() / standard);
        self.mean(|one| f64::from(u8::from(beyond(one) > 1.0 - level)))
    }

    /// Over all readings; zero for none.
    fn mean(&self, of: impl Fn((f64, f64)) -> f64) -> f64 {
        let sum: f64 = self.compared.iter().map(|one| of(*one)).sum();
        sum / self.points().max(1) as f64
    }
}

/// How a rig's points are met once some points of one series are known; each series in turn.
///
/// ```
/// use risewater::Model;
/// use risewater::published::{Known, Rig};
///
/// let series = Rig::all()[3].series(Model::default())?;
/// let before = Known::points(&series, 0)?.rest.mean_error();
/// let after = Known::points(&series, 3)?.rest.mean_error();
/// assert!(after < 0.5 * before);
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct Known {
    /// The other points of the series.
    pub rest: Tally,
    /// The points of the other series.
    pub other_depths: Tally,
}

impl Known {
    /// Of each series so many points, evenly in the order of air: one is the middle, two are the lowest and the
    /// highest, three these and the middle.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a noise out of range.
    pub fn points(series: &[Vec<ReadPoint>], known: usize) -> Result<Self, Error> {
        let mut met = Self::default();
        for (n, own) in series.iter().enumerate() {
            let chosen = evenly(own.len(), known);
            let readings = chosen.iter().map(|place| own[*place]).collect();
            let points = Points::new(readings, Vec::new())?;
            for (place, reading) in own.iter().enumerate() {
                if !chosen.contains(&place) {
                    met.rest.compare(&points, reading);
                }
            }
            let others = series.iter().enumerate().filter(|(other, _)| *other != n);
            for reading in others.flat_map(|(_, other)| other) {
                met.other_depths.compare(&points, reading);
            }
        }
        Ok(met)
    }
}

/// Places in a list; halfway between two it is the even one.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a place in the list, between none and its length"
)]
fn evenly(length: usize, known: usize) -> Vec<usize> {
    match (length, known) {
        (0, _) | (_, 0) => Vec::new(),
        (_, 1) => vec![length / 2],
        _ => {
            let step = (length - 1) as f64 / (known - 1) as f64;
            let places = (0..known).map(|n| (n as f64 * step).round_ties_even() as usize);
            let mut places: Vec<usize> = places.collect();
            places.dedup();
            places
        }
    }
}
