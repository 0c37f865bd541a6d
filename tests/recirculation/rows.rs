//! Every row of tests/data/loop_checks.csv, to its printed digits.

use std::collections::BTreeMap;

use risewater::air::pressure_at_altitude;
use risewater::gas::{Conditions, Dissolved, Gas, saturation};
use risewater::recirculation::{
    AfterMeal, AirOff, Base, DayPlan, Feeding, FilterDuty, Lasts, LiftExchange, LiftGroup, Loop,
    LoopTank, Meal, MealForm, MealHeight, Moles, Nitrification, Place, Shortage, SteadyOutcome,
    StockBound, TankLoad, Through, foot_weight, pass_part, respired, return_time,
};
use risewater::units::{
    AbsolutePressure, Area, Length, MassFlux, ThermodynamicTemperature, cubic_meter,
    cubic_meter_per_hour, degree_celsius, gram_per_day, gram_per_square_meter_day, meter, minute,
    pascal, ratio, square_meter,
};

use super::report::Report;
use super::table::{Row, rows};
use super::{
    air, day, demand, filter, g_h, half_order, hours, in_g_h, in_hours, in_mg_l, lifts, load, m3,
    m3_h, makeup, mg_l, monod, oxygen, part, share_of_pass, steady, surface, tank, with_oxygen,
};

/// Numbers of `name=value; name=value`, each to be asked for once at least.
struct Numbers {
    all: BTreeMap<String, String>,
}

impl Numbers {
    fn of(pairs: &str) -> Self {
        let pairs = pairs.split("; ").filter_map(|pair| pair.split_once('='));
        let all = pairs.map(|(name, value)| (name.to_owned(), value.to_owned()));
        Self { all: all.collect() }
    }

    fn text(&self, name: &str) -> &str {
        self.all.get(name).unwrap_or_else(|| panic!("no {name}"))
    }

    fn get(&self, name: &str) -> f64 {
        self.text(name).parse().unwrap()
    }

    fn or(&self, name: &str, other: f64) -> f64 {
        if self.all.contains_key(name) {
            self.get(name)
        } else {
            other
        }
    }
}

/// A row under test: what it gives, and what came of it.
struct Check<'a> {
    id: &'a str,
    given: Numbers,
    expected: Numbers,
    report: &'a mut Report,
    asked: Vec<String>,
}

impl Check<'_> {
    fn given(&self, name: &str) -> f64 {
        self.given.get(name)
    }

    /// One of the outputs, at the relative 1e-9 that the head of the file states.
    fn is(&mut self, name: &str, got: f64) {
        self.within(name, got, 1e-9);
    }

    fn within(&mut self, name: &str, got: f64, relative: f64) {
        let expected = self.expected.get(name);
        let tolerance = relative * expected.abs().max(1e-12);
        let id = format!("{} {name}", self.id);
        if expected == 0.0 {
            assert!(got.abs() < 1e-12, "{id}: {got}");
        } else {
            self.report.row(&id, expected, got, tolerance);
        }
        self.asked.push(name.to_owned());
    }
}

#[test]
fn every_row() {
    let mut report = Report::default();
    let (mut run, mut outputs) = (0, 0);
    for row in rows("loop_checks.csv") {
        let mut check = Check {
            id: row.text("id"),
            given: Numbers::of(row.text("inputs")),
            expected: Numbers::of(row.text("outputs")),
            report: &mut report,
            asked: Vec::new(),
        };
        one(&row, &mut check);
        let left: Vec<_> = check.expected.all.keys().collect();
        let left: Vec<_> = left
            .into_iter()
            .filter(|name| !check.asked.contains(name))
            .collect();
        assert!(left.is_empty(), "{}: {left:?} not compared", check.id);
        run += 1;
        outputs += check.asked.len();
    }
    assert_eq!(run, 71, "rows of the file");
    // Two outputs are exactly none, and one is endless; `is` asserts these by themselves.
    let compared = report.count;
    report.done("loop_checks.csv", compared);
    assert!(compared + 4 >= outputs, "{compared} of {outputs}");
}

