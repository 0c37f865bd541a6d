//! NaN and both infinities, for every input.

use risewater::air::{AirFlow, AirState, pressure_at_altitude};
use risewater::error::{Error, Input};
use risewater::riser::{BrinkHead, Outlet, PartFull};
use risewater::sizing::{Task, depths, size};
use risewater::units::*;
use risewater::water::{Water, WaterProperties};
use risewater::{Model, RiserSpec};

use crate::{meters, problem, riser, site, spec};

/// One input, and what comes of a number for it.
type Entry = (Input, Box<dyn Fn(f64) -> Option<Error>>);

fn entry<T>(what: Input, build: impl Fn(f64) -> Result<T, Error> + 'static) -> Entry {
    (what, Box::new(move |value| build(value).err()))
}

fn refused(entries: Vec<Entry>) {
    let mut failures = Vec::new();
    for (what, build) in entries {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let got = build(value);
            if got != Some(Error::NotFinite { what }) {
                failures.push(format!("{what:?} {value}: {got:?}"));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

fn celsius(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(value)
}

fn water(change: fn(&mut WaterProperties, f64), value: f64) -> Result<Water, Error> {
    let mut given = WaterProperties {
        temperature: celsius(20.0),
        density: MassDensity::new::<kilogram_per_cubic_meter>(998.0),
        viscosity: DynamicViscosity::new::<pascal_second>(1e-3),
        surface_tension: SurfaceTension::new::<newton_per_meter>(0.073),
        vapour_pressure: AbsolutePressure::new::<kilopascal>(2.3),
        salinity: Ratio::new::<per_mille>(0.0),
    };
    change(&mut given, value);
    Water::from_properties(given)
}

#[test]
fn of_water() {
    refused(vec![
        entry(Input::WaterTemperature, |x| Water::fresh(celsius(x))),
        entry(Input::Salinity, |x| {
            Water::new(celsius(20.0), Ratio::new::<per_mille>(x))
        }),
        entry(Input::WaterTemperature, |x| {
            water(|w, x| w.temperature = celsius(x), x)
        }),
        entry(Input::WaterDensity, |x| {
            water(
                |w, x| w.density = MassDensity::new::<kilogram_per_cubic_meter>(x),
                x,
            )
        }),
        entry(Input::WaterViscosity, |x| {
            water(
                |w, x| w.viscosity = DynamicViscosity::new::<pascal_second>(x),
                x,
            )
        }),
        entry(Input::SurfaceTension, |x| {
            water(
                |w, x| w.surface_tension = SurfaceTension::new::<newton_per_meter>(x),
                x,
            )
        }),
        entry(Input::VapourPressure, |x| {
            water(
                |w, x| w.vapour_pressure = AbsolutePressure::new::<kilopascal>(x),
                x,
            )
        }),
        entry(Input::Salinity, |x| {
            water(|w, x| w.salinity = Ratio::new::<per_mille>(x), x)
        }),
    ]);
}

fn at(change: fn(&mut AirState, f64), value: f64) -> Result<AirFlow, Error> {
    let mut state = AirState::DRY_20_C;
    change(&mut state, value);
    AirFlow::at(VolumeRate::new::<liter_per_minute>(10.0), &state)
}

#[test]
fn of_air() {
    refused(vec![
        entry(Input::AirTemperature, |x| {
            at(|s, x| s.temperature = celsius(x), x)
        }),
        entry(Input::AirPressure, |x| {
            at(
                |s, x| s.pressure = AbsolutePressure::new::<kilopascal>(x),
                x,
            )
        }),
        entry(Input::AirHumidity, |x| {
            at(|s, x| s.humidity = Ratio::new::<ratio>(x), x)
        }),
        entry(Input::AirFlow, |x| {
            AirFlow::at(VolumeRate::new::<liter_per_minute>(x), &AirState::DRY_20_C)
        }),
        entry(Input::AirFlow, |x| {
            AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(x))
        }),
        entry(Input::Altitude, |x| pressure_at_altitude(meters(x))),
    ]);
}

fn built(
    change: impl Fn(RiserSpec, f64) -> RiserSpec + 'static,
) -> impl Fn(f64) -> Result<risewater::Riser, Error> {
    move |value| change(spec(50.0, 1.0, 0.1), value).build(&site(), Model::default())
}

#[test]
#[allow(clippy::too_many_lines, reason = "a list")]
fn of_a_riser() {
    let ratio_of = Ratio::new::<ratio>;
    refused(vec![
        entry(Input::Bore, |x| {
            spec(x, 1.0, 0.1).build(&site(), Model::default())
        }),
        entry(Input::Submergence, |x| {
            spec(50.0, x, 0.1).build(&site(), Model::default())
        }),
        entry(Input::Lift, |x| {
            spec(50.0, 1.0, x).build(&site(), Model::default())
        }),
        entry(Input::Roughness, built(|s, x| s.with_roughness(meters(x)))),
        entry(Input::LostBore, built(|s, x| s.with_lost_bore(meters(x)))),
        entry(
            Input::SuctionLength,
            built(|s, x| s.with_suction_length(meters(x))),
        ),
        entry(
            Input::EntranceLoss,
            built(move |s, x| s.with_entrance_loss(ratio_of(x))),
        ),
        entry(
            Input::AirLineDiameter,
            built(|s, x| s.with_air_line(meters(x))),
        ),
        entry(
            Input::OutletLoss,
            built(move |s, x| s.with_outlet(Outlet::Plain { loss: ratio_of(x) })),
        ),
        entry(
            Input::OutletLoss,
            built(move |s, x| {
                s.with_outlet(Outlet::Elbow {
                    loss: ratio_of(x),
                    bore: None,
                    head: BrinkHead::Mixture,
                })
            }),
        ),
        entry(
            Input::OutletBore,
            built(move |s, x| {
                s.with_outlet(Outlet::Elbow {
                    loss: ratio_of(1.0),
                    bore: Some(meters(x)),
                    head: BrinkHead::ClearWater,
                })
            }),
        ),
        entry(
            Input::OutletDepth,
            built(move |s, x| {
                s.with_outlet(Outlet::Submerged {
                    depth: meters(x),
                    loss: ratio_of(0.0),
                })
            }),
        ),
        entry(
            Input::OutletLoss,
            built(move |s, x| {
                s.with_outlet(Outlet::Submerged {
                    depth: meters(0.1),
                    loss: ratio_of(x),
                })
            }),
        ),
        entry(
            Input::OutletHead,
            built(move |s, x| {
                s.with_outlet(Outlet::OpenTop {
                    head: meters(x),
                    loss: ratio_of(0.0),
                })
            }),
        ),
        entry(
            Input::OutletLoss,
            built(move |s, x| {
                s.with_outlet(Outlet::OpenTop {
                    head: meters(0.0),
                    loss: ratio_of(x),
                })
            }),
        ),
        entry(Input::OutletBore, |x| PartFull::of_bore(meters(x))),
        entry(Input::DevelopingLength, move |x| {
            spec(50.0, 1.0, 0.1).build(
                &site(),
                Model::default().with_developing_length(ratio_of(x)),
            )
        }),
        entry(Input::AtmosphericPressure, |x| {
            let site = risewater::riser::Site {
                atmosphere: AbsolutePressure::new::<kilopascal>(x),
                ..site()
            };
            spec(50.0, 1.0, 0.1).build(&site, Model::default())
        }),
        entry(Input::WaterFlow, |x| {
            riser(50.0, 1.0, 0.1).air_for(VolumeRate::new::<liter_per_minute>(x))
        }),
        entry(Input::WaterFlow, |x| {
            let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(0.001))?;
            riser(50.0, 1.0, 0.1).submergence_for(
                VolumeRate::new::<liter_per_minute>(x),
                air,
                meters(1.0),
            )
        }),
        entry(Input::MaxSubmergence, |x| {
            let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(0.001))?;
            riser(50.0, 1.0, 0.1).submergence_for(
                VolumeRate::new::<liter_per_minute>(10.0),
                air,
                meters(x),
            )
        }),
    ]);
}

