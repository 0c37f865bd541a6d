//! Aeration tests made up without noise, and those that cannot tell.

use risewater::Error;
use risewater::error::AerationError;
use risewater::gas::aeration::{AerationTest, Reading, Reaeration};
use risewater::units::{
    Ratio, Time, Volume, cubic_meter, kilogram_per_hour, milligram_per_liter, minute, per_hour,
    percent, ratio,
};

use crate::{fresh, mg_per_l};

/// C* 9 mg/L, C₀ 1 mg/L and kLa 6/h (1/k = 10 min), read to so many decimals at times in minutes.
fn readings(minutes: impl IntoIterator<Item = f64>, decimals: i32) -> Vec<Reading> {
    let unit = 10f64.powi(decimals);
    let read = |t: f64| {
        let c: f64 = 9.0 - 8.0 * (-0.1 * t).exp();
        Reading {
            time: Time::new::<minute>(t),
            oxygen: mg_per_l((unit * c).round() / unit),
        }
    };
    minutes.into_iter().map(read).collect()
}

fn every(step: f64, count: i32) -> impl Iterator<Item = f64> {
    (0..count).map(move |n| step * f64::from(n))
}

fn fault(readings: &[Reading]) -> AerationError {
    match Reaeration::of(readings) {
        Err(Error::Aeration(fault)) => fault,
        other => panic!("{other:?}"),
    }
}

#[test]
fn without_noise_the_parameters_come_back() {
    for (step, count) in [(1.0, 12), (0.5, 200), (5.0, 12), (13.0, 6)] {
        // The start is that of the first reading, wherever the clock stands; the order does not matter.
        let mut read = readings(every(step, count), 12);
        for one in &mut read {
            one.time += Time::new::<minute>(7.0);
        }
        read.reverse();
        let fit = Reaeration::of(&read).unwrap();
        let near = |got: f64, expected: f64| {
            assert!(
                (got / expected - 1.0).abs() < 1e-9,
                "{step}: {got}, not {expected}"
            );
        };
        near(fit.coefficient.value.get::<per_hour>(), 6.0);
        near(fit.saturation.value.get::<milligram_per_liter>(), 9.0);
        near(fit.start.value.get::<milligram_per_liter>(), 1.0);
        near(fit.span.get::<minute>(), step * f64::from(count - 1));
        let after = fit.oxygen_at(Time::new::<minute>(10.0));
        near(
            after.get::<milligram_per_liter>(),
            9.0 - 8.0 * (-1.0_f64).exp(),
        );
    }
}

/// Readings in other units of time and oxygen give the same test in those.
#[test]
fn scales_do_not_matter() {
    let read = readings(every(1.0, 30), 2);
    let fit = Reaeration::of(&read).unwrap();
    let slow: Vec<Reading> = read
        .iter()
        .map(|one| Reading {
            time: one.time * 1000.0,
            oxygen: one.oxygen * 0.01,
        })
        .collect();
    let scaled = Reaeration::of(&slow).unwrap();
    let near = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-6, "{a}, {b}");
    near(
        1000.0 * scaled.coefficient.value.get::<per_hour>(),
        fit.coefficient.value.get::<per_hour>(),
    );
    near(
        1000.0 * scaled.coefficient.standard.get::<per_hour>(),
        fit.coefficient.standard.get::<per_hour>(),
    );
    near(
        100.0 * scaled.saturation.standard.get::<milligram_per_liter>(),
        fit.saturation.standard.get::<milligram_per_liter>(),
    );
}

#[test]
fn too_few() {
    assert_eq!(
        fault(&readings(every(5.0, 5), 2)),
        AerationError::TooFewReadings {
            times: 5,
            needed: 6
        }
    );
    // Many readings at five times are five times.
    let five: Vec<Reading> = std::iter::repeat_n(readings(every(5.0, 5), 2), 10)
        .flatten()
        .collect();
    assert_eq!(
        fault(&five).to_string(),
        "5 reading(s) at different times cannot determine three parameters: at least 6 are needed"
    );
    assert_eq!(
        fault(&[]),
        AerationError::TooFewReadings {
            times: 0,
            needed: 6
        }
    );
}

#[test]
fn no_rise() {
    // All the same; falling; an oxygen that only scatters.
    let flat = readings(every(1.0, 30).map(|t| t + 300.0), 2);
    let falling: Vec<Reading> = readings(every(1.0, 30), 2)
        .into_iter()
        .map(|one| Reading {
            time: one.time,
            oxygen: mg_per_l(20.0) - one.oxygen,
        })
        .collect();
    let mut scattering = flat.clone();
    for (n, one) in scattering.iter_mut().enumerate() {
        one.oxygen += mg_per_l([0.03, -0.02, 0.0, 0.01, -0.03, 0.02, -0.01][n % 7]);
    }
    for read in [flat, falling, scattering] {
        let fault = fault(&read);
        assert!(
            matches!(
                fault,
                AerationError::NoRise { .. } | AerationError::Undetermined { .. }
            ),
            "{fault}"
        );
        println!("{fault}");
    }
}

