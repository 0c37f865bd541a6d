//! The depth of least power.

use schemars::JsonSchema;
use serde::Serialize;

use super::super::DutyFacts;
use crate::sizing::Task;
use crate::supply::{BestDepth, DepthLimit, DepthPower, PlantDepths};

/// The depth of least power for the duty, against the plant as it is.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DepthsFacts {
    /// what was asked
    pub duty: DutyFacts,
    /// each pipe and number of lifts at its best depth, best first
    pub designs: Vec<DepthFacts>,
    /// pressure that the plant loses between blower and water
    pub supply_loss_pa: f64,
    /// power in the air of the plant, without exchange of heat
    pub present_adiabatic_power_w: f64,
    /// its power at the wire; `null` where the efficiency is not known
    pub present_wire_power_w: Option<f64>,
    /// water of the plant, at its design air
    pub present_water_flow_m3_per_s: f64,
}

/// One pipe and number of lifts at its best depth.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DepthFacts {
    /// name of the pipe
    pub pipe: String,
    /// how many
    pub lifts: u32,
    /// what it takes there
    #[serde(flatten)]
    pub best: DepthPoint,
    /// dry air of all lifts
    pub air_mass_flow_kg_per_s: f64,
    /// pressure rise of the blower
    pub pressure_rise_pa: f64,
    /// power for the water over that of the plant, less one
    pub power_against_present: f64,
    /// what keeps it from being another: `interior`, `largest_submergence`, `smallest_submergence`, `air_pressure`, `total_gas_pressure` or `peak`
    #[schemars(with = "String")]
    pub limit: DepthLimit,
    /// power over depth, where the duty is met
    pub curve: Vec<DepthPoint>,
}

/// Power at a depth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct DepthPoint {
    /// depth of the injection point
    pub submergence_m: f64,
    /// power in the air of all lifts, without exchange of heat
    pub adiabatic_power_w: f64,
    /// power at the wire; `null` where the efficiency is not known
    pub wire_power_w: Option<f64>,
}

impl DepthsFacts {
    pub(super) fn of(found: &PlantDepths, problem: &Task) -> Self {
        let design = |one: &BestDepth| {
            let point = |power: &DepthPower| DepthPoint {
                submergence_m: power.submergence.value,
                adiabatic_power_w: power.adiabatic_power.value,
                wire_power_w: power.wire_power.map(|power| power.value),
            };
            DepthFacts {
                pipe: one.pipe.name.clone(),
                lifts: one.lifts,
                best: point(&one.best),
                air_mass_flow_kg_per_s: one.best.point.air.kg_per_s() * f64::from(one.lifts),
                pressure_rise_pa: one.best.rise.value,
                power_against_present: found.against_present(one, problem.duty.water_flow),
                limit: one.limit,
                curve: one.curve.iter().map(point).collect(),
            }
        };
        Self {
            duty: problem.into(),
            designs: found.best.iter().map(design).collect(),
            supply_loss_pa: found.air_side.loss.value,
            present_adiabatic_power_w: found.present.adiabatic_power.value,
            present_wire_power_w: found.present.wire_power.map(|power| power.value),
            present_water_flow_m3_per_s: found.present_water.value,
        }
    }
}
