//! Days against closed forms, and what follows from them.

use risewater::need::Limits;
use risewater::recirculation::{
    AfterMeal, DayPlan, Feeding, Lasts, Light, Loop, Meal, MealForm, MealHeight, TankLoad, Through,
    Timer,
};
use risewater::units::{minute, ratio};

use super::{
    air, day, demand, filter, g_h, hours, in_g_h, in_hours, in_mg_l, lifts, load, m3, makeup, mg_l,
    monod, part, share_of_pass, surface, tank,
};

fn meals(at: &[(f64, f64)]) -> Vec<Meal> {
    let one = |(at, share): &(f64, f64)| Meal {
        at: hours(*at),
        share: part(*share),
    };
    at.iter().map(one).collect()
}

fn square(length: f64, peak: f64) -> AfterMeal {
    AfterMeal {
        form: MealForm::Square {
            length: hours(length),
        },
        height: MealHeight::PeakOverMean(part(peak)),
    }
}

fn light(on: f64, off: f64, dark_use: f64) -> Light {
    Light {
        on: hours(on),
        off: hours(off),
        dark_use: part(dark_use),
    }
}

/// A load with the carbon dioxide of a respiratory quotient of 0.9.
fn breathing(oxygen: f64, tan: f64) -> TankLoad {
    TankLoad {
        carbon_dioxide: g_h(0.9 * 1.375 * oxygen),
        ..load(oxygen, tan)
    }
}

/// Lowest and highest of a first-order volume between two steady values, 5a: the second lasts the rest of the day.
fn wave(rates: [f64; 2], ends: [f64; 2], first: f64) -> [f64; 2] {
    let (e1, e2) = (
        (-rates[0] * first).exp(),
        (-rates[1] * (24.0 - first)).exp(),
    );
    let end_of_first = (ends[0] * (1.0 - e1) + ends[1] * e1 * (1.0 - e2)) / (1.0 - e1 * e2);
    let end_of_second = (ends[1] * (1.0 - e2) + ends[0] * e2 * (1.0 - e1)) / (1.0 - e1 * e2);
    [end_of_first, end_of_second]
}

/// A tank on twelve lifts, without a filter.
fn one_tank(oxygen: f64) -> Loop {
    Loop::new(
        air(),
        vec![tank(40.0, load(oxygen, 0.0))],
        None,
        vec![lifts(12, 5.0, 0.3, 9.4)],
    )
}

/// Half of the lifts stand for six hours: two time constants, by hand.
#[test]
fn lifts_on_a_timer() {
    let of = one_tank(40.0);
    let timer = Timer {
        group: 0,
        off: 6,
        from: hours(22.0),
        to: hours(4.0),
    };
    let found = day(of
        .day(&DayPlan::new(Feeding::even()).with_timer(timer))
        .unwrap());
    let exchanged = [9.0, 18.0];
    let [low, high] = wave(
        exchanged.map(|qe| qe / 40.0),
        exchanged.map(|qe| 9.4 - 40.0 / qe),
        6.0,
    );
    let (_, least) = found.least_oxygen();
    assert!(
        (in_mg_l(least.value) / low - 1.0).abs() < 1e-9,
        "{least:?} {low}"
    );
    assert!((in_hours(least.at) - 4.0).abs() < 1e-9);
    let at = in_mg_l(found.at(hours(22.0)).unwrap()[0].gases.oxygen);
    assert!((at / high - 1.0).abs() < 1e-9, "{at} {high}");
    let flows: Vec<f64> = found
        .samples
        .iter()
        .map(|one| one.flow.get::<risewater::units::cubic_meter_per_hour>())
        .collect();
    assert!(
        flows
            .iter()
            .all(|q| (q - 30.0).abs() < 1e-9 || (q - 60.0).abs() < 1e-9)
    );
}

/// All lifts stand for an hour: the oxygen falls along a straight line.
#[test]
fn no_water_for_an_hour() {
    let mut film = filter(share_of_pass(0.4), 4.57, 2.0);
    film.volume = m3(4.0);
    let of = Loop::new(
        air(),
        vec![tank(40.0, load(40.0, 5.0))],
        Some(film),
        vec![lifts(12, 5.0, 0.3, 9.4)],
    );
    let timer = Timer {
        group: 0,
        off: 12,
        from: hours(6.0),
        to: hours(7.0),
    };
    let found = day(of
        .day(&DayPlan::new(Feeding::even()).with_timer(timer))
        .unwrap());
    let at = |t: f64| found.at(hours(t)).unwrap()[0];
    let fall = in_mg_l(at(6.0).gases.oxygen) - in_mg_l(at(7.0).gases.oxygen);
    assert!((fall - 1.0).abs() < 1e-8, "{fall}");
    let rise = in_mg_l(at(7.0).tan) - in_mg_l(at(6.0).tan);
    assert!((rise / (5.0 / 40.0) - 1.0).abs() < 1e-8, "{rise}");
}

