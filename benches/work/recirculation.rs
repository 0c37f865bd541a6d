//! A day of a closed loop.

use risewater::air::AirState;
use risewater::gas::{Conditions, Dissolved};
use risewater::need::{Animals, Coefficients, Feed, Limits};
use risewater::recirculation::{
    AfterMeal, Base, Biofilter, DayPlan, Feeding, LiftExchange, LiftGroup, Loop, LoopTank, Meal,
    MealForm, MealHeight, Nitrification, RateLaw, Solutes, Surface, TankLoad, TankMakeup, Through,
    Timer,
};
use risewater::riser::{Dimensions, RiserSpec, Site};
use risewater::transfer::GasTerms;
use risewater::units::{
    AbsolutePressure, Area, Frequency, Length, Mass, MassConcentration, MassFlux, MassRate, Ratio,
    ThermodynamicTemperature, Time, Volume, VolumeRate, cubic_meter, cubic_meter_per_hour,
    degree_celsius, gram_per_day, gram_per_square_meter_day, hertz, kilogram, liter_per_minute,
    meter, milligram_per_liter, millimeter, minute, per_day, percent, ratio, square_meter,
};
use risewater::{AirFlow, Model, Water};

/// Ten tanks on one filter that saturates and holds water of its own. Rounded courses after meals, by
/// one timetable for all or ten, each a quarter of an hour after the last; two groups of lifts, a test's part of the distance and risers by their own balance; each has a timer.
pub fn ten_tanks(tables: u32) -> (Loop, DayPlan) {
    let temperature = ThermodynamicTemperature::new::<degree_celsius>(24.0);
    let air = Conditions::fresh(temperature, AbsolutePressure::STANDARD_ATMOSPHERE);
    let part = Ratio::new::<ratio>;
    let m3_h = VolumeRate::new::<cubic_meter_per_hour>;
    let hours = |hours: f64| Time::new::<minute>(60.0 * hours);
    let tank = |n: u32| {
        let animals = Animals {
            biomass: Mass::new::<kilogram>(15.0 + 2.0 * f64::from(n)),
            feed: Feed::Share(Frequency::new::<per_day>(0.03)),
            protein: Ratio::new::<percent>(45.0),
        };
        let load = TankLoad::of(&animals.load(&Coefficients::ANIMALS).unwrap());
        let limits = Limits {
            turnover: Some(Frequency::new::<per_day>(12.0)),
            ..Limits::WARM_WATER
        };
        let limits = Limits {
            ammonia: None,
            ..limits
        };
        LoopTank::new("tank", Volume::new::<cubic_meter>(10.0), load)
            .with_limits(limits)
            .with_total_gas_pressure(part(1.05))
            .with_share(part(1.0 + 0.05 * f64::from(n)))
            .with_makeup(TankMakeup {
                flow: m3_h(0.05),
                holds: Solutes::of(Dissolved::saturated(&air).unwrap()),
            })
            .with_surface(Surface {
                exchange: [m3_h(0.3); 4],
                equilibrium: None,
            })
    };
    let yields = Nitrification::with_cells(
        risewater::recirculation::defaults::CELLS_PER_NITROGEN.value,
        Base::Bicarbonate,
    )
    .unwrap();
    let law = RateLaw::Monod {
        area: Area::new::<square_meter>(1500.0),
        most: MassFlux::new::<gram_per_square_meter_day>(0.45),
        half_saturation: MassConcentration::new::<milligram_per_liter>(1.9),
        through: Through::Mixed,
    };
    let mut filter = Biofilter::new(law, yields.at_filter())
        .with_other_bacteria(MassRate::new::<gram_per_day>(900.0));
    // 1500 m² at 500 m²/m³, and as much water as film
    filter.volume = Volume::new::<cubic_meter>(6.0);
    let tested = LiftExchange::part(part(0.30), Dissolved::saturated(&air).unwrap());
    let site = Site {
        water: Water::fresh(temperature).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    let dimensions = Dimensions {
        bore: Length::new::<millimeter>(76.2),
        submergence: Length::new::<meter>(1.0),
        lift: Length::new::<meter>(0.1),
    };
    let riser = RiserSpec::new(dimensions)
        .build(&site, Model::default())
        .unwrap();
    let blown = VolumeRate::new::<liter_per_minute>(100.0);
    let blown = AirFlow::at(blown, &AirState::DRY_20_C).unwrap();
    let point = *riser.operate(blown).unwrap().point().unwrap();
    let terms = GasTerms {
        coefficient: Some(Frequency::new::<hertz>(0.05)),
        ..GasTerms::default()
    };
    let lifts = vec![
        LiftGroup::new("tested", 18, m3_h(6.0), tested),
        LiftGroup::of_riser("risers", 12, &riser, &point, &terms).unwrap(),
    ];
    let feeding = |n: u32| {
        let meal = |at: f64, share: f64| Meal {
            at: hours(at + 0.25 * f64::from(n)),
            share: part(share),
        };
        let rounded = |slow: f64, fast: f64, of_day: f64| AfterMeal {
            form: MealForm::Rounded {
                slow: hours(slow),
                fast: hours(fast),
            },
            height: MealHeight::ShareOfDay(part(of_day)),
        };
        Feeding::new(vec![meal(6.0, 0.4), meal(11.0, 0.3), meal(16.0, 0.3)])
            .with_oxygen(rounded(3.0, 0.6, 0.4))
            .with_ammonia(rounded(5.0, 1.0, 0.6))
    };
    let timer = |group: usize, off: u32, from: f64, to: f64| Timer {
        group,
        off,
        from: hours(from),
        to: hours(to),
    };
    let plan = DayPlan::of_each((0..tables).map(feeding).collect())
        .with_timer(timer(0, 6, 22.0, 5.0))
        .with_timer(timer(1, 4, 13.0, 13.5));
    (
        Loop::new(air, (0..10).map(tank).collect(), Some(filter), lifts),
        plan,
    )
}