fn sized(change: fn(&mut Task, f64)) -> impl Fn(f64) -> Result<risewater::sizing::Sizing, Error> {
    move |value| {
        let mut problem = problem();
        change(&mut problem, value);
        size(&problem)
    }
}

#[test]
fn of_a_problem() {
    refused(vec![
        entry(
            Input::WaterFlow,
            sized(|p, x| p.duty.water_flow = VolumeRate::new::<liter_per_minute>(x)),
        ),
        entry(Input::DutyLift, sized(|p, x| p.duty.lift = meters(x))),
        entry(
            Input::PeakReserve,
            sized(|p, x| p.peak_reserve = Ratio::new::<ratio>(x)),
        ),
        entry(
            Input::MaxAirPressure,
            sized(|p, x| p.max_air_pressure = Some(GaugePressure::new::<kilopascal>(x))),
        ),
        entry(
            Input::MaxTotalGasPressure,
            sized(|p, x| p.max_total_gas_pressure = Some(Ratio::new::<ratio>(x))),
        ),
        entry(Input::LowWater, sized(|p, x| p.level_fall = meters(x))),
        entry(Input::HighWater, sized(|p, x| p.level_rise = meters(x))),
        entry(Input::FouledBore, sized(|p, x| p.fouling = meters(x))),
        entry(
            Input::MaxSubmergence,
            sized(|p, x| p.submergences = vec![meters(x)]),
        ),
        entry(Input::MaxSubmergence, |x| {
            depths(None, meters(x), Some(meters(0.1)))
        }),
        entry(Input::MinSubmergence, |x| {
            depths(Some(meters(x)), meters(1.0), Some(meters(0.1)))
        }),
        entry(Input::SubmergenceStep, |x| {
            depths(None, meters(1.0), Some(meters(x)))
        }),
    ]);
}
