//! What is refused, and what is said of it.

use risewater::Error;
use risewater::error::{Input, NeedError};
use risewater::need::{
    Cycle, Entering, EnteringOxygen, Feed, Gases, Installed, Limits, Makeup, Room, RoomTank, Tank,
};
use risewater::units::{
    Frequency, MassRate, Ratio, Volume, cubic_meter, kilogram_per_day, per_hour, per_mille,
};

use crate::gases::gases;
use crate::{celsius, kg, liters, mg_l, need, part, share, tank};

fn text(change: impl Fn(&mut Tank)) -> String {
    let mut tank = tank(Limits::WARM_WATER);
    change(&mut tank);
    need(&tank).unwrap_err().to_string()
}

#[test]
fn limits_that_no_flow_holds() {
    assert_eq!(
        text(|tank| tank.inlet.tan = Entering::Known(mg_l(2.5))),
        "no flow holds the limit of un-ionised ammonia nitrogen of 1.4192 mg/L (as total ammonia nitrogen): the total ammonia nitrogen of the water that enters the tank is 2.5 mg/L, 1.0808 mg/L on its wrong side; treat or aerate what enters, or ease the limit"
    );
    assert_eq!(
        text(|tank| {
            tank.limits.ammonia = None;
            tank.inlet.tan = Entering::Known(mg_l(2.0));
        }),
        "no flow holds the limit of total ammonia nitrogen of 2 mg/L: the total ammonia nitrogen of the water that enters the tank is 2 mg/L, which leaves nothing to carry; treat or aerate what enters, or ease the limit"
    );
    assert_eq!(
        text(|tank| tank.inlet.carbon_dioxide = Entering::Known(mg_l(25.0))),
        "no flow holds the limit of carbon dioxide of 20 mg/L: the carbon dioxide of the water that enters the tank is 25 mg/L, 5 mg/L on its wrong side; treat or aerate what enters, or ease the limit"
    );
    assert_eq!(
        text(|tank| tank.inlet.oxygen = EnteringOxygen::Known(mg_l(4.0))),
        "no flow holds the least dissolved oxygen of 5 mg/L: the oxygen of the water that enters the tank is 4 mg/L, 1 mg/L on its wrong side; treat or aerate what enters, or ease the limit"
    );
    assert!(
        text(|tank| tank.limits.oxygen = Some(mg_l(9.0))).starts_with(
            "the limit of dissolved oxygen (9 mg/L) must be less than saturation with air, 8.263"
        )
    );
    // Water that enters with more than saturation, and still less than the limit; air that cannot give more.
    let oxygen = |inlet: EnteringOxygen| {
        text(|tank| {
            tank.limits.oxygen = Some(mg_l(12.0));
            tank.inlet.oxygen = inlet;
        })
    };
    assert!(
        oxygen(EnteringOxygen::Known(mg_l(11.0)))
            .starts_with("no flow holds the least dissolved oxygen of 12 mg/L"),
    );
    assert!(oxygen(EnteringOxygen::Reaerated(part(0.9))).contains("less than saturation with air"));
    assert_eq!(
        oxygen(EnteringOxygen::Known(mg_l(101.0))),
        "oxygen of the water that enters the tank is 101 mg/L; it must lie in 0 to 100 mg/L"
    );
}

#[test]
fn what_is_missing() {
    assert_eq!(
        text(|tank| tank.limits = Limits::NONE),
        "there is no limit: give at least one of oxygen, ammonia, carbon dioxide or turnover"
    );
    assert_eq!(
        text(|tank| tank.limits.turnover = Some(Frequency::new::<per_hour>(1.0))),
        "a turnover needs the volume of the tank"
    );
    assert_eq!(
        text(|tank| {
            tank.animals.biomass = kg(0.0);
            tank.animals.feed = Feed::Mass(MassRate::new::<kilogram_per_day>(1.5));
        }),
        "there are 1.5 kg/d of feed and 0 kg of animals: give the animals, or no feed"
    );
    let empty = Cycle::new(tank(Limits::WARM_WATER), &[]).unwrap_err();
    assert_eq!(empty, Error::Need(NeedError::EmptyCycle));
    assert_eq!(
        Installed::Each(Vec::new()).running(liters(1.0)),
        Err(Error::Need(NeedError::NoLifts))
    );
}

