//! What water and air refuse.

use crate::{celsius, fresh};
use risewater::air::{self, AirFlow, AirState};
use risewater::error::{Error, Input, Range};
use risewater::units::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, MassRate, Ratio, SurfaceTension,
    VolumeRate, cubic_meter_per_hour, cubic_meter_per_second, kilogram_per_cubic_meter,
    kilogram_per_second, kilopascal, meter, newton_per_meter, pascal_second, per_mille, ratio,
};
use risewater::water::{self, Water, WaterProperties, saturation_vapour_pressure};

/// The text of an out-of-range error and its data, at both ends of a range.
fn refuses(what: Input, range: Range, build: impl Fn(f64) -> Option<Error>) {
    let step = (range.max - range.min) * 1e-6;
    for inside in [range.min, range.max] {
        assert_eq!(build(inside), None, "{what} {inside}");
    }
    for outside in [range.min - step, range.max + step] {
        match build(outside) {
            Some(Error::OutOfRange {
                what: got,
                range: allowed,
                ..
            }) => {
                assert_eq!((got, allowed), (what, range), "{outside}");
            }
            other => panic!("{what} {outside}: {other:?}"),
        }
    }
    for not_finite in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(
            build(not_finite),
            Some(Error::NotFinite { what }),
            "{not_finite}"
        );
    }
}

#[test]
fn ranges_of_water() {
    let salt = |s| Ratio::new::<per_mille>(s);
    refuses(Input::WaterTemperature, water::TEMPERATURE, |t| {
        Water::fresh(celsius(t)).err()
    });
    refuses(
        Input::WaterTemperature,
        water::SATURATION_TEMPERATURE,
        |t| saturation_vapour_pressure(celsius(t)).err(),
    );
    refuses(Input::Salinity, water::SALINITY, |s| {
        Water::new(celsius(20.0), salt(s)).err()
    });

    let water = fresh(20.0);
    let given = WaterProperties {
        temperature: water.temperature(),
        density: water.density(),
        viscosity: water.viscosity(),
        surface_tension: water.surface_tension(),
        vapour_pressure: water.vapour_pressure(),
        salinity: water.salinity(),
    };
    assert_eq!(Water::from_properties(given), Ok(water));
    let build = |properties| Water::from_properties(properties).err();
    refuses(Input::WaterTemperature, water::GIVEN_TEMPERATURE, |t| {
        build(WaterProperties {
            temperature: celsius(t),
            ..given
        })
    });
    refuses(Input::Salinity, water::GIVEN_SALINITY, |s| {
        build(WaterProperties {
            salinity: salt(s),
            ..given
        })
    });
    refuses(Input::WaterDensity, water::GIVEN_DENSITY, |rho| {
        let density = MassDensity::new::<kilogram_per_cubic_meter>(rho);
        build(WaterProperties { density, ..given })
    });
    refuses(Input::WaterViscosity, water::GIVEN_VISCOSITY, |mu| {
        let viscosity = DynamicViscosity::new::<pascal_second>(mu);
        build(WaterProperties { viscosity, ..given })
    });
    refuses(
        Input::SurfaceTension,
        water::GIVEN_SURFACE_TENSION,
        |sigma| {
            let surface_tension = SurfaceTension::new::<newton_per_meter>(sigma);
            build(WaterProperties {
                surface_tension,
                ..given
            })
        },
    );
    refuses(Input::VapourPressure, water::GIVEN_VAPOUR_PRESSURE, |p| {
        let vapour_pressure = AbsolutePressure::new::<kilopascal>(p);
        build(WaterProperties {
            vapour_pressure,
            ..given
        })
    });
}

#[test]
fn ranges_of_air() {
    let one = VolumeRate::new::<cubic_meter_per_second>(1e-3);
    let state = AirState::DRY_20_C;
    refuses(Input::Altitude, air::ALTITUDE, |z| {
        air::pressure_at_altitude(Length::new::<meter>(z)).err()
    });
    refuses(Input::AirTemperature, air::AIR_TEMPERATURE, |t| {
        air::viscosity(celsius(t)).err()
    });
    refuses(Input::AirTemperature, air::AIR_TEMPERATURE, |t| {
        AirFlow::at(
            one,
            &AirState {
                temperature: celsius(t),
                ..state
            },
        )
        .err()
    });
    refuses(Input::AirPressure, air::AIR_PRESSURE, |p| {
        AirFlow::at(
            one,
            &AirState {
                pressure: AbsolutePressure::new::<kilopascal>(p),
                ..state
            },
        )
        .err()
    });
    refuses(Input::AirHumidity, air::HUMIDITY, |humidity| {
        AirFlow::at(
            one,
            &AirState {
                humidity: Ratio::new::<ratio>(humidity),
                ..state
            },
        )
        .err()
    });
    refuses(Input::AirFlow, air::AIR_FLOW, |rate| {
        AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(rate)).err()
    });
    let nan = VolumeRate::new::<cubic_meter_per_second>(f64::NAN);
    assert_eq!(
        AirFlow::at(nan, &state),
        Err(Error::NotFinite {
            what: Input::AirFlow
        })
    );
}

#[test]
fn vapour_stays_below_the_pressure() {
    // Water boils below 100 degC at 50 kPa.
    let steam = AirState {
        temperature: celsius(100.0),
        pressure: AbsolutePressure::new::<kilopascal>(50.0),
        humidity: Ratio::new::<ratio>(1.0),
    };
    let flow = AirFlow::at(VolumeRate::new::<cubic_meter_per_hour>(1.0), &steam);
    assert!(
        matches!(
            flow,
            Err(Error::Inconsistent {
                larger: Input::AirPressure,
                smaller: Input::VapourPressure,
                unit: "kPa",
                ..
            })
        ),
        "{flow:?}"
    );
}

#[test]
fn an_unknown_state_names_a_near_one_or_none() {
    let nearest = |name| match AirState::named(name) {
        Err(Error::UnknownName { nearest, .. }) => nearest,
        other => panic!("{other:?}"),
    };
    assert_eq!(
        nearest("normal_din1343").as_deref(),
        Some("normal_din_1343")
    );
    assert_eq!(nearest("thin air"), None);
}
