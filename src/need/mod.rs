//! From animals to the flow of water that they need.
//!
//! Animals use oxygen and give off ammonia and carbon dioxide, all in proportion to their feed. The water that
//! runs through their tank must bring the one and carry off the others, each within its limit; the largest
//! of the flows that the limits ask for is the [`Need`], and its line governs. [`Cycle`] follows a crop from
//! day to day, and [`Installed`] tells how many lifts must run. Coefficients and limits are in [`defaults`];
//! solubility of oxygen and carbon dioxide and the un-ionised share of ammonia come from outside, as [`Gases`].
//!
//! The tank is taken as mixed and steady, and the animals as fed evenly over the day. A peak
//! after feeding is not in these means. An empty tank needs no water at all, not even its turnover.
//!
//! ```
//! use risewater::need::{Animals, Feed, Gases, Limits, Line, Tank, TankWater};
//! use risewater::units::*;
//!
//! let animals = Animals {
//!     biomass: Mass::new::<kilogram>(100.0),
//!     feed: Feed::Share(Frequency::new::<per_day>(0.02)),
//!     protein: Ratio::new::<percent>(42.0),
//! };
//! let water = TankWater {
//!     temperature: ThermodynamicTemperature::new::<degree_celsius>(25.0),
//!     salinity: Ratio::new::<per_mille>(0.0),
//!     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
//!     ph: Ratio::new::<ratio>(7.5),
//! };
//! let gases = Gases {
//!     oxygen_saturation: MassConcentration::new::<milligram_per_liter>(8.263),
//!     carbon_dioxide_of_air: MassConcentration::new::<milligram_per_liter>(0.6),
//!     ammonia_fraction: Some(Ratio::new::<ratio>(0.0176)),
//! };
//! let need = Tank::new(animals, water, Limits::WARM_WATER).need(&gases)?;
//! // Oxygen 0.5 × 2 kg/d, from 0.9 × 8.263 mg/L down to 5 mg/L: 1e6/1440/(7.437 − 5)
//! assert_eq!(format!("{:.0}", need.flow().get::<liter_per_minute>()), "285");
//! assert_eq!(need.governing(), Some(Line::Oxygen));
//! # Ok::<(), risewater::Error>(())
//! ```

mod balance;
mod cycle;
pub mod defaults;
mod gases;
mod inlet;
mod lifts;
mod limits;
mod load;
mod range;
mod room;
#[cfg(feature = "files")]
mod table;
mod tank;
mod weeks;

pub use balance::{Balance, Line, Need, NeededFlow};
pub use cycle::{CYCLE_DAYS, Cycle, CycleNeed, CycleRow, Date, DayNeed};
pub use gases::{AMMONIA_FRACTION, CARBON_DIOXIDE_OF_AIR, Gases, OXYGEN_SATURATION};
pub use inlet::{
    EFFICIENCY, ENTERING, ENTERING_OXYGEN, ENTERING_SATURATION, Entering, EnteringOxygen, Inlet,
    MAKEUP_FLOW, Makeup,
};
pub use lifts::{Installed, LIFT_COUNT, LIFT_FLOW, RunningLifts};
pub use limits::{LIMIT, Limits, TURNOVER};
pub use load::{
    Animals, BIOMASS, COEFFICIENT, Coefficients, FEED, FEED_SHARE, Feed, Load, PROTEIN,
};
pub use range::{Factor, NeedRange};
pub use room::{Room, RoomNeed, RoomTank, RoomTankNeed};
#[cfg(feature = "files")]
pub use table::{DEMO, parse_cycle};
pub use tank::{PH, TANK_VOLUME, Tank, TankWater};
pub use weeks::{DayFlow, Week, WeekOfLifts};
