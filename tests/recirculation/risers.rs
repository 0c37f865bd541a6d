//! Loops whose lifts are risers: the axial balance, its ceiling, its straight line.

use risewater::gas::{Conditions, Dissolved, Gas, saturation};
use risewater::recirculation::{
    DayPlan, Feeding, LiftGroup, Loop, LoopChange, LoopTank, Meal, Steady, TankLoad, Through,
};
use risewater::riser::{Dimensions, OperatingPoint, Riser, RiserSpec, Site};
use risewater::transfer::{GasTerms, GasTransfer};
use risewater::units::{
    AbsolutePressure, Frequency, Length, TemperatureInterval, ThermodynamicTemperature, VolumeRate,
    cubic_meter_per_hour, degree_celsius, hertz, kelvin_interval, liter_per_minute, meter,
    millimeter, pascal, ratio,
};
use risewater::{AirFlow, AirState, Model, Water};

use super::{air, day, filter, g_h, hours, in_g_h, in_mg_l, m3, monod, oxygen, part, steady};

/// Risers of a hatchery, at 20 °C and sea level.
pub fn risers() -> Vec<(Riser, OperatingPoint)> {
    let site = Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0)).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    [
        (76.2, 1.0, 0.1, 100.0),
        (52.0, 0.8, 0.05, 60.0),
        (100.0, 2.0, 0.2, 300.0),
    ]
    .into_iter()
    .map(|(bore, submergence, lift, blown)| {
        let riser = RiserSpec::new(Dimensions {
            bore: Length::new::<millimeter>(bore),
            submergence: Length::new::<meter>(submergence),
            lift: Length::new::<meter>(lift),
        })
        .build(&site, Model::default())
        .unwrap();
        let blown = VolumeRate::new::<liter_per_minute>(blown);
        let blown = AirFlow::at(blown, &AirState::DRY_20_C).unwrap();
        (riser, *riser.operate(blown).unwrap().point().unwrap())
    })
    .collect()
}

pub fn terms(coefficient: Option<f64>) -> GasTerms {
    GasTerms {
        coefficient: coefficient.map(Frequency::new::<hertz>),
        ..GasTerms::default()
    }
}

/// One tank on six such lifts, its animals taking so much oxygen for each cubic metre of its water.
fn of(riser: &(Riser, OperatingPoint), coefficient: Option<f64>, uptake: f64) -> Loop {
    let lifts = LiftGroup::of_riser("L", 6, &riser.0, &riser.1, &terms(coefficient)).unwrap();
    let q = 6.0 * riser.1.water_flow.get::<cubic_meter_per_hour>();
    let animals = TankLoad {
        oxygen: g_h(uptake * q),
        carbon_dioxide: g_h(1.2 * uptake * q),
        tan: g_h(0.1 * uptake * q),
    };
    let film = filter(monod(q, 1.9, Through::Mixed), 4.2, 0.1 * uptake * q);
    let tank = LoopTank::new("A", m3(0.5 * q), animals);
    Loop::new(air(), vec![tank], Some(film), vec![lifts])
}

/// Conservation with the risers' own balance, not its line; what leaves the lifts is what `transfer` says.
#[test]
fn nothing_gets_lost_in_risers() {
    let mut compared = 0;
    for riser in risers() {
        for coefficient in [Some(0.02), Some(0.1), Some(1.0), None] {
            for uptake in [0.0, 0.2, 0.6] {
                let found = steady_of(&of(&riser, coefficient, uptake));
                for substance in 0..5 {
                    let parts = found.budget.parts().map(|part| in_g_h(part[substance]));
                    let size: f64 = parts.iter().map(|part| part.abs()).sum();
                    // Without animals nothing flows but rounding of what is carried round.
                    let carried = 1e-12 * found.flow.get::<cubic_meter_per_hour>() * 20.0;
                    let sum = in_g_h(found.budget.sum(substance));
                    assert!(
                        sum.abs() <= 1e-9 * size + carried,
                        "{substance}: {sum} of {size}"
                    );
                }
                let inlet = found.after_filter.gases;
                let Some(coefficient) = coefficient.filter(|_| inlet.oxygen.value >= 0.0) else {
                    continue;
                };
                compared += 1;
                let transfer = GasTransfer {
                    coefficient: Frequency::new::<hertz>(coefficient),
                    diffusion_exponent: part(0.5),
                    inlet,
                    carbon_dioxide_of_air: risewater::gas::CARBON_DIOXIDE_OF_AIR,
                };
                let own = riser.0.transfer(&riser.1, &transfer).unwrap().outlet;
                for gas in Gas::ALL {
                    let (a, b) = (own.of(gas), found.after_lifts.gases.of(gas));
                    let size = own.of(gas).value.max(1e-4);
                    assert!(((a - b).value / size).abs() < 1e-10, "{gas} {a:?} {b:?}");
                }
            }
        }
    }
    assert!(compared > 12, "{compared}");
}

