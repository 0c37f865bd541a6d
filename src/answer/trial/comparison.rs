//! Measured against predicted, and one configuration against another.

use schemars::JsonSchema;
use serde::Serialize;

use super::{RunFacts, ends};
use crate::answer::{Answer, IntervalFacts};
use crate::error::Error;
use crate::model::Model;
use crate::riser::RiserSpec;
use crate::trial::{
    Agreement, Comparison, Matched, Matching, NoFlowRun, Overall, Pair, ReducedRun, RunAgreement,
    Unpaired, Verdict, WrongWay, wrong_ways,
};

/// What a trial says of theory, and of its configurations.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ComparisonAnswer {
    /// the closures that predict
    pub model: Model,
    /// measured against predicted, run by run
    pub runs: Vec<ComparedRun>,
    /// runs in which no water came, without the keys of measured water
    pub no_flow: Vec<ComparedRun>,
    /// all runs; `null` when none has a prediction
    pub overall: Option<OverallFacts>,
    /// each configuration by itself, where there are several
    pub by_configuration: Vec<OverallOf>,
    /// two configurations, or `null`
    pub configurations: Option<PairsFacts>,
    /// what each verdict means
    pub verdicts: Vec<Meaning>,
    /// runs that go against expectation
    pub wrong_ways: Vec<WrongWay>,
}

/// A run against its prediction.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ComparedRun {
    /// its setting and its air
    #[serde(flatten)]
    pub at: RunFacts,
    /// what was set up, as the sheet has it
    pub configuration: String,
    /// the water measured; `null` where none came
    pub measured: Option<ComparedFlow>,
    /// water flow predicted at the measured air flow, zero when none
    pub predicted_water_flow_m3_per_s: f64,
    /// where the true flow lies by the prediction; `null` at a submergence ratio below 0.4, unless `model.slip` is
    /// `smith_drift`
    pub interval: Option<IntervalFacts>,
    /// `agrees`, `differs`, `cannot_tell` or `no_water_predicted`; without water `no_water_measured`
    #[schemars(with = "String")]
    pub verdict: Verdict,
}

/// The water of a run against its prediction.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct ComparedFlow {
    /// measured water flow
    pub water_flow_m3_per_s: f64,
    /// ratio of the two flows
    pub predicted_over_measured: f64,
    /// its lower 95 % limit by the readings; `null` without a prediction
    pub predicted_over_measured_low: Option<f64>,
    /// its upper one
    pub predicted_over_measured_high: Option<f64>,
    /// its relative standard uncertainty by the readings
    pub measured_relative_standard: Option<f64>,
    /// whether the measured flow lies within the interval, or outside by no more than the readings explain
    pub within_interval: Option<bool>,
}

/// Runs together.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct OverallFacts {
    /// runs with a prediction
    pub runs: usize,
    /// geometric mean of predicted over measured, less one
    pub bias: f64,
    /// its lower 95 % limit; `null` with one run
    pub bias_low: Option<f64>,
    /// its upper one
    pub bias_high: Option<f64>,
    /// root of the mean square of the logarithm of predicted over measured
    pub rms_log_error: f64,
    /// `agrees`, `differs` or `cannot_tell`
    #[schemars(with = "String")]
    pub verdict: Verdict,
}

/// The runs of one configuration together.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OverallOf {
    /// the configuration
    pub configuration: String,
    /// its runs
    #[serde(flatten)]
    pub overall: OverallFacts,
}

/// Two configurations, pair by pair.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PairsFacts {
    /// name of the first
    pub first: String,
    /// name of the second
    pub second: String,
    /// water of the second over that of the first, less one
    pub difference: Option<f64>,
    /// its lower 95 % limit
    pub difference_low: Option<f64>,
    /// its upper one
    pub difference_high: Option<f64>,
    /// `agrees`, `differs` or `cannot_tell`
    #[schemars(with = "String")]
    pub verdict: Verdict,
    /// pairs that would tell such a difference at least; `null` when told, or above 200
    pub pairs_needed: Option<usize>,
    /// what that comes to, in words
    pub message: String,
    /// what brought the pairs together, in words
    pub matching: Option<String>,
    /// the pairs
    pub pairs: Vec<PairFacts>,
    /// runs without a partner
    pub unpaired: Vec<UnpairedRun>,
}

/// Two runs at one setting.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PairFacts {
    /// run of the first
    pub first: String,
    /// run of the second
    pub second: String,
    /// what brought them together: `bench_order` or `air`
    #[schemars(with = "String")]
    pub matched: Matched,
    /// depth of the air inlet
    pub submergence_m: f64,
    /// height of the outlet
    pub lift_m: f64,
    /// air of the second over that of the first, less one
    pub air_difference: f64,
    /// predicted change of the logarithm of water with that of air; `null` where none was needed
    pub slope: Option<f64>,
    /// logarithm of the second's water over the first's, at the first's air
    pub log_difference: f64,
}

