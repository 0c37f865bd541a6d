//! A riser's transfer coefficient from an aeration test of it in a tank: there and back.

use risewater::error::AerationError;
use risewater::gas::aeration::{Reading, Reaeration};
use risewater::gas::{CARBON_DIOXIDE_OF_AIR, Conditions, Dissolved};
use risewater::riser::{Dimensions, OperatingPoint, Riser, RiserSpec, Site};
use risewater::transfer::{GasTransfer, TankTest};
use risewater::units::{
    AbsolutePressure, Frequency, Length, MassConcentration, Ratio, ThermodynamicTemperature, Time,
    Volume, VolumeRate, cubic_meter, degree_celsius, hertz, kilogram_per_second, liter_per_minute,
    meter, milligram_per_liter, per_hour, ratio, second,
};
use risewater::{AirFlow, AirState, Error, Model, Water};

const TANK_M3: f64 = 2.0;

fn riser(submergence: f64, air: f64) -> (Riser, OperatingPoint) {
    let site = Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0)).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    let m = Length::new::<meter>;
    let riser = RiserSpec::new(Dimensions {
        bore: m(0.0762),
        submergence: m(submergence),
        lift: m(0.1),
    })
    .build(&site, Model::default())
    .unwrap();
    let air = VolumeRate::new::<liter_per_minute>(air);
    let air = AirFlow::at(air, &AirState::DRY_20_C).unwrap();
    let point = *riser.operate(air).unwrap().point().unwrap();
    (riser, point)
}

/// Oxygen that the riser adds, kg/s, and the water's stay, s, at oxygen in mg/L.
fn added(riser: &Riser, point: &OperatingPoint, k: f64, oxygen: f64) -> (f64, f64) {
    let air = Conditions::of(&riser.site().water, riser.site().atmosphere);
    let inlet = Dissolved {
        oxygen: MassConcentration::new::<milligram_per_liter>(oxygen),
        ..Dissolved::saturated(&air).unwrap()
    };
    let transfer = GasTransfer {
        coefficient: Frequency::new::<hertz>(k),
        diffusion_exponent: Ratio::new::<ratio>(0.5),
        inlet,
        carbon_dioxide_of_air: CARBON_DIOXIDE_OF_AIR,
    };
    let found = riser.transfer(point, &transfer).unwrap();
    (
        found.oxygen_added.get::<kilogram_per_second>(),
        found.water_time.get::<second>(),
    )
}

/// Readings of a tank whose water goes through the riser: V dC/dt = oxygen added at C, by Runge and Kutta's
/// fourth-order step, until some 98 % of the rise.
fn simulate(riser: &Riser, point: &OperatingPoint, k: f64) -> Vec<Reading> {
    let slope = |c: f64| 1e3 * added(riser, point, k, c).0 / TANK_M3;
    // The rate at no oxygen would bring 9 mg/L in this time; forty readings over four times it.
    let dt = 4.0 * 9.0 / slope(0.0) / 40.0;
    let mut c = 0.0;
    (0..40)
        .map(|n| {
            let reading = Reading {
                time: Time::new::<second>(dt * f64::from(n)),
                oxygen: MassConcentration::new::<milligram_per_liter>(c),
            };
            let a = slope(c);
            let b = slope(c + 0.5 * dt * a);
            let d = slope(c + 0.5 * dt * b);
            c += dt / 6.0 * (a + 2.0 * b + 2.0 * d + slope(c + dt * d));
            reading
        })
        .collect()
}

/// The fit takes the riser's gain for a straight line in C. Its slope lies between the least and the largest
/// slope of the true curve, −d(added)/dC over the readings, and so does that of the chord from the share to
/// the end: the rates differ by no more than those two do. k differs by that times d ln k/d ln(rate), which is
/// (eᶻ − 1)/z with z = k times the stay, for rate ∝ 1 − e⁻ᶻ.
#[test]
fn the_coefficient_comes_back() {
    for (submergence, air) in [(1.0, 100.0), (2.5, 250.0)] {
        let (riser, point) = riser(submergence, air);
        for k in [0.005, 0.05, 0.3] {
            let readings = simulate(&riser, &point, k);
            let fit = Reaeration::of(&readings).unwrap();
            let test = TankTest {
                volume: Volume::new::<cubic_meter>(TANK_M3),
                coefficient: fit.coefficient.value,
                saturation: fit.saturation.value,
            };
            let last = readings.last().unwrap().oxygen.get::<milligram_per_liter>();
            let oxygen = |n: u32| last * f64::from(n) / 12.0;
            let slopes: Vec<f64> = (0..12)
                .map(|n| {
                    let here = added(&riser, &point, k, oxygen(n)).0;
                    (here - added(&riser, &point, k, oxygen(n + 1)).0) / (last / 12.0)
                })
                .collect();
            let most = slopes.iter().copied().fold(0.0, f64::max);
            let least = slopes.iter().copied().fold(f64::INFINITY, f64::min);
            let z = k * added(&riser, &point, k, 0.0).1;
            let tolerance = (most / least - 1.0) * z.exp_m1() / z;
            // A bound that allows anything would be none.
            assert!(tolerance < 0.25, "{k}: {tolerance}");
            for share in [0.2, 0.5, 0.8] {
                let found = riser
                    .coefficient_of_test(&point, &test, Ratio::new::<ratio>(share))
                    .unwrap()
                    .get::<hertz>();
                assert!(
                    (found / k - 1.0).abs() <= tolerance.max(1e-6),
                    "{submergence} m, {share}: {found} for {k}, within {tolerance}"
                );
            }
        }
    }
}

/// A tank that gains more than water in equilibrium with the air would bring was aerated by something else.
#[test]
fn more_than_equilibrium_is_refused() {
    let (riser, point) = riser(1.0, 100.0);
    let test = |per_h: f64| TankTest {
        volume: Volume::new::<cubic_meter>(TANK_M3),
        coefficient: Frequency::new::<per_hour>(per_h),
        saturation: MassConcentration::new::<milligram_per_liter>(9.1),
    };
    let half = Ratio::new::<ratio>(0.5);
    let error = riser
        .coefficient_of_test(&point, &test(100.0), half)
        .unwrap_err();
    let Error::Aeration(AerationError::BeyondEquilibrium { rate, most }) = error else {
        panic!("{error}");
    };
    // 2 m³ × 100/h × 4.55 mg/L
    assert!((rate.get::<kilogram_per_second>() * 3600.0 - 0.91).abs() < 1e-9);
    assert!(most.value > 0.0 && most < rate);
    for (per_h, share) in [(f64::NAN, 0.5), (-1.0, 0.5), (1.0, 0.95), (1.0, f64::NAN)] {
        let share = Ratio::new::<ratio>(share);
        assert!(
            riser
                .coefficient_of_test(&point, &test(per_h), share)
                .is_err()
        );
    }
}

/// No transfer found is no transfer in the riser.
#[test]
fn nothing_gives_nothing() {
    let (riser, point) = riser(1.0, 100.0);
    let test = TankTest {
        volume: Volume::new::<cubic_meter>(TANK_M3),
        coefficient: Frequency::new::<hertz>(0.0),
        saturation: MassConcentration::new::<milligram_per_liter>(9.1),
    };
    let found = riser.coefficient_of_test(&point, &test, Ratio::new::<ratio>(0.5));
    assert_eq!(found.unwrap().get::<hertz>().to_bits(), 0);
}