/// The state, or what the balance comes to.
fn steady_of(of: &Loop) -> Steady {
    match of.steady().unwrap() {
        risewater::recirculation::SteadyOutcome::Balances(found) => *found,
        risewater::recirculation::SteadyOutcome::Cannot { would_be, .. } => *would_be.unwrap(),
    }
}

/// A coefficient that is not known is a ceiling: water leaves in equilibrium with the mouth, not with the foot.
#[test]
fn an_endless_exchange_ends_at_the_mouth() {
    for riser in risers() {
        let found = steady(&of(&riser, None, 0.0));
        assert!(found.is_ceiling);
        let [foot, mouth] =
            [riser.1.foot.pressure, riser.1.top.pressure].map(AbsolutePressure::get::<pascal>);
        let barometer = riser.0.site().atmosphere.get::<pascal>();
        let total = found.tanks[0].total_gas_pressure.unwrap().get::<ratio>();
        // The last step's middle lies below the mouth by half a step of the way.
        let step = (foot / mouth).ln() / 128.0;
        assert!((total - mouth / barometer).abs() < step + 1e-3, "{total}");
        assert!(!steady(&of(&riser, Some(0.05), 0.0)).is_ceiling);
    }
}

/// What a lift adds stays below Q C*_eff, with the mean of foot and mouth for C*_eff and less than that.
#[test]
fn no_lift_adds_more_than_its_water_could_hold() {
    for riser in risers() {
        let at = |pressure| {
            let conditions = Conditions::of(&riser.0.site().water, pressure);
            in_mg_l(saturation(Gas::Oxygen, &conditions).unwrap())
        };
        let effective = f64::midpoint(at(riser.1.foot.pressure), at(riser.1.top.pressure));
        for coefficient in [Some(0.02), Some(0.3), Some(10.0), None] {
            for uptake in [0.2, 2.0, 6.0] {
                let found = steady_of(&of(&riser, coefficient, uptake));
                let q = found.flow.get::<cubic_meter_per_hour>();
                let inlet = in_mg_l(found.after_filter.gases.oxygen);
                let added = in_g_h(found.budget.lifts[0]);
                // Of water that enters with nothing at all, which the balance may ask for beyond it.
                assert!(
                    added <= q * (effective - inlet.min(0.0)),
                    "{coefficient:?} {uptake}"
                );
            }
        }
    }
}

/// A day by the straight line at the mean: how far it departs is told, and is little.
#[test]
fn the_line_holds_over_a_day() {
    for riser in risers() {
        let of = of(&riser, Some(0.3), 0.5);
        let meal = |at: f64| Meal {
            at: hours(at),
            share: part(0.5),
        };
        let plan = DayPlan::new(Feeding::new(vec![meal(8.0), meal(18.0)]));
        let found = day(of.day(&plan).unwrap());
        let apart = found.straightness.get::<ratio>();
        println!("straight to {apart:.1e}, {} days", found.days);
        assert!(apart < 1e-4 && apart > 0.0, "{apart}");
        let (_, least) = found.least_oxygen();
        assert!(in_mg_l(least.value) < in_mg_l(found.steady.tanks[0].holds.gases.oxygen));
    }
}

/// Warmer: less in the water, a coefficient that grows by 1.024 a kelvin, the same water and air.
#[test]
fn warmer_water_in_risers() {
    for riser in risers() {
        let before = of(&riser, Some(0.05), 0.1);
        let rise = TemperatureInterval::new::<kelvin_interval>(3.0);
        let after = before.changed(&LoopChange::Warmer(rise)).unwrap();
        let site = Site {
            water: Water::fresh(after.air.temperature).unwrap(),
            ..*riser.0.site()
        };
        let warm = riser.0.spec().build(&site, riser.0.model()).unwrap();
        let found = steady_of(&after);
        let transfer = GasTransfer {
            coefficient: Frequency::new::<hertz>(0.05 * 1.024f64.powi(3)),
            diffusion_exponent: part(0.5),
            inlet: found.after_filter.gases,
            carbon_dioxide_of_air: risewater::gas::CARBON_DIOXIDE_OF_AIR,
        };
        let own: Dissolved = warm.transfer(&riser.1, &transfer).unwrap().outlet;
        let (a, b) = (in_mg_l(own.oxygen), in_mg_l(found.after_lifts.gases.oxygen));
        assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");
        // Without animals there is less in it, which the faster exchange does not make good.
        let empty = of(&riser, Some(0.05), 0.0);
        let warm = empty.changed(&LoopChange::Warmer(rise)).unwrap();
        assert!(oxygen(&steady(&warm), 0) < oxygen(&steady(&empty), 0));
    }
}
