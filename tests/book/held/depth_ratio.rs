use std::collections::BTreeSet;

use risewater::riser::Riser;
use risewater::units::*;
use risewater::{AirFlow, Curve};

use super::assert_says;
use super::column::{flow, riser};

/// Of a pipe of 50 mm and 1.25 m at a submergence ratio: that, lift, best air and water, efficiency, peak.
fn row(share: f64) -> [f64; 6] {
    let length = 1.25;
    let riser: Riser = riser(0.05, share * length, (1.0 - share) * length);
    let curve = Curve::of(&riser, 10).unwrap();
    let best = curve.best_efficiency.unwrap();
    let liters = |flow: VolumeRate| flow.get::<liter_per_minute>();
    [
        share,
        (1.0 - share) * length,
        liters(best.air.volume_rate_at_20_c()),
        liters(best.water_flow),
        best.efficiency.get::<percent>(),
        liters(curve.peak.water_flow),
    ]
}

#[test]
fn ratios() {
    let share = |depth: f64, lift: f64| depth / (depth + lift);
    let (deep, shallow) = (1.5, 1.0);
    assert_says!("tank is 1.5 m deep", deep);
    assert_says!("Another is 1 m deep", shallow);
    assert_says!(
        "have $1.5/2.0 = 0.75$ and $1/1.25 = 0.8$. The",
        deep,
        deep + 0.5,
        share(deep, 0.5),
        shallow,
        shallow + 0.25,
        share(shallow, 0.25)
    );
    // A fifth and a half of air.
    assert_says!(
        "ratio of 0.8 asks for a fifth of air, and a ratio of 0.5 for",
        share(4.0, 1.0),
        share(1.0, 1.0)
    );
}

#[test]
fn figures_question() {
    let ([a, b], [c, d]) = ([0.9, 0.35], [0.85, 0.4]);
    let (whole, given) = (flow(&riser(0.05, 1.0, 0.25), 40.0), 40.0);
    let [one, two] = [[a, b], [c, d]].map(|[depth, lift]| flow(&riser(0.05, depth, lift), given));
    assert!(one > whole / 2.0 && two < whole / 2.0);
    assert_says!(
        "With 0.9 m of submergence and 0.35 m of lift, 35.0 of the 58.3 L/min are left. With 0.85 m and 0.4 m it is 25.9 L/min",
        a,
        b,
        one,
        whole,
        c,
        d,
        two
    );
}

#[test]
fn table() {
    let (length, bore, least, most) = (1.25, 50.0, 0.5, 0.9);
    assert_says!("is 1.25 m long with a bore of 50 mm. We", length, bore);
    assert_says!(
        "riser 1.25 m long with a bore of 50 mm, at submergence ratios from 0.5 to 0.9. The",
        length,
        bore,
        least,
        most
    );
    assert_says!("goes; at 0.5 it starts", least);
    let [a, b, c, d, e, f] = row(most);
    assert_says!("0.9 | 0.125 | 14 | 47 | 39 % | 149", a, b, c, d, e, f);
    let [a, b, c, d, e, f] = row(0.8);
    assert_says!("0.8 | 0.250 | 34 | 51 | 39 % | 126", a, b, c, d, e, f);
    let [a, b, c, d, e, f] = row(0.7);
    assert_says!("0.7 | 0.375 | 59 | 48 | 36 % | 102", a, b, c, d, e, f);
    let [a, b, c, d, e, f] = row(0.6);
    assert_says!("0.6 | 0.500 | 90 | 40 | 31 % | 79", a, b, c, d, e, f);
    let [a, b, c, d, e, f] = row(least);
    assert_says!("0.5 | 0.625 | 134 | 31 | 24 % | 54", a, b, c, d, e, f);
}

/// Measured points below the ratio of the default closures, against the library.
#[test]
fn little_submergence() {
    let limit = risewater::published::LOWEST_SUBMERGENCE_RATIO;
    assert_says!("ratio of 0.4 the", limit);
    let data = include_str!("../../data/kassab_2009.csv");
    let (mut low, mut lowest, mut lengths) = (Vec::new(), Vec::new(), BTreeSet::new());
    for line in data.lines().filter(|line| line.starts_with("25.4,")) {
        let cells: Vec<&str> = line.split(',').collect();
        let cell = |n: usize| cells[n].parse::<f64>().unwrap();
        if cell(1) >= limit || cell(8) <= 0.0 {
            continue;
        }
        lengths.insert(cells[4]);
        let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_hour>(cell(5))).unwrap();
        let riser = riser(1e-3 * cell(0), cell(2), cell(3));
        let share = riser
            .operate(air)
            .unwrap()
            .water_flow()
            .get::<liter_per_minute>()
            / cell(8);
        if cell(1) < 0.25 {
            &mut lowest
        } else {
            &mut low
        }
        .push(share);
    }
    let mean = |all: &[f64]| all.iter().sum::<f64>() / f64::from(u32::try_from(all.len()).unwrap());
    assert_eq!(lengths.len(), 1);
    assert!((mean(&low) - 0.7).abs() < 0.05, "{}", mean(&low));
    assert!((mean(&lowest) - 0.2).abs() < 0.05, "{}", mean(&lowest));
}

#[test]
fn exercises() {
    let (length, lift) = (3.0, 0.6);
    let depth = length - lift;
    assert_says!("riser of 3 m must lift water by 0.6 m", length, lift);
    assert_says!(
        "$S = 3 - 0.6 = 2.4$ m, and the ratio is $2.4/3 = 0.8$",
        length,
        lift,
        depth,
        depth,
        length,
        depth / length
    );

    let (length, low, depth) = (1.25, 0.7, 1.0);
    let high = depth / length;
    assert_says!(
        "a ratio of 0.8. By how much may its tank fall before the ratio is 0.7, with",
        high,
        low
    );
    assert_says!(
        "stays 1.25 m. A ratio of 0.7 means $S = 0.7 \\times 1.25 = 0.875$ m, so the tank may fall by 0.125 m",
        length,
        low,
        low,
        length,
        low * length,
        depth - low * length
    );
    let ([_, _, a, b, ..], [_, _, c, d, ..]) = (row(high), row(low));
    assert_says!("from 34 to 59 L/min for", a, c);
    assert_says!(
        "takes 0.67 L of air before the fall and 1.23 L after",
        a.round() / b.round(),
        c.round() / d.round()
    );

    let wanted = 240.0;
    assert_says!("lifts 240 L/min with", wanted);
    let [p, q, r] = [0.9, 0.8, 0.6];
    let bore = riser(0.05, 1.0, 0.25)
        .spec()
        .dimensions
        .bore
        .get::<millimeter>();
    assert_says!("with 50 mm pipes of 1.25 m, each", bore, length);
    assert_says!("ratios of 0.9, 0.8 and 0.6? A", p, q, r);
    assert_says!("from 0.8 to 0.6. How", q, r);
    let plant = |share: f64| {
        let [_, _, air, water, ..] = row(share);
        let pipes = (wanted / water).ceil();
        [share, wanted, water, pipes, pipes * air.round()]
    };
    let [a, b, c, d, e] = plant(p);
    assert_says!("0.9 | $240/47$, so 6 | 84", a, b, c, d, e);
    let [a, b, c, d, e] = plant(q);
    assert_says!("0.8 | $240/51$, so 5 | 170", a, b, c, d, e);
    let [a, b, c, d, f] = plant(r);
    assert_says!("0.6 | $240/40$, so 6 | 540", a, b, c, d, f);
    assert!((f / e - 3.0).abs() < 0.3);
    assert_says!("At 0.9 the water goes", p);
}
