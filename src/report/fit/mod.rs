//! What measured points say of a rig.

#[cfg(feature = "chart")]
mod figure;
mod text;

use serde_json::{Value, json};

use super::cautions_json;
use super::interval::interval_json;
use crate::caution::Caution;
use crate::error::Error;
use crate::model::Model;
use crate::riser::Site;
use crate::trial::{Bench, Plan};
use crate::uncertainty::{
    Calibration, Difference, ErrorLaw, Interval, MeasuredPoint, Predictor, Taught,
};
use crate::units::{
    Length, Ratio, VolumeRate, base, cubic_meter_per_second, kilogram_per_second, meter, ratio,
};

/// Standard deviations from which a reading stands out.
const STANDS_OUT: f64 = 3.0;
/// Readings from which the one that stands out can be named.
const ENOUGH_TO_NAME: usize = 4;
/// Ratio of the longest to the shortest riser from which they are several rigs.
const ONE_LENGTH: f64 = 1.15;

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

/// What a trial has taught.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct FitReport {
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
    /// What is known of that riser.
    pub known: Predictor,
    /// What the trial has taught of it.
    pub taught: Vec<Taught>,
    /// The answer without readings that stand out, where there are enough to name them.
    pub without: Option<Without>,
    /// What to measure next, where it is said what the bench can do.
    pub next: Option<Plan>,
    /// What the result should be read with.
    pub cautions: Vec<Caution>,
}

impl FitReport {
    /// Conditions on the points of a trial.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn of(trial: Calibration, model: Model, law: &ErrorLaw) -> Result<Self, Error> {
        let law = law.clone().with_calibration(trial.clone());
        let (runs, known) = assess(trial.points(), &trial, model, &law)?;
        let middle = middle(&runs);
        let known = known[middle].clone();
        let air = trial.points()[middle].air;
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
        cautions.extend(known.cautions(air)?);
        let mut left_out = standing_out;
        left_out.retain(|n| runs[*n].counting >= ENOUGH_TO_NAME);
        Ok(Self {
            without: without(&trial, model, &law, left_out)?,
            change: change(&runs),
            trial,
            model,
            law,
            runs,
            middle,
            known,
            taught,
            next: None,
            cautions,
        })
    }

    /// With what to measure next, of all that a bench can do.
    ///
    /// # Errors
    /// As [`Bench::plan`].
    pub fn with_bench(mut self, bench: &Bench) -> Result<Self, Error> {
        self.next = Some(bench.clone().with_law(self.law.clone()).plan()?);
        Ok(self)
    }

    /// The JSON shape `risewater.fit/1`.
    #[must_use]
    pub fn json(&self) -> Value {
        let runs: Vec<Value> = self.runs.iter().map(run_json).collect();
        let middle = &self.runs[self.middle];
        let terms = self.taught.iter().map(|one| {
            json!({
                "term": one.term.to_string(),
                "standard_before": one.before,
                "standard_after": one.after,
                "of_flow_before": one.of_flow[0],
                "of_flow_after": one.of_flow[1],
            })
        });
        json!({
            "schema": "risewater.fit/1",
            "level": self.law.level().get::<ratio>(),
            "points": self.runs.len(),
            "points_used": self.runs.iter().filter(|run| run.unused.is_none()).count(),
            "calibrated_over_predicted": self.change.map(|change| change.get::<ratio>()),
            "runs": runs,
            "taught": {
                "run": middle.point.run,
                "points": middle.counting,
                "terms": terms.collect::<Vec<_>>(),
            },
            "without": self.without.as_ref().map(|other| self.without_json(other)),
            "next": self.next.as_ref().map(super::plan::order_json),
            "model": self.model.to_string(),
            "cautions": cautions_json(&self.cautions),
        })
    }

    fn without_json(&self, other: &Without) -> Value {
        let left_out = other.left_out.iter().map(|n| &self.runs[*n].point.run);
        let runs = other.runs.iter().map(|run| {
            json!({
                "run": run.point.run,
                "calibrated_water_flow_m3_per_s": flow_json(run.calibrated),
                "interval_after": interval_json(run.after.as_ref()),
            })
        });
        json!({
            "left_out": left_out.collect::<Vec<_>>(),
            "calibrated_over_predicted": other.change.map(|change| change.get::<ratio>()),
            "runs": runs.collect::<Vec<_>>(),
        })
    }
}

fn run_json(run: &FitRun) -> Value {
    json!({
        "run": run.point.run,
        "submergence_m": run.point.submergence.get::<meter>(),
        "lift_m": run.point.lift.get::<meter>(),
        "air_mass_flow_kg_per_s": run.point.air.dry_mass_rate().get::<kilogram_per_second>(),
        "measured_water_flow_m3_per_s": flow_json(Some(run.point.water_flow)),
        "measured_relative_standard": run.reading,
        "predicted_water_flow_m3_per_s": flow_json(Some(run.predicted)),
        "interval_before": interval_json(run.before.as_ref()),
        "calibrated_water_flow_m3_per_s": flow_json(run.calibrated),
        "interval_after": interval_json(run.after.as_ref()),
        "deviations": run.deviations,
        "points": run.counting,
        "unused": run.unused.map(|why| why.to_string()),
    })
}

fn flow_json(flow: Option<VolumeRate>) -> Option<f64> {
    flow.map(|flow| flow.get::<cubic_meter_per_second>())
}

/// Each point at its own riser, by the law with the points of a trial; what is known of each riser.
fn assess(
    points: &[MeasuredPoint],
    trial: &Calibration,
    model: Model,
    law: &ErrorLaw,
) -> Result<(Vec<FitRun>, Vec<Predictor>), Error> {
    type Place = (Length, Length, Site);
    let plain = ErrorLaw::default().with_level(law.level())?;
    let mut seen: Vec<(Place, Predictor)> = Vec::new();
    let (mut runs, mut known) = (Vec::new(), Vec::new());
    for point in points {
        let place = (point.submergence, point.lift, point.site);
        let there = if let Some((_, there)) = seen.iter().find(|(other, _)| *other == place) {
            there.clone()
        } else {
            let there = law.on(&trial.riser_of(point, model)?)?;
            seen.push((place, there.clone()));
            there
        };
        let before = plain.on(there.riser())?.predict(point.air)?;
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
        known.push(there);
    }
    Ok((runs, known))
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
    let (runs, _) = assess(trial.points(), trial, model, &law)?;
    Ok(Some(Without {
        change: change(&runs),
        left_out,
        runs,
    }))
}
