use risewater::design::{DesignFile, NEED_EXAMPLE};
use risewater::need::{DEMO, Line, Need, RoomNeed};
use risewater::units::*;

use super::assert_says;

fn room(set: &[&str]) -> RoomNeed {
    let set: Vec<String> = set.iter().map(ToString::to_string).collect();
    let design = DesignFile::parse_with(NEED_EXAMPLE, &set).unwrap();
    design
        .with_crop_table("crop.csv", DEMO)
        .room_need()
        .unwrap()
}

/// L/min, and the concentration that enters, mg/L.
fn line(need: &Need, line: Line) -> [f64; 2] {
    let found = need.line(line).unwrap();
    let entering = found
        .balance
        .map_or(0.0, |balance| balance.entering.get::<milligram_per_liter>());
    [found.flow.get::<liter_per_minute>(), entering]
}

/// The flow of a balance: a load in kg/d, two concentrations in mg/L.
fn flow(load: f64, a: f64, b: f64) -> f64 {
    load * 1e6 / 1440.0 / (a - b).abs()
}

const PER_KG: f64 = 10.0;
const MINUTES: f64 = 24.0 * 60.0;

#[test]
fn figures_question() {
    let lifts = VolumeRate::new::<liter_per_minute>(12.0 * 150.0);
    let short = |set: &str| {
        let room = room(&[set]);
        let weeks = room.weeks();
        let found: Vec<usize> = weeks
            .iter()
            .filter(|week| week.peak > lifts)
            .map(|week| week.number)
            .collect();
        (found, weeks.len())
    };
    let count = |n: usize| f64::from(u32::try_from(n).unwrap());
    let (usual, warm) = (26.0, 28.0);
    let (first, all) = short(&format!("water.temperature={usual} degC"));
    let (last, start) = (first[first.len() - 1], first[0]);
    assert_eq!(first, (start..=last).collect::<Vec<_>>());
    assert_says!(
        "At 26 °C the lifts fall short in weeks 14 to 20",
        usual,
        count(start),
        count(last)
    );
    let (more, _) = short(&format!("water.temperature={warm} degC"));
    let late: Vec<usize> = more.iter().copied().filter(|&n| n > last).collect();
    assert_eq!(more[..2], [start - 2, start - 1]);
    assert_eq!(late, (late[0]..=all).collect::<Vec<_>>());
    assert_says!(
        "At 28 °C they also fall short in weeks 12 and 13, and from week 23 on",
        warm,
        count(more[0]),
        count(more[1]),
        count(late[0])
    );
    let (poor, rich) = (80.0, 90.0);
    assert_eq!(
        short(&format!("need.entering_saturation={poor} %")).0.len(),
        all
    );
    assert_eq!(
        short(&format!("need.entering_saturation={rich} %")).0,
        first
    );
    assert_says!("with 80 % of saturation in place of 90 %, they", poor, rich);
}

