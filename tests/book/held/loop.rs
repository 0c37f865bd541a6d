use risewater::answer::LoopAnswer;
use risewater::design::{DesignFile, LOOP_EXAMPLE};
use risewater::recirculation::{Base, Nitrification, defaults};
use risewater::units::*;

use super::assert_says;

fn answer(set: &[&str]) -> LoopAnswer {
    let set: Vec<String> = set.iter().map(ToString::to_string).collect();
    let asked = DesignFile::parse_with(LOOP_EXAMPLE, &set)
        .unwrap()
        .water_loop()
        .unwrap();
    LoopAnswer::of(&asked.water, &asked.day, &asked.terms()).unwrap()
}

/// Oxygen that animals use, over their feed; that of other bacteria; nitrogen over protein.
const ANIMALS: f64 = 0.25;
const OTHERS: f64 = 0.13;
const TAN: f64 = 0.092;

#[test]
fn figures_question() {
    let (ten, nine) = (answer(&["loop.lifts=10"]), answer(&["loop.lifts=9"]));
    assert!(ten.holds && !nine.holds);
    let least = nine.least_oxygen.unwrap();
    assert_eq!(least.tank, "C");
    assert!(
        (least.time_s / 3600.0 - 17.0).abs() < 0.5,
        "{}",
        least.time_s
    );
}

#[test]
fn carbon() {
    let of = |base| Nitrification::with_cells(defaults::CELLS_PER_NITROGEN.value, base).unwrap();
    let [bicarbonate, carbonate, hydroxide] =
        [Base::Bicarbonate, Base::Carbonate, Base::Hydroxide].map(of);
    let grams = |share: Ratio| share.get::<ratio>();
    let given = grams(bicarbonate.carbon_dioxide);
    let added = grams(bicarbonate.carbon_dioxide_of_loop);
    assert_says!("filter takes | 4.18", grams(bicarbonate.oxygen));
    assert_says!("is excreted | 3.14", given - added);
    assert_says!("replaces the alkalinity | 5.82", given);
    assert_says!("with bicarbonate | 2.68", added);
    assert_says!(
        "with a carbonate | 1.15",
        grams(carbonate.carbon_dioxide_of_loop)
    );
    assert_says!(
        "loop takes up | 0.38",
        -grams(hydroxide.carbon_dioxide_of_loop)
    );
    assert_says!("as CaCO₃ | 3.49", grams(bicarbonate.alkalinity_of_loop));
    assert_says!("own 5.82 g to", given);
}

#[test]
fn by_hand() {
    let (two, small, large, much, less, protein) = (2.0, 16.0, 26.0, 0.04, 0.03, 0.45);
    let found = answer(&[]);
    let tank = |n: usize| &found.tanks[n];
    assert_eq!(
        [0, 1, 2, 3].map(|n| tank(n).biomass_kg),
        [small, small, large, large]
    );
    assert_says!(
        "four tanks of 6 m³. A and B hold 16 kg of fry each that eat 4 % of their mass a day. C and D hold 26 kg each that eat 3 %. The feed has 45 % protein",
        tank(0).volume_m3,
        small,
        100.0 * much,
        large,
        100.0 * less,
        100.0 * protein
    );
    let feed = two * small * much + two * large * less;
    let hourly = 1000.0 * feed / 24.0;
    assert_says!(
        "$2 \\times 16 \\times 0.04 + 2 \\times 26 \\times 0.03 = 2.84$ kg/d, or 118.3 g/h",
        two,
        small,
        much,
        two,
        large,
        less,
        feed,
        hourly
    );
    let animals = ANIMALS * hourly;
    assert_says!(
        "$0.25 \\times 118.3 = 29.6$ g/h (0.25 kg/kg of",
        ANIMALS,
        hourly,
        animals,
        ANIMALS
    );
    let tan = TAN * protein * hourly;
    assert_says!(
        "$0.092 \\times 0.45 \\times 118.3 = 4.90$ g/h",
        TAN,
        protein,
        hourly,
        tan
    );
    let per_nitrogen = 4.18;
    let filter = per_nitrogen * tan + OTHERS * hourly;
    assert_says!(
        "$4.18 \\times 4.90 + 0.13 \\times 118.3 = 35.9$ g/h (0.13 kg/kg of",
        per_nitrogen,
        tan,
        OTHERS,
        hourly,
        filter,
        OTHERS
    );
    let g_h = |kg_s: f64| 3.6e6 * kg_s;
    let oxygen = &found.budget[0];
    assert!((g_h(-oxygen.animals_kg_per_s) - animals).abs() < 0.005);
    assert!((g_h(-oxygen.filter_kg_per_s) - filter).abs() < 0.05);
    assert!((g_h(found.budget[2].animals_kg_per_s) - tan).abs() < 0.005);
    assert!(filter > animals);
    // mg/(kg h), in the dark and in the light.
    let (dark, light) = (77.2, 63.8);
    assert_says!("took 1.21 times", dark / light);
    assert_says!("abstract read: 77.2 and 63.8 mg/(kg h)", dark, light);
}

