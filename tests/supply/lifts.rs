//! Lifts on a header, blowers, and the whole plant.

use risewater::air::{AirFlow, AirState, pressure_at_altitude};
use risewater::riser::{Dimensions, Riser, RiserSpec, Site};
use risewater::supply::blower::{Blower, Efficiency, Machine, PowerKind, RatedPoint, Rating};
use risewater::supply::drill::DrillSystem;
use risewater::supply::{
    AirFeed, AirLine, Balancing, Blowers, Branch, Change, Compression, Header, LEVEL_CHANGES_M,
    Manifold, Orifice, Plant,
};
use risewater::units::{
    AbsolutePressure, Length, MassRate, Power, Pressure, Ratio, ThermodynamicTemperature,
    VolumeRate, cubic_meter_per_hour, degree_celsius, kilogram_per_second, kilopascal, meter,
    millimeter, pascal, ratio, watt,
};
use risewater::{Error, Model, Water};

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn kg_s(air: AirFlow) -> f64 {
    air.dry_mass_rate().get::<kilogram_per_second>()
}

fn riser(bore_mm: f64, submergence_m: f64, lift_m: f64) -> Riser {
    let site = Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0)).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    RiserSpec::new(Dimensions {
        bore: mm(bore_mm),
        submergence: m(submergence_m),
        lift: m(lift_m),
    })
    .build(&site, Model::default())
    .unwrap()
}

/// Twelve lifts of two kinds on one header, with a valve each.
fn twelve() -> Manifold {
    let branches = (0..12)
        .map(|i| {
            let line = AirLine::new(mm(16.0), m(2.5)).with_loss(Ratio::new::<ratio>(3.0));
            Branch::new(format!("lift {}", i + 1), m(3.0 + 1.5 * f64::from(i)), line)
        })
        .collect();
    let risers = (0..12)
        .map(|i| {
            if i % 2 == 0 {
                riser(77.9, 1.2, 0.15)
            } else {
                riser(52.5, 1.0, 0.1)
            }
        })
        .collect();
    Manifold::new(
        Header::new(AirLine::new(mm(52.5), m(0.0)), branches),
        risers,
    )
    .unwrap()
}

/// A made-up side-channel blower.
fn blower() -> Blower {
    let point = |kpa: f64, m3_h: f64, w: f64| RatedPoint {
        pressure_rise: Pressure::new::<kilopascal>(kpa),
        inlet_flow: VolumeRate::new::<cubic_meter_per_hour>(m3_h),
        power: Some(Power::new::<watt>(w)),
    };
    Blower::new(Rating {
        points: vec![
            point(24.0, 0.0, 1500.0),
            point(20.0, 60.0, 1250.0),
            point(14.0, 110.0, 1000.0),
            point(0.0, 180.0, 700.0),
        ],
        conditions: AirState::DRY_20_C,
        machine: Machine::Dynamic,
        power_kind: Some(PowerKind::Wire),
    })
    .unwrap()
}

fn plant(blowers: Option<Blowers>) -> Plant {
    let manifold = twelve();
    let design = manifold
        .risers()
        .iter()
        .map(|riser| {
            // A third of the way up the curve.
            let share = riser.peak().unwrap().water_flow * 0.6;
            riser.air_for(share).unwrap().air
        })
        .collect();
    Plant {
        manifold,
        design,
        main: AirLine::new(mm(77.9), m(12.0)).with_loss(Ratio::new::<ratio>(2.5)),
        outside: AirState::DRY_20_C,
        intake_loss: Pressure::new::<kilopascal>(0.5),
        arrival: Some(ThermodynamicTemperature::new::<degree_celsius>(30.0)),
        balancing: Some(Balancing {
            hole: Orifice::new(mm(1.0)),
            least_loss: Pressure::new::<kilopascal>(2.0),
            drills: Some(DrillSystem::Metric),
            tolerance: Ratio::new::<ratio>(0.05),
        }),
        efficiency: Efficiency::WireToAir(Ratio::new::<ratio>(0.35)),
        rise_margin: Ratio::new::<ratio>(0.1),
        blowers,
    }
}

