use risewater::answer::LoopAnswer;
use risewater::design::LOOP_EXAMPLE;
use risewater::recirculation::{Base, Nitrification, defaults};
use risewater::units::{Time, ratio};

use super::*;

const TOML: &str = "case-nursery.in/august.toml";
// Of the givens.
const AREA: f64 = 700.0;
const RATE: f64 = 0.6;
const HALF: f64 = 1.9;
const VOLUME: f64 = 6.0;
const PEAK: f64 = 1.4;
const PER_FEED: f64 = 0.25;
const BACTERIA: f64 = 0.13;
const PER_PROTEIN: f64 = 0.092;
const PROTEIN: f64 = 0.45;

fn solve(text: &str, set: &[&str]) -> LoopAnswer {
    let set: Vec<String> = set.iter().map(ToString::to_string).collect();
    let asked = design(text, &set).water_loop().unwrap();
    LoopAnswer::of(&asked.water, &asked.day, &asked.terms()).unwrap()
}

/// Least oxygen, mg/L.
fn least(answer: &LoopAnswer) -> f64 {
    1e3 * answer.least_oxygen.as_ref().unwrap().oxygen_kg_per_m3
}

/// The n-th tank of the example, as the page has it.
fn tank(n: usize, key: &str) -> String {
    said(LOOP_EXAMPLE.split("[[rearing_tank]]").nth(n).unwrap(), key)
}

/// Oxygen that the animals of a kilogram take, mean of the day, g/h.
fn of_kilogram(percent_a_day: f64) -> f64 {
    PER_FEED * 10.0 * percent_a_day / 24.0
}

