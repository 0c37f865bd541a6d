//! What measured points say of a rig.

use super::bench::Bench;
use super::plan::Plan;
use crate::air::AirFlow;
use crate::caution::{Caution, Difference};
use crate::error::Error;
use crate::model::Model;
use crate::riser::Site;
use crate::uncertainty::{
    Calibration, ErrorLaw, Interval, MeasuredPoint, Prediction, Predictor, Taught,
};
use crate::units::{Length, Ratio, VolumeRate, base, liter_per_minute, ratio};

/// How far the curves go beyond the largest measured air flow: as far as a trial helps.
const BEYOND: f64 = 2.0;
/// Points of a curve.
const CURVE_POINTS: usize = 60;
/// Standard deviations from which a reading stands out.
const STANDS_OUT: f64 = 3.0;
/// A flow beyond the interval before the trial by this factor is far off: our own choice.
const FAR_OFF: f64 = 2.0;
/// An interval so many times as wide as the reading's own has hardly been narrowed by it: our own choice.
const NARROWS_LITTLE: f64 = 3.0;
/// Readings from which the one that stands out can be named.
const ENOUGH_TO_NAME: usize = 4;
/// Ratio of the longest to the shortest riser from which they are several rigs.
pub(crate) const ONE_LENGTH: f64 = 1.15;

/// One measured point, before and after the trial.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct FitRun {
    /// The point.
    pub point: MeasuredPoint,
    /// What the model gives, as if there were no trial.
    pub predicted: VolumeRate,
    /// Where the true flow was expected before; none at a submergence ratio below 0.4.
    pub before: Option<Interval>,
    /// What is made of it by the trial; none where the point does not count.
    pub calibrated: Option<VolumeRate>,
    /// Where the true flow lies then.
    pub after: Option<Interval>,
    /// Standard uncertainty of the reading's logarithm, with what it shares with others; none where it does not count.
    pub reading: Option<f64>,
    /// How far it is from what the others let expect, in standard deviations.
    pub deviations: Option<f64>,
    /// Points of the trial that count at this riser, itself among them.
    pub counting: usize,
    /// Why it does not count.
    pub unused: Option<Difference>,
}

impl FitRun {
    fn far_off(&self) -> Option<Caution> {
        let expected = self.before?;
        let read = self.point.water_flow;
        let likely = expected.low / FAR_OFF..=expected.high * FAR_OFF;
        (!likely.contains(&read)).then(|| Caution::ReadingFarOff {
            run: self.point.run.clone(),
            read_l_per_min: read.get::<liter_per_minute>(),
            low_l_per_min: expected.low.get::<liter_per_minute>(),
            high_l_per_min: expected.high.get::<liter_per_minute>(),
        })
    }

    fn narrows_little(&self, coverage_factor: f64) -> Option<Caution> {
        let (left, reading) = (self.after?, self.reading?);
        let half = 0.5 * (left.high / left.low).get::<ratio>().ln();
        (half > NARROWS_LITTLE * coverage_factor * reading).then(|| Caution::ReadingNarrowsLittle {
            run: self.point.run.clone(),
            low_l_per_min: left.low.get::<liter_per_minute>(),
            high_l_per_min: left.high.get::<liter_per_minute>(),
        })
    }
}

/// The answer without readings that stand out.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Without {
    /// Their places in the trial.
    pub left_out: Vec<usize>,
    /// Calibrated over predicted flow, the mean of logarithms over the points of the trial.
    pub change: Option<Ratio>,
    /// All runs of the trial, those left out too, by the others.
    pub runs: Vec<FitRun>,
}

/// What is predicted at rising air flows.
pub type FitCurve = Vec<(AirFlow, Prediction)>;

/// What a trial has taught.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Fit {
    /// The measured points.
    pub trial: Calibration,
    /// The closures that predict.
    pub model: Model,
    /// Level of the intervals, and the trial.
    pub law: ErrorLaw,
    /// Point by point, each at its own riser.
    pub runs: Vec<FitRun>,
    /// Calibrated over predicted flow, the mean of logarithms; none where no point counts.
    pub change: Option<Ratio>,
    /// The run at whose riser most points count; the one in the middle of its air flows.
    pub middle: usize,
    /// What is known of that riser without the trial.
    pub plain: Predictor,
    /// What is known of it with the trial.
    pub known: Predictor,
    /// What the trial has taught of it.
    pub taught: Vec<Taught>,
    /// The answer without readings that stand out, where there are enough to name them.
    pub without: Option<Without>,
    /// How far below and above the flow the interval's ends were before the trial, in the mean over the points that
    /// count, as shares of the flow.
    pub before: Option<[Ratio; 2]>,
    /// The same after it.
    pub after: Option<[Ratio; 2]>,
    /// What to measure next, where it is said what the bench can do.
    pub next: Option<Plan>,
    /// What the result should be read with.
    pub cautions: Vec<Caution>,
}

