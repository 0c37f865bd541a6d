//! What measured points say of a rig.

use schemars::JsonSchema;
use serde::Serialize;

use super::{OrderFacts, RunFacts};
use crate::answer::{Answer, IntervalFacts};
use crate::caution::Caution;
use crate::model::Model;
use crate::trial::{Fit, FitRun, Without};
use crate::units::Ratio;

/// What measured points say of a rig.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FitAnswer {
    /// how often the true flow lies in an interval
    pub level: f64,
    /// measured points
    pub points: usize,
    /// those that count at their own riser
    pub points_used: usize,
    /// calibrated over predicted flow, the mean of logarithms over the points; `null` where none counts
    pub calibrated_over_predicted: Option<f64>,
    /// how far from the flow the intervals reached before the trial, in the mean over the points that count
    pub width_before: Option<WidthFacts>,
    /// the same after it
    pub width_after: Option<WidthFacts>,
    /// point by point
    pub runs: Vec<FitRunFacts>,
    /// what the trial has taught
    pub taught: TaughtFacts,
    /// the answer without readings that stand out, or `null`
    pub without: Option<WithoutFacts>,
    /// what to measure next, as `order` of a plan with these points made; `null` where `[trial]` does not say what the
    /// bench can do
    pub next: Option<OrderFacts>,
    /// the closures
    pub model: Model,
    /// what to read it with
    pub cautions: Vec<Caution>,
}

/// How far an interval reaches.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct WidthFacts {
    /// below the flow, as a share of it
    pub below: f64,
    /// above it
    pub above: f64,
}

/// A measured point before and after the trial.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FitRunFacts {
    /// its setting and its air
    #[serde(flatten)]
    pub at: RunFacts,
    /// water flow measured
    pub measured_water_flow_m3_per_s: f64,
    /// standard uncertainty of the reading as the law takes it, with what it shares with others; `null` where it does
    /// not count
    pub measured_relative_standard: Option<f64>,
    /// without the trial
    pub predicted_water_flow_m3_per_s: f64,
    /// likewise
    pub interval_before: Option<IntervalFacts>,
    /// with it; `null` where no point counts
    pub calibrated_water_flow_m3_per_s: Option<f64>,
    /// likewise
    pub interval_after: Option<IntervalFacts>,
    /// how far the reading is from what the others let expect, in standard deviations
    pub deviations: Option<f64>,
    /// points that count at this run's riser
    pub points: usize,
    /// why it does not count, or `null`
    pub unused: Option<String>,
}

/// What a trial has taught of the terms of the law of error.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TaughtFacts {
    /// the run at whose riser
    pub run: String,
    /// points that count there
    pub points: usize,
    /// the terms; those on which no flow hangs are left out
    pub terms: Vec<TermFacts>,
}

/// A term of the law of error.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TermFacts {
    /// `rig`, `shape`, `developing length`, `wide pipe`, `entrance` or `outlet`
    pub term: String,
    /// its standard deviation before the trial
    pub standard_before: f64,
    /// the same after it
    pub standard_after: f64,
    /// what the first is worth in the logarithm of the flow of the run
    pub of_flow_before: f64,
    /// what the second is
    pub of_flow_after: f64,
}

/// The answer without readings that stand out.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WithoutFacts {
    /// their names
    pub left_out: Vec<String>,
    /// as in the answer
    pub calibrated_over_predicted: Option<f64>,
    /// all runs, by the others
    pub runs: Vec<WithoutRun>,
}

/// A run by the others.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WithoutRun {
    /// its name
    pub run: String,
    /// as of a run
    pub calibrated_water_flow_m3_per_s: Option<f64>,
    /// likewise
    pub interval_after: Option<IntervalFacts>,
}

impl Answer for FitAnswer {
    const SCHEMA: &'static str = "risewater.fit/2";
}

impl FitAnswer {
    /// What a fit says.
    #[must_use]
    pub fn of(fit: &Fit) -> Self {
        let middle = &fit.runs[fit.middle];
        let terms = fit.taught.iter().map(|one| TermFacts {
            term: one.term.to_string(),
            standard_before: one.before,
            standard_after: one.after,
            of_flow_before: one.of_flow[0],
            of_flow_after: one.of_flow[1],
        });
        let width = |[below, above]: [Ratio; 2]| WidthFacts {
            below: below.value,
            above: above.value,
        };
        Self {
            level: fit.law.level().value,
            points: fit.runs.len(),
            points_used: fit.runs.iter().filter(|run| run.unused.is_none()).count(),
            calibrated_over_predicted: fit.change.map(|change| change.value),
            width_before: fit.before.map(width),
            width_after: fit.after.map(width),
            runs: fit.runs.iter().map(run).collect(),
            taught: TaughtFacts {
                run: middle.point.run.clone(),
                points: middle.counting,
                terms: terms.collect(),
            },
            without: fit.without.as_ref().map(|other| without(fit, other)),
            next: fit.next.as_ref().map(OrderFacts::of),
            model: fit.model,
            cautions: fit.cautions.clone(),
        }
    }
}

fn run(run: &FitRun) -> FitRunFacts {
    let at = &run.point;
    FitRunFacts {
        at: RunFacts::new(&at.run, [at.submergence, at.lift], at.air),
        measured_water_flow_m3_per_s: at.water_flow.value,
        measured_relative_standard: run.reading,
        predicted_water_flow_m3_per_s: run.predicted.value,
        interval_before: run.before.map(Into::into),
        calibrated_water_flow_m3_per_s: run.calibrated.map(|flow| flow.value),
        interval_after: run.after.map(Into::into),
        deviations: run.deviations,
        points: run.counting,
        unused: run.unused.map(|why| why.to_string()),
    }
}

fn without(fit: &Fit, other: &Without) -> WithoutFacts {
    let left_out = other.left_out.iter();
    let runs = other.runs.iter().map(|run| WithoutRun {
        run: run.point.run.clone(),
        calibrated_water_flow_m3_per_s: run.calibrated.map(|flow| flow.value),
        interval_after: run.after.map(Into::into),
    });
    WithoutFacts {
        left_out: left_out.map(|n| fit.runs[*n].point.run.clone()).collect(),
        calibrated_over_predicted: other.change.map(|change| change.value),
        runs: runs.collect(),
    }
}
