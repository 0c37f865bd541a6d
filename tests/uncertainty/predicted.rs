//! What holds for every prediction, with a trial and without.

use proptest::prelude::*;
use risewater::riser::{Outlet, Riser};
use risewater::uncertainty::{Basis, Calibration, Doubt, ErrorLaw, MeasuredPoint};
use risewater::units::{Length, Ratio, VolumeRate};
use risewater::{AirFlow, AirState, Error};

use crate::made::{config, ends, law, points, riser, share, times, trial};

/// Air from well below the threshold to well beyond the peak.
fn air(riser: &Riser, place: f64) -> AirFlow {
    let peak = riser.peak().unwrap().air;
    let threshold = riser.threshold().unwrap().unwrap_or(times(peak, 1e-6));
    let low = 0.3 * (threshold.dry_mass_rate() / peak.dry_mass_rate()).value;
    times(peak, (low.ln() + place * (10.0 / low).ln()).exp())
}

proptest! {
    #![proptest_config(config(400))]

    /// The estimate lies in its interval; that is finite, not below zero, and wider at a higher level.
    #[test]
    fn the_estimate_lies_inside(riser in riser(0.41..1.0), place in 0.0..1.0, levels in (0.5..0.99, 0.5..0.99), made in points(0)) {
        let air = air(&riser, place);
        let at = |level: f64| ends(&law(level, &riser, &made).on(&riser).unwrap(), air);
        let [flow, low, high] = at(f64::min(levels.0, levels.1));
        prop_assert!(0.0 <= low && low <= flow && flow <= high && high.is_finite(), "{low} {flow} {high}");
        let [same, lower, higher] = at(f64::max(levels.0, levels.1));
        prop_assert!(flow == same && lower <= low * (1.0 + 1e-12) && high <= higher * (1.0 + 1e-12),
            "{low} to {high}, {lower} to {higher}");
    }

    /// A trial of no use leaves the model's flow and the prior's interval; above 30 % of the peak that is
    /// flow × exp(± z sd) with the doubt's own sd.
    #[test]
    fn without_points_there_is_the_prior(riser in riser(0.41..1.0), place in 0.0..1.0) {
        let air = air(&riser, place);
        let predictor = ErrorLaw::default().on(&riser).unwrap();
        let found = predictor.predict(air).unwrap();
        let outcome = riser.operate(air).unwrap();
        prop_assert_eq!(found.outcome, outcome);
        let interval = found.interval.unwrap();
        prop_assert_eq!(interval.basis, Basis::PublishedRigs);
        if let Some(point) = outcome.point()
            && point.water_flow > 0.3 * riser.peak().unwrap().water_flow
        {
            // z of 80 %: tables of the normal law.
            let expected = 1.281_551_565_5 * Doubt::of(&riser, point).unwrap().standard();
            let [low, high] = [point.water_flow / interval.low, interval.high / point.water_flow];
            let [low, high] = [low, high].map(|side| side.value.ln());
            let same = |side: f64| (side / expected - 1.0).abs() < 1e-9;
            prop_assert!(same(low));
            // An upper end of more than three times the flow is held against what no cause can exceed.
            let held = expected > 3f64.ln() && high >= 3f64.ln() * (1.0 - 1e-9) && high <= expected;
            prop_assert!(same(high) || held, "{high}, {expected}");
        }
    }

    /// At a measured point each further point leaves the interval, over its estimate, as wide or narrower.
    #[test]
    fn more_points_never_widen(riser in riser(0.55..1.0), made in points(2)) {
        let all = trial(&riser, &made.0, made.1);
        for at in all.points() {
            let stood = all.riser_of(at, riser.model()).unwrap();
            let mut before = [0.0, f64::INFINITY];
            for n in 0..=all.points().len() {
                let law = ErrorLaw::default();
                let law = if n == 0 { law } else {
                    law.with_calibration(Calibration::new(*all.rig(), all.points()[..n].to_vec()).unwrap())
                };
                let [flow, low, high] = ends(&law.on(&stood).unwrap(), at.air);
                if flow <= 0.0 { break }
                let now = [low / flow, high / flow];
                prop_assert!(now[0] >= before[0] * (1.0 - 1e-9) && now[1] <= before[1] * (1.0 + 1e-9), "{n}: {before:?} to {now:?}");
                before = now;
            }
        }
    }

    #[test]
    fn the_order_of_points_does_not_matter(riser in riser(0.41..1.0), place in 0.0..1.0, made in points(2)) {
        let one = trial(&riser, &made.0, made.1);
        let mut turned = one.points().to_vec();
        turned.reverse();
        let other = Calibration::new(*one.rig(), turned).unwrap();
        let air = air(&riser, place);
        let [a, b] = [one, other].map(|trial| ends(&ErrorLaw::default().with_calibration(trial).on(&riser).unwrap(), air));
        for (a, b) in a.iter().zip(b) {
            prop_assert!((a - b).abs() <= 1e-9 * b, "{a} {b}");
        }
    }

    /// An exact duplicate is as good as one reading of half the variance.
    #[test]
    fn a_duplicate_is_two_readings(riser in riser(0.41..1.0), place in 0.0..1.0, made in points(1)) {
        let first = &trial(&riser, &made.0[..1], 0.0);
        let read = |standard: f64| MeasuredPoint {
            water_standard: share(standard),
            air_standard: share(0.0),
            submergence_standard: Length::default(),
            ..first.points()[0].clone()
        };
        let of = |points: Vec<MeasuredPoint>| {
            let trial = Calibration::new(*riser.spec(), points).unwrap();
            ends(&ErrorLaw::default().with_calibration(trial).on(&riser).unwrap(), air(&riser, place))
        };
        let twice = of(vec![read(0.06), read(0.06)]);
        let better = of(vec![read(0.06 / 2f64.sqrt())]);
        for (a, b) in twice.iter().zip(better) {
            prop_assert!((a - b).abs() <= 1e-9 * b, "{a} {b}");
        }
    }

    /// Below a submergence ratio of 0.4 there is no interval, and no lower end to ask for.
    #[test]
    fn none_below_the_law(riser in riser(0.25..0.399), place in 0.0..1.0) {
        prop_assume!(!matches!(riser.spec().outlet, Outlet::Submerged { .. }));
        prop_assume!(riser.peak().is_ok());
        let predictor = ErrorLaw::default().on(&riser).unwrap();
        prop_assert!(predictor.predict(air(&riser, place)).unwrap().interval.is_none());
        let wanted = predictor.air_for(0.5 * riser.peak().unwrap().water_flow, risewater::uncertainty::Wanted::LowerEnd);
        prop_assert!(matches!(wanted, Err(Error::NoInterval { .. })), "{wanted:?}");
    }
}

