//! Measured points of a rig.

use serde::{Deserialize, Serialize};

use super::doubt::Doubt;
use super::posterior::{NOISE, Points, ReadPoint};
use super::record::Record;
use super::sensitivity::{air_slope_at, length_slope_at};
use crate::air::AirFlow;
use crate::caution::Difference;
use crate::error::{Error, Input, Range, range};
use crate::riser::{Dimensions, Outlet, Riser, RiserSpec, Site, WATER_FLOW};
use crate::slip::Slip;
use crate::units::{Length, Ratio, VolumeRate, base, liter_per_minute, meter, ratio};

/// Relative standard uncertainties of a reading.
const RELATIVE: Range = Range::new(0.0, 1.0, "");
/// Standard uncertainties of a depth or a lift.
const LENGTH_STANDARD: Range = Range::new(0.0, 10.0, "m");
/// Least noise of a reading that was not repeated, of ln q: our own choice, what such rigs scatter by.
const UNREPEATED: f64 = 0.03;
/// Repeats that show their own scatter.
const REPEATS: u32 = 3;
range!(POINTS, 1 to 1000 "points", "Numbers of measured points that a calibration can have.");
/// Lengths within this share of each other are one rig: the project's own trials.
const SAME_LENGTH: f64 = 0.15;
/// Bores within this share of each other are one bore: what a rule cannot tell.
const SAME_BORE: f64 = 0.01;
/// Submergence ratio below which the law does not hold but with [`Slip::SmithDrift`].
pub(super) const LOWEST_SUBMERGENCE_RATIO: f64 = 0.4;

/// An error that several readings share: a container marked wrong, one meter.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedError {
    /// Its name; readings with the same name share it.
    pub of: String,
    /// Standard uncertainty of the water flow by it, relative, with its sign.
    pub water: Ratio,
    /// The same of the air flow.
    pub air: Ratio,
}

/// A measured point: the rig's setting, what it gave, and how well that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredPoint {
    /// Name of the run.
    pub run: String,
    /// Depth of the injection point.
    pub submergence: Length,
    /// Lift.
    pub lift: Length,
    /// Water and atmosphere.
    pub site: Site,
    /// Air flow.
    pub air: AirFlow,
    /// Water flow.
    pub water_flow: VolumeRate,
    /// Relative standard uncertainty of the water flow, without what is shared.
    pub water_standard: Ratio,
    /// Relative standard uncertainty of the air flow, without what is shared.
    pub air_standard: Ratio,
    /// Standard uncertainty of the depth.
    pub submergence_standard: Length,
    /// Standard uncertainty of the lift.
    pub lift_standard: Length,
    /// How often the water was measured. Three repeats and more show their own scatter; a reading with fewer
    /// counts as no better than 3 % in all, one with more as no better than 1 %.
    pub repeats: u32,
    /// Errors that it shares with others.
    pub shared: Vec<SharedError>,
}

/// A bench trial of one rig: a list of measured points with their uncertainty. All else follows from it.
///
/// # Examples
/// ```
/// use risewater::published::Rig;
/// use risewater::uncertainty::{Calibration, ErrorLaw};
/// use risewater::Model;
///
/// let rig = &Rig::all()[3];
/// let trial = rig.measured()?;
/// let point = &trial.points()[20];
/// let riser = trial.riser_of(point, Model::default())?;
/// let before = ErrorLaw::default().on(&riser)?.predict(point.air)?;
/// let after = ErrorLaw::default().with_calibration(trial.clone()).on(&riser)?.predict(point.air)?;
/// let width = |found: &risewater::uncertainty::Prediction| {
///     found.interval.map(|i| (i.high / i.low).value)
/// };
/// assert!(width(&after) < width(&before));
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Record", into = "Record")]
pub struct Calibration {
    rig: RiserSpec,
    points: Vec<MeasuredPoint>,
}