/// A time constant of weeks does not ask for weeks of days.
#[test]
fn little_new_water_comes_round_soon() {
    for qm in [1.0, 0.1, 0.01] {
        let one = tank(40.0, load(40.0, 6.0)).with_makeup(makeup(qm, 8.0, 0.0));
        let of = Loop::new(air(), vec![one], None, vec![lifts(12, 5.0, 0.3, 9.4)]);
        let feeding = Feeding::new(meals(&[(8.0, 1.0)])).with_ammonia(square(6.0, 2.0));
        let found = day(of.day(&DayPlan::new(feeding)).unwrap());
        // 12 g/h for 6 h, (24 × 6 − 72)/18 = 4 g/h for the rest.
        let [high, low] = wave([qm / 40.0; 2], [12.0 / qm, 4.0 / qm], 6.0);
        let tan = found.tanks[0].most_tan;
        // The periodic state is found to 2e-11 of a day's change over the state; a day changes it by T Q_m/V.
        let tolerance = 1e-9 + 2e-11 / (1.0 - (-24.0 * qm / 40.0_f64).exp());
        assert!(
            (in_mg_l(tan.value) / high - 1.0).abs() < tolerance,
            "{tan:?} {high}"
        );
        assert!((in_hours(tan.at) - 14.0).abs() < 1e-9);
        let at = in_mg_l(found.at(hours(8.0)).unwrap()[0].tan);
        assert!((at / low - 1.0).abs() < tolerance, "{at} {low}");
        println!("{qm} m3/h: {} days", found.days);
        assert!(found.days <= 12, "{}", found.days);
    }
}

/// Four tanks with meals of their own, all linear: the mean of the day is the steady state of the mean.
#[test]
fn the_mean_of_a_linear_day_is_the_steady_state() {
    let one = |n: f64| {
        tank(10.0 + n, breathing(8.0 + n, 1.0 + 0.1 * n))
            .with_share(part(1.0 + 0.3 * n))
            .with_makeup(makeup(0.1 * n, 8.0, 0.1))
            .with_surface(surface(0.3 * n, 9.0))
    };
    let mut film = filter(share_of_pass(0.4), 4.57, 2.0);
    film.volume = m3(3.0);
    let tanks = [1.0, 2.0, 3.0, 4.0].map(one).to_vec();
    let of = Loop::new(air(), tanks, Some(film), vec![lifts(12, 5.0, 0.3, 9.4)]);
    let feeding = |n: f64| {
        let rounded = AfterMeal {
            form: MealForm::Rounded {
                slow: hours(3.0 + n),
                fast: hours(0.5 + 0.2 * n),
            },
            height: MealHeight::ShareOfDay(part(0.4)),
        };
        Feeding::new(meals(&[(6.0 + n, 0.5), (12.0 + n, 0.2), (20.0, 0.3)]))
            .with_ammonia(rounded)
            .with_light(light(5.0 + n, 19.0 - n, 0.7 + 0.1 * n))
    };
    for series in [false, true] {
        let of = if series {
            of.clone().in_series()
        } else {
            of.clone()
        };
        let plan = DayPlan::of_each([1.0, 2.0, 3.0, 4.0].map(feeding).to_vec());
        let found = day(of.day(&plan).unwrap());
        for (n, tank) in found.tanks.iter().enumerate() {
            let steady = found.steady.tanks[n].holds;
            for (mean, steady) in [
                (tank.mean.gases.oxygen, steady.gases.oxygen),
                (tank.mean.gases.carbon_dioxide, steady.gases.carbon_dioxide),
                (tank.mean.gases.nitrogen, steady.gases.nitrogen),
                (tank.mean.tan, steady.tan),
            ] {
                assert!(
                    (mean.value / steady.value - 1.0).abs() < 1e-9,
                    "{mean:?} {steady:?}"
                );
            }
            assert!(tank.least_oxygen.value < steady.gases.oxygen);
            assert!(tank.most_tan.value > steady.tan);
        }
        // It ends as it began.
        let (first, last) = (&found.samples[0], found.samples.last().unwrap());
        assert!((in_hours(last.time) - 24.0).abs() < 1e-9);
        for (a, b) in first.tanks.iter().zip(&last.tanks) {
            let (a, b) = (in_mg_l(a.gases.oxygen), in_mg_l(b.gases.oxygen));
            assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");
        }
        // No moment lies below the least.
        for sample in &found.samples {
            for (holds, tank) in sample.tanks.iter().zip(&found.tanks) {
                assert!(holds.gases.oxygen.value >= tank.least_oxygen.value.value * (1.0 - 1e-9));
            }
        }
        let gaps = found
            .samples
            .windows(2)
            .map(|pair| in_hours(pair[1].time - pair[0].time));
        assert!(gaps.fold(0.0, f64::max) <= 1.0 / 6.0 + 1e-9);
    }
}

