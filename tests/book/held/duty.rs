use std::sync::LazyLock;

use risewater::air::pressure_at_altitude;
use risewater::design::{DesignFile, EXAMPLE};
use risewater::riser::Dimensions;
use risewater::sizing::{Sizing, Task, size};
use risewater::units::*;
use risewater::{AirState, Curve, ErrorLaw};

use super::assert_says;
use super::column::{G, Hand};

fn asked(set: &[&str]) -> (Task, Sizing) {
    let set: Vec<String> = set.iter().map(ToString::to_string).collect();
    let problem = DesignFile::parse_with(EXAMPLE, &set)
        .unwrap()
        .problem()
        .unwrap();
    let found = size(&problem).unwrap();
    (problem, found)
}

static EXAMPLES: LazyLock<(Task, Sizing)> = LazyLock::new(|| asked(&[]));

fn liters(flow: VolumeRate) -> f64 {
    flow.get::<liter_per_minute>()
}

/// An end of an interval, as it is told: with two digits.
fn two(end: VolumeRate) -> f64 {
    format!("{:.1e}", liters(end)).parse().unwrap()
}

#[test]
fn givens() {
    let given = &EXAMPLES.0;
    let (flow, lift) = (
        liters(given.duty.water_flow),
        given.duty.lift.get::<meter>(),
    );
    assert_says!(
        "needs 600 L/min. The water must come out 0.15 m above",
        flow,
        lift
    );
    let warm = given.site.water.temperature().get::<degree_celsius>();
    let density = given.site.water.density().get::<kilogram_per_cubic_meter>();
    assert_says!("fresh, 14 °C: density 999.2 kg/m³", warm, density);
    let altitude = 240.0;
    let there = pressure_at_altitude(Length::new::<meter>(altitude)).unwrap();
    assert_eq!(there, given.site.atmosphere);
    assert_says!(
        "| 240 m above the sea: atmosphere 98.47 kPa",
        altitude,
        given.site.atmosphere.get::<kilopascal>()
    );
    assert_says!("| 600 L/min over a lift of 0.15 m", flow, lift);
    assert_says!(
        "| 1.4 m at most",
        given.submergences.last().unwrap().get::<meter>()
    );
    let held = given.max_air_pressure.unwrap().get::<kilopascal>();
    let counted = AirState::DRY_20_C;
    assert_says!(
        "holds 18 kPa at the injection point; air is counted dry, at 20 °C and 101.325 kPa",
        held,
        counted.temperature.get::<degree_celsius>(),
        counted.pressure.get::<kilopascal>()
    );
    let mut schedules: Vec<f64> = given
        .pipes
        .iter()
        .filter_map(|pipe| pipe.name.split(' ').nth(3)?.parse().ok())
        .collect();
    schedules.sort_by(f64::total_cmp);
    schedules.dedup();
    assert_says!("schedules 40 and 80 |", schedules[0], schedules[1]);
    assert_eq!(schedules.len(), 2);
    assert_says!("risers | 8 at most", f64::from(given.max_lifts));
    assert_says!(
        "moves 50 mm up and down",
        given.level_fall.get::<millimeter>()
    );
    assert_says!("taken 3 mm off", given.fouling.get::<millimeter>());
    assert_says!("tank by 50 mm costs", given.level_fall.get::<millimeter>());
}

