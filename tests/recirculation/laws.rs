//! What must hold for any loop: nothing gets lost, limits, what a loop cannot do.

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use risewater::gas::{Conditions, Dissolved, Gas};
use risewater::need::{self, EnteringOxygen, Limits, TankWater};
use risewater::recirculation::{
    Aerator, Base, Biofilter, LiftExchange, LiftGroup, Loop, LoopChange, LoopLimit, LoopTank,
    Nitrification, Place, RateLaw, Shortage, SteadyOutcome, StockBound, Surface, TankLoad, Through,
    defaults,
};
use risewater::units::{
    TemperatureInterval, ThermodynamicTemperature, cubic_meter_per_hour, degree_celsius,
    kelvin_interval, percent, ratio,
};

use super::{
    air, areal, demand, filter, g_h, half_order, in_g_h, in_mg_l, lifts, load, m3, m3_h, makeup,
    mg_l, monod, one_m2, oxygen, part, share_of_pass, steady, surface, tank, with_oxygen,
};

/// A loop of any kind, its lifts a given part of the distance to an equilibrium.
fn any(rng: &mut StdRng) -> Loop {
    let tanks = rng.random_range(1..=6);
    let own = rng.random_bool(0.3);
    let series = !own && rng.random_bool(0.3);
    let tank = |rng: &mut StdRng| {
        let uptake = rng.random_range(0.0..40.0);
        let animals = TankLoad {
            oxygen: g_h(uptake),
            carbon_dioxide: g_h(1.2 * uptake),
            tan: g_h(0.15 * uptake),
        };
        let mut tank = LoopTank::new("T", m3(rng.random_range(0.5..60.0)), animals)
            .with_share(part(rng.random_range(0.2..3.0)));
        if rng.random_bool(0.5) {
            let flow = 10f64.powf(rng.random_range(-4.0..1.0));
            tank = tank.with_makeup(makeup(flow, 8.0, rng.random_range(0.0..0.3)));
        }
        if rng.random_bool(0.5) {
            let exchange = m3_h(rng.random_range(0.0..5.0));
            tank = tank.with_surface(Surface::of_oxygen(exchange, part(0.5)).unwrap());
        }
        if rng.random_bool(0.3) {
            let mut aerator = Aerator::clean(g_h(rng.random_range(0.0..100.0)));
            aerator.diffusion_exponent = rng.random_bool(0.5).then(|| part(0.7));
            tank = tank.with_aerator(aerator);
        }
        tank
    };
    let group = |rng: &mut StdRng| {
        let exchange = LiftExchange::Part {
            part: std::array::from_fn(|_| part(rng.random_range(0.05..1.0))),
            equilibrium: with_oxygen(rng.random_range(8.0..10.0)),
        };
        let flow = m3_h(rng.random_range(1.0..20.0));
        LiftGroup::new("L", rng.random_range(1..=8), flow, exchange)
    };
    let through = if rng.random_bool(0.5) {
        Through::Mixed
    } else {
        Through::Plug
    };
    let most = 10f64.powf(rng.random_range(0.0..2.1));
    let law = match rng.random_range(0..4) {
        0 => share_of_pass(rng.random_range(0.05..1.0)),
        1 => monod(most, rng.random_range(0.3..4.0), through),
        2 => half_order(most, through),
        _ => RateLaw::HalfOrder {
            area: one_m2(),
            rate_at_1_mg_per_l: areal(most),
            most: Some(areal(most * rng.random_range(0.5..3.0))),
            through,
        },
    };
    let yields = Nitrification::with_cells(defaults::CELLS_PER_NITROGEN.value, Base::Carbonate);
    let filter = Biofilter::new(law, yields.unwrap().at_filter())
        .with_other_bacteria(g_h(rng.random_range(0.0..20.0)));
    let tanks: Vec<_> = (0..tanks).map(|_| tank(rng)).collect();
    let groups = if own {
        (0..tanks.len()).map(|n| group(rng).for_tank(n)).collect()
    } else {
        (0..rng.random_range(1..=3)).map(|_| group(rng)).collect()
    };
    let of = Loop::new(
        air(),
        tanks,
        rng.random_bool(0.85).then_some(filter),
        groups,
    );
    let of = if series { of.in_series() } else { of };
    if !own && rng.random_bool(0.4) {
        of.with_lifts_first()
    } else {
        of
    }
}