impl Calibration {
    /// Measured points of a rig; bore, foot and outlet are those of `rig`, depth and lift those of each point.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a number of points outside [`POINTS`], a flow outside
    /// [`WATER_FLOW`], uncertainties below zero, above 1 or above 10 m; and as [`RiserSpec::build`].
    pub fn new(mut rig: RiserSpec, points: Vec<MeasuredPoint>) -> Result<Self, Error> {
        (rig.dimensions.submergence, rig.dimensions.lift) = (base(0.0), base(0.0));
        POINTS.check(Input::MeasuredPoints, points.len() as f64)?;
        let found = Self { rig, points };
        for point in &found.points {
            WATER_FLOW.check(Input::WaterFlow, point.water_flow.get::<liter_per_minute>())?;
            for share in [point.water_standard, point.air_standard] {
                RELATIVE.check(Input::Instrument, share.get::<ratio>())?;
            }
            for length in [point.submergence_standard, point.lift_standard] {
                LENGTH_STANDARD.check(Input::Instrument, length.get::<meter>())?;
            }
            for error in &point.shared {
                for share in [error.water, error.air] {
                    RELATIVE.check(Input::Instrument, share.abs().get::<ratio>())?;
                }
            }
            found.riser_of(point, crate::Model::default())?;
        }
        Ok(found)
    }

    /// The rig; it has no depth and lift of its own.
    #[must_use]
    pub fn rig(&self) -> &RiserSpec {
        &self.rig
    }

    /// The points.
    #[must_use]
    pub fn points(&self) -> &[MeasuredPoint] {
        &self.points
    }

    /// The riser of a point.
    ///
    /// # Errors
    /// As [`RiserSpec::build`].
    pub fn riser_of(&self, point: &MeasuredPoint, model: crate::Model) -> Result<Riser, Error> {
        let mut spec = self.rig;
        spec.dimensions.submergence = point.submergence;
        spec.dimensions.lift = point.lift;
        spec.build(&point.site, model)
    }

    /// The points that are of one rig with a riser, ready to be conditioned on; or why none is.
    pub(super) fn alike(&self, riser: &Riser) -> Result<Result<Known, Difference>, Error> {
        let spec = riser.spec();
        if let Some(part) = difference(&self.rig, spec) {
            return Ok(Err(part));
        }
        let mut why = Difference::Length;
        let (mut readings, mut points) = (Vec::new(), Vec::new());
        for (n, point) in self.points.iter().enumerate() {
            if !same_length(point.submergence + point.lift, spec.length()) {
                continue;
            }
            // Where one of the two does not say its injector, it is taken for that of the other.
            let stood = self.riser_of(point, riser.model())?;
            let mut stood_as = *stood.spec();
            stood_as.injector = spec.injector;
            let stood = stood.with_spec(stood_as)?;
            if !holds_at(&stood) {
                why = Difference::Submergence;
                continue;
            }
            match point.reading(&stood)? {
                Some(reading) => {
                    readings.push(reading);
                    points.push(n);
                }
                None => why = Difference::NoFlow,
            }
        }
        if points.is_empty() {
            return Ok(Err(why));
        }
        let known = points.iter().map(|n| &self.points[*n]);
        let shared = blocks(&known.zip(&readings).collect::<Vec<_>>());
        let readings = readings.into_iter().map(|(reading, _)| reading).collect();
        Ok(Ok(Known {
            points: Points::new(readings, shared)?,
            of: points,
        }))
    }
}

/// Points of a trial that are of one rig with a riser.
#[derive(Debug, Clone)]
pub(super) struct Known {
    pub points: Points,
    /// Their places in the trial.
    pub of: Vec<usize>,
}

