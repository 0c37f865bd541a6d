//! Slip, friction and flow-pattern closures against values that other code made from the same equations.
//!
//! This is a check of arithmetic and transcription, not of how well a closure describes a riser.
//! Every row is run; the failures are listed together. Values are rounded to the digits printed, and that sets
//! the tolerance unless a test says otherwise.

mod boundaries;
mod grid;
mod other_code;
#[path = "../table/mod.rs"]
mod table;
mod verdict;

use risewater::friction::Friction;
use risewater::pipe::darcy_factor;
use risewater::slip::Slip;
use risewater::two_phase::TwoPhase;
use risewater::units::{
    DynamicViscosity, Length, MassDensity, Ratio, SurfaceTension, Velocity,
    kilogram_per_cubic_meter, meter, meter_per_second, millimeter, newton_per_meter, pascal_second,
    ratio,
};

/// Water and air as in the headers of drift_flux.csv and regimes.csv, smooth pipe.
fn section(bore_m: f64, j_l: f64, j_g: f64) -> TwoPhase {
    TwoPhase {
        bore: Length::new::<meter>(bore_m),
        roughness: Length::new::<meter>(0.0),
        liquid_velocity: Velocity::new::<meter_per_second>(j_l),
        gas_velocity: Velocity::new::<meter_per_second>(j_g),
        liquid_density: MassDensity::new::<kilogram_per_cubic_meter>(998.2072),
        gas_density: MassDensity::new::<kilogram_per_cubic_meter>(1.20458),
        liquid_viscosity: DynamicViscosity::new::<pascal_second>(0.001_001_596_1),
        gas_viscosity: DynamicViscosity::new::<pascal_second>(1.820_568e-5),
        surface_tension: SurfaceTension::new::<newton_per_meter>(0.072_736_14),
    }
}

fn void_fraction(slip: Slip, section: &TwoPhase) -> f64 {
    slip.void_fraction(section)
        .expect("a void fraction")
        .get::<ratio>()
}

fn gradient(friction: Friction, section: &TwoPhase, alpha: f64) -> f64 {
    friction
        .gradient(section, Ratio::new::<ratio>(alpha))
        .expect("a gradient")
        .value
}

fn darcy(reynolds: f64, roughness: f64) -> f64 {
    darcy_factor(
        Ratio::new::<ratio>(reynolds),
        Ratio::new::<ratio>(roughness),
    )
    .expect("a factor")
    .get::<ratio>()
}

/// Names are read back, unknown ones are refused, nothing flows without flow.
#[test]
fn names_and_rest() {
    let still = section(0.05, 0.0, 0.0);
    for slip in Slip::ALL {
        assert_eq!(slip.name().parse::<Slip>().as_ref(), Ok(slip));
        assert_eq!(void_fraction(*slip, &still), 0.0, "{slip}");
        assert!(slip.validity().bore.max > slip.validity().bore.min);
    }
    for friction in Friction::ALL {
        assert_eq!(friction.name().parse::<Friction>().as_ref(), Ok(friction));
        assert_eq!(gradient(*friction, &still, 0.0), 0.0, "{friction}");
    }
    let error = "nicklin".parse::<Slip>().unwrap_err().to_string();
    assert!(
        error.starts_with("there is no slip closure named \"nicklin\""),
        "{error}"
    );
}

/// What cannot be is refused, with the range.
#[test]
fn refusals() {
    let good = section(0.05, 0.3, 0.3);
    let text = |section: &TwoPhase| {
        Slip::default()
            .void_fraction(section)
            .unwrap_err()
            .to_string()
    };
    assert_eq!(
        text(&section(5.0, 0.3, 0.3)),
        "bore is 5000 mm; it must lie in 1 to 3000 mm"
    );
    assert_eq!(
        text(&section(0.05, 0.3, f64::NAN)),
        "superficial velocity is not a finite number"
    );
    assert_eq!(
        text(&TwoPhase {
            roughness: Length::new::<millimeter>(30.0),
            ..good
        }),
        "relative roughness is 0.6; it must lie in 0 to 0.5"
    );
    assert_eq!(
        text(&TwoPhase {
            gas_density: good.liquid_density,
            ..good
        }),
        "water density (998.2072 kg/m3) must be more than gas density (998.2072 kg/m3)"
    );
    let error = Friction::default()
        .gradient(&good, Ratio::new::<ratio>(1.5))
        .unwrap_err();
    assert_eq!(
        error.to_string(),
        "void fraction is 1.5; it must lie in 0 to 1"
    );
}
