//! Budgets, advice, correlation and refusals.

use risewater::Error;
use risewater::air::AirState;
use risewater::error::Input;
use risewater::trial::{
    AirToWater, DisplacedAir, Instruments, MeteredAir, Source, Step, WeighedWater,
};
use risewater::units::{
    Length, Mass, Ratio, TemperatureInterval, Time, Volume, VolumeRate, kelvin_interval, kilogram,
    liter, liter_per_minute, meter, percent, ratio, second,
};

use crate::{celsius, fill, fresh, kpa, liters, relative, seconds};

fn bottle(times: &[f64]) -> DisplacedAir {
    DisplacedAir::new(
        liters(4.2),
        seconds(times),
        celsius(17.0),
        kpa(98.6),
        fresh(17.0),
    )
}

fn share(budget: &risewater::trial::Budget, source: Source) -> f64 {
    budget
        .contributions
        .iter()
        .filter(|c| c.source == source)
        .map(|c| c.share.value)
        .sum()
}

#[test]
fn shares_add_up_to_one() {
    let kit = Instruments::default();
    let water = fill(15.0, &[14.2, 14.4, 14.1]).water_flow(&kit).unwrap();
    let weighed = WeighedWater::new(
        Mass::new::<kilogram>(15.0),
        seconds(&[14.2, 14.4]),
        fresh(15.0),
    )
    .water_flow(&kit)
    .unwrap();
    let air = bottle(&[13.1, 13.3, 13.2]).air_flow(&kit).unwrap();
    for budget in [&water.budget, &weighed.budget, &air.budget] {
        let sum: f64 = budget.contributions.iter().map(|c| c.share.value).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        assert!(budget.contributions.is_sorted_by(|a, b| a.share >= b.share));
    }
}

/// What is the same every time is not averaged: with many repeats it stays, and bounds what can be
/// had. u → √(0.5 (0.1² + 0.1²)) s = 0.1 s.
#[test]
fn repeats_do_not_average_a_late_hand() {
    let kit = Instruments::default()
        .with_container_reading(liters(0.0))
        .with_container_calibration(Ratio::new::<ratio>(0.0));
    let of = |n: usize| {
        let times: Vec<f64> = (0..n)
            .map(|i| if i % 2 == 0 { 19.7 } else { 20.3 })
            .collect();
        relative(&fill(15.0, &times).water_flow(&kit).unwrap())
    };
    assert!(of(4) > of(16) && of(16) > of(400));
    // 400 repeats leave 0.3/√400 = 0.015 s beside 0.1 s of 20 s.
    assert!(
        (of(400) - 0.1f64.hypot(0.015) / 20.0).abs() < 1e-6,
        "{}",
        of(400)
    );
    assert!(of(400) > 0.1 / 20.0);
}

/// Two times that agree prove nothing: the floor is the hand's own scatter, √(0.01 + 0.01²/12) s.
#[test]
fn agreement_by_chance_has_a_floor() {
    let measured = fill(15.0, &[20.0, 20.0])
        .water_flow(&Instruments::default())
        .unwrap();
    let scatter = measured
        .budget
        .contributions
        .iter()
        .find(|c| c.source == Source::Scatter)
        .unwrap();
    let floor = f64::midpoint(0.01, 0.0001 / 12.0).sqrt() / 20.0;
    assert!((scatter.standard.value - floor).abs() < 1e-9);
    assert_eq!(measured.value.degrees_of_freedom, f64::INFINITY);
}

#[test]
fn one_time_needs_a_word_on_its_scatter() {
    let kit = Instruments::default();
    let water = fill(15.0, &[20.0]);
    let error = water.water_flow(&kit).unwrap_err();
    assert_eq!(
        error,
        Error::OneReading {
            what: Input::WaterTime
        }
    );
    assert_eq!(
        error.to_string(),
        "time of the water: one reading tells nothing of its scatter; repeat it, or state the standard deviation of a single time from earlier repeats"
    );
    assert!(
        water
            .with_repeatability(Time::new::<second>(0.3))
            .water_flow(&kit)
            .is_ok()
    );
    assert_eq!(
        bottle(&[9.0]).air_flow(&kit).unwrap_err(),
        Error::OneReading {
            what: Input::AirTime
        }
    );
    assert_eq!(
        fill(15.0, &[]).water_flow(&kit).unwrap_err(),
        Error::NoReading {
            what: Input::WaterTime
        }
    );
}

