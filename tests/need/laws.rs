//! What must hold of any tank.

use proptest::prelude::*;
use risewater::need::{
    Coefficients, Entering, EnteringOxygen, Feed, Inlet, Installed, Limits, Line, Makeup, Room,
    RoomTank, Tank,
};
use risewater::units::{
    Frequency, MassRate, SpecificOxygenUse, Volume, VolumeRate, cubic_meter, kilogram_per_day,
    liter_per_minute, milligram_per_kilogram_hour, per_hour,
};

use crate::gases::gases;
use crate::{flow, kg, liters, mg_l, need, part, share, tank};

/// Every way in which water enters, with and without makeup.
fn inlets() -> Vec<Inlet> {
    let known = Inlet::default();
    let treated = Inlet {
        oxygen: EnteringOxygen::Reaerated(part(0.6)),
        tan: Entering::Treated(part(0.5)),
        carbon_dioxide: Entering::Treated(part(0.4)),
        makeup: None,
    };
    let makeup = Some(Makeup {
        flow: liters(5.0),
        oxygen: mg_l(3.0),
        tan: mg_l(0.1),
        carbon_dioxide: mg_l(30.0),
    });
    vec![
        known,
        treated,
        Inlet { makeup, ..known },
        Inlet { makeup, ..treated },
    ]
}

fn limits() -> Limits {
    Limits {
        turnover: Some(Frequency::new::<per_hour>(0.7)),
        ..Limits::WARM_WATER
    }
}

fn in_all_ways() -> Vec<Tank> {
    let tanks = inlets().into_iter().map(|inlet| {
        let mut tank = tank(limits());
        tank.inlet = inlet;
        tank.volume = Some(Volume::new::<cubic_meter>(5.0));
        tank
    });
    tanks.collect()
}

#[test]
fn no_animals_need_no_water() {
    for mut tank in in_all_ways() {
        tank.animals.biomass = kg(0.0);
        let need = need(&tank).unwrap();
        assert_eq!(need.flow(), liters(0.0));
        assert_eq!(need.governing(), None);
        assert!(need.requirements.iter().all(|one| one.flow == liters(0.0)));
        assert_eq!(need.requirements.len(), Line::ALL.len());
    }
}

#[test]
fn each_balance_closes() {
    for tank in in_all_ways() {
        let mut closed = Vec::new();
        for one in need(&tank).unwrap().requirements {
            let Some(balance) = one.balance else { continue };
            // Oxygen comes in with the water and is used; what the animals give off goes out with it.
            let carried = match one.line {
                Line::Oxygen => balance.entering - balance.tank,
                _ => balance.tank - balance.entering,
            };
            let carried: MassRate = one.flow * carried;
            let carried =
                carried.get::<kilogram_per_day>() + balance.by_makeup.get::<kilogram_per_day>();
            let load = balance.load.get::<kilogram_per_day>();
            assert!((carried / load - 1.0).abs() < 1e-12, "{:?}", one.line);
            assert!(one.flow > liters(0.0), "{:?}", one.line);
            closed.push(one.line);
        }
        assert_eq!(closed, [Line::Oxygen, Line::Ammonia, Line::CarbonDioxide]);
    }
}

/// P = E Q (C − C_a): 1.375 kg/d/1.44 is 954.861 L/min mg/L, over 0.4 × (20 − 0.5).
#[test]
fn degassing_by_hand() {
    let mut tank = tank(Limits {
        carbon_dioxide: Some(mg_l(20.0)),
        ..Limits::NONE
    });
    tank.inlet.carbon_dioxide = Entering::Treated(part(0.4));
    let of = |of_air: f64| {
        let mut gases = gases(&tank.water).unwrap();
        gases.carbon_dioxide_of_air = mg_l(of_air);
        tank.need(&gases).unwrap().flow().get::<liter_per_minute>()
    };
    assert!((of(0.5) - 122.418_091).abs() < 1e-6);
    // Without carbon dioxide in the air it is P/(E C).
    assert!((of(0.0) - 119.357_639).abs() < 1e-6);
}

/// P = Q_m (C − C_m) + E Q_r C, by the numbers of one example.
#[test]
fn partial_reuse_by_hand() {
    let mut tank = tank(Limits {
        tan: Some(mg_l(2.0)),
        ..Limits::NONE
    });
    tank.inlet = inlets()[3];
    // 77.28 g/d/1.44 = 53.667 L/min mg/L; the makeup carries 5 × 1.9 = 9.5; 44.1667/(0.5 × 2)
    assert!((flow(&tank) - 44.166_666_7).abs() < 1e-6);
}

#[test]
fn makeup_that_carries_all_leaves_nothing_to_return() {
    let mut tank = tank(Limits {
        tan: Some(mg_l(2.0)),
        ..Limits::NONE
    });
    tank.inlet = inlets()[3];
    tank.inlet.makeup.as_mut().unwrap().flow = liters(1000.0);
    let need = need(&tank).unwrap();
    assert_eq!(need.flow(), liters(0.0));
    assert_eq!(need.governing(), None);
}