#[allow(clippy::too_many_lines, reason = "one arm for each case of the file")]
fn one(row: &Row, check: &mut Check) {
    match row.text("case") {
        "nitrification" => nitrification(check),
        "nitrification_printed_equation" => {
            let moles = Moles {
                oxygen: check.given("O2_mol"),
                bicarbonate: check.given("HCO3_mol"),
                cells: check.given("cells_mol"),
                nitrate: check.given("NO3_mol"),
                carbon_dioxide: check.given("CO2_mol"),
            };
            let found = Nitrification::of(&moles, Base::Bicarbonate);
            check.is("o2_g_g", found.oxygen.get::<ratio>());
            check.is("alkalinity_g_CaCO3_g", found.alkalinity.get::<ratio>());
            check.is("cells_g_g", found.cells.get::<ratio>());
            check.is("co2_g_g", found.carbon_dioxide.get::<ratio>());
        }
        "co2_per_o2" => {
            let found = respired(part(check.given("respiratory_quotient"))).unwrap();
            check.is("co2_g_per_g_o2", found.get::<ratio>());
        }
        "lift_pass_fraction" => {
            let loading = part(check.given("beta_Q_over_G"));
            let found = pass_part(part(check.given("ntu")), loading).unwrap();
            check.is("E", found.get::<ratio>());
            let most = pass_part(part(1e3), loading).unwrap();
            check.is("ceiling", most.get::<ratio>());
        }
        "lift_pressure_falls" => {
            let n = check.given("ntu");
            let w = foot_weight(part(n)).unwrap().get::<ratio>();
            check.is("weight", w);
            let (foot, top) = (check.given("C_sat_foot"), check.given("C_sat_top"));
            let effective = top + w * (foot - top);
            check.is("C_sat_effective", effective);
            let covers = pass_part(part(n), part(0.0)).unwrap().get::<ratio>();
            let c = check.given("C_in");
            check.is("C_out", c + covers * (effective - c));
        }
        "tan_first_order" => {
            let law = share_of_pass(check.given("E_filter"));
            tan(check, law);
        }
        "tan_monod_mixed_filter" | "tan_monod_mixed_filter_overloaded" => {
            let law = monod(
                check.given("area_times_rmax_g_h"),
                check.given("K"),
                Through::Mixed,
            );
            tan(check, law);
        }
        "tan_monod_plug_filter" => {
            let law = monod(
                check.given("area_times_rmax_g_h"),
                check.given("K"),
                Through::Plug,
            );
            tan(check, law);
        }
        "tan_half_order_mixed_filter" => {
            let law = half_order(check.given("area_times_k"), Through::Mixed);
            tan(check, law);
        }
        "tan_half_order_plug_filter" => {
            let law = half_order(check.given("area_times_k"), Through::Plug);
            tan(check, law);
        }
        "temperature_factor" => temperature_factor(check),
        "oxygen_one_tank_closed_loop" => {
            let order = check.given.text("order").to_owned();
            let mut of = one_tank(check, check.given("R_g_h"), 0.0);
            of.filter = Some(demand(check.given("D_g_h")));
            if order == "lift-filter" {
                of = of.with_lifts_first();
            }
            let found = steady(&of);
            check.is("C_tank", oxygen(&found, 0));
            check.is("C_after_filter", in_mg_l(found.after_filter.gases.oxygen));
            check.is("C_after_lift", in_mg_l(found.after_lifts.gases.oxygen));
        }
        "oxygen_one_tank_all_terms" | "lifts_running" => all_terms(check),
        "carbon_dioxide_one_tank_all_terms" => carbon_dioxide(check),
        "limit_full_transfer_is_need" | "limit_no_animals" => {
            let mut of = one_tank(check, check.given("R_g_h"), 0.0);
            of.filter = Some(demand(check.given("D_g_h")));
            let found = steady(&of);
            check.is("C_tank", oxygen(&found, 0));
            if check.expected.all.contains_key("need_Q_m3_h") {
                // Q = R/(C_in − C), as `need` has it.
                let entering = in_mg_l(found.tanks[0].entering.gases.oxygen);
                let need = check.given("R_g_h") / (entering - oxygen(&found, 0));
                check.is("need_Q_m3_h", need);
            }
        }
        "filter_bypassed_steady" => {
            let of = one_tank(check, check.given("R_g_h"), check.given("P_g_h"));
            let found = steady(&of);
            check.is("S_tank", in_mg_l(found.tanks[0].holds.tan));
            check.is("C_tank", oxygen(&found, 0));
        }
        "filter_bypassed_tan_after" => {
            // A tank alone on its new water is one volume: 6d backwards, from a start to an end.
            let (v, qm) = (check.given("V_m3"), check.given("Qm_m3_h"));
            let end = check.given("P_g_h") / qm;
            let (start, level) = (check.given("S_start"), check.expected.get("S_tank"));
            let time = return_time(hours(v / qm), mg_l(start), mg_l(level), mg_l(end));
            // The time to the row's concentration is the row's time; back to a concentration by the slope.
            let found = in_hours(time.unwrap());
            let slope = (end - level) * qm / v;
            check.is("S_tank", level + slope * (found - check.given("hours")));
        }
        "largest_feed_for_a_limit" => largest_feed(check),
        "two_tanks_parallel" | "two_tanks_series" => two_tanks(check, row.text("case")),
        "two_tanks_own_lifts" => own_lifts(check),
        "day_two_tanks_parallel" => day_parallel(check),
        "day_tank_and_filter_volume" => filter_volume(check),
        "day_square_wave_one_meal" => square_wave(check),
        "day_square_wave_equal_meals" => equal_meals(check),
        "day_tan_and_oxygen" | "day_saturating_filter_numeric" => tan_and_oxygen(check),
        "day_rounded_meal" => rounded_meal(check),
        "air_off_minutes_to_limit" | "air_off_uptake_falls_below_critical" => air_off(check),
        "air_off_carbon_dioxide_and_tan_rise" => air_off_rises(check),
        "air_back_minutes_to_level" => {
            let mut of = one_tank(check, check.given("R_g_h"), 0.0);
            of.filter = Some(demand(check.given("D_g_h")));
            let end = steady(&of).tanks[0].holds.gases.oxygen;
            check.is("C_end", in_mg_l(end));
            let exchanged = check.given("Q_m3_h") * check.given("E");
            let (start, level) = (check.given("C_start"), check.given("C_level"));
            let time_constant = hours(check.given("V_m3") / exchanged);
            let time = return_time(time_constant, mg_l(start), mg_l(level), end);
            check.is("minutes", time.unwrap().get::<minute>());
        }
        "total_gas_pressure_closed_loop" => total_gas_pressure(check),
        "design_order_own_numbers" => design_order(check),
        case => panic!("{case}: no such case"),
    }
}