fn with_blowers(running: u32) -> Plant {
    plant(Some(Blowers {
        blower: blower(),
        running,
        standby: 1,
    }))
}

#[test]
fn header_and_risers_agree_with_each_other() {
    let manifold = twelve();
    let running = manifold
        .run(&AirFeed::Pressure(AbsolutePressure::new::<kilopascal>(
            114.5,
        )))
        .unwrap();
    for ((riser, branch), outcome) in manifold
        .risers()
        .iter()
        .zip(&running.split.branches)
        .zip(&running.lifts)
    {
        // Each riser at its branch's air leaves the pressure that the branch was solved against.
        let again = riser.operate(branch.air).unwrap();
        assert_eq!(again.water_flow(), outcome.water_flow());
        let foot = again.point().unwrap().injection_pressure;
        let off = (foot - branch.water_pressure).get::<pascal>();
        assert!(off.abs() < 1e-9 * 114_500.0, "{off:e} Pa");
    }
    let sum: f64 = running.split.branches.iter().map(|b| kg_s(b.air)).sum();
    assert!((sum / kg_s(running.split.air) - 1.0).abs() < 1e-14);
}

#[test]
fn exact_orifices_give_the_design() {
    let plant = plant(None);
    let duty = plant.duty().unwrap();
    let running = duty
        .manifold
        .run(&AirFeed::Pressure(duty.header_pressure))
        .unwrap();
    for (n, share) in plant.shares(&running).iter().enumerate() {
        let off = share.get::<ratio>() - 1.0;
        assert!(off.abs() < 1e-9, "lift {n}: {off:e}");
    }
}

/// A drill within half a step of 0.1 mm at 4 mm is 1.25 % of diameter, 2.5 % of air at most.
#[test]
fn drills_shift_the_air_by_what_their_area_does() {
    let plant = plant(None);
    let duty = plant.duty().unwrap();
    let drilled = plant.drilled(&duty).unwrap().unwrap();
    for ((drill, exact), share) in drilled
        .drills
        .iter()
        .zip(&duty.manifold.header().branches)
        .zip(&drilled.shares)
    {
        let exact = exact.orifice.unwrap().diameter;
        let area = (drill.unwrap().diameter / exact).get::<ratio>().powi(2);
        let share = share.get::<ratio>();
        // Line and riser take some of the error away; the other lifts' drills move the header's pressure by a
        // small part of it.
        assert!(
            (share - 1.0).abs() <= (area - 1.0).abs() + 0.002,
            "{share} {area}"
        );
    }
}

#[test]
fn a_blower_meets_the_system_and_a_bleed_restores_the_design() {
    let plant = with_blowers(2);
    let duty = plant.duty().unwrap();
    let operation = plant.operation(&duty, &duty.manifold).unwrap().unwrap();
    // The intersection lies on the blower's curve and on the system's.
    let discharge = duty
        .main
        .inlet(operation.unbled.split.air, operation.unbled.split.pressure)
        .unwrap()
        .inlet;
    let system = (discharge - duty.intake.pressure).get::<pascal>();
    let curve = operation.unbled_rise.get::<pascal>();
    assert!((system / curve - 1.0).abs() < 1e-8, "{system} {curve}");
    assert!(operation.surplus.is_some() && operation.shortfall.is_none());
    let running = duty
        .manifold
        .run(&AirFeed::Blower {
            curve: &operation.curve,
            main: &duty.main,
            bleed: plant.bleed(&duty, &operation).unwrap(),
        })
        .unwrap();
    for share in plant.shares(&running) {
        assert!((share.get::<ratio>() - 1.0).abs() < 1e-7, "{share:?}");
    }
    // At the speed found there is nothing to bleed.
    let slower = operation.curve.at_speed(operation.speed.unwrap()).unwrap();
    let running = duty
        .manifold
        .run(&AirFeed::Blower {
            curve: &slower,
            main: &duty.main,
            bleed: None,
        })
        .unwrap();
    for share in plant.shares(&running) {
        assert!((share.get::<ratio>() - 1.0).abs() < 1e-7, "{share:?}");
    }
}

