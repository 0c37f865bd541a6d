//! Gas transfer in running risers: what holds for any of them.

use risewater::gas::{
    CARBON_DIOXIDE_OF_AIR, Conditions, Dissolved, Gas, Solubility, saturation, total_gas_pressure,
};
use risewater::riser::{Dimensions, OperatingPoint, Outlet, Riser, RiserSpec, Site};
use risewater::transfer::{GasTransfer, Transferred};
use risewater::units::{
    AbsolutePressure, Frequency, Length, MassConcentration, Ratio, ThermodynamicTemperature,
    VolumeRate, degree_celsius, hertz, kilogram_per_second, liter_per_minute, meter,
    milligram_per_liter, millimeter, per_mille, ratio, second,
};
use risewater::{AirFlow, AirState, Model, Water};

const COEFFICIENTS: [f64; 8] = [0.0, 1e-3, 0.02, 0.1, 1.0, 30.0, 1e3, 1e6];

/// Risers of a hatchery and of a deep tank, with the air they are given.
fn risers() -> Vec<(Riser, OperatingPoint)> {
    let mut all = Vec::new();
    for (bore, submergence, lift, air, t, s) in [
        (52.0, 0.6, 0.1, 40.0, 8.0, 0.0),
        (76.2, 1.0, 0.1, 100.0, 20.0, 0.0),
        (100.0, 2.5, 0.3, 400.0, 28.0, 35.0),
        (76.2, 10.0, 1.0, 300.0, 12.0, 10.0),
    ] {
        let site = Site {
            water: Water::new(
                ThermodynamicTemperature::new::<degree_celsius>(t),
                Ratio::new::<per_mille>(s),
            )
            .unwrap(),
            atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
        };
        let riser = RiserSpec::new(Dimensions {
            bore: Length::new::<millimeter>(bore),
            submergence: Length::new::<meter>(submergence),
            lift: Length::new::<meter>(lift),
        })
        .build(&site, Model::default())
        .unwrap();
        let air = VolumeRate::new::<liter_per_minute>(air);
        let air = AirFlow::at(air, &AirState::DRY_20_C).unwrap();
        let point = *riser.operate(air).unwrap().point().unwrap();
        all.push((riser, point));
    }
    all
}

/// Water of a stocked tank: half the oxygen of the air's, nitrogen and argon of the air, much carbon dioxide.
fn tank(riser: &Riser) -> Dissolved {
    let air = Conditions::of(&riser.site().water, riser.site().atmosphere);
    let saturated = Dissolved::saturated(&air).unwrap();
    Dissolved {
        oxygen: saturated.oxygen * 0.5,
        carbon_dioxide: MassConcentration::new::<milligram_per_liter>(18.0),
        ..saturated
    }
}

fn run(riser: &Riser, point: &OperatingPoint, coefficient: f64) -> Transferred {
    let transfer = GasTransfer {
        coefficient: Frequency::new::<hertz>(coefficient),
        diffusion_exponent: Ratio::new::<ratio>(0.5),
        inlet: tank(riser),
        carbon_dioxide_of_air: CARBON_DIOXIDE_OF_AIR,
    };
    riser.transfer(point, &transfer).unwrap()
}

/// Every gas that enters with water and air leaves with them.
#[test]
fn nothing_gets_lost() {
    for (riser, point) in risers() {
        let air = Conditions::of(&riser.site().water, riser.site().atmosphere);
        let kg_per_mol = [31.998_8e-3, 28.013_4e-3, 39.948e-3, 44.009_5e-3];
        let fractions = Gas::ALL.map(|gas| air.fraction(gas).get::<ratio>());
        let mean: f64 = (0..4).map(|i| fractions[i] * kg_per_mol[i]).sum();
        for coefficient in COEFFICIENTS {
            let found = run(&riser, &point, coefficient);
            for (i, gas) in Gas::ALL.into_iter().enumerate() {
                let water = |d: &Dissolved| (point.water_flow * d.of(gas)).value;
                let blown = point.air.dry_mass_rate().get::<kilogram_per_second>()
                    * fractions[i]
                    * kg_per_mol[i]
                    / mean;
                let before = water(&tank(&riser)) + blown;
                let after = water(&found.outlet) + found.off_gas[i].get::<kilogram_per_second>();
                assert!(
                    (after / before - 1.0).abs() < 1e-9,
                    "{gas} {coefficient}: {before} {after}"
                );
            }
        }
    }
}