/// Of each substance what comes is what goes, to 1e-9 of what comes and goes.
#[test]
fn nothing_gets_lost() {
    let mut rng = StdRng::seed_from_u64(15);
    let (mut balanced, mut short) = (0, 0);
    for n in 0..600 {
        let of = any(&mut rng);
        let found = match of.steady().unwrap() {
            SteadyOutcome::Balances(found) => {
                balanced += 1;
                found
            }
            SteadyOutcome::Cannot {
                would_be: Some(found),
                ..
            } => {
                short += 1;
                found
            }
            SteadyOutcome::Cannot { .. } => continue,
        };
        for substance in 0..5 {
            let parts = found.budget.parts().map(|part| in_g_h(part[substance]));
            let size: f64 = parts.iter().map(|part| part.abs()).sum();
            // Without load and exchange nothing is left but rounding of what goes round, some 20 g/m³.
            let carried = 1e-12 * 20.0 * found.flow.get::<cubic_meter_per_hour>();
            let sum = in_g_h(found.budget.sum(substance));
            assert!(
                sum.abs() <= 1e-9 * size + carried,
                "{n} {substance}: {sum} of {size}, {of:?}"
            );
        }
        // And of one place by itself: what the filter takes is what its water loses.
        let q = found.flow.get::<cubic_meter_per_hour>();
        let before =
            if of.order == risewater::recirculation::Order::LiftsFirst && of.filter.is_some() {
                found.after_lifts
            } else {
                found.sump
            };
        let lost = q * (in_mg_l(before.tan) - in_mg_l(found.after_filter.tan));
        let nitrified = in_g_h(found.nitrified);
        let carried = q * in_mg_l(before.tan);
        assert!(
            (lost - nitrified).abs() <= 1e-12 * carried + 1e-12,
            "{n}: {lost} {nitrified}"
        );
    }
    println!("{balanced} balance, {short} run out of oxygen");
    assert!(balanced > 100 && short > 20, "{balanced} {short}");
}

/// E = 1: the loop needs as much water as `need` says of a tank that water enters saturated.
#[test]
fn a_pass_to_equilibrium_is_what_need_says() {
    let animals = need::Animals {
        biomass: risewater::units::Mass::new::<risewater::units::kilogram>(100.0),
        feed: need::Feed::Share(
            risewater::units::Frequency::new::<risewater::units::per_day>(0.02),
        ),
        protein: part(0.42),
    };
    let of_animals = animals.load(&need::Coefficients::ANIMALS).unwrap();
    let tank = LoopTank::new("A", m3(5.0), TankLoad::of(&of_animals));
    let lifts = lifts(4, 2.0, 1.0, 9.2);
    let yields = Nitrification::with_cells(part(0.0), Base::Bicarbonate).unwrap();
    let filter = Biofilter::new(monod(20.0, 1.9, Through::Plug), yields.at_filter());
    let found = steady(&Loop::new(air(), vec![tank], Some(filter), vec![lifts]));
    let water = TankWater {
        temperature: ThermodynamicTemperature::new::<degree_celsius>(20.0),
        salinity: part(0.0),
        atmosphere: risewater::units::AbsolutePressure::STANDARD_ATMOSPHERE,
        ph: part(7.5),
    };
    let limits = Limits {
        oxygen: Some(found.tanks[0].holds.gases.oxygen),
        ..Limits::NONE
    };
    let mut alone = need::Tank::new(animals, water, limits);
    alone.coefficients = need::Coefficients::ANIMALS;
    alone.inlet.oxygen = EnteringOxygen::Known(mg_l(9.2));
    let flow = alone
        .need(&need::Gases::of(&water).unwrap())
        .unwrap()
        .flow();
    assert!(
        (flow.get::<cubic_meter_per_hour>() / 8.0 - 1.0).abs() < 1e-9,
        "{flow:?}"
    );
}