#[test]
fn a_fixed_amount_of_air_is_shared_whole() {
    let manifold = twelve();
    let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(0.03)).unwrap();
    let running = manifold.run(&AirFeed::Air(air)).unwrap();
    assert!((kg_s(running.split.air) / 0.03 - 1.0).abs() < 1e-9);
}

/// Through a lift whose outlet is below the water some runs without air, and relieves the foot; where air comes to it the
/// header settles as from rest.
#[test]
fn lifts_that_run_by_themselves_take_air_as_from_rest() {
    let branches = (0..2).map(|n| {
        let line = AirLine::new(mm(16.0), m(2.5));
        Branch::new(format!("lift {n}"), m(2.0 * f64::from(n)), line)
    });
    let manifold = Manifold::new(
        Header::new(AirLine::new(mm(52.5), m(0.0)), branches.collect()),
        vec![riser(77.9, 1.0, -0.1), riser(52.5, 1.0, -0.05)],
    );
    let manifold = manifold.unwrap();
    let none = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(0.0)).unwrap();
    let by_itself = manifold.risers()[0].operate(none).unwrap();
    assert!(by_itself.water_flow().value > 0.0);
    let enough = manifold.startup_pressure().unwrap() + Pressure::new::<kilopascal>(2.0);
    let feed = AirFeed::Pressure(enough);
    let from_rest = manifold.run(&feed).unwrap();
    let from_none = manifold.run_on(&feed, &[none, none]).unwrap();
    for n in 0..2 {
        let [one, other] = [&from_rest, &from_none].map(|run| kg_s(run.split.branches[n].air));
        assert!(
            one > 0.0 && (other / one - 1.0).abs() < 1e-6,
            "{n}: {one} {other}"
        );
    }
}

/// On a falling blower curve as at a fixed pressure.
#[test]
fn closing_a_lift_never_lowers_the_others_air() {
    let plant = with_blowers(2);
    let duty = plant.duty().unwrap();
    let operation = plant.operation(&duty, &duty.manifold).unwrap().unwrap();
    let feed = AirFeed::Blower {
        curve: &operation.curve,
        main: &duty.main,
        bleed: None,
    };
    let before = &operation.unbled;
    for lift in 0..12 {
        let after = duty
            .manifold
            .changed(Change::ValvedOff { lift })
            .unwrap()
            .run(&feed)
            .unwrap();
        for n in (0..12).filter(|n| *n != lift) {
            let (old, new) = (
                kg_s(before.split.branches[n].air),
                kg_s(after.split.branches[n].air),
            );
            assert!(new >= old * (1.0 - 1e-9), "{lift} {n}: {old} {new}");
        }
    }
}

#[test]
fn a_lower_level_draws_air_from_the_others() {
    let plant = plant(None);
    let duty = plant.duty().unwrap();
    let feed = AirFeed::Pressure(duty.header_pressure);
    let before = duty.manifold.run(&feed).unwrap();
    let rises = LEVEL_CHANGES_M.map(m);
    let changes = duty.manifold.usual_changes(&rises);
    let shifts = duty.manifold.shifts(&feed, &before, &changes);
    let mut levels = 0;
    for shift in &shifts {
        let running = shift.running.as_ref().unwrap();
        if let Change::Level { lift, rise } = shift.change {
            let share =
                kg_s(running.split.branches[lift].air) / kg_s(before.split.branches[lift].air);
            assert!(
                (share - 1.0) * rise.get::<meter>() < 0.0,
                "{rise:?}: {share}"
            );
            levels += 1;
        }
    }
    assert!(levels >= 4, "{levels}");
    assert_eq!(shifts.len(), 4 + 2 * 5);
}