#[test]
fn oxygen_stays_below_saturation_at_the_foot_and_removal_below_its_ceiling() {
    for (riser, point) in risers() {
        let foot = Conditions::of(&riser.site().water, point.foot.pressure);
        let most = saturation(Gas::Oxygen, &foot).unwrap();
        let inlet = tank(&riser);
        let (mut oxygen, mut removed) = (0.0, -1.0);
        for coefficient in COEFFICIENTS {
            let found = run(&riser, &point, coefficient);
            let got = found.outlet.oxygen.get::<milligram_per_liter>();
            assert!(
                got.is_finite() && found.outlet.oxygen <= most,
                "{coefficient}: {got}"
            );
            let share = 1.0 - (found.outlet.carbon_dioxide / inlet.carbon_dioxide).get::<ratio>();
            let ceiling = found.removal_ceiling.get::<ratio>();
            assert!(
                share <= ceiling,
                "{coefficient}: {share} of at most {ceiling}"
            );
            // More exchange, more of both, until equilibrium with a mouth of less pressure takes some back.
            if coefficient <= 0.1 {
                assert!(got >= oxygen && share >= removed);
            }
            (oxygen, removed) = (got, share);
        }
    }
}

#[test]
fn no_exchange_changes_nothing() {
    for (riser, point) in risers() {
        let found = run(&riser, &point, 0.0);
        for gas in Gas::ALL {
            let change = (found.outlet.of(gas) / tank(&riser).of(gas)).get::<ratio>() - 1.0;
            assert!(change.abs() < 1e-12, "{gas}: {change}");
        }
    }
}

/// An endless exchange ends in equilibrium with the gas at the mouth, whatever the way there.
#[test]
fn stiff_exchange_leaves_at_the_mouths_equilibrium() {
    for (riser, point) in risers() {
        let found = run(&riser, &point, 1e6);
        let total = found.total_pressure.total.get::<risewater::units::pascal>();
        let mouth = point.top.pressure.get::<risewater::units::pascal>();
        // The last step's middle lies below the mouth by half a step of the way.
        let step = (point.foot.pressure.get::<risewater::units::pascal>() / mouth).ln() / 128.0;
        assert!(
            (total / mouth - 1.0).abs() < step + 1e-3,
            "{total} {mouth} {step}"
        );
    }
}

/// A trace of exchange changes neither gas nor water: L k τ (C̄* − C), with C̄* the mean of the saturation over the
/// water's time τ, C*_top + w (C*_foot − C*_top).
///
/// Gravity takes ρ_l g j_l τ of the pressure, evenly over that time, for the share 1 − f of the fall: w = ½.
/// Friction, acceleration and the developing flow take the rest, always downwards, so |w − ½| ≤ f/2.
#[test]
fn a_trace_of_exchange_by_hand() {
    for (riser, point) in risers() {
        let k = 1e-6;
        let found = run(&riser, &point, k);
        let time = found.water_time.get::<second>();
        let water = &riser.site().water;
        let saturated = |pressure| {
            let at = Conditions::of(water, pressure);
            saturation(Gas::Oxygen, &at).unwrap().value
        };
        let (foot, top) = (
            saturated(point.foot.pressure),
            saturated(point.top.pressure),
        );
        let added = found.oxygen_added.get::<kilogram_per_second>();
        let mean = added / (point.water_flow.value * k * time) + tank(&riser).oxygen.value;
        let w = (mean - top) / (foot - top);
        let fall = (point.foot.pressure - point.top.pressure).value;
        let velocity = point.foot.liquid_superficial_velocity.value;
        let f = 1.0 - water.density().value * 9.806_65 * velocity * time / fall;
        assert!((0.0..0.2).contains(&f), "{f}");
        assert!((w - 0.5).abs() <= 0.5 * f, "{w}, {f}");
    }
}

