//! Blowers: a machine's own table of performance, what it gives at a site, and the duty as a
//! specification when there is no table.
//!
//! ```
//! use risewater::air::{AirState, pressure_at_altitude};
//! use risewater::supply::blower::{Blower, Machine, PowerKind, RatedPoint, Rating};
//! use risewater::units::{
//!     Length, Power, Pressure, ThermodynamicTemperature, VolumeRate, cubic_meter_per_hour,
//!     degree_celsius, kilopascal, meter, watt,
//! };
//!
//! let point = |kpa, m3_h, w| RatedPoint {
//!     pressure_rise: Pressure::new::<kilopascal>(kpa),
//!     inlet_flow: VolumeRate::new::<cubic_meter_per_hour>(m3_h),
//!     power: Some(Power::new::<watt>(w)),
//! };
//! let blower = Blower::new(Rating {
//!     points: vec![point(22.0, 0.0, 1150.0), point(15.0, 60.0, 880.0), point(0.0, 150.0, 560.0)],
//!     conditions: AirState::DRY_20_C,
//!     machine: Machine::Dynamic,
//!     power_kind: Some(PowerKind::Wire),
//! })?;
//!
//! // At 1500 m the air is thinner: 84 556 Pa (US Standard Atmosphere) over 101 325 Pa is 0.8345.
//! let site = AirState::dry(
//!     ThermodynamicTemperature::new::<degree_celsius>(20.0),
//!     pressure_at_altitude(Length::new::<meter>(1500.0))?,
//! );
//! let curve = blower.at(&site)?;
//! let (shut_off, _) = curve.flows();
//! let highest = curve.rise(shut_off)?;
//! assert_eq!(format!("{:.2}", highest.get::<kilopascal>()), "18.36"); // 22 × 0.8345
//! # Ok::<(), risewater::Error>(())
//! ```

mod bank;
mod interpolant;
mod rating;
mod requirement;
mod site;
mod speed;
#[cfg(feature = "files")]
mod table;

#[cfg(feature = "files")]
pub use crate::table::{TableError, TableFault, TableProblem};
pub use bank::Bank;
pub use rating::{
    BLOWER_POWER, Blower, FEWEST_POINTS, INLET_FLOW, Machine, PowerKind, RatedPoint, Rating,
};
pub use requirement::{Efficiency, RISE_MARGIN, Requirement, Specification};
pub use site::{BLOWERS, SiteCurve};
pub use speed::SPEED_RATIO;
#[cfg(feature = "files")]
pub use table::{DEMO, Stated, parse_table, read_table};