#[test]
fn the_largest_flow_governs() {
    for tank in in_all_ways() {
        let need = need(&tank).unwrap();
        let largest = need.governing().and_then(|line| need.line(line)).unwrap();
        assert_eq!(largest.flow, need.flow());
        assert!(need.requirements.iter().all(|one| one.flow <= need.flow()));
    }
}

#[test]
fn flows_of_tanks_add_up() {
    let tanks = in_all_ways();
    let room = Room {
        tanks: tanks
            .iter()
            .map(|tank| RoomTank {
                name: String::new(),
                tank: *tank,
                cycle: None,
            })
            .collect(),
    };
    let together = room.need(gases).unwrap();
    let sum: f64 = tanks.iter().map(flow).sum();
    assert!((together.flow().get::<liter_per_minute>() / sum - 1.0).abs() < 1e-12);
    for (tank, one) in tanks.iter().zip(&together.tanks) {
        assert_eq!(one.need, need(tank).unwrap());
    }
}

#[test]
fn animals_without_feed_still_breathe_when_told_so() {
    let mut fasting = tank(Limits::WARM_WATER);
    fasting.animals.feed = share(0.0);
    assert_eq!(flow(&fasting), 0.0);
    fasting.coefficients = Coefficients {
        least_oxygen_use: Some(SpecificOxygenUse::new::<milligram_per_kilogram_hour>(100.0)),
        ..Coefficients::default()
    };
    let need = need(&fasting).unwrap();
    // 100 mg/(kg h) × 100 kg × 24 h
    assert!((need.load.oxygen.get::<kilogram_per_day>() - 0.24).abs() < 1e-12);
    assert_eq!(need.governing(), Some(Line::Oxygen));
}

#[test]
fn feed_as_a_mass_is_the_same_feed() {
    let by_share = tank(Limits::WARM_WATER);
    let mut by_mass = by_share;
    by_mass.animals.feed = Feed::Mass(MassRate::new::<kilogram_per_day>(2.0));
    assert!((flow(&by_mass) / flow(&by_share) - 1.0).abs() < 1e-12);
}

proptest! {
    #[test]
    fn more_animals_never_need_less(way in 0..4_usize, some in 0.0..1e4_f64, more in 0.0..1e4_f64) {
        let mut few = in_all_ways()[way];
        let mut many = few;
        few.animals.biomass = kg(some);
        many.animals.biomass = kg(some + more);
        prop_assert!(flow(&many) >= flow(&few));
    }

    #[test]
    fn a_tighter_limit_never_needs_less(way in 0..4_usize, part in 0.0..0.9_f64) {
        let loose = in_all_ways()[way];
        let mut tight = loose;
        tight.limits.oxygen = Some(mg_l(5.0 + 2.4 * part));
        tight.limits.tan = Some(mg_l(2.0 - 1.9 * part));
        tight.limits.ammonia = Some(mg_l(0.025 - 0.024 * part));
        tight.limits.carbon_dioxide = Some(mg_l(20.0 - 18.0 * part));
        tight.limits.turnover = Some(Frequency::new::<per_hour>(0.7 + part));
        let (loose, tight) = (need(&loose).unwrap(), need(&tight).unwrap());
        for (loose, tight) in loose.requirements.iter().zip(&tight.requirements) {
            prop_assert!(tight.flow >= loose.flow, "{:?}", tight.line);
        }
    }

    #[test]
    fn the_lifts_that_run_are_the_fewest(
        flows in prop::collection::vec(1.0..200.0_f64, 1..20),
        need in 0.0..3000.0_f64,
    ) {
        let lifts = Installed::Each(flows.iter().map(|flow| liters(*flow)).collect());
        let running = lifts.running(liters(need)).unwrap();
        let sum = |lifts: usize| flows.iter().take(lifts).sum::<f64>();
        if running.missing == liters(0.0) {
            prop_assert!(sum(running.lifts) >= need * (1.0 - 1e-8));
            prop_assert!(running.lifts == 0 || sum(running.lifts - 1) < need);
        } else {
            prop_assert_eq!(running.lifts, flows.len());
            let missing = running.missing.get::<liter_per_minute>();
            prop_assert!((need - sum(running.lifts) - missing).abs() < 1e-9);
        }
    }

    #[test]
    fn lifts_alike_are_as_many_in_a_list(one in 1.0..200.0_f64, need in 0.0..3000.0_f64, count in 1..40_u32) {
        let alike = Installed::Alike { flow: liters(one), count: Some(count) };
        let each = Installed::Each(vec![liters(one); count as usize]);
        let (alike, each) = (alike.running(liters(need)).unwrap(), each.running(liters(need)).unwrap());
        prop_assert_eq!(alike.lifts, each.lifts);
        let close = |a: VolumeRate, b: VolumeRate| (a - b).get::<liter_per_minute>().abs() < 1e-6;
        prop_assert!(close(alike.flow, each.flow) && close(alike.missing, each.missing));
    }
}
