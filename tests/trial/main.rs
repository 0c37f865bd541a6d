//! Bench trials: readings to flows, their uncertainty, the sheet, the demo.
//!
//! Rows of tests/data/uncertainty_checks.csv: U016, U017 and U021 to U033 in `checks`; U001 to U015 and
//! U018 to U020 are held in the library's own tests of propagation, which is not public.

#![allow(clippy::cast_precision_loss, reason = "counts are small")]

mod checks;
mod compare;
mod demo;
mod doubts;
mod flows;
mod monte_carlo;
#[cfg(feature = "report")]
mod no_flow;
mod outliers;
mod plan;
#[cfg(feature = "report")]
mod report;
#[cfg(feature = "report")]
mod residuals;
mod sheet;
#[path = "../table/mod.rs"]
mod table;

use risewater::trial::{Measured, TimedVolume};
use risewater::units::{
    AbsolutePressure, ThermodynamicTemperature, Time, Volume, degree_celsius, kilopascal, liter,
    second,
};
use risewater::water::Water;

fn seconds(times: &[f64]) -> Vec<Time> {
    times.iter().map(|t| Time::new::<second>(*t)).collect()
}

fn liters(volume: f64) -> Volume {
    Volume::new::<liter>(volume)
}

fn celsius(t: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(t)
}

fn kpa(p: f64) -> AbsolutePressure {
    AbsolutePressure::new::<kilopascal>(p)
}

fn fresh(t: f64) -> Water {
    Water::fresh(celsius(t)).unwrap()
}

fn fill(volume: f64, times: &[f64]) -> TimedVolume {
    TimedVolume::new(liters(volume), seconds(times))
}

fn relative<Q>(measured: &Measured<Q>) -> f64 {
    measured.budget.relative.value
}
