//! What is refused: each with its error, nothing with a panic.

use risewater::Error;
use risewater::error::{Input, RecirculationError};
use risewater::need::Limits;
use risewater::recirculation::{
    AfterMeal, AirOff, Biofilter, DayPlan, Feeding, Light, Loop, LoopChange, LoopTank, Meal,
    MealForm, MealHeight, Surface, Timer,
};
use risewater::units::{TemperatureInterval, kelvin_interval};

use super::{
    air, demand, filter, g_h, hours, lifts, load, m3, m3_h, makeup, mg_l, monod, part,
    share_of_pass, tank,
};

fn one() -> Loop {
    let tank = tank(40.0, load(40.0, 5.0));
    Loop::new(
        air(),
        vec![tank],
        Some(demand(5.0)),
        vec![lifts(12, 5.0, 0.3, 9.4)],
    )
}

fn fault(of: &Loop) -> RecirculationError {
    match of.steady() {
        Err(Error::Recirculation(fault)) => fault,
        other => panic!("{other:?}"),
    }
}

#[test]
fn loops_that_cannot_be() {
    let mut none = one();
    none.tanks.clear();
    assert_eq!(fault(&none), RecirculationError::NoTank);

    let mut dry = one();
    dry.tanks[0].share = part(0.0);
    assert_eq!(fault(&dry), RecirculationError::NoWater { tank: 1 });

    let mut beyond = one();
    beyond.lifts[0].tank = Some(3);
    let expected = RecirculationError::NoSuchTank {
        group: 1,
        tank: 4,
        tanks: 1,
    };
    assert_eq!(fault(&beyond), expected);

    let mut own = one();
    own.lifts[0].tank = Some(0);
    assert!(own.steady().is_ok());
    let series = own.clone().in_series();
    assert_eq!(
        fault(&series),
        RecirculationError::OwnLiftsInSeries { group: 1 }
    );
    let first = own.clone().with_lifts_first();
    assert_eq!(
        fault(&first),
        RecirculationError::OwnLiftsBeforeFilter { group: 1 }
    );
    // Without a filter there is nothing that they come before.
    let mut first = first;
    first.filter = None;
    first.tanks[0].load.tan = g_h(0.0);
    assert!(first.steady().unwrap().steady().is_some());

    let mut unknown = one();
    unknown.tanks[0].limits = Limits {
        ammonia: Some(mg_l(0.025)),
        ..Limits::NONE
    };
    assert_eq!(fault(&unknown), RecirculationError::AmmoniaUnknown);
    assert!(unknown.with_ph(part(7.5)).steady().is_ok());
}

fn input(error: Error) -> Input {
    match error {
        Error::OutOfRange { what, .. } | Error::NotFinite { what } => what,
        other => panic!("{other:?}"),
    }
}

