//! Measured against predicted: run by run, and on the whole.

use super::no_flow::NoFlowRun;
use super::prediction::{PredictedRuns, Prediction};
use super::run::{ReducedRun, configurations, same_configuration};
use super::verdict::{VERDICT_LEVEL, Verdict};
use crate::air::AirFlow;
use crate::error::Error;
use crate::measurement::{coverage_factor, standard_deviation};
use crate::model::Model;
use crate::riser::RiserSpec;
use crate::uncertainty::{ErrorLaw, Interval};
use crate::units::{Length, Ratio, VolumeRate, base, cubic_meter_per_second, meter, ratio};

/// One run against its prediction, by what the readings are worth.
///
/// ```text
/// r = ln(Q_p/Q_m)                  limits: e^(r ± k u)
/// u² = u_Q² + (s u_a)² − 2 s cov + (∂lnQ/∂S u_S)² + (∂lnQ/∂H u_H)²
/// ```
///
/// | symbol | meaning |
/// |---|---|
/// | Q_p, Q_m | predicted at the measured air flow; measured |
/// | u_Q, u_a, cov | relative standard uncertainty of water and air; their covariance |
/// | s | ∂lnQ/∂ln ṁ as predicted |
/// | u_S, u_H | standard uncertainty of submergence and lift |
/// | k | [coverage factor](coverage_factor) of [`VERDICT_LEVEL`] with the effective degrees of freedom |
///
/// The [verdict](Verdict) says whether the prediction itself is off. Whether its interval allowed for that is
/// another question, which `within_interval` answers.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RunAgreement {
    /// Name of the run.
    pub label: String,
    /// What was set up.
    pub configuration: String,
    /// Depth of the air inlet.
    pub submergence: Length,
    /// Height of the outlet.
    pub lift: Length,
    /// Air flow measured.
    pub air: AirFlow,
    /// Water flow measured; zero when none came.
    pub measured: VolumeRate,
    /// Water flow predicted; zero when none flows.
    pub predicted: VolumeRate,
    /// Where the true flow lies by the prediction; none at a submergence ratio below 0.4.
    pub interval: Option<Interval>,
    /// Predicted over measured; none when no water came.
    pub ratio: Option<Ratio>,
    /// Its 95 % limits by the readings; none without a prediction.
    pub limits: Option<(Ratio, Ratio)>,
    /// Relative standard uncertainty of that ratio from the readings; none without a prediction.
    pub measured_standard: Option<Ratio>,
    /// Whether the measured flow lies within the interval of the prediction, or outside by no more than
    /// the readings explain; none without a prediction or an interval.
    pub within_interval: Option<bool>,
    /// What it comes to.
    pub verdict: Verdict,
}

/// All runs together.
///
/// The interval is Student's t over the runs' own scatter. An error that all runs share (a container
/// marked wrong) is a bias that no number of runs shows.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Overall {
    /// Runs behind it: those with a prediction.
    pub runs: usize,
    /// Geometric mean of predicted/measured, less one.
    pub bias: Ratio,
    /// Its 95 % limits; none for fewer than two runs.
    pub interval: Option<(Ratio, Ratio)>,
    /// √(mean of ln²(predicted/measured)).
    pub rms_log_error: f64,
    /// What it comes to.
    pub verdict: Verdict,
}

/// Measured against predicted.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Agreement {
    /// The runs, in their order.
    pub runs: Vec<RunAgreement>,
    /// All together; none when no run has a prediction.
    pub overall: Option<Overall>,
    /// Each configuration by itself, in the order of the runs, where there are several.
    pub by_configuration: Vec<(String, Overall)>,
}

impl Agreement {
    /// Holds each run against the prediction of its riser.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "files")] {
    /// use risewater::design::DesignFile;
    /// use risewater::trial::{
    ///     Agreement, DEMO, DEMO_RIG, Instruments, PredictedRuns, parse_runs, reduce,
    /// };
    ///
    /// let bench = DesignFile::parse(DEMO_RIG)?.bench()?;
    /// let runs = reduce(&parse_runs(DEMO)?, &Instruments::default())?;
    /// let found = Agreement::of(&PredictedRuns::of(&runs, bench.model, |_| bench.spec)?)?;
    /// // The invented trial gives 3 or 8 % less water than theory.
    /// assert!(found.overall.is_some_and(|all| all.bias.value > 0.0));
    /// # }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(PredictedRuns(runs): &PredictedRuns) -> Result<Self, Error> {
        let runs = runs
            .iter()
            .map(|(run, prediction)| RunAgreement::of(run, prediction))
            .collect::<Result<Vec<_>, _>>()?;
        let names = configurations(runs.iter().map(|run| run.configuration.as_str()));
        let mut by_configuration = Vec::new();
        for name in names.iter().filter(|_| names.len() > 1) {
            let of_it = runs
                .iter()
                .filter(|run| same_configuration(&run.configuration, name));
            let found = Overall::of(of_it)?;
            by_configuration.extend(found.map(|overall| ((*name).to_owned(), overall)));
        }
        let overall = Overall::of(runs.iter())?;
        Ok(Self {
            runs,
            overall,
            by_configuration,
        })
    }
}