/// Following the advice gives what was wanted, or better.
#[test]
fn advice_keeps_its_promise() {
    let kit = Instruments::default();
    let wanted = Ratio::new::<percent>(1.0);
    let quick = fill(15.0, &[6.0]).with_repeatability(Time::new::<second>(0.02));
    let before = quick.water_flow(&kit).unwrap();
    assert_eq!(before.budget.dominant(), Some(Source::Timing));
    assert!(relative(&before) > 0.01);
    let Step::TimeFor { time, now } = before.budget.advice(wanted).unwrap().step else {
        panic!("{}", before.budget.advice(wanted).unwrap());
    };
    let longer = time.value / now.value;
    let after = fill(15.0 * longer, &[6.0 * longer])
        .with_repeatability(Time::new::<second>(0.02))
        .water_flow(&kit)
        .unwrap();
    assert!(relative(&after) <= 0.01, "{}", relative(&after));

    let scattered = [38.0, 42.0, 39.5, 41.0];
    let few = fill(40.0, &scattered).water_flow(&kit).unwrap();
    let Step::Repeat { repeats, now } = few.budget.advice(wanted).unwrap().step else {
        panic!("{}", few.budget.advice(wanted).unwrap());
    };
    assert_eq!(now, 4);
    let many = scattered.repeat(repeats.div_ceil(4));
    let after = fill(40.0, &many).water_flow(&kit).unwrap();
    assert!(relative(&after) <= 0.01, "{}", relative(&after));
    assert!(
        after
            .budget
            .advice(wanted)
            .unwrap()
            .to_string()
            .starts_with("good enough")
    );
}

/// The temperature acts through density and vapour at once, and both lower the mass: at 22 °C 0.34 %
/// and 0.16 % a kelvin, from the reference table behind U022.
#[test]
fn temperature_is_one_input() {
    let half_width = 3.0f64.sqrt(); // so that u = 1 K
    let kit = Instruments::default()
        .with_temperature(TemperatureInterval::new::<kelvin_interval>(half_width));
    let air = DisplacedAir::new(
        liters(6.0),
        seconds(&[12.0, 12.1]),
        celsius(22.0),
        kpa(100.0),
        fresh(22.0),
    );
    let budget = air.air_flow(&kit).unwrap().budget;
    let of = |source| {
        budget
            .contributions
            .iter()
            .find(|c| c.source == source)
            .unwrap()
            .standard
            .value
    };
    // By hand: 1/295.15 + 2645.34 (dln p_v/dT = 0.0608/K) / 97354.66
    let expected = 1.0 / 295.15 + 2645.34 * 0.0608 / 97354.66;
    assert!(
        (of(Source::Temperature) - expected).abs() < 2e-5,
        "{}",
        of(Source::Temperature)
    );
    // 0.1 kPa rectangular: 57.735/97354.66
    assert!((of(Source::Barometer) - 57.735 / 97354.66).abs() < 1e-8);
    // 2 mm rectangular: 997.77 × 9.80665 × 1.1547e-3/97354.66
    assert!((of(Source::Level) - 997.77 * 9.80665 * 1.1547e-3 / 97354.66).abs() < 1e-9);
    assert!(share(&budget, Source::Temperature) > 0.0);
}

/// (u_R/R)² = (u_a/ṁ)² + (u_w/Q)² − 2 r (u_s/t_a)(u_s/t_w), with u_s = 0.1 s.
#[test]
fn one_watch_cancels_in_part() {
    let kit = Instruments::default();
    let water = fill(15.0, &[15.0, 15.2, 14.8]).water_flow(&kit).unwrap();
    let air = bottle(&[12.0, 12.1, 11.9]).air_flow(&kit).unwrap();
    let both = AirToWater::of(&air, &water, &kit).unwrap();
    let covariance = 0.1 / 15.0 * 0.1 / 12.0;
    assert!((both.relative_covariance.value - covariance).abs() < 1e-12);
    let expected = (relative(&air).powi(2) + relative(&water).powi(2) - 2.0 * covariance).sqrt();
    assert!((both.ratio.standard.value / both.ratio.value.value - expected).abs() < 1e-9);
    assert!(
        (both.correlation.value - covariance / relative(&air) / relative(&water)).abs() < 1e-12
    );
    assert!(both.correlation.value > 0.0 && both.correlation.value < 1.0);

    let gauge = MeteredAir {
        volume_rate: VolumeRate::new::<liter_per_minute>(20.0),
        state: AirState::DRY_20_C,
    };
    let metered = AirToWater::of(&gauge.air_flow(&kit).unwrap(), &water, &kit).unwrap();
    assert_eq!(metered.correlation.value, 0.0);
    // 20 L/min of air over 60 L/min of water
    assert!((metered.ratio.value.value - 1.0 / 3.0).abs() < 1e-9);
}

