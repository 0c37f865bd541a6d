//! From animals to the flow of water: rows M001 to M011 and M013 to M017 of
//! tests/data/aquaculture_checks.csv, laws, refusals, cycles against sums by hand, and the table of a
//! cycle. M012 and the rest of
//! the file are about gases, which the need takes from outside: those of [`gases`].

mod cycle;
mod gases;
mod laws;
mod refusals;
#[cfg(all(feature = "report", feature = "files"))]
mod report;
mod room;
mod rows;
#[cfg(feature = "files")]
mod sheet;
#[path = "../table/mod.rs"]
mod table;

use risewater::Error;
use risewater::need::{Animals, Feed, Limits, Need, Tank, TankWater};
use risewater::units::{
    AbsolutePressure, Frequency, Mass, MassConcentration, Ratio, ThermodynamicTemperature,
    VolumeRate, degree_celsius, kilogram, liter_per_minute, milligram_per_liter, per_day,
    per_mille, ratio,
};

fn mg_l(value: f64) -> MassConcentration {
    MassConcentration::new::<milligram_per_liter>(value)
}

fn part(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

fn kg(value: f64) -> Mass {
    Mass::new::<kilogram>(value)
}

fn celsius(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(value)
}

fn liters(per_minute: f64) -> VolumeRate {
    VolumeRate::new::<liter_per_minute>(per_minute)
}

/// A share of the animals' mass a day.
fn share(value: f64) -> Feed {
    Feed::Share(Frequency::new::<per_day>(value))
}

/// 100 kg fed 2 % a day with 42 % protein, in fresh water of 25 °C, pH 7.5, at sea level.
fn tank(limits: Limits) -> Tank {
    let animals = Animals {
        biomass: kg(100.0),
        feed: share(0.02),
        protein: part(0.42),
    };
    let water = TankWater {
        temperature: celsius(25.0),
        salinity: Ratio::new::<per_mille>(0.0),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
        ph: part(7.5),
    };
    Tank::new(animals, water, limits)
}

/// The need of a tank, by the gases of its water.
fn need(tank: &Tank) -> Result<Need, Error> {
    tank.need(&gases::gases(&tank.water)?)
}

fn flow(tank: &Tank) -> f64 {
    need(tank).unwrap().flow().get::<liter_per_minute>()
}