impl RunAgreement {
    /// Holds a run in which no water came against the prediction of its riser, with the depth and lift of the run:
    /// [`Verdict::Agrees`] where theory lets none flow, [`Verdict::CannotTell`] where its interval reaches down to none
    /// or is not known, else [`Verdict::NoWaterMeasured`].
    ///
    /// # Errors
    /// As [`PredictedRuns::of`].
    pub fn without_water(run: &NoFlowRun, spec: &RiserSpec, model: Model) -> Result<Self, Error> {
        let place = [run.submergence.value, run.lift.value];
        let prediction = Prediction::at(place, &run.site, run.air.air_flow(), spec, model)?;
        let mut found = Self::predicted([&run.label, &run.configuration], &prediction)?;
        found.verdict = if prediction.flow <= 0.0 {
            Verdict::Agrees
        } else if found.interval.is_none_or(|it| it.low.value <= 0.0) {
            Verdict::CannotTell
        } else {
            Verdict::NoWaterMeasured
        };
        Ok(found)
    }

    /// What is predicted, against nothing yet.
    fn predicted([label, configuration]: [&str; 2], at: &Prediction) -> Result<Self, Error> {
        let dimensions = at.riser.spec().dimensions;
        Ok(Self {
            label: label.to_owned(),
            configuration: configuration.to_owned(),
            submergence: dimensions.submergence,
            lift: dimensions.lift,
            air: at.air,
            measured: base(0.0),
            predicted: base(at.flow),
            interval: ErrorLaw::default()
                .on(&at.riser)?
                .of_outcome(at.outcome, at.air)?
                .interval,
            ratio: None,
            limits: None,
            measured_standard: None,
            within_interval: None,
            verdict: Verdict::NoWaterPredicted,
        })
    }

    fn of(run: &ReducedRun, prediction: &Prediction) -> Result<Self, Error> {
        let mut found = Self::predicted([&run.label, &run.configuration], prediction)?;
        let (measured, interval) = (run.water_flow.value.value, found.interval);
        let q = measured.get::<cubic_meter_per_second>();
        found.measured = measured;
        found.ratio = Some(base(prediction.flow / q));
        let slopes = (prediction.flow > 0.0)
            .then(|| Ok::<_, Error>((prediction.air_slope()?, prediction.length_slopes()?)))
            .transpose()?;
        let Some((air_slope, length_slopes)) = slopes else {
            return Ok(found);
        };
        let (Some(s), Some((by_depth, by_lift))) = (air_slope, length_slopes) else {
            // So near the threshold that a little less air lifts nothing.
            found.verdict = Verdict::CannotTell;
            return Ok(found);
        };
        let u_q = run.water_flow.budget.relative.get::<ratio>();
        let u_a = s * run.air.budget.relative.get::<ratio>();
        let covariance = run.air_to_water.relative_covariance.get::<ratio>();
        let place = (by_depth * run.submergence.standard.get::<meter>()).powi(2)
            + (by_lift * run.lift.standard.get::<meter>()).powi(2);
        // u² = u_Q² + (s u_a)² − 2 s cov + (∂lnQ/∂S u_S)² + (∂lnQ/∂H u_H)²
        let variance = (u_q * u_q + u_a * u_a - 2.0 * s * covariance + place).max(0.0);
        let r = (prediction.flow / q).ln();
        let u = variance.sqrt();
        let spent = u_q.powi(4) / run.water_flow.value.degrees_of_freedom
            + u_a.powi(4) / run.air.value.degrees_of_freedom;
        let freedom = if spent > 0.0 {
            (u.powi(4) / spent).max(1.0)
        } else {
            f64::INFINITY
        };
        let half = coverage_factor(base(VERDICT_LEVEL), freedom)? * u;
        found.measured_standard = Some(base(u));
        found.limits = Some((base((r - half).exp()), base((r + half).exp())));
        found.within_interval = interval.map(|interval| {
            let [low, high] =
                [interval.low, interval.high].map(|limit| limit.get::<cubic_meter_per_second>());
            (low / q).ln() <= half && (q / high).ln() <= half
        });
        found.verdict = Verdict::of(r, Some(half));
        Ok(found)
    }
}

impl Overall {
    fn of<'a>(runs: impl Iterator<Item = &'a RunAgreement>) -> Result<Option<Self>, Error> {
        let logs: Vec<f64> = runs
            .filter_map(|run| Some(run.ratio?.get::<ratio>()))
            .filter(|quotient| *quotient > 0.0)
            .map(f64::ln)
            .collect();
        if logs.is_empty() {
            return Ok(None);
        }
        let n = logs.len() as f64;
        let mean = logs.iter().sum::<f64>() / n;
        let half = if logs.len() > 1 {
            let k = coverage_factor(base(VERDICT_LEVEL), n - 1.0)?;
            Some(k * standard_deviation(&logs) / n.sqrt())
        } else {
            None
        };
        let relative = |log: f64| -> Ratio { base(log.exp() - 1.0) };
        Ok(Some(Self {
            runs: logs.len(),
            bias: relative(mean),
            interval: half.map(|half| (relative(mean - half), relative(mean + half))),
            rms_log_error: (logs.iter().map(|r| r * r).sum::<f64>() / n).sqrt(),
            verdict: Verdict::of(mean, half),
        }))
    }
}