/// The default: 1.4 times the mean for half of the time to the next meal, and 4.5 h at most; one meal, twice.
#[test]
fn what_follows_meals_by_default() {
    let peak = |at: &[(f64, f64)]| {
        let of = one_tank(20.0);
        let found = day(of.day(&DayPlan::new(Feeding::new(meals(at)))).unwrap());
        let uptakes = found
            .samples
            .iter()
            .map(|one| in_g_h(one.uptake[0]))
            .fold(0.0, f64::max);
        let (peak, _) = found.tanks[0].peak;
        assert!((uptakes / 20.0 - peak.get::<ratio>()).abs() < 1e-9);
        peak.get::<ratio>()
    };
    assert!((peak(&[(9.0, 1.0)]) - 2.0).abs() < 1e-9);
    assert!((peak(&[(9.0, 0.5), (15.0, 0.5)]) - 1.4).abs() < 1e-9);
    let many: Vec<_> = (0..24).map(|n| (f64::from(n), 1.0 / 24.0)).collect();
    assert!((peak(&many) - 1.4).abs() < 1e-9);
    assert!((peak(&[]) - 1.0).abs() < 1e-9);
}

/// With light and dark a meal still raises the uptake to the peak asked for, in either form; nothing else moves the
/// mean.
#[test]
fn peak_of_a_day_with_light() {
    let rounded = AfterMeal {
        form: MealForm::Rounded {
            slow: hours(3.0),
            fast: hours(1.0),
        },
        height: MealHeight::PeakOverMean(part(1.5)),
    };
    for after in [square(3.0, 1.5), rounded] {
        for dark_use in [0.7, 1.0, 1.21] {
            let feeding = Feeding::new(meals(&[(7.0, 0.4), (12.0, 0.2), (19.0, 0.4)]))
                .with_oxygen(after)
                .with_light(light(6.0, 20.0, dark_use));
            let of = one_tank(20.0);
            let found = day(of.day(&DayPlan::new(feeding)).unwrap());
            let (peak, _) = found.tanks[0].peak;
            assert!((peak.get::<ratio>() - 1.5).abs() < 1e-9, "{peak:?}");
            let steady = found.steady.tanks[0].holds.gases.oxygen;
            let mean = found.tanks[0].mean.gases.oxygen;
            assert!((mean.value / steady.value - 1.0).abs() < 1e-9);
            let uptakes = found.samples.iter().map(|one| in_g_h(one.uptake[0]));
            let highest = uptakes.fold(0.0, f64::max);
            assert!(
                highest <= 30.0 * (1.0 + 1e-9) && highest > 29.9,
                "{highest}"
            );
        }
    }
}

/// Fourteen hours of light without meals, dark use 1.21 times light use: two levels of uptake, by hand.
#[test]
fn light_and_dark_without_meals() {
    let of = one_tank(20.0);
    let feeding = Feeding::even().with_light(light(6.0, 20.0, 1.21));
    let found = day(of.day(&DayPlan::new(feeding)).unwrap());
    let in_light = 20.0 * 24.0 / (14.0 + 1.21 * 10.0);
    // 12 lifts of 5 m³/h that cover 0.3 of the way to 9.4 mg/L; the tank's outflow comes back through them.
    let rate = 12.0 * 5.0 * 0.3 / 40.0;
    let end = |uptake: f64| 9.4 - uptake / (12.0 * 5.0 * 0.3);
    let [high, low] = wave([rate, rate], [end(in_light), end(1.21 * in_light)], 14.0);
    let least = found.tanks[0].least_oxygen;
    assert!((in_mg_l(least.value) - low).abs() < 1e-8, "{least:?} {low}");
    assert!((in_hours(least.at) - 6.0).abs() < 1e-6, "{least:?}");
    let most = found
        .samples
        .iter()
        .map(|one| in_mg_l(one.tanks[0].gases.oxygen))
        .fold(0.0, f64::max);
    assert!((most - high).abs() < 1e-8, "{most} {high}");
}