fn nitrification(check: &mut Check) {
    let y = part(check.given("y_mol_cells_per_mol_N"));
    let with = |base| Nitrification::with_cells(y, base).unwrap();
    let found = with(Base::Bicarbonate);
    check.is("o2_g_g", found.oxygen.get::<ratio>());
    check.is("alkalinity_g_CaCO3_g", found.alkalinity.get::<ratio>());
    check.is("cells_g_g", found.cells.get::<ratio>());
    check.is("nitrate_N_g_g", found.nitrate.get::<ratio>());
    check.is(
        "alkalinity_loop_g_CaCO3_g",
        found.alkalinity_of_loop.get::<ratio>(),
    );
    for (base, name) in [
        (Base::Bicarbonate, "bicarbonate"),
        (Base::Carbonate, "carbonate"),
        (Base::Hydroxide, "hydroxide"),
    ] {
        let found = with(base);
        check.is(
            &format!("co2_filter_{name}_g_g"),
            found.carbon_dioxide.get::<ratio>(),
        );
        check.is(
            &format!("co2_loop_{name}_g_g"),
            found.carbon_dioxide_of_loop.get::<ratio>(),
        );
    }
}

/// One tank with what the row gives of it: V 40 where it does not matter.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of lifts"
)]
fn one_tank(check: &Check, uptake: f64, tan: f64) -> Loop {
    let given = &check.given;
    let mut tank = tank(given.or("V_m3", 40.0), load(uptake, tan));
    let flow = given.or("Qm_m3_h", 0.0);
    if flow > 0.0 {
        tank = tank.with_makeup(makeup(
            flow,
            given.or("C_makeup", 8.0),
            given.or("S_makeup", 0.0),
        ));
    }
    let exchange = given.or("KsV_m3_h", 0.0);
    if exchange > 0.0 {
        tank = tank.with_surface(surface(exchange, given.get("C_sat_surface")));
    }
    let count = given.or("lifts", 12.0);
    let flow = given.or("Q_per_lift_m3_h", given.or("Q_m3_h", 60.0) / 12.0);
    let lifts = lifts(
        count as u32,
        flow,
        given.or("E", 0.5),
        given.or("C_sat_lift", 9.0),
    );
    Loop::new(air(), vec![tank], None, vec![lifts])
}

fn tan(check: &mut Check, law: risewater::recirculation::RateLaw) {
    let mut of = one_tank(check, 0.0, check.given("P_g_h"));
    of.filter = Some(filter(law, 0.0, 0.0));
    let found = steady(&of);
    check.is("S_tank", in_mg_l(found.tanks[0].holds.tan));
    for name in ["S_filter", "S_after_filter"] {
        if check.expected.all.contains_key(name) {
            check.is(name, in_mg_l(found.after_filter.tan));
        }
    }
    if check.expected.all.contains_key("nitrified_g_h") {
        check.is("nitrified_g_h", in_g_h(found.nitrified));
    }
}