impl Fit {
    /// Conditions on the points of a trial; with a bench, says what to measure next of all that it can do.
    ///
    /// # Errors
    /// As [`Bench::plan`]; [`Error::NotConverged`], a defect.
    pub fn of(
        trial: Calibration,
        model: Model,
        law: &ErrorLaw,
        bench: Option<&Bench>,
    ) -> Result<Self, Error> {
        let law = law.clone().with_calibration(trial.clone());
        let (runs, mut seen) = assess(&trial, model, &law)?;
        let middle = middle(&runs);
        let at = &trial.points()[middle];
        seen.retain(|there| there.place == place(at));
        let Spot { plain, known, .. } = seen.swap_remove(0);
        let air = at.air;
        let taught = match known.doubt(air)? {
            Some(doubt) if runs[middle].counting > 0 => known.points().taught(&doubt),
            _ => Vec::new(),
        };
        let standing_out = standing_out(&runs);
        let mut cautions: Vec<Caution> = standing_out
            .iter()
            .map(|&n| Caution::ReadingStandsOut {
                run: runs[n].point.run.clone(),
                deviations: runs[n].deviations.unwrap_or_default(),
                points: runs[n].counting,
            })
            .collect();
        let counting = runs.iter().filter(|run| run.unused.is_none());
        for run in counting {
            cautions.extend(run.far_off());
            cautions.extend(run.narrows_little(law.coverage_factor()));
        }
        cautions.extend(known.cautions(air)?);
        let mut left_out = standing_out;
        left_out.retain(|n| runs[*n].counting >= ENOUGH_TO_NAME);
        Ok(Self {
            without: without(&trial, model, &law, left_out)?,
            change: change(&runs),
            before: off(&runs, |run| Some((run.before?, run.predicted))),
            after: off(&runs, |run| Some((run.after?, run.calibrated?))),
            next: bench
                .map(|bench| bench.clone().with_law(law.clone()).plan())
                .transpose()?,
            trial,
            model,
            law,
            runs,
            middle,
            plain,
            known,
            taught,
            cautions,
        })
    }

    /// Predicted and calibrated curve of the riser of [`Fit::middle`], from where pumping starts to so many times the
    /// largest of some air flows; the second none where no point counts there.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn curves(
        &self,
        airs: impl Iterator<Item = AirFlow>,
    ) -> Result<(FitCurve, Option<FitCurve>), Error> {
        let riser = self.known.riser();
        let first = riser.threshold()?.map_or(0.0, AirFlow::kg_per_s);
        let largest = airs.map(AirFlow::kg_per_s).fold(0.0, f64::max);
        let last = (BEYOND * largest).max(first);
        let airs = (0..CURVE_POINTS).map(|n| {
            // Closer where the curve is steep.
            let share = (n as f64 / (CURVE_POINTS - 1) as f64).powi(2);
            AirFlow::from_kg_per_s(first + share * (last - first))
        });
        let airs: Vec<AirFlow> = airs.collect();
        let outcomes = riser.operate_all(&airs)?;
        let curve = |of: &Predictor| {
            let points = airs.iter().zip(&outcomes);
            points
                .map(|(air, outcome)| Ok((*air, of.of_outcome(*outcome, *air)?)))
                .collect::<Result<FitCurve, Error>>()
        };
        let counts = self.runs[self.middle].counting > 0;
        let known = counts.then(|| curve(&self.known)).transpose()?;
        Ok((curve(&self.plain)?, known))
    }
}

/// What is known of the riser of a place, without a trial and with it.
struct Spot {
    place: (Length, Length, Site),
    plain: Predictor,
    known: Predictor,
}