#[test]
fn givens_are_the_examples() {
    let value = |key: &str| said(LOOP_EXAMPLE, key);
    let volume = value("volume").replace("m3", "m³");
    let percent = |n: usize| tank(n, "feed_rate").replace("%/d", "%");
    assert_eq!(
        format!(
            "A and B | {volume} each, with {} of fry; a daily feed of {} by",
            tank(1, "biomass"),
            percent(1)
        ),
        "A and B | 6 m³ each, with 16 kg of fry; a daily feed of 4 % by"
    );
    assert_eq!(
        format!(
            "C and D | as large, {} each; {} a",
            tank(3, "biomass"),
            percent(3)
        ),
        "C and D | as large, 26 kg each; 3 % a"
    );
    assert_eq!(volume, format!("{VOLUME} m³"));
    let meals = value("meals");
    let meals: Vec<&str> = meals.split(", ").collect();
    assert_eq!(
        format!(
            "feed | protein {}; the last meal at {}",
            value("protein"),
            meals[2]
        ),
        "feed | protein 45 %; the last meal at 15 h"
    );
    let filter = LOOP_EXAMPLE.split("[filter]").nth(1).unwrap();
    let (area, rate) = (
        said(filter, "area").replace("m2", "m²"),
        said(filter, "rate").replace("/(m2 d)", ""),
    );
    assert_eq!(
        format!(
            "area A of {area}, at most {rate} of TAN for each m² and day (r); half of that at {} (K)",
            said(filter, "half_saturation")
        ),
        "area A of 700 m², at most 0.6 g of TAN for each m² and day (r); half of that at 1.9 mg/L (K)",
    );
    assert_eq!(
        [area, rate, said(filter, "half_saturation")],
        [
            format!("{AREA} m²"),
            format!("{RATE} g"),
            format!("{HALF} mg/L")
        ]
    );
    let answer = solve(LOOP_EXAMPLE, &[]);
    let [all, through] = [
        answer.water_flow_m3_per_s,
        answer.tanks[2].water_flow_m3_per_s,
    ]
    .map(|flow| 60e3 * flow);
    assert_eq!(
        format!(
            "twelve, {all:.0} L/min in all, {through:.1} L/min through each tank | water | {} on",
            value("temperature")
        ),
        "twelve, 1994 L/min in all, 498.4 L/min through each tank | water | 27 °C on"
    );
    let mut defaults = risewater::need::defaults::ALL.iter();
    let warm = defaults.find(|one| one.name == "least dissolved oxygen, warm water");
    let limit = warm.unwrap().value;
    let survive = value("survival_oxygen");
    assert_eq!(
        format!("at least {limit} mg/L; the animals are said to survive {survive}"),
        "at least 5 mg/L; the animals are said to survive 2 mg/L"
    );
    let worst = &answer.tanks[2];
    let uptake = of_kilogram(3.0) * 26.0;
    let minutes = |level: f64| 60.0 * VOLUME * (least(&answer) - level) / (PEAK * uptake);
    assert!((worst.time_to_limit_s.unwrap() / 60.0 - minutes(limit)).abs() < 0.05);
    assert!((worst.time_to_survival_s.unwrap() / 60.0 - minutes(2.0)).abs() < 0.05);
    let nitrogen = Nitrification::with_cells(defaults::CELLS_PER_NITROGEN.value, Base::Bicarbonate)
        .unwrap()
        .oxygen
        .get::<ratio>();
    assert_eq!(
        format!(
            "protein, {PER_PROTEIN} becomes. animals use {PER_FEED} kg of oxygen. other bacteria {BACTERIA} kg. A. takes {nitrogen:.2} g of. After a meal the animals take {PEAK} times the"
        ),
        "protein, 0.092 becomes. animals use 0.25 kg of oxygen. other bacteria 0.13 kg. A. takes 4.18 g of. After a meal the animals take 1.4 times the",
    );

    // Step by step.
    let feed = 2.0 * 16.0 * 0.04 + 2.0 * 26.0 * 0.03;
    let [a, fed_a, c, fed_c] = [16.0, 0.04, 26.0, 0.03];
    assert_eq!(
        format!(
            "A and B hold {} kg together, C and D {} kg. So the feed is {} cdot {fed_a} + {} cdot {fed_c} = {feed:.2} kg a",
            2.0 * a,
            2.0 * c,
            2.0 * a,
            2.0 * c
        ),
        "A and B hold 32 kg together, C and D 52 kg. So the feed is 32 cdot 0.04 + 52 cdot 0.03 = 2.84 kg a"
    );
    let excreted = 1e3 * feed * PROTEIN * PER_PROTEIN;
    let most = AREA * RATE;
    assert_eq!(
        format!(
            "P = {:.0} cdot {PROTEIN} cdot {PER_PROTEIN} = {excreted:.0} mathrm g/d",
            1e3 * feed
        ),
        "P = 2840 cdot 0.45 cdot 0.092 = 118 mathrm g/d"
    );
    let in_filter = |excreted: f64| HALF * excreted / (most - excreted);
    assert_eq!(
        format!(
            "A r = {most} g/d. The. frac {HALF} cdot {excreted:.0}  {most} - {excreted:.0} = {:.2} mathrm mg/L",
            in_filter(excreted)
        ),
        "A r = 420 g/d. The. frac 1.9 cdot 118  420 - 118 = 0.74 mathrm mg/L",
    );
    let flow = 24.0 * 0.06 * all;
    let in_tanks = in_filter(excreted) + excreted / flow;
    assert_eq!(
        format!("Q of {flow:.0} m³ a day. hold {in_tanks:.2} mg/L in"),
        "Q of 2871 m³ a day. hold 0.78 mg/L in"
    );
    let asked = design(LOOP_EXAMPLE, &[]).water_loop().unwrap();
    let steady = asked.water.steady().unwrap();
    let steady = steady.steady().unwrap();
    let mg_l = |held: risewater::units::MassConcentration| 1e3 * held.value;
    assert!((mg_l(steady.sump.tan) - in_tanks).abs() < 1e-3);
    let animals = PER_FEED * 1e3 * feed / 24.0;
    let (nitrifying, other) = (nitrogen * excreted / 24.0, BACTERIA * 1e3 * feed / 24.0);
    let sum = animals + nitrifying + other;
    assert_eq!(
        format!(
            "{PER_FEED} cdot {:.0}/{day} | {animals:.1} | nitrifying",
            1e3 * feed,
            day = 24.0
        ),
        "0.25 cdot 2840/24 | 29.6 | nitrifying"
    );
    assert_eq!(
        format!(
            "{nitrogen:.2} cdot {excreted:.0}/{day} | {nitrifying:.1} | other",
            day = 24.0
        ),
        "4.18 cdot 118/24 | 20.5 | other"
    );
    assert_eq!(
        format!(
            "{BACTERIA} cdot {:.0}/{day} | {other:.1} | all | {sum:.1} | Only",
            1e3 * feed,
            day = 24.0
        ),
        "0.13 cdot 2840/24 | 15.4 | all | 65.4 | Only"
    );
    let passes = 0.06 * through;
    assert_eq!(
        format!(
            "back, in {:.1} m³ of water an hour. So each pass must add {:.2} mg/L. The animals of tank C take {uptake:.1} g/h, and {passes:.1} m³/h pass: its water loses only {:.2} mg/L on",
            0.06 * all,
            sum / (0.06 * all),
            uptake / passes
        ),
        "back, in 119.6 m³ of water an hour. So each pass must add 0.55 mg/L. The animals of tank C take 8.1 g/h, and 29.9 m³/h pass: its water loses only 0.27 mg/L on",
    );
    let here = &steady.tanks[2];
    let fall = mg_l(here.entering.gases.oxygen) - mg_l(here.holds.gases.oxygen);
    assert!((fall - uptake / passes).abs() < 1e-3);
    let hour = worst.least_oxygen_time_s / 3600.0;
    let left = least(&answer);
    assert_eq!(
        format!(
            "oxygen at {hour:.0}:{:02.0}, two. meal: {left:.2} mg/L. Suppose",
            0.0
        ),
        "oxygen at 17:00, two. meal: 5.62 mg/L. Suppose"
    );
    assert_eq!(
        format!(
            "take {PEAK} cdot {uptake:.1} = {:.1} g/h out of {VOLUME} m³, which is {:.2} mg/L an hour: | down",
            PEAK * uptake,
            PEAK * uptake / VOLUME
        ),
        "take 1.4 cdot 8.1 = 11.4 g/h out of 6 m³, which is 1.90 mg/L an hour: | down",
    );
    assert_eq!(
        format!(
            "limit, {limit} mg/L | {:.0} min | {:.2} | what",
            minutes(limit),
            left - limit
        ),
        "limit, 5 mg/L | 20 min | 0.62 | what"
    );
    assert_eq!(
        format!(
            "they survive, {survive} | {:.0} min | {:.2} | With",
            minutes(2.0),
            left - 2.0
        ),
        "they survive, 2 mg/L | 115 min | 3.62 | With"
    );
    let two_off = &answer.changes[0];
    assert_eq!(
        (two_off.lifts_off, two_off.holds, answer.holds),
        (Some(2), true, true)
    );
    assert_eq!(
        format!(
            "least is {:.2} mg/L, still",
            1e3 * two_off.least_oxygen.as_ref().unwrap().oxygen_kg_per_m3
        ),
        "least is 5.15 mg/L, still"
    );

    // The first two exercises.
    let (held, night) = (6.20, of_kilogram(4.0) * 16.0);
    assert_eq!(
        format!("tank A holds {held:.2} mg/L and"),
        "tank A holds 6.20 mg/L and"
    );
    assert_eq!(
        format!(
            "The {a} kg of tank A take {PER_FEED} cdot {a} cdot {:.0}/{day} = {night:.1} g/h out of {VOLUME} m³, or {:.2} mg/L an hour. From {held:.2} to {limit} mg/L that is {:.0} minutes",
            1e3 * fed_a,
            night / VOLUME,
            60.0 * (held - limit) * VOLUME / night,
            day = 24.0
        ),
        "The 16 kg of tank A take 0.25 cdot 16 cdot 40/24 = 6.7 g/h out of 6 m³, or 1.11 mg/L an hour. From 6.20 to 5 mg/L that is 65 minutes",
    );
    let grown = 1.03_f64.powi(7);
    let later = grown * excreted;
    let bound = most * 2.0 / (HALF + 2.0);
    assert_eq!(
        format!(
            "P is {grown:.2} cdot {excreted:.0} = {later:.0} g/d, so S_f is {HALF} cdot {later:.0}/({most} - {later:.0}) = {:.2} mg/L: a. For {two} mg/L, P is {most} cdot {two}/({HALF} + {two}) = {bound:.0} g/d, which is {:.1} times",
            in_filter(later),
            bound / excreted,
            two = a / 8.0
        ),
        "P is 1.23 cdot 118 = 145 g/d, so S_f is 1.9 cdot 145/(420 - 145) = 1.00 mg/L: a. For 2 mg/L, P is 420 cdot 2/(1.9 + 2) = 215 g/d, which is 1.8 times",
    );
    assert_eq!(
        format!("would it hold {} mg/L? Answer", a / 8.0),
        "would it hold 2 mg/L? Answer"
    );
}