/// Each number of a loop below and beyond what can be, and no number.
#[test]
fn numbers_that_cannot_be() {
    type Set = fn(&mut Loop, f64);
    let cases: [(Input, Set); 14] = [
        (Input::TankVolume, |of, x| of.tanks[0].volume = m3(x)),
        (Input::TankUptake, |of, x| of.tanks[0].load.oxygen = g_h(x)),
        (Input::TankUptake, |of, x| {
            of.tanks[0].load.carbon_dioxide = g_h(x);
        }),
        (Input::TankUptake, |of, x| of.tanks[0].load.tan = g_h(x)),
        (Input::FlowShare, |of, x| of.tanks[0].share = part(x)),
        (Input::LiftFlow, |of, x| of.lifts[0].flow = m3_h(x)),
        (Input::MakeupFlow, |of, x| {
            of.tanks[0].makeup = Some(makeup(x, 8.0, 0.0));
        }),
        (Input::DissolvedGas, |of, x| {
            of.tanks[0].makeup = Some(makeup(1.0, x, 0.0));
        }),
        (Input::EnteringTan, |of, x| {
            of.tanks[0].makeup = Some(makeup(1.0, 8.0, x));
        }),
        (Input::SurfaceExchange, |of, x| {
            let surface = Surface {
                exchange: [m3_h(x); 4],
                equilibrium: None,
            };
            of.tanks[0].surface = Some(surface);
        }),
        (Input::PassPart, |of, x| {
            of.lifts[0] = lifts(12, 5.0, x, 9.4);
        }),
        (Input::FilterOxygen, |of, x| of.filter = Some(demand(x))),
        (Input::FilterVolume, |of, x| {
            of.filter = Some(Biofilter {
                volume: m3(x),
                ..demand(1.0)
            });
        }),
        (Input::FilterTheta, |of, x| {
            of.filter = Some(Biofilter {
                theta: part(x),
                ..demand(1.0)
            });
        }),
    ];
    for (what, set) in cases {
        for x in [-1.0, 1e12, f64::NAN] {
            let mut of = one();
            set(&mut of, x);
            assert_eq!(input(of.steady().unwrap_err()), what, "{x}");
        }
    }
    for law in [share_of_pass(1.5), share_of_pass(0.0)] {
        let mut of = one();
        of.filter = Some(filter(law, 4.57, 0.0));
        assert_eq!(input(of.steady().unwrap_err()), Input::TanRemoval);
    }
    let mut of = one();
    of.filter = Some(filter(
        monod(15.0, 0.0, risewater::recirculation::Through::Mixed),
        0.0,
        0.0,
    ));
    assert_eq!(input(of.steady().unwrap_err()), Input::HalfSaturation);
}

fn meal(at: f64, share: f64) -> Meal {
    Meal {
        at: hours(at),
        share: part(share),
    }
}

#[test]
fn days_that_cannot_be() {
    let refused = |plan: &DayPlan| one().day(plan).unwrap_err();
    let two = DayPlan::of_each(vec![Feeding::even(), Feeding::even()]);
    let expected = RecirculationError::Timetables { given: 2, tanks: 1 };
    assert_eq!(refused(&two), Error::Recirculation(expected));

    let half = DayPlan::new(Feeding::new(vec![meal(8.0, 0.5)]));
    let expected = RecirculationError::MealShares { sum: 0.5 };
    assert_eq!(refused(&half), Error::Recirculation(expected));

    let late = DayPlan::new(Feeding::new(vec![meal(25.0, 1.0)]));
    assert_eq!(input(refused(&late)), Input::MealTime);

    // A meal over 12 h raises the uptake to twice the mean at most.
    let height = MealHeight::PeakOverMean(part(2.5));
    let long = AfterMeal {
        form: MealForm::Square {
            length: hours(12.0),
        },
        height,
    };
    let high = DayPlan::new(Feeding::new(vec![meal(8.0, 1.0)]).with_oxygen(long));
    let expected = RecirculationError::PeakOutOfReach {
        peak: 2.5,
        most: 2.0,
    };
    assert_eq!(refused(&high), Error::Recirculation(expected));

    let lit = |on, dark_use| {
        let light = Light {
            on: hours(on),
            off: hours(18.0),
            dark_use: part(dark_use),
        };
        DayPlan::new(Feeding::new(vec![meal(8.0, 0.5), meal(14.0, 0.5)]).with_light(light))
    };
    assert_eq!(input(refused(&lit(25.0, 1.0))), Input::LightTime);
    assert_eq!(input(refused(&lit(6.0, 11.0))), Input::DarkUse);
    // Half a day of dark with five times the uptake: 24·5/(12 + 5·12) of the mean.
    let Error::Recirculation(RecirculationError::PeakBelowLight { peak, least }) =
        refused(&lit(6.0, 5.0))
    else {
        panic!("a peak of 1.4 was taken");
    };
    assert!(peak == 1.4 && (least - 5.0 / 3.0).abs() < 1e-12);

    let form = MealForm::Rounded {
        slow: hours(1.0),
        fast: hours(2.0),
    };
    let slow =
        DayPlan::new(Feeding::new(vec![meal(8.0, 1.0)]).with_ammonia(AfterMeal { form, height }));
    let expected = RecirculationError::RisesTooSlowly {
        slow_h: 1.0,
        fast_h: 2.0,
    };
    assert_eq!(refused(&slow), Error::Recirculation(expected));

    for (group, off) in [(0, 13), (1, 1)] {
        let timer = Timer {
            group,
            off,
            from: hours(1.0),
            to: hours(2.0),
        };
        let plan = DayPlan::new(Feeding::even()).with_timer(timer);
        let expected = RecirculationError::NoSuchLifts {
            group: group + 1,
            lifts: off,
        };
        assert_eq!(refused(&plan), Error::Recirculation(expected));
    }
    // Two timers that stop more lifts than there are at the same time.
    let timer = Timer {
        group: 0,
        off: 7,
        from: hours(1.0),
        to: hours(2.0),
    };
    let plan = DayPlan::new(Feeding::even())
        .with_timer(timer)
        .with_timer(timer);
    let expected = RecirculationError::NoSuchLifts { group: 1, lifts: 7 };
    assert_eq!(refused(&plan), Error::Recirculation(expected));

    // 60 m³/h through 10 L.
    let mut small = one();
    small.tanks = vec![LoopTank::new("A", m3(0.01), load(1.0, 0.1))];
    let plan = DayPlan::new(Feeding::even());
    assert_eq!(input(small.day(&plan).unwrap_err()), Input::Turnover);
    let mut small = one();
    small.filter = Some(Biofilter {
        volume: m3(0.01),
        ..demand(1.0)
    });
    assert_eq!(input(small.day(&plan).unwrap_err()), Input::FilterTurnover);
}

