//! Numbers of lifts for a loop, against every number tried and by hand.

use risewater::need::Limits;
use risewater::recirculation::{
    DayOutcome, DayPlan, Feeding, LiftGroup, Loop, LoopChoice, LoopDuty, LoopLimit, LoopSize,
    LoopTank, Meal, MoreLifts, Shortage, SoughtLift, SoughtRiser, TankLoad, Through, Timer,
};
use risewater::riser::{OperatingPoint, Riser};
use risewater::transfer::GasTransfer;
use risewater::units::{Frequency, Power, Ratio, cubic_meter_per_hour, hertz, ratio, watt};
use risewater::{AirFlow, Error};

use super::risers::{risers, terms};
use super::{
    air, filter, g_h, hours, in_g_h, in_mg_l, mg_l, monod, part, share_of_pass, surface, tank,
};

const MOST: u32 = 20;

fn meals() -> DayPlan {
    let meal = |at: f64| Meal {
        at: hours(at),
        share: part(0.5),
    };
    DayPlan::new(Feeding::new(vec![meal(8.0), meal(18.0)]))
}

fn even() -> DayPlan {
    DayPlan::new(Feeding::even())
}

fn limited(oxygen: f64, tan: f64) -> LoopTank {
    let animals = TankLoad {
        oxygen: g_h(oxygen),
        carbon_dioxide: g_h(1.2 * oxygen),
        tan: g_h(tan),
    };
    tank(10.0, animals).with_limits(Limits {
        oxygen: Some(mg_l(5.0)),
        carbon_dioxide: Some(mg_l(15.0)),
        ..Limits::NONE
    })
}

fn duty(tank: LoopTank, plan: DayPlan, riser: &(Riser, OperatingPoint)) -> LoopDuty {
    let of = Loop::new(air(), vec![tank], None, vec![]);
    let mut lift = SoughtRiser::new(riser.0, terms(Some(0.1)));
    lift.air = Some(riser.1.air);
    LoopDuty::new(of, SoughtLift::Riser(Box::new(lift)), plan, MOST)
}

fn sought(duty: &mut LoopDuty) -> &mut SoughtRiser {
    match &mut duty.lift {
        SoughtLift::Riser(lift) => lift,
        _ => panic!("a riser"),
    }
}

fn power(choice: &LoopChoice) -> Power {
    choice.riser.unwrap().power
}

/// Whether each number from 1 holds, by its day.
fn scan(duty: &LoopDuty, point: &OperatingPoint) -> Vec<bool> {
    let SoughtLift::Riser(lift) = &duty.lift else {
        panic!("a riser")
    };
    let one = |lifts| {
        let group = LiftGroup::of_riser("L", lifts, &lift.riser, point, &lift.gas).unwrap();
        let mut of = duty.of.clone();
        of.lifts.push(group);
        let outcome = of.day(&duty.plan).unwrap();
        let day = outcome.day();
        day.is_some_and(|day| day.governing().is_none_or(|one| one.1.holds()))
    };
    (1..=duty.most_lifts).map(one).collect()
}

fn fewest(holds: &[bool]) -> Option<u32> {
    let found = holds.iter().position(|holds| *holds);
    found.map(|at| u32::try_from(at).unwrap() + 1)
}

fn lifts(found: &LoopSize) -> Option<u32> {
    assert!(found.days <= 60, "{}", found.days);
    assert_eq!(found.choices.is_empty(), found.short.is_some());
    found.choices.first().map(|choice| choice.lifts)
}

