//! The closed loop: every row of tests/data/loop_checks.csv, balances of random loops, limits, days against exact ones,
//! refusals.

mod day;
mod laws;
mod refused;
#[path = "../table/report.rs"]
mod report;
mod risers;
mod rows;
mod size;
#[path = "../table/mod.rs"]
mod table;

use risewater::gas::{Conditions, Dissolved};
use risewater::recirculation::{
    Biofilter, Day, DayOutcome, LiftExchange, LiftGroup, Loop, LoopTank, PerNitrogen, RateLaw,
    Solutes, Steady, SteadyOutcome, Surface, TankLoad, TankMakeup, Through,
};
use risewater::units::{
    AbsolutePressure, Area, MassConcentration, MassFlux, MassRate, Ratio, ThermodynamicTemperature,
    Time, Volume, VolumeRate, cubic_meter, cubic_meter_per_hour, degree_celsius, gram_per_hour,
    gram_per_square_meter_day, milligram_per_liter, minute, ratio, square_meter,
};

fn mg_l(value: f64) -> MassConcentration {
    MassConcentration::new::<milligram_per_liter>(value)
}

fn in_mg_l(value: MassConcentration) -> f64 {
    value.get::<milligram_per_liter>()
}

fn g_h(value: f64) -> MassRate {
    MassRate::new::<gram_per_hour>(value)
}

fn in_g_h(value: MassRate) -> f64 {
    value.get::<gram_per_hour>()
}

fn m3(value: f64) -> Volume {
    Volume::new::<cubic_meter>(value)
}

fn m3_h(value: f64) -> VolumeRate {
    VolumeRate::new::<cubic_meter_per_hour>(value)
}

fn part(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

fn hours(value: f64) -> Time {
    Time::new::<minute>(60.0 * value)
}

fn in_hours(value: Time) -> f64 {
    value.get::<minute>() / 60.0
}

/// Fresh water at 20 °C and sea level.
fn air() -> Conditions {
    let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
    Conditions::fresh(temperature, AbsolutePressure::STANDARD_ATMOSPHERE)
}

/// Gases at saturation, with so much oxygen.
fn with_oxygen(oxygen: f64) -> Dissolved {
    Dissolved {
        oxygen: mg_l(oxygen),
        ..Dissolved::saturated(&air()).unwrap()
    }
}

/// A load without carbon dioxide.
fn load(oxygen: f64, tan: f64) -> TankLoad {
    TankLoad {
        oxygen: g_h(oxygen),
        carbon_dioxide: g_h(0.0),
        tan: g_h(tan),
    }
}

fn tank(volume: f64, load: TankLoad) -> LoopTank {
    LoopTank::new("A", m3(volume), load)
}

fn makeup(flow: f64, oxygen: f64, tan: f64) -> TankMakeup {
    TankMakeup {
        flow: m3_h(flow),
        holds: Solutes::of(with_oxygen(oxygen)).with_tan(mg_l(tan)),
    }
}

/// The same exchange of all gases.
fn surface(exchange: f64, oxygen: f64) -> Surface {
    Surface {
        exchange: [m3_h(exchange); 4],
        equilibrium: Some(with_oxygen(oxygen)),
    }
}

/// Lifts that cover a part of the distance to so much oxygen.
fn lifts(count: u32, flow: f64, covers: f64, oxygen: f64) -> LiftGroup {
    let exchange = LiftExchange::part(part(covers), with_oxygen(oxygen));
    LiftGroup::new("lifts", count, m3_h(flow), exchange)
}

/// A filter with so much oxygen for the nitrogen, and other bacteria's.
fn filter(law: RateLaw, oxygen_per_nitrogen: f64, other: f64) -> Biofilter {
    let yields = PerNitrogen {
        oxygen: part(oxygen_per_nitrogen),
        carbon_dioxide: part(0.0),
        alkalinity: part(0.0),
    };
    let mut filter = Biofilter::new(law, yields);
    filter.other_oxygen = g_h(other);
    filter
}

/// A filter that takes oxygen alone.
fn demand(oxygen: f64) -> Biofilter {
    filter(share_of_pass(0.5), 0.0, oxygen)
}

fn share_of_pass(efficiency: f64) -> RateLaw {
    RateLaw::Pass {
        efficiency: part(efficiency),
    }
}

/// Area times rate in g/h, on one square metre.
fn areal(rate: f64) -> MassFlux {
    MassFlux::new::<gram_per_square_meter_day>(24.0 * rate)
}

fn one_m2() -> Area {
    Area::new::<square_meter>(1.0)
}

fn monod(most: f64, half: f64, through: Through) -> RateLaw {
    RateLaw::Monod {
        area: one_m2(),
        most: areal(most),
        half_saturation: mg_l(half),
        through,
    }
}

fn half_order(k: f64, through: Through) -> RateLaw {
    RateLaw::HalfOrder {
        area: one_m2(),
        rate_at_1_mg_per_l: areal(k),
        most: None,
        through,
    }
}

fn steady(of: &Loop) -> Steady {
    match of.steady().unwrap() {
        SteadyOutcome::Balances(steady) => *steady,
        cannot @ SteadyOutcome::Cannot { .. } => panic!("{cannot:?}"),
    }
}

fn day(outcome: DayOutcome) -> Day {
    match outcome {
        DayOutcome::Cycle(day) => *day,
        cannot @ DayOutcome::Cannot { .. } => panic!("{cannot:?}"),
    }
}

fn oxygen(steady: &Steady, tank: usize) -> f64 {
    in_mg_l(steady.tanks[tank].holds.gases.oxygen)
}
