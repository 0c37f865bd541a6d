//! Any finite number in, finite numbers or a typed error out.

use proptest::prelude::*;
use risewater::air::AirFlow;
use risewater::riser::{BrinkHead, ColumnEnd, Dimensions, Outlet, PartFull, Site};
use risewater::units::*;
use risewater::water::WaterProperties;
use risewater::{AirState, Curve, Error, OperatingPoint, Riser, RiserSpec, Water};

use crate::risers::{logarithmic, model, told, untold};

/// Any finite number at all, half of the time; else one that may pass.
fn number(low: f64, high: f64) -> BoxedStrategy<f64> {
    use prop::num::f64::{NEGATIVE, NORMAL, POSITIVE, SUBNORMAL, ZERO};
    let extremes = [
        0.0,
        -0.0,
        5e-324,
        f64::MIN_POSITIVE,
        f64::EPSILON,
        1.0,
        1e308,
        f64::MAX,
        -1.0,
        -1e308,
        f64::MIN,
    ];
    prop_oneof![
        1 => POSITIVE | NEGATIVE | NORMAL | SUBNORMAL | ZERO,
        1 => prop::sample::select(extremes.to_vec()),
        24 => low..=high,
        2 => Just(low),
        2 => Just(high),
        8 => logarithmic(low.max(high * 1e-9).max(1e-9), high),
    ]
    .boxed()
}

fn any_water() -> impl Strategy<Value = Result<Water, Error>> {
    let given = (
        number(-5.0, 100.0),
        number(900.0, 1300.0),
        number(1e-4, 0.1),
        number(0.001, 0.1),
        number(0.0, 101.325),
        number(0.0, 300.0),
    );
    prop_oneof![
        (number(0.0, 40.0), number(0.0, 42.0)).prop_map(|(celsius, salt)| Water::new(
            ThermodynamicTemperature::new::<degree_celsius>(celsius),
            Ratio::new::<per_mille>(salt)
        )),
        given.prop_map(|(celsius, density, viscosity, tension, vapour, salt)| {
            Water::from_properties(WaterProperties {
                temperature: ThermodynamicTemperature::new::<degree_celsius>(celsius),
                density: MassDensity::new::<kilogram_per_cubic_meter>(density),
                viscosity: DynamicViscosity::new::<pascal_second>(viscosity),
                surface_tension: SurfaceTension::new::<newton_per_meter>(tension),
                vapour_pressure: AbsolutePressure::new::<kilopascal>(vapour),
                salinity: Ratio::new::<per_mille>(salt),
            })
        }),
    ]
}

fn any_outlet() -> impl Strategy<Value = Outlet> {
    let loss = || number(0.0, 100.0).prop_map(Ratio::new::<ratio>);
    let length = |low, high| number(low, high).prop_map(Length::new::<meter>);
    prop_oneof![
        loss().prop_map(|loss| Outlet::Plain { loss }),
        (loss(), prop::option::of(length(0.001, 5.0)), any::<bool>()).prop_map(
            |(loss, bore, mixture)| Outlet::Elbow {
                loss,
                bore,
                head: if mixture {
                    BrinkHead::Mixture
                } else {
                    BrinkHead::ClearWater
                }
            }
        ),
        (loss(), length(0.0, 100.0)).prop_map(|(loss, depth)| Outlet::Submerged { depth, loss }),
        (loss(), length(0.0, 100.0)).prop_map(|(loss, head)| Outlet::OpenTop { head, loss }),
    ]
}

fn any_riser() -> impl Strategy<Value = Result<Riser, Error>> {
    let length = |low, high| number(low, high).prop_map(Length::new::<meter>);
    let dimensions = (
        length(0.001, 3.0),
        length(0.001, 1000.0),
        length(-1000.0, 1000.0),
        length(0.0, 0.0005),
        length(0.0, 1e-5),
    );
    let rest = (
        length(0.0, 1000.0),
        number(0.0, 100.0),
        prop::option::weighted(0.2, length(0.001, 0.01)),
        any_outlet(),
        number(0.0, 100.0),
    );
    (dimensions, rest, any_water(), number(30.0, 120.0), model()).prop_map(
        |(
            (bore, submergence, lift, lost, roughness),
            (suction, entrance, line, outlet, developing),
            water,
            atmosphere,
            model,
        )| {
            let site = Site {
                water: water?,
                atmosphere: AbsolutePressure::new::<kilopascal>(atmosphere),
            };
            let mut spec = RiserSpec::new(Dimensions {
                bore,
                submergence,
                lift,
            })
            .with_lost_bore(lost)
            .with_roughness(roughness)
            .with_suction_length(suction)
            .with_entrance_loss(Ratio::new::<ratio>(entrance))
            .with_outlet(outlet);
            spec.air_line = line;
            spec.build(
                &site,
                model.with_developing_length(Ratio::new::<ratio>(developing)),
            )
        },
    )
}

