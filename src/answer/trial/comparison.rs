//! Measured against predicted, and one configuration against another.

use super::{RunFacts, ends};
use crate::answer::IntervalFacts;
use crate::error::Error;
use crate::model::Model;
use crate::riser::RiserSpec;
use crate::trial::{
    Agreement, Comparison, Matched, Matching, NoFlowRun, Overall, Pair, PredictedRuns, ReducedRun,
    RunAgreement, Unpaired, Verdict, WrongWay, wrong_ways,
};

facts! {
    /// What a trial says of the prediction, and of its configurations.
    pub struct ComparisonAnswer {
        /// the closures that predict
        pub model: Model = model,
        /// measured against predicted, run by run
        pub runs: Vec<ComparedRun> = found.runs.iter().map(Into::into).collect(),
        /// runs in which no water came, without the keys of measured water
        pub no_flow: Vec<ComparedRun> = still.collect::<Result<_, _>>()?,
        /// all runs; `null` when none has a prediction
        pub overall: Option<OverallFacts> = found.overall.as_ref().map(Into::into),
        /// each configuration by itself, where there are several
        pub by_configuration: Vec<OverallOf> = found
            .by_configuration
            .iter()
            .map(|(name, overall)| OverallOf {
                configuration: name.clone(),
                overall: overall.into(),
            })
            .collect(),
        /// two configurations, or `null`
        pub configurations: Option<PairsFacts> =
            configurations.map(pairs).transpose()?.map(Into::into),
        /// what each verdict means
        pub verdicts: Vec<Meaning> = Verdict::ALL
            .iter()
            .map(|&verdict| Meaning {
                verdict,
                meaning: verdict.meaning(),
            })
            .collect(),
        /// runs that go against expectation
        pub wrong_ways: Vec<WrongWay> = wrong_ways(&predicted)?,
    }

    /// Compares runs with the prediction of their risers, and two configurations where they are named. The riser of
    /// a run is what `riser` gives for its configuration, with the depth and lift of the run.
    ///
    /// # Errors
    /// As [`PredictedRuns::of`] and [`Comparison::of`].
    pub fn of(
        (runs, no_flow): (&[ReducedRun], &[NoFlowRun]),
        model: Model,
        riser: impl Fn(&str) -> RiserSpec,
        configurations: Option<[&str; 2]>,
        matching: Matching,
    ) -> Result<Self, Error> {
        let predicted = PredictedRuns::of(runs, model, |run| riser(&run.configuration))?;
        let found = Agreement::of(&predicted)?;
        let pairs = |names| Comparison::of(&predicted, names, matching);
        let still = no_flow.iter().map(|run| {
            let riser = riser(&run.configuration);
            let found = RunAgreement::without_water(run, &riser, model)?;
            Ok::<_, Error>(ComparedRun::from(&found))
        });
    }

    /// A run against its prediction.
    pub struct ComparedRun from run: &RunAgreement {
        /// its setting and its air
        #[serde(flatten)]
        pub at: RunFacts = RunFacts::new(&run.label, [run.submergence, run.lift], run.air),
        /// what was set up, as the sheet has it
        pub configuration: String = run.configuration.clone(),
        /// the water measured; `null` where none came
        pub measured: Option<ComparedFlow> = ComparedFlow::of(run),
        /// water flow predicted at the measured air flow, zero when none
        pub predicted_water_flow_m3_per_s: f64 = run.predicted.value,
        /// where the true flow lies by the prediction; `null` at a submergence ratio below 0.4, unless `model.slip` is
        /// `smith_drift`
        pub interval: Option<IntervalFacts> = run.interval.map(Into::into),
        /// `agrees`, `differs`, `cannot_tell` or `no_water_predicted`; without water `no_water_measured`
        #[schemars(with = "String")]
        pub verdict: Verdict = run.verdict,
    }

    /// The water of a run against its prediction.
    #[derive(Copy)]
    pub struct ComparedFlow {
        /// measured water flow
        pub water_flow_m3_per_s: f64 = run.measured.value,
        /// ratio of the two flows
        pub predicted_over_measured: f64 = ratio.value,
        /// its lower 95 % limit by the readings; `null` without a prediction
        pub predicted_over_measured_low: Option<f64> = low,
        /// its upper limit
        pub predicted_over_measured_high: Option<f64> = high,
        /// its relative standard uncertainty by the readings
        pub measured_relative_standard: Option<f64> =
            run.measured_standard.map(|share| share.value),
        /// whether the measured flow lies within the interval, or outside by no more than the readings explain
        pub within_interval: Option<bool> = run.within_interval,
    }

    fn of(run: &RunAgreement) -> Option<Self> {
        let (ratio, [low, high]) = (run.ratio?, ends(run.limits));
    }

    /// Runs together.
    #[derive(Copy)]
    pub struct OverallFacts from overall: &Overall {
        /// runs with a prediction
        pub runs: usize = overall.runs,
        /// geometric mean of predicted over measured, less one
        pub bias: f64 = overall.bias.value,
        /// its lower 95 % limit; `null` with one run
        pub bias_low: Option<f64> = low,
        /// its upper limit
        pub bias_high: Option<f64> = high,
        /// root of the mean square of the logarithm of predicted over measured
        pub rms_log_error: f64 = overall.rms_log_error,
        /// `agrees`, `differs` or `cannot_tell`
        #[schemars(with = "String")]
        pub verdict: Verdict = overall.verdict,
    } where {
        let [low, high] = ends(overall.interval);
    }

    /// The runs of one configuration together.
    pub struct OverallOf {
        /// the configuration
        pub configuration: String,
        /// its runs
        #[serde(flatten)]
        pub overall: OverallFacts,
    }

    /// Two configurations, pair by pair.
    pub struct PairsFacts from found: Comparison {
        /// name of the first
        pub first: String = found.first.clone(),
        /// name of the second
        pub second: String = found.second.clone(),
        /// water of the second over that of the first, less one
        pub difference: Option<f64> = found.difference.map(|share| share.value),
        /// its lower 95 % limit
        pub difference_low: Option<f64> = low,
        /// its upper limit
        pub difference_high: Option<f64> = high,
        /// `agrees`, `differs` or `cannot_tell`
        #[schemars(with = "String")]
        pub verdict: Verdict = found.verdict,
        /// least number of pairs that would show such a difference; `null` when it shows already, or above 200
        pub pairs_needed: Option<usize> = found.pairs_needed,
        /// the verdict in words
        pub message: String = found.statement(),
        /// how the runs were paired, in words
        pub matching: Option<String> = found.matching_statement(),
        /// the pairs
        pub pairs: Vec<PairFacts> = found.pairs.into_iter().map(Into::into).collect(),
        /// runs without a partner
        pub unpaired: Vec<UnpairedRun> = found
            .unpaired
            .into_iter()
            .map(|(run, why)| UnpairedRun { run, why })
            .collect(),
    } where {
        let [low, high] = ends(found.interval);
    }

    /// Two runs at one setting.
    pub struct PairFacts from pair: Pair {
        /// run of the first
        pub first: String = pair.first,
        /// run of the second
        pub second: String = pair.second,
        /// how they were paired: by `bench_order` or by `air`
        #[schemars(with = "String")]
        pub matched: Matched = pair.matched,
        /// depth of the air inlet
        pub submergence_m: f64 = pair.submergence.value,
        /// height of the outlet
        pub lift_m: f64 = pair.lift.value,
        /// air of the second over that of the first, less one
        pub air_difference: f64 = pair.air_difference.value,
        /// predicted change of the logarithm of water with that of air; `null` where none was needed
        pub slope: Option<f64> = pair.slope,
        /// logarithm of the second's water over the first's, at the first's air
        pub log_difference: f64 = pair.log_difference,
    }

    /// A run without a partner.
    pub struct UnpairedRun {
        /// its name
        pub run: String,
        /// why
        #[serde(flatten)]
        pub why: Unpaired,
    }

    /// What a verdict means.
    pub struct Meaning {
        /// the verdict
        #[schemars(with = "String")]
        pub verdict: Verdict,
        /// when it is given
        pub meaning: String,
    }
}
