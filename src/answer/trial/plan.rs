//! A trial to make.

use schemars::JsonSchema;
use serde::Serialize;

use super::RunFacts;
use crate::answer::{Answer, IntervalFacts, SiteFacts};
use crate::model::Model;
use crate::trial::{DutyAir, LevelAdvice, Plan, PlanFlag, PlannedRun};

/// A trial to make.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PlanAnswer {
    /// free bore
    pub bore_m: f64,
    /// how the water leaves
    pub outlet: String,
    /// water caught in one fill
    pub container_m3: f64,
    /// air caught in one fill
    pub bottle_m3: f64,
    /// relative standard uncertainty that is wanted of each water flow
    pub wanted_relative_standard: f64,
    /// relative standard deviation of single filling times by the pulsation of the flow
    pub pulsation: f64,
    /// water surface of the source, or `null`
    pub tank_area_m2: Option<f64>,
    /// air flows within lifts within depths
    pub runs: Vec<PlannedFacts>,
    /// in which order to make them
    pub order: OrderFacts,
    /// water and atmosphere
    pub site: SiteFacts,
    /// the closures
    pub model: Model,
}

/// A run to make.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PlannedFacts {
    /// its setting and its air
    #[serde(flatten)]
    pub at: RunFacts,
    /// water flow predicted, zero when none
    pub water_flow_m3_per_s: f64,
    /// where the true flow lies; `null` at a submergence ratio below 0.4, unless `model.slip` is `smith_drift`
    pub interval: Option<IntervalFacts>,
    /// predicted time to fill the container
    pub fill_time_s: Option<f64>,
    /// predicted time to fill the bottle
    pub bottle_time_s: Option<f64>,
    /// repeats for the wanted uncertainty; `null` when 20 are not enough
    pub repeats: Option<usize>,
    /// standard uncertainty of the water flow with those repeats, or with 20
    pub expected_relative_standard: Option<f64>,
    /// container that would do with 3 repeats; `null` when none would
    pub container_for_fewest_repeats_m3: Option<f64>,
    /// its filling time
    pub time_for_fewest_repeats_s: Option<f64>,
    /// standard uncertainty of the air flow with 3 repeats that agree
    pub air_expected_relative_standard: Option<f64>,
    /// what the drawn water does to the level; `null` without a tank or without water
    pub level: Option<LevelFacts>,
    /// what is amiss
    pub flags: Vec<PlanFlag>,
}

/// What the drawn water does to the level of its source.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct LevelFacts {
    /// fall of the source in one fill
    pub fall_m: f64,
    /// relative bias of the mean flow of one fill
    pub bias: f64,
    /// fills that follow each other
    pub fills: usize,
    /// relative bias over all of them, when no water is returned between
    pub bias_without_return: f64,
    /// what to do
    #[serde(flatten)]
    pub advice: LevelAdvice,
}

/// In which order to make runs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OrderFacts {
    /// where the flow must be known
    pub duty: TrialDuty,
    /// how narrow it shall be: half of the interval as a share of the flow
    pub wanted_half_width: f64,
    /// the runs to make, at most twenty
    pub runs: Vec<NextFacts>,
    /// how many of them are enough; `null` where all are not
    pub enough: Option<usize>,
    /// names of runs that tell nothing of the duty, since their riser is another
    pub another_rig: Vec<String>,
}

/// Where the flow of a trial must be known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct TrialDuty {
    /// depth of the air inlet
    pub submergence_m: f64,
    /// height of the outlet
    pub lift_m: f64,
    /// dry air
    pub air_mass_flow_kg_per_s: f64,
    /// where that is from: `given`, `for_water` or `middle`
    #[schemars(with = "String")]
    pub air_from: DutyAir,
    /// water flow there
    pub water_flow_m3_per_s: f64,
    /// how sure it is so far
    pub interval: Option<IntervalFacts>,
    /// half of the interval as a share of the flow; `null` where there is no interval
    pub half_width: Option<f64>,
    /// measured points that count there
    pub points: usize,
    /// whether the flow is below three tenths of the peak's, so that widths are rough
    pub near_threshold: bool,
}

/// A run to make next.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct NextFacts {
    /// its setting and its air
    #[serde(flatten)]
    pub at: RunFacts,
    /// half of the interval at the duty after it, as a share of the flow
    pub half_width: f64,
}

impl Answer for PlanAnswer {
    const SCHEMA: &'static str = "risewater.plan/3";
}

impl PlanAnswer {
    /// What a plan says.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let bench = &plan.bench;
        Self {
            bore_m: bench.spec.free_bore().value,
            outlet: bench.spec.outlet.to_string(),
            container_m3: bench.container.value,
            bottle_m3: bench.bottle.value,
            wanted_relative_standard: bench.wanted.value,
            pulsation: bench.pulsation.value,
            tank_area_m2: bench.tank_area.map(|area| area.value),
            runs: plan.runs.iter().map(planned).collect(),
            order: OrderFacts::of(plan),
            site: (&bench.site).into(),
            model: bench.model,
        }
    }
}

fn run(run: &PlannedRun) -> RunFacts {
    RunFacts::new(&run.label, [run.submergence, run.lift], run.air)
}

fn planned(planned: &PlannedRun) -> PlannedFacts {
    let effort = planned.effort;
    PlannedFacts {
        at: run(planned),
        water_flow_m3_per_s: planned.water_flow.value,
        interval: planned.interval.map(Into::into),
        fill_time_s: planned.fill_time.map(|time| time.value),
        bottle_time_s: planned.bottle_time.map(|time| time.value),
        repeats: effort.and_then(|effort| effort.repeats),
        expected_relative_standard: effort.map(|effort| effort.expected.value),
        container_for_fewest_repeats_m3: effort.and_then(|it| it.container).map(|it| it.value),
        time_for_fewest_repeats_s: effort.and_then(|it| it.time).map(|it| it.value),
        air_expected_relative_standard: planned.air_expected.map(|share| share.value),
        level: planned.level.map(|level| LevelFacts {
            fall_m: level.fall.value,
            bias: level.bias.value,
            fills: level.fills,
            bias_without_return: level.bias_without_return.value,
            advice: level.advice,
        }),
        flags: planned.flags.clone(),
    }
}

impl OrderFacts {
    pub(super) fn of(plan: &Plan) -> Self {
        let order = &plan.order;
        let at = order.riser.dimensions;
        let runs = order.runs.iter().map(|next| NextFacts {
            at: run(&plan.runs[next.run]),
            half_width: next.half_width.value,
        });
        let others = order.another_rig.iter();
        Self {
            duty: TrialDuty {
                submergence_m: at.submergence.value,
                lift_m: at.lift.value,
                air_mass_flow_kg_per_s: order.air.kg_per_s(),
                air_from: order.air_from,
                water_flow_m3_per_s: order.now.outcome.water_flow().value,
                interval: order.now.interval.map(Into::into),
                half_width: order.half_width.map(|width| width.value),
                points: order.measured,
                near_threshold: order.near_threshold,
            },
            wanted_half_width: plan.bench.wanted_width.value,
            runs: runs.collect(),
            enough: order.enough,
            another_rig: others.map(|n| plan.runs[*n].label.clone()).collect(),
        }
    }
}
