//! Solving an operating point allocates nothing: a simulation may do it in a loop.

use allocation_counter::measure;
use risewater::friction::Friction;
use risewater::riser::{BrinkHead, Dimensions, Outlet, Site};
use risewater::slip::Slip;
use risewater::units::{
    AbsolutePressure, Length, Ratio, ThermodynamicTemperature, VolumeRate, degree_celsius,
    liter_per_minute, meter, millimeter, ratio,
};
use risewater::{AirFlow, AirState, Model, Riser, RiserSpec, Water};

fn riser(bore_mm: f64, submergence_m: f64, lift_m: f64, outlet: Outlet, model: Model) -> Riser {
    let water = Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0)).unwrap();
    let dimensions = Dimensions {
        bore: Length::new::<millimeter>(bore_mm),
        submergence: Length::new::<meter>(submergence_m),
        lift: Length::new::<meter>(lift_m),
    };
    let site = Site {
        water,
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    RiserSpec::new(dimensions)
        .with_outlet(outlet)
        .build(&site, model)
        .unwrap()
}

#[test]
fn an_operating_point_allocates_nothing() {
    let zero = Ratio::new::<ratio>(0.0);
    let plain = Outlet::Plain { loss: zero };
    let elbow = Outlet::Elbow {
        loss: Ratio::new::<ratio>(1.5),
        bore: None,
        head: BrinkHead::Mixture,
    };
    let models = Slip::ALL.iter().flat_map(|slip| {
        Friction::ALL
            .iter()
            .map(|friction| Model::new(*slip, *friction))
    });
    let mut seen = std::collections::BTreeMap::new();
    for model in models {
        let risers = [
            riser(76.2, 1.0, 0.1, plain, model),
            riser(100.0, 25.0, 15.0, plain, model),
            riser(76.2, 1.0, 0.1, elbow, model),
            riser(20.0, 0.5, 5.0, plain, model),
        ];
        for riser in risers {
            for air in [0.0, 1e-3, 10.0, 100.0, 1000.0, 5000.0, 20_000.0] {
                let air = AirFlow::at(
                    VolumeRate::new::<liter_per_minute>(air),
                    &AirState::DRY_20_C,
                )
                .unwrap();
                let mut outcome = None;
                let allocations =
                    measure(|| outcome = Some(riser.operate(air).unwrap())).count_total;
                let name = outcome.unwrap().name();
                *seen.entry(name).or_insert(0) += 1;
                assert_eq!(allocations, 0, "{name}: {model}, {:?}", riser.spec());
            }
        }
    }
    assert!(
        ["pumping", "below_threshold"]
            .iter()
            .all(|name| seen.contains_key(name)),
        "{seen:?}"
    );
}

#[test]
fn the_counter_counts() {
    assert_eq!(
        measure(|| drop(std::hint::black_box(vec![1.0; 8]))).count_total,
        1
    );
}