/// A filter that is far from saturated takes more by the factor.
fn temperature_factor(check: &mut Check) {
    let mut warm = filter(monod(10.0, 2.0, Through::Plug), 0.0, 0.0);
    warm.theta = part(check.given("theta"));
    let t = 15.0;
    let celsius = ThermodynamicTemperature::new::<degree_celsius>;
    warm.rate_temperature = Some(celsius(t));
    let rate = |at: f64| {
        // So much ammonia that the film is full: the rate of the area itself.
        let found = warm.nitrified(mg_l(1e6), m3_h(100.0), celsius(at));
        in_g_h(found.unwrap())
    };
    // Of K over 10⁶ mg/L each a two-millionth is missing, and the same of both.
    check.is("factor", rate(t + check.given("dT")) / rate(t));
}

fn all_terms(check: &mut Check) {
    let mut of = one_tank(check, check.given("R_g_h"), check.given("P_g_h"));
    let (nu, other) = (check.given("nu"), check.given("B_g_h"));
    of.filter = Some(filter(share_of_pass(check.given("E_filter")), nu, other));
    // With four lifts the balance leaves less than no oxygen behind the filter: the row has what it comes to.
    let found = if check.id == "L040" {
        let SteadyOutcome::Cannot {
            shortage: Shortage::OxygenRunsOut { place, .. },
            would_be: Some(found),
            ..
        } = of.steady().unwrap()
        else {
            panic!("L040 does not balance")
        };
        assert_eq!(place, Place::AfterFilter);
        *found
    } else {
        steady(&of)
    };
    check.is("S_tank", in_mg_l(found.tanks[0].holds.tan));
    check.is("C_tank", oxygen(&found, 0));
    if !check.expected.all.contains_key("D_g_h") {
        return;
    }
    check.is("nitrified_g_h", in_g_h(found.nitrified));
    check.is("D_g_h", -in_g_h(found.budget.filter[0]));
    check.is("C_after_filter", in_mg_l(found.after_filter.gases.oxygen));
    check.is("C_after_lift", in_mg_l(found.after_lifts.gases.oxygen));
    check.is("lift_adds_g_h", in_g_h(found.budget.lifts[0]));
    check.is("surface_adds_g_h", in_g_h(found.budget.surfaces[0]));
    check.is("makeup_adds_g_h", in_g_h(found.budget.makeup[0]));
}

fn carbon_dioxide(check: &mut Check) {
    let gases = |carbon_dioxide: f64| Dissolved {
        carbon_dioxide: mg_l(carbon_dioxide),
        ..with_oxygen(9.0)
    };
    let animals = TankLoad {
        carbon_dioxide: g_h(check.given("released_in_tank_g_h")),
        ..load(0.0, 0.0)
    };
    let mut tank = tank(40.0, animals);
    let mut new = makeup(check.given("Qm_m3_h"), 8.0, 0.0);
    new.holds.gases = gases(check.given("C_makeup"));
    tank = tank.with_makeup(new);
    let mut surface = surface(check.given("KsV_m3_h"), 9.0);
    surface.equilibrium = Some(gases(check.given("C_eq_surface")));
    tank = tank.with_surface(surface);
    let lifts = LiftGroup::new(
        "lifts",
        12,
        m3_h(check.given("Q_m3_h") / 12.0),
        LiftExchange::part(part(check.given("E_co2")), gases(check.given("C_eq"))),
    );
    // All of the filter's carbon dioxide as that of other bacteria which take 100 g of oxygen an hour.
    let mut filter = demand(100.0);
    filter.other_carbon_dioxide = part(check.given("released_in_filter_g_h") / 100.0);
    let found = steady(&Loop::new(air(), vec![tank], Some(filter), vec![lifts]));
    let c = |of: &Dissolved| in_mg_l(of.carbon_dioxide);
    check.is("C_tank", c(&found.tanks[0].holds.gases));
    check.is("C_after_filter", c(&found.after_filter.gases));
    check.is("C_after_lift", c(&found.after_lifts.gases));
}

/// The row's stock for 4 kg/d, its filter the one that the others of the file have: 0.2245848 g/g is ν P and B.
fn largest_feed(check: &mut Check) {
    let feed = 4000.0;
    let an_hour = feed / 24.0;
    let tan = 0.092 * 0.42 * an_hour;
    let mut of = one_tank(check, check.given("fish_g_O2_per_g_feed") * an_hour, tan);
    let all = check.given("filter_g_O2_per_g_feed") * an_hour;
    of.filter = Some(filter(share_of_pass(0.4), 4.57, all - 4.57 * tan));
    of.tanks[0].limits.oxygen = Some(mg_l(check.given("C_limit")));
    let found = of.largest_stock().unwrap().unwrap();
    assert!(matches!(found.bound, StockBound::Limit { tank: 0, .. }));
    check.is("feed_g_d", feed * found.factor.get::<ratio>());
}