/// The air stops at the worst hour: the end of the meal's peak has the least oxygen and the most uptake.
#[test]
fn air_stops_at_the_worst_hour() {
    let limits = Limits {
        oxygen: Some(mg_l(5.0)),
        ..Limits::NONE
    };
    let one = tank(40.0, load(20.0, 2.0)).with_limits(limits);
    let two = tank(40.0, load(10.0, 2.0)).with_surface(surface(9.0, 9.0));
    let mut film = filter(monod(30.0, 1.9, Through::Mixed), 4.2, 1.0);
    film.volume = m3(2.0);
    let of = Loop::new(
        air(),
        vec![one, two],
        Some(film),
        vec![lifts(12, 5.0, 0.3, 9.4)],
    );
    let feeding = Feeding::new(meals(&[(8.0, 1.0)])).with_oxygen(square(6.0, 1.6));
    let found = day(of.day(&DayPlan::new(feeding)).unwrap());
    // Only the first has a limit of its own.
    let own = found.air_stops(None, None).unwrap();
    assert_eq!(own.len(), 1);
    let least = found.tanks[0].least_oxygen;
    assert!((in_hours(own[0].from) - 14.0).abs() < 1e-9 && least.at == own[0].from);
    // 40 m³ over 1.6 × 20 g/h
    let expected = 60.0 * 40.0 * (in_mg_l(least.value) - 5.0) / 32.0;
    let Lasts::For(time) = own[0].lasts else {
        panic!("{own:?}")
    };
    assert!(
        (time.get::<minute>() / expected - 1.0).abs() < 1e-9,
        "{time:?} {expected}"
    );
    let survival = found.air_stops(Some(mg_l(3.0)), None).unwrap();
    assert_eq!(survival.len(), 2);
    assert!(survival[0].lasts.seconds() > own[0].lasts.seconds());
    // 9 m³/h × (9 − 3) g/m³ is more than 16 g/h.
    assert_eq!(survival[1].lasts, Lasts::Always);
    // Animals that take less as it falls have longer.
    let easier = found.air_stops(Some(mg_l(3.0)), Some(mg_l(4.0))).unwrap();
    assert!(easier[0].lasts.seconds() > survival[0].lasts.seconds());
    // Above what the tank holds there is nothing to wait for.
    let above = found.air_stops(Some(mg_l(9.0)), None).unwrap();
    assert_eq!(above[0].lasts, Lasts::Not);
}

/// Limits of the day at their worst, each with its moment.
#[test]
fn limits_of_the_day() {
    let limits = Limits {
        oxygen: Some(mg_l(6.0)),
        tan: Some(mg_l(0.5)),
        carbon_dioxide: Some(mg_l(15.0)),
        turnover: Some(risewater::units::Frequency::new::<risewater::units::per_hour>(1.0)),
        ..Limits::NONE
    };
    let one = tank(40.0, breathing(40.0, 6.0))
        .with_limits(limits)
        .with_total_gas_pressure(part(1.03));
    let of = Loop::new(
        air(),
        vec![one],
        Some(demand(5.0)),
        vec![lifts(12, 5.0, 0.3, 9.4)],
    );
    let timer = Timer {
        group: 0,
        off: 6,
        from: hours(2.0),
        to: hours(3.0),
    };
    let plan = DayPlan::new(Feeding::new(meals(&[(8.0, 1.0)]))).with_timer(timer);
    let found = day(of.day(&plan).unwrap());
    assert_eq!(found.tanks[0].limits.len(), 5);
    for (check, _) in &found.tanks[0].limits {
        let expected = match check.what {
            risewater::recirculation::LoopLimit::Oxygen => {
                in_mg_l(found.tanks[0].least_oxygen.value) / 6.0 - 1.0
            }
            risewater::recirculation::LoopLimit::Tan => {
                1.0 - in_mg_l(found.tanks[0].most_tan.value) / 0.5
            }
            // 30 m³/h for 40 m³
            risewater::recirculation::LoopLimit::Turnover => -0.25,
            _ => continue,
        };
        assert!(
            (check.slack.get::<ratio>() - expected).abs() < 1e-9,
            "{check:?} {expected}"
        );
    }
    let governing = found.governing().unwrap();
    let worst = found.tanks[0]
        .limits
        .iter()
        .map(|one| one.0.slack.get::<ratio>());
    assert_eq!(
        governing.1.slack.get::<ratio>(),
        worst.fold(f64::INFINITY, f64::min)
    );
}