/// Without animals each gas stands at the mean of lift, new water and surface, weighted by Q E, Q_m and K_sV.
#[test]
fn without_animals_the_weighted_equilibrium() {
    let saturated = Dissolved::saturated(&air()).unwrap();
    let parts = [0.2, 0.4, 0.6, 0.9];
    let exchange = LiftExchange::Part {
        part: parts.map(part),
        equilibrium: Dissolved {
            oxygen: saturated.oxygen * 1.05,
            nitrogen: saturated.nitrogen * 1.04,
            argon: saturated.argon * 1.03,
            carbon_dioxide: saturated.carbon_dioxide * 2.0,
        },
    };
    let lifts = LiftGroup::new("L", 3, m3_h(4.0), exchange);
    let mut new = makeup(1.5, 7.0, 0.0);
    new.holds.gases.carbon_dioxide = mg_l(20.0);
    let tank = tank(10.0, TankLoad::NONE)
        .with_makeup(new)
        .with_surface(surface(2.0, 8.5));
    let found = steady(&Loop::new(air(), vec![tank], None, vec![lifts]));
    for (i, gas) in Gas::ALL.into_iter().enumerate() {
        let at_surface = if gas == Gas::Oxygen {
            8.5
        } else {
            in_mg_l(saturated.of(gas))
        };
        let in_new = in_mg_l(new.holds.gases.of(gas));
        let factor = [1.05, 1.04, 1.03, 2.0][i];
        let lift = in_mg_l(saturated.of(gas)) * factor;
        let qe = 12.0 * parts[i];
        let expected = (qe * lift + 1.5 * in_new + 2.0 * at_surface) / (qe + 1.5 + 2.0);
        let got = in_mg_l(found.tanks[0].holds.gases.of(gas));
        assert!(
            (got / expected - 1.0).abs() < 1e-12,
            "{gas}: {got} {expected}"
        );
    }
}

/// The tank's ammonia binds, and the filter gives off what formula 1 says: together the loop's figure.
#[test]
fn carbon_is_counted_once() {
    for (base, figure) in [
        (Base::Bicarbonate, 2.681_950_624_69),
        (Base::Carbonate, 1.149_317_641_18),
        (Base::Hydroxide, -0.383_315_342_329),
    ] {
        let yields = Nitrification::with_cells(part(0.0244), base).unwrap();
        let filter = Biofilter::new(share_of_pass(0.4), yields.at_filter());
        let animals = TankLoad {
            oxygen: g_h(40.0),
            carbon_dioxide: g_h(50.0),
            tan: g_h(6.0),
        };
        let of = Loop::new(
            air(),
            vec![tank(40.0, animals)],
            Some(filter),
            vec![lifts(12, 5.0, 0.3, 9.4)],
        );
        let found = steady(&of);
        let given = in_g_h(found.budget.animals[3]) + in_g_h(found.budget.filter[3]);
        // Rows L002 of the file, to its digits: respiration in full, and so much for the nitrogen.
        assert!(
            (given / (50.0 + 6.0 * figure) - 1.0).abs() < 1e-9,
            "{base:?} {given}"
        );
    }
}

/// Many mixed filters in a row are a plug; a rate that is capped is that of the cap where there is much.
#[test]
fn a_plug_is_many_mixed_filters() {
    let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
    let parts = 4000;
    let capped = |area: f64, through: Through| RateLaw::HalfOrder {
        area: risewater::units::Area::new::<risewater::units::square_meter>(area),
        rate_at_1_mg_per_l: areal(7.0),
        most: Some(areal(9.0)),
        through,
    };
    let laws = |area: f64, through: Through| {
        [
            monod(15.0 * area, 1.9, through),
            half_order(7.0 * area, through),
            capped(area, through),
        ]
    };
    for (n, whole) in laws(1.0, Through::Plug).into_iter().enumerate() {
        for s in [0.01, 0.3, 1.7, 2.0, 30.0] {
            for q in [0.5, 6.0, 60.0] {
                let nitrified = |law: RateLaw, s: f64| {
                    let filter = filter(law, 0.0, 0.0);
                    in_g_h(filter.nitrified(mg_l(s), m3_h(q), temperature).unwrap())
                };
                let slice = laws(1.0 / f64::from(parts), Through::Mixed)[n];
                let mut left = s;
                for _ in 0..parts {
                    left -= nitrified(slice, left) / q;
                }
                let (plug, mixed) = (nitrified(whole, s), q * (s - left));
                // The error of a mixed slice is in proportion to its size.
                assert!(
                    (plug / mixed - 1.0).abs() < 2e-3,
                    "{whole:?} {s} {q}: {plug} {mixed}"
                );
            }
        }
    }
}