fn two_tanks(check: &mut Check, case: &str) {
    let tank = |n: usize| {
        let uptake = check.given(&format!("R{n}_g_h"));
        let share = check.given.or(&format!("Q{n}_m3_h"), 1.0);
        tank(20.0, load(uptake, 0.0)).with_share(part(share))
    };
    let q = check.given.or("Q_m3_h", 60.0);
    let lifts = lifts(12, q / 12.0, check.given("E"), check.given("C_sat_lift"));
    let filter = demand(check.given("D_g_h"));
    let mut of = Loop::new(air(), vec![tank(1), tank(2)], Some(filter), vec![lifts]);
    if case == "two_tanks_series" {
        of = of.in_series();
    }
    let found = steady(&of);
    check.is("C_tank1", oxygen(&found, 0));
    check.is("C_tank2", oxygen(&found, 1));
    check.is("C_after_lift", in_mg_l(found.after_lifts.gases.oxygen));
}

fn own_lifts(check: &mut Check) {
    let tank = |n: usize| tank(20.0, load(check.given(&format!("R{n}_g_h")), 0.0));
    let group = |n: usize| {
        let (flow, covers) = (format!("Q{n}_m3_h"), format!("E{n}"));
        let flow = check.given(&flow) / 4.0;
        lifts(4, flow, check.given(&covers), check.given("C_sat_lift")).for_tank(n - 1)
    };
    let filter = demand(check.given("D_g_h"));
    let tanks = vec![tank(1), tank(2)];
    let found = steady(&Loop::new(
        air(),
        tanks,
        Some(filter),
        vec![group(1), group(2)],
    ));
    // The sump of the row lies behind the filter.
    check.is("C_sump", in_mg_l(found.after_filter.gases.oxygen));
    check.is("C_tank1", oxygen(&found, 0));
    check.is("C_tank2", oxygen(&found, 1));
}

/// Mean and peak of a square wave.
fn mean(high: f64, low: f64, length: f64) -> f64 {
    (high * length + low * (24.0 - length)) / 24.0
}

/// Meals at these times, each followed by a square.
fn squares(at: &[f64], length: f64, oxygen: f64, ammonia: f64) -> Feeding {
    let share = part(1.0 / at.len() as f64);
    let meals = at.iter().map(|at| Meal {
        at: hours(*at),
        share,
    });
    let square = |peak: f64| AfterMeal {
        form: MealForm::Square {
            length: hours(length),
        },
        height: MealHeight::PeakOverMean(part(peak)),
    };
    Feeding::new(meals.collect())
        .with_oxygen(square(oxygen))
        .with_ammonia(square(ammonia))
}

fn day_parallel(check: &mut Check) {
    let of = |name: &str, n: usize| {
        check.given(&format!(
            "{name}{n}{}",
            match name {
                "V" => "_m3",
                "Q" => "_m3_h",
                _ => panic!("{name}"),
            }
        ))
    };
    let uptake = |n: usize| {
        let high = check.given(&format!("R{n}_high_g_h"));
        let low = check.given(&format!("R{n}_low_g_h"));
        (high, mean(high, low, 8.0))
    };
    let one = |n: usize| tank(of("V", n), load(uptake(n).1, 0.0)).with_share(part(of("Q", n)));
    let from = |n: usize| -> f64 {
        let text = check.given.text(&format!("R{n}_high_from_to_h"));
        let (from, to) = text.split_once('-').unwrap();
        let (from, to): (f64, f64) = (from.parse().unwrap(), to.parse().unwrap());
        assert_eq!(to - from, 8.0);
        from
    };
    let feeding = |n: usize| {
        let (high, mean) = uptake(n);
        squares(&[from(n)], 8.0, high / mean, 1.0)
    };
    let plan = DayPlan::of_each(vec![feeding(1), feeding(2)]);
    let lifts = lifts(12, 5.0, check.given("E"), check.given("C_sat_lift"));
    let filter = demand(check.given("D_g_h"));
    let of = Loop::new(air(), vec![one(1), one(2)], Some(filter), vec![lifts]);
    let found = day(of.day(&plan).unwrap());
    for t in [0.0, 4.0, 8.0, 12.0] {
        let tanks = found.at(hours(t)).unwrap();
        check.is(&format!("C1_at_{t}h"), in_mg_l(tanks[0].gases.oxygen));
        check.is(&format!("C2_at_{t}h"), in_mg_l(tanks[1].gases.oxygen));
    }
    check.is("C1_mean", in_mg_l(found.tanks[0].mean.gases.oxygen));
    check.is("C2_mean", in_mg_l(found.tanks[1].mean.gases.oxygen));
}

