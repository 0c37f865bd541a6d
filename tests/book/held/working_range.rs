use risewater::riser::Riser;
use risewater::units::*;
use risewater::{Curve, OperatingPoint};

use super::assert_says;
use super::column::{G, Hand, P_A, P_V, RHO, area, bench, drift, flow, riser};

fn liters(point: &OperatingPoint) -> [f64; 2] {
    [point.air.volume_rate_at_20_c(), point.water_flow].map(|flow| flow.get::<liter_per_minute>())
}

fn threshold(riser: &Riser) -> f64 {
    let curve = Curve::of(riser, 10).unwrap();
    curve
        .threshold
        .volume_rate_at_20_c()
        .get::<liter_per_minute>()
}

/// Powers of water and air, W, and efficiency: flows in L/min, pressure at the entry in kPa.
fn powers(air: f64, water: f64, lift: f64, entry: f64) -> [f64; 3] {
    let useful = RHO * G * water / 60e3 * lift;
    let given = 1e3 * P_A * air / 60e3 * (entry / P_A).ln();
    [useful, given, 100.0 * useful / given]
}

#[test]
fn three_points() {
    let curve = Curve::of(&bench(), 10).unwrap();
    let (best, peak) = (curve.best_efficiency.unwrap(), curve.peak);
    let starts = threshold(&bench());
    assert_says!("steeply from 8 L/min", starts);
    assert_says!("threshold | 8.2 L/min", starts);
    let ([a, b], [c, d]) = (liters(&best), liters(&peak));
    let percent_of = |p: &OperatingPoint| p.efficiency.get::<percent>();
    assert_says!("beyond 310 L/min", c);
    assert_says!(
        "best efficiency | 34.4 L/min | 50.7 L/min | 39.2 %",
        a,
        b,
        percent_of(&best)
    );
    assert_says!(
        "peak | 309.8 L/min | 125.7 L/min | 11.6 %",
        c,
        d,
        percent_of(&peak)
    );
    assert_says!(
        "takes 9.0 times the air of the best point and gives 2.5 times",
        c / a,
        d / b
    );

    let down = 0.02;
    assert_says!("the tank 20 mm lower", 1e3 * down);
    let lower = riser(0.05, 1.0 - down, 0.25 + down);
    let left = |air: f64| {
        let whole = flow(&bench(), air);
        [flow(&bench(), 0.9 * air), flow(&lower, air)].map(|flow| 100.0 * flow / whole)
    };
    let near = 12.0;
    let ([e, f], [g, h], [i, j]) = (left(near), left(a), left(c));
    assert_says!(
        "12 L/min, near the threshold | 65 % | 68 % | best efficiency | 90 % | 90 % | peak | 99.8 % | 97 %",
        near,
        e,
        f,
        g,
        h,
        i,
        j
    );

    let entry = best.injection_pressure.get::<kilopascal>();
    let half = bench()
        .air_for(VolumeRate::new::<liter_per_minute>(0.5 * (b + d)))
        .unwrap();
    let first = (liters(&half)[0] - a) / (c - a);
    assert!((first * 7.0 - 1.0).abs() < 0.1, "a seventh: {first}");
    assert_says!("$p_0$ is 110.98 kPa. The", entry);
    let [useful, given, eta] = powers(a, b, 0.25, entry);
    let lift = bench().spec().dimensions.lift.get::<meter>();
    assert_says!(
        "$998.2\\times 9.80665\\times 0.000846\\times 0.25 = 2.07$ W",
        RHO,
        G,
        b / 60e3,
        lift,
        useful
    );
    assert_says!(
        "$101325\\times 0.0005735\\times\\ln(110.98/101.325) = 5.29$ W. So $\\eta = 39$ %",
        1e3 * P_A,
        a / 60e3,
        entry,
        P_A,
        given,
        eta
    );
}

#[test]
fn threshold_by_hand() {
    let hand = Hand::new(0.05, 1.0, 0.25, 40.0);
    assert_says!("here 0.2. The", hand.lift / hand.length());
    let (length, lost, void) = (hand.length(), hand.undeveloped(), hand.least());
    assert_says!(
        "$\\ell = 0.2$ m, and the bracket is $1.25 - 0.200 = 1.050$ m. So $\\alpha = 0.25/1.050 = 0.238$",
        hand.developing(),
        length,
        lost,
        length - lost,
        hand.lift,
        length - lost,
        void
    );
    let (lone, c_0, k) = (drift(hand.bore), 1.2, 0.35);
    assert_says!(
        "$0.35\\sqrt{9.80665\\times 0.05} = 0.245$ m/s",
        k,
        G,
        hand.bore,
        k * (G * hand.bore).sqrt()
    );
    let j_g = void * lone * (1.0 - void).sqrt() / (1.0 - c_0 * void);
    let whole = hand.submergence;
    assert_says!(
        "$j_g = 0.238 \\times 0.245\\sqrt{0.762}/(1 - 1.2 \\times 0.238) = 0.071$ m/s. Over 0.001963 m²",
        void,
        lone,
        1.0 - void,
        whole,
        c_0,
        void,
        j_g,
        area(hand.bore)
    );
    let there = j_g * area(hand.bore) * 60e3;
    let counted = there * (hand.middle() - P_V) / P_A;
    assert_says!(
        "that is 8.4 L/min at half depth. There the pressure of the air alone is 103.88 kPa, so counted at 101.325 kPa it is 8.6 L/min",
        there,
        hand.middle() - P_V,
        P_A,
        counted
    );
    assert_says!("The library says 8.2 L/min. In", threshold(&bench()));
}

