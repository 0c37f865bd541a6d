//! A bench trial reduced to flows.

use schemars::JsonSchema;
use serde::Serialize;

use super::RunFacts;
use crate::answer::{Answer, SiteFacts};
use crate::error::Error;
use crate::measurement::Uncertain;
use crate::riser::Site;
use crate::trial::{
    Bench, Doubtful, Fluid, Instruments, Measured, ReducedRun, Run, Source, USUALLY_WANTED, doubts,
    no_flow, reduce,
};
use crate::units::{Length, MassRate, Ratio, base, percent};

/// What an answer on a trial states its numbers for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrialTerms {
    /// Coverage probability of the intervals.
    pub level: Ratio,
    /// Relative standard uncertainty that is wanted of each flow, for the advice.
    pub wanted: Ratio,
}

impl Default for TrialTerms {
    /// Intervals of 95 %; [`USUALLY_WANTED`].
    fn default() -> Self {
        Self {
            level: Ratio::new::<percent>(95.0),
            wanted: base(USUALLY_WANTED),
        }
    }
}

/// Every run of a trial, reduced.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TrialAnswer {
    /// probability with which the limits hold the true value
    pub coverage_level: f64,
    /// relative standard uncertainty that the advice is for
    pub wanted_relative_standard: f64,
    /// the runs in which water came, in the order of the sheet
    pub runs: Vec<TrialRun>,
    /// the others, without the keys of water
    pub no_flow: Vec<TrialRun>,
    /// readings that look wrong; they are used all the same
    pub cautions: Vec<Doubtful>,
}

/// A run of a trial.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TrialRun {
    /// its setting and its air
    #[serde(flatten)]
    pub at: RunFacts,
    /// what was set up, as the sheet has it
    pub configuration: String,
    /// standard uncertainty of the depth
    pub submergence_standard_m: f64,
    /// standard uncertainty of the lift
    pub lift_standard_m: f64,
    /// standard uncertainty of the air
    pub air_mass_flow_standard_kg_per_s: f64,
    /// lower limit of the air
    pub air_mass_flow_low_kg_per_s: f64,
    /// upper limit of the air
    pub air_mass_flow_high_kg_per_s: f64,
    /// what stands behind the air
    pub air: MeasuredFacts,
    /// the water; `null` where none came
    pub flow: Option<TrialFlow>,
    /// water and atmosphere
    pub site: SiteFacts,
}

/// The water of a run.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TrialFlow {
    /// measured water flow
    pub water_flow_m3_per_s: f64,
    /// its standard uncertainty
    pub water_flow_standard_m3_per_s: f64,
    /// its lower limit
    pub water_flow_low_m3_per_s: f64,
    /// its upper limit
    pub water_flow_high_m3_per_s: f64,
    /// what stands behind it
    pub water: MeasuredFacts,
    /// volume of air (dry, 20 °C, 101.325 kPa) for each volume of water
    pub air_to_water: f64,
    /// its standard uncertainty
    pub air_to_water_standard: f64,
    /// its lower limit
    pub air_to_water_low: f64,
    /// its upper limit
    pub air_to_water_high: f64,
    /// covariance of the two flows over their product, through the one watch
    pub water_air_relative_covariance: f64,
    /// correlation of the two flows
    pub water_air_correlation: f64,
}

/// What stands behind one flow.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MeasuredFacts {
    /// relative standard uncertainty
    pub relative_standard: f64,
    /// effective degrees of freedom; `null` for infinite
    pub degrees_of_freedom: Option<f64>,
    /// what it is made of, the largest share first
    pub budget: Vec<BudgetFacts>,
    /// what to improve first; `null` where a reading looks wrong, which is to be looked up first
    pub advice: Option<String>,
    /// the repeats; `null` for a meter
    pub times_s: Option<Vec<f64>>,
    /// repeats out of line with the others of the sheet; `null` for a meter
    pub outliers: Option<Vec<OutlierFacts>>,
}

/// One part of an uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct BudgetFacts {
    /// where it comes from
    #[schemars(with = "String")]
    pub source: Source,
    /// relative standard uncertainty by it alone
    pub relative_standard: f64,
    /// share of the variance
    pub share: f64,
}

/// A repeat out of line with the others.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct OutlierFacts {
    /// which repeat, counted from one
    pub repeat: usize,
    /// its time
    pub time_s: f64,
    /// probability, at most, that a sheet without slips has a time as far out; below 0.05
    pub chance: f64,
}

impl Answer for TrialAnswer {
    const SCHEMA: &'static str = "risewater.trial/2";
}