/// The largest step of each end, as a share of the peak's flow, over so many steps of ln(air).
fn steps(law: &ErrorLaw, riser: &Riser, (from, to): (AirFlow, AirFlow), count: u32) -> [f64; 2] {
    let predictor = law.on(riser).unwrap();
    let whole = (to.dry_mass_rate() / from.dry_mass_rate()).value.ln();
    let mut last: Option<[f64; 2]> = None;
    let mut most = [0.0, 0.0];
    for n in 0..=count {
        let air = times(from, (whole * f64::from(n) / f64::from(count)).exp());
        let [_, low, high] = ends(&predictor, air);
        let peak = riser.peak().unwrap().water_flow.value;
        let now = [low / peak, high / peak];
        if let Some(last) = last {
            for i in 0..2 {
                most[i] = f64::max(most[i], (now[i] - last[i]).abs());
            }
        }
        last = Some(now);
    }
    most
}

fn known() -> Vec<Riser> {
    vec![
        crate::riser(77.3, 1.2, 0.15, 1.5, 0.5),
        crate::riser(50.0, 1.0, 0.5, 1.5, 0.5),
        crate::riser(25.4, 2.0, 1.0, 1.5, 0.5),
        crate::riser(120.0, 1.0, 0.3, 1.5, 0.5),
    ]
}

