//! Random risers and air flows.

use proptest::prelude::*;
use proptest::test_runner::{RngSeed, TestCaseResult};
use risewater::riser::{BrinkHead, Dimensions, Outlet, Site};
use risewater::units::*;
use risewater::{AirFlow, Friction, Model, Riser, RiserSpec, Slip, Water};

/// A fixed seed and no files.
pub fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(1963),
        max_shrink_iters: 400,
        ..ProptestConfig::default()
    }
}

/// The same, where a case that tells nothing is drawn anew: so many that tell something, of so many
/// draws at most.
pub fn told(cases: u32, draws: u32) -> ProptestConfig {
    ProptestConfig {
        max_global_rejects: draws - cases,
        ..config(cases)
    }
}

/// A case that tells nothing.
pub fn untold(why: &'static str) -> TestCaseResult {
    Err(TestCaseError::reject(why))
}

pub fn meters(value: f64) -> Length {
    Length::new::<meter>(value)
}

pub fn flow(value: f64) -> VolumeRate {
    VolumeRate::new::<cubic_meter_per_second>(value)
}

/// Evenly spread in the logarithm.
pub fn logarithmic(low: f64, high: f64) -> impl Strategy<Value = f64> + Clone {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

pub fn model() -> impl Strategy<Value = Model> {
    let closures = (
        prop::sample::select(Slip::ALL),
        prop::sample::select(Friction::ALL),
    );
    (closures, prop::sample::select(&[0.0, 8.0][..])).prop_map(|((slip, friction), bores)| {
        Model::new(slip, friction).with_developing_length(Ratio::new::<ratio>(bores))
    })
}

pub fn site() -> impl Strategy<Value = Site> {
    (0.0..=40.0, 60.0..=105.0).prop_map(|(celsius, kilopascals)| Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(celsius)).unwrap(),
        atmosphere: AbsolutePressure::new::<kilopascal>(kilopascals),
    })
}

/// An outlet and how far its mouth lies below the level that the water reaches.
fn outlet(scale: f64) -> impl Strategy<Value = (Outlet, f64)> {
    let loss = || prop::sample::select(&[0.0, 0.5, 1.5][..]).prop_map(Ratio::new::<ratio>);
    prop_oneof![
        loss().prop_map(|loss| (Outlet::Plain { loss }, 0.0)),
        (
            loss(),
            prop::sample::select(&[BrinkHead::Mixture, BrinkHead::ClearWater][..])
        )
            .prop_map(|(loss, head)| (
                Outlet::Elbow {
                    loss,
                    bore: None,
                    head
                },
                0.0
            )),
        (loss(), 0.0..0.5).prop_map(move |(loss, share)| (
            Outlet::Submerged {
                depth: meters(share * scale),
                loss
            },
            share * scale
        )),
        (loss(), 0.0..0.1).prop_map(|(loss, head)| (
            Outlet::OpenTop {
                head: meters(head),
                loss
            },
            0.0
        )),
    ]
}

/// A riser whose water is lifted (by a useful lift of zero or more), with submergences in a range.
pub fn lifting(submergence_m: (f64, f64)) -> impl Strategy<Value = Riser> {
    let shape = (
        logarithmic(0.010, 0.300),
        logarithmic(submergence_m.0, submergence_m.1),
        0.3..=1.0f64,
    );
    let rest = (0.0..2.0, 0.0..3.0, logarithmic(1.5, 200.0));
    (shape, rest, model(), site())
        .prop_flat_map(|(shape, rest, model, site)| {
            (Just((shape, rest, model, site)), outlet(shape.1))
        })
        .prop_map(
            |(
                (
                    (bore, submergence, submergence_ratio),
                    (entrance, suction, roughness),
                    model,
                    site,
                ),
                (outlet, below),
            )| {
                let lift = submergence * (1.0 / submergence_ratio - 1.0) - below;
                RiserSpec::new(Dimensions {
                    bore: meters(bore),
                    submergence: meters(submergence),
                    lift: meters(lift),
                })
                .with_entrance_loss(Ratio::new::<ratio>(entrance))
                .with_suction_length(meters(suction))
                .with_roughness(Length::new::<micrometer>(roughness))
                .with_outlet(outlet)
                .build(&site, model)
                .unwrap()
            },
        )
}

/// [`lifting`] over all submergences.
pub fn riser() -> impl Strategy<Value = Riser> {
    lifting((0.2, 60.0))
}

/// A gas velocity at 1.2 kg/m³, m/s: from a trace to beyond choking.
pub fn gas_velocity() -> impl Strategy<Value = f64> {
    logarithmic(1e-6, 1e3)
}

/// The dry air flow of a gas velocity.
pub fn air(riser: &Riser, velocity: f64) -> AirFlow {
    let area = std::f64::consts::FRAC_PI_4 * riser.spec().dimensions.bore.value.powi(2);
    kilograms(1.2 * velocity * area)
}

pub fn kilograms(per_second: f64) -> AirFlow {
    AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(per_second)).unwrap()
}

pub fn mass(air: AirFlow) -> f64 {
    air.dry_mass_rate().get::<kilogram_per_second>()
}

/// Water flow at an air flow, m³/s.
pub fn water(riser: &Riser, air: AirFlow) -> f64 {
    riser.operate(air).unwrap().water_flow().value
}

/// The riser with another lift, when it can be.
pub fn with_lift(riser: &Riser, lift: f64) -> Option<Riser> {
    let mut spec = *riser.spec();
    spec.dimensions.lift = meters(lift);
    riser.with_spec(spec).ok()
}

/// The riser with another submergence and the same lift.
pub fn with_submergence(riser: &Riser, submergence: f64) -> Option<Riser> {
    let mut spec = *riser.spec();
    spec.dimensions.submergence = meters(submergence);
    riser.with_spec(spec).ok()
}

/// The peak, when any air lifts the water.
pub fn peak(riser: &Riser) -> Option<risewater::OperatingPoint> {
    match riser.peak() {
        Ok(point) => Some(point),
        Err(risewater::Error::LiftOutOfReach { .. }) => None,
        Err(error) => panic!("{error}"),
    }
}
