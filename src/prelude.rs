//! What most programs need: `use risewater::prelude::*;`.
//!
//! Units whose names are words for much else (`ratio`, `minute`, `day`, `second`, `foot`) are in
//! [`units`](crate::units) alone, so that a variable may go by them:
//!
//! ```
//! use risewater::prelude::*;
//!
//! let (minute, day, foot) = (60.0, 86_400.0, "the foot of the riser");
//! let ratio = Length::new::<inch>(3.0) / Length::new::<millimeter>(50.8);
//! assert_eq!(format!("{:.1} {}", ratio.value, day / minute), "1.5 1440");
//! # assert!(foot.contains("riser"));
//! ```

#[doc(no_inline)]
pub use crate::riser::{Dimensions, Outlet, Site};
#[doc(no_inline)]
pub use crate::sizing::{Duty, depths, size};
#[doc(no_inline)]
pub use crate::units::{
    AbsolutePressure, GaugePressure, Length, MassRate, Power, Pressure, Ratio,
    ThermodynamicTemperature, UnitSystem, VolumeRate, bar, centimeter, cubic_foot_per_minute,
    cubic_meter_per_hour, degree_celsius, degree_fahrenheit, gallon_per_minute, inch,
    kilogram_per_hour, kilopascal, kilowatt, liter_per_minute, liter_per_second, meter, millimeter,
    pascal, percent, psi, watt,
};
#[doc(no_inline)]
pub use crate::{
    AirFlow, AirState, Caution, Curve, Error, ErrorLaw, Model, OperatingPoint, Outcome, Pipe,
    Riser, RiserSpec, Water,
};
