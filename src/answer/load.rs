//! What animals come to.

use crate::need::{Line, Load, RoomNeed};
use crate::units::MassRate;

facts! {
    /// What animals use and give off, and the water that they need, on the day of the largest flow.
    pub struct LoadFacts from need: &RoomNeed {
        /// names of the tanks
        pub tanks: Vec<String> = need.tanks.iter().map(|tank| tank.name.clone()).collect(),
        /// names of those that need water on the day of the largest flow
        pub running_tanks: Vec<String> = need.running_tanks().map(str::to_owned).collect(),
        /// mass of all animals
        pub biomass_kg: f64 = need.biomass().value,
        /// their feed
        pub feed_kg_per_s: f64 = load(|load| load.feed),
        /// oxygen that they use
        pub oxygen_kg_per_s: f64 = load(|load| load.oxygen),
        /// total ammonia nitrogen that they give off
        pub tan_kg_per_s: f64 = load(|load| load.tan),
        /// carbon dioxide that they give off
        pub carbon_dioxide_kg_per_s: f64 = load(|load| load.carbon_dioxide),
        /// water that they need
        pub need_m3_per_s: f64 = need.flow().value,
        /// limit that needs the largest flow: `oxygen`, `ammonia`, `carbon_dioxide` or `turnover`; `null` when none is needed
        #[schemars(with = "Option<String>")]
        pub governing: Option<Line> = need.governing(),
        /// day of the largest flow; `null` where no tank follows a cycle
        pub largest_day: Option<String> = need.peak().map(|day| day.date.to_string()),
    } where {
        let load = |part: fn(&Load) -> MassRate| need.load(part).value;
    }
}