#[test]
fn altitude_never_lowers_the_inlet_volume_and_no_power_is_below_the_isothermal() {
    let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(0.02)).unwrap();
    let mut last = 0.0;
    for altitude in [0.0, 500.0, 1000.0, 2000.0, 4000.0] {
        let intake = AirState {
            humidity: Ratio::new::<ratio>(0.5),
            ..AirState::dry(
                ThermodynamicTemperature::new::<degree_celsius>(20.0),
                pressure_at_altitude(m(altitude)).unwrap(),
            )
        };
        let compression =
            Compression::new(air, &intake, Pressure::new::<kilopascal>(16.0)).unwrap();
        let inlet = compression.inlet_flow().get::<cubic_meter_per_hour>();
        assert!(inlet > last);
        last = inlet;
        assert!(compression.adiabatic_power() > compression.isothermal_power());
    }
    let plant = plant(None);
    let duty = plant.duty().unwrap();
    let specification = duty.specification;
    assert!(specification.wire_power.unwrap() > specification.isothermal_power);
    // The air at the feet needs less than what the blower delivers.
    let running = duty
        .manifold
        .run(&AirFeed::Pressure(duty.header_pressure))
        .unwrap();
    let energy = plant
        .energy(specification.wire_power.unwrap(), &running)
        .unwrap();
    assert!(energy.ideal_power < specification.isothermal_power);
    assert!(energy.useful_power < energy.ideal_power);
}

#[test]
fn a_weak_blower_says_by_how_much_it_misses() {
    let mut weak = with_blowers(1);
    let low = Blower::new(Rating {
        points: vec![
            RatedPoint {
                pressure_rise: Pressure::new::<kilopascal>(8.0),
                inlet_flow: VolumeRate::new::<cubic_meter_per_hour>(0.0),
                power: None,
            },
            RatedPoint {
                pressure_rise: Pressure::new::<kilopascal>(1.0),
                inlet_flow: VolumeRate::new::<cubic_meter_per_hour>(300.0),
                power: None,
            },
        ],
        conditions: AirState::DRY_20_C,
        machine: Machine::Dynamic,
        power_kind: None,
    })
    .unwrap();
    weak.blowers.as_mut().unwrap().blower = low;
    let duty = weak.duty().unwrap();
    let error = weak.operation(&duty, &duty.manifold).unwrap_err();
    let Error::BlowerTooWeak { needed, highest } = error else {
        panic!("{error}");
    };
    // 1 m of water and the intake's loss against 8 kPa times the thinner intake air.
    assert!(needed > highest);
    assert!(
        (needed.get::<kilopascal>() - 10.3).abs() < 0.1,
        "{needed:?}"
    );
    assert!((highest.get::<kilopascal>() - 8.0 * 100.825 / 101.325).abs() < 1e-6);
}

#[test]
fn a_blower_too_large_for_its_table_is_told() {
    let mut large = with_blowers(1);
    let short = Blower::new(Rating {
        points: vec![
            RatedPoint {
                pressure_rise: Pressure::new::<kilopascal>(40.0),
                inlet_flow: VolumeRate::new::<cubic_meter_per_hour>(1.0),
                power: None,
            },
            RatedPoint {
                pressure_rise: Pressure::new::<kilopascal>(39.0),
                inlet_flow: VolumeRate::new::<cubic_meter_per_hour>(20.0),
                power: None,
            },
        ],
        conditions: AirState::DRY_20_C,
        machine: Machine::PositiveDisplacement,
        power_kind: None,
    })
    .unwrap();
    large.blowers.as_mut().unwrap().blower = short;
    let duty = large.duty().unwrap();
    let error = large.operation(&duty, &duty.manifold).unwrap_err();
    assert!(matches!(error, Error::BeyondBlower { .. }), "{error}");
}