fn shortage(of: &Loop) -> (Shortage, Option<f64>, Option<StockBound>) {
    match of.steady().unwrap() {
        SteadyOutcome::Cannot {
            shortage, stock, ..
        } => (
            shortage,
            stock.map(|stock| stock.factor.get::<ratio>()),
            stock.map(|stock| stock.bound),
        ),
        SteadyOutcome::Balances(found) => panic!("{found:?}"),
    }
}

/// A loop that cannot balance is an answer: what is short, and the stock that could live.
#[test]
fn what_cannot_balance_is_an_answer() {
    let one = |tan: f64, filter: Option<Biofilter>| {
        Loop::new(
            air(),
            vec![tank(40.0, load(40.0, tan))],
            filter,
            vec![lifts(12, 5.0, 0.3, 9.4)],
        )
    };
    // 20 g/h where the filter takes 15 at most: three quarters of the stock.
    let over = one(
        20.0,
        Some(filter(monod(15.0, 1.9, Through::Mixed), 0.0, 0.0)),
    );
    let (short, stock, bound) = shortage(&over);
    let Shortage::FilterOverloaded { excreted, most } = short else {
        panic!("{short:?}")
    };
    assert!((in_g_h(excreted) - 20.0).abs() < 1e-9 && (in_g_h(most) - 15.0).abs() < 1e-9);
    assert_eq!(bound, Some(StockBound::Filter));
    // Ammonia is let rise to 1e7 mg/L, and the filter short of its most by a five-millionth then.
    assert!((stock.unwrap() / 0.75 - 1.0).abs() < 1e-6, "{stock:?}");
    // With a limit the limit decides: S = 2 in the tank, S_f = 2 − N/Q, N = 15 S_f/(1.9 + S_f).
    let mut limited = over.clone();
    limited.tanks[0].limits.tan = Some(mg_l(2.0));
    let (_, stock, bound) = shortage(&limited);
    let tan_limit = StockBound::Limit {
        tank: 0,
        what: LoopLimit::Tan,
    };
    assert_eq!(bound, Some(tan_limit));
    let n = 20.0 * stock.unwrap();
    let s_f = 2.0 - n / 60.0;
    assert!((n / (15.0 * s_f / (1.9 + s_f)) - 1.0).abs() < 1e-9);

    assert_eq!(shortage(&one(6.0, None)).0, Shortage::NothingTakesAmmonia);

    let mut still = one(0.0, None);
    still.lifts[0].count = 0;
    assert_eq!(shortage(&still).0, Shortage::NothingExchanges(Gas::Oxygen));

    // 400 g/h of oxygen through 60 m³/h: C = 9.4 − 400/18 before any filter.
    let mut crowded = one(0.0, None);
    crowded.tanks[0].load.oxygen = g_h(400.0);
    let (short, stock, bound) = shortage(&crowded);
    let Shortage::OxygenRunsOut { place, would_be } = short else {
        panic!("{short:?}")
    };
    assert_eq!(place, Place::Tank(0));
    assert!((in_mg_l(would_be) - (9.4 - 400.0 / 18.0)).abs() < 1e-9);
    assert!(
        (stock.unwrap() / (9.4 * 18.0 / 400.0) - 1.0).abs() < 1e-9,
        "{stock:?}"
    );
    assert_eq!(bound, Some(StockBound::Oxygen(Place::Tank(0))));
}