fn filter_volume(check: &mut Check) {
    let (high, low) = (check.given("R_high_g_h"), check.given("R_low_g_h"));
    let length = check.given("high_hours");
    let mean = mean(high, low, length);
    let lifts = lifts(
        12,
        check.given("Q_m3_h") / 12.0,
        check.given("E"),
        check.given("C_sat_lift"),
    );
    let mut filter = demand(check.given("D_g_h"));
    filter.volume = m3(check.given("V_filter_m3"));
    let tank = tank(check.given("V_tank_m3"), load(mean, 0.0));
    let of = Loop::new(air(), vec![tank], Some(filter), vec![lifts]);
    let plan = DayPlan::new(squares(&[0.0], length, high / mean, 1.0));
    let found = day(of.day(&plan).unwrap());
    for t in [0.0, 2.0, 8.0] {
        let tank = found.at(hours(t)).unwrap()[0];
        check.is(&format!("tank_at_{t}h"), in_mg_l(tank.gases.oxygen));
        let filter = found.in_filter(hours(t)).unwrap().unwrap();
        check.is(&format!("filter_at_{t}h"), in_mg_l(filter.gases.oxygen));
    }
}

/// One tank with square waves after meals at these times.
fn waves(check: &Check, at: &[f64], length: f64) -> (Loop, DayPlan) {
    let (high, low) = (check.given("R_high_g_h"), check.given("R_low_g_h"));
    let mean = mean(high, low, length * at.len() as f64);
    let mut of = one_tank(check, mean, 0.0);
    of.filter = Some(demand(check.given("D_g_h")));
    (of, DayPlan::new(squares(at, length, high / mean, 1.0)))
}

fn square_wave(check: &mut Check) {
    let length = check.given("high_hours");
    let (of, plan) = waves(check, &[0.0], length);
    let exchanged = check.given("Q_m3_h") * check.given("E") + check.given("KsV_m3_h");
    check.is("tau_h", check.given("V_m3") / exchanged);
    let found = day(of.day(&plan).unwrap());
    let at = |t: f64| in_mg_l(found.at(hours(t)).unwrap()[0].gases.oxygen);
    check.is("C_start_of_meal", at(0.0));
    for t in [1.0, 4.0, 12.0] {
        check.is(&format!("C_{t}h"), at(t));
    }
    let least = found.least_oxygen().1;
    check.is("C_end_of_meal_lowest", in_mg_l(least.value));
    assert!((in_hours(least.at) - length).abs() < 1e-9);
    check.is("C_mean", in_mg_l(found.tanks[0].mean.gases.oxygen));
    let steady = oxygen(&found.steady, 0);
    check.is("C_mean", steady);
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of meals"
)]
fn equal_meals(check: &mut Check) {
    let (meals, length) = (check.given("meals"), check.given("high_hours_each"));
    // The inputs have twelve digits: a third of a day to all of them.
    let length = if meals == 3.0 { 8.0 / 3.0 } else { length };
    let at: Vec<f64> = (0..meals as usize)
        .map(|n| 24.0 / meals * n as f64)
        .collect();
    let (of, plan) = waves(check, &at, length);
    let found = day(of.day(&plan).unwrap());
    check.is("C_lowest", in_mg_l(found.least_oxygen().1.value));
    let highest = found
        .samples
        .iter()
        .map(|one| in_mg_l(one.tanks[0].gases.oxygen));
    check.is("C_highest", highest.fold(0.0, f64::max));
}

fn tan_and_oxygen(check: &mut Check) {
    let length = check.given("high_hours");
    let of = |name: &str| {
        let high = check.given(&format!("{name}_high_g_h"));
        let low = check.given(&format!("{name}_low_g_h"));
        (high, mean(high, low, length))
    };
    let ((r, r_mean), (p, p_mean)) = (of("R"), of("P"));
    let mut of = one_tank(check, r_mean, p_mean);
    let saturates = check.given.all.contains_key("K");
    let law = if saturates {
        let most = check.given("area_times_rmax_g_h");
        monod(most, check.given("K"), Through::Mixed)
    } else {
        share_of_pass(check.given("E_filter"))
    };
    of.filter = Some(filter(law, check.given("nu"), check.given("B_g_h")));
    let plan = DayPlan::new(squares(&[0.0], length, r / r_mean, p / p_mean));
    let found = day(of.day(&plan).unwrap());
    for name in check.expected.all.keys().cloned().collect::<Vec<_>>() {
        let Some((what, t)) = name.split_once('_') else {
            panic!("{name}")
        };
        let Some(t) = t.strip_suffix('h').and_then(|t| t.parse().ok()) else {
            continue;
        };
        let tank = found.at(hours(t)).unwrap()[0];
        let got = match what {
            "S" => tank.tan,
            "C" => tank.gases.oxygen,
            _ => continue,
        };
        check.is(&name, in_mg_l(got));
    }
    let steady_tan = in_mg_l(found.steady.tanks[0].holds.tan);
    let mean_tan = in_mg_l(found.tanks[0].mean.tan);
    if saturates {
        check.is("S_steady_of_mean", steady_tan);
        // Not linear: the mean of the day is another one.
        assert!(
            (mean_tan / steady_tan - 1.0).abs() > 1e-3,
            "{mean_tan} {steady_tan}"
        );
        return;
    }
    let (v, qm) = (check.given("V_m3"), check.given("Qm_m3_h"));
    let q = check.given("Q_m3_h");
    check.is("alpha_1_h", (qm + check.given("E_filter") * q) / v);
    check.is(
        "beta_1_h",
        (qm + check.given("E") * q + check.given("KsV_m3_h")) / v,
    );
    let least = found.least_oxygen().1;
    check.is("C_lowest", in_mg_l(least.value));
    check.is("t_lowest_h", in_hours(least.at));
    check.is("S_mean", mean_tan);
    check.is("S_mean", steady_tan);
    check.is("C_mean", in_mg_l(found.tanks[0].mean.gases.oxygen));
    check.is("C_mean", oxygen(&found.steady, 0));
}