#[test]
fn steps() {
    let (given, found) = &*EXAMPLES;
    let density = given.site.water.density().get::<kilogram_per_cubic_meter>();
    let (flow, lift) = (
        given.duty.water_flow.get::<cubic_meter_per_second>(),
        given.duty.lift.get::<meter>(),
    );
    let useful = density * G * flow * lift;
    assert_says!(
        "$999.2 \\times 9.80665 \\times 0.010 \\times 0.15 = 14.7$ W",
        density,
        G,
        flow,
        lift,
        useful
    );
    let best = &found.designs[0];
    let Dimensions {
        bore, submergence, ..
    } = best.riser.spec().dimensions;
    let depth = submergence.get::<meter>();
    let (kilo, held) = (1000.0, given.max_air_pressure.unwrap().get::<kilopascal>());
    let start = density * G * depth / kilo;
    assert_says!(
        "At 1.4 m it is $999.2 \\times 9.80665 \\times 1.4/1000 = 13.72$ kPa. The blower holds 18 kPa, so every depth down to 1.4 m is",
        depth,
        density,
        G,
        depth,
        kilo,
        start,
        held,
        depth
    );

    let length = depth + lift;
    let developing = risewater::DevelopingLength::default()
        .of(bore)
        .get::<meter>();
    assert_says!("here $0.15/1.55 = 0.097$", lift, length, lift / length);
    assert_says!("length of 0.2 m, our", developing);
    assert_says!(
        "$0.15/(1.55 - 0.2) = 0.111$",
        lift,
        length,
        developing,
        lift / (length - developing)
    );

    let each = liters(given.duty.water_flow) / f64::from(given.max_lifts);
    let air = liters(best.point.air.volume_rate_at_20_c());
    let atmosphere = given.site.atmosphere.get::<kilopascal>();
    assert_says!("carries 75 L/min. For", each);
    assert_says!(
        "bore of 58.17 mm, 1.4 m deep, and 21.31 L/min of air",
        bore.get::<millimeter>(),
        depth,
        air
    );
    let counted = AirState::DRY_20_C.temperature.get::<kelvin>();
    let kelvin_of = given.site.water.temperature().get::<kelvin>();
    let (mu, p_v) = (
        given.site.water.viscosity().get::<pascal_second>(),
        given.site.water.vapour_pressure().get::<kilopascal>(),
    );
    let hand = Hand {
        water: [density, mu, p_v],
        atmosphere,
        warmth: kelvin_of / counted,
        ..Hand::new(bore.get::<meter>(), depth, lift, air)
    };
    let void = (1e3 * hand.solved()).round() / 1e3;
    assert_says!("$p_m$ | 105.33 kPa", hand.middle());
    assert_says!(
        "= 287.15/293.15$ | 0.128 m/s",
        kelvin_of,
        counted,
        hand.j_g()
    );
    assert_says!("the submergence | 0.133", void);
    assert_says!("$j_l$ | 0.468 m/s", hand.at(void).j_l);
    assert_says!("water | 74.7 L/min", hand.flow(void));
    let warm = given.site.water.temperature().get::<degree_celsius>();
    assert_says!(
        "At 14 °C the water has a viscosity of 0.001168 Pa s and a vapour pressure of 1.60 kPa",
        warm,
        mu,
        p_v
    );
    assert_says!("about **21.31 L/min** of", air);
    assert_says!("air for 75 L/min. The", liters(best.point.water_flow));
    let running = best
        .point
        .injection_pressure
        .gauge(given.site.atmosphere)
        .get::<kilopascal>();
    assert_says!("runs is **13.55 kPa**", running);
    // The gas constant of dry air of ISO 2533:1975.
    let gas = 287.05287;
    assert_says!(
        "$R = 287.05$ J/(kg K) for the gas constant of dry air, and $T = 287.15$ K",
        gas,
        kelvin_of
    );
    let mass = best.point.air.dry_mass_rate().get::<kilogram_per_second>();
    let entry = atmosphere + running;
    assert_says!(
        "of 21.31 L/min is 0.000428 kg/s, and $p_0$ is $98.475 + 13.553 = 112.028$ kPa",
        air,
        mass,
        atmosphere,
        running,
        entry
    );
    let given_up = mass * gas * kelvin_of * (entry / atmosphere).ln();
    assert_says!(
        "$0.000428 \\times 287.05 \\times 287.15\\,\\ln(112.03/98.47) = 4.55$ W",
        mass,
        gas,
        kelvin_of,
        entry,
        atmosphere,
        given_up
    );
    let lifts = f64::from(best.lifts);
    assert_says!(
        "$14.7/8 = 1.84$ W, and $\\eta$ is **40.4 %**",
        useful,
        lifts,
        useful / lifts,
        100.0 * useful / lifts / given_up
    );
}

