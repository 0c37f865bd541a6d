//! The air supply: from one blower to many lifts.
//!
//! Data flow one way: [`AirLine`], [`Orifice`] and [`Injector`] make a [`Branch`], branches hang on a
//! [`Header`], and what feeds it is a fixed pressure or a blower's falling curve.

#[cfg(test)]
mod agreement;
mod balance;
pub mod blower;
mod branch;
mod change;
mod choice;
mod compression;
mod curves;
mod depths;
mod doubt;
pub mod drill;
mod energy;
mod existing;
mod feed;
mod gases;
mod header;
mod injector;
mod line;
mod loss_curve;
mod manifold;
mod net;
mod operation;
mod optimum;
mod orifice;
mod parts;
mod plant;
mod run;
mod sources;
mod stock;
mod tanks;
mod velocity;
mod whole;

pub use balance::{Balanced, ORIFICE_LOSS};
pub use branch::{Branch, DISTANCE, INJECTOR_FOULING, OPENING_PRESSURE};
pub use change::{Change, ChangeKind, FOULED, LEVEL_CHANGES_M, Shift};
pub use choice::LineChoice;
pub use compression::{
    Compression, EFFICIENCY, INTAKE_PRESSURE, INTAKE_TEMPERATURE, PRESSURE_RISE,
};
pub use curves::{CURVE_POINTS, PressureCurves, PressurePoint};
pub use depths::PlantDepths;
pub use doubt::{EndCost, SupplyIntervals};
pub use energy::{EnergyUse, PRICE, Tariff, WIRE_POWER, useful_power};
pub(crate) use existing::SAME_START_PA;
pub use existing::{
    Advice, Aim, AirSource, BLED_SHARE, BlowerPlace, CurvePlace, Existing, LiftPlace, Remedy,
    RemedyKind, SUPPLY_PRESSURE, Steady, Tried, Vent,
};
pub use feed::{AirFeed, Bleed};
pub use gases::SupplyGases;
pub use header::{BRANCHES, BranchFlow, Header, Split};
pub use injector::Injector;
pub use line::{AirLine, LINE_LENGTH, LINE_ROUGHNESS, LineFlow, WANTED_LOSS};
pub use loss_curve::{INJECTOR_LOSS, LOSS_POINTS, LossCurve};
pub use manifold::{Manifold, Running};
pub use operation::Operation;
pub use optimum::{AirSide, BestDepth, DepthLimit, DepthPower, SUPPLY_LOSS, best_depths};
pub use orifice::{
    DISCHARGE_COEFFICIENT, HOLE_DIAMETER, HOLES, Orifice, PLATE_BORE, PLATE_HOLE, PLATE_RATIO,
};
pub use parts::{Part, Piping};
pub use plant::{AIR_TOLERANCE, AirDuty, Balancing, Blowers, Drilled, INTAKE_LOSS, Plant};
pub use run::PipeRun;
pub use stock::{DISSOLVED_OXYGEN, OXYGEN_USE, STOCKING, Stock};
pub use tanks::{Member, Shallower, Tank, TankSet, Tanks, TanksFound, Throttled, TwoBlowers};
pub use velocity::usual_velocities;
pub use whole::{BLOWER_HEIGHT, SolvedSupply, Supply};

use crate::air::AIR_PRESSURE;
use crate::error::{Error, Input};
use crate::units::{AbsolutePressure, kilopascal};

/// A pressure in the air, checked, in Pa.
fn pressure_pa(pressure: AbsolutePressure) -> Result<f64, Error> {
    AIR_PRESSURE.check(Input::LinePressure, pressure.get::<kilopascal>())?;
    Ok(pressure.pascal())
}