#[test]
fn by_hand() {
    let need = room(&[]);
    let nursery = &need.tanks[0];
    let [oxygen, entering] = line(&nursery.need, Line::Oxygen);
    let [ammonia, tan_in] = line(&nursery.need, Line::Ammonia);
    let [stripped, co2_in] = line(&nursery.need, Line::CarbonDioxide);
    let [turned, _] = line(&nursery.need, Line::Turnover);
    let (biomass, share, volume) = (nursery.biomass.get::<kilogram>(), 0.04, 4.0);
    assert_says!(
        "holds 40 kg of fry that eat 4 % of their mass a day. Its volume is 4 m³",
        biomass,
        100.0 * share,
        volume
    );
    let (per_feed, per_protein, per_oxygen, protein) = (0.5, 0.092, 1.375, 0.48);
    let (o2_mass, co2_mass) = (32.00, 44.01);
    assert_says!("over the feed | 0.5 kg/kg", per_feed);
    assert_says!("protein fed | 0.092 kg/kg", per_protein);
    assert_says!(
        "oxygen used | 1.375 kg/kg | molar masses, 44.01/32.00 |",
        per_oxygen,
        co2_mass,
        o2_mass
    );
    assert!((co2_mass / o2_mass - per_oxygen).abs() < 0.001);
    assert_says!("the feed | 48 % |", 100.0 * protein);
    let given = |key: &str| -> f64 {
        NEED_EXAMPLE
            .split(key)
            .nth(1)
            .and_then(|rest| rest.split([' ', '%']).next())
            .unwrap()
            .parse()
            .unwrap()
    };
    let (full, warm, high) = (
        given("entering_saturation = \"") / 100.0,
        given("temperature = \""),
        given("altitude = \""),
    );
    assert_says!(
        "enters | 7.09 mg/L | 90 % of saturation at 26 °C and 240 m",
        entering,
        100.0 * full,
        warm,
        high
    );
    let (least, tan, co2) = (5.0, 2.0, 20.0);
    assert_says!("carbon dioxide | 5, 2, 20 mg/L", least, tan, co2);
    let (filter, degasser) = (0.4, 0.5);
    assert_says!(
        "carbon dioxide | 40 %, 50 % |",
        100.0 * filter,
        100.0 * degasser
    );
    let air = co2 - (co2 - co2_in) / degasser;
    assert_says!("with air | 0.574 mg/L", air);
    let turnover = 0.5;
    assert_says!("least turnover | 0.5 volumes an", turnover);
    assert_says!(
        "has 1440 minutes, and a kilogram is $10^6$ mg",
        MINUTES,
        PER_KG
    );

    let feed = biomass * share;
    assert_says!("$40 \\times 0.04 = 1.6$ kg/d", biomass, share, feed);
    let used = per_feed * feed;
    assert_says!(
        "$0.5 \\times 1.6 = 0.8$ kg/d. The flow is $0.8 \\times 10^6/1440/(7.09 - 5) = 266$ L/min",
        per_feed,
        feed,
        used,
        used,
        PER_KG,
        MINUTES,
        entering,
        least,
        flow(used, entering, least)
    );
    assert!((flow(used, entering, least) - oxygen).abs() < 0.5);
    let given = per_protein * protein * feed;
    assert_says!(
        "$0.092 \\times 0.48 \\times 1.6 = 0.0707$ kg/d",
        per_protein,
        protein,
        feed,
        given
    );
    assert_says!("$2 - 0.4 \\times 2 = 1.2$ mg/L", tan, filter, tan, tan_in);
    assert_says!(
        "$0.0707 \\times 10^6/1440/(2 - 1.2) = 61$ L/min",
        given,
        PER_KG,
        MINUTES,
        tan,
        tan_in,
        flow(given, tan, tan_in)
    );
    assert!((flow(given, tan, tan_in) - ammonia).abs() < 0.5);
    let respired = per_oxygen * used;
    assert_says!(
        "$1.375 \\times 0.8 = 1.1$ kg/d. The water enters with $20 - 0.5\\,(20 - 0.574) = 10.29$ mg/L",
        per_oxygen,
        used,
        respired,
        co2,
        degasser,
        co2,
        air,
        co2_in
    );
    assert_says!(
        "$1.1 \\times 10^6/1440/(20 - 10.29) = 79$ L/min",
        respired,
        PER_KG,
        MINUTES,
        co2,
        co2_in,
        flow(respired, co2, co2_in)
    );
    assert!((flow(respired, co2, co2_in) - stripped).abs() < 0.5);
    let (liters, minutes) = (1000.0 * volume, 60.0);
    let turning = turnover * liters / minutes;
    assert_says!(
        "$0.5 \\times 4000/60 = 33$ L/min",
        turnover,
        liters,
        minutes,
        turning
    );
    assert!((turning - turned).abs() < 0.5);
    assert_says!("need is **266 L/min**. We", oxygen);
    assert_eq!(nursery.need.governing(), Some(Line::Oxygen));
}

