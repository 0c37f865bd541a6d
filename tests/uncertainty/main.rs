//! The law of error against an independent implementation, and what must hold for it whatever the points.

#[cfg(feature = "files")]
mod file;
mod injector;
mod low_submergence;
mod made;
mod predicted;
mod properties;
mod rigs;
mod rows;
#[cfg(feature = "files")]
mod supplied;
mod wanted;

use risewater::riser::{Dimensions, Riser, RiserSpec, Site};
use risewater::uncertainty::{Doubt, ReadPoint};
use risewater::units::{
    AbsolutePressure, Length, Ratio, ThermodynamicTemperature, VolumeRate, degree_celsius,
    liter_per_minute, meter, micrometer, millimeter, ratio,
};
use risewater::{AirFlow, AirState, Model, Water};

fn site() -> Site {
    Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0)).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    }
}

/// A riser of the table: bore in mm, submergence and lift in m, roughness in µm, entrance loss.
fn riser(bore: f64, submergence: f64, lift: f64, roughness: f64, entrance: f64) -> Riser {
    RiserSpec::new(Dimensions {
        bore: Length::new::<millimeter>(bore),
        submergence: Length::new::<meter>(submergence),
        lift: Length::new::<meter>(lift),
    })
    .with_roughness(Length::new::<micrometer>(roughness))
    .with_entrance_loss(Ratio::new::<ratio>(entrance))
    .build(&site(), Model::default())
    .unwrap()
}

fn air(l_per_min: f64) -> AirFlow {
    let flow = VolumeRate::new::<liter_per_minute>(l_per_min);
    AirFlow::at(flow, &AirState::DRY_20_C).unwrap()
}

/// Predicted flow in L/min and doubt of a riser at an air flow in L/min.
fn predicted(riser: &Riser, l_per_min: f64) -> (f64, Doubt) {
    let outcome = riser.operate(air(l_per_min)).unwrap();
    let point = outcome.point().unwrap();
    let flow = point.water_flow.get::<liter_per_minute>();
    (flow, Doubt::of(riser, point).unwrap())
}

fn reading(riser: &Riser, air: f64, water: f64, noise: f64) -> ReadPoint {
    let (flow, doubt) = predicted(riser, air);
    ReadPoint {
        doubt,
        off: (water / flow).ln(),
        noise,
    }
}
