//! Water and air against published and reference values: every row of tests/data/water.csv,
//! air.csv and iapws_0_40.csv.
//!
//! EOS-80 and R12-08 check values (`density_seawater_eos80_check`,
//! `viscosity_check_rho998_T298.15K`) want another input than the public interface takes (t68; a
//! density of 998 kg/m3): unit tests beside the formulas. Left out: rows of heat capacity, heat
//! capacity ratio and speed of sound (this library has none of them) and `FAD_definition` (words).
//! `isa_temperature` rows are used with `isa_density`.

mod air;
mod ranges;
#[path = "../table/report.rs"]
mod report;
#[path = "../table/mod.rs"]
mod table;
mod water;

use report::Report;
use risewater::units::{ThermodynamicTemperature, degree_celsius};
use risewater::water::Water;

/// Half a unit of the last decimal printed; 1e-6 of it more for the binary form.
fn printed(text: &str) -> f64 {
    let (digits, exponent) = text.split_once('e').unwrap_or((text, "0"));
    let decimals = digits
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    let exponent: i32 = exponent.parse().unwrap();
    0.500_000_5 * 10f64.powi(exponent - i32::try_from(decimals).unwrap())
}

/// Half a unit of the ninth digit: computed rows are written with nine, trailing zeros dropped.
fn ninth_digit(value: f64) -> f64 {
    #[allow(clippy::cast_possible_truncation)]
    let magnitude = value.abs().log10().floor() as i32;
    0.500_000_5 * 10f64.powi(magnitude - 8)
}

fn celsius(t: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(t)
}

fn fresh(t: f64) -> Water {
    Water::fresh(celsius(t)).unwrap()
}