#[test]
fn search() {
    let (given, found) = &*EXAMPLES;
    let best = &found.designs[0];
    assert_eq!(best.pipe.name, "ASTM D1785 Sch 80 2-1/2 in");
    let words: Vec<f64> = best
        .pipe
        .name
        .split([' ', '-', '/'])
        .filter_map(|word| word.parse().ok())
        .collect();
    assert_says!(
        "Eight risers of 2-1/2 in pipe, schedule 80, with",
        words[1],
        words[2],
        words[3],
        words[0]
    );
    let total = liters(best.air_flow_total_at_20_c());
    let density = given.site.water.density().get::<kilogram_per_cubic_meter>();
    let depth = best.submergence.get::<meter>();
    let start = density * G * depth / 1e3;
    assert_says!(
        "let in 1.4 m deep. Together they take **170.5 L/min** of air, which the blower must bring at **13.72 kPa** to",
        depth,
        total,
        start
    );
    let step = (given.submergences[1] - given.submergences[0]).get::<millimeter>();
    assert_says!("steps of 50 mm, and", step);
    assert_says!("stay 10 % below", given.peak_reserve.get::<percent>());
    let count = |n: usize| f64::from(u32::try_from(n).unwrap());
    let power = best.injection_power_total().get::<watt>();
    assert_says!(
        "Of 6272 candidates 2785 meet the duty. The least power of the air is **36.37 W**, with",
        count(found.candidates),
        count(found.designs.len()),
        power
    );
    let curve = Curve::of(&best.riser, 16).unwrap();
    let [starts, most] =
        [curve.threshold, curve.peak.air].map(|air| liters(air.volume_rate_at_20_c()));
    assert_says!(
        "near 5.3 L/min of air, passes the duty of 75 L/min at 21 L/min of air, and peaks with 230 L/min of water at 399 L/min",
        starts,
        liters(best.point.water_flow),
        liters(best.point.air.volume_rate_at_20_c()),
        liters(curve.peak.water_flow),
        most
    );
    let margins = best.margins(given).unwrap();
    let less = margins
        .iter()
        .find(|margin| margin.case.name() == "air_less_10_percent")
        .unwrap();
    let lost: Ratio = (best.point.water_flow - less.outcome.water_flow()) / best.point.water_flow;
    assert_eq!(format!("{:.1}", lost.get::<ratio>()), "0.1", "a tenth");
}

#[test]
fn how_sure() {
    let (given, found) = &*EXAMPLES;
    let best = &found.designs[0];
    let predictor = given.law.on(&best.riser).unwrap();
    let interval = predictor.predict(best.point.air).unwrap().interval.unwrap();
    assert_says!(
        "gives 48 to 120 L/min.",
        two(interval.low),
        two(interval.high)
    );
    assert_says!("more than 75 L/min. The", liters(best.point.water_flow));
    let bores: Ratio = best.riser.spec().length() / best.riser.spec().free_bore();
    assert_says!("is **26.6 bores** long", bores.get::<ratio>());
    let cost = best.doubt_cost(given).unwrap();
    let [bare, sure] = [cost.predicted.unwrap(), cost.lower_end.unwrap()];
    let lifts = f64::from(best.lifts);
    let more = lifts * liters(sure.air.volume_rate_at_20_c() - bare.air.volume_rate_at_20_c());
    assert_says!(
        "With **137 L/min** more of air in all, or **28.2 W**, the",
        more,
        lifts * (sure.injection_power - bare.injection_power).get::<watt>()
    );
}

#[test]
fn other_answers() {
    let (_, found) = asked(&["duty.objective=lifts"]);
    let one = &found.designs[0];
    let inches: f64 = one.pipe.name.rsplit(' ').nth(1).unwrap().parse().unwrap();
    assert_eq!(one.lifts, 1);
    let (power, air) = (
        one.injection_power_total().get::<watt>(),
        liters(one.air_flow_total_at_20_c()),
    );
    assert_says!(
        "riser of 6 in does the whole duty, for **37.0 W** with **174 L/min** of",
        inches,
        power,
        air
    );
    let predictor = ErrorLaw::default().on(&one.riser).unwrap();
    let interval = predictor.predict(one.point.air).unwrap().interval.unwrap();
    let wide = predictor.shares(one.point.air).unwrap().unwrap()[1];
    assert_says!(
        "flow is 600 L/min; four times in five the true flow lies between 170 and 1800 L/min, and 83 % of that doubt",
        liters(one.point.water_flow),
        two(interval.low),
        two(interval.high),
        100.0 * wide
    );
    let (problem, found) = asked(&["duty.lift=0.30 m"]);
    let half = EXAMPLES.1.designs[0].injection_power_total().get::<watt>();
    assert_says!(
        "lift**, 0.30 m, takes **69.0 W** in place of **36.37 W**. Look",
        problem.duty.lift.get::<meter>(),
        found.designs[0].injection_power_total().get::<watt>(),
        half
    );
}