impl TrialAnswer {
    /// Reduces the runs of a trial. With a bench, readings are held against what it plans too.
    ///
    /// # Errors
    /// As [`reduce`] and [`doubts`]; [`Error::OutOfRange`] for terms outside [`LEVEL`](crate::measurement::LEVEL) or
    /// [`WANTED`](crate::trial::WANTED).
    pub fn of(
        runs: &[Run],
        bench: Option<&Bench>,
        instruments: &Instruments,
        terms: TrialTerms,
    ) -> Result<Self, Error> {
        let asked = Asked {
            terms,
            doubts: doubts(runs, bench)?,
        };
        let without = no_flow(runs, instruments)?;
        let without = without.iter().map(|run| {
            let place = [&run.submergence, &run.lift];
            asked.run([&run.label, &run.configuration], place, &run.site, &run.air)
        });
        Ok(Self {
            coverage_level: terms.level.value,
            wanted_relative_standard: terms.wanted.value,
            no_flow: without.collect::<Result<_, _>>()?,
            runs: reduce(runs, instruments)?
                .iter()
                .map(|run| asked.reduced(run))
                .collect::<Result<_, _>>()?,
            cautions: asked.doubts,
        })
    }
}

/// What the runs are reduced with.
struct Asked {
    terms: TrialTerms,
    doubts: Vec<Doubtful>,
}

impl Asked {
    fn reduced(&self, run: &ReducedRun) -> Result<TrialRun, Error> {
        let (water, ratio) = (&run.water_flow.value, &run.air_to_water.ratio);
        let (low, high) = water.interval(self.terms.level)?;
        let (ratio_low, ratio_high) = ratio.interval(self.terms.level)?;
        let place = [&run.submergence, &run.lift];
        let found = self.run([&run.label, &run.configuration], place, &run.site, &run.air)?;
        Ok(TrialRun {
            flow: Some(TrialFlow {
                water_flow_m3_per_s: water.value.value,
                water_flow_standard_m3_per_s: water.standard.value,
                water_flow_low_m3_per_s: low.value,
                water_flow_high_m3_per_s: high.value,
                water: self.measured(&run.label, Fluid::Water, &run.water_flow)?,
                air_to_water: ratio.value.value,
                air_to_water_standard: ratio.standard.value,
                air_to_water_low: ratio_low.value,
                air_to_water_high: ratio_high.value,
                water_air_relative_covariance: run.air_to_water.relative_covariance.value,
                water_air_correlation: run.air_to_water.correlation.value,
            }),
            ..found
        })
    }

    /// A run but for its water.
    fn run(
        &self,
        [label, configuration]: [&str; 2],
        [submergence, lift]: [&Uncertain<Length>; 2],
        site: &Site,
        air: &Measured<MassRate>,
    ) -> Result<TrialRun, Error> {
        let (low, high) = air.value.interval(self.terms.level)?;
        Ok(TrialRun {
            at: RunFacts::new(label, [submergence.value, lift.value], air.air_flow()),
            configuration: configuration.to_owned(),
            submergence_standard_m: submergence.standard.value,
            lift_standard_m: lift.standard.value,
            air_mass_flow_standard_kg_per_s: air.value.standard.value,
            air_mass_flow_low_kg_per_s: low.value,
            air_mass_flow_high_kg_per_s: high.value,
            air: self.measured(label, Fluid::Air, air)?,
            flow: None,
            site: site.into(),
        })
    }

    fn measured<Q>(
        &self,
        label: &str,
        fluid: Fluid,
        measured: &Measured<Q>,
    ) -> Result<MeasuredFacts, Error> {
        let (budget, repeats) = (&measured.budget, measured.repeats.as_ref());
        let freedom = measured.value.degrees_of_freedom;
        let advice = budget.advice(self.terms.wanted)?;
        let looks_wrong = repeats.is_some_and(|all| !all.outliers.is_empty())
            || self.doubts.iter().any(|doubt| doubt.is_of(label, fluid));
        let parts = budget.contributions.iter().map(|part| BudgetFacts {
            source: part.source,
            relative_standard: part.standard.value,
            share: part.share.value,
        });
        Ok(MeasuredFacts {
            relative_standard: budget.relative.value,
            degrees_of_freedom: freedom.is_finite().then_some(freedom),
            budget: parts.collect(),
            advice: (!looks_wrong).then(|| advice.to_string()),
            times_s: repeats.map(|all| all.times.iter().map(|time| time.value).collect()),
            outliers: repeats.map(|all| {
                let outliers = all.outliers.iter().map(|one| OutlierFacts {
                    repeat: one.repeat,
                    time_s: one.time.value,
                    chance: one.chance.value,
                });
                outliers.collect()
            }),
        })
    }
}
