//! What must hold whatever the points.

use risewater::uncertainty::{Cause, Doubt, Points, ReadPoint};

use crate::{predicted, reading, riser};

/// Our own invented readings of a lift: air, water in L/min, standard uncertainty.
const READINGS: [(f64, f64, f64); 4] = [
    (60.0, 95.0, 0.03),
    (90.0, 140.0, 0.02),
    (130.0, 170.0, 0.05),
    (200.0, 210.0, 0.03),
];

fn readings() -> Vec<ReadPoint> {
    let lift = riser(77.3, 1.2, 0.15, 1.5, 0.5);
    let made = READINGS.map(|(air, water, noise)| reading(&lift, air, water, noise));
    made.to_vec()
}

/// At other depths and air flows of the same rig.
fn places() -> Vec<Doubt> {
    let mut places = Vec::new();
    for depth in [0.9, 1.2, 1.3] {
        let lift = riser(77.3, depth, 0.15, 1.5, 0.5);
        for air in [50.0, 90.0, 160.0, 300.0] {
            places.push(predicted(&lift, air).1);
        }
    }
    places
}

#[test]
fn without_points_there_is_the_prior() {
    let none = Points::new(Vec::new(), Vec::new()).unwrap();
    for place in places() {
        let expected = none.expected(&place);
        assert_eq!(expected.mean, 0.0);
        assert_eq!(expected.standard, place.standard());
    }
    for source in Cause::ALL {
        assert_eq!(none.left_open(source), 1.0);
    }
    assert!(none.standing_out().is_empty());
}

#[test]
fn more_points_never_widen() {
    let all = readings();
    for place in places() {
        let mut before = place.standard();
        for n in 1..=all.len() {
            let now = Points::new(all[..n].to_vec(), Vec::new()).unwrap();
            let now = now.expected(&place).standard;
            assert!(now <= before * (1.0 + 1e-12), "{n}: {before} to {now}");
            before = now;
        }
    }
}

#[test]
fn the_order_of_points_does_not_matter() {
    let one = Points::new(readings(), vec![vec![0.0, 0.02, 0.02, 0.0]]).unwrap();
    let mut turned = readings();
    turned.reverse();
    let other = Points::new(turned, vec![vec![0.0, 0.02, 0.02, 0.0]]).unwrap();
    for place in places() {
        let (a, b) = (one.expected(&place), other.expected(&place));
        assert!((a.mean - b.mean).abs() < 1e-12 && (a.standard - b.standard).abs() < 1e-12);
    }
}

/// A second reading of the same point halves the variance of the readings, and no more.
#[test]
fn a_duplicate_is_two_readings_and_not_two_rigs() {
    let single = readings()[0];
    let twice = Points::new(vec![single, single], Vec::new()).unwrap();
    let better = ReadPoint {
        noise: single.noise / 2f64.sqrt(),
        ..single
    };
    let better = Points::new(vec![better], Vec::new()).unwrap();
    for place in places() {
        let (a, b) = (twice.expected(&place), better.expected(&place));
        assert!((a.mean - b.mean).abs() < 1e-12 && (a.standard - b.standard).abs() < 1e-12);
    }
}

/// One of five readings half as large again stands out; the others do not.
#[test]
fn a_bad_reading_stands_out() {
    let lift = riser(50.0, 1.5, 0.3, 1.5, 0.5);
    let made = |wrong: Option<usize>| {
        let airs = [20.0, 35.0, 60.0, 100.0, 170.0];
        let readings = airs.iter().enumerate().map(|(n, air)| {
            let (flow, _) = predicted(&lift, *air);
            let slip = if wrong == Some(n) { 1.5 } else { 1.0 };
            reading(&lift, *air, 0.9 * flow * slip, 0.03)
        });
        Points::new(readings.collect(), Vec::new())
            .unwrap()
            .standing_out()
    };
    assert!(made(None).iter().all(|z| z.abs() < 1.0));
    let found = made(Some(2));
    let worst = (0..5).max_by(|a, b| found[*a].abs().total_cmp(&found[*b].abs()));
    assert_eq!(worst, Some(2));
    assert!(found[2] > 3.0, "{found:?}");
}

/// Q_a/(A √(g D)) of 60 L/min in 50 mm, and 1.1 m of 1.5 m to nine decimals.
#[test]
fn air_and_depth_of_a_point_by_hand() {
    let (_, doubt) = predicted(&riser(50.0, 1.1, 0.4, 1.5, 0.5), 60.0);
    let velocity = 1e-3 / (std::f64::consts::FRAC_PI_4 * 0.05 * 0.05);
    let froude: f64 = velocity / (9.806_65_f64 * 0.05).sqrt();
    assert!((doubt.ln_froude() - froude.ln()).abs() < 1e-12);
    assert_eq!(doubt.submergence_ratio(), 0.733_333_333);
}
