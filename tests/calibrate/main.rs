//! Calibration on published rigs and on made-up trials whose truth is known.

#[cfg(feature = "files")]
mod file;
mod identify;
mod left_out;
mod made_up;
mod predicted;
mod process;
mod published;
mod setting;

use risewater::riser::{Dimensions, Site};
use risewater::trial::{FitPoint, FitTerms, Uncertain};
use risewater::units::{
    AbsolutePressure, Length, MassRate, Ratio, ThermodynamicTemperature, degree_celsius, meter,
    millimeter, percent,
};
use risewater::{AirFlow, AirState, Model, RiserSpec, Water};

/// Our own invented rig: 50 mm, a metre and a half long, at one or more depths, over its useful air flows.
fn rig(depths_m: &[f64], airs_l_per_min: &[f64]) -> Vec<(RiserSpec, AirFlow)> {
    let mut all = Vec::new();
    for depth in depths_m {
        for air in airs_l_per_min {
            let spec = RiserSpec::new(Dimensions {
                bore: Length::new::<millimeter>(50.0),
                submergence: Length::new::<meter>(*depth),
                lift: Length::new::<meter>(1.5 - depth),
            });
            let air = risewater::units::VolumeRate::new::<risewater::units::liter_per_minute>(*air);
            all.push((spec, AirFlow::at(air, &AirState::DRY_20_C).unwrap()));
        }
    }
    all
}

fn site() -> Site {
    Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0)).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    }
}

/// Relative standard uncertainty of water and air of the made-up trials, and their model scatter.
const WATER: f64 = 0.015;
const AIR: f64 = 0.02;

/// A point of a true riser, read with errors of so many standard uncertainties.
fn read(
    (spec, air): (RiserSpec, AirFlow),
    truth: (RiserSpec, Model),
    [water_error, air_error]: [f64; 2],
) -> FitPoint {
    let riser = truth.0.build(&site(), truth.1).unwrap();
    let water = riser.operate(air).unwrap().water_flow() * water_error.exp();
    let mass: MassRate = air.dry_mass_rate() * air_error.exp();
    FitPoint {
        spec,
        site: site(),
        air: AirFlow::from_dry_mass(mass).unwrap(),
        air_standard: Ratio::new::<percent>(100.0 * AIR),
        submergence_standard: Length::new::<meter>(0.0),
        lift_standard: Length::new::<meter>(0.0),
        water_flow: Uncertain::new(water, water * WATER),
    }
}

fn terms() -> FitTerms {
    FitTerms::default()
}
