//! What measured points say of a rig.

use super::{OrderFacts, RunFacts};
use crate::answer::IntervalFacts;
use crate::caution::Caution;
use crate::model::Model;
use crate::trial::{Fit, FitRun, Without};
use crate::uncertainty::Taught;
use crate::units::Ratio;

facts! {
    /// What measured points say of a rig.
    pub struct FitAnswer {
        /// how often the true flow lies in an interval
        pub level: f64 = fit.law.level().value,
        /// measured points
        pub points: usize = fit.runs.len(),
        /// those that count at their own riser
        pub points_used: usize = fit.runs.iter().filter(|run| run.unused.is_none()).count(),
        /// calibrated over predicted flow, the mean of logarithms over the points; `null` where none counts
        pub calibrated_over_predicted: Option<f64> = fit.change.map(|change| change.value),
        /// how far the intervals reached from the flow before the trial, as the mean over the points that count
        pub width_before: Option<WidthFacts> = fit.before.map(Into::into),
        /// the same after it
        pub width_after: Option<WidthFacts> = fit.after.map(Into::into),
        /// point by point
        pub runs: Vec<FitRunFacts> = fit.runs.iter().map(Into::into).collect(),
        /// what the trial has taught
        pub taught: TaughtFacts = TaughtFacts {
            run: middle.point.run.clone(),
            points: middle.counting,
            terms: fit.taught.iter().map(Into::into).collect(),
        },
        /// the answer without readings that stand out, or `null`
        pub without: Option<WithoutFacts> = fit.without.as_ref().map(|other| WithoutFacts::of(fit, other)),
        /// what to measure next, as the `order` of a plan with these points done; `null` where `[trial]` does not say what
        /// the bench can do
        pub next: Option<OrderFacts> = fit.next.as_ref().map(OrderFacts::of),
        /// the closures
        pub model: Model = fit.model,
        /// cautions that come with it
        pub cautions: Vec<Caution> = fit.cautions.clone(),
    }

    /// What a fit says.
    #[must_use]
    pub fn of(fit: &Fit) -> Self {
        let middle = &fit.runs[fit.middle];
    }

    /// How far an interval reaches.
    #[derive(Copy)]
    pub struct WidthFacts from [below, above]: [Ratio; 2] {
        /// below the flow, as a share of it
        pub below: f64 = below.value,
        /// above it
        pub above: f64 = above.value,
    }

    /// A measured point before and after the trial.
    pub struct FitRunFacts from run: &FitRun {
        /// its setting and its air
        #[serde(flatten)]
        pub at: RunFacts = RunFacts::new(&at.run, [at.submergence, at.lift], at.air),
        /// water flow measured
        pub measured_water_flow_m3_per_s: f64 = at.water_flow.value,
        /// standard uncertainty of the reading as the law takes it, with what it shares with others; `null` where it does
        /// not count
        pub measured_relative_standard: Option<f64> = run.reading,
        /// water flow predicted without the trial
        pub predicted_water_flow_m3_per_s: f64 = run.predicted.value,
        /// where the true flow lies without it
        pub interval_before: Option<IntervalFacts> = run.before.map(Into::into),
        /// water flow predicted with it; `null` where no point counts
        pub calibrated_water_flow_m3_per_s: Option<f64> = run.calibrated.map(|flow| flow.value),
        /// where the true flow lies with it
        pub interval_after: Option<IntervalFacts> = run.after.map(Into::into),
        /// how far the reading is from what the other readings predict, in standard deviations
        pub deviations: Option<f64> = run.deviations,
        /// points that count at this run's riser
        pub points: usize = run.counting,
        /// why it does not count, or `null`
        pub unused: Option<String> = run.unused.map(|why| why.to_string()),
    } where {
        let at = &run.point;
    }

    /// What a trial has taught of the terms of the law of error.
    pub struct TaughtFacts {
        /// the run whose riser this holds for
        pub run: String,
        /// points that count there
        pub points: usize,
        /// the terms; those that no flow depends on are left out
        pub terms: Vec<TermFacts>,
    }

    /// A term of the law of error.
    pub struct TermFacts from one: &Taught {
        /// `rig`, `shape`, `developing length`, `wide pipe`, `entrance` or `outlet`
        pub term: String = one.term.to_string(),
        /// its standard deviation before the trial
        pub standard_before: f64 = one.before,
        /// the same after it
        pub standard_after: f64 = one.after,
        /// standard deviation that the term gives the logarithm of the run's flow, before the trial
        pub of_flow_before: f64 = one.of_flow[0],
        /// the same after it
        pub of_flow_after: f64 = one.of_flow[1],
    }

    /// The answer without readings that stand out.
    pub struct WithoutFacts {
        /// names of the readings left out
        pub left_out: Vec<String> = other.left_out.iter().map(|n| fit.runs[*n].point.run.clone()).collect(),
        /// as in the answer
        pub calibrated_over_predicted: Option<f64> = other.change.map(|change| change.value),
        /// all runs, predicted from the other readings
        pub runs: Vec<WithoutRun> = other.runs.iter().map(Into::into).collect(),
    }

    fn of(fit: &Fit, other: &Without) -> Self {
    }

    /// A run, predicted from the other readings.
    pub struct WithoutRun from run: &FitRun {
        /// its name
        pub run: String = run.point.run.clone(),
        /// water flow predicted with the others
        pub calibrated_water_flow_m3_per_s: Option<f64> = run.calibrated.map(|flow| flow.value),
        /// where the true flow lies with them
        pub interval_after: Option<IntervalFacts> = run.after.map(Into::into),
    }
}