#[test]
fn desk() {
    let (bore, depth, lift) = (50.0, 1.0, 0.25);
    let column = riser(bore / 1e3, depth, lift);
    let celsius = column.site().water.temperature().get::<degree_celsius>();
    assert_says!(
        "bore 50 mm, air in 1 m deep, lift 0.25 m, fresh water at 20 °C",
        bore,
        depth,
        lift,
        celsius
    );
    let (low, high) = (34.0, 310.0);
    let [a, b, c, d] = [low, low / 2.0, high, high / 2.0].map(|l_min| flow(&column, l_min));
    assert_says!("from 34 L/min down to 17 L/min. Which", low, low / 2.0);
    assert_says!("drag the air from 310 down to 155 L/min", high, high / 2.0);
    assert_says!(
        "At 34 L/min of air the column gives 50.2 L/min of water, and at half of that air 19.6 L/min: two fifths",
        low,
        a,
        b
    );
    assert!((b / a - 0.4).abs() < 0.03);
    assert_says!(
        "stops at 8.2 L/min of air. From 310 to 155 L/min the water falls from 125.7 to 116.2 L/min only",
        threshold(&column),
        high,
        high / 2.0,
        c,
        d
    );
}

#[test]
fn figures_question() {
    let [half, twice] = [0.125, 0.5];
    let [a, b, c] = [half, 0.25, twice].map(|lift| threshold(&riser(0.05, 1.0, lift)));
    assert_says!(
        "With half the lift, 0.125 m, the curve starts at 4.4 L/min of air instead of 8.2 L/min",
        half,
        a,
        b
    );
    assert_says!(
        "With twice the lift, 0.5 m, it starts at 14.6 L/min",
        twice,
        c
    );
}

#[test]
fn exercises() {
    let curve = Curve::of(&bench(), 10).unwrap();
    let [air_l, water] = liters(&curve.peak);
    let entry = curve.peak.injection_pressure.get::<kilopascal>();
    assert_says!(
        "at 110.26 kPa, and 309.8 L/min of air lift 125.7 L/min of",
        entry,
        air_l,
        water
    );
    let lift = bench().spec().dimensions.lift.get::<meter>();
    let [useful, given, eta] = powers(air_l, water, lift, entry);
    assert_says!(
        "$998.2\\times 9.80665\\times 0.002095\\times 0.25 = 5.13$ W",
        RHO,
        G,
        water / 60e3,
        lift,
        useful
    );
    assert_says!(
        "$101325\\times 0.005164\\times\\ln(110.26/101.325) = 44.2$ W. So $\\eta = 12$ %",
        1e3 * P_A,
        air_l / 60e3,
        entry,
        P_A,
        given,
        eta
    );
    assert!(3.0 * eta < curve.best_efficiency.unwrap().efficiency.get::<percent>());

    let hand = Hand::new(0.05, 1.0, 0.125, 5.0);
    assert_says!("halved to 0.125 m, at", hand.lift);
    let (length, lost, void) = (hand.length(), hand.undeveloped(), hand.least());
    assert_says!(
        "$L = 1.125$ m, and the bracket is $1.125 - 0.199 = 0.926$ m. So $\\alpha = 0.125/0.926 = 0.135$",
        length,
        length,
        lost,
        length - lost,
        hand.lift,
        length - lost,
        void
    );
    let (lone, c_0) = (drift(hand.bore), 1.2);
    let j_g = void * lone * (1.0 - void).sqrt() / (1.0 - c_0 * void);
    let whole = hand.submergence;
    assert_says!(
        "$j_g = 0.135 \\times 0.245\\sqrt{0.865}/(1 - 1.2 \\times 0.135) = 0.0367$ m/s",
        void,
        lone,
        1.0 - void,
        whole,
        c_0,
        void,
        j_g
    );
    let there = j_g * area(hand.bore) * 60e3;
    assert_says!(
        "That is 4.3 L/min at half depth and 4.4 L/min counted at 101.325 kPa",
        there,
        there * (hand.middle() - P_V) / P_A,
        P_A
    );
    assert_says!(
        "library says 4.4 L/min too",
        threshold(&riser(0.05, 1.0, 0.125))
    );

    let wanted = 100.0;
    let point = |water: f64| {
        bench()
            .air_for(VolumeRate::new::<liter_per_minute>(water))
            .unwrap()
    };
    let (one, half) = (point(wanted), point(wanted / 2.0));
    let ([a, _], [b, _]) = (liters(&one), liters(&half));
    let [p, q] = [&one, &half].map(|point| point.injection_pressure.get::<kilopascal>());
    assert_says!("A duty asks for 100 L/min of", wanted);
    assert_says!(
        "needs 96.6 L/min of air for it, which enters at 110.57 kPa. Two need 33.9 L/min each, which enters at 110.98 kPa",
        a,
        p,
        b,
        q
    );
    let ([useful, given, eta], [_, both, better]) =
        (powers(a, wanted, lift, p), powers(2.0 * b, wanted, lift, q));
    assert_says!(
        "$998.2\\times 9.80665\\times 0.001667\\times 0.25 = 4.08$ W",
        RHO,
        G,
        wanted / 60e3,
        lift,
        useful
    );
    assert_says!(
        "$101325\\times 0.001610\\times\\ln(110.57/101.325) = 14.2$ W, so $\\eta = 29$ %. Two columns take 67.8 L/min",
        1e3 * P_A,
        a / 60e3,
        p,
        P_A,
        given,
        eta,
        2.0 * b
    );
    assert_says!(
        "$101325\\times 0.001130\\times\\ln(110.98/101.325) = 10.4$ W, so $\\eta = 39$ %",
        1e3 * P_A,
        2.0 * b / 60e3,
        q,
        P_A,
        both,
        better
    );
    assert!(both < 0.75 * given);
}