fn pascals(pressure: AbsolutePressure) -> f64 {
    pressure.get::<risewater::units::pascal>()
}

/// Total gas pressure that water comes to pass after pass without animals, over the barometer's. What leaves is
/// linear in what enters, but for the little that the bubbles' composition changes.
fn pass_after_pass(riser: &Riser, point: &OperatingPoint, coefficient: f64) -> f64 {
    let water = &riser.site().water;
    let barometer = riser.site().atmosphere;
    let leaves = |inlet: &Dissolved| {
        let transfer = GasTransfer {
            coefficient: Frequency::new::<hertz>(coefficient),
            diffusion_exponent: Ratio::new::<ratio>(0.5),
            inlet: *inlet,
            carbon_dioxide_of_air: CARBON_DIOXIDE_OF_AIR,
        };
        riser.transfer(point, &transfer).unwrap().outlet
    };
    let at = |pressure| Dissolved::saturated(&Conditions::of(water, pressure)).unwrap();
    let (mut low, mut high) = (at(barometer), at(point.foot.pressure));
    let mut last = f64::NAN;
    for _ in 0..20 {
        let (from_low, from_high) = (leaves(&low), leaves(&high));
        let fixed = |gas: Gas| {
            let value = |all: &Dissolved| all.of(gas).get::<milligram_per_liter>();
            let (a, b) = (value(&low), value(&high));
            let slope = (value(&from_high) - value(&from_low)) / (b - a);
            MassConcentration::new::<milligram_per_liter>(
                a + (value(&from_low) - a) / (1.0 - slope),
            )
        };
        let found = Dissolved {
            oxygen: fixed(Gas::Oxygen),
            nitrogen: fixed(Gas::Nitrogen),
            argon: fixed(Gas::Argon),
            carbon_dioxide: fixed(Gas::CarbonDioxide),
        };
        let solubility = Solubility::of(water).unwrap();
        let total = total_gas_pressure(&found, &solubility, barometer).unwrap();
        let share = total.share().get::<ratio>();
        if (share - last).abs() < 1e-10 {
            return share;
        }
        last = share;
        // Two points near the answer, for the next secant.
        let scaled = |factor: f64| Dissolved {
            oxygen: found.oxygen * factor,
            nitrogen: found.nitrogen * factor,
            argon: found.argon * factor,
            carbon_dioxide: found.carbon_dioxide * factor,
        };
        (low, high) = (scaled(0.999), scaled(1.001));
    }
    panic!("does not settle: {last}")
}

/// A riser with a shape of its own, where a share of its peak's air makes it pump.
fn shaped(spec: RiserSpec, share: f64) -> Option<(Riser, OperatingPoint)> {
    let site = Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0)).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    let riser = spec.build(&site, Model::default()).unwrap();
    let air = riser.peak().ok()?.air.dry_mass_rate() * share;
    let outcome = riser.operate(AirFlow::from_dry_mass(air).unwrap()).unwrap();
    Some((riser, *outcome.point()?))
}

fn shape(bore_mm: f64, submergence: f64, lift: f64) -> RiserSpec {
    RiserSpec::new(Dimensions {
        bore: Length::new::<millimeter>(bore_mm),
        submergence: Length::new::<meter>(submergence),
        lift: Length::new::<meter>(lift),
    })
}

fn bound(riser: &Riser, point: &OperatingPoint) -> f64 {
    let found = riser.total_gas_pressure_bound(point, Length::default());
    found.unwrap().get::<ratio>()
}