fn any_air() -> impl Strategy<Value = Result<AirFlow, Error>> {
    prop_oneof![
        3 => logarithmic(1e-12, 1000.0).prop_map(|kg| AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(kg))),
        1 => number(0.0, 1000.0).prop_map(|kg| AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(kg))),
        1 => (number(0.0, 10.0), number(-60.0, 200.0), number(1.0, 10_000.0), number(0.0, 1.0)).prop_map(|(volume, celsius, pressure, humidity)| {
            AirFlow::at(
                VolumeRate::new::<cubic_meter_per_second>(volume),
                &AirState {
                    temperature: ThermodynamicTemperature::new::<degree_celsius>(celsius),
                    pressure: AbsolutePressure::new::<kilopascal>(pressure),
                    humidity: Ratio::new::<ratio>(humidity),
                },
            )
        }),
    ]
}

fn end(end: &ColumnEnd) -> [f64; 6] {
    [
        end.pressure.get::<pascal>(),
        end.void_fraction.value,
        end.liquid_superficial_velocity.value,
        end.gas_superficial_velocity.value,
        end.liquid_velocity.value,
        end.gas_velocity.value,
    ]
}

fn check(point: &OperatingPoint) -> Result<(), TestCaseError> {
    let mut numbers = vec![
        point.water_flow.value,
        point.air.dry_mass_rate().value,
        point.injection_pressure.get::<pascal>(),
        point.efficiency.value,
        point.injection_power.value,
        point.air_to_water.value,
    ];
    numbers.extend(end(&point.foot));
    numbers.extend(end(&point.top));
    prop_assert!(numbers.iter().all(|x| x.is_finite()), "{point:?}");
    prop_assert!(
        point.water_flow.value > 0.0 && point.foot.pressure.get::<pascal>() > 0.0,
        "{point:?}"
    );
    Ok(())
}

/// No defect, and finite numbers in an error.
fn typed(error: &Error) -> Result<(), TestCaseError> {
    let text = error.to_string();
    prop_assert!(
        !matches!(error, Error::NotConverged { .. })
            && !text.contains("NaN")
            && !text.contains("inf"),
        "{text}"
    );
    Ok(())
}

/// The value, or a typed error: then the rest is not told.
macro_rules! settle {
    ($result:expr) => {
        match $result {
            Ok(value) => value,
            Err(error) => {
                typed(&error)?;
                return untold("refused");
            }
        }
    };
}

proptest! {
    #![proptest_config(told(300, 9000))]

    #[test]
    fn operating_points_are_finite(riser in any_riser(), air in any_air()) {
        let (riser, air) = (settle!(riser), settle!(air));
        let outcome = settle!(riser.operate(air));
        prop_assert!(outcome.water_flow().value.is_finite());
        for caution in riser.cautions(&outcome) {
            prop_assert!(!caution.to_string().contains("NaN"), "{caution}");
        }
        match outcome.point() {
            Some(point) => check(point)?,
            None => return untold("no water"),
        }
    }

    #[test]
    fn lifts_at_zero_flow_are_finite(riser in any_riser(), air in any_air()) {
        let (riser, air) = (settle!(riser), settle!(air));
        prop_assert!(riser.threshold().unwrap().is_none_or(|threshold| threshold.dry_mass_rate().value.is_finite()));
        prop_assert!(settle!(riser.lift_at_zero_flow(air)).is_none_or(|lift| lift.value.is_finite()));
    }

    #[test]
    fn brink_heads_are_finite(bore in number(0.001, 5.0), flow in number(0.0, 100.0)) {
        let pipe = settle!(PartFull::of_bore(Length::new::<meter>(bore)));
        // The head of the running pipe grows as Q²: within what any riser carries.
        let head = pipe.critical_head(VolumeRate::new::<cubic_meter_per_second>(flow.min(1e6)));
        prop_assert!(head.value.is_finite() && head.value >= 0.0);
    }
}

proptest! {
    #![proptest_config(told(2000, 4000))]

    #[test]
    fn air_states_and_flows_are_finite(air in any_air()) {
        let air = settle!(air);
        prop_assert!(air.volume_rate_at_20_c().value.is_finite() && air.dry_mass_rate().value >= 0.0);
    }
}

proptest! {
    #![proptest_config(told(100, 9000))]

    #[test]
    fn inverses_for_air_are_finite(riser in any_riser(), target in number(0.0, 1e5)) {
        let target = VolumeRate::new::<liter_per_minute>(target);
        check(&settle!(settle!(riser).air_for(target)))?;
    }

    #[test]
    fn inverses_for_submergence_are_finite(riser in any_riser(), air in any_air(), target in number(0.0, 1e5), deepest in number(0.001, 1000.0)) {
        let (riser, air) = (settle!(riser), settle!(air));
        let target = VolumeRate::new::<liter_per_minute>(target);
        let found = settle!(riser.submergence_for(target, air, Length::new::<meter>(deepest)));
        prop_assert!(found.value.is_finite() && found.value > 0.0);
    }

    #[test]
    fn curves_are_finite(riser in any_riser()) {
        let riser = settle!(riser);
        let curve = settle!(Curve::of(&riser, 5));
        for point in curve.points.iter().chain(curve.best_efficiency.iter()).chain([&curve.peak]) {
            check(point)?;
        }
        prop_assert!(!curve.points.is_empty());
    }
}
