//! Measured against predicted: run by run, and on the whole.

use std::fmt;

use super::prediction::Prediction;
use super::run::ReducedRun;
use super::uncertainty::{coverage_factor, standard_deviation};
use crate::air::AirFlow;
use crate::error::Error;
use crate::model::Model;
use crate::riser::RiserSpec;
use crate::spread::{Evidence, Spread, SpreadKind};
use crate::units::{Length, Ratio, VolumeRate, base, cubic_meter_per_second, meter, ratio};

/// Coverage probability behind the verdicts.
pub const VERDICT_LEVEL: f64 = 0.95;
/// Half-width of the 95 % interval of ln(predicted/measured) beyond which agreement tells nothing.
pub const TELLING: f64 = 0.25;
/// Quantile of the normal distribution that holds 95 % between its two signs.
const NORMAL_95: f64 = 1.96;
/// Standard normal quantile of the published spread's upper limit: 5 % lie above it.
const PUBLISHED_QUANTILE: f64 = 1.6449;

/// What a comparison comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Verdict {
    /// No more apart than the uncertainties explain, and these are small, or those of the measurement
    /// explain it alone.
    Agrees,
    /// Theory is off by more than chance: predicted/measured − 1.
    Differs {
        /// Above zero where theory is high.
        theory: Ratio,
    },
    /// So uncertain that a quarter more or less would not show.
    CannotTell,
    /// Water was measured, and theory lets none flow.
    NoWaterPredicted,
    /// Theory lets water flow for sure, and none came.
    NoWaterMeasured,
}

impl Verdict {
    /// The name in reports.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::Differs { .. } => "differs",
            Self::CannotTell => "cannot_tell",
            Self::NoWaterPredicted => "no_water_predicted",
            Self::NoWaterMeasured => "no_water_measured",
        }
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Agrees => f.write_str("agrees"),
            Self::Differs { theory } => {
                let theory = theory.get::<ratio>();
                let side = if theory > 0.0 { "high" } else { "low" };
                write!(
                    f,
                    "theory {:.0} % {side}, more than chance",
                    100.0 * theory.abs()
                )
            }
            Self::CannotTell => f.write_str("cannot tell"),
            Self::NoWaterPredicted => f.write_str("theory predicts no water"),
            Self::NoWaterMeasured => f.write_str("theory predicts water, none came"),
        }
    }
}

