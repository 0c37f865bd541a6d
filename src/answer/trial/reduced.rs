//! A bench trial reduced to flows.

use super::RunFacts;
use crate::answer::SiteFacts;
use crate::error::Error;
use crate::measurement::Uncertain;
use crate::riser::Site;
use crate::trial::{
    Bench, Contribution, Doubtful, Fluid, Instruments, Measured, Outlier, ReducedRun, Run, Source,
    USUALLY_WANTED, doubts, no_flow, reduce,
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

facts! {
    /// Every run of a trial, reduced.
    pub struct TrialAnswer {
        /// probability with which the limits hold the true value
        pub coverage_level: f64 = terms.level.value,
        /// relative standard uncertainty that the advice is for
        pub wanted_relative_standard: f64 = terms.wanted.value,
        /// the runs in which water came, in the order of the sheet
        pub runs: Vec<TrialRun> = reduce(runs, instruments)?
            .iter()
            .map(|run| asked.reduced(run))
            .collect::<Result<_, _>>()?,
        /// the runs without water, which have no keys of water
        pub no_flow: Vec<TrialRun> = without.collect::<Result<_, _>>()?,
        /// readings that look wrong; they are used all the same
        pub cautions: Vec<Doubtful> = asked.doubts,
    }

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
            TrialRun::of(&asked, [&run.label, &run.configuration], place, &run.site, &run.air)
        });
    }

    /// A run of a trial.
    pub struct TrialRun {
        /// its setting and its air
        #[serde(flatten)]
        pub at: RunFacts = RunFacts::new(label, [submergence.value, lift.value], air.air_flow()),
        /// what was set up, as the sheet has it
        pub configuration: String = configuration.to_owned(),
        /// standard uncertainty of the depth
        pub submergence_standard_m: f64 = submergence.standard.value,
        /// standard uncertainty of the lift
        pub lift_standard_m: f64 = lift.standard.value,
        /// standard uncertainty of the air
        pub air_mass_flow_standard_kg_per_s: f64 = air.value.standard.value,
        /// lower limit of the air
        pub air_mass_flow_low_kg_per_s: f64 = low.value,
        /// upper limit of the air
        pub air_mass_flow_high_kg_per_s: f64 = high.value,
        /// uncertainty of the air, and where it comes from
        pub air: MeasuredFacts = MeasuredFacts::of(asked, label, Fluid::Air, air)?,
        /// the water; `null` where none came
        pub flow: Option<TrialFlow> = None,
        /// water and atmosphere
        pub site: SiteFacts = site.into(),
    }

    /// A run but for its water.
    fn of(
        asked: &Asked,
        [label, configuration]: [&str; 2],
        [submergence, lift]: [&Uncertain<Length>; 2],
        site: &Site,
        air: &Measured<MassRate>,
    ) -> Result<Self, Error> {
        let (low, high) = air.value.interval(asked.terms.level)?;
    }

    /// The water of a run.
    pub struct TrialFlow {
        /// measured water flow
        pub water_flow_m3_per_s: f64 = water.value.value,
        /// its standard uncertainty
        pub water_flow_standard_m3_per_s: f64 = water.standard.value,
        /// its lower limit
        pub water_flow_low_m3_per_s: f64 = low.value,
        /// its upper limit
        pub water_flow_high_m3_per_s: f64 = high.value,
        /// uncertainty of the water, and where it comes from
        pub water: MeasuredFacts =
            MeasuredFacts::of(asked, &run.label, Fluid::Water, &run.water_flow)?,
        /// volume of air (dry, 20 °C, 101.325 kPa) for each volume of water
        pub air_to_water: f64 = ratio.value.value,
        /// its standard uncertainty
        pub air_to_water_standard: f64 = ratio.standard.value,
        /// its lower limit
        pub air_to_water_low: f64 = ratio_low.value,
        /// its upper limit
        pub air_to_water_high: f64 = ratio_high.value,
        /// covariance of the two flows over their product, through the one watch
        pub water_air_relative_covariance: f64 = run.air_to_water.relative_covariance.value,
        /// correlation of the two flows
        pub water_air_correlation: f64 = run.air_to_water.correlation.value,
    }

    fn of(asked: &Asked, run: &ReducedRun) -> Result<Self, Error> {
        let (water, ratio) = (&run.water_flow.value, &run.air_to_water.ratio);
        let (low, high) = water.interval(asked.terms.level)?;
        let (ratio_low, ratio_high) = ratio.interval(asked.terms.level)?;
    }

    /// The uncertainty of one flow, and where it comes from.
    pub struct MeasuredFacts {
        /// relative standard uncertainty
        pub relative_standard: f64 = budget.relative.value,
        /// effective degrees of freedom; `null` for infinite
        pub degrees_of_freedom: Option<f64> = freedom.is_finite().then_some(freedom),
        /// what it is made of, the largest share first
        pub budget: Vec<BudgetFacts> = budget.contributions.iter().map(Into::into).collect(),
        /// what to improve first; `null` where a reading looks wrong: look that up first
        pub advice: Option<String> = (!looks_wrong).then(|| advice.to_string()),
        /// times of the repeats; `null` for a meter
        pub times_s: Option<Vec<f64>> =
            repeats.map(|all| all.times.iter().map(|time| time.value).collect()),
        /// repeats out of line with the others of the sheet; `null` for a meter
        pub outliers: Option<Vec<OutlierFacts>> =
            repeats.map(|all| all.outliers.iter().map(Into::into).collect()),
    }

    fn of(
        asked: &Asked,
        label: &str,
        fluid: Fluid,
        measured: &Measured<impl Sized>,
    ) -> Result<Self, Error> {
        let (budget, repeats) = (&measured.budget, measured.repeats.as_ref());
        let freedom = measured.value.degrees_of_freedom;
        let advice = budget.advice(asked.terms.wanted)?;
        let looks_wrong = repeats.is_some_and(|all| !all.outliers.is_empty())
            || asked.doubts.iter().any(|doubt| doubt.is_of(label, fluid));
    }

    /// One part of an uncertainty.
    #[derive(Copy)]
    pub struct BudgetFacts from part: &Contribution {
        /// where it comes from
        #[schemars(with = "String")]
        pub source: Source = part.source,
        /// relative standard uncertainty by it alone
        pub relative_standard: f64 = part.standard.value,
        /// share of the variance
        pub share: f64 = part.share.value,
    }

    /// A repeat out of line with the others.
    #[derive(Copy)]
    pub struct OutlierFacts from one: &Outlier {
        /// which repeat, counted from one
        pub repeat: usize = one.repeat,
        /// its time
        pub time_s: f64 = one.time.value,
        /// upper bound on the probability that a sheet without slips has a time as far out; below 0.05
        pub chance: f64 = one.chance.value,
    }
}

/// What the runs are reduced with.
struct Asked {
    terms: TrialTerms,
    doubts: Vec<Doubtful>,
}

impl Asked {
    fn reduced(&self, run: &ReducedRun) -> Result<TrialRun, Error> {
        let place = [&run.submergence, &run.lift];
        let found = TrialRun::of(
            self,
            [&run.label, &run.configuration],
            place,
            &run.site,
            &run.air,
        )?;
        Ok(TrialRun {
            flow: Some(TrialFlow::of(self, run)?),
            ..found
        })
    }
}