impl MeasuredPoint {
    /// The reading against its prediction, and ∂ln q/∂ln air there; none where the model lets no water flow.
    fn reading(&self, riser: &Riser) -> Result<Option<(ReadPoint, f64)>, Error> {
        let outcome = riser.operate(self.air)?;
        let Some(point) = outcome.point() else {
            return Ok(None);
        };
        let Some(slope) = air_slope_at(riser, point)? else {
            return Ok(None);
        };
        let mut variance =
            self.water_standard.value.powi(2) + (slope * self.air_standard.value).powi(2);
        let depth: fn(&mut Dimensions, Length) = |dimensions, step| dimensions.submergence += step;
        let lift: fn(&mut Dimensions, Length) = |dimensions, step| dimensions.lift += step;
        for (change, standard) in [
            (depth, self.submergence_standard),
            (lift, self.lift_standard),
        ] {
            if standard.value > 0.0 {
                let slope = length_slope_at(riser, point, change)?;
                variance += (slope * standard.get::<meter>()).powi(2);
            }
        }
        let least = if self.repeats >= REPEATS {
            NOISE.min
        } else {
            UNREPEATED
        };
        let reading = ReadPoint {
            doubt: Doubt::of(riser, point)?,
            off: (self.water_flow / point.water_flow).value.ln(),
            noise: variance.sqrt().clamp(least, NOISE.max),
        };
        Ok(Some((reading, slope)))
    }
}

/// What each shared error is worth in each reading: y = ln(measured/predicted at the measured air).
fn blocks(points: &[(&MeasuredPoint, &(ReadPoint, f64))]) -> Vec<Vec<f64>> {
    let mut names: Vec<&str> = Vec::new();
    for (point, _) in points {
        for error in &point.shared {
            if !names.contains(&error.of.as_str()) {
                names.push(&error.of);
            }
        }
    }
    let worth = |name: &str, (point, (_, slope)): &(&MeasuredPoint, &(ReadPoint, f64))| {
        let of_it = point.shared.iter().filter(|error| error.of == name);
        of_it
            .map(|error| error.water.value - slope * error.air.value)
            .sum()
    };
    names
        .iter()
        .map(|name| points.iter().map(|point| worth(name, point)).collect())
        .collect()
}

/// Whether the law holds at a riser's submergence ratio with its model.
pub(super) fn holds_at(riser: &Riser) -> bool {
    riser.spec().submergence_ratio() >= LOWEST_SUBMERGENCE_RATIO
        || riser.model().slip == Slip::SmithDrift
}

/// Whether two risers are one rig, whatever their depth and lift: see [the law](crate::uncertainty).
pub(crate) fn same_rig(one: &RiserSpec, other: &RiserSpec) -> bool {
    difference(one, other).is_none() && same_length(one.length(), other.length())
}

/// What parts two rigs beside their length.
fn difference(one: &RiserSpec, other: &RiserSpec) -> Option<Difference> {
    let parts = [
        (same_bore(one, other), Difference::Bore),
        (same_foot(one, other), Difference::Foot),
        (same_outlet(&one.outlet, &other.outlet), Difference::Outlet),
    ];
    let parted = parts.into_iter().find(|(same, _)| !same);
    parted.map(|(_, part)| part)
}

fn same_length(one: Length, other: Length) -> bool {
    ((one / other).get::<ratio>() - 1.0).abs() <= SAME_LENGTH
}

fn near(one: f64, other: f64, share: f64) -> bool {
    (one - other).abs() <= share * one.abs().max(other.abs())
}

fn same_bore(one: &RiserSpec, other: &RiserSpec) -> bool {
    let line = |spec: &RiserSpec| spec.air_line.map_or(0.0, |line| line.value);
    near(one.free_bore().value, other.free_bore().value, SAME_BORE)
        && near(line(one), line(other), SAME_BORE)
}

fn same_foot(one: &RiserSpec, other: &RiserSpec) -> bool {
    let losses = |spec: &RiserSpec| (spec.entrance_loss, spec.injector_loss);
    let kinds = one.injector.zip(other.injector);
    losses(one) == losses(other)
        && kinds.is_none_or(|(one, other)| one == other)
        && near(
            one.suction_length.value,
            other.suction_length.value,
            SAME_LENGTH,
        )
}

/// Whether water leaves in the same way; a mouth's depth goes with the level.
fn same_outlet(one: &Outlet, other: &Outlet) -> bool {
    match (one, other) {
        (Outlet::Submerged { loss, .. }, Outlet::Submerged { loss: there, .. }) => loss == there,
        _ => one == other,
    }
}