#[test]
fn figures_question() {
    let (usual, high, low) = (0.15, 0.5, 0.1);
    let best = |lift: f64| asked(&[&format!("duty.lift={lift} m")]).1.designs.remove(0);
    let (first, more, less) = (best(usual), best(high), best(low));
    let same = |a: &risewater::sizing::Design| {
        let depth = a.riser.spec().dimensions.submergence.get::<meter>();
        (a.pipe.name.clone(), a.lifts, format!("{depth:.3}"))
    };
    assert_eq!(same(&first), same(&more));
    assert!(more.point.air.dry_mass_rate() > first.point.air.dry_mass_rate());
    assert_says!("From 0.15 m to 0.5 m of lift", usual, high);
    let inches: f64 = less.pipe.name.rsplit(' ').nth(1).unwrap().parse().unwrap();
    assert_eq!(less.lifts, 1);
    assert_says!("At 0.1 m of lift a single riser of 8 in takes", low, inches);
}

#[test]
fn exercises() {
    let given = &EXAMPLES.0;
    let density = given.site.water.density().get::<kilogram_per_cubic_meter>();
    let (flow, lift, depth, lost) = (
        given.duty.water_flow.get::<cubic_meter_per_second>(),
        0.1,
        1.4,
        0.2,
    );
    let length = depth + lift;
    assert_says!("lowered to 0.10 m. What", lift);
    assert_says!(
        "$999.2 \\times 9.80665 \\times 0.010 \\times 0.10 = 9.8$ W. The riser is 1.5 m long, so $0.10/1.5 = 0.067$ of",
        density,
        G,
        flow,
        lift,
        density * G * flow * lift,
        length,
        lift,
        length,
        lift / length
    );
    assert_says!(
        "$0.10/(1.5 - 0.2) = 0.077$",
        lift,
        length,
        lost,
        lift / (length - lost)
    );

    let (_, low) = asked(&["duty.at_low_water=true"]);
    let power = |found: &Sizing| found.designs[0].injection_power_total().get::<watt>();
    let (at_low, normal, times, price) = (power(&low), power(&EXAMPLES.1), 15.0, 0.25);
    let wire = (at_low - normal) * times;
    let hours = 24.0 * 365.0;
    let energy = wire * hours / 1e3;
    assert_says!(
        "takes 48.77 W in the air in place of 36.37 W. Each",
        at_low,
        normal
    );
    assert_says!("at 0.25 EUR for", price);
    assert_says!(
        "$(48.77 - 36.37) \\times 15 = 186$ W at the wire. In a year of 8760 h that is 1629 kWh, or 407 EUR. A",
        at_low,
        normal,
        times,
        wire,
        hours,
        energy,
        energy * price
    );

    let (problem, found) = asked(&["limits.max_lifts=12"]);
    let best = &found.designs[0];
    let inches: f64 = best.pipe.name.rsplit(' ').nth(1).unwrap().parse().unwrap();
    let lifts = f64::from(best.lifts);
    assert_says!("--set limits.max_lifts=12", f64::from(problem.max_lifts));
    assert_says!(
        "chooses 12 lifts of 2 in pipe, with 35.85 W in place of 36.37 W",
        lifts,
        inches,
        power(&found),
        normal
    );
    let margins = best.margins(&problem).unwrap();
    let low = margins
        .iter()
        .find(|margin| margin.case.name() == "low_water")
        .unwrap();
    assert_says!(
        "gives 36.03 of its 50 L/min. That",
        liters(low.outcome.water_flow()),
        liters(best.point.water_flow)
    );
    assert!(
        (liters(low.outcome.water_flow()) / liters(best.point.water_flow) - 0.72).abs() < 0.005
    );
}
