//! What the library refuses and what it remarks: every error with its text, NaN and infinities for
//! every input, every caution, every code.

mod cautions;
#[cfg(all(feature = "report", feature = "files"))]
mod codes;
mod not_finite;
#[cfg(all(feature = "report", feature = "files"))]
mod reported;
mod texts;

use risewater::riser::{Dimensions, Site};
use risewater::sizing::{Duty, Task, depths};
use risewater::units::*;
use risewater::{Model, Pipe, Riser, RiserSpec, Water};

fn meters(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn liters(per_minute: f64) -> VolumeRate {
    VolumeRate::new::<liter_per_minute>(per_minute)
}

fn site() -> Site {
    let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
    Site {
        water: Water::fresh(temperature).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    }
}

fn spec(bore_mm: f64, submergence: f64, lift: f64) -> RiserSpec {
    RiserSpec::new(Dimensions {
        bore: Length::new::<millimeter>(bore_mm),
        submergence: meters(submergence),
        lift: meters(lift),
    })
}

fn riser(bore_mm: f64, submergence: f64, lift: f64) -> Riser {
    spec(bore_mm, submergence, lift)
        .build(&site(), Model::default())
        .unwrap()
}

/// Two pipes at two depths for 100 L/min over 0.1 m.
fn problem() -> Task {
    let duty = Duty {
        water_flow: liters(100.0),
        lift: meters(0.1),
    };
    let pipes = Pipe::of_standards(&["ASTM D1785 Sch 40"])
        .unwrap()
        .into_iter()
        .skip(5)
        .take(2)
        .collect();
    Task::new(
        duty,
        site(),
        spec(50.0, 1.0, 0.1),
        pipes,
        depths(None, meters(1.0), Some(meters(0.5))).unwrap(),
    )
}