#[test]
fn lifts() {
    let key = "max_total_gas_pressure = \"";
    let allowed: f64 = NEED_EXAMPLE
        .split(key)
        .nth(1)
        .and_then(|rest| rest.split(' ').next())
        .unwrap()
        .parse()
        .unwrap();
    assert_says!("at most 110 % total", allowed);
}

#[test]
fn exercises() {
    let need = room(&[]);
    let [oxygen, entering] = line(&need.tanks[1].need, Line::Oxygen);
    let (feed, per_feed, least) = (1.2, 0.5, 6.0);
    assert_says!(
        "gets 1.2 kg/d of feed, and its water must keep 6 mg/L of",
        feed,
        least
    );
    assert_says!(
        "$0.5 \\times 1.2 = 0.6$ kg/d. The flow is $0.6 \\times 10^6/1440/(7.09 - 6) = 382$ L/min",
        per_feed,
        feed,
        per_feed * feed,
        per_feed * feed,
        PER_KG,
        MINUTES,
        entering,
        least,
        flow(per_feed * feed, entering, least)
    );
    assert!((flow(per_feed * feed, entering, least) - oxygen).abs() < 0.5);

    let (tan, filter) = (2.0, 0.1);
    let dirty = room(&["need.tan_removal=10 %"]);
    let [ammonia, tan_in] = line(&dirty.tanks[0].need, Line::Ammonia);
    let given = dirty.tanks[0].need.load.tan.get::<kilogram_per_day>();
    assert_says!("takes off 10 % of", 100.0 * filter);
    assert_says!("$2 - 0.1 \\times 2 = 1.8$ mg/L", tan, filter, tan, tan_in);
    assert_says!(
        "$0.0707 \\times 10^6/1440/(2 - 1.8) = 245$ L/min, a",
        given,
        PER_KG,
        MINUTES,
        tan,
        tan_in,
        flow(given, tan, tan_in)
    );
    assert!((flow(given, tan, tan_in) - ammonia).abs() < 0.5);
    let [most, _] = line(&dirty.tanks[0].need, Line::Oxygen);
    assert_says!("the 266 L/min of oxygen", most);
    assert_eq!(dirty.tanks[0].need.governing(), Some(Line::Oxygen));

    let (before, after) = (90.0, 98.0);
    let used = need.tanks[2].need.load.oxygen.get::<kilogram_per_day>();
    let [_, grow_in] = line(&need.tanks[2].need, Line::Oxygen);
    let (one, lifts) = (150.0, 12.0);
    let row = DEMO
        .lines()
        .find(|line| line.starts_with("2026-07-14"))
        .unwrap();
    let warm: f64 = row.split(',').nth(3).unwrap().parse().unwrap();
    assert_says!(
        "uses 4.68 kg/d of oxygen, and 6.84 mg/L enter at 28 °C",
        used,
        grow_in,
        warm
    );
    assert_says!("from 90 % to 98 % of", before, after);
    assert_says!("lifts of 150 L/min enough", one);
    let aerated = room(&["need.entering_saturation=98 %"]);
    let [[a, x], [b, _], [c, z]] = [0, 1, 2].map(|n| line(&aerated.tanks[n].need, Line::Oxygen));
    assert_says!(
        "with $98/90$ times the oxygen: 7.72 mg/L in nursery and broodstock, 7.45 mg/L in",
        after,
        before,
        x,
        z
    );
    assert!((after / before - x / entering).abs() < 1e-6);
    assert_says!(
        "nursery | 0.8 | 204 | broodstock | 0.6 | 242 | grow-out | 4.68 | 1328",
        per_feed * 1.6,
        a,
        per_feed * feed,
        b,
        used,
        c
    );
    assert_says!(
        "need 1774 L/min, where it was 2415 L/min. Twelve lifts give 1800 L/min: enough",
        aerated.flow().get::<liter_per_minute>(),
        need.flow().get::<liter_per_minute>(),
        lifts * one
    );
    assert_says!("need.entering_saturation=98 %", after);
}