/// The fewest of all numbers, with meals and a filter, with lifts on a timer, with other lifts there.
#[test]
fn every_number_tried() {
    for riser in risers() {
        let q = riser.1.water_flow.get::<cubic_meter_per_hour>();
        let mut last = Some(0);
        for lifts_worth in [0.6, 2.3, 5.1, 60.0] {
            let mut asked = duty(limited(2.0 * lifts_worth * q, 0.05 * q), meals(), &riser);
            asked.of.filter = Some(filter(monod(q, 1.9, Through::Mixed), 4.2, 0.1 * q));
            let found = asked.size().unwrap();
            let n = fewest(&scan(&asked, &riser.1));
            assert_eq!(lifts(&found), n, "{lifts_worth}");
            // More animals never ask for fewer.
            assert!(n.is_none() || n >= last && last.is_some());
            last = n;
            if let Some(choice) = found.choices.first() {
                assert!(choice.governs.unwrap().check.holds());
                if let Some((fewer, fails)) = choice.fewer {
                    assert!(fewer < choice.lifts && !fails.check.holds());
                }
            } else {
                let short = found.short.unwrap();
                assert!(match short.fails {
                    Some(one) => !one.check.holds(),
                    None => matches!(short.outcome, Some(DayOutcome::Cannot { .. })),
                });
            }
        }
        let mut timed = duty(limited(4.0 * q, 0.0), even(), &riser);
        timed.of.filter = Some(filter(share_of_pass(0.5), 4.2, 0.0));
        let timer = Timer {
            group: 0,
            off: 2,
            from: hours(22.0),
            to: hours(4.0),
        };
        timed.plan = timed.plan.with_timer(timer);
        // Two of the lifts stand: no number below two can be asked for.
        let group =
            |lifts| LiftGroup::of_riser("L", lifts, &riser.0, &riser.1, &terms(Some(0.1))).unwrap();
        let holds = |n: u32| {
            let mut of = timed.of.clone();
            of.lifts.push(group(n));
            let outcome = of.day(&timed.plan).unwrap();
            outcome.day().is_some_and(|day| {
                day.least_oxygen().1.value.value >= 0.0 && day.governing().unwrap().1.holds()
            })
        };
        let by_hand = (2..=MOST).find(|n| holds(*n));
        assert_eq!(lifts(&timed.size().unwrap()), by_hand);
        let mut helped = duty(limited(8.0 * q, 0.0), meals(), &riser);
        let alone = lifts(&helped.size().unwrap());
        helped.of.lifts.push(group(2));
        let beside = lifts(&helped.size().unwrap());
        assert_eq!(alone.map(|n| n.saturating_sub(2)), beside);
    }
}

/// 4a without a filter: C = C* − R/(n q E), so that n is the next whole number above R/(q E (C* − C_lim)).
#[test]
fn one_straight_tank_by_hand() {
    let mut compared = 0;
    for riser in risers() {
        let q = riser.1.water_flow.get::<cubic_meter_per_hour>();
        let out = |oxygen: f64| {
            let mut inlet = super::with_oxygen(oxygen);
            inlet.carbon_dioxide = mg_l(5.0);
            let transfer = GasTransfer {
                coefficient: Frequency::new::<hertz>(0.1),
                diffusion_exponent: part(0.5),
                inlet,
                carbon_dioxide_of_air: risewater::gas::CARBON_DIOXIDE_OF_AIR,
            };
            in_mg_l(riser.0.transfer(&riser.1, &transfer).unwrap().outlet.oxygen)
        };
        let covers = 1.0 - (out(6.0) - out(5.0));
        let end = (out(5.0) - 5.0) / covers + 5.0;
        for uptake in [1.0, 3.0, 7.0] {
            let mut tank = limited(uptake * q, 0.0);
            tank.limits.carbon_dioxide = None;
            let exact = uptake / (covers * (end - 5.0));
            // A hundredth is more than carbon dioxide and nitrogen change of the bubbles.
            if exact > f64::from(MOST) || (exact - exact.round()).abs() < 0.01 * exact {
                continue;
            }
            compared += 1;
            let found = duty(tank, even(), &riser).size().unwrap();
            assert_eq!(lifts(&found).map(f64::from), Some(exact.ceil()), "{exact}");
            let governs = found.choices[0].governs.unwrap();
            assert_eq!(governs.check.what, LoopLimit::Oxygen);
            let c = end - uptake / (exact.ceil() * covers);
            let slack = governs.check.slack.get::<ratio>();
            assert!((slack - (c / 5.0 - 1.0)).abs() < 0.01, "{slack} {c}");
        }
    }
    assert!(compared >= 5, "{compared}");
}