/// One run against its prediction.
///
/// ```text
/// r = ln(Q_p/Q_m)
/// u² = u_Q² + (s u_a)² − 2 s cov + (∂lnQ/∂S u_S)² + (∂lnQ/∂H u_H)²        z = r/√(u² + u_p²)
/// ```
///
/// | symbol | meaning |
/// |---|---|
/// | Q_p, Q_m | predicted at the measured air flow; measured |
/// | u_Q, u_a, cov | relative standard uncertainty of water and air; their covariance |
/// | s | ∂lnQ/∂ln ṁ as predicted |
/// | u_S, u_H | standard uncertainty of submergence and lift |
/// | u_p | of the prediction, on the side where the measurement lies: half-interval over 1.645 inside the published data; half-band over √3 for a scenario |
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
    /// Water flow measured.
    pub measured: VolumeRate,
    /// Water flow predicted; zero when none flows.
    pub predicted: VolumeRate,
    /// How sure the prediction is.
    pub spread: Spread,
    /// Predicted over measured.
    pub ratio: Ratio,
    /// Relative standard uncertainty of that ratio from the measurement; none without a prediction.
    pub measured_standard: Option<Ratio>,
    /// Relative standard uncertainty of the prediction on the measurement's side.
    pub predicted_standard: Option<Ratio>,
    /// ln(predicted/measured) over both uncertainties together; none without a prediction.
    pub score: Option<Ratio>,
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
    /// The riser of a run is what `riser` gives for it, with the depth and lift of the run.
    ///
    /// # Errors
    /// As [`RiserSpec::build`]; [`Error::NotConverged`], a defect.
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "files")] {
    /// use risewater::design::Design;
    /// use risewater::trial::{Agreement, DEMO, DEMO_RIG, Instruments, parse_sheet, reduce};
    ///
    /// let bench = Design::parse(DEMO_RIG)?.bench()?;
    /// let runs = reduce(&parse_sheet(DEMO)?, &Instruments::default())?;
    /// let found = Agreement::of(&runs, bench.model, |_| bench.spec)?;
    /// // The invented trial gives 5 or 12 % less water than theory.
    /// assert!(found.overall.is_some_and(|all| all.bias.value > 0.0));
    /// # }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(
        runs: &[ReducedRun],
        model: Model,
        riser: impl Fn(&ReducedRun) -> RiserSpec,
    ) -> Result<Self, Error> {
        let evidence = Evidence::on(model);
        let runs = runs
            .iter()
            .map(|run| RunAgreement::of(run, &riser(run), model, &evidence))
            .collect::<Result<Vec<_>, _>>()?;
        let mut names: Vec<&str> = Vec::new();
        for run in &runs {
            if !names.contains(&run.configuration.as_str()) {
                names.push(&run.configuration);
            }
        }
        let mut by_configuration = Vec::new();
        for name in names.iter().filter(|_| names.len() > 1) {
            let of_it = runs.iter().filter(|run| run.configuration == **name);
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
    fn of(
        run: &ReducedRun,
        spec: &RiserSpec,
        model: Model,
        evidence: &Evidence,
    ) -> Result<Self, Error> {
        let prediction = Prediction::of(run, spec, model)?;
        let measured = run.water_flow.value.value;
        let q = measured.get::<cubic_meter_per_second>();
        let spread = Spread::of(&prediction.riser, prediction.air, evidence)?;
        let mut found = Self {
            label: run.label.clone(),
            configuration: run.configuration.clone(),
            submergence: run.submergence.value,
            lift: run.lift.value,
            air: prediction.air,
            measured,
            predicted: base(prediction.flow),
            spread,
            ratio: base(prediction.flow / q),
            measured_standard: None,
            predicted_standard: None,
            score: None,
            verdict: Verdict::NoWaterPredicted,
        };
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
        let u_p = band(&spread, prediction.flow, r);
        let u_m = variance.sqrt();
        let both = u_m.hypot(u_p);
        let spent = u_q.powi(4) / run.water_flow.value.degrees_of_freedom
            + u_a.powi(4) / run.air.value.degrees_of_freedom;
        let freedom = if spent > 0.0 {
            (both.powi(4) / spent).max(1.0)
        } else {
            f64::INFINITY
        };
        let k = coverage_factor(base(VERDICT_LEVEL), freedom)?;
        found.measured_standard = Some(base(u_m));
        found.predicted_standard = Some(base(u_p));
        if both.is_finite() && both > 0.0 {
            found.score = Some(base(r / both));
        }
        found.verdict = if r.abs() > k * both {
            Verdict::Differs {
                theory: base(r.exp() - 1.0),
            }
        } else if k * both <= TELLING || (r.abs() <= k * u_m && k * u_m <= TELLING) {
            // Near by measurement alone, however wide the prediction's band.
            Verdict::Agrees
        } else {
            Verdict::CannotTell
        };
        Ok(found)
    }
}

/// Relative standard uncertainty of a prediction on the side where the measurement lies; infinite
/// where the limit is no water at all.
fn band(spread: &Spread, flow: f64, r: f64) -> f64 {
    let low = spread.low.get::<cubic_meter_per_second>();
    let high = spread.high.get::<cubic_meter_per_second>();
    // r > 0: less was measured than predicted.
    let half = if r > 0.0 {
        (flow / low).ln()
    } else {
        (high / flow).ln()
    };
    half.max(0.0)
        / match spread.kind {
            SpreadKind::PublishedResiduals { .. } => PUBLISHED_QUANTILE,
            // A calibration is not used to judge the trial that made it; its 95 % are two standards.
            SpreadKind::Calibration { .. } => NORMAL_95,
            SpreadKind::Scenario { .. } => 3f64.sqrt(),
        }
}

impl Overall {
    fn of<'a>(runs: impl Iterator<Item = &'a RunAgreement>) -> Result<Option<Self>, Error> {
        let logs: Vec<f64> = runs
            .map(|run| run.ratio.get::<ratio>())
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
            verdict: match half {
                Some(half) if mean.abs() > half => Verdict::Differs {
                    theory: relative(mean),
                },
                Some(half) if half <= TELLING => Verdict::Agrees,
                _ => Verdict::CannotTell,
            },
        }))
    }
}
