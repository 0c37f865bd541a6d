//! Risers that once went wrong, each named after what was wrong.

use risewater::riser::{BrinkHead, Dimensions, Outlet, PartFull, Site};
use risewater::units::*;
use risewater::{Curve, Error, Friction, Model, OperatingPoint, Riser, RiserSpec, Slip, Water};

use crate::risers::{air, flow, kilograms, mass, meters, water};

struct Case {
    bore: f64,
    submergence: f64,
    lift: f64,
    model: Model,
    celsius: f64,
    kilopascals: f64,
    outlet: Outlet,
}

impl Case {
    fn spec(&self) -> RiserSpec {
        RiserSpec::new(Dimensions {
            bore: meters(self.bore),
            submergence: meters(self.submergence),
            lift: meters(self.lift),
        })
        .with_outlet(self.outlet)
    }

    fn site(&self) -> Site {
        Site {
            water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(
                self.celsius,
            ))
            .unwrap(),
            atmosphere: AbsolutePressure::new::<kilopascal>(self.kilopascals),
        }
    }

    fn riser(&self) -> Riser {
        self.spec().build(&self.site(), self.model).unwrap()
    }
}

fn k(loss: f64) -> Ratio {
    Ratio::new::<ratio>(loss)
}

fn model(slip: Slip, friction: Friction, bores: f64) -> Model {
    Model::new(slip, friction).with_developing_length(k(bores))
}

fn scan(riser: &Riser, low: f64, high: f64, value: impl Fn(&OperatingPoint) -> f64) -> f64 {
    let point = |n: u32| {
        riser
            .operate(kilograms(low * (high / low).powf(f64::from(n) / 400.0)))
            .unwrap()
            .point()
            .map_or(0.0, &value)
    };
    (0..=400).map(point).fold(0.0, f64::max)
}

fn peak_holds(riser: &Riser) {
    let peak = riser.peak().unwrap();
    let low = riser
        .threshold()
        .unwrap()
        .map_or(0.0, mass)
        .max(1e-3 * mass(peak.air))
        .max(1e-9);
    let high = (10.0 * mass(peak.air))
        .max(mass(air(riser, 1.0)))
        .min(999.0);
    let best = scan(riser, low, high, |point| point.water_flow.value);
    assert!(
        best <= peak.water_flow.value * (1.0 + 1e-6),
        "{best:e} beats {:e}",
        peak.water_flow.value
    );
}

fn best_holds(riser: &Riser) {
    let best = riser.best_efficiency().unwrap().unwrap();
    let low = mass(riser.threshold().unwrap().unwrap());
    let found = scan(riser, low, 1e3 * low, |point| point.efficiency.value);
    assert!(
        found <= best.efficiency.value * (1.0 + 1e-4),
        "{found} beats {}",
        best.efficiency.value
    );
}

#[test]
fn the_peak_of_a_narrow_window_of_air_flows() {
    let outlet = Outlet::Submerged {
        depth: meters(0.394_324),
        loss: k(0.0),
    };
    let model = model(Slip::KataokaIshii1987, Friction::Homogeneous, 0.0);
    let case = Case {
        bore: 0.3,
        submergence: 1.0,
        lift: 1.939_009,
        model,
        celsius: 7.153,
        kilopascals: 83.1078,
        outlet,
    };
    let spec = case
        .spec()
        .with_entrance_loss(k(1.236_327))
        .with_suction_length(meters(2.761_842));
    peak_holds(
        &spec
            .with_roughness(meters(2.050_703e-5))
            .build(&case.site(), model)
            .unwrap(),
    );
}

#[test]
fn the_peak_of_a_well_of_hundreds_of_meters() {
    let model = model(Slip::KataokaIshii1987, Friction::Friedel1979, 0.0);
    let outlet = Outlet::Elbow {
        loss: k(0.0),
        bore: None,
        head: BrinkHead::Mixture,
    };
    peak_holds(
        &Case {
            bore: 1.0,
            submergence: 726.7,
            lift: 16.5,
            model,
            celsius: 4.3,
            kilopascals: 71.067,
            outlet,
        }
        .riser(),
    );
}

#[test]
fn the_peak_where_air_only_slows_what_runs_by_gravity() {
    let model = model(Slip::KataokaIshii1987, Friction::Friedel1979, 8.0);
    let outlet = Outlet::Elbow {
        loss: k(0.0),
        bore: None,
        head: BrinkHead::ClearWater,
    };
    let riser = Case {
        bore: 0.0147,
        submergence: 10.86,
        lift: -5.99,
        model,
        celsius: 19.6,
        kilopascals: 109.19,
        outlet,
    }
    .riser();
    peak_holds(&riser);
    assert_eq!(mass(riser.peak().unwrap().air), 0.0);
    let curve = Curve::of(&riser, 8).unwrap();
    assert_eq!(curve.points.len(), 8);
    assert!(
        curve
            .points
            .iter()
            .all(|point| mass(point.air) > 0.0 && point.water_flow <= curve.peak.water_flow)
    );
}

#[test]
fn the_best_efficiency_at_a_thousandth_of_the_air_of_the_peak() {
    let model = model(Slip::BhagwatGhajar2014, Friction::Friedel1979, 0.0);
    let outlet = Outlet::Submerged {
        depth: meters(0.39204),
        loss: k(1.5),
    };
    best_holds(
        &Case {
            bore: 0.0422,
            submergence: 4.2955,
            lift: -0.3866,
            model,
            celsius: 14.5,
            kilopascals: 102.5476,
            outlet,
        }
        .riser(),
    );
}