#[test]
fn growth_and_the_afternoon() {
    let august = file(TOML);
    let days = 7;
    let daily = 1.03_f64;
    let growth = daily.powi(days);
    let [small, large] = [16.0, 26.0].map(|kg| kg * growth);
    assert_eq!(
        format!("grow by {:.0} % a day", 100.0 * (daily - 1.0)),
        "grow by 3 % a day"
    );
    assert_eq!(
        format!(
            "weigh {daily}^{days} = {growth:.2} times as much: {small:.1} kg in A and B, {large:.1} kg in C"
        ),
        "weigh 1.03^7 = 1.23 times as much: 19.7 kg in A and B, 32.0 kg in C",
    );
    assert_eq!(
        format!("take {growth:.2} times as much oxygen"),
        "take 1.23 times as much oxygen"
    );
    let timer = august
        .split("[[timer]]")
        .nth(1)
        .unwrap()
        .split("[riser]")
        .next()
        .unwrap();
    let calm = august.replace(&format!("[[timer]]{timer}"), "");
    assert!(!calm.contains("[[timer]]"));
    let twelve = "loop.lifts=12";
    let monday = solve(LOOP_EXAMPLE, &[]);
    let grown = solve(&calm, &[twelve, "water.temperature=27 degC"]);
    let (warm, off) = (solve(&calm, &[twelve]), solve(&august, &[twelve]));
    let survival = |answer: &LoopAnswer| answer.tanks[2].time_to_survival_s.unwrap() / 60.0;
    let step =
        |answer: &LoopAnswer| format!("{:.2} | {:.0} min |", least(answer), survival(answer));
    assert_eq!(
        format!("| Monday | {}", step(&monday)),
        "| Monday | 5.62 | 115 min |"
    );
    assert_eq!(
        format!("week of growth | {}", step(&grown)),
        "week of growth | 5.06 | 79 min |"
    );
    let asked = design(&august, &[twelve.to_owned()]).water_loop().unwrap();
    let degrees = asked
        .water
        .air
        .temperature
        .get::<risewater::units::degree_celsius>();
    assert_eq!(
        format!("water of {degrees:.0} °C | {}", step(&warm)),
        "water of 30 °C | 4.83 | 73 min |"
    );
    assert_eq!(
        format!("in the afternoon | {}", step(&off)),
        "in the afternoon | 4.31 | 59 min |"
    );
    let limit = 5.0;
    let uptake = of_kilogram(3.0) * 32.0;
    let minutes = 60.0 * VOLUME * (least(&grown) - limit) / (PEAK * uptake);
    assert_eq!(
        format!(
            "holds {:.2} mg/L at its. in {minutes:.1} minutes, and {} mg/L in {:.0} minutes, by ({:.2} - {}) cdot {VOLUME}/({PEAK} cdot {uptake:.1}) hours",
            least(&grown),
            2.0,
            survival(&grown),
            least(&grown),
            2.0
        ),
        "holds 5.06 mg/L at its. in 1.4 minutes, and 2 mg/L in 79 minutes, by (5.06 - 2) cdot 6/(1.4 cdot 10.0) hours",
    );
    let warmer = grown
        .changes
        .iter()
        .find_map(|change| change.temperature_rise_k)
        .unwrap();
    assert!(!grown.changes[0].holds && grown.holds);
    assert_eq!(
        format!("off, or {warmer:.0} K warmer, the"),
        "off, or 3 K warmer, the"
    );
    let hours = |time: Time| format!("{:.0}", time.value / 3600.0);
    let meals: Vec<String> = asked.day.feeding[0]
        .meals
        .iter()
        .map(|meal| hours(meal.at))
        .collect();
    assert_eq!(
        format!("meals at {} and {} h and", meals[..2].join(", "), meals[2]),
        "meals at 7, 11 and 15 h and"
    );
    let one = asked.day.timers[0];
    assert_eq!(
        format!("from {} to {} h", hours(one.from), hours(one.to)),
        "from 14 to 17 h"
    );
    assert_eq!(
        format!("water of {degrees:.0} °C, and two"),
        "water of 30 °C, and two"
    );
    assert_eq!(
        format!(
            "stops at {:.0}:{:02.0} they",
            off.tanks[2].least_oxygen_time_s / 3600.0,
            0.0
        ),
        "stops at 17:00 they"
    );
    let worst = off.worst_hour_stock.as_ref().unwrap();
    let (could, mean) = (worst.biomass_kg, off.stock.as_ref().unwrap().biomass_kg);
    assert_eq!(
        format!(
            "At most {could:.1} kg could live through that hour, {:.2} of what is there. By the mean of the day it would be {mean:.1} kg",
            worst.factor
        ),
        "At most 82.2 kg could live through that hour, 0.79 of what is there. By the mean of the day it would be 119.8 kg"
    );
    assert_eq!(format!("The {PEAK} after a"), "The 1.4 after a");

    let (start, end, standard) = (2, 5, 0.02);
    let night = [
        format!("timer.1.from={start} h"),
        format!("timer.1.to={end} h"),
    ];
    let share = |n: usize, share: &str| format!("rearing_tank.{n}.feed_rate={share} %/d");
    let fed = [
        share(1, "3.6"),
        share(2, "3.6"),
        share(3, "2.7"),
        share(4, "2.7"),
    ];
    let diffuser = [format!("need.aerator={standard} kg/h")];
    let lifts = |n: usize| [format!("loop.lifts={n}")];
    let row = |what: &str, set: &[&[String]]| {
        let set = set.concat();
        let set: Vec<&str> = set.iter().map(String::as_str).collect();
        let answer = solve(&august, &set);
        let says = |holds| if holds { "yes" } else { "no" };
        format!(
            "| {:.2} | {what} | {} | {} |",
            least(&answer),
            says(answer.holds),
            says(answer.changes[0].holds)
        )
    };
    let at_night = format!("the lifts cleaned from {start} to {end} h");
    let and_at_night = format!("that and cleaning from {start} to {end} h");
    let hung = format!(
        "a diffuser in each tank, {:.0} g/h by its standard rate",
        1e3 * standard
    );
    let dozen = lifts(12);
    assert_eq!(
        row(&at_night, &[&dozen, &night]),
        "| 4.83 | the lifts cleaned from 2 to 5 h | no | no |"
    );
    assert_eq!(
        row("a tenth less feed", &[&dozen, &fed]),
        "| 4.65 | a tenth less feed | no | no |"
    );
    assert_eq!(
        row("both", &[&dozen, &night, &fed]),
        "| 5.11 | both | yes | no |"
    );
    assert_eq!(
        row(&hung, &[&dozen, &diffuser]),
        "| 5.21 | a diffuser in each tank, 20 g/h by its standard rate | yes | no |"
    );
    assert_eq!(
        row(&and_at_night, &[&dozen, &night, &diffuser]),
        "| 5.51 | that and cleaning from 2 to 5 h | yes | yes |"
    );
    assert_eq!(
        row("three more lifts", &[&lifts(15)]),
        "| 5.05 | three more lifts | yes | no |"
    );
    assert_eq!(
        row("five more lifts", &[&lifts(17)]),
        "| 5.39 | five more lifts | yes | yes |"
    );

    // The last exercise.
    let there = least(&off) - 2.0;
    let (grams, wanted) = (there * VOLUME, 1.5);
    let (peak, kilogram) = (grams / wanted, of_kilogram(3.0));
    let stay = peak / PEAK / kilogram;
    assert_eq!(
        format!(
            "oxygen of {:.2} mg/L. To. There are {there:.2} mg/L in {VOLUME} m³, or {grams:.1} g, for an hour and a half: {peak:.1} g/h after a meal, {:.1} g/h in the mean. A kilogram takes {PER_FEED} cdot {:.0}/{day} = {kilogram:.2} g/h, so {stay:.0} kg may stay of the {large:.0} kg",
            least(&off),
            peak / PEAK,
            30.0,
            day = 24.0
        ),
        "oxygen of 4.31 mg/L. To. There are 2.31 mg/L in 6 m³, or 13.9 g, for an hour and a half: 9.2 g/h after a meal, 6.6 g/h in the mean. A kilogram takes 0.25 cdot 30/24 = 0.31 g/h, so 21 kg may stay of the 32 kg",
    );
}