#[test]
fn exercises() {
    let (hourly, protein, per_nitrogen) = (1000.0 * 2.84 / 24.0, 0.4, 4.18);
    let tan = TAN * protein * hourly;
    let filter = per_nitrogen * tan + OTHERS * hourly;
    assert_says!("a feed of 40 % protein", 100.0 * protein);
    assert_says!(
        "$0.092 \\times 0.40 \\times 118.3 = 4.35$ g/h of TAN. The filter takes $4.18 \\times 4.35 + 0.13 \\times 118.3 = 33.6$ g/h",
        TAN,
        protein,
        hourly,
        tan,
        per_nitrogen,
        tan,
        OTHERS,
        hourly,
        filter
    );
    let before = 4.18 * TAN * 0.45 * hourly + OTHERS * hourly;
    assert_says!("was 35.9 g/h", before);

    let found = answer(&[]);
    let tank = &found.tanks[2];
    let (share, kilo, hours, minutes) = (0.03, 1000.0, 24.0, 60.0);
    let (peak, least) = (tank.peak_over_mean, 1e3 * tank.least_oxygen_kg_per_m3);
    let (limit, survival) = (5.0, 2.0);
    assert_says!(
        "holds 26 kg that eat 3 % a day. At the worst hour its animals use 1.4 times the mean. Its water then has 5.624 mg/L of",
        tank.biomass_kg,
        100.0 * share,
        peak,
        least
    );
    assert_says!("to 5 mg/L, and how long to 2 mg/L", limit, survival);
    let mean = ANIMALS * tank.biomass_kg * share * kilo / hours;
    assert_says!(
        "$0.25 \\times 26 \\times 0.03 \\times 1000/24 = 8.125$ g/h, and the worst hour $1.4 \\times 8.125 = 11.4$ g/h. In 6 m³ that is $11.4/6 = 1.90$ mg/L an",
        ANIMALS,
        tank.biomass_kg,
        share,
        kilo,
        hours,
        mean,
        peak,
        mean,
        peak * mean,
        tank.volume_m3,
        peak * mean,
        tank.volume_m3,
        peak * mean / tank.volume_m3
    );
    let fall = peak * mean / tank.volume_m3;
    let [first, last] = [limit, survival].map(|end| (least - end) / fall * minutes);
    assert_says!(
        "$(5.624 - 5)/1.90 \\times 60 = 20$ min",
        least,
        limit,
        fall,
        minutes,
        first
    );
    assert_says!(
        "$(5.624 - 2)/1.90 \\times 60 = 115$ min",
        least,
        survival,
        fall,
        minutes,
        last
    );
    assert!((tank.time_to_limit_s.unwrap() / 60.0 - first).abs() < 0.5);
    assert!((tank.time_to_survival_s.unwrap() / 60.0 - last).abs() < 0.5);

    let fewer = answer(&["loop.lifts=10"]);
    let low = 1e3 * fewer.tanks[2].least_oxygen_kg_per_m3;
    assert!(fewer.holds);
    let time = (low - limit) / fall * minutes;
    assert_says!("is 5.149 mg/L. But", low);
    assert_says!(
        "$(5.149 - 5)/1.90 \\times 60 = 4.7$ min, where it was 20 min",
        low,
        limit,
        fall,
        minutes,
        time,
        first
    );
    assert!((fewer.tanks[2].time_to_limit_s.unwrap() / 60.0 - time).abs() < 0.05);
    assert!((1.0 - (low - limit) / (least - limit) - 0.75).abs() < 0.03);
    let lifts = f64::from(fewer.lifts);
    assert_says!("loop --set loop.lifts=10", lifts);
}