/// One time has the same late hand as many: the covariance is that of the shared part alone.
#[test]
fn one_time_shares_no_more_than_the_late_hand() {
    let kit = Instruments::default();
    let none = Time::new::<second>(0.0);
    let water = fill(15.0, &[15.0])
        .with_repeatability(none)
        .water_flow(&kit)
        .unwrap();
    let air = bottle(&[12.0])
        .with_repeatability(none)
        .air_flow(&kit)
        .unwrap();
    let both = AirToWater::of(&air, &water, &kit).unwrap();
    assert!((both.relative_covariance.value - 0.1 / 15.0 * 0.1 / 12.0).abs() < 1e-12);
}

#[test]
fn a_slip_is_shown_and_kept() {
    let with_slip = fill(15.0, &[15.0, 15.1, 17.4, 14.9])
        .water_flow(&Instruments::default())
        .unwrap();
    let repeats = with_slip.repeats.unwrap();
    assert_eq!(repeats.outliers.len(), 1);
    assert_eq!(
        (repeats.outliers[0].repeat, repeats.outliers[0].time),
        (3, Time::new::<second>(17.4))
    );
    assert_eq!(repeats.times.len(), 4);
    assert!((repeats.mean.value - 15.6).abs() < 1e-12);
}

#[test]
fn what_cannot_be() {
    let kit = Instruments::default();
    let two = [12.0, 12.1];
    let air = |change: fn(&mut DisplacedAir)| {
        let mut bottle = bottle(&two);
        change(&mut bottle);
        bottle.air_flow(&kit).unwrap_err()
    };
    let what = |error: &Error| match error {
        Error::OutOfRange { what, .. }
        | Error::NotFinite { what }
        | Error::Inconsistent { larger: what, .. } => *what,
        other => panic!("{other}"),
    };
    let refused = [
        (
            fill(0.0, &two).water_flow(&kit).unwrap_err(),
            Input::WaterVolume,
        ),
        (
            fill(-1.0, &two).water_flow(&kit).unwrap_err(),
            Input::WaterVolume,
        ),
        (
            fill(f64::NAN, &two).water_flow(&kit).unwrap_err(),
            Input::WaterVolume,
        ),
        (
            fill(15.0, &[12.0, 0.0]).water_flow(&kit).unwrap_err(),
            Input::WaterTime,
        ),
        (
            fill(15.0, &[12.0, -3.0]).water_flow(&kit).unwrap_err(),
            Input::WaterTime,
        ),
        (
            fill(15.0, &[f64::INFINITY]).water_flow(&kit).unwrap_err(),
            Input::WaterTime,
        ),
        (
            fill(15.0, &[12.0])
                .with_repeatability(Time::new::<second>(-1.0))
                .water_flow(&kit)
                .unwrap_err(),
            Input::Repeatability,
        ),
        (
            air(|b| b.volume = Volume::new::<liter>(0.0)),
            Input::BottleVolume,
        ),
        (
            air(|b| b.times[1] = Time::new::<second>(0.0)),
            Input::AirTime,
        ),
        (
            air(|b| b.level_difference = Length::new::<meter>(4.0)),
            Input::BottleLevel,
        ),
        (
            air(|b| b.level_difference = Length::new::<meter>(f64::NAN)),
            Input::BottleLevel,
        ),
        (
            air(|b| b.temperature = celsius(61.0)),
            Input::BottleTemperature,
        ),
        (air(|b| b.barometer = kpa(1000.0)), Input::Barometer),
        // 40 kPa less 29.4 kPa of suction and 19.9 kPa of vapour
        (
            air(|b| {
                b.barometer = kpa(40.0);
                b.level_difference = Length::new::<meter>(3.0);
                b.temperature = celsius(60.0);
            }),
            Input::Barometer,
        ),
        (
            fill(15.0, &two)
                .water_flow(&kit.with_start_reaction(Time::new::<second>(-0.1)))
                .unwrap_err(),
            Input::Instrument,
        ),
        (
            fill(15.0, &two)
                .water_flow(&kit.with_container_calibration(Ratio::new::<ratio>(f64::NAN)))
                .unwrap_err(),
            Input::Instrument,
        ),
        (
            fill(15.0, &two)
                .water_flow(&kit.with_systematic_reaction(Ratio::new::<ratio>(1.1)))
                .unwrap_err(),
            Input::InstrumentShare,
        ),
    ];
    let wrong: Vec<String> = refused
        .iter()
        .filter(|(error, input)| what(error) != *input)
        .map(|(error, input)| format!("{input}: {error}"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
