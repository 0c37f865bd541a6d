//! What animals come to.

use schemars::JsonSchema;
use serde::Serialize;

use crate::need::{Line, Load, RoomNeed};
use crate::units::MassRate;

/// What animals use and give off, and the water that they need, on the day of the largest flow.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LoadFacts {
    /// names of the tanks
    pub tanks: Vec<String>,
    /// names of those that need water on the day of the largest flow
    pub running_tanks: Vec<String>,
    /// mass of all animals
    pub biomass_kg: f64,
    /// their feed
    pub feed_kg_per_s: f64,
    /// oxygen that they use
    pub oxygen_kg_per_s: f64,
    /// total ammonia nitrogen that they give off
    pub tan_kg_per_s: f64,
    /// carbon dioxide that they give off
    pub carbon_dioxide_kg_per_s: f64,
    /// water that they need
    pub need_m3_per_s: f64,
    /// what the flow is for: `oxygen`, `ammonia`, `carbon_dioxide` or `turnover`; `null` when none is needed
    #[schemars(with = "Option<String>")]
    pub governing: Option<Line>,
    /// day of the largest flow; `null` where no tank follows a cycle
    pub largest_day: Option<String>,
}

impl From<&RoomNeed> for LoadFacts {
    fn from(need: &RoomNeed) -> Self {
        let load = |part: fn(&Load) -> MassRate| need.load(part).value;
        Self {
            tanks: need.tanks.iter().map(|tank| tank.name.clone()).collect(),
            running_tanks: need.running_tanks().map(str::to_owned).collect(),
            biomass_kg: need.biomass().value,
            feed_kg_per_s: load(|load| load.feed),
            oxygen_kg_per_s: load(|load| load.oxygen),
            tan_kg_per_s: load(|load| load.tan),
            carbon_dioxide_kg_per_s: load(|load| load.carbon_dioxide),
            need_m3_per_s: need.flow().value,
            governing: need.governing(),
            largest_day: need.peak().map(|day| day.date.to_string()),
        }
    }
}
