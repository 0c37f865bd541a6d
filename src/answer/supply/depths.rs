//! The depth of least power.

use super::super::DutyFacts;
use crate::sizing::Task;
use crate::supply::{BestDepth, DepthLimit, DepthPower, PlantDepths};
use crate::units::VolumeRate;

facts! {
    /// The depth of least power for the duty, against the plant as it is.
    pub struct DepthsFacts {
        /// the duty that was asked
        pub duty: DutyFacts = problem.into(),
        /// each pipe and number of lifts at its best depth, best first
        pub designs: Vec<DepthFacts> = found.best.iter().map(design).collect(),
        /// pressure that the plant loses between blower and water
        pub supply_loss_pa: f64 = found.air_side.loss.value,
        /// power in the air of the plant, without exchange of heat
        pub present_adiabatic_power_w: f64 = found.present.adiabatic_power.value,
        /// its power at the wire; `null` where the efficiency is not known
        pub present_wire_power_w: Option<f64> = found.present.wire_power.map(|power| power.value),
        /// water of the plant, at its design air
        pub present_water_flow_m3_per_s: f64 = found.present_water.value,
    }

    pub(super) fn of(found: &PlantDepths, problem: &Task) -> Self {
        let design = |one| DepthFacts::of(found, one, problem.duty.water_flow);
    }

    /// One pipe and number of lifts at its best depth.
    pub struct DepthFacts {
        /// name of the pipe
        pub pipe: String = one.pipe.name.clone(),
        /// how many
        pub lifts: u32 = one.lifts,
        /// what it takes there
        #[serde(flatten)]
        pub best: DepthPoint = (&one.best).into(),
        /// dry air of all lifts
        pub air_mass_flow_kg_per_s: f64 = one.best.point.air.kg_per_s() * f64::from(one.lifts),
        /// pressure rise of the blower
        pub pressure_rise_pa: f64 = one.best.rise.value,
        /// power for each volume of water over that of the present plant, less one
        pub power_against_present: f64 = found.against_present(one, flow),
        /// what sets this depth: `interior` (the least power itself), `largest_submergence`, `smallest_submergence`, `air_pressure`, `total_gas_pressure` or `peak`
        #[schemars(with = "String")]
        pub limit: DepthLimit = one.limit,
        /// power over depth, where the duty is met
        pub curve: Vec<DepthPoint> = one.curve.iter().map(Into::into).collect(),
    }

    fn of(found: &PlantDepths, one: &BestDepth, flow: VolumeRate) -> Self {
    }

    /// Power at a depth.
    #[derive(Copy)]
    pub struct DepthPoint from power: &DepthPower {
        /// depth of the injection point
        pub submergence_m: f64 = power.submergence.value,
        /// power in the air of all lifts, without exchange of heat
        pub adiabatic_power_w: f64 = power.adiabatic_power.value,
        /// power at the wire; `null` where the efficiency is not known
        pub wire_power_w: Option<f64> = power.wire_power.map(|power| power.value),
    }
}
