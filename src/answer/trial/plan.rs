//! A trial to make.

use super::RunFacts;
use crate::answer::{IntervalFacts, SiteFacts};
use crate::caution::Caution;
use crate::model::Model;
use crate::trial::{
    AirGauge, DutyAir, LevelAdvice, LevelBudget, NextRun, Order, PairsToTell, Plan, PlanFlag,
    PlannedRun,
};

facts! {
    /// A trial to make.
    pub struct PlanAnswer {
        /// free bore
        pub bore_m: f64 = bench.spec.free_bore().value,
        /// how the water leaves
        pub outlet: String = bench.spec.outlet.to_string(),
        /// how the air gets in: `open_tube`, `drilled_ring` or `diffuser`; `null` where that is not said
        pub injector: Option<String> = bench.spec.injector.map(|kind| kind.to_string()),
        /// vessel for the water that the file names, or `null`
        pub container_m3: Option<f64> = bench.container.map(|it| it.value),
        /// bottle for the air that the file names, or `null`
        pub bottle_m3: Option<f64> = bench.bottle.map(|it| it.value),
        /// relative standard uncertainty that is wanted of each water flow
        pub wanted_relative_standard: f64 = bench.wanted.value,
        /// relative standard deviation of single filling times that the pulsation of the flow causes
        pub pulsation: f64 = bench.pulsation.value,
        /// water surface of the source, or `null`
        pub tank_area_m2: Option<f64> = bench.tank_area.map(|area| area.value),
        /// the runs: each air flow at each lift, each lift at each depth
        pub runs: Vec<PlannedFacts> = plan.runs.iter().map(Into::into).collect(),
        /// in which order to make them
        pub order: OrderFacts = OrderFacts::of(plan),
        /// what it takes to compare two configurations, such as two injectors, at the duty
        pub pairs: PairsToTellFacts = (&plan.pairs).into(),
        /// water and atmosphere
        pub site: SiteFacts = (&bench.site).into(),
        /// the closures
        pub model: Model = bench.model,
        /// cautions that come with it
        pub cautions: Vec<Caution> = plan.cautions.clone(),
    }

    /// What a plan says.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let bench = &plan.bench;
    }

    /// A run to make.
    pub struct PlannedFacts from planned: &PlannedRun {
        /// its setting and its air
        #[serde(flatten)]
        pub at: RunFacts = planned.into(),
        /// water flow predicted, zero when none
        pub water_flow_m3_per_s: f64 = planned.water_flow.value,
        /// where the true flow lies; `null` at a submergence ratio below 0.4, unless `model.slip` is `smith_drift`
        pub interval: Option<IntervalFacts> = planned.interval.map(Into::into),
        /// vessel to catch the water in, from the file or else a common one; `null` without water
        pub container_m3: Option<f64> = planned.container.map(|it| it.value),
        /// bottle for the air, from the file or else a common one; `null` with a meter or without air
        pub bottle_m3: Option<f64> = bottle.map(|it| it.value),
        /// full scale of a common meter for the air, in free air, where no bottle suits
        pub meter_full_scale_m3_per_s: Option<f64> = full_scale.map(|it| it.value),
        /// predicted time to fill the container
        pub fill_time_s: Option<f64> = planned.fill_time.map(|time| time.value),
        /// predicted time to fill the bottle
        pub bottle_time_s: Option<f64> = planned.bottle_time.map(|time| time.value),
        /// repeats for the wanted uncertainty; `null` when 20 are not enough
        pub repeats: Option<usize> = effort.and_then(|effort| effort.repeats),
        /// standard uncertainty of the water flow with those repeats, or with 20
        pub expected_relative_standard: Option<f64> = effort.map(|effort| effort.expected.value),
        /// container that would do with 3 repeats; `null` when none would
        pub container_for_fewest_repeats_m3: Option<f64> =
            effort.and_then(|it| it.container).map(|it| it.value),
        /// time to fill that container
        pub time_for_fewest_repeats_s: Option<f64> =
            effort.and_then(|it| it.time).map(|it| it.value),
        /// standard uncertainty of the air flow with 3 repeats that agree
        pub air_expected_relative_standard: Option<f64> =
            planned.air_expected.map(|share| share.value),
        /// what the drawn water does to the level; `null` without a tank or without water
        pub level: Option<LevelFacts> = planned.level.map(Into::into),
        /// time that the run takes: five minutes to settle, then each fill and reading of the air with a minute to reset
        pub duration_s: f64 = planned.duration.value,
        /// what is wrong with this run
        pub flags: Vec<PlanFlag> = planned.flags.clone(),
    } where {
        let effort = planned.effort;
        let bottle = planned.air_gauge.and_then(AirGauge::bottle);
        let full_scale = planned.air_gauge.and_then(AirGauge::full_scale);
    }

    /// What it takes to compare two configurations.
    #[derive(Copy)]
    pub struct PairsToTellFacts from pairs: &PairsToTell {
        /// difference of their water that matters
        pub difference: f64 = pairs.difference.value,
        /// relative standard deviation of one run that is assumed
        pub scatter: f64 = pairs.scatter.value,
        /// pairs of runs that show it in four trials of five; `null` where it would take too many
        pub pairs: Option<usize> = pairs.pairs,
        /// time of all their runs, without the changes of configuration between them
        pub duration_s: Option<f64> = pairs.duration.map(|time| time.value),
    }

    /// What the drawn water does to the level of its source.
    #[derive(Copy)]
    pub struct LevelFacts from level: LevelBudget {
        /// fall of the source in one fill
        pub fall_m: f64 = level.fall.value,
        /// relative bias of the mean flow of one fill
        pub bias: f64 = level.bias.value,
        /// fills that follow each other
        pub fills: usize = level.fills,
        /// relative bias over all of them, when no water is returned between
        pub bias_without_return: f64 = level.bias_without_return.value,
        /// what to do
        #[serde(flatten)]
        pub advice: LevelAdvice = level.advice,
    }

    /// In which order to make runs.
    pub struct OrderFacts {
        /// where the flow must be known
        pub duty: TrialDuty = order.into(),
        /// half of the interval that is wanted, as a share of the flow
        pub wanted_half_width: f64 = plan.bench.wanted_width.value,
        /// the runs to make, at most twenty
        pub runs: Vec<NextFacts> = runs.collect(),
        /// how many of them are enough; `null` where all together are not
        pub enough: Option<usize> = order.enough,
        /// names of runs that say nothing of the duty, since their riser counts as another rig
        pub another_rig: Vec<String> = others.map(|n| plan.runs[*n].label.clone()).collect(),
    }

    pub(super) fn of(plan: &Plan) -> Self {
        let order = &plan.order;
        let runs = order.runs.iter().map(|next| NextFacts::of(plan, next));
        let others = order.another_rig.iter();
    }

    /// Where the flow of a trial must be known.
    #[derive(Copy)]
    pub struct TrialDuty from order: &Order {
        /// depth of the air inlet
        pub submergence_m: f64 = at.submergence.value,
        /// height of the outlet
        pub lift_m: f64 = at.lift.value,
        /// dry air
        pub air_mass_flow_kg_per_s: f64 = order.air.kg_per_s(),
        /// where that air is from: `given`, `for_water` or `middle`
        #[schemars(with = "String")]
        pub air_from: DutyAir = order.air_from,
        /// water flow there
        pub water_flow_m3_per_s: f64 = order.now.outcome.water_flow().value,
        /// where the true flow lies, by what is known so far
        pub interval: Option<IntervalFacts> = order.now.interval.map(Into::into),
        /// half of the interval as a share of the flow; `null` where there is no interval
        pub half_width: Option<f64> = order.half_width.map(|width| width.value),
        /// measured points that count there
        pub points: usize = order.measured,
        /// whether the flow is below three tenths of the peak's, so that widths are rough
        pub near_threshold: bool = order.near_threshold,
    } where {
        let at = order.riser.dimensions;
    }

    /// A run to make next.
    pub struct NextFacts {
        /// its setting and its air
        #[serde(flatten)]
        pub at: RunFacts = (&plan.runs[next.run]).into(),
        /// half of the interval at the duty after it, as a share of the flow
        pub half_width: f64 = next.half_width.value,
    }

    fn of(plan: &Plan, next: &NextRun) -> Self {
    }
}

impl From<&PlannedRun> for RunFacts {
    fn from(run: &PlannedRun) -> Self {
        Self::new(&run.label, [run.submergence, run.lift], run.air)
    }
}