/// Within its largest stock a loop holds its limits, and a little beyond it fails that which bounds it.
#[test]
fn the_largest_stock_is_the_largest() {
    let mut rng = StdRng::seed_from_u64(43);
    let mut found = 0;
    for _ in 0..60 {
        let mut of = any(&mut rng);
        for tank in &mut of.tanks {
            tank.limits = Limits {
                oxygen: Some(mg_l(5.0)),
                tan: Some(mg_l(2.0)),
                carbon_dioxide: Some(mg_l(15.0)),
                ..Limits::NONE
            };
        }
        let Some(stock) = of.largest_stock().unwrap() else {
            continue;
        };
        let factor = stock.factor.get::<ratio>();
        if factor <= 0.0 {
            continue;
        }
        found += 1;
        let with = |factor: f64| {
            let mut of = of.clone();
            for tank in &mut of.tanks {
                tank.load.oxygen *= factor;
                tank.load.carbon_dioxide *= factor;
                tank.load.tan *= factor;
            }
            if let Some(filter) = &mut of.filter {
                filter.other_oxygen *= factor;
            }
            of.steady()
                .unwrap()
                .steady()
                .is_some_and(risewater::recirculation::Steady::holds)
        };
        assert!(
            with(factor * (1.0 - 1e-6)) && !with(factor * (1.0 + 1e-6)),
            "{stock:?} {of:?}"
        );
    }
    assert!(found > 20, "{found}");
}

/// Changes: fewer lifts are a loop of fewer lifts; a filter passed by is none; warmer water holds less, and its film
/// takes more.
#[test]
fn changes() {
    let mut film = filter(monod(15.0, 1.9, Through::Mixed), 4.57, 4.0);
    film.theta = part(1.05);
    let of = Loop::new(
        air(),
        vec![tank(40.0, load(30.0, 5.0)).with_surface(surface(2.0, 9.0))],
        Some(film),
        vec![lifts(12, 5.0, 0.3, 9.4)],
    );
    let off = of
        .changed(&LoopChange::LiftsOff { group: 0, lifts: 4 })
        .unwrap();
    let mut fewer = of.clone();
    fewer.lifts[0].count = 8;
    assert_eq!(steady(&off), steady(&fewer));
    let bypassed = of.changed(&LoopChange::FilterBypassed).unwrap();
    assert!(bypassed.filter.is_none());
    let rise = TemperatureInterval::new::<kelvin_interval>(3.0);
    let warm = of.changed(&LoopChange::Warmer(rise)).unwrap();
    // Monod, mixed, closed: S_f = K P/(A r θ³ − P).
    let s_f = |of: &Loop| in_mg_l(steady(of).after_filter.tan);
    let expected = 1.9 * 5.0 / (15.0 * 1.05f64.powi(3) - 5.0);
    assert!((s_f(&warm) / expected - 1.0).abs() < 1e-9);
    // Oxygen at the lifts and the surface falls in proportion to saturation, the demand stays.
    let saturation = |air: &Conditions| in_mg_l(Dissolved::saturated(air).unwrap().oxygen);
    let factor = saturation(&warm.air) / saturation(&of.air);
    assert!(factor < 0.95);
    let expected = (18.0 * 9.4 + 2.0 * 9.0) * (factor - 1.0) / 20.0;
    assert!((oxygen(&steady(&warm), 0) - oxygen(&steady(&of), 0) - expected).abs() < 1e-9);
}

/// The aerator by its standard rate adds what the standard's formula says.
#[test]
fn an_aerator_adds_its_field_rate() {
    use risewater::gas::aeration::{Field, field_transfer_rate};
    let aerator = Aerator {
        alpha: part(0.8),
        beta: part(0.97),
        ..Aerator::clean(g_h(120.0))
    };
    let of = Loop::new(
        air(),
        vec![tank(40.0, load(60.0, 0.0)).with_aerator(aerator)],
        Some(demand(10.0)),
        vec![lifts(12, 5.0, 0.3, 9.4)],
    );
    let found = steady(&of);
    let field = Field::clean(
        of.air.temperature,
        of.air.pressure,
        found.tanks[0].holds.gases.oxygen,
    )
    .with_alpha(aerator.alpha)
    .with_beta(aerator.beta);
    let expected = in_g_h(field_transfer_rate(aerator.standard_rate, &field).unwrap());
    let got = in_g_h(found.budget.aerators[0]);
    assert!((got / expected - 1.0).abs() < 1e-9, "{got} {expected}");
    assert_eq!(found.budget.aerators[1], g_h(0.0));
    assert!(found.tanks[0].total_gas_pressure.unwrap().get::<percent>() < 101.0);
}