fn rounded_meal(check: &mut Check) {
    let (base, total) = (check.given("R_base_g_h"), check.given("meal_total_g"));
    let mean = base + total / 24.0;
    let mut of = one_tank(check, mean, 0.0);
    of.filter = Some(demand(check.given("D_g_h")));
    let form = MealForm::Rounded {
        slow: hours(check.given("t1_h")),
        fast: hours(check.given("t2_h")),
    };
    check.is("t_peak_of_one_meal_alone_h", in_hours(form.top_after()));
    let height = MealHeight::ShareOfDay(part(total / 24.0 / mean));
    let meal = Meal {
        at: hours(0.0),
        share: part(1.0),
    };
    let plan = DayPlan::new(Feeding::new(vec![meal]).with_oxygen(AfterMeal { form, height }));
    let found = day(of.day(&plan).unwrap());
    let (peak, at) = found.tanks[0].peak;
    check.is("peak_over_mean", peak.get::<ratio>());
    check.is("peak_uptake_g_h", peak.get::<ratio>() * mean);
    check.is("t_peak_uptake_h", in_hours(at));
    for t in [0.0, 2.0, 12.0] {
        let tank = found.at(hours(t)).unwrap()[0];
        check.is(&format!("C_{t}h"), in_mg_l(tank.gases.oxygen));
    }
    let least = found.least_oxygen().1;
    check.is("C_lowest", in_mg_l(least.value));
    check.is("t_lowest_h", in_hours(least.at));
}

fn air_off(check: &mut Check) {
    let k = check.given.or("KsV_m3_h", 0.0);
    let critical = check.given.all.contains_key("C_critical");
    let off = AirOff {
        volume: m3(check.given("V_m3")),
        uptake: g_h(check.given("R_g_h")),
        start: mg_l(check.given("C_start")),
        surface: (k > 0.0).then(|| (m3_h(k), mg_l(check.given("C_sat_surface")))),
        critical: critical.then(|| mg_l(check.given("C_critical"))),
    };
    let lasts = off.until(mg_l(check.given("C_limit"))).unwrap();
    if check.expected.text("minutes") == "inf" {
        assert_eq!(lasts, Lasts::Always);
        check.asked.push("minutes".to_owned());
    } else {
        check.is("minutes", lasts.seconds() / 60.0);
    }
    if !critical {
        let after = off.after(hours(20.0 / 60.0)).unwrap();
        check.is("C_after_20_min", in_mg_l(after));
    }
}

/// The rises of an hour, of a tank whose animals give off as much all day.
fn air_off_rises(check: &mut Check) {
    let animals = TankLoad {
        carbon_dioxide: g_h(check.given("P_co2_g_h") + 44.009 / 14.007 * check.given("P_tan_g_h")),
        ..load(40.0, check.given("P_tan_g_h"))
    };
    let mut tank = LoopTank::new("A", m3(check.given("V_m3")), animals);
    tank.limits.oxygen = Some(mg_l(3.0));
    let filter = filter(share_of_pass(0.4), 4.57, 0.0);
    let lifts = lifts(12, 5.0, 0.3, 9.4);
    let of = Loop::new(air(), vec![tank], Some(filter), vec![lifts]);
    let found = day(of.day(&DayPlan::new(Feeding::even())).unwrap());
    let stop = found.air_stops(None, None).unwrap()[0];
    let part_of_hour = check.given("minutes") / 60.0;
    check.is(
        "co2_rise",
        part_of_hour * in_mg_l(stop.carbon_dioxide_an_hour),
    );
    check.is("tan_rise", part_of_hour * in_mg_l(stop.tan_an_hour));
}

