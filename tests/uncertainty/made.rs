//! Random risers, with bench trials of them made up.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use risewater::riser::{BrinkHead, Dimensions, Outlet, Riser, RiserSpec};
use risewater::uncertainty::{Calibration, ErrorLaw, MeasuredPoint, Predictor, SharedError};
use risewater::units::{Length, Ratio, VolumeRate, liter_per_minute, meter, ratio};
use risewater::{AirFlow, Model};

use crate::site;

/// A fixed seed and no files.
pub fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(2001),
        max_shrink_iters: 200,
        ..ProptestConfig::default()
    }
}

pub fn share(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

/// Evenly spread in the logarithm.
fn logarithmic(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

fn outlet(scale_m: f64) -> impl Strategy<Value = Outlet> {
    let m = Length::new::<meter>;
    prop_oneof![
        Just(Outlet::Plain { loss: share(0.0) }),
        Just(Outlet::Elbow {
            loss: share(1.2),
            bore: None,
            head: BrinkHead::Mixture
        }),
        (0.0..0.1).prop_map(move |head| Outlet::OpenTop {
            head: m(head),
            loss: share(0.0)
        }),
        (0.0..0.3).prop_map(move |depth| Outlet::Submerged {
            depth: m(depth * scale_m),
            loss: share(0.0)
        }),
    ]
}

/// A riser of 10 to 200 mm, 0.3 to 10 m deep, with submergence ratios in a range.
pub fn riser(ratios: std::ops::Range<f64>) -> impl Strategy<Value = Riser> {
    let shape = (logarithmic(0.010, 0.200), logarithmic(0.3, 10.0), ratios);
    (shape, prop::sample::select(&[0.0, 0.5, 2.0][..]))
        .prop_flat_map(|(shape, entrance)| (Just(shape), Just(entrance), outlet(shape.1)))
        .prop_map(|((bore, depth, submerged), entrance, outlet)| {
            let m = Length::new::<meter>;
            let dimensions = Dimensions {
                bore: m(bore),
                submergence: m(depth),
                lift: m(depth * (1.0 / submerged - 1.0)),
            };
            let spec = RiserSpec::new(dimensions)
                .with_entrance_loss(share(entrance))
                .with_outlet(outlet);
            spec.build(&site(), Model::default()).unwrap()
        })
}

/// One point of a made-up trial: depth over that of the riser, air over that of its peak, ln(measured/predicted).
type Made = (f64, f64, f64);

fn made() -> impl Strategy<Value = Made> {
    (0.8..1.0, logarithmic(0.01, 3.0), -0.6..0.6)
}

/// Points of a riser at other depths of the same length, all sharing an error of so much.
pub fn trial(riser: &Riser, made: &[Made], shared: f64) -> Calibration {
    let spec = *riser.spec();
    let length = spec.length();
    let peak = riser.peak().unwrap().air;
    let points = made.iter().enumerate().map(|(n, (depth, air, off))| {
        let mut stood = spec;
        stood.dimensions.submergence = *depth * spec.dimensions.submergence;
        stood.dimensions.lift = length - stood.dimensions.submergence;
        let air = times(peak, *air);
        let flow = riser.with_spec(stood).unwrap().operate(air).unwrap();
        MeasuredPoint {
            run: format!("R{n}"),
            submergence: stood.dimensions.submergence,
            lift: stood.dimensions.lift,
            site: *riser.site(),
            air,
            // Where none is predicted a litre a minute was measured.
            water_flow: flow
                .water_flow()
                .max(VolumeRate::new::<liter_per_minute>(1.0))
                * off.exp(),
            water_standard: share(0.02),
            air_standard: share(0.02),
            submergence_standard: Length::new::<meter>(1e-3),
            lift_standard: Length::new::<meter>(0.0),
            repeats: 3,
            shared: vec![SharedError {
                of: "tub".to_owned(),
                water: share(shared),
                air: share(0.0),
            }],
        }
    });
    Calibration::new(spec, points.collect()).unwrap()
}

/// So many points at least, with what they share.
pub fn points(least: usize) -> impl Strategy<Value = (Vec<Made>, f64)> {
    (prop::collection::vec(made(), least..7), 0.0..0.05)
}

pub fn times(air: AirFlow, factor: f64) -> AirFlow {
    AirFlow::from_dry_mass(air.dry_mass_rate() * factor).unwrap()
}

/// The law at a level, with a trial where there are points.
pub fn law(level: f64, riser: &Riser, (made, shared): &(Vec<Made>, f64)) -> ErrorLaw {
    let law = ErrorLaw::default().with_level(share(level)).unwrap();
    if made.is_empty() {
        law
    } else {
        law.with_calibration(trial(riser, made, *shared))
    }
}

/// Water flow, lower and upper end, m³/s.
pub fn ends(predictor: &Predictor, air: AirFlow) -> [f64; 3] {
    let found = predictor.predict(air).unwrap();
    let interval = found.interval.expect("an interval");
    [found.outcome.water_flow(), interval.low, interval.high].map(|flow| flow.value)
}