/// Lifts that give less are not fewer.
#[test]
fn the_lower_end_takes_as_many_or_more() {
    for riser in risers() {
        let q = riser.1.water_flow.get::<cubic_meter_per_hour>();
        let mut asked = duty(limited(4.0 * q, 0.0), meals(), &riser);
        asked.most_lifts = 60;
        let predicted = asked.size().unwrap();
        sought(&mut asked).lower_end = true;
        let lower = asked.size().unwrap();
        let (few, many) = (lifts(&predicted).unwrap(), lifts(&lower).unwrap());
        assert!(many > few, "{few} {many}");
        let [a, b] = [&predicted, &lower].map(|found| found.choices[0].group.flow);
        assert!(b < a);
    }
}

/// Total gas pressure grows with the number of lifts: it leaves a range, or none.
#[test]
fn total_gas_pressure_is_the_other_side() {
    for riser in risers() {
        let q = riser.1.water_flow.get::<cubic_meter_per_hour>();
        let mut asked = duty(limited(0.4 * q, 0.0), even(), &riser);
        // So near to saturation that nitrogen from the lifts' depth brings the whole above it.
        asked.of.tanks[0].limits.oxygen = Some(mg_l(8.6));
        asked.of.tanks[0] = asked.of.tanks[0]
            .clone()
            .with_surface(surface(0.2 * q, 9.0));
        let few = lifts(&asked.size().unwrap()).unwrap();
        let unlimited = asked.clone();
        let total = |n: u32| -> Ratio {
            let mut of = unlimited.of.clone();
            let group = LiftGroup::of_riser("L", n, &riser.0, &riser.1, &terms(Some(0.1))).unwrap();
            of.lifts.push(group);
            super::steady(&of).tanks[0].total_gas_pressure.unwrap()
        };
        println!(
            "{few} lifts, total gas pressure {:?}",
            (1..9).map(|n| total(n).value).collect::<Vec<_>>()
        );
        assert!(few >= 2 && total(few + 4) > total(few));
        for (between, at_most) in [(few + 2, Some(few + 2)), (few - 1, None)] {
            let limit = (total(between) + total(between + 1)) / 2.0;
            asked.of.tanks[0].total_gas_pressure = Some(limit);
            let found = asked.size().unwrap();
            let holds = scan(&asked, &riser.1);
            assert_eq!(lifts(&found), fewest(&holds));
            if let Some(most) = at_most {
                assert_eq!(found.choices[0].at_most, Some(most));
                let last = holds.iter().rposition(|one| *one);
                assert_eq!(last, Some(most as usize - 1));
            } else {
                let short = found.short.unwrap();
                assert_eq!(short.more, MoreLifts::TooMuchGas);
                let what = short.fails.unwrap().check.what;
                assert_eq!(what, LoopLimit::TotalGasPressure);
            }
        }
    }
}