/// Water that goes round and round stays below the bound at any coefficient, and comes to the mean of the
/// pressures at foot and mouth, or more, where each pass exchanges little.
#[test]
fn total_gas_pressure_pass_after_pass() {
    let submerged = |spec: RiserSpec, depth: f64| {
        spec.with_outlet(Outlet::Submerged {
            depth: Length::new::<meter>(depth),
            loss: Ratio::new::<ratio>(0.0),
        })
    };
    let narrow = Outlet::Plain {
        loss: Ratio::new::<ratio>(2.0),
    };
    for (spec, share) in [
        (shape(76.2, 1.0, 0.1), 0.3),
        (shape(25.4, 1.4, 0.05), 0.05),
        (shape(100.0, 2.0, 0.2), 1.0),
        (shape(50.0, 3.0, 0.3), 0.5),
        (submerged(shape(76.2, 1.2, -0.4), 0.5), 0.3),
        (shape(50.0, 1.5, 0.1).with_outlet(narrow), 1.0),
    ] {
        let (riser, point) = shaped(spec, share).unwrap();
        let bound = bound(&riser, &point);
        let barometer = pascals(riser.site().atmosphere);
        let (foot, mouth) = (pascals(point.foot.pressure), pascals(point.top.pressure));
        for coefficient in [1e-4, 0.01, 0.1, 1.0, 100.0] {
            let found = pass_after_pass(&riser, &point, coefficient);
            assert!(found <= bound, "{spec:?} {coefficient}: {found} {bound}");
            let time = run(&riser, &point, coefficient).water_time;
            let n = coefficient * time.get::<second>();
            // w = ½ − N/12 for a pressure that falls evenly; friction only adds to the mean. The steps of the balance
            // are good to 1e-6 of each of the four concentrations.
            let least = (mouth + (foot - mouth) * (0.5 - n / 12.0)) / barometer;
            if n < 0.01 {
                assert!(
                    found > least - 4e-6,
                    "{spec:?} {coefficient}: {found} {least}"
                );
            }
        }
        // And at the other end, in equilibrium with the mouth.
        let found = pass_after_pass(&riser, &point, 1e5);
        let step = (foot / mouth).ln() / 128.0;
        assert!((found - mouth / barometer).abs() < step + 1e-3, "{found}");
    }
}

/// Mean over the time of the water of the pressure that it meets, over the barometer's: the limit of little
/// exchange.
fn mean_pressure(riser: &Riser, point: &OperatingPoint) -> f64 {
    let profile = riser.profile(point, 100).unwrap();
    let parts = profile.windows(2).map(|pair| {
        let time = (pair[1].water_time - pair[0].water_time).get::<second>();
        time * f64::midpoint(pascals(pair[0].pressure), pascals(pair[1].pressure))
    });
    let time = profile[99].water_time.get::<second>();
    parts.sum::<f64>() / time / pascals(riser.site().atmosphere)
}

/// Friction keeps the pressure up, the entrance takes it down. Up to 3 m the second is more, even without a loss of
/// the entrance; in narrow risers the first is, by a hundredth of the excess at 5 m and a twentieth at 10 m.
#[test]
fn which_side_a_half_errs_on() {
    let largest = |submergence: f64| {
        let mut largest = 0.0_f64;
        for bore in [12.7, 25.4, 50.0, 100.0] {
            for lift in [0.0, 0.1, 0.3, 1.0] {
                for share in [0.03, 0.1, 0.3, 0.6, 1.0] {
                    let spec = shape(bore, submergence, lift * submergence)
                        .with_entrance_loss(Ratio::new::<ratio>(0.0));
                    let Some((riser, point)) = shaped(spec, share) else {
                        continue;
                    };
                    let mean = mean_pressure(&riser, &point);
                    let barometer = pascals(riser.site().atmosphere);
                    let foot = pascals(point.foot.pressure);
                    let ends = f64::midpoint(foot, pascals(point.top.pressure)) / barometer;
                    assert!(mean > ends * (1.0 - 1e-6), "{spec:?}: {mean} {ends}");
                    largest = largest.max((mean - 1.0) / (bound(&riser, &point) - 1.0));
                }
            }
        }
        largest
    };
    for depth in [0.3, 1.0, 2.0, 3.0] {
        let found = largest(depth);
        assert!(found <= 1.0, "{depth} m: {found}");
        // A slow riser comes near.
        assert!(found > 0.95, "{depth} m: {found}");
    }
    let (five, ten) = (largest(5.0), largest(10.0));
    assert!(five > 1.0 && five < 1.01, "{five}");
    assert!(ten > 1.01 && ten < 1.05, "{ten}");
}