#[test]
fn changes_that_cannot_be() {
    for (group, lifts) in [(0, 13), (2, 1)] {
        let refused = one()
            .changed(&LoopChange::LiftsOff { group, lifts })
            .unwrap_err();
        let expected = RecirculationError::NoSuchLifts {
            group: group + 1,
            lifts,
        };
        assert_eq!(refused, Error::Recirculation(expected));
    }
    let warmer = |rise: f64| LoopChange::Warmer(TemperatureInterval::new::<kelvin_interval>(rise));
    assert_eq!(
        input(one().changed(&warmer(100.0)).unwrap_err()),
        Input::TemperatureRise
    );
    assert_eq!(
        input(one().changed(&warmer(f64::NAN)).unwrap_err()),
        Input::TemperatureRise
    );
    let mut warm = one();
    warm.air.temperature += TemperatureInterval::new::<kelvin_interval>(18.0);
    assert_eq!(
        input(warm.changed(&warmer(3.0)).unwrap_err()),
        Input::WaterTemperature
    );
}

#[test]
fn air_off_that_cannot_be() {
    let off = AirOff {
        volume: m3(40.0),
        uptake: g_h(50.0),
        start: mg_l(6.0),
        surface: None,
        critical: None,
    };
    let level = mg_l(3.0);
    let cases = [
        (
            AirOff {
                volume: m3(0.0),
                ..off
            },
            Input::TankVolume,
        ),
        (
            AirOff {
                uptake: g_h(-1.0),
                ..off
            },
            Input::TankUptake,
        ),
        (
            AirOff {
                start: mg_l(f64::NAN),
                ..off
            },
            Input::Oxygen,
        ),
        (
            AirOff {
                surface: Some((m3_h(-1.0), mg_l(9.0))),
                ..off
            },
            Input::SurfaceExchange,
        ),
        (
            AirOff {
                critical: Some(mg_l(0.0)),
                ..off
            },
            Input::CriticalOxygen,
        ),
    ];
    for (off, what) in cases {
        assert_eq!(input(off.until(level).unwrap_err()), what);
    }
    assert_eq!(input(off.until(mg_l(-1.0)).unwrap_err()), Input::Oxygen);
}