/// A run without a partner.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct UnpairedRun {
    /// its name
    pub run: String,
    /// why
    #[serde(flatten)]
    pub why: Unpaired,
}

/// What a verdict means.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Meaning {
    /// the verdict
    #[schemars(with = "String")]
    pub verdict: Verdict,
    /// when it is given
    pub meaning: String,
}

impl Answer for ComparisonAnswer {
    const SCHEMA: &'static str = "risewater.comparison/3";
}

impl ComparisonAnswer {
    /// Compares runs with the prediction of their risers, and two configurations where they are named. The riser of
    /// a run is what `riser` gives for its configuration, with the depth and lift of the run.
    ///
    /// # Errors
    /// As [`Agreement::of`] and [`Comparison::of`].
    pub fn of(
        (runs, no_flow): (&[ReducedRun], &[NoFlowRun]),
        model: Model,
        riser: impl Fn(&str) -> RiserSpec,
        configurations: Option<[&str; 2]>,
        matching: Matching,
    ) -> Result<Self, Error> {
        let of_run = |run: &ReducedRun| riser(&run.configuration);
        let found = Agreement::of(runs, model, of_run)?;
        let pairs = |names| Comparison::of(runs, names, model, of_run, matching);
        let still = no_flow.iter().map(|run| {
            let riser = riser(&run.configuration);
            let found = RunAgreement::without_water(run, &riser, model)?;
            Ok::<_, Error>(ComparedRun::from(&found))
        });
        Ok(Self {
            model,
            runs: found.runs.iter().map(Into::into).collect(),
            no_flow: still.collect::<Result<_, _>>()?,
            overall: found.overall.as_ref().map(Into::into),
            by_configuration: found
                .by_configuration
                .iter()
                .map(|(name, overall)| OverallOf {
                    configuration: name.clone(),
                    overall: overall.into(),
                })
                .collect(),
            configurations: configurations.map(pairs).transpose()?.map(Into::into),
            verdicts: Verdict::ALL
                .iter()
                .map(|&verdict| Meaning {
                    verdict,
                    meaning: verdict.meaning(),
                })
                .collect(),
            wrong_ways: wrong_ways(runs, model, of_run)?,
        })
    }
}

impl From<&RunAgreement> for ComparedRun {
    fn from(run: &RunAgreement) -> Self {
        let [low, high] = ends(run.limits);
        Self {
            at: RunFacts::new(&run.label, [run.submergence, run.lift], run.air),
            configuration: run.configuration.clone(),
            measured: run.ratio.map(|ratio| ComparedFlow {
                water_flow_m3_per_s: run.measured.value,
                predicted_over_measured: ratio.value,
                predicted_over_measured_low: low,
                predicted_over_measured_high: high,
                measured_relative_standard: run.measured_standard.map(|share| share.value),
                within_interval: run.within_interval,
            }),
            predicted_water_flow_m3_per_s: run.predicted.value,
            interval: run.interval.map(Into::into),
            verdict: run.verdict,
        }
    }
}

impl From<&Overall> for OverallFacts {
    fn from(overall: &Overall) -> Self {
        let [low, high] = ends(overall.interval);
        Self {
            runs: overall.runs,
            bias: overall.bias.value,
            bias_low: low,
            bias_high: high,
            rms_log_error: overall.rms_log_error,
            verdict: overall.verdict,
        }
    }
}

impl From<Comparison> for PairsFacts {
    fn from(found: Comparison) -> Self {
        let [low, high] = ends(found.interval);
        Self {
            difference: found.difference.map(|share| share.value),
            difference_low: low,
            difference_high: high,
            verdict: found.verdict,
            pairs_needed: found.pairs_needed,
            message: found.statement(),
            matching: found.matching_statement(),
            pairs: found.pairs.into_iter().map(pair).collect(),
            unpaired: found
                .unpaired
                .into_iter()
                .map(|(run, why)| UnpairedRun { run, why })
                .collect(),
            first: found.first,
            second: found.second,
        }
    }
}

fn pair(pair: Pair) -> PairFacts {
    PairFacts {
        first: pair.first,
        second: pair.second,
        matched: pair.matched,
        submergence_m: pair.submergence.value,
        lift_m: pair.lift.value,
        air_difference: pair.air_difference.value,
        slope: pair.slope,
        log_difference: pair.log_difference,
    }
}