#[test]
fn the_best_efficiency_beyond_the_peak() {
    let model = model(Slip::BhagwatGhajar2014, Friction::Friedel1979, 8.0);
    let outlet = Outlet::Elbow {
        loss: k(0.0),
        bore: None,
        head: BrinkHead::Mixture,
    };
    best_holds(
        &Case {
            bore: 0.0785,
            submergence: 0.4369,
            lift: 0.2684,
            model,
            celsius: 18.2,
            kilopascals: 61.374,
            outlet,
        }
        .riser(),
    );
}

#[test]
fn a_foot_far_from_that_of_the_last_flow_tried() {
    let model = model(Slip::BhagwatGhajar2014, Friction::Friedel1979, 8.0);
    let outlet = Outlet::Plain { loss: k(1.5) };
    let riser = Case {
        bore: 0.0263,
        submergence: 53.1375,
        lift: 58.2554,
        model,
        celsius: 31.2,
        kilopascals: 69.1362,
        outlet,
    }
    .riser();
    for n in 0..200 {
        let _ = riser
            .operate(air(&riser, 1e-3 * 1e6f64.powf(f64::from(n) / 200.0)))
            .unwrap();
    }
}

#[test]
fn a_submergence_between_two_of_the_scan() {
    // In a deep well more depth may cost more than it gives, so that only a few depths do.
    let model = model(Slip::Reinemann1990, Friction::Friedel1979, 8.0);
    let outlet = Outlet::Plain { loss: k(1.5) };
    let case = Case {
        bore: 0.0817,
        submergence: 42.0,
        lift: 0.5126,
        model,
        celsius: 13.9,
        kilopascals: 99.04,
        outlet,
    };
    let riser = case.riser();
    for velocity in [0.3, 1.0, 3.0, 10.0, 20.0] {
        let air = air(&riser, velocity);
        let at = |submergence: f64| {
            water(
                &Case {
                    submergence,
                    ..case
                }
                .riser(),
                air,
            )
        };
        let (mut depth, mut most) = (1.0, 0.0);
        for n in 0..600 {
            let submergence = 100f64.powf(f64::from(n) / 600.0);
            if at(submergence) > most {
                (depth, most) = (submergence, at(submergence));
            }
        }
        let found = riser
            .submergence_for(flow(0.99999 * most), air, meters(100.0))
            .unwrap();
        assert!(
            found.value < 1.01 * depth,
            "{} m for the flow of {depth} m",
            found.value
        );
    }
}

#[test]
fn a_submergence_no_deeper_than_the_outlet() {
    let outlet = Outlet::Plain { loss: k(0.0) };
    let riser = Case {
        bore: 0.1,
        submergence: 500.0,
        lift: -496.0,
        model: Model::default(),
        celsius: 10.0,
        kilopascals: 101.325,
        outlet,
    }
    .riser();
    let found = riser.submergence_for(
        VolumeRate::new::<liter_per_minute>(10.0),
        kilograms(0.01),
        meters(300.0),
    );
    assert!(
        matches!(found, Err(Error::SubmergenceOutOfReach { .. })),
        "{found:?}"
    );
}

#[test]
fn a_trace_of_air_or_water() {
    let outlet = Outlet::Plain { loss: k(0.0) };
    for friction in Friction::ALL {
        for lift in [0.0, 0.5, -0.5] {
            let model = model(Slip::BhagwatGhajar2014, *friction, 0.0);
            let riser = Case {
                bore: 0.3,
                submergence: 1.0,
                lift,
                model,
                celsius: 20.0,
                kilopascals: 101.325,
                outlet,
            }
            .riser();
            for air in [5e-324, 2e-177, 1e-150, 1e-100, 1e-30] {
                let outcome = riser.operate(kilograms(air)).unwrap();
                assert!(
                    outcome
                        .point()
                        .is_none_or(|point| point.efficiency.value == 0.0),
                    "{air:e} kg/s: {outcome:?}"
                );
            }
        }
    }
    for flow in [5e-324, 1e-200, 1e-40] {
        let head = PartFull::of_bore(meters(0.0067))
            .unwrap()
            .critical_head(VolumeRate::new::<cubic_meter_per_second>(flow));
        assert!(head.value > 0.0 && head.value < 1e-6, "{flow:e}: {head:?}");
    }
}

/// The search of a trickle ended among signs of rounding, and gave an error.
#[test]
fn a_trickle_near_the_threshold() {
    let model = model(Slip::SmithDrift, Friction::SlugBody, 8.0);
    let case = Case {
        bore: 0.193_754_085_595_231_13,
        submergence: 2.201_096_628_589_857,
        lift: 0.394_513_826_784_858_8,
        model,
        celsius: 300.506_163_112_723_8 - 273.15,
        kilopascals: 94.739_799_457_227_62,
        outlet: Outlet::Plain { loss: k(0.5) },
    };
    let spec = case
        .spec()
        .with_roughness(meters(9.482_179_925_245_252e-5))
        .with_suction_length(meters(0.421_855_620_391_637_5))
        .with_entrance_loss(k(0.079_261_995_072_248_87));
    let riser = spec.build(&case.site(), model).unwrap();
    let (low, high) = (
        mass(riser.threshold().unwrap().unwrap()),
        mass(riser.peak().unwrap().air),
    );
    for share in [0.095_496_841_910_316_97, 0.525_300_345_526_636_4] {
        let found = riser.operate(kilograms(low * (high / low).powf(share)));
        assert!(found.unwrap().water_flow() > flow(0.0));
    }
}