/// Without points, and with three of the riser.
fn laws(riser: &Riser) -> [ErrorLaw; 2] {
    let made = [(1.0, 0.1, -0.2), (1.0, 0.3, -0.1), (0.95, 1.0, 0.1)];
    let with = ErrorLaw::default().with_calibration(trial(riser, &made, 0.02));
    [ErrorLaw::default(), with]
}

/// Between 15 and 35 % of the peak, where solving goes over into slopes, neither end jumps: a jump would stay as it is
/// when the steps of the air are made sixteen times finer, and slopes shrink with the steps.
#[test]
fn no_jump_between_solving_and_slopes() {
    for riser in known() {
        let peak = riser.peak().unwrap().water_flow;
        let at = |share: f64| riser.air_for(share * peak).unwrap().air;
        for law in laws(&riser) {
            let [coarse, fine] = [20, 320].map(|n| steps(&law, &riser, (at(0.15), at(0.35)), n));
            for (coarse, fine) in coarse.iter().zip(fine) {
                assert!(fine < coarse / 8.0, "{coarse} {fine}");
            }
        }
    }
}

/// The same from 10 % below to 10 % above the threshold, where the lower end is zero; the upper one is no more than
/// the peak's and moves by less than 0.2 % of it from step to step (what a trial says by slopes has another limit on the
/// side on which nothing flows).
#[test]
fn the_ends_near_the_threshold() {
    for riser in known() {
        let threshold = riser.threshold().unwrap().unwrap();
        let range = (times(threshold, 0.9), times(threshold, 1.1));
        for law in laws(&riser) {
            let [coarse, fine] = [20, 320].map(|n| steps(&law, &riser, range, n)[1]);
            assert!(fine < coarse / 2.0 && fine < 2e-3, "{coarse} {fine}");
            let predictor = law.on(&riser).unwrap();
            for times_threshold in [0.5, 0.99, 0.999_999, 1.000_001, 1.0001, 1.01] {
                let [flow, low, high] = ends(&predictor, times(threshold, times_threshold));
                assert_eq!(low, 0.0);
                assert!(flow <= high && high < predictor.peak().unwrap().water_flow.value);
            }
        }
    }
}

/// Water that runs by itself has a doubt without any air too.
#[test]
fn without_air() {
    let riser = crate::riser(50.0, 1.0, -0.2, 1.5, 0.5);
    let none = AirFlow::at(VolumeRate::default(), &AirState::DRY_20_C).unwrap();
    for law in laws(&riser) {
        let predictor = law.on(&riser).unwrap();
        let [flow, low, high] = ends(&predictor, none);
        let [near, near_low, near_high] = ends(&predictor, times(riser.peak().unwrap().air, 1e-7));
        for (a, b) in [(flow, near), (low, near_low), (high, near_high)] {
            assert!((a / b - 1.0).abs() < 1e-3, "{a} {b}");
        }
        assert!(low < 0.9 * flow && high > 1.1 * flow);
    }
}