#[test]
fn too_short() {
    let fault = fault(&readings(every(0.25, 33), 4));
    let AerationError::TooShort {
        span,
        time_constant,
    } = fault
    else {
        panic!("{fault}")
    };
    assert_eq!(span.get::<minute>(), 8.0);
    // Read to 1e-4 mg/L, the curve tells 1/k = 10 min.
    assert!((time_constant.get::<minute>() - 10.0).abs() < 0.2);
    assert!(
        fault
            .to_string()
            .starts_with("the readings span 8.00 min and 1/kLa is some 10")
    );
}

/// A straight rise has no end that could be told.
#[test]
fn straight() {
    let read: Vec<Reading> = (0..30)
        .map(|n| Reading {
            time: Time::new::<minute>(f64::from(n)),
            oxygen: mg_per_l(1.0 + 0.1 * f64::from(n)),
        })
        .collect();
    let fault = fault(&read);
    assert!(matches!(fault, AerationError::TooShort { .. }), "{fault}");
}

/// Oxygen that is up before the second reading, or the third: read to 0.01 mg/L all of it lies on some curve.
#[test]
fn read_too_seldom() {
    for (step, times) in [(200.0, 0), (40.0, 0), (15.0, 2)] {
        let fault = fault(&readings(every(step, 10), 2));
        let AerationError::TooSeldom {
            times: found,
            needed: 3,
            ..
        } = fault
        else {
            panic!("{step}: {fault}")
        };
        assert!(found <= times.max(1), "{step}: {fault}");
    }
    let words = fault(&readings(every(15.0, 10), 4)).to_string();
    assert_eq!(
        words,
        "2 reading(s) after the first are within four times 1/kLa, some 10.00 min by these readings: at least 3 are needed to find kLa; read more often"
    );
}

/// Three parameters from readings that scatter nearly as much as they rise.
#[test]
fn an_interval_that_reaches_zero() {
    let mut read = readings(every(4.0, 8), 2);
    for (n, one) in read.iter_mut().enumerate() {
        one.oxygen += mg_per_l([1.5, -1.0, 1.2, -1.6, 0.8, 1.3, -1.4, 0.9][n]);
    }
    let fault = fault(&read);
    assert!(
        matches!(
            fault,
            AerationError::Undetermined {
                parameter: "kLa",
                unit: "1/h",
                low,
                high,
            } if low < 0.0 && high > 0.0
        ),
        "{fault}"
    );
}

#[test]
fn probes_are_averaged_and_named() {
    let test =
        |probes| AerationTest::new(Volume::new::<cubic_meter>(2.0), fresh(20.0, 1.0), probes);
    let good = readings(every(1.0, 30), 2);
    // The second probe reads 5 % high: SOTR does so too.
    let high: Vec<Reading> = good
        .iter()
        .map(|one| Reading {
            time: one.time,
            oxygen: one.oxygen * 1.05,
        })
        .collect();
    let standard = test(vec![good.clone(), high]).reduce().unwrap();
    let rates: Vec<f64> = standard
        .probes
        .iter()
        .map(|probe| probe.rate.value.get::<kilogram_per_hour>())
        .collect();
    // 2 m³ × 6/h × 9 mg/L at 20 °C, where nothing is corrected.
    assert!((rates[0] / 0.108 - 1.0).abs() < 2e-3, "{rates:?}");
    assert!((rates[1] / rates[0] - 1.05).abs() < 1e-6);
    let mean = standard.rate.value.get::<kilogram_per_hour>();
    assert!((2.0 * mean / (rates[0] + rates[1]) - 1.0).abs() < 1e-12);
    // Two values 5 % apart: 5/√2 % of 1.025.
    let spread = standard.spread.unwrap().get::<ratio>();
    assert!((spread - 0.05 / 2f64.sqrt() / 1.025).abs() < 1e-6);
    let (low, high) = standard.rate.interval(Ratio::new::<percent>(95.0)).unwrap();
    assert!(low < standard.rate.value && standard.rate.value < high);

    assert!(test(vec![good.clone()]).reduce().unwrap().spread.is_none());
    let short = good[..4].to_vec();
    assert_eq!(
        test(vec![good, short]).reduce().unwrap_err().to_string(),
        "probe 2: 4 reading(s) at different times cannot determine three parameters: at least 6 are needed"
    );
    assert_eq!(
        test(Vec::new()).reduce().unwrap_err().to_string(),
        "number of probes is 0; it must lie in 1 to 1000"
    );
}

#[test]
fn readings_that_cannot_be() {
    let mut read = readings(every(1.0, 30), 2);
    read[3].oxygen = mg_per_l(f64::NAN);
    assert_eq!(
        Reaeration::of(&read).unwrap_err().to_string(),
        "dissolved oxygen is not a finite number"
    );
    read[3].oxygen = mg_per_l(9000.0);
    assert_eq!(
        Reaeration::of(&read).unwrap_err().to_string(),
        "dissolved oxygen is 9000 mg/L; it must lie in -1 to 100 mg/L"
    );
}