fn total_gas_pressure(check: &mut Check) {
    let p = check.expected.get("p_air_Pa");
    // The row's altitude is geopotential, ISO 2533 with the earth's radius of 6 356 766 m; ours is geometric.
    let geopotential = check.given("altitude_m");
    let geometric = 6_356_766.0 * geopotential / (6_356_766.0 - geopotential);
    let altitude = Length::new::<meter>(geometric);
    let atmosphere = pressure_at_altitude(altitude);
    check.is("p_air_Pa", atmosphere.unwrap().get::<pascal>());
    let conditions = Conditions::fresh(
        ThermodynamicTemperature::new::<degree_celsius>(check.given("t_degC")),
        AbsolutePressure::new::<pascal>(p),
    );
    let c_sat = in_mg_l(saturation(Gas::Oxygen, &conditions).unwrap());
    check.is("C_sat_surface_mg_L", c_sat);
    let c = check.given("oxygen_of_saturation") * c_sat;
    check.is("C_tank_mg_L", c);
    // The vapour pressure is that of USGS (2011) for oxygen: ln p = 11.8571 − 3840.70/T − 216 961/T² in atm.
    let p_v = check.expected.get("p_vapour_Pa");
    let t = check.given("t_degC") + 273.15;
    let usgs = (11.857_1 - 3_840.70 / t - 216_961.0 / (t * t)).exp();
    check.is("p_vapour_Pa", 101_325.0 * usgs);
    let n = check.given("ntu");
    let w = foot_weight(part(n)).unwrap().get::<ratio>();
    let fall = check.given("density") * 9.806_65 * check.given("foot_depth_m");
    let inert = 1.0 + fall * w / (p - p_v);
    check.is("inert_gas_percent", 100.0 * inert);
    let total =
        |oxygen: f64| 100.0 * ((0.790_54 * inert + 0.209_46 * oxygen) * (p - p_v) + p_v) / p;
    check.is("TGP_percent", total(c / c_sat));
    check.is("TGP_percent_if_oxygen_as_inert", total(inert));

    // The same of a loop whose lifts stand for such a pass, and whose animals take what leaves so much oxygen.
    let saturated = Dissolved::saturated(&conditions).unwrap();
    let equilibrium = Dissolved {
        oxygen: saturated.oxygen * inert,
        nitrogen: saturated.nitrogen * inert,
        argon: saturated.argon * inert,
        carbon_dioxide: saturated.carbon_dioxide * inert,
    };
    let covers = pass_part(part(n), part(0.0)).unwrap();
    // Tank after lift, without a filter: C = C* − R/(Q E).
    let uptake = (in_mg_l(equilibrium.oxygen) - c) * 60.0 * covers.get::<ratio>();
    let lifts = LiftGroup::new(
        "lifts",
        12,
        m3_h(5.0),
        LiftExchange::part(covers, equilibrium),
    );
    let of = Loop::new(
        conditions,
        vec![tank(40.0, load(uptake, 0.0))],
        None,
        vec![lifts],
    );
    let found = steady(&of).tanks[0].total_gas_pressure.unwrap();
    // Mole fractions of air add up to 1.00006, carbon dioxide is not one of the row's gases, and its vapour is
    // another's: 2e-4 of them all.
    let expected = check.expected.get("TGP_percent");
    assert!(
        (100.0 * found.get::<ratio>() / expected - 1.0).abs() < 2e-4,
        "{found:?} {expected}"
    );
}

fn design_order(check: &mut Check) {
    let feed = 1e3 * check.given("feed_kg_d");
    let tan = 0.092 * check.given("protein") * feed;
    check.is("P_TAN_g_d", tan);
    let duty = FilterDuty {
        tan: g_h(tan / 24.0),
        passive: part(check.given("passive_nitrification")),
        tan_limit: mg_l(check.given("S_tank")),
        nitrate_limit: mg_l(check.given("nitrate_N")),
        efficiency: part(check.given("E_filter")),
        rate: MassFlux::new::<gram_per_square_meter_day>(check.given("areal_rate_g_m2_d")),
        area_of_cubic_meter: Area::new::<square_meter>(check.given("specific_surface_m2_m3")),
    };
    let found = duty.size().unwrap();
    check.is(
        "makeup_m3_d",
        24.0 * found.makeup.get::<cubic_meter_per_hour>(),
    );
    check.is("TAN_to_filter_g_d", found.load.get::<gram_per_day>());
    check.is("Q_m3_h", found.flow.get::<cubic_meter_per_hour>());
    check.is("filter_area_m2", found.area.get::<square_meter>());
    check.is("filter_volume_m3", found.volume.get::<cubic_meter>());
}