/// Where water runs by gravity and any air slows it, the peak has no air: no logarithm of it may be asked for.
#[test]
fn every_question_has_an_answer_where_water_runs_by_gravity() {
    let l_per_min = |flow: f64| VolumeRate::new::<risewater::units::liter_per_minute>(flow);
    for lift_m in [-0.5, -0.2, -0.05] {
        for bore_mm in [15.0, 77.0, 500.0] {
            let riser = crate::riser(bore_mm, 1.2, lift_m, 1.5, 0.5);
            let predictor = ErrorLaw::default().on(&riser).unwrap();
            for air in [0.0, 0.001, 5.0, 100.0, 5000.0, 1e5] {
                let air = AirFlow::at(l_per_min(air), &AirState::DRY_20_C).unwrap();
                let found = predictor.predict(air).unwrap();
                let interval = found.interval.unwrap();
                assert!(interval.low <= interval.high && interval.high.is_finite());
                let half = predictor.after_three_readings(air).unwrap();
                assert!(half.is_none_or(Ratio::is_finite), "{half:?}");
                predictor.cautions(air).unwrap();
                predictor.shares(air).unwrap();
                predictor.outlet_question(air).unwrap();
            }
            let none = riser.peak().unwrap().air.dry_mass_rate().value <= 0.0;
            let three =
                predictor.three_readings(AirFlow::at(l_per_min(5.0), &AirState::DRY_20_C).unwrap());
            assert_eq!(three.unwrap().is_none(), none);
        }
    }
}

/// 10, 50 and 90 % of the way in ln(air) from half an air flow to twice, within that of 30 % of the peak's flow and that
/// of the peak.
#[test]
fn three_readings_by_hand() {
    let mass = |air: AirFlow| air.dry_mass_rate().value;
    for (bore_mm, lift_m) in [(20.0, 0.6), (77.0, 0.2), (150.0, 0.05)] {
        let riser = crate::riser(bore_mm, 1.2, lift_m, 1.5, 0.5);
        let predictor = ErrorLaw::default().on(&riser).unwrap();
        let peak = riser.peak().unwrap();
        let first = riser.air_for(0.3 * peak.water_flow).unwrap().air;
        let span = mass(peak.air) / mass(first);
        assert!(span > 4.0, "{bore_mm} mm: {span}");
        for place in [-1.0, 0.0, 0.3, 0.5, 0.8, 1.0, 1.5] {
            let air = times(first, span.powf(place));
            let within = |own: f64| own.clamp(mass(first), mass(peak.air));
            let (low, high) = (within(0.5 * mass(air)), within(2.0 * mass(air)));
            let found = predictor.three_readings(air).unwrap().unwrap();
            for (found, share) in found.into_iter().zip([0.1, 0.5, 0.9]) {
                let by_hand = low * (high / low).powf(share);
                assert!(
                    (mass(found) / by_hand - 1.0).abs() < 1e-9,
                    "{bore_mm} mm at {place}, {share}: {found:?}, by hand {by_hand} kg/s"
                );
            }
        }
    }
}

/// A reading with a standard uncertainty of 0.03 at the air flow itself leaves 1/s² = 1/k + 1/0.03² of ln q; three leave
/// no more than that, and below 30 % of the peak's flow none is asked for.
#[test]
fn after_one_reading_by_hand() {
    for (bore_mm, lift_m) in [(20.0, 0.6), (77.0, 0.2), (150.0, 0.05)] {
        let riser = crate::riser(bore_mm, 1.2, lift_m, 1.5, 0.5);
        let predictor = ErrorLaw::default().on(&riser).unwrap();
        let peak = riser.peak().unwrap();
        for share in [0.2, 0.4, 0.9] {
            let point = riser.air_for(share * peak.water_flow).unwrap();
            let [one, three] = [
                predictor.after_one_reading(point.air).unwrap(),
                predictor.after_three_readings(point.air).unwrap(),
            ];
            assert_eq!(one.is_some(), share > 0.3);
            let Some(one) = one else { continue };
            let k = Doubt::of(&riser, &point).unwrap().standard().powi(2);
            let left = (1.0 / (1.0 / k + 1.0 / 0.03f64.powi(2))).sqrt();
            // z of 80 %: tables of the normal law.
            let by_hand = (1.281_551_565_5 * left).exp_m1();
            assert!(
                (one.value / by_hand - 1.0).abs() < 1e-9,
                "{one:?} {by_hand}"
            );
            assert!(three.unwrap() <= one);
        }
    }
}
