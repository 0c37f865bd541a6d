//! `[[lift]]`: one riser on the header.

use super::branch::GivenBranch;
use super::run::RunKeys;
use super::{in_m, in_mm};
use crate::design::fault::Problem;
use crate::design::section::{Bound, Section};
use crate::design::sections::air::VOLUME_FLOW;
use crate::design::sheet::Sheet;
use crate::error::Input;
use crate::riser::{LIFT, SUBMERGENCE, WATER_FLOW};
use crate::supply::DISTANCE;
use crate::two_phase::BORE;
use crate::units::quantity;
use crate::units::{Length, VolumeRate, liter_per_minute};

/// What a lift is to do.
#[derive(Debug, Clone, Copy)]
pub enum LiftFlow {
    /// Lift so much water.
    Water(VolumeRate),
    /// Take so much air, counted at the reference of `[air]`.
    Air(VolumeRate),
}

/// `[[lift]]`.
#[derive(Debug)]
pub struct GivenLift {
    /// From 1.
    pub number: usize,
    pub name: String,
    pub at: Option<Length>,
    pub bore: Option<Length>,
    pub submergence: Option<Length>,
    pub lift: Option<Length>,
    pub flow: Option<LiftFlow>,
    pub branch: GivenBranch,
    pub open: bool,
    /// Whether a fault of its flow is told already.
    pub flow_told: bool,
}

impl GivenLift {
    pub fn read(sheet: &Sheet, mut lift: Section, number: usize) -> Self {
        let flow = |what| -> Bound<VolumeRate> {
            (what, VOLUME_FLOW, |flow| flow.get::<liter_per_minute>())
        };
        let water: Bound<VolumeRate> = (Input::WaterFlow, WATER_FLOW, |flow| {
            flow.get::<liter_per_minute>()
        });
        let mut given = Self {
            number,
            name: lift
                .text("name")
                .map_or_else(|| format!("lift {number}"), str::to_owned),
            at: lift.quantity(
                "at",
                quantity::length,
                in_m(Input::BranchDistance, DISTANCE),
            ),
            bore: lift.quantity("bore", quantity::length, in_mm(Input::Bore, BORE)),
            submergence: lift.quantity(
                "submergence",
                quantity::length,
                in_m(Input::Submergence, SUBMERGENCE),
            ),
            lift: lift.quantity("lift", quantity::length, in_m(Input::Lift, LIFT)),
            flow: None,
            branch: GivenBranch::keys(sheet, &mut lift, &RunKeys::LIFT),
            open: lift.yes_no("open").unwrap_or(true),
            flow_told: false,
        };
        if let Some(pipe) = lift.pipe("pipe", "bore", "its bore") {
            given.bore = Some(pipe.bore());
        }
        let water = lift.quantity("water_flow", quantity::volume_rate, water);
        let air = lift.quantity("air_flow", quantity::volume_rate, flow(Input::AirFlow));
        let both = [lift.has("water_flow"), lift.has("air_flow")];
        if both == [true, true] {
            let other = "its water_flow";
            lift.fault("air_flow", Problem::Contradiction { other });
        }
        given.flow_told = both != [false, false];
        given.flow = water.map(LiftFlow::Water).or(air.map(LiftFlow::Air));
        lift.close();
        given
    }
}