/// Each point of a trial at its own riser, by the law; what is known of each riser.
fn assess(
    trial: &Calibration,
    model: Model,
    law: &ErrorLaw,
) -> Result<(Vec<FitRun>, Vec<Spot>), Error> {
    let plain = ErrorLaw::default().with_level(law.level())?;
    let (mut runs, mut seen) = (Vec::new(), Vec::<Spot>::new());
    for point in trial.points() {
        let place = place(point);
        let n = if let Some(n) = seen.iter().position(|one| one.place == place) {
            n
        } else {
            let known = law.on(&trial.riser_of(point, model)?)?;
            let plain = plain.on(known.riser())?;
            seen.push(Spot {
                place,
                plain,
                known,
            });
            seen.len() - 1
        };
        let there = &seen[n].known;
        let before = seen[n].plain.predict(point.air)?;
        let after = there.predict(point.air)?;
        let among = |n: &usize| {
            law.calibration()
                .is_some_and(|it| it.points()[*n] == *point)
        };
        let own = there.places().iter().position(among);
        let of_reading = |all: Vec<f64>| own.and_then(|n| all.get(n).copied());
        let counts = !there.places().is_empty();
        runs.push(FitRun {
            point: point.clone(),
            predicted: before.outcome.water_flow(),
            before: before.interval,
            calibrated: counts.then(|| after.outcome.water_flow()),
            after: after.interval.filter(|_| counts),
            reading: of_reading(there.points().reading_standards()),
            deviations: of_reading(there.points().standing_out()),
            counting: there.places().len(),
            unused: own.is_none().then(|| match there.another_rig() {
                Some(part) => part,
                None if before.interval.is_none() => Difference::Submergence,
                None => Difference::NoFlow,
            }),
        });
    }
    Ok((runs, seen))
}

fn place(point: &MeasuredPoint) -> (Length, Length, Site) {
    (point.submergence, point.lift, point.site)
}

/// The run at whose riser most points count, of the depth and lift with most runs, in the middle of its air flows.
fn middle(runs: &[FitRun]) -> usize {
    let place = |run: &FitRun| (run.point.submergence, run.point.lift);
    let alike = |run: &FitRun| runs.iter().filter(|o| place(o) == place(run)).count();
    let worth = |run: &FitRun| (run.counting, alike(run));
    let mut best = 0;
    for n in 1..runs.len() {
        if worth(&runs[n]) > worth(&runs[best]) {
            best = n;
        }
    }
    let mut of_it: Vec<usize> = (0..runs.len())
        .filter(|n| place(&runs[*n]) == place(&runs[best]))
        .collect();
    of_it.sort_by(|a, b| {
        let air = |n: usize| runs[n].point.air.kg_per_s();
        air(*a).total_cmp(&air(*b))
    });
    of_it[of_it.len() / 2]
}

/// Readings that the others let expect least, each the worst among those that count at its riser.
fn standing_out(runs: &[FitRun]) -> Vec<usize> {
    let off = |run: &FitRun| run.deviations.map_or(0.0, f64::abs);
    let worst = |n: &usize| {
        let run = &runs[*n];
        let near = runs.iter().filter(|other| {
            let place = |run: &FitRun| run.point.submergence + run.point.lift;
            let apart = (place(other) / place(run)).get::<ratio>();
            (1.0 / ONE_LENGTH..=ONE_LENGTH).contains(&apart)
        });
        run.counting >= 3 && off(run) > STANDS_OUT && near.map(off).fold(0.0, f64::max) <= off(run)
    };
    (0..runs.len()).filter(worst).collect()
}

/// The mean of the logarithm of calibrated over predicted flow.
fn change(runs: &[FitRun]) -> Option<Ratio> {
    let told = runs.iter().filter_map(|run| {
        let quotient = (run.calibrated? / run.predicted).get::<ratio>();
        (quotient > 0.0 && quotient.is_finite()).then(|| quotient.ln())
    });
    let told: Vec<f64> = told.collect();
    let mean = told.iter().sum::<f64>() / told.len() as f64;
    (!told.is_empty()).then(|| base(mean.exp()))
}

/// Mean distances of the ends of an interval from its flow, below and above it, over the points that count.
fn off(
    runs: &[FitRun],
    interval: fn(&FitRun) -> Option<(Interval, VolumeRate)>,
) -> Option<[Ratio; 2]> {
    let counting = runs.iter().filter(|run| run.after.is_some());
    let off: Vec<[f64; 2]> = counting
        .filter_map(interval)
        .filter(|(_, flow)| flow.value > 0.0)
        .map(|(found, flow)| [found.low, found.high].map(|end| (end / flow).value))
        .collect();
    let mean = |side: usize| off.iter().map(|one| one[side]).sum::<f64>() / off.len() as f64;
    (!off.is_empty()).then(|| [base(1.0 - mean(0)), base(mean(1) - 1.0)])
}

fn without(
    trial: &Calibration,
    model: Model,
    law: &ErrorLaw,
    left_out: Vec<usize>,
) -> Result<Option<Without>, Error> {
    if left_out.is_empty() {
        return Ok(None);
    }
    let points = trial.points().iter().enumerate();
    let kept = points.filter(|(n, _)| !left_out.contains(n));
    let kept = Calibration::new(*trial.rig(), kept.map(|(_, point)| point.clone()).collect())?;
    let law = law.clone().with_calibration(kept);
    let (runs, _) = assess(trial, model, &law)?;
    Ok(Some(Without {
        change: change(&runs),
        left_out,
        runs,
    }))
}