/// What no lift mends, and what more would.
#[test]
fn what_no_number_serves() {
    let riser = risers()[0];
    let q = riser.1.water_flow.get::<cubic_meter_per_hour>();
    // The filter takes 1 g/h of the 2 g/h that come.
    let mut asked = duty(limited(q, 2.0), even(), &riser);
    asked.of.filter = Some(filter(monod(1.0, 1.9, Through::Mixed), 4.2, 0.0));
    let short = asked.size().unwrap().short.unwrap();
    let MoreLifts::NoBalance(Shortage::FilterOverloaded { excreted, most }) = short.more else {
        panic!("{:?}", short.more)
    };
    assert!((in_g_h(excreted) - 2.0).abs() < 1e-9 && (in_g_h(most) - 1.0).abs() < 1e-9);
    assert!(matches!(short.outcome, Some(DayOutcome::Cannot { .. })));

    // The filter leaves K P/(A r − P) = 1.9 mg/L however much water passes (3b), and 1.5 is asked for.
    asked.of.filter = Some(filter(monod(4.0, 1.9, Through::Mixed), 4.2, 0.0));
    asked.of.tanks[0].limits.tan = Some(mg_l(1.5));
    let short = asked.size().unwrap().short.unwrap();
    let MoreLifts::MeanFails(one) = short.more else {
        panic!("{:?}", short.more)
    };
    assert_eq!(one.check.what, LoopLimit::Tan);
    assert!((one.check.slack.get::<ratio>() - (1.0 - 1.9 / 1.5)).abs() < 1e-3);

    // More oxygen than the lifts' equilibrium has.
    let mut tank = limited(q, 0.0);
    tank.limits.oxygen = Some(mg_l(14.0));
    let short = duty(tank, even(), &riser).size().unwrap().short.unwrap();
    assert!(matches!(short.more, MoreLifts::MeanFails(one) if one.check.what == LoopLimit::Oxygen));

    // Too many animals for so few lifts.
    let mut asked = duty(limited(4.0 * q, 0.0), even(), &riser);
    let enough = lifts(&asked.size().unwrap()).unwrap();
    asked.most_lifts = enough - 1;
    let short = asked.size().unwrap().short.unwrap();
    assert_eq!(short.more, MoreLifts::AtLeast(enough));
    assert_eq!(short.lifts, enough - 1);

    // Air that lifts no water; a number that cannot be.
    sought(&mut asked).air =
        Some(AirFlow::from_dry_mass(riser.1.air.dry_mass_rate() * 1e-6).unwrap());
    let found = asked.size().unwrap();
    assert!(found.no_water && found.choices.is_empty() && found.short.is_none());
    asked.most_lifts = 0;
    assert!(matches!(asked.size(), Err(Error::OutOfRange { .. })));
}

/// Without a given air: all choices hold, those below the best efficiency come last, each kind by its power, and with
/// 2 % less air the least power's lifts do not do.
#[test]
fn air_that_takes_least_power() {
    for riser in risers() {
        let q = riser.1.water_flow.get::<cubic_meter_per_hour>();
        let mut asked = duty(limited(4.0 * q, 0.0), meals(), &riser);
        sought(&mut asked).air = None;
        let found = asked.size().unwrap();
        lifts(&found).unwrap();
        for pair in found.choices.windows(2) {
            let order = |choice: &LoopChoice| choice.riser.unwrap().below_best;
            let [a, b] = [order(&pair[0]), order(&pair[1])];
            assert!(!a || b);
            assert!(a != b || power(&pair[0]) <= power(&pair[1]));
        }
        for choice in &found.choices {
            let governs = choice.governs.unwrap();
            println!(
                "{} lifts, {:.1} W, {} {:.4}, {} days",
                choice.lifts,
                power(choice).get::<watt>(),
                governs.check.what,
                governs.check.slack.get::<ratio>(),
                found.days
            );
            assert!(governs.check.holds());
        }
        let first = &found.choices[0];
        let best = riser.0.best_efficiency().unwrap().unwrap().air;
        assert!(!first.riser.unwrap().below_best);
        let lean = found
            .choices
            .iter()
            .find(|choice| choice.riser.unwrap().below_best);
        if let Some(lean) = lean {
            let less = lean.riser.unwrap().point.air.dry_mass_rate() * 0.98;
            sought(&mut asked).air = Some(AirFlow::from_dry_mass(less).unwrap());
            asked.most_lifts = lean.lifts;
            assert!(asked.size().unwrap().choices.is_empty(), "{lean:?}");
        }
        // At the best efficiency by itself.
        asked.most_lifts = MOST;
        sought(&mut asked).air = Some(best);
        let given = asked.size().unwrap();
        if let Some(given) = given.choices.first() {
            assert!(power(first) <= power(given));
        }
    }
}