#[test]
fn out_of_range() {
    assert_eq!(
        text(|tank| tank.animals.protein = part(42.0)),
        "protein in the feed is 42; it must lie in 0 to 1"
    );
    assert_eq!(
        text(|tank| tank.animals.biomass = kg(-1.0)),
        "mass of the animals is -1 kg; it must lie in 0 to 1e9 kg"
    );
}

#[test]
fn the_tank_at_fault_is_named() {
    let good = tank(Limits::WARM_WATER);
    let mut bad = good;
    bad.animals.biomass = kg(-1.0);
    let in_room = |tank| RoomTank {
        name: String::new(),
        tank,
        cycle: None,
    };
    let room = Room {
        tanks: vec![in_room(good), in_room(bad)],
    };
    let error = room.need(gases).unwrap_err().to_string();
    assert!(error.starts_with("tank 2: mass of the animals is -1 kg"));
}

/// NaN and infinities, one input after the other.
#[test]
fn not_finite() {
    type Change = fn(&mut Tank, f64);
    let changes: Vec<(Input, Change)> = vec![
        (Input::Biomass, |t, x| t.animals.biomass = kg(x)),
        (Input::FeedShare, |t, x| t.animals.feed = share(x)),
        (Input::Feed, |t, x| {
            t.animals.feed = Feed::Mass(MassRate::new::<kilogram_per_day>(x));
        }),
        (Input::Protein, |t, x| t.animals.protein = part(x)),
        (Input::WaterTemperature, |t, x| {
            t.water.temperature = celsius(x);
        }),
        (Input::Salinity, |t, x| {
            t.water.salinity = Ratio::new::<per_mille>(x);
        }),
        (Input::Ph, |t, x| t.water.ph = part(x)),
        (Input::LeastOxygen, |t, x| t.limits.oxygen = Some(mg_l(x))),
        (Input::TanLimit, |t, x| t.limits.tan = Some(mg_l(x))),
        (Input::AmmoniaLimit, |t, x| t.limits.ammonia = Some(mg_l(x))),
        (Input::CarbonDioxideLimit, |t, x| {
            t.limits.carbon_dioxide = Some(mg_l(x));
        }),
        (Input::Turnover, |t, x| {
            t.limits.turnover = Some(Frequency::new::<per_hour>(x));
        }),
        (Input::TankVolume, |t, x| {
            t.volume = Some(Volume::new::<cubic_meter>(x));
        }),
        (Input::EnteringOxygen, |t, x| {
            t.inlet.oxygen = EnteringOxygen::Known(mg_l(x));
        }),
        (Input::EnteringSaturation, |t, x| {
            t.inlet.oxygen = EnteringOxygen::Saturated(part(x));
        }),
        (Input::Reaeration, |t, x| {
            t.inlet.oxygen = EnteringOxygen::Reaerated(part(x));
        }),
        (Input::EnteringTan, |t, x| {
            t.inlet.tan = Entering::Known(mg_l(x));
        }),
        (Input::TanRemoval, |t, x| {
            t.inlet.tan = Entering::Treated(part(x));
        }),
        (Input::EnteringCarbonDioxide, |t, x| {
            t.inlet.carbon_dioxide = Entering::Known(mg_l(x));
        }),
        (Input::CarbonDioxideRemoval, |t, x| {
            t.inlet.carbon_dioxide = Entering::Treated(part(x));
        }),
        (Input::MakeupFlow, |t, x| makeup(t).flow = liters(x)),
        (Input::MakeupOxygen, |t, x| makeup(t).oxygen = mg_l(x)),
        (Input::MakeupTan, |t, x| makeup(t).tan = mg_l(x)),
        (Input::MakeupCarbonDioxide, |t, x| {
            makeup(t).carbon_dioxide = mg_l(x);
        }),
        (Input::OxygenPerFeed, |t, x| {
            t.coefficients.oxygen_per_feed = part(x);
        }),
        (Input::TanPerProtein, |t, x| {
            t.coefficients.tan_per_protein = part(x);
        }),
        (Input::CarbonDioxidePerOxygen, |t, x| {
            t.coefficients.carbon_dioxide_per_oxygen = part(x);
        }),
        (Input::SolidsPerFeed, |t, x| {
            t.coefficients.solids_per_feed = part(x);
        }),
    ];
    let mut failures = Vec::new();
    for (what, change) in changes {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let mut tank = tank(Limits::WARM_WATER);
            change(&mut tank, value);
            let got = need(&tank).err();
            if got != Some(Error::NotFinite { what }) {
                failures.push(format!("{what:?} {value}: {got:?}"));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Gases that cannot be, by themselves and beside the limits.
#[test]
fn gases_that_cannot_be() {
    let tank = tank(Limits::WARM_WATER);
    let good = gases(&tank.water).unwrap();
    for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let refusal = |gases: Gases| tank.need(&gases).unwrap_err();
        let what = Input::OxygenSaturation;
        let oxygen_saturation = mg_l(value);
        let wrong = Gases {
            oxygen_saturation,
            ..good
        };
        assert_eq!(refusal(wrong), Error::NotFinite { what });
        let what = Input::CarbonDioxideOfAir;
        let carbon_dioxide_of_air = mg_l(value);
        let wrong = Gases {
            carbon_dioxide_of_air,
            ..good
        };
        assert_eq!(refusal(wrong), Error::NotFinite { what });
        let what = Input::AmmoniaFraction;
        let ammonia_fraction = Some(part(value));
        let wrong = Gases {
            ammonia_fraction,
            ..good
        };
        assert_eq!(refusal(wrong), Error::NotFinite { what });
    }
    let none = Gases {
        ammonia_fraction: Some(part(0.0)),
        ..good
    };
    let text = tank.need(&none).unwrap_err().to_string();
    assert!(text.starts_with("un-ionised share of the ammonia is 0; it must lie in"));
    let unknown = Gases {
        ammonia_fraction: None,
        ..good
    };
    let mut by_ammonia = tank;
    by_ammonia.limits.ammonia = Some(mg_l(0.02));
    let error = by_ammonia.need(&unknown).unwrap_err();
    assert_eq!(error, Error::Need(NeedError::AmmoniaUnknown));
    // Degassing does not go below what air holds.
    let mut degassed = tank;
    degassed.inlet.carbon_dioxide = Entering::Treated(part(0.5));
    degassed.limits.carbon_dioxide = Some(mg_l(0.5));
    let gases = Gases {
        carbon_dioxide_of_air: mg_l(0.7),
        ..good
    };
    assert_eq!(
        degassed.need(&gases).unwrap_err().to_string(),
        "no flow holds the limit of carbon dioxide of 0.5 mg/L: the carbon dioxide of the water that enters the tank is 0.6 mg/L, 0.1 mg/L on its wrong side; treat or aerate what enters, or ease the limit"
    );
}

fn makeup(tank: &mut Tank) -> &mut Makeup {
    tank.inlet.makeup.get_or_insert(Makeup {
        flow: liters(1.0),
        oxygen: mg_l(8.0),
        tan: mg_l(0.0),
        carbon_dioxide: mg_l(1.0),
    })
}

#[test]
fn lifts_that_cannot_be() {
    let alike = |flow: f64| Installed::Alike {
        flow: liters(flow),
        count: None,
    };
    let text = |lifts: Installed| lifts.running(liters(100.0)).unwrap_err().to_string();
    assert!(text(alike(0.0)).starts_with("water flow of a lift is 0 L/min"));
    assert!(text(alike(f64::NAN)).starts_with("water flow of a lift is not a finite"));
    let none = Installed::Alike {
        flow: liters(10.0),
        count: Some(0),
    };
    assert!(text(none).starts_with("number of lifts is 0 lifts"));
    let far = alike(0.001).running(liters(1e9)).unwrap_err().to_string();
    assert!(far.starts_with("number of lifts is 1e12 lifts"), "{far}");
}
