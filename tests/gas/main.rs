//! Gases in water against reference values: every row of tests/data/oxygen.csv, and of
//! tests/data/loop_checks.csv those on total gas pressure, of
//! tests/data/aquaculture_checks.csv those on ammonia, aeration tests, and the exchange of other gases.
//!
//! Left out of the latter: M001 to M011 and M014 to M017 (feeding, production and water need), M024 to M026
//! (oxygen along a riser). None of them is about this module.

mod aeration;
mod checks;
mod coverage;
mod laws;
mod loops;
mod oxygen;
mod refused;
#[path = "../table/report.rs"]
mod report;
#[path = "../table/mod.rs"]
mod table;

use report::Report;
use risewater::gas::Conditions;
use risewater::units::{
    AbsolutePressure, Frequency, MassConcentration, MassRate, Ratio, ThermodynamicTemperature,
    degree_celsius, kilogram_per_hour, milligram_per_liter, pascal, per_hour, per_mille, ratio,
};

/// Half a unit of the last of so many significant digits; 1e-6 of it more for the binary form.
fn digits(value: f64, count: i32) -> f64 {
    #[allow(clippy::cast_possible_truncation)]
    let magnitude = value.abs().log10().floor() as i32;
    0.500_000_5 * 10f64.powi(magnitude + 1 - count)
}

/// Half a unit of the last decimal printed.
fn printed(text: &str) -> f64 {
    let decimals = text
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    0.500_000_5 * 10f64.powi(-i32::try_from(decimals).unwrap())
}

fn celsius(t: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(t)
}

/// Salinity by mass of a practical salinity (Millero et al. 2008).
fn practical(s: f64) -> Ratio {
    Ratio::new::<per_mille>(s * 35.165_04 / 35.0)
}

fn atmospheres(p: f64) -> AbsolutePressure {
    AbsolutePressure::new::<pascal>(101_325.0 * p)
}

fn mg_per_l(c: f64) -> MassConcentration {
    MassConcentration::new::<milligram_per_liter>(c)
}

fn hourly(k: f64) -> Frequency {
    Frequency::new::<per_hour>(k)
}

fn kg_per_h(rate: f64) -> MassRate {
    MassRate::new::<kilogram_per_hour>(rate)
}

fn share(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

/// Fresh water under outdoor air.
fn fresh(t: f64, p_atm: f64) -> Conditions {
    Conditions::fresh(celsius(t), atmospheres(p_atm))
}
